"""Gas through the surface of a liquor, against the lines from which a pot foams over."""

from __future__ import annotations

from math import pi

import numpy as np

from refinekit.bench.fume_air import LITRES_PER_M3, TENTH
from refinekit.bench.vessel import Vessel
from refinekit.bench.work import Work
from refinekit.chemistry.gas import molar_volume_l
from refinekit.facts.load import fact
from refinekit.ranges import Number, high, low

WORDS = {
    "stop": "it runs over",
    "warn": "it foams high: wider vessel or smaller portions",
    "note": "it foams",
    "": "little foam",
}
TINY_L_PER_MIN = 1e-9
"""Gas under which no portion matters."""
HOT = ("sulfamic", "oxalic")
"""Reagents that go into hot liquor."""
FROTHERS = ("sulfamic", "oxalic")
"""Reagents whose gas counts more than once."""


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
    what = f"a portion gives up to {high(litres):.3g} L of gas in minutes"
    foam_at_rate(work, burst_l_per_min(litres, t90), vessel_l, what, hot_k=hot_k, frothing=frothing)


def foam_at_rate(
    work: Work,
    gas_l_per_min: float,
    vessel: Vessel | float,
    what: str,
    *,
    hot_k: float | None = None,
    frothing: bool = False,
) -> float:
    """Foam of gas that comes at some rate, with a caution where it runs over.

    Args:
        work: the step
        gas_l_per_min: most gas at once [L/min]
        vessel: what it stands in, several where one is too small, or its volume [L]; above 0
        what: how the caution begins [text], e.g. "hydrogen comes at up to 2 L/min"
        hot_k: temperature of the liquor [K]; None for the shop's
        frothing: as `say_foam`
    Returns: the speed it is judged by [cm/s]
    """
    size_l, count = (vessel.size_l, vessel.count) if isinstance(vessel, Vessel) else (vessel, 1)
    level, speed = say_foam(work, gas_l_per_min, count * surface_of(size_l), pot_k=hot_k, frothing=frothing)
    if level in ("warn", "stop"):
        through = f"{what}: {speed:.2g} cm/s through the surface, {WORDS[level]}"
        work.notice(level, "froth-over", through, "smaller portions, a wider vessel, more water first", "practice")
    return speed


def foam_of_copper(work: Work, nitric_oxide_mol: Number) -> None:
    """Foam of nitric oxide that the nitric of a liquor makes on copper hung in it.

    Args:
        work: the step, its liquor in it
        nitric_oxide_mol: all of it [mol]
    """
    if low(work.volume_l) > 0:
        gas_l = nitric_oxide_mol * molar_volume_l(work.place.temperature_k, work.place.pressure_pa)
        foam_of_portion(work, gas_l, "practice/heat.t90.nitric", half_full_l(work.volume_l), hot_k=work.temperature_k)


def half_full_l(liquor_l: Number) -> float:
    """A vessel that a liquor fills as far as one fills a vessel [L]; of the least liquor, whose surface is least."""
    return low(liquor_l) / fact("practice/general.vessel.fill").value


def foam_by_portions(
    work: Work,
    litres: Number,
    way: str,
    vessel: Vessel | float,
    grams: Number | None = None,
    *,
    beside_l_per_min: float = 0.0,
) -> None:
    """Foam of a reagent that goes in by portions: how fast it rises, the room over it, and the most that may go in at once.

    Args:
        work: the step
        litres: gas of all of it [L]
        way: row of facts/practice/foam.toml [text]
        vessel: as `foam_at_rate`
        grams: reagent in all, where it is weighed [g]
        beside_l_per_min: other gas that comes at the same time [L/min]
    Source: common practice, in facts/practice/foam.toml
    """
    if low(work.volume_l) <= 0 or (high(litres) <= 0 and beside_l_per_min <= 0):
        return
    portions, t90 = work.fact(f"practice/foam.{way}.portions").value, f"practice/foam.{way}.t90"
    work.fact(t90)
    hot_k = None
    if way in HOT:
        hot_k = work.fact(f"practice/foam.{way}.hot").value + fact("constants.zero_celsius").value
    of_portion = burst_l_per_min(litres / portions, t90)
    rate = of_portion + beside_l_per_min
    what = f"in {portions:g} portions gas comes at up to {rate:.2g} L/min"
    frothing = way in FROTHERS
    speed = foam_at_rate(work, rate, vessel, what, hot_k=hot_k, frothing=frothing)
    _say_headroom(work, vessel)
    if grams is None or of_portion <= TINY_L_PER_MIN:
        return
    warn = work.fact("practice/general.foam.warn").value
    each = high(grams) / portions
    spare = warn - speed * (1 - of_portion / rate)
    most = each * spare / (speed * of_portion / rate)
    if 0 < most < high(grams):  # else foam is no reason for portions
        work.answer("portion", each, "g", sized_on="high", because=f"all of it in {portions:g} portions")
        because = f"more at once foams at over {warn:g} cm/s in this vessel"
        work.answer("portion_most", most, "g", sized_on="most gas, least surface", because=because)


def _say_headroom(work: Work, vessel: Vessel | float) -> None:
    if high(work.volume_l) > 0:
        whole_l = vessel.count * vessel.size_l if isinstance(vessel, Vessel) else vessel
        room = np.maximum(1000 * (whole_l - work.volume_l), 0.0)
        work.answer("headroom", room, "mL", sized_on="low: most liquor", because="vessel less liquor: what foam may rise in")
