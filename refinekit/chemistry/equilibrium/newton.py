"""The equations of the equilibrium and Newton's steps on all liquors at once.

Unknown in every liquor are the logarithms of the activities of its components, what each solid holds, the ionic strength, the
activity of the water, and either the dose of base (at a set pH) or the pH (at a set dose). A solid either holds something and is
saturated, or holds nothing and is not: Fischer and Burmeister's function of the two is zero in just those cases, so no list of
which solids are there has to be tried out. Balances are kept as logarithms of what is found over what there is, which makes
far-off starts harmless.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.system import System
from refinekit.record import record

Array = NDArray[np.float64]
Rows = NDArray[np.intp]
CLOSE = 1e-11
"""Imbalance at which a liquor is done: far under the 1e-9 that is promised."""
LONGEST_STEP = 8.0
"""Longest step of a logarithm: a factor of three thousand."""
SMALLEST_SLOPE = 1e-10
"""Least slope of the corner's rounding along a solid's share: under it the matrix has no inverse."""
SMOOTH, SMOOTH_NEAR, LEAST_SMOOTH = 1e-3, 1e-9, 1e-15
"""Rounding of the corner between saturated and not there: far from the answer, near it, and the least it comes down to."""
LARGEST_LN = 50.0
"""Largest logarithm whose exponential is taken: far-off starts must not overflow."""
MOST_SHARE, MOST_SHARE_UNMEASURED = 1.5, 1000.0
"""Most a solid may seem to hold of what it could, where that is known, and where the dose is still sought."""
LEAST = 1e-300
"""Keeps a division or a logarithm from nothing."""
IONIC_FALL, IONIC_RISE = 0.3, 3.0
"""Times to which the ionic strength may fall and rise in a step."""
WATER_STEP = 0.5
"""Most the logarithm of water's activity may move in a step."""
KEPT_SHARE = 0.9
"""Share of what is there that a step of the dose may take away."""


@record
class Problem:
    """Liquors to bring to equilibrium.

    Args:
        system: the balances
        totals: total of each component (n, C) [mol/L], over 0
        rate: what one mole of base adds to each (C,) [-]
        idle: bystanders (n, S) [mol/L]
        idle_rate: what one mole of base adds to each (S,) [-]
        fixed: "ph" where the dose is sought, "dose" where the pH is
        at: ln of the acid's activity (n,), or the dose (n,) [mol/L]
        most: the measure each solid is counted in (n, P) [mol/L], about the most there could be of it
        ionic_held: whether the ionic strength stays at what the point says
    """

    system: System
    totals: Array
    rate: Array
    idle: Array
    idle_rate: Array
    fixed: Literal["ph", "dose"]
    at: Array
    most: Array
    ionic_held: bool = False

    def rows(self, which: Rows) -> Problem:
        """Some of the liquors."""
        return replace(self, totals=self.totals[which], idle=self.idle[which], at=self.at[which], most=self.most[which])


@dataclass
class Point:
    """Where the liquors stand.

    Args:
        x: ln of the components' activities (n, C)
        free: the dose [mol/L], or ln of the acid's activity, whichever is sought (n,)
        ionic: ionic strength (n,) [mol/kg]
        ln_w: ln of the water's activity (n,)
        share: what each solid holds, over the most there could be of it (n, P) [-]
    """

    x: Array
    free: Array
    ionic: Array
    ln_w: Array
    share: Array

    def rows(self, which: Rows) -> Point:
        """Some of the liquors."""
        return Point(self.x[which], self.free[which], self.ionic[which], self.ln_w[which], self.share[which])

    def towards(self, other: Point, part: Array) -> Point:
        """So far along from each of these to each of those (n,), as a start near both."""
        return Point(
            self.x + part[:, None] * (other.x - self.x),
            self.free + part * (other.free - self.free),
            self.ionic + part * (other.ionic - self.ionic),
            self.ln_w + part * (other.ln_w - self.ln_w),
            self.share + part[:, None] * (other.share - self.share),
        )

    def put(self, which: Rows, other: Point) -> None:
        """Write some of the liquors back."""
        self.x[which], self.free[which], self.ionic[which] = other.x, other.free, other.ionic
        self.ln_w[which], self.share[which] = other.ln_w, other.share


