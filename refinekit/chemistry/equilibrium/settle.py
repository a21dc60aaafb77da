"""From a liquor and a base to the solved balances: sets up the matrices, guesses, steps, and tries harder where it must."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.newton import SMOOTH, SMOOTH_NEAR, Point, Problem, molalities, solve
from refinekit.chemistry.equilibrium.start import (
    LEAST_IONIC,
    first_guess,
    guess_ln_h,
    least_dose,
    most_ionic,
    most_of_each_solid,
    ph_sought,
)
from refinekit.chemistry.equilibrium.system import LN10, System, system_of
from refinekit.record import record

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
TRACE = 1e-18
"""Stands in for nothing at all, which has no logarithm [mol/L]."""
ROUNDING = 4 * np.finfo(float).eps
"""Share of a sum that may be rounding."""
EFFORTS = {"ph": ((30, 2.0), (100, 1.0), (300, 0.3)), "dose": ((40, 2.0), (100, 1.0), (300, 0.3))}
"""Steps to take and longest step, in turn, for the liquors that are not in balance yet, by what is fixed."""
ALL_TRIES, FEW_TRIES = 4, 2
"""Times a liquor is tried, harder each time, before it is given up: where it is the answer, and on the way to one."""
PROMISED = 1e-9
"""Imbalance of mass and charge under which an answer is given, as a share."""
BLOCK = 1024
"""Liquors reckoned at once: what the processor's cache holds."""
SATURATED = 1e-6
"""How far over its saturation, as a logarithm, a solid that is not there may be."""
SPECK = 1e-12
"""Share of what it could hold under which a solid is not there."""
VANISHED = 1e-9
"""A total under which a component is taken to have vanished [mol/L]."""
IONIC_HALVINGS, IONIC_STEPS, IONIC_STEP = 24, 40, 2.0
"""Halvings of the ionic strength where Newton does not find it, and steps and longest step at each."""
INERT = "inert^+"
"""A bystander that only carries charge."""
HALVINGS = 40
"""Halvings of a search along the pH."""


@record
class Settled:
    """Liquors in balance, or flagged as not.

    Args:
        system: the balances
        problem: what was asked
        point: where it came to
        ok: whether it is in balance (n,)
        amounts: every species (n, J) [mol/L]
        solids: every solid (n, P) [mol/L]
        before: base counted into the problem's totals already (n,) [mol/L]
    """

    system: System
    problem: Problem
    point: Point
    ok: Flags
    amounts: Array
    solids: Array
    before: Array | float = 0.0

    @property
    def ln_h(self) -> Array:
        """ln of the acid's activity (n,)."""
        return self.problem.at if self.problem.fixed == "ph" else self.point.free

    @property
    def dose(self) -> Array:
        """Base gone in (n,) [mol/L]."""
        return self.before + self.further

    @property
    def further(self) -> Array:
        """Of that, what the problem's totals do not hold yet (n,) [mol/L]."""
        return self.point.free if self.problem.fixed == "ph" else self.problem.at

    def near(self) -> Point:
        """Where these came to, to start others from that stand much the same: the share of a solid its moles [mol/L]."""
        return replace(self.point, share=self.solids)


def settle(
    liquor: Liquor,
    adds: Mapping[str, float],
    constants: Constants,
    *,
    fixed: Literal["ph", "dose"],
    at: Array,
    alkali: float = 1.0,
    gas_atm: float = 0.0,
    over: tuple[str, ...] = (),
    removed: Mapping[str, Array] | None = None,
    near: Point | None = None,
    tries: int = ALL_TRIES,
    before: Array | None = None,
) -> Settled:
    """Bring liquors with a base in them to balance.

    Args:
        liquor: the liquors
        adds: components one mole of base brings [-]; empty for an ion that only carries charge
        constants: set of constants
        fixed: "ph" where the dose is sought, "dose" where the pH is
        at: the pH, or the dose [mol/L], shape (n,) or (1,)
        alkali: acid one mole of base takes up, for the first guess [-]
        gas_atm: pressure at which carbon dioxide leaves [atm]; 0 where none may
        over: keys of solids that must not fall
        removed: component to what has left the pot for good [mol/L]
        near: where to start instead of guessing (n,), see `Settled.near`; its `free` the ln of the acid, or the dose
        tries: how many times harder liquors are tried that do not come [-]; 1 for those that come at once
        before: base that is in already at a set pH, about as much as what has left has taken along (n,) [mol/L]
    """
    n = max(len(liquor), len(at))
    adds = adds or {INERT: 1.0}
    totals = {name: np.broadcast_to(total, (n,)) for name, total in liquor.totals_mol_per_l.items()}
    idle_totals = {name: np.broadcast_to(total, (n,)) for name, total in liquor.idle_mol_per_l.items()}
    extra = tuple(name for name in adds if name == INERT)
    names = tuple(dict.fromkeys([*totals, *(name for name in adds if name != INERT)]))
    system = system_of(constants, names, (*idle_totals, *extra), gas_atm, over)
    gone = removed or {}
    everything = {**{name: np.zeros(n) for name in adds}, **totals, **idle_totals}
    if before is not None:
        everything |= {name: everything[name] + count * before for name, count in adds.items()}
    problem = Problem(
        system=system,
        totals=_columns([_left(everything[name], gone.get(name), adds.get(name, 0.0), at, fixed) for name in system.parts], n),
        rate=np.array([adds.get(name, 0.0) for name in system.parts]),
        idle=_columns([everything[name] for name in system.bystanders], n),
        idle_rate=np.array([adds.get(name, 0.0) for name in system.bystanders]),
        fixed=fixed,
        at=np.broadcast_to(-LN10 * at if fixed == "ph" else at, (n,)).astype(float),
        most=np.zeros((n, len(system.solids))),
    )
    settled = _pushed(problem, alkali, start=near, tries=tries)
    lost = np.flatnonzero(~settled.ok)
    if fixed == "dose" and tries == ALL_TRIES and len(lost):
        settled = _bracketed(settled, lost, alkali)
    return settled if before is None else replace(settled, before=before)


