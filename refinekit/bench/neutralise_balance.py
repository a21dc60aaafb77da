"""The seam to the balances: a pot as a liquor of components, and what the balances say of it as the fate of a pot."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.neutralise_need import Fate, Route, alkali_of, takers, total, wants
from refinekit.bench.work import Work, pot_form
from refinekit.chemistry.equation import Equation
from refinekit.chemistry.equilibrium.constants import Constants, Solid
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.names import component, parts
from refinekit.chemistry.equilibrium.state import State
from refinekit.chemistry.species import parse
from refinekit.errors import UnknownName
from refinekit.ranges import Number, count_of, high, low

Rows = NDArray[np.intp]
HELD_AS = {"Cu^+": ("CuCl2^-",), "Ag^+": ("AgCl2^-", "Ag^+")}
"""What a component is in a pot, where that is not the component's own ion."""
PLAIN_ONLY = ("Cl2",)
"""Species whose alkali is reckoned by the plain rule beside the balances."""
GAP = 0.05
"""Share of the charges that may be missing before it is said."""
MOST_CASES = 64
LEFT_TO_REST = ("gypsum",)
"""Solids that fall by a rule of their own once everything is in."""


def one_way(work: Work, formula: str) -> dict[str, float] | None:
    """A species or solid of a pot as components, H^+ among them below or above 0; None where none is known."""
    try:
        return dict(parts(formula))
    except UnknownName:
        return _solids().get(formula)


@cache
def _solids() -> Mapping[str, dict[str, float]]:
    """Solids as pots hold them, as components."""
    found: dict[str, dict[str, float]] = {}
    for solid in (*Constants.default(aged=True).solids, *Constants.default().solids):
        found[pot_form(solid.formula)[0][1]] = {name: count for name, count in solid.to.items() if name != "H2O"}
    return found


def chosen_cases(work: Work) -> Rows:
    """The cases the balances are run on: the likely one, and those at either end of what counts.

    Args:
        work: the step, its liquors in
    Returns: indices, the likely case first; at most MOST_CASES
    """
    amounts = {**work.dissolved, "litres": work.volume_l}
    count = count_of(*amounts.values())
    if count == 1:
        return np.zeros(1, dtype=np.intp)
    need = total(wants(work.dissolved, Fate()))
    litres = np.maximum(work.volume_l, 1e-300)
    looked_at = [need, need / litres, *(work.dissolved[name] / litres for name in sorted(work.dissolved) if name != "H2O")]
    rows = [0]
    for figure in looked_at:
        if np.ndim(figure):
            rows += [int(np.argmin(figure)), int(np.argmax(figure))]
    return np.array(list(dict.fromkeys(rows))[:MOST_CASES], dtype=np.intp)


def at_rows(figure: Number, rows: Rows) -> NDArray[np.float64]:
    """A figure at some of its cases (n,)."""
    return np.broadcast_to(np.asarray(figure, dtype=float), (max(int(rows.max()) + 1, np.size(figure)),))[rows]


def liquor_of(work: Work, rows: Rows) -> Liquor:
    """A pot's liquor and what has fallen in it, as the balances take it.

    Args:
        work: the step
        rows: cases
    Returns: Liquor (n,); ions without constants go along for their charge, and where the pot's charges do not close,
        chloride or sodium closes them, which is said
    """
    litres = at_rows(work.volume_l, rows)
    totals: dict[str, NDArray[np.float64]] = {}
    idle: dict[str, NDArray[np.float64]] = {}
    acid = np.zeros(len(rows))
    for formula, amount in (*work.dissolved.items(), *((s, a) for s, a in work.solids.items() if s in _solids())):
        per_l = at_rows(amount, rows) / litres
        if high(per_l) <= 0 or formula in ("H2O", *PLAIN_ONLY):
            continue
        ways = {"H^+": 1.0} if formula == "H^+" else {"H^+": -1.0} if formula == "OH^-" else one_way(work, formula)
        if ways is None:
            if parse(formula).charge:
                idle[formula] = per_l
                work.assume(f"{formula}: no balance is known, so it is carried along and falls by the plain rule if at all")
            continue
        for name, count in ways.items():
            if name == "H^+":
                acid = acid + count * per_l
            elif name == "OH^-":
                acid = acid - count * per_l
            else:
                totals[name] = totals.get(name, np.zeros(len(rows))) + count * per_l
    return _closed(work, totals, idle, acid)


def _closed(
    work: Work, totals: dict[str, NDArray[np.float64]], idle: dict[str, NDArray[np.float64]], acid: NDArray[np.float64]
) -> Liquor:
    """The liquor with the acid the pot says it has: what is missing in its charges is taken as chloride, or sodium."""
    liquor = Liquor(totals, idle)
    gap = acid - liquor.acid_mol_per_l
    scale = sum((np.abs(amount) for amount in totals.values()), start=np.full(len(acid), 1e-12))
    if high(np.abs(gap) / scale) > GAP:
        work.assume(f"charges are off by {high(np.abs(gap)):.2g} mol/L: taken as chloride, or as sodium")
    chloride, sodium = np.maximum(gap, 0.0), np.maximum(-gap, 0.0)
    if high(chloride) > 0:
        totals["Cl^-"] = totals.get("Cl^-", np.zeros(len(acid))) + chloride
    if high(sodium) > 0:
        totals["Na^+"] = totals.get("Na^+", np.zeros(len(acid))) + sodium
    return Liquor(totals, idle)