def molalities(system: System, point: Point, ln_h: Array) -> tuple[Array, Array]:
    """Amounts of every species (n, J) [mol/L], and the slope of ln gamma with ionic strength by kind of ion (n, kinds)."""
    ln_gamma, slope = system.ln_gamma(point.ionic)
    known = np.concatenate([point.x, ln_h[:, None], point.ln_w[:, None], ln_gamma], axis=1)
    ln_m = known @ system.all_at_once
    ln_m += system.ln_k
    return np.exp(np.minimum(ln_m, LARGEST_LN, out=ln_m), out=ln_m), slope


def solve(
    problem: Problem, point: Point, *, most_steps: int, step: float = LONGEST_STEP, smooth_from: float = SMOOTH
) -> NDArray[np.bool_]:
    """Take Newton's steps until every liquor is in balance or the steps run out.

    Args:
        problem: the liquors
        point: where to start; holds the answer afterwards, or how far it came
        most_steps: steps to take at the most [-]
        step: longest change of a ln activity in one step [-]
        smooth_from: how rounded the corner between fallen and dissolved is at first [-]
    Returns: which liquors came to balance (n,)
    """
    done = np.zeros(len(problem.at), dtype=bool)
    live: Rows = np.arange(len(problem.at))
    part, here = problem, point.rows(live)
    smooth = np.full(len(live), smooth_from)
    for _ in range(most_steps):
        with np.errstate(all="ignore"):
            far, finite = _step(part, here, smooth, step)
        smooth = np.maximum(np.minimum(0.1 * smooth, np.minimum(far, 1.0) ** 2), LEAST_SMOOTH)
        finished = finite & (far < CLOSE)
        lost = ~finite
        if (finished | lost).any():
            left = finished | lost
            point.put(live[left], here.rows(np.flatnonzero(left)))
            done[live[finished]] = True
            keep = np.flatnonzero(~left)
            live, here, smooth = live[keep], here.rows(keep), smooth[keep]
            if not len(live):
                break
            part = problem.rows(live)
    point.put(live, here)
    return done


@record
class _Look:
    """What is found at a point: sums over species and what they change by with each unknown.

    Columns of `change` are the components, the acid and the water; its rows, like those of `sums` and `by_ionic`, are the
    components, the charge, the ionic strength and the count of everything dissolved. `off` is the ln of found over there.
    """

    m: Array
    slope: Array
    there: Array
    idle: Array
    sums: Array
    found: Array
    off: Array
    change: Array
    by_ionic: Array
    error: Array
    pull: Array
    jump: Array


def _look(problem: Problem, here: Point, smooth: Array) -> _Look:
    s = problem.system
    n, c = here.x.shape
    ln_h, dose = (problem.at, here.free) if problem.fixed == "ph" else (here.free, problem.at)
    m, slope = molalities(s, here, ln_h)
    sums = m @ s.left
    under = s.solid_ln_k - here.x @ s.solid_nu.T - ln_h[:, None] * s.solid_h - here.ln_w[:, None] * s.solid_w
    error, pull, jump = _either_or(here.share, under, smooth)
    change = (m @ s.crossed).reshape(n, c + 3, c + 2)
    if len(s.solids):
        change[:, :c] += ((problem.most * pull)[:, None, :] * s.solid_nu.T) @ s.solid_right
    there = problem.totals + dose[:, None] * problem.rate
    found = np.maximum(sums[:, :c] + (problem.most * here.share) @ s.solid_nu, LEAST)
    return _Look(
        m=m,
        slope=slope,
        there=there,
        idle=problem.idle + dose[:, None] * problem.idle_rate,
        sums=sums,
        found=found,
        off=np.log(found / there),
        change=change,
        by_ionic=(slope.T[:, :, None] * (m @ s.left_by_kind)).sum(axis=0),
        error=error,
        pull=pull,
        jump=jump,
    )