def _left(total: Array, gone: Array | None, brought: float, at: Array, fixed: Literal["ph", "dose"]) -> Array:
    """A component's total less what has left for good; at a set dose a trace stays of what has left to the last."""
    some = np.maximum(total, TRACE)
    if gone is None:
        return some
    return some - gone if fixed == "ph" else np.maximum(some - gone, TRACE + (ROUNDING - 1) * brought * at)


def _bracketed(settled: Settled, lost: NDArray[np.intp], alkali: float) -> Settled:
    """Liquors that would not settle at their dose: halve the pH range, at each pH asking what charge is short.

    The charge short rises with pH always, so the range closes on the answer; Newton's steps then finish from there.
    """
    problem = settled.problem.rows(lost)
    s = problem.system
    there = problem.totals + problem.at[:, None] * problem.rate
    idle = problem.idle + problem.at[:, None] * problem.idle_rate
    inert = replace(s, bystanders=(*s.bystanders, INERT), bystander_z=np.append(s.bystander_z, 1.0))
    asked = Problem(
        system=inert,
        totals=there,
        rate=np.zeros(len(s.parts)),
        idle=np.column_stack([idle, np.zeros(len(lost))]),
        idle_rate=np.array([0.0] * len(s.bystanders) + [1.0]),
        fixed="ph",
        at=np.zeros(len(lost)),
        most=np.zeros((len(lost), len(s.solids))),
    )
    low, high = (np.full(len(lost), end) for end in ph_sought())
    for _ in range(HALVINGS):
        ph = 0.5 * (low + high)
        found = _pushed(replace(asked, at=-LN10 * ph), 1.0, tries=FEW_TRIES)
        above = np.where(found.ok, found.dose > 0, False)
        low, high = np.where(above, low, ph), np.where(above, ph, high)
    again = _pushed(problem, alkali, start=replace(found.near(), free=-LN10 * 0.5 * (low + high)))
    for name in ("ok", "amounts", "solids"):
        getattr(settled, name)[lost] = getattr(again, name)
    settled.point.put(lost, again.point)
    settled.problem.most[lost] = again.problem.most
    return settled


def _columns(columns: list[Array], n: int) -> Array:
    return np.column_stack(columns) if columns else np.zeros((n, 0))


def _pushed(problem: Problem, alkali: float, *, start: Point | None = None, tries: int = ALL_TRIES) -> Settled:
    """Solve, so many liquors at a time as the processor's own memory holds."""
    n = len(problem.at)
    blocks = [np.arange(first, min(first + BLOCK, n)) for first in range(0, n, BLOCK)]
    if len(blocks) < 2:
        return _pushed_block(problem, alkali, start, tries)
    done = [_pushed_block(problem.rows(b), alkali, start.rows(b) if start else None, tries) for b in blocks]
    points = [block.point for block in done]
    names = ("x", "free", "ionic", "ln_w", "share")
    return Settled(
        system=problem.system,
        problem=replace(problem, most=np.concatenate([block.problem.most for block in done])),
        point=Point(*(np.concatenate([getattr(point, name) for point in points]) for name in names)),
        ok=np.concatenate([block.ok for block in done]),
        amounts=np.concatenate([block.amounts for block in done]),
        solids=np.concatenate([block.solids for block in done]),
    )