# ---- back: a state as the fate of a pot
def fate_of(work: Work, state: State, dose_alkali_mol_per_l: float) -> Fate:
    """What the balances say becomes of each species, from the likely case.

    Args:
        work: the step, before anything goes in
        state: the pot at its pH, likely case first
        dose_alkali_mol_per_l: alkali of the dose that took it there [mol/L]
    """
    litres = float(at_rows(work.volume_l, np.zeros(1, dtype=np.intp))[0])
    there = {name: float(np.ravel(amount)[0]) / litres for name, amount in work.dissolved.items()}
    routes: dict[str, tuple[Route, ...]] = {}
    for name in state.dissolved_mol_per_l:
        for species in HELD_AS.get(name, (name,)):
            if there.get(species, 0.0) > 0 and parse(name).charge > 0 and (_is_taker(species) or _falls(state, name)):
                routes[species] = _routes(work, state, name, species, there, litres)
    if there.get("NH4^+", 0.0) > 0:
        ammonia = float(state.species_mol_per_l["NH3"][0]) / there["NH4^+"] if "NH3" in state.species_mol_per_l else 0.0
        routes["NH4^+"] = (("R10.48", min(ammonia, 1.0)),)
    taken = _per_litre(there, Fate(routes))
    over = dose_alkali_mol_per_l - taken
    acid = there.get("H^+", 0.0)
    if over < 0 and acid > 0:
        # At a sour end not all the acid is gone: a weak acid still holds some.
        routes["H^+"] = (("R10.33", max(1 + over / acid, 0.0)),)
        over = max(over + acid, 0.0) if over + acid < 0 else 0.0
    return Fate(routes, max(over, 0.0))


def _per_litre(there: Mapping[str, float], fate: Fate) -> float:
    """Alkali a litre of the likely case takes, but for what the plain rule reckons beside the balances [mol/L]."""
    balanced = {name: amount for name, amount in there.items() if name not in PLAIN_ONLY and _has_balance(name)}
    return float(total(wants(balanced, fate)))


def _has_balance(name: str) -> bool:
    if name in ("H^+", "OH^-"):
        return True
    try:
        return bool(parts(name))
    except UnknownName:
        return False


def _is_taker(species: str) -> bool:
    return any(row.species == species for row in takers())


def _falls(state: State, name: str) -> bool:
    return any(_amount(state, solid) > 0 and name in solid.to for solid in state.constants.solids)


def _amount(state: State, solid: Solid) -> float:
    found = state.phases_mol_per_l.get(solid.key)
    return 0.0 if found is None or not np.isfinite(found[0]) else float(found[0])


def _routes(work: Work, state: State, name: str, species: str, there: Mapping[str, float], litres: float) -> tuple[Route, ...]:
    """The ways a component falls: share of what is dissolved of it that goes into each solid."""
    whole = sum(there.get(held, 0.0) for held in HELD_AS.get(name, (name,)))
    found: list[Route] = []
    left = 1.0
    for solid in state.constants.solids:
        fallen = _amount(state, solid)
        if name not in solid.to or fallen <= 0 or solid.key in LEFT_TO_REST:
            continue
        already = low(work.solids.get(pot_form(solid.formula)[0][1], 0.0)) / litres
        share = min(max(fallen - already, 0.0) * solid.to[name] / whole, left)
        left -= share
        if share > 0:
            found.append((falling(solid, name, species), share))
    plain = next((row.reaction for row in takers() if row.species == species), "")
    return tuple(found) or (((plain, 0.0),) if plain else ())


def falling(solid: Solid, name: str, species: str) -> Equation:
    """The reaction by which a solid falls from an alkaline liquor.

    Args:
        solid: as the balances know it
        name: the component that falls
        species: what it is in the pot

    >>> str(falling(next(s for s in Constants.default().solids if s.key == "atacamite"), "Cu^2+", "Cu^2+"))
    '3 OH^- + 2 Cu^2+ + Cl^- -> Cu2ClO3H3'
    """
    formula = pot_form(solid.formula)[0][1]
    counts: dict[str, float] = {formula: 1.0}

    def put(what: str, count: float) -> None:
        counts[what] = counts.get(what, 0.0) + count

    hydroxide = -solid.to.get("H^+", 0.0)
    put("OH^-", -hydroxide)
    put("H2O", hydroxide - solid.to.get("H2O", 0.0))
    for part, count in solid.to.items():
        if part in ("H^+", "H2O"):
            continue
        held = species if part == name else part
        put(held, -count)
        for other, extra in parts(held).items():
            if other != component(part):
                put(other, count * extra)
    left = {what: -count for what, count in counts.items() if count < 0}
    right = {what: count for what, count in counts.items() if count > 0}
    return Equation(left, right)


__all__ = ["alkali_of", "at_rows", "chosen_cases", "falling", "fate_of", "liquor_of"]
