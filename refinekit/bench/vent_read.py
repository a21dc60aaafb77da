"""What the air held, read against the limits: peaks, averages over the right time, and when it is fit to enter again."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.fume_limits import WINDOWS_MIN, Limit, alarm_line, counted
from refinekit.bench.vent_come import Coming
from refinekit.bench.vent_shop import Shop
from refinekit.bench.vent_time import Trace, room_air
from refinekit.ranges import Range
from refinekit.record import record

Array = NDArray[np.float64]
DAY_MIN = WINDOWS_MIN["8 h"]
STILL = 1e-9
"""Share of the air that goes out in a minute under which nothing carries gas off, in any life."""


@record
class Breathed:
    """One gas as it is breathed near the pot.

    Args:
        gas: species [text]
        peak: the most at any moment (cases,) [ppm]
        short: worst quarter of an hour (cases,) [ppm]
        eight: worst eight hours (cases,) [ppm]
        at_min: when it is at its most (cases,) [min]
        fit_min: from when on it stays under its line (cases,) [min]; infinite where nothing carries it off
        line: the line it has to stay under [ppm], and whose it is; None where there is none
    """

    gas: str
    peak: Array
    short: Array
    eight: Array
    at_min: Array
    fit_min: Array
    line: tuple[float, str] | None

    def against(self, limit: Limit) -> Array:
        """The figure a limit is held against: an average over its time, or the peak (cases,) [ppm]."""
        return {15.0: self.short, DAY_MIN: self.eight}.get(limit.window_min or 0.0, self.peak)

    def against_line(self) -> Array:
        """Share of its line that it comes to in its worst quarter of an hour (cases,) [-]."""
        return self.short / self.line[0] if self.line else np.zeros_like(self.short)


def walked(found: Sequence[Coming], shop: Shop, until_min: float | None = None) -> Trace:
    """Walk through the air until eight hours after the last gas has come.

    Args:
        found: the gases, as they get into the room
        shop: the air
        until_min: to there at least [min]
    """
    pieces = [piece for one in found for piece in one.pieces()]
    over = max(piece.over_min() for piece in pieces)
    return room_air(pieces, shop.breath, max(over + DAY_MIN, until_min or 0.0))


def breathed(trace: Trace, shop: Shop, law: str) -> list[Breathed]:
    """Every gas of a trace near the pot, against the limits of a law."""
    return [_one(trace, gas, shop, law) for gas in trace.ppm]


def _one(trace: Trace, gas: str, shop: Shop, law: str) -> Breathed:
    line = alarm_line(gas, law)
    near = shop.mixing
    fit = _fit(trace, gas, shop, line[0] / near) if line else np.zeros_like(trace.peak[gas])
    return Breathed(
        gas,
        near * trace.peak[gas],
        near * trace.worst_mean(gas, WINDOWS_MIN["15 min"]),
        near * trace.worst_mean(gas, DAY_MIN),
        trace.peak_at_min(gas),
        fit,
        line,
    )


def _fit(trace: Trace, gas: str, shop: Shop, line_ppm: float) -> Array:
    """From when a gas stays under a line; past the walk by the purge equation, with all nitrogen counted as still to turn."""
    found = trace.last_over_min(gas, line_ppm)
    thins = shop.breath.thins_per_min
    if not np.isinf(found).any() or not np.all(np.asarray(thins) > STILL):
        return found
    left = trace.ppm[gas][-1] + (trace.ppm["NO"][-1] if gas == "NO2" and "NO" in trace.ppm else 0.0)
    later = trace.minutes[-1] + np.log(np.maximum(left / line_ppm, 1.0)) / thins
    return np.where(np.isinf(found), later, found)


def worst(air: Sequence[Breathed], law: str) -> tuple[float, Breathed, Limit] | None:
    """The limit that is passed by most, or come nearest to: how many times, the gas and the limit; None where none is kept."""
    found = [
        (float(np.max(one.against(limit))) / limit.ppm, one, limit)
        for one in air
        for limit, counts in counted(one.gas, law)
        if counts
    ]
    return max(found, key=lambda each: each[0], default=None)


def times_of_limits(air: Sequence[Breathed], law: str) -> Array | None:
    """How many times the nearest limit each case comes to (cases,) [-]; None where no limit is kept."""
    found = [one.against(limit) / limit.ppm for one in air for limit, counts in counted(one.gas, law) if counts]
    return np.max(np.stack(found), axis=0) if found else None


def together(air: Sequence[Breathed]) -> float | None:
    """Shares of their lines added up over the gases, at the worst case [-]; None where fewer than two have a line.

    Source: mixtures, sum of C/L, 29 CFR 1910.1000(d)(2)
    """
    shares = [one.against_line() for one in air if one.line]
    return float(np.max(np.sum(np.stack(shares), axis=0))) if len(shares) > 1 else None


def range_of(figures: Array) -> Range:
    """Least, likely and most of a figure over its cases; the likely case first."""
    return Range(float(figures.min()), float(figures[0]), float(figures.max()))
