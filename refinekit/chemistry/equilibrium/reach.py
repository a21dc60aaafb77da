"""How far a weak base gets: to where it lies there and dissolves no more."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.bases import CARBONATE, Base, most_dose_mol_per_l
from refinekit.chemistry.equilibrium.carbonic import gas_held
from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.leftover import dissolves, held_back
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.settle import settle
from refinekit.chemistry.equilibrium.system import LN10

Array = NDArray[np.float64]
LEAST_DOSE = 1e-4
FIRST_LOOK, CLOSER_LOOK, LOOKS = 25, 9, 6
NEARLY_ALL = 0.999999


def highest_ph(liquor: Liquor, kind: Base, constants: Constants, vent_atm: float) -> Array:
    """The pH a base stops at, closed pot after what carbon dioxide it gives off.

    Args:
        liquor: the liquors (n,)
        kind: the base
        constants: set of constants
        vent_atm: pressure at which carbon dioxide bubbles off [atm]; 0 for a shut pot
    Returns: pH with base left lying, or with the most base there is a dose for (n,) [-]; NaN where no balance was found
    """
    n = len(liquor)
    rows = np.arange(n)
    low, high, gone = np.full(n, LEAST_DOSE), np.full(n, most_dose_mol_per_l()), np.zeros(n)
    ph = np.full(n, np.nan)
    for look in range(LOOKS):
        grid = np.geomspace(low, high, FIRST_LOOK, axis=1) if not look else np.linspace(low, high, CLOSER_LOOK, axis=1)
        gone_at, stops, ph_at = _along(liquor, kind, constants, grid, gone, vent_atm)
        first = np.where(stops.any(axis=1), np.argmax(stops, axis=1), grid.shape[1] - 1)
        before = np.maximum(first - 1, 0)
        ph = np.where(np.isfinite(ph_at[rows, first]), ph_at[rows, first], ph_at[rows, before])
        low, high, gone = grid[rows, before], grid[rows, first], gone_at[rows, before]
    return ph


def _along(
    liquor: Liquor, kind: Base, constants: Constants, doses: Array, gone: Array, vent_atm: float
) -> tuple[Array, NDArray[np.bool_], Array]:
    """At rising doses (n, doses): carbon dioxide gone [mol/L], whether base is left lying or nothing balances, and the pH."""
    n, count = doses.shape
    many = liquor.rows(np.repeat(np.arange(n), count))
    held = held_back(kind, constants)
    so_far = np.broadcast_to(gone[:, None], (n, count))
    removed = None
    if kind.is_carbonate:
        if vent_atm:
            gas = settle(many, kind.adds, constants, fixed="dose", at=doses.ravel(), gas_atm=vent_atm, over=held)
            bubbles = np.where(gas.ok, gas_held(gas), 0.0).reshape(n, count)
            so_far = np.maximum.accumulate(np.maximum(so_far, bubbles), axis=1)
        removed = {CARBONATE: np.minimum(so_far, NEARLY_ALL * kind.adds[CARBONATE] * doses).ravel()}
    settled = settle(many, kind.adds, constants, fixed="dose", at=doses.ravel(), over=held, removed=removed)
    stops = ~dissolves(settled, kind, constants) | ~settled.ok
    ph = np.where(settled.ok, -settled.ln_h / LN10, np.nan)
    return so_far, stops.reshape(n, count), ph.reshape(n, count)
