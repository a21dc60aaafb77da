"""How much of a base brings a liquor to a pH, what carbon dioxide leaves on the way, and how far a weak base gets at all."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.bases import CARBONATE, Base, base, most_dose_mol_per_l
from refinekit.chemistry.equilibrium.carbonic import gas_held, given_off
from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.leftover import dissolves, held_back
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.reach import highest_ph
from refinekit.chemistry.equilibrium.settle import ALL_TRIES, FEW_TRIES, Settled, settle
from refinekit.chemistry.equilibrium.start import ph_sought
from refinekit.chemistry.equilibrium.state import State, air_lent_mol_per_l, checked_ph, open_pot, ph_of, state_of
from refinekit.chemistry.equilibrium.system import LN10
from refinekit.errors import CannotFollow
from refinekit.facts.load import fact
from refinekit.ranges import Number
from refinekit.record import record

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
Rows = NDArray[np.intp]
LOOKS, LOOKED_AT, CLOSE_PH = 12, 17, 1e-6
"""Looks at the doses, doses of each look, and how near the pH asked for is near enough."""
ALONG = 60
"""Points of the way to a pH at which gas may come off."""


@record
class Dose:
    """The base for every liquor.

    Args:
        base: what goes in
        ph: the pH asked for (n,) [-]
        base_mol_per_l: pure base per litre of liquor (n,) [mol/L]; 0 where the liquor is past the pH, NaN where it cannot be had
        state: the pot at the pH; NaN where it cannot be had
        reachable: whether the base gets there (n,)
        already_past: whether the liquor was past the pH before anything went in (n,)
        highest_ph: pH the base stops at, with some of it left lying (n,) [-]; NaN where it gets there
        co2_lost_mol_per_l: carbon dioxide given off on the way (n,) [mol/L]
        converged: whether the figures are solved: where this is false nothing is known (n,)
    """

    base: Base
    ph: Array
    base_mol_per_l: Array
    state: State
    reachable: Flags
    already_past: Flags
    highest_ph: Array
    co2_lost_mol_per_l: Array
    converged: Flags

    def or_refuse(self) -> Dose:
        """The same dose, if every liquor has one.

        Raises: CannotFollow, saying which way it fails and what to do
        """
        if self.already_past.any():
            raise CannotFollow(
                f"the liquor is past pH {self.ph[self.already_past][0]:g} before any {self.base.name} goes in",
                cure="give a higher pH, or leave it as it is",
            )
        short = ~self.reachable & self.converged
        if short.any():
            stop = self.highest_ph[short].min()
            raise CannotFollow(
                f"{self.base.name} does not bring this liquor to pH {self.ph[short][0]:g}: it stops at {stop:.1f}",
                cure="take caustic for the last part, or a lower pH",
            )
        if not self.converged.all():
            raise CannotFollow(
                f"no balance was found for {int((~self.converged).sum())} of {len(self.ph)} liquors",
                cure="dilute the liquor, or check what is said to be in it",
            )
        return self


def dose_to_ph(
    liquor: Liquor,
    reagent: str | Base,
    ph: Number,
    constants: Constants | None = None,
    *,
    vent_atm: float | None = None,
    open_to_atm: float = 0.0,
) -> Dose:
    """Base that brings each liquor to its pH.

    Carbon dioxide of a carbonate leaves as bubbles when its pressure would pass `vent_atm` and does not come back: the most
    there was on the way is gone, and from there the pot is closed. A pot open to the air keeps the air's pressure throughout.

    Args:
        liquor: the liquors (n,)
        reagent: base, as `bases.base` and `bases.mixture` know them
        ph: pH wanted, -1 to 15 [-]; a figure or (n,)
        constants: set of constants; the likely one if left out
        vent_atm: pressure at which carbon dioxide bubbles off [atm]; a still pot's if left out, 0 for a shut one
        open_to_atm: pressure of carbon dioxide the pot stands open to [atm]; 0 where the air does not count
    Returns: Dose, shape (n,) throughout
    Raises: OutOfRange, a pH that is none; UnknownName, not a base
    """
    chosen = constants or Constants.default()
    kind = base(reagent) if isinstance(reagent, str) else reagent
    target = np.broadcast_to(checked_ph(ph), (max(len(liquor), np.size(ph)),)).astype(float)
    liquor = liquor.rows(np.zeros(len(target), dtype=np.intp)) if len(liquor) == 1 and len(target) > 1 else liquor
    if vent_atm is None:
        vent_atm = fact("equilibrium/activity.still_pot_carbon_dioxide").value
    held = held_back(kind, chosen)
    if open_to_atm:
        pot = open_pot(liquor, open_to_atm)
        settled = settle(pot, kind.adds, chosen, fixed="ph", at=target, alkali=kind.alkali, gas_atm=open_to_atm, over=held)
        lost = np.zeros(len(target))
    else:
        pot = liquor
        carbonated = kind.is_carbonate or CARBONATE in liquor.totals_mol_per_l
        lost, near = np.zeros(len(target)), None
        if vent_atm and carbonated:
            lost, near = given_off(liquor, kind, target, chosen, vent_atm, held)
        before = _brought_it(liquor, kind, lost)
        if near is not None and before is not None:
            near = replace(near, free=near.free - before)
        removed = {CARBONATE: lost} if carbonated else None
        settled = settle(
            pot,
            kind.adds,
            chosen,
            fixed="ph",
            at=target,
            alkali=kind.alkali,
            over=held,
            removed=removed,
            before=before,
            near=near,
            tries=ALL_TRIES if near is None else FEW_TRIES,
        )
    return _judged(settled, pot, liquor, kind, target, chosen, lost, vent_atm=vent_atm, open_to_atm=open_to_atm)


def _brought_it(liquor: Liquor, kind: Base, lost: Array) -> Array | None:
    """Base that brought the carbon dioxide that is gone, over what was in the liquor (n,) [mol/L]; None for one without any.

    So much is in at the least. Sought from there, what little is left of the carbonate is no difference of two large figures.
    """
    if not kind.is_carbonate:
        return None
    own = np.asarray(liquor.totals_mol_per_l.get(CARBONATE, 0.0), dtype=float)
    return np.asarray(np.maximum(lost - own, 0.0) / kind.adds[CARBONATE])


def _judged(
    settled: Settled,
    pot: Liquor,
    liquor: Liquor,
    kind: Base,
    target: Array,
    constants: Constants,
    lost: Array,
    *,
    vent_atm: float,
    open_to_atm: float,
) -> Dose:
    """Tell apart the liquors that have their dose, were past it before, cannot have it, or would not balance."""
    removed = {CARBONATE: lost} if lost.any() else {}
    state = state_of(
        settled, pot, kind.adds, constants, removed=removed, given_mol_per_l=air_lent_mol_per_l() if open_to_atm else 0.0
    )
    good = settled.ok & (settled.dose >= 0) & (settled.dose <= most_dose_mol_per_l()) & dissolves(settled, kind, constants)
    used_up = settled.ok & (settled.dose >= 0) & (gas_held(settled) <= 0) & (open_to_atm > 0)
    good &= ~used_up
    dose = Dose(
        base=kind,
        ph=target,
        base_mol_per_l=np.where(good, settled.dose, np.nan),
        state=state,
        reachable=good,
        already_past=np.zeros(len(target), dtype=bool),
        highest_ph=np.full(len(target), np.nan),
        co2_lost_mol_per_l=np.where(good, lost, np.nan),
        converged=settled.ok.copy(),
    )
    way = _Way(pot, liquor, constants, lost, vent_atm, open_to_atm)
    if used_up.any():
        dose = _airless(dose, way, np.flatnonzero(used_up))
    doubtful = np.flatnonzero(~good & ~used_up)
    return _sorted_out(dose, way, doubtful) if len(doubtful) else dose


def _airless(dose: Dose, way: _Way, rows: Rows) -> Dose:
    """Open pots that took up all the carbon dioxide lent them: in the air they never come to the pH, so find where they stop."""
    n, kind = len(rows), dose.base
    start = ph_of(way.liquor.rows(rows), way.constants, open_to_atm=way.open_to_atm).ph
    start = np.where(np.isfinite(start), start, ph_sought()[0])
    at = start[:, None] + (dose.ph[rows] - start)[:, None] * np.linspace(0, 1, ALONG)
    found = settle(
        way.pot.rows(np.repeat(rows, ALONG)),
        kind.adds,
        way.constants,
        fixed="ph",
        at=at.ravel(),
        alkali=kind.alkali,
        gas_atm=way.open_to_atm,
        over=held_back(kind, way.constants),
        tries=FEW_TRIES,
    )
    there = (found.ok & (gas_held(found) > 0)).reshape(n, ALONG)
    highest, converged = dose.highest_ph.copy(), dose.converged.copy()
    highest[rows] = np.where(there, at, start[:, None]).max(axis=1)
    converged[rows] = True
    return replace(dose, highest_ph=highest, converged=converged)


@record
class _Way:
    """What a dose was looked for with: the pot with its air, the liquor without, and how its carbon dioxide goes."""

    pot: Liquor
    liquor: Liquor
    constants: Constants
    lost: Array
    vent_atm: float
    open_to_atm: float


def _sorted_out(dose: Dose, way: _Way, rows: Rows) -> Dose:
    """The liquors without a dose: past the pH before, or out of the base's reach with the pH it stops at, or missed so far."""
    start = ph_of(way.liquor.rows(rows), way.constants, open_to_atm=way.open_to_atm)
    past = start.converged & (start.ph >= dose.ph[rows])
    amount, lost, highest = dose.base_mol_per_l.copy(), dose.co2_lost_mol_per_l.copy(), dose.highest_ph.copy()
    already, converged = dose.already_past.copy(), dose.converged.copy()
    already[rows] = past
    amount[rows[past]] = lost[rows[past]] = 0.0
    converged[rows] = past
    dose = replace(
        dose,
        base_mol_per_l=amount,
        state=dose.state.with_rows(rows, start, past),
        already_past=already,
        highest_ph=highest,
        co2_lost_mol_per_l=lost,
        converged=converged,
    )
    stuck = rows[~past & start.converged]
    if not len(stuck):
        return dose
    stops = highest_ph(way.liquor.rows(stuck), dose.base, way.constants, way.open_to_atm or way.vent_atm)
    short = stops < dose.ph[stuck]
    highest[stuck[short]], converged[stuck[short]] = stops[short], True
    missed = stuck[stops >= dose.ph[stuck]]
    return _missed(dose, way, missed) if len(missed) else dose


