"""Carbon dioxide that leaves a still pot for good while a carbonate goes in."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.bases import Base
from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.leftover import dissolves
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.newton import Point
from refinekit.chemistry.equilibrium.settle import ALL_TRIES, Settled, settle
from refinekit.chemistry.equilibrium.state import GAS
from refinekit.chemistry.equilibrium.system import LN10

Array = NDArray[np.float64]
FIRST_LOOK, CLOSER_LOOK, LOOKS = 14, 5, 5
"""Points looked at on the whole way, points in between two of them, and how often it is looked closer."""


def gas_held(settled: Settled) -> Array:
    """Carbon dioxide standing as gas (n,) [mol/L]."""
    keys = [solid.key for solid in settled.system.solids]
    return settled.solids[:, keys.index(GAS)] if GAS in keys else np.zeros(len(settled.ok))


def given_off(
    liquor: Liquor, kind: Base, target: Array, constants: Constants, vent_atm: float, held: tuple[str, ...]
) -> tuple[Array, Point]:
    """The most carbon dioxide there is as gas at any pH on the way from the liquor's own to the target.

    The way is looked over at a few pH; then round the best of them closer and closer, each look starting from the last.

    Args:
        liquor: the liquors (n,)
        kind: the base
        target: pH at the end of the way (n,) [-]
        constants: set of constants
        vent_atm: pressure at which carbon dioxide bubbles off [atm]
        held: keys of solids that must not fall
    Returns: carbon dioxide gone for good (n,) [mol/L], 0 where the liquor is past the target already; and where each pot
        stands then, its gas out of it, to start from
    """
    n = len(target)
    first = settle(liquor, {}, constants, fixed="dose", at=np.zeros(1), gas_atm=vent_atm)
    start = np.broadcast_to(-first.ln_h / LN10, (n,))
    most = np.broadcast_to(np.where(first.ok, gas_held(first), 0.0), (n,)).copy()
    look = _Look(liquor, kind, constants, vent_atm, held)
    part = np.linspace(0, 1, FIRST_LOOK)[1:]
    at = start[:, None] + (target - start)[:, None] * part
    gas, near = look.all_along(at)
    best = _best(gas)
    for _ in range(LOOKS):
        most = np.maximum(most, gas.max(axis=1))
        at, close = _round_the_best(at, best, near)
        gas, near = look(at, close)
        best = _best(gas)
    most = np.maximum(most, gas.max(axis=1))
    at_most = near.rows(np.arange(n) * gas.shape[1] + best)
    return np.where(start < target, most, 0.0), replace(at_most, share=at_most.share[:, :-1])


def _best(gas: Array) -> NDArray[np.intp]:
    """Which pH has most gas (n,): the last of those that have."""
    return np.asarray(gas.shape[1] - 1 - np.argmax(gas[:, ::-1], axis=1))


class _Look:
    """What gas there is at pH values of one way."""

    def __init__(self, liquor: Liquor, kind: Base, constants: Constants, vent_atm: float, held: tuple[str, ...]) -> None:
        self.liquor, self.kind, self.constants, self.vent_atm, self.held = liquor, kind, constants, vent_atm, held

    def all_along(self, ph: Array) -> tuple[Array, Point]:
        """Gas at the first few pH (n, pH) [mol/L], and where each stands.

        What does not balance at once is tried harder only as far as the pH after the best: with the gas held in, the end of
        the way can be out of all reason, and the most gas is long before it.
        """
        n, count = ph.shape
        settled = self._settled(np.repeat(np.arange(n), count), ph.ravel(), None, tries=1)
        gas, near = self._gas(settled), settled.near()
        far = np.argmax(gas.reshape(n, count), axis=1) + 1
        hard = np.flatnonzero(~settled.ok & (np.tile(np.arange(count), n) <= np.repeat(far, count)))
        if len(hard):
            again = self._settled(hard // count, ph.ravel()[hard], None)
            gas[hard] = self._gas(again)
            near.put(hard, again.near())
        return gas.reshape(n, count), near

    def __call__(self, ph: Array, near: Point) -> tuple[Array, Point]:
        """Gas (n, pH) [mol/L] with the base that brings each pH, and where it stands (n x pH)."""
        n, count = ph.shape
        settled = self._settled(np.repeat(np.arange(n), count), ph.ravel(), near)
        return self._gas(settled).reshape(n, count), settled.near()

    def _settled(self, rows: NDArray[np.intp], ph: Array, near: Point | None, *, tries: int = ALL_TRIES) -> Settled:
        return settle(
            self.liquor.rows(rows if len(self.liquor) > 1 else np.zeros_like(rows)),
            self.kind.adds,
            self.constants,
            fixed="ph",
            at=ph,
            alkali=self.kind.alkali,
            gas_atm=self.vent_atm,
            over=self.held,
            near=near,
            tries=tries,
        )

    def _gas(self, settled: Settled) -> Array:
        """Gas held; nothing where that takes less than no base, more than dissolves, or does not balance."""
        on_the_way = settled.ok & (settled.dose >= 0) & dissolves(settled, self.kind, self.constants)
        return np.where(on_the_way, gas_held(settled), 0.0)


def _round_the_best(at: Array, best: NDArray[np.intp], stood: Point) -> tuple[Array, Point]:
    """Points between the neighbours of the best one (n, k), and where each is about."""
    n, count = at.shape
    rows = np.arange(n)
    left, right = np.maximum(best - 1, 0), np.minimum(best + 1, count - 1)
    inner = np.linspace(0, 1, CLOSER_LOOK + 2)
    ends, middle = at[rows, left], at[rows, best]
    ph = ends[:, None] + (at[rows, right] - ends)[:, None] * inner
    lower = ph <= middle[:, None]
    first = np.where(lower, (rows * count + left)[:, None], (rows * count + best)[:, None]).ravel()
    second = np.where(lower, (rows * count + best)[:, None], (rows * count + right)[:, None]).ravel()
    flat = at.ravel()
    gap = flat[second] - flat[first]
    part = np.clip((ph.ravel() - flat[first]) / np.where(gap > 0, gap, 1.0), 0.0, 1.0)
    return ph, stood.rows(first).towards(stood.rows(second), part)
