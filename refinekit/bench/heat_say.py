"""What a step that heats itself is told: how hot all at once, by how many portions, and when the next goes in."""

from __future__ import annotations

import numpy as np

from refinekit.bench.heat_draw import draw
from refinekit.bench.heat_portions import Heating, Warming, minutes_to_pour, warming
from refinekit.bench.heat_time import Array
from refinekit.bench.work import Work
from refinekit.facts.load import fact
from refinekit.ranges import Range, low


def say_pouring(work: Work, heating: Heating) -> None:
    """Answer with the time over which a step is to go in evenly, where that matters."""
    minutes = minutes_to_pour(heating, work.place.temperature_k)
    pause = fact("practice/neutralise.pause").value
    if 0 < minutes < float("inf"):
        because = f"evenly, the pot standing in the air, so that it stays under {pause:g} C"
        work.answer("pour_over", minutes / 60, "h", sized_on="high: lid on", because=because)


def say_warming(work: Work, heating: Heating, *, curve: bool = True) -> Warming | None:
    """Answer with a step's warming: peak at once, portions, the peak of one, the wait between, and the curve where it matters.

    Args:
        work: the step being done
        heating: what gives the heat
        curve: whether it may be drawn
    Returns: the figures; None where there is nothing to warm
    """
    if low(heating.volume_l) <= 0 or heating.rise_k.high <= 0:
        return None
    for id in ("practice/heat.evaporation_share", "practice/heat." + heating.t90, "practice/heat.again"):
        work.fact(id)
    found = warming(heating, work.place.temperature_k)
    zero, boil = fact("constants.zero_celsius").value, fact("enthalpy.water_boils").value
    at_once, portion = (_range(np.minimum(line, boil) - zero) for line in (found.at_once_k, found.portion_k))
    hot = "high: lid on, quick"
    because = "with loss to the air" + ("; comes to the boil" if found.boils else "")
    work.answer("peak_at_once", at_once, "C", sized_on=hot, because=because)
    again = found.again_k - zero
    if at_once.high <= again or found.portions == 1:
        _say_alone(work, heating, found, at_once)
        if curve:
            draw(work, heating, found)
        return found
    work.answer("heat_portions", float(found.portions), "", sized_on="high", because="each when the last has cooled")
    work.answer("peak_in_portions", portion, "C", sized_on=hot, because=f"from {again:.3g} C, the first from colder")
    waits = bool(np.isfinite(found.wait_min).all()) and found.wait_min.max() > 0
    if waits:
        because = f"from one portion till it is back at {again:.3g} C, standing; a bath of cold water is quicker"
        work.answer("wait_between", _range(found.wait_min), "min", sized_on="high: lid on", because=because)
    _say(work, heating, found, at_once, portion, again, waits)
    if curve:
        draw(work, heating, found)
    return found


def _range(line: Array) -> Range:
    return Range(float(line.min()), float(np.clip(line[0], line.min(), line.max())), float(line.max()))


def _say_alone(work: Work, heating: Heating, found: Warming, at_once: Range) -> None:
    pause = fact("practice/neutralise.pause").value
    if at_once.high > pause:
        reaches = f"reaches {at_once.likely:.0f} to {at_once.high:.0f} C, over {pause:g}"
        work.say(
            "heat",
            f"all the {heating.what} at once {'boils over' if found.boils else reaches}: slowly, the pot in cold water, or more"
            " water first",
        )


def _say(work: Work, heating: Heating, found: Warming, at_once: Range, portion: Range, again: float, waits: bool) -> None:
    start = "boils over" if found.boils else f"reaches {at_once.likely:.0f} to {at_once.high:.0f} C"
    cool = f", the next when it is back at {again:.0f} C"
    if waits:
        cool += f" ({_minutes(found.wait_min.min())} to {_minutes(found.wait_min.max())} standing)"
    work.say(
        "heat",
        f"all the {heating.what} at once {start}; in {found.portions} portions{cool}, each goes to {portion.high:.0f} C at most",
    )
    pause = fact("practice/neutralise.pause").value
    if portion.high > pause + 1:
        work.say("heat", f"that is over {pause:g} C: stand it in cold water, more water first, or smaller portions")


def _minutes(minutes: float) -> str:
    return f"{minutes:.0f} min" if minutes < 120 else f"{minutes / 60:.2g} h"
