"""How far a weak base gets: to where it lies there and dissolves no more."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.bases import CARBONATE, Base, least_dose_mol_per_l, most_dose_mol_per_l
from refinekit.chemistry.equilibrium.carbonic import gas_held
from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.leftover import dissolves, held_back, left_lying
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.newton import Point
from refinekit.chemistry.equilibrium.settle import Settled, settle
from refinekit.chemistry.equilibrium.system import LN10

Array = NDArray[np.float64]
FIRST_LOOK, CLOSER_LOOK, LOOKS = 25, 9, 5
"""Doses of the first look, of every closer one, and looks in all."""


def highest_ph(liquor: Liquor, kind: Base, constants: Constants, vent_atm: float) -> Array:
    """The pH a base stops at, closed pot after what carbon dioxide it gives off.

    Args:
        liquor: the liquors (n,)
        kind: the base
        constants: set of constants
        vent_atm: pressure at which carbon dioxide bubbles off [atm]; 0 for a shut pot
    Returns: pH with base left lying, or with the most base there is a dose for (n,) [-]; NaN where no balance was found
    """
    if kind.is_carbonate or not left_lying(kind, constants):
        return _by_looking(liquor, kind, constants, vent_atm)
    own = {solid.key for solid in left_lying(kind, constants)}
    others = tuple(key for key in held_back(kind, constants) if key not in own)
    lying = settle(
        liquor,
        kind.adds,
        constants,
        fixed="dose",
        at=np.full(len(liquor), most_dose_mol_per_l()),
        alkali=kind.alkali,
        over=others,
    )
    ph = np.where(lying.ok, -lying.ln_h / LN10, np.nan)
    rest = np.flatnonzero(~lying.ok)
    if len(rest):
        ph[rest] = _by_looking(liquor.rows(rest), kind, constants, vent_atm)
    return ph


def _by_looking(liquor: Liquor, kind: Base, constants: Constants, vent_atm: float) -> Array:
    """The same by rising doses: where the first is left lying, looked at closer and closer."""
    n = len(liquor)
    rows = np.arange(n)
    low, high, gone = np.full(n, least_dose_mol_per_l()), np.full(n, most_dose_mol_per_l()), np.zeros(n)
    ph, look = np.full(n, np.nan), None
    for number in range(LOOKS):
        grid = np.linspace(low, high, CLOSER_LOOK, axis=1) if number else np.geomspace(low, high, FIRST_LOOK, axis=1)
        look = _along(liquor, kind, constants, grid, gone, vent_atm, look)
        first = np.where(look.stops.any(axis=1), np.argmax(look.stops, axis=1), grid.shape[1] - 1)
        before = np.maximum(first - 1, 0)
        ph = np.where(np.isfinite(look.ph[rows, first]), look.ph[rows, first], look.ph[rows, before])
        low, high, gone = grid[rows, before], grid[rows, first], look.gone[rows, before]
        look.ends = (before, first)
    return ph


@dataclass
class _Look:
    """Rising doses (n, doses) of each liquor.

    Args:
        gone: carbon dioxide gone by then [mol/L]
        stops: whether base is left lying, or nothing balances
        ph: pH, NaN where nothing balances
        gas: where the pot stands with its gas over it, if it was asked
        closed: where it stands without
        ends: numbers of the doses the next look lies between (n,)
    """

    gone: Array
    stops: NDArray[np.bool_]
    ph: Array
    gas: Settled | None
    closed: Settled
    ends: tuple[NDArray[np.intp], NDArray[np.intp]] | None = None


def _along(
    liquor: Liquor, kind: Base, constants: Constants, doses: Array, gone: Array, vent_atm: float, last: _Look | None
) -> _Look:
    n, count = doses.shape
    many = liquor.rows(np.repeat(np.arange(n), count))
    held = held_back(kind, constants)
    so_far = np.broadcast_to(gone[:, None], (n, count))
    removed, gas = None, None
    if kind.is_carbonate:
        if vent_atm:
            near = _between(last, last.gas, count) if last else None
            gas = settle(many, kind.adds, constants, fixed="dose", at=doses.ravel(), gas_atm=vent_atm, over=held, near=near)
            bubbles = np.where(gas.ok, gas_held(gas), 0.0).reshape(n, count)
            so_far = np.maximum.accumulate(np.maximum(so_far, bubbles), axis=1)
        removed = {CARBONATE: so_far.ravel()}
    near = _between(last, last.closed, count) if last else None
    closed = settle(many, kind.adds, constants, fixed="dose", at=doses.ravel(), over=held, removed=removed, near=near)
    stops = ~dissolves(closed, kind, constants) | ~closed.ok
    ph = np.where(closed.ok, -closed.ln_h / LN10, np.nan)
    return _Look(so_far, stops.reshape(n, count), ph.reshape(n, count), gas, closed)


def _between(last: _Look, settled: Settled | None, count: int) -> Point | None:
    """Where doses between two of the last look's are about; None where either did not balance."""
    if settled is None or last.ends is None:
        return None
    each = last.ph.shape[1]
    first, second = (np.arange(len(end)) * each + end for end in last.ends)
    if not (settled.ok[first] & settled.ok[second]).all():
        return None
    part = np.tile(np.linspace(0, 1, count), len(first))
    stood = settled.near()
    return stood.rows(np.repeat(first, count)).towards(stood.rows(np.repeat(second, count)), part)
