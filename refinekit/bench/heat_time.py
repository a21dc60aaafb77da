"""A pot that heats itself, in time: how hot it gets with loss to the air, in one go or by portions, and when to go on.

A portion gives its heat as a burst (nine tenths in a time). The loss follows a table of open tanks: evaporation and radiation
from the top, the sides beside it. Nothing is lost to the tray, and what boils away is not followed: a pot that comes to the boil
is one that went wrong.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import pi

import numpy as np
from numpy.typing import NDArray

from refinekit.errors import OutOfRange
from refinekit.facts.load import fact, table
from refinekit.ranges import Number, likely
from refinekit.record import record

Array = NDArray[np.float64]
LN10 = float(np.log(10))
FAHRENHEIT_PER_K = 1.8
KJ_PER_W_MIN = 0.06
BURST_STEPS, COOLING_STEPS = 40, 80
BURST_SPANS = 4.0
"""Times t90 after which a burst is done but for a ten thousandth."""


@dataclass(frozen=True, slots=True, eq=False)
class Loss:
    """Heat lost to the air by how much warmer the pot is; straight lines between points.

    Args:
        excess_k: over the air [K], rising from 0 (points,)
        evaporation_w_per_m2: from an open top of plain water [W/m2] (points,)
        radiation_w_per_m2: from the top besides [W/m2] (points,)
        sides_w_per_m2: from the wetted sides [W/m2] (points,)
    """

    excess_k: Array
    evaporation_w_per_m2: Array
    radiation_w_per_m2: Array
    sides_w_per_m2: Array


@dataclass(frozen=True, slots=True, eq=False)
class Vessel:
    """A pot as heat sees it.

    Args:
        kj_per_k: heat that warms it by a kelvin [kJ/K]; above 0
        top_m2: its open top [m2]
        sides_m2: its wetted sides [m2]
        evaporates: part of plain water's evaporation that counts [-]; 0 for a lid, 1 for water in the open
        air_k: the air [K]
        loss: to that air
    """

    kj_per_k: Number
    top_m2: Number
    sides_m2: Number
    evaporates: Number
    air_k: float
    loss: Loss

    def lost_w(self, temperature_k: Array) -> Array:
        """Heat lost at a temperature [W]; none where the pot is no warmer than the air."""
        excess = np.maximum(temperature_k - self.air_k, 0.0)
        steam, radiation, sides = (
            np.interp(excess, self.loss.excess_k, line)
            for line in (self.loss.evaporation_w_per_m2, self.loss.radiation_w_per_m2, self.loss.sides_w_per_m2)
        )
        return np.asarray((steam * self.evaporates + radiation) * self.top_m2 + sides * self.sides_m2)


@cache
def open_loss() -> Loss:
    """Loss of an open pot of warm water to still air. Source: facts/practice/heat.toml."""
    rows = table("practice/heat")["open_tank"]
    excess = (np.asarray(rows["water_f"], dtype=float) - rows["water_f"][0]) / FAHRENHEIT_PER_K
    watts_per_m2 = fact("constants.btu_per_square_foot_hour").value
    evaporation, radiation, sides = (
        np.asarray(rows[name], dtype=float) * watts_per_m2 for name in ("evaporation", "radiation", "sides")
    )
    return Loss(excess, evaporation, radiation, sides)


def pot_of(volume_l: Number, kj_per_l_k: float, air_k: float, evaporates: Number, loss: Loss | None = None) -> Vessel:
    """A pot of a volume, round and as deep as it is wide.

    Args:
        volume_l: liquor [L]; above 0
        kj_per_l_k: heat capacity of a litre [kJ/(L K)]
        air_k: the air [K]
        evaporates: part of plain water's evaporation that counts [-]
        loss: to that air; None for that of an open tank
    Raises: OutOfRange, no liquor
    Source: shape, common practice, facts/practice/heat.toml
    """
    if not np.all(np.greater(volume_l, 0)):
        raise OutOfRange(f"{likely(volume_l):.4g} L cannot be warmed", cure="give the litres of the liquor, above 0")
    deep = fact("practice/heat.depth_over_width").value
    width = np.cbrt(4 * np.asarray(volume_l) / 1000 / (pi * deep))
    top, sides = pi / 4 * width**2, pi * deep * width**2
    return Vessel(np.asarray(volume_l) * kj_per_l_k, top, sides, evaporates, air_k, loss or open_loss())


def longest_min() -> float:
    """How long a cooling pot is followed [min]. Source: facts/practice/heat.toml."""
    return fact("practice/heat.followed").value


def times(t90_min: float) -> Array:
    """When a burst and its cooling are looked at [min]: close while it works, wider apart afterwards."""
    longest = longest_min()
    burst = min(BURST_SPANS * t90_min, longest / 2)
    return np.concatenate([np.linspace(0.0, burst, BURST_STEPS, endpoint=False), np.geomspace(burst, longest, COOLING_STEPS)])


def burst(pot: Vessel, heat_kj: Number, t90_min: Number, start_k: Number, at_min: Array) -> Array:
    """Temperature of a pot a burst of heat is set free in.

    Args:
        pot: the pot
        heat_kj: heat of the burst [kJ]
        t90_min: time in which nine tenths come [min]; above 0
        start_k: temperature as it goes in [K]
        at_min: when to tell it [min], rising from 0 (times,)
    Returns: temperature [K] (times, cases)
    Source: heat = C dT + loss dt by steps; the burst's heat exact in each, the loss by its middle
    """
    left = np.exp(-LN10 * at_min[:, None] / np.atleast_1d(t90_min))
    return _walk(pot, (left[:-1] - left[1:]) * np.atleast_1d(heat_kj), start_k, at_min)


def evenly(pot: Vessel, heat_kj: float, over_min: Array, start_k: float, steps: int = COOLING_STEPS) -> Array:
    """Temperature at the end of heat that comes evenly, which is its peak.

    Args:
        pot: the pot
        heat_kj: heat in all [kJ]
        over_min: times it comes over [min], above 0 (times,)
        start_k: temperature to begin with [K]
        steps: steps of the sum
    Returns: temperature [K] (times,)
    """
    each_kj, loss = heat_kj / steps, _losses(pot, ())[0]
    return np.array([_steps(loss, start_k, [each_kj] * steps, [minutes / steps] * steps)[-1] for minutes in over_min.tolist()])


def _walk(pot: Vessel, heat_kj: Array, start_k: Number, at_min: Array) -> Array:
    """Every case by itself: three of them are quicker in plain figures than as an array of three."""
    shape = np.broadcast_shapes(heat_kj.shape[1:], np.shape(start_k), np.shape(pot.kj_per_k))
    starts = np.broadcast_to(np.asarray(start_k, dtype=float), shape).tolist()
    heats = np.broadcast_to(heat_kj, (len(heat_kj), *shape)).T.tolist()
    minutes = np.diff(at_min).tolist()
    return np.array([_steps(*one, minutes) for one in zip(_losses(pot, shape), starts, heats, strict=True)]).T


@record
class _Line:
    """Loss of one case of a pot: watts at points of excess over the air, and the watts a kelvin from each to the next."""

    kj_per_k: float
    air_k: float
    excess_k: list[float]
    watts: list[float]
    slopes: list[float]

    def lost_w(self, kelvin: float) -> float:
        """Heat lost at a temperature [W]; beyond the table, that of its end."""
        excess = kelvin - self.air_k
        if excess <= self.excess_k[0]:
            return self.watts[0]
        if excess >= self.excess_k[-1]:
            return self.watts[-1]
        at = bisect_right(self.excess_k, excess) - 1
        return self.watts[at] + (excess - self.excess_k[at]) * self.slopes[at]


def _losses(pot: Vessel, shape: tuple[int, ...]) -> list[_Line]:
    """The loss of each case of a pot, as plain figures."""
    knots = pot.loss.excess_k
    watts = np.array([np.broadcast_to(pot.lost_w(np.asarray(pot.air_k + excess)), shape).ravel() for excess in knots])
    slopes = np.diff(watts, axis=0) / np.diff(knots)[:, None]
    capacities = np.broadcast_to(np.asarray(pot.kj_per_k, dtype=float), shape).ravel().tolist()
    lines = zip(capacities, watts.T.tolist(), slopes.T.tolist(), strict=True)
    return [_Line(capacity, pot.air_k, knots.tolist(), each, slope) for capacity, each, slope in lines]


def _steps(loss: _Line, start_k: float, heat_kj: Sequence[float], minutes: Sequence[float]) -> list[float]:
    """Temperatures from step to step: half the heat in, the loss of the step's middle, the other half."""
    kelvin, rows, lost_w, capacity, air_k = start_k, [start_k], loss.lost_w, loss.kj_per_k, loss.air_k
    for heat, dt in zip(heat_kj, minutes, strict=True):
        half = heat / 2 / capacity
        cools = KJ_PER_W_MIN * dt / capacity
        warmer = kelvin + half
        least = min(warmer, air_k)
        middle = max(warmer - lost_w(warmer) * cools / 2, least)
        kelvin = max(warmer - lost_w(middle) * cools, least) + half
        rows.append(kelvin)
    return rows


def cooled_after(kelvin: Array, at_min: Array, to_k: float) -> Array:
    """When a pot has come back to a temperature after its peak.

    Args:
        kelvin: its temperature [K] (times, cases)
        at_min: when [min] (times,)
        to_k: temperature to come back to [K]
    Returns: time [min] (cases,); 0 where it never was over it, inf where it does not come back in the time followed
    """
    after = np.full(kelvin.shape[1], np.inf)
    for case, line in enumerate(kelvin.T):
        over = np.flatnonzero(line > to_k)
        if over.size == 0:
            after[case] = 0.0
        elif over[-1] + 1 < len(line):
            row = over[-1]
            share = (line[row] - to_k) / (line[row] - line[row + 1])
            after[case] = at_min[row] + share * (at_min[row + 1] - at_min[row])
    return after