def _missed(dose: Dose, way: _Way, rows: Rows) -> Dose:
    """Liquors in reach whose dose was not found from the pH: look closer and closer along the doses.

    The pH rises with the dose always, so what lies under and over it closes in on it.
    """
    kind, target = dose.base, dose.ph[rows]
    pot, lost = way.pot.rows(rows), way.lost[rows]
    low = _closed_in(way, kind, rows, target)
    removed = {CARBONATE: lost} if lost.any() else None
    held = held_back(kind, way.constants)
    settled = settle(pot, kind.adds, way.constants, fixed="dose", at=low, gas_atm=way.open_to_atm, over=held, removed=removed)
    good = settled.ok & (np.abs(-settled.ln_h / LN10 - target) < CLOSE_PH) & dissolves(settled, kind, way.constants)
    lent = air_lent_mol_per_l() if way.open_to_atm else 0.0
    state = state_of(settled, pot, kind.adds, way.constants, removed=removed, given_mol_per_l=lent)
    amount, gone = dose.base_mol_per_l.copy(), dose.co2_lost_mol_per_l.copy()
    reachable, converged = dose.reachable.copy(), dose.converged.copy()
    amount[rows], gone[rows] = np.where(good, low, np.nan), np.where(good, lost, np.nan)
    reachable[rows] = converged[rows] = good
    return replace(
        dose,
        base_mol_per_l=amount,
        co2_lost_mol_per_l=gone,
        reachable=reachable,
        converged=converged,
        state=dose.state.with_rows(rows, state, good),
    )


