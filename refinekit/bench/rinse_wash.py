"""Washing as sums: what n washes leave, how many a target takes, and a bench top that sets washed pots aside."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field, replace

import numpy as np

from refinekit.bench.pot import Event, Pot, merged
from refinekit.bench.work import Work
from refinekit.errors import OutOfRange
from refinekit.facts.load import fact
from refinekit.ranges import Number, high, low
from refinekit.record import record

ROUNDING = 1e-9
"""How near to a whole number a count of washes is taken for it."""


def fraction_left(held_l: Number, wash_l: Number, washes: Number) -> Number:
    """Share of a liquor that stays after washes, each fully mixed and poured off to the same liquor held.

    Args:
        held_l: liquor that stays behind each time [L]; 0 and up
        wash_l: size of one wash [L]; above 0
        washes: how many [-]; 0 and up
    Returns: share [-], 0 to 1
    Raises: OutOfRange, no wash
    Source: material balance, (v/(v+w))^n

    >>> fraction_left(0.050, 0.450, 4)
    0.0001
    """
    _refuse(held_l, wash_l)
    left: Number = (held_l / (held_l + wash_l)) ** washes
    return left


def washes_for(held_l: Number, wash_l: Number, share: Number) -> Number:
    """Washes that leave no more than a share.

    Args:
        held_l: liquor that stays behind each time [L]; 0 and up
        wash_l: size of one wash [L]; above 0
        share: share that may stay [-]; above 0
    Returns: least whole number of washes [-]
    Raises: OutOfRange, no wash, no share, or more washes than anybody makes
    Source: material balance, n = ln(1/f) / ln((v+w)/v)

    >>> washes_for(0.018, 0.030, 0.001)
    8
    """
    _refuse(held_l, wash_l)
    if low(share) <= 0:
        raise OutOfRange("no number of washes leaves nothing at all", cure="give a share that may stay, as in 0.1 %")
    held = np.maximum(held_l, 1e-300)
    needed = np.log(1 / np.minimum(share, 1.0)) / np.log((held + wash_l) / held)
    count: Number = np.maximum(np.ceil(needed - ROUNDING), 0.0)
    most = fact("practice/rinse.wash.most").value
    if high(count) > most:
        raise OutOfRange(
            f"washes of {1000 * low(wash_l):.3g} mL on {1000 * high(held_l):.4g} mL held would take {high(count):.0f} of them",
            cure=f"take larger washes, as in {3000 * high(held_l):.3g} mL, or wring and filter first",
        )
    return count if np.ndim(count) else float(count)


def _refuse(held_l: Number, wash_l: Number) -> None:
    if not low(wash_l) > 0:
        raise OutOfRange("a wash of nothing washes nothing", cure="give the size of a wash above 0, as in 30 mL")
    if low(held_l) < 0:
        raise OutOfRange("less than nothing cannot be held", cure="give the liquor held, 0 mL or more")


@record
class Washes:
    """So many washes alike.

    Args:
        label: what it is [text], e.g. "water"
        count: how many [-]
        each_l: size of one [L]
        mol_per_l: what is in it, by formula as it lives in a pot [mol/L]
        poured: the same by the formulas of the bottles [mol/L]
    """

    label: str
    count: int
    each_l: float
    mol_per_l: Mapping[str, Number]
    poured: Mapping[str, Number] = field(default_factory=dict)

    @property
    def volume_l(self) -> float:
        """All of them together [L]."""
        return self.count * self.each_l


def held_after(held: Mapping[str, Number], held_l: Number, washes: Sequence[Washes]) -> dict[str, Number]:
    """What the liquor held is made of after washes.

    Args:
        held: what it is made of before [mol]
        held_l: liquor that stays behind each time [L]
        washes: in order
    Returns: amounts [mol]
    Source: material balance: what was there falls as (v/(v+w))^n, what the wash brings rises to its own strength
    """
    now = dict(held)
    for one in washes:
        left = fraction_left(held_l, one.each_l, one.count)
        brought = {species: held_l * strength * (1 - left) for species, strength in one.mol_per_l.items()}
        now = merged({species: amount * left for species, amount in now.items()}, brought)
    return now


def left_wash_by_wash(held_l: Number, washes: Sequence[Washes]) -> list[tuple[str, float, Number]]:
    """Share of the first liquor left after each wash: (what it was washed with, its size [L], share [-])."""
    share: Number = 1.0
    rows = []
    for one in washes:
        for _ in range(one.count):
            share = share * fraction_left(held_l, one.each_l, 1)
            rows.append((one.label, one.each_l, share))
    return rows


class Rinse(Work):
    """A bench top that also sets aside pots whose contents are known, so that the rest is what ran off them."""

    _washed_with_l = 0.0

    @property
    def started_from(self) -> tuple[Pot, ...]:
        """Pots the step started from; none where the liquor was told."""
        return self.before

    @property
    def washed_with_l(self) -> float:
        """Washes poured so far, all together [L]."""
        return self._washed_with_l

    def pour_washes(self, washes: Sequence[Washes]) -> None:
        """Put the washes in."""
        for one in washes:
            self._washed_with_l = self._washed_with_l + one.volume_l
            if one.count:
                amounts = {formula: one.volume_l * strength for formula, strength in one.poured.items()}
                self.pour(f"{one.count} x {1000 * one.each_l:.4g} mL {one.label}", amounts, volume_l=one.volume_l)

    def set_aside(self, pot: Pot, note: str) -> Pot:
        """Take a pot of known contents out of the work.

        Args:
            pot: its name, litres, contents and inert mass; the history and marks of the work go with it
            note: line of history [text]
        Returns: the pot as it stands in the step's pots
        Raises: CannotFollow, the work does not hold so much
        """
        for phase, amounts in (("dissolved", pot.dissolved_mol), ("solid", pot.solids_mol)):
            for species, amount in amounts.items():
                self._move(phase, species, -amount)
        self.volume_l = np.maximum(self.volume_l - pot.volume_l, 0.0)
        self.inert_g = np.maximum(self.inert_g - pot.inert_g, 0.0)
        history = (*self.history, Event(self.name, note))
        aside = replace(pot, history=history, marks=dict(self.marks), temperature_k=self.temperature_k)
        self._drawn.append(aside)
        return aside