def _step(problem: Problem, here: Point, smooth: Array, longest: float) -> tuple[Array, NDArray[np.bool_]]:
    """One step, in place; how far each liquor was from balance before it, and whether it still has figures."""
    c = here.x.shape[1]
    look = _look(problem, here, smooth)
    matrix, rhs = _equations(problem, here, look)
    far: Array = np.abs(np.concatenate([rhs[:, c:], look.off, look.error], axis=1)).max(axis=1)
    finite = np.isfinite(matrix.sum(axis=(1, 2)) + rhs.sum(axis=1))
    if not finite.all():
        matrix[~finite], rhs[~finite] = np.eye(c + 3), 0.0
    _walk(problem, here, _solved(matrix, rhs), look, longest)
    return far, finite


def _equations(problem: Problem, here: Point, look: _Look) -> tuple[Array, Array]:
    """Newton's linear equations (n, C + 3, C + 3) for the components, the dose or the acid, the ionic strength and the water."""
    s = problem.system
    n, c = here.x.shape
    seek_dose = problem.fixed == "ph"
    matrix, rhs = np.empty((n, c + 3, c + 3)), np.empty((n, c + 3))
    matrix[:, :, :c] = look.change[:, :, :c]
    matrix[:, :, c] = 0.0 if seek_dose else look.change[:, :, c]
    matrix[:, :, c + 1] = -look.by_ionic
    matrix[:, :, c + 2] = look.change[:, :, c + 1]

    scale = 1 / look.found
    matrix[:, :c] *= scale[:, :, None]
    if seek_dose:
        matrix[:, :c, c] = -problem.rate / look.there
    rhs[:, :c] = -look.off - ((problem.most * look.jump) @ s.solid_nu) * scale

    (_charge if seek_dose else _log_charge)(problem, look, matrix, rhs)

    z, sign = s.bystander_z, np.sign(look.idle)
    strength = look.sums[:, c + 1] + np.abs(look.idle) @ (0.5 * z**2)
    if seek_dose:
        matrix[:, c + 1, c] = (sign * problem.idle_rate) @ (0.5 * z**2)
        matrix[:, c + 2, c] = sign @ problem.idle_rate
    matrix[:, c + 1, c + 1] -= 1
    matrix[:, c + 1] /= here.ionic[:, None]
    rhs[:, c + 1] = 1 - strength / here.ionic

    if problem.ionic_held:
        matrix[:, c + 1] = np.eye(c + 3)[c + 1]
        rhs[:, c + 1] = 0.0

    dissolved = look.sums[:, c + 2] + np.abs(look.idle).sum(axis=1)
    water = np.exp(here.ln_w)
    matrix[:, c + 2] *= -s.water_slope
    matrix[:, c + 2, c + 2] -= water
    rhs[:, c + 2] = water - (1 - s.water_slope * dissolved)
    return matrix, rhs


def _charges(problem: Problem, look: _Look) -> tuple[Array, Array]:
    """Charge left over, and all charge there is (n,) [mol/L]."""
    s = problem.system
    left_over = look.sums[:, len(s.parts)] + look.idle @ s.bystander_z
    return left_over, look.m @ np.abs(s.z) + look.idle @ np.abs(s.bystander_z) + 1e-30


def _charge(problem: Problem, look: _Look, matrix: Array, rhs: Array) -> None:
    """At a set pH the charges balance as a plain sum, in which the dose is linear."""
    c = len(problem.system.parts)
    left_over, size = _charges(problem, look)
    matrix[:, c, c] = problem.idle_rate @ problem.system.bystander_z
    matrix[:, c] /= size[:, None]
    rhs[:, c] = -left_over / size