def _pushed_block(problem: Problem, alkali: float, start: Point | None, tries: int) -> Settled:
    """Solve, with shorter steps and more of them for the liquors that need it."""
    problem, point = _guessed(problem, alkali, start)
    ok = np.zeros(len(problem.at), dtype=bool)
    left = np.arange(len(problem.at))
    for effort, (steps, longest) in enumerate(EFFORTS[problem.fixed]):
        part, here = problem.rows(left), point.rows(left)
        if effort:
            part, here = _guessed(part, alkali, None)
            problem.most[left] = part.most
        smooth = SMOOTH_NEAR if start is not None and not effort else SMOOTH
        ok[left] = solve(part, here, most_steps=steps, step=longest, smooth_from=smooth)
        point.put(left, here)
        left = np.flatnonzero(~ok & (_worth_more(problem, point) if effort else True))
        if effort + 1 >= tries or not len(left):
            return _proved(problem, point, ok)
    part, here = _guessed(problem.rows(left), alkali, None)
    problem.most[left] = part.most
    ok[left] = _by_halving_ionic_strength(part, here)
    point.put(left, here)
    return _proved(problem, point, ok)


def _worth_more(problem: Problem, point: Point) -> Flags:
    """Liquors not yet shown to want less than nothing of the base: there the dose has sunk to where a component vanishes."""
    if problem.fixed == "dose" or not (problem.rate > 0).any():
        return np.ones(len(problem.at), dtype=bool)
    brought = problem.rate > 0
    there = problem.totals[:, brought] + point.free[:, None] * problem.rate[brought]
    return np.asarray(~(there.min(axis=1) < VANISHED))


def _by_halving_ionic_strength(problem: Problem, point: Point) -> Flags:
    """Where the ionic strength and the rest throw each other about: hold it, see which way it is off, halve its range.

    At a held ionic strength the balances are those of a convex function and give no trouble; Newton's steps then finish.
    """
    s = problem.system
    held = replace(problem, ionic_held=True)
    low, high = np.full(len(problem.at), LEAST_IONIC), most_ionic(problem, point.free if problem.fixed == "ph" else problem.at)
    for _ in range(IONIC_HALVINGS):
        point.ionic = 0.5 * (low + high)
        solve(held, point, most_steps=IONIC_STEPS, step=IONIC_STEP)
        dose, ln_h = (point.free, problem.at) if problem.fixed == "ph" else (problem.at, point.free)
        amounts, _slope = molalities(s, point, ln_h)
        idle = np.abs(problem.idle + dose[:, None] * problem.idle_rate)
        under = amounts @ (0.5 * s.z**2) + idle @ (0.5 * s.bystander_z**2) > point.ionic
        low, high = np.where(under, point.ionic, low), np.where(under, high, point.ionic)
    return solve(problem, point, most_steps=EFFORTS[problem.fixed][1][0], step=1.0)


def _guessed(problem: Problem, alkali: float, start: Point | None) -> tuple[Problem, Point]:
    """Where to start: where the caller says, or a first guess."""
    s = problem.system
    if start is not None:
        dose = start.free if problem.fixed == "ph" else problem.at
        most = most_of_each_solid(problem, dose)
        return replace(problem, most=most), replace(start, share=start.share / np.maximum(most, TRACE))
    if problem.fixed == "dose":
        return first_guess(problem, alkali, guess_ln_h(problem), problem.at)
    acid = -(problem.totals @ s.z[: len(s.parts)] + problem.idle @ s.bystander_z)
    dose = np.maximum(np.maximum(acid, 0.01) / alkali, least_dose(problem))
    return first_guess(problem, alkali, problem.at, dose)


def _proved(problem: Problem, point: Point, ok: Flags) -> Settled:
    """Take what came out at its word only where its balances close."""
    s = problem.system
    ln_h = problem.at if problem.fixed == "ph" else point.free
    dose = point.free if problem.fixed == "ph" else problem.at
    amounts, _slope = molalities(s, point, ln_h)
    share = np.where(point.share > SPECK, point.share, 0.0)
    solids = share * problem.most
    there = problem.totals + dose[:, None] * problem.rate
    idle = problem.idle + dose[:, None] * problem.idle_rate
    with np.errstate(invalid="ignore", divide="ignore"):
        mass = np.abs((amounts @ s.nu + solids @ s.solid_nu) / there - 1).max(axis=1, initial=0.0)
        size = amounts @ np.abs(s.z) + np.abs(idle) @ np.abs(s.bystander_z)
        charges = np.abs(amounts @ s.z + idle @ s.bystander_z) / size
    under = s.solid_ln_k - point.x @ s.solid_nu.T - ln_h[:, None] * s.solid_h - point.ln_w[:, None] * s.solid_w
    over = np.maximum(-under, 0.0).max(axis=1, initial=0.0)
    ok = ok & (mass < PROMISED) & (charges < PROMISED) & (over < SATURATED) & (there > 0).all(axis=1)
    return Settled(s, problem, point, ok, amounts, solids)


def saturation(settled: Settled, to: Mapping[str, float], log_k: float) -> Array:
    """How far a solid of the base that goes in is over its saturation (n,) [log10]; its parts are all in the balance."""
    s = settled.system
    nu = np.array([to.get(name, 0.0) for name in s.parts])
    ln_q = settled.point.x @ nu + settled.ln_h * to.get("H^+", 0.0) + settled.point.ln_w * to.get("H2O", 0.0)
    return np.asarray(ln_q / LN10 - log_k)
