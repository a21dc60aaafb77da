"""Outdoors with a light wind: bounds on what is breathed downwind of the pot. An estimate, not a forecast."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.fume_air import LITRES_PER_M3, PER_MILLION
from refinekit.bench.fume_limits import counted, word_of
from refinekit.bench.vent_come import Array, Coming
from refinekit.bench.work import Work
from refinekit.ranges import Number, Range, high, likely, low


def downwind_ppm(gas_l_per_min: Number, wind_m_per_s: Number, plume_m2: Number) -> Number:
    """Gas in the air that carries it off.

    Args:
        gas_l_per_min: most gas at once [L/min]; 0 and up
        wind_m_per_s: wind [m/s]; above 0
        plume_m2: cross-section the fume has spread to [m2]; above 0
    Returns: parts per million in it [ppm]
    Source: what comes a second over the air that passes a second

    >>> downwind_ppm(0.6, 1.0, 1.0)
    10.0
    """
    passes_l_per_min = np.asarray(wind_m_per_s) * plume_m2 * LITRES_PER_M3 * 60
    ppm: Number = gas_l_per_min / passes_l_per_min * PER_MILLION
    return ppm


def wind_of(work: Work, told: Mapping[str, Any]) -> Range:
    """The wind told of, or a light one [m/s]."""
    if "wind_m_per_s" in told:
        given = told["wind_m_per_s"]
        return Range(low(given), likely(given), high(given))
    wind = work.fact("practice/vent.wind.light").range
    work.assume(f"a light wind of {wind.low:g}/{wind.likely:g}/{wind.high:g} m/s")
    return wind


def times_downwind(work: Work, told: Mapping[str, Any], found: Sequence[Coming]) -> Array | None:
    """How many times its nearest limit each case comes to in the narrowest plume and the least wind (cases,) [-].

    Short limits and ceilings are held against the worst moment, since wind has no average one may count on.
    """
    wind, plume = wind_of(work, told).low, work.fact("practice/vent.wind.plume").range.low
    reached = [
        np.asarray(downwind_ppm(one.peak_l_per_min(), wind, plume)) / limit.ppm
        for one in found
        for limit, counts in counted(one.gas, work.place.law)
        if counts and limit.kind != "8 h"
    ]
    return np.max(np.stack(reached), axis=0) if reached else None


def outdoors(work: Work, told: Mapping[str, Any], found: Sequence[Coming]) -> dict[str, Range]:
    """Answer with every gas downwind, at its worst moment.

    Args:
        work: the step
        told: may hold `wind_m_per_s`
        found: the gases as they come
    Returns: bounds by gas [ppm]
    """
    wind = wind_of(work, told)
    plume = work.fact("practice/vent.wind.plume").range
    bounds = {}
    for one in found:
        peak = one.peak_l_per_min()
        least = float(downwind_ppm(float(peak.min()), wind.high, plume.high))
        most = float(downwind_ppm(float(peak.max()), wind.low, plume.low))
        bounds[one.gas] = Range(least, float(downwind_ppm(float(peak[0]), wind.likely, plume.likely)), most)
        why = f"{plume.low:g} to {plume.high:g} m2 of plume: from an arm to a few steps downwind"
        sized = "high: narrow plume, least wind"
        work.answer(f"{word_of(one.gas)}_downwind", bounds[one.gas], "ppm", sized_on=sized, because=why)
    work.say("outdoors", "a bounded estimate, not a forecast: stand upwind and to the side, and move when the wind does")
    return bounds
