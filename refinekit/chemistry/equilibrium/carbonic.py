"""Carbon dioxide that leaves a still pot for good while a carbonate goes in."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.bases import Base
from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.leftover import dissolves
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.settle import Settled, settle
from refinekit.chemistry.equilibrium.state import GAS
from refinekit.chemistry.equilibrium.system import LN10

Array = NDArray[np.float64]
FIRST_LOOK, CLOSER_LOOK, LOOKS = 13, 7, 6


def gas_held(settled: Settled) -> Array:
    """Carbon dioxide standing as gas (n,) [mol/L]."""
    keys = [solid.key for solid in settled.system.solids]
    return settled.solids[:, keys.index(GAS)] if GAS in keys else np.zeros(len(settled.ok))


def given_off(liquor: Liquor, kind: Base, target: Array, constants: Constants, vent_atm: float, held: tuple[str, ...]) -> Array:
    """The most carbon dioxide there is as gas at any pH on the way from the liquor's own to the target.

    Args:
        liquor: the liquors (n,)
        kind: the base
        target: pH at the end of the way (n,) [-]
        constants: set of constants
        vent_atm: pressure at which carbon dioxide bubbles off [atm]
        held: keys of solids that must not fall
    Returns: carbon dioxide gone for good (n,) [mol/L]; 0 where the liquor is past the target already
    """
    n = len(target)
    first = settle(liquor, {}, constants, fixed="dose", at=np.zeros(1), gas_atm=vent_atm)
    start = np.broadcast_to(-first.ln_h / LN10, (n,))
    most = np.broadcast_to(np.where(first.ok, gas_held(first), 0.0), (n,)).copy()
    low, high = np.zeros(n), np.ones(n)
    for look in range(LOOKS):
        steps = np.linspace(0, 1, CLOSER_LOOK if look else FIRST_LOOK)[None, :]
        at = low[:, None] + (high - low)[:, None] * steps
        gas = _gas_at(liquor, kind, constants, start[:, None] + (target - start)[:, None] * at, vent_atm, held)
        best = np.argmax(gas, axis=1)
        rows = np.arange(n)
        most = np.maximum(most, gas[rows, best])
        low, high = at[rows, np.maximum(best - 1, 0)], at[rows, np.minimum(best + 1, at.shape[1] - 1)]
    return np.where(start < target, most, 0.0)


def _gas_at(liquor: Liquor, kind: Base, constants: Constants, ph: Array, vent_atm: float, held: tuple[str, ...]) -> Array:
    """Gas (n, pH) [mol/L] with the base that brings each pH; nothing where that takes less than none."""
    n, count = ph.shape
    many = liquor.rows(np.repeat(np.arange(n) if len(liquor) > 1 else np.zeros(n, dtype=np.intp), count))
    settled = settle(many, kind.adds, constants, fixed="ph", at=ph.ravel(), alkali=kind.alkali, gas_atm=vent_atm, over=held)
    on_the_way = settled.ok & (settled.dose >= 0) & dissolves(settled, kind, constants)
    gas = np.where(on_the_way, gas_held(settled), 0.0)
    return np.asarray(gas.reshape(n, count))
