"""What a step that heats itself is told: how hot all at once, by how many portions, and when the next goes in."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from math import ceil

import numpy as np

from refinekit.bench.heat_time import LONGEST_MIN, Array, Vessel, burst, cooled_after, evenly, pot_of, times
from refinekit.bench.work import Work
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, likely, low

ROUNDING = 1e-9
TRIES = 24
"""Times of pouring that are tried, from a minute to two days."""


@dataclass(frozen=True, slots=True)
class Heating:
    """A step that gives heat.

    Args:
        what: what goes in by portions [text], e.g. "acid"
        t90: id of the fact that says how fast a portion works [text]
        rise_k: how much warmer it gets if all goes in at once and none is lost [K]
        volume_l: liquor when all is in [L]
        there_l: liquor that is there before the first portion [L]
        start_k: temperature to begin with [K]
        portions: least number of portions, for other reasons than heat [-]
        kj_per_l_k: heat capacity of the liquor; None for a thin one's [kJ/(L K)]
    """

    what: str
    t90: str
    rise_k: Range
    volume_l: Number
    there_l: Number
    start_k: float
    portions: int = 1
    kj_per_l_k: float | None = None


@dataclass(frozen=True, slots=True)
class Warming:
    """How a step warms; each array likely, low, high.

    Args:
        at_once_k: peak if all goes in at once [K]
        portions: portions that keep it under the pause [-]
        portion_k: peak of one of them, from the temperature at which the next goes in [K]
        again_k: that temperature [K]
        wait_min: minutes from one to the next [min]; inf where it does not come back in two days
        boils_at: whether it comes to the boil at once, at the high end
    """

    at_once_k: Array
    portions: int
    portion_k: Array
    again_k: float
    wait_min: Array
    boils: bool


def warming(heating: Heating, air_k: float) -> Warming:
    """Reckon a step's warming, at once and by portions.

    Args:
        heating: the step; some heat and some liquor
        air_k: the air [K]
    Source: `heat_time`; pause, facts/practice/neutralise.toml; the rest, facts/practice/heat.toml
    """
    capacity = heating.kj_per_l_k or fact("enthalpy.liquor_heat_capacity").value
    rise = np.array([heating.rise_k.likely, heating.rise_k.low, heating.rise_k.high])
    volume, there = likely(heating.volume_l), likely(heating.there_l)
    steam, speed = fact("practice/heat.evaporation_share").range, fact("practice/heat." + heating.t90).range
    # The hot end: no steam leaves and the burst is quick.
    share = np.array([steam.likely, steam.high, steam.low])
    t90 = np.array([speed.likely, speed.high, speed.low])
    zero, boil = fact("constants.zero_celsius").value, fact("enthalpy.water_boils").value
    pause = fact("practice/neutralise.pause").value + zero
    again = max(fact("practice/heat.again").value + zero, air_k + fact("practice/heat.headroom").value)
    whole = rise * volume * capacity
    pot = pot_of(volume, capacity, air_k, share)
    at = times(speed.likely)
    at_once = burst(pot, whole, t90, heating.start_k, at).max(axis=0)
    count = heating.portions
    if at_once[2] > pause and there > ROUNDING:
        room = max(pause - again, 1.0)
        wanted = (whole[2] / (capacity * room) - (volume - there)) / there
        if wanted <= fact("practice/heat.portions_most").value:
            count = max(count, ceil(wanted - ROUNDING))
    small = pot_of(there + (volume - there) / count, capacity, air_k, share)
    from_k = heating.start_k if count == 1 else max(again, heating.start_k)
    line = burst(small, whole / count, t90, from_k, at)
    wait = cooled_after(line, at, again * (1 + ROUNDING))
    return Warming(at_once, count, line.max(axis=0), again, wait, bool(at_once[2] >= boil))


def minutes_to_pour(heating: Heating, air_k: float) -> float:
    """Over how long a step is to go in evenly to stay under the pause, at its hot end.

    Args:
        heating: the step
        air_k: the air [K]
    Returns: time [min]; 0 where it may go in at once, inf where two days are not enough
    """
    pause = fact("practice/neutralise.pause").value + fact("constants.zero_celsius").value
    if heating.start_k + heating.rise_k.high <= pause:
        return 0.0
    capacity = heating.kj_per_l_k or fact("enthalpy.liquor_heat_capacity").value
    volume = likely(heating.volume_l)
    pot = pot_of(volume, capacity, air_k, fact("practice/heat.evaporation_share").range.low)
    heat, over = heating.rise_k.high * volume * capacity, np.geomspace(1.0, LONGEST_MIN, TRIES)

    def peak_k(number: int) -> float:
        return float(evenly(pot, heat, over[number : number + 1], heating.start_k)[0])

    # the longer it goes in over, the less it warms: the first time that stays under the pause, and the one before it
    first = bisect_left(range(TRIES), True, key=lambda number: peak_k(number) <= pause)
    if first == TRIES:
        return float("inf")
    if first == 0:
        return float(over[0])
    return float(np.interp(-pause, [-peak_k(first - 1), -peak_k(first)], over[first - 1 : first + 1]))


def say_pouring(work: Work, heating: Heating) -> None:
    """Answer with the time over which a step is to go in evenly, where that matters."""
    minutes = minutes_to_pour(heating, work.place.temperature_k)
    pause = fact("practice/neutralise.pause").value
    if 0 < minutes < float("inf"):
        because = f"evenly, the pot standing in the air, so that it stays under {pause:g} C"
        work.answer("pour_over", minutes / 60, "h", sized_on="high: lid on", because=because)


def say_warming(work: Work, heating: Heating, *, draw: bool = False) -> Warming | None:
    """Answer with a step's warming: peak at once, portions, the peak of one, the wait between; with its curve where it is wanted.

    Args:
        work: the step being done
        heating: what gives the heat
        draw: whether the curve goes with it
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
        _say_alone(work, heating, at_once)
        return found
    work.answer("heat_portions", float(found.portions), "", sized_on="high", because="each when the last has cooled")
    work.answer("peak_in_portions", portion, "C", sized_on=hot, because=f"from {again:.3g} C, the first from colder")
    waits = bool(np.isfinite(found.wait_min).all()) and found.wait_min.max() > 0
    if waits:
        because = f"from one portion till it is back at {again:.3g} C, standing; a bath of cold water is quicker"
        work.answer("wait_between", _range(found.wait_min), "min", sized_on="high: lid on", because=because)
    _say(work, heating, found, at_once, portion, again, waits)
    if draw:
        _draw(work, heating, found)
    return found


