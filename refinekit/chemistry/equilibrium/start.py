"""A first guess at the equilibrium, near enough for Newton's steps: components shared out one at a time, solids as caps."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.newton import Point, Problem, molalities
from refinekit.chemistry.equilibrium.system import LN10
from refinekit.facts.load import fact

Array = NDArray[np.float64]
SWEEPS, HALVINGS = 5, 8
"""Rounds of the first guess at what is dissolved, and halvings of the first guess at the pH."""
LEAST_IONIC, MOST_IONIC = 1e-5, 8.0
"""Ionic strengths between which the search begins [mol/L]; the answer may lie outside."""
OVER_SHORT, OVER_NOTHING = 1.02, 1e-3
"""How far past the dose at which a component would be used up the search begins: times, and moles per litre."""
LEAST_WATER = 0.3
"""Least activity of the water that is guessed."""


def most_of_each_solid(problem: Problem, dose: Array) -> Array:
    """The most there could be of every solid (n, P) [mol/L]: its scarcest component used up."""
    there = problem.totals + np.maximum(dose, 0.0)[:, None] * problem.rate
    nu = problem.system.solid_nu
    most = np.empty((len(there), len(nu)))
    for solid, counts in enumerate(nu):
        holds = counts > 0
        most[:, solid] = (there[:, holds] / counts[holds]).min(axis=1)
    return most


def ph_sought() -> tuple[float, float]:
    """Lowest and highest pH a liquor's own is sought at [-]."""
    past = fact("equilibrium/limits.past_the_ends").value
    return fact("equilibrium/limits.lowest_ph").value - past, fact("equilibrium/limits.highest_ph").value + past


def guess_ln_h(problem: Problem) -> Array:
    """The acid at a set dose, roughly: halve the pH range until the charges come out (n,) [ln of activity]."""
    s = problem.system
    n = len(problem.at)
    low, high = (np.full(n, end) for end in ph_sought())
    point = _spread_out(problem, problem.at)
    for _ in range(HALVINGS):
        ph = 0.5 * (low + high)
        ln_h = -LN10 * ph
        m = _sweep(problem, point, ln_h, problem.at, 2)
        plus = m @ s.z + (problem.idle + problem.at[:, None] * problem.idle_rate) @ s.bystander_z
        low, high = np.where(plus > 0, ph, low), np.where(plus > 0, high, ph)
    middle: Array = -LN10 * 0.5 * (low + high)
    return middle


def least_dose(problem: Problem) -> Array:
    """The dose under which a component would be short of what has left the pot (n,) [mol/L]."""
    brought = problem.rate > 0
    if not brought.any():
        return np.zeros(len(problem.totals))
    short: Array = np.maximum(-problem.totals[:, brought] / problem.rate[brought], 0.0).max(axis=1)
    return np.where(short > 0, OVER_SHORT * short + OVER_NOTHING, 0.0)


def first_guess(problem: Problem, alkali: float, ln_h: Array, dose: Array) -> tuple[Problem, Point]:
    """Where to start, and the problem with its solids measured.

    Args:
        problem: the liquors
        alkali: acid one mole of the base takes up [-]
        ln_h: ln of the acid's activity, set or guessed (n,)
        dose: dose of base, set or guessed (n,) [mol/L]
    """
    s = problem.system
    point = _spread_out(problem, dose)
    m = _sweep(problem, point, ln_h, dose, SWEEPS)
    there = problem.totals + np.maximum(dose, 0.0)[:, None] * problem.rate
    idle = problem.idle + dose[:, None] * problem.idle_rate
    if problem.fixed == "ph":
        carried = there - problem.totals
        short = m @ s.z + problem.idle @ s.bystander_z - carried @ np.maximum(s.z[: len(s.parts)], 0.0)
        dose = np.maximum(np.maximum(-short / alkali, dose * 0.05), least_dose(problem))
    problem = replace(problem, most=most_of_each_solid(problem, dose))
    point.share = _shares(problem, point, m, ln_h, there)
    point.free = dose.copy() if problem.fixed == "ph" else ln_h.copy()
    dissolved = m.sum(axis=1) + np.abs(idle).sum(axis=1)
    point.ln_w = np.log(np.maximum(1 - s.water_slope * dissolved, LEAST_WATER))
    return problem, point


def _spread_out(problem: Problem, dose: Array) -> Point:
    """Everything free, half the ionic strength it could have."""
    s = problem.system
    there = problem.totals + np.maximum(dose, 0.0)[:, None] * problem.rate
    n = len(there)
    ionic = 0.5 * most_ionic(problem, dose)
    return Point(np.log(there), np.zeros(n), ionic, np.zeros(n), np.zeros((n, len(s.solids))))


def most_ionic(problem: Problem, dose: Array) -> Array:
    """The ionic strength if everything were dissolved as free ions (n,) [mol/kg]."""
    s = problem.system
    there = problem.totals + np.maximum(dose, 0.0)[:, None] * problem.rate
    idle = np.abs(problem.idle + dose[:, None] * problem.idle_rate)
    strength = 0.5 * there @ s.z[: len(s.parts)] ** 2 + idle @ (0.5 * s.bystander_z**2)
    return np.clip(strength, LEAST_IONIC, MOST_IONIC)


def _lead(problem: Problem) -> NDArray[np.intp]:
    """The component each solid is the solid of: its first."""
    return np.array([np.flatnonzero(row)[0] for row in problem.system.solid_nu], dtype=np.intp)


def _sweep(problem: Problem, point: Point, ln_h: Array, dose: Array, sweeps: int) -> Array:
    """Share each component out over its species, then cap it at its solids; in place. Amounts of the species (n, J) [mol/L]."""
    s = problem.system
    there = problem.totals + np.maximum(dose, 0.0)[:, None] * problem.rate
    ceiling = most_ionic(problem, dose)
    idle_ionic = np.abs(problem.idle + dose[:, None] * problem.idle_rate) @ (0.5 * s.bystander_z**2)
    lead = _lead(problem)
    for _ in range(sweeps):
        m, _slope = molalities(s, point, ln_h)
        found = np.maximum(m @ s.nu, 1e-300)
        power = (m @ s.nu**2) / found
        point.x += np.clip(np.log(there / found) / np.maximum(power, 1.0), -30, 30)
        for solid, part in enumerate(lead):
            under = s.solid_ln_k[solid] - point.x @ s.solid_nu[solid] - ln_h * s.solid_h[solid]
            point.x[:, part] += np.minimum(under, 0.0) / s.solid_nu[solid, part]
        point.ionic = np.clip(0.5 * m @ s.z**2 + idle_ionic, LEAST_IONIC, ceiling)
    return molalities(s, point, ln_h)[0]


def _shares(problem: Problem, point: Point, m: Array, ln_h: Array, there: Array) -> Array:
    """What each solid holds at first: all the surplus of a metal in the solid nearest saturation."""
    s = problem.system
    share = np.zeros_like(problem.most)
    lead = _lead(problem)
    under = s.solid_ln_k - point.x @ s.solid_nu.T - ln_h[:, None] * s.solid_h
    surplus = np.maximum(1 - (m @ s.nu) / there, 0.0)
    for part in set(lead.tolist()):
        own = np.flatnonzero(lead == part)
        nearest = own[np.argmin(under[:, own], axis=1)]
        rows = np.arange(len(share))
        close = under[rows, nearest] < 1e-6
        share[rows[close], nearest[close]] = surplus[close, part]
    return share