def _closed_in(way: _Way, kind: Base, rows: Rows, target: Array) -> Array:
    """The largest dose that is not over the pH (r,) [mol/L]."""
    lost = way.lost[rows]
    each = np.arange(len(rows))
    many, held = way.pot.rows(np.repeat(rows, LOOKED_AT)), held_back(kind, way.constants)
    removed = {CARBONATE: np.repeat(lost, LOOKED_AT)} if lost.any() else None
    low, high = lost / max(kind.adds.get(CARBONATE, 1.0), 1e-9), np.full(len(rows), most_dose_mol_per_l())
    part, near = np.tile(np.linspace(0, 1, LOOKED_AT), len(rows)), None
    for _ in range(LOOKS):
        doses = np.linspace(low, high, LOOKED_AT, axis=1)
        found = settle(
            many,
            kind.adds,
            way.constants,
            fixed="dose",
            at=doses.ravel(),
            gas_atm=way.open_to_atm,
            over=held,
            removed=removed,
            near=near,
            tries=FEW_TRIES,
        )
        ok, ph = found.ok.reshape(doses.shape), -found.ln_h.reshape(doses.shape) / LN10
        above = np.where(ok, ph > target[:, None], np.logical_or.accumulate(ok, axis=1))
        after = np.where(above.any(axis=1), np.argmax(above, axis=1), LOOKED_AT - 1)
        before = np.maximum(after - 1, 0)
        low, high = doses[each, before], doses[each, after]
        stood = found.near()
        first, second = (np.repeat(each * LOOKED_AT + end, LOOKED_AT) for end in (before, after))
        near = stood.rows(first).towards(stood.rows(second), part)
    return low
