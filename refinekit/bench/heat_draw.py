"""The curve of a pot that heats itself: all at once, and by the portions that keep it under the pause."""

from __future__ import annotations

import numpy as np

from refinekit.bench.heat_portions import Heating, Warming
from refinekit.bench.heat_time import BURST_SPANS, Array, burst, cooled_after, pot_of, times
from refinekit.bench.work import Work
from refinekit.facts.load import fact
from refinekit.ranges import likely

POINTS, LEAST_POINTS = 100, 12
LONG_MIN = 300.0
"""Minutes from which the time is told in hours."""
FALLEN = 0.25
"""Share of its rise that a pot in one go still has where its curve ends."""


def draw(work: Work, heating: Heating, found: Warming) -> None:
    """Draw the temperature against time, likely case, the pot standing in the air; nothing where it hardly warms.

    Args:
        work: the step being done
        heating: what gives the heat
        found: its portions and peaks
    Source: `heat_time`; how little warming counts, facts/practice/heat.toml
    """
    if heating.rise_k.high <= fact("practice/heat.headroom").value:
        return
    zero, boil = fact("constants.zero_celsius").value, fact("enthalpy.water_boils").value
    capacity = heating.kj_per_l_k or fact("enthalpy.liquor_heat_capacity").value
    heat_kj = heating.rise_k.likely * likely(heating.volume_l) * capacity
    curves = {"all at once": np.array([[0.0], [heating.start_k]])}
    if found.portions > 1:
        curves[f"in {found.portions} portions"] = _by_portions(work, heating, found, heat_kj, capacity)
    until = float(max(line[0, -1] for line in curves.values()))
    curves["all at once"] = _at_once(work, heating, heat_kj, capacity, until)
    until = max(until, float(curves["all at once"][0, -1]))
    hours = until > LONG_MIN
    series = {name: (line[0] / (60 if hours else 1), np.minimum(line[1], boil) - zero) for name, line in curves.items()}
    pause = fact("practice/neutralise.pause").value
    levels = [(f"{pause:g} C, pause", pause)]
    if found.portions > 1:
        levels.append((f"{found.again_k - zero:.0f} C, next portion", found.again_k - zero))
    if found.boils:
        levels.append((f"{boil - zero:.0f} C, boils", boil - zero))
    tops = {name: float(up.max()) for name, (_, up) in series.items()}
    said = "; ".join(f"{name} {'boils over' if top >= boil - zero else f'{top:.0f} C'}" for name, top in tops.items())
    finding = f"{said[0].upper()}{said[1:]}, likely heat, standing in the air."
    work.chart(
        "temperature of the pot against time",
        "hours" if hours else "minutes",
        "temperature, degC",
        series,
        finding=finding,
        levels=levels,
    )


def _t90_and_share(heating: Heating) -> tuple[float, float]:
    return fact("practice/heat." + heating.t90).value, fact("practice/heat.evaporation_share").value


def _at_once(work: Work, heating: Heating, heat_kj: float, capacity: float, until_min: float) -> Array:
    """Minutes and kelvin of all of it at once: to the end of the portions, else till most of the rise is gone."""
    t90, share = _t90_and_share(heating)
    pot = pot_of(likely(heating.volume_l), capacity, work.place.temperature_k, share)
    if until_min <= 0:
        at = times(t90)
        line = burst(pot, heat_kj, t90, heating.start_k, at)
        back = cooled_after(line, at, heating.start_k + FALLEN * float(line.max() - heating.start_k))[0]
        until_min = float(back) if np.isfinite(back) and back > 0 else float(at[-1])
    at = _moments(t90, until_min, POINTS)
    return np.array([at, burst(pot, heat_kj, t90, heating.start_k, at)[:, 0]])


def _by_portions(work: Work, heating: Heating, found: Warming, heat_kj: float, capacity: float) -> Array:
    """Minutes and kelvin of one portion after the other, each when the last has cooled."""
    t90, share = _t90_and_share(heating)
    volume, there = likely(heating.volume_l), likely(heating.there_l)
    least = fact("practice/fume.burst.next_after").value * t90
    longest = max(float(found.wait_min[0]) if np.isfinite(found.wait_min[0]) else 0.0, least)
    local = _moments(t90, longest, max(LEAST_POINTS, POINTS // found.portions))
    when, curve, kelvin, began = [], [], heating.start_k, 0.0
    for number in range(found.portions):
        small = pot_of(there + (volume - there) * (number + 1) / found.portions, capacity, work.place.temperature_k, share)
        line = burst(small, heat_kj / found.portions, t90, kelvin, local)
        next_min = min(max(float(cooled_after(line, local, found.again_k)[0]), least), longest)
        shown = np.append(local[local < next_min], next_min)
        when.append(began + shown)
        curve.append(np.interp(shown, local, line[:, 0]))
        kelvin, began = float(curve[-1][-1]), began + next_min
    return np.array([np.concatenate(when), np.concatenate(curve)])


def _moments(t90_min: float, until_min: float, count: int) -> Array:
    """Moments to tell a burst at: half of them while it works, half while it cools."""
    worked = min(BURST_SPANS * t90_min, until_min / 2)
    half = count // 2
    return np.concatenate([np.linspace(0.0, worked, half, endpoint=False), np.linspace(worked, until_min, count - half)])