def _log_charge(problem: Problem, look: _Look, matrix: Array, rhs: Array) -> None:
    """At a set dose the charges balance as the logarithm of plus over minus, which a far-off pH cannot throw."""
    s = problem.system
    c = len(s.parts)
    left_over, size = _charges(problem, look)
    plus, minus = np.maximum(0.5 * (size + left_over), 1e-30), np.maximum(0.5 * (size - left_over), 1e-30)
    positive = look.m * np.maximum(s.z, 0.0)
    rise = np.column_stack([positive @ s.right, -((positive @ s.takes.T) * look.slope).sum(axis=1)])
    whole = np.column_stack([look.change[:, c], -look.by_ionic[:, c]])
    both = rise / plus[:, None] - (rise - whole) / minus[:, None]
    matrix[:, c] = both[:, [*range(c + 1), c + 2, c + 1]]
    rhs[:, c] = -np.log(plus / minus)


def _solved(matrix: Array, rhs: Array) -> Array:
    move = np.empty_like(rhs)
    try:
        move[:] = np.linalg.solve(matrix, rhs[:, :, None])[:, :, 0]
    except np.linalg.LinAlgError:
        move[:] = np.array([np.linalg.lstsq(a, b, rcond=None)[0] for a, b in zip(matrix, rhs, strict=True)])
    return move


def _either_or(share: Array, under: Array, smooth: Array) -> tuple[Array, Array, Array]:
    """Fischer and Burmeister's function of what a solid holds and how far it is from saturation.

    Returns: its value; how the share follows a fall of the saturation (pull) and what it changes by of itself (jump)
    """
    mu = smooth[:, None]
    share_2, under_2, twice = share * share, under * under, 2 * mu
    root = np.sqrt(share_2 + under_2 + twice)
    total = share + under
    value = np.where(total > 0, 2 * (share * under - mu) / np.maximum(total + root, LEAST), total - root)
    by_share = np.where(share > 0, (under_2 + twice) / (root * (root + np.maximum(share, 0.0))), 1 - share / root)
    by_under = np.where(under > 0, (share_2 + twice) / (root * (root + np.maximum(under, 0.0))), 1 - under / root)
    by_share = np.maximum(by_share, SMALLEST_SLOPE)
    return value, by_under / by_share, -value / by_share


def _walk(problem: Problem, here: Point, move: Array, look: _Look, longest: float) -> None:
    """Move along, shortened so that nothing leaves the region where it has a meaning."""
    s = problem.system
    c = len(s.parts)
    dx, df, di, dw = move[:, :c], move[:, c], move[:, c + 1], move[:, c + 2]
    reach = np.abs(dx).max(axis=1, initial=0.0)
    seek_dose = problem.fixed == "ph"
    if not seek_dose:
        reach = np.maximum(reach, 2 * np.abs(df))
    cut = np.minimum(1.0, longest / np.maximum(reach, LEAST))
    cut_free = cut
    if seek_dose:
        fall = -df[:, None] * problem.rate
        room = np.where(fall > 0, KEPT_SHARE * look.there / np.maximum(fall, LEAST), np.inf).min(axis=1, initial=np.inf)
        cut_free = np.minimum(cut, room)
    d_h = np.zeros_like(df) if seek_dose else df
    turn = dx @ s.solid_nu.T + d_h[:, None] * s.solid_h + dw[:, None] * s.solid_w
    most_share = MOST_SHARE_UNMEASURED if seek_dose else MOST_SHARE
    here.share = np.clip(here.share + cut[:, None] * (look.jump + look.pull * turn), 0.0, most_share)
    here.x += cut[:, None] * dx
    here.free += cut_free * df
    here.ionic = np.clip(here.ionic + cut * di, IONIC_FALL * here.ionic, IONIC_RISE * here.ionic + 1e-12)
    here.ln_w += cut * np.clip(dw, -WATER_STEP, WATER_STEP)