def _range(line: Array) -> Range:
    return Range(float(line.min()), float(np.clip(line[0], line.min(), line.max())), float(line.max()))


def _say_alone(work: Work, heating: Heating, at_once: Range) -> None:
    pause = fact("practice/neutralise.pause").value
    if at_once.high > pause:
        work.say(
            "heat",
            f"all the {heating.what} at once reaches {at_once.likely:.0f} to {at_once.high:.0f} C, over {pause:g}: slowly, the"
            " pot in cold water, or more water first",
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


def _draw(work: Work, heating: Heating, found: Warming) -> None:
    """The likely case at once and by portions, standing in the air."""
    capacity = heating.kj_per_l_k or fact("enthalpy.liquor_heat_capacity").value
    t90, share = fact("practice/heat." + heating.t90).value, fact("practice/heat.evaporation_share").value
    zero, air_k = fact("constants.zero_celsius").value, work.place.temperature_k
    volume, there = likely(heating.volume_l), likely(heating.there_l)
    heat = heating.rise_k.likely * volume * capacity
    wait = float(found.wait_min[0]) if np.isfinite(found.wait_min[0]) else 0.0
    gap = max(wait, fact("practice/fume.burst.next_after").value * t90)
    last = gap * found.portions
    at = np.linspace(0.0, last, 100)
    pot: Vessel = pot_of(volume, capacity, air_k, share)
    once = burst(pot, heat, t90, heating.start_k, at)[:, 0] - zero
    when, curve, kelvin = [], [], heating.start_k
    for number in range(found.portions):
        small = pot_of(there + (volume - there) * (number + 1) / found.portions, capacity, air_k, share)
        local = np.linspace(0.0, gap, max(6, 100 // found.portions))
        line = burst(small, heat / found.portions, t90, kelvin, local)[:, 0]
        when.append(local + number * gap)
        curve.append(line - zero)
        kelvin = float(line[-1])
    boil = fact("enthalpy.water_boils").value - zero
    series = {"all at once": (at, np.minimum(once, boil))}
    if found.portions > 1:
        series[f"in {found.portions} portions"] = (np.maximum.accumulate(np.concatenate(when)), np.concatenate(curve))
    top = float(np.concatenate(curve).max())
    finding = f"All at once {min(float(once.max()), boil):.0f} C; in {found.portions} portions {top:.0f} C, over {last:.0f} min."
    pause = fact("practice/neutralise.pause").value
    work.chart("temperature of the pot", "minutes", "C", series, finding=finding, levels=[(f"pause at {pause:g} C", pause)])
