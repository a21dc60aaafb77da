"""A step that heats itself: how hot all at once with loss to the air, by how many portions, and how long from one to the next."""

from __future__ import annotations

from bisect import bisect_left
from math import ceil

import numpy as np

from refinekit.bench.heat_time import Array, burst, cooled_after, evenly, longest_min, pot_of, times
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, likely
from refinekit.record import record

ROUNDING = 1e-9
TRIES = 24
"""Times of pouring that are tried, from a minute to two days."""


@record
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


@record
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
    # the next goes in at the latest when it is back there, and never hotter than those before could make it
    from_k = np.minimum(max(again, heating.start_k), heating.start_k + rise * (count - 1) / count)
    line = burst(small, whole / count, t90, from_k, at)
    wait = cooled_after(line, at, again * (1 + ROUNDING))
    portion = np.minimum(line.max(axis=0), heating.start_k + rise)  # all of them together make no more than the whole
    return Warming(at_once, count, portion, again, wait, bool(at_once[2] >= boil))


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
    heat, over = heating.rise_k.high * volume * capacity, np.geomspace(1.0, longest_min(), TRIES)

    def peak_k(number: int) -> float:
        return float(evenly(pot, heat, over[number : number + 1], heating.start_k)[0])

    # the longer it goes in over, the less it warms: the first time that stays under the pause, and the one before it
    first = bisect_left(range(TRIES), True, key=lambda number: peak_k(number) <= pause)
    if first == TRIES:
        return float("inf")
    if first == 0:
        return float(over[0])
    return float(np.interp(-pause, [-peak_k(first - 1), -peak_k(first)], over[first - 1 : first + 1]))
