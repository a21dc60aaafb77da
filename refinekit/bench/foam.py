"""Gas through the surface of a liquor, against the lines from which a pot foams over."""

from __future__ import annotations

from math import pi

import numpy as np

from refinekit.bench.fume_air import LITRES_PER_M3, TENTH
from refinekit.bench.work import Work
from refinekit.facts.load import fact
from refinekit.ranges import Number, high, low

WORDS = {
    "stop": "it runs over",
    "warn": "it foams high: wider vessel or smaller portions",
    "note": "it foams",
    "": "little foam",
}


def surface_of(vessel_l: Number) -> Number:
    """Open surface of a round vessel as deep as it is wide.

    Args:
        vessel_l: its volume [L]; 0 and up
    Returns: surface [cm2]
    Source: shape, common practice, facts/practice/heat.toml

    >>> surface_of(1.0)
    92.26
    """
    width_cm = np.cbrt(4 * np.asarray(vessel_l) * LITRES_PER_M3 / (pi * fact("practice/heat.depth_over_width").value))
    surface: Number = pi / 4 * width_cm**2
    return surface


def burst_l_per_min(litres: Number, t90: str) -> float:
    """Most gas at once of a portion's gas.

    Args:
        litres: gas of the portion [L]
        t90: id of the fact that says how fast a portion works [text]
    """
    return TENTH * high(litres) / fact(t90).value


def say_foam(
    work: Work, gas_l_per_min: float, surface_cm2: Number, *, pot_k: Number | None = None, frothing: bool = False
) -> tuple[str, float]:
    """Answer with the speed of gas through a surface, and say what it does.

    Args:
        work: the step
        gas_l_per_min: most gas at once, at the shop's temperature [L/min]
        surface_cm2: open surface [cm2]; above 0
        pot_k: temperature of the liquor [K]; None for the shop's
        frothing: whether carbonate, oxalic, sulfamic, finger dust or soap is in it
    Returns: level of foam ("", note, warn or stop), and the speed it is judged by [cm/s]
    Source: common practice, in facts/practice/general.toml
    """
    warmer = 1.0 if pot_k is None else high(pot_k) / work.place.temperature_k
    ml_per_s = gas_l_per_min * LITRES_PER_M3 / 60 * warmer
    speed = ml_per_s / low(surface_cm2)
    counts = work.fact("practice/general.foam.frothers_count").value if frothing else 1.0
    lines = {level: work.fact(f"practice/general.foam.{level}").value for level in ("stop", "warn", "note")}
    level = next((level for level, line in lines.items() if speed * counts > line), "")
    because = "peak gas at the pot's temperature over its surface"
    work.answer("foam", speed * counts, "cm/s", sized_on="most gas, least surface", because=because)
    work.say("foam", f"{level}{': ' if level else ''}{WORDS[level]}, {speed * counts:.2g} cm/s")
    work.working(
        "foam",
        "peak gas / surface",
        f"{ml_per_s:.4g} mL/s / {low(surface_cm2):.4g} cm2 x {counts:g}",
        f"{speed * counts:.3g} cm/s",
        "practice/general.foam.stop",
    )
    return level, speed * counts


def foam_of_portion(work: Work, litres: Number, t90: str, vessel_l: float, *, hot_k: float, frothing: bool = False) -> None:
    """Foam of one portion in the vessel it stands in, with a caution where it runs over.

    Args:
        work: the step
        litres: gas of the portion [L]
        t90: id of the fact that says how fast a portion works [text]
        vessel_l: the vessel [L]; above 0
        hot_k: temperature the portion brings the pot to [K]
        frothing: as `say_foam`
    """
    if high(litres) <= 0:
        return
    work.fact(t90)
    level, speed = say_foam(work, burst_l_per_min(litres, t90), surface_of(vessel_l), pot_k=hot_k, frothing=frothing)
    if level in ("warn", "stop"):
        work.notice(
            level,
            "froth-over",
            f"a portion gives up to {high(litres):.3g} L of gas in minutes: {speed:.2g} cm/s through the surface, {WORDS[level]}",
            "smaller portions, a wider vessel, more water first",
            "practice",
        )
