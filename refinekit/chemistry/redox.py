"""Who gives electrons to whom, and in what order: one queue for every reductant and every oxidant.

A half gives or takes electrons; two halves make a reaction. What a pot holds that takes electrons stands in a queue, strongest
oxidant first, and a reductant poured in is spent down the queue, electron by electron.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from math import lcm

import numpy as np

from refinekit.chemistry.equation import Equation
from refinekit.errors import UnknownName
from refinekit.facts.load import table
from refinekit.ranges import Number

ELECTRON = "e^-"


@cache
def giver(id: str) -> Equation:
    """The half of a substance that gives electrons. Raises: UnknownName."""
    return _half("gives", id)


@cache
def taker(id: str) -> Equation:
    """The half of a substance that takes electrons. Raises: UnknownName."""
    return _half("takes", id)


def _half(side: str, id: str) -> Equation:
    for row in table("redox")[side]:
        if row["id"] == id:
            return Equation.parse(row["text"])
    raise UnknownName(f"nothing is known of what {id!r} {side}", cure="see refinekit/facts/redox.toml")


@cache
def electrons_given(id: str) -> float:
    """Electrons one mole of a giver sets free [mol/mol]."""
    return giver(id).right[ELECTRON] / giver(id).left[next(iter(giver(id).left))]


@cache
def electrons_taken(id: str) -> float:
    """Electrons one mole of a taker takes up [mol/mol]."""
    half = taker(id)
    return half.left[ELECTRON] / half.left[next(iter(half.left))]


@cache
def reaction_of(gives: str, takes: str) -> Equation:
    """The whole reaction of a giver with a taker, in pot species.

    Args:
        gives: id of a giver, e.g. "SO2" [text]
        takes: id of a taker, e.g. "AuCl4^-" [text]
    Raises: UnknownName

    >>> str(reaction_of("Cu", "AuCl4^-"))
    '3 Cu + 2 AuCl4^- -> 3 Cu^2+ + 2 Au + 8 Cl^-'
    """
    give, take = giver(gives), taker(takes)
    free, wanted = int(give.right[ELECTRON]), int(take.left[ELECTRON])
    whole = lcm(free, wanted)
    counts: dict[str, float] = {}
    for half, times in ((give, whole // free), (take, whole // wanted)):
        for formula, count in half.net.items():
            counts[formula] = counts.get(formula, 0) + times * count
    counts.pop(ELECTRON)
    left = {formula: -count for formula, count in counts.items() if count < 0}
    right = {formula: count for formula, count in counts.items() if count > 0}
    return Equation(left, right).smallest()


def extent(gives: str, takes: str, electrons_mol: Number) -> Number:
    """How often `reaction_of` runs to pass so many electrons [mol].

    Args:
        gives: id of a giver [text]
        takes: id of a taker [text]
        electrons_mol: electrons passed over [mol]
    """
    whole = reaction_of(gives, takes)
    one = next(iter(taker(takes).left))
    return electrons_mol / (whole.left[one] * electrons_taken(takes))


@cache
def order(id: str) -> int:
    """Place of a taker in the queue, from 1."""
    return next(int(row["order"]) for row in table("redox")["takes"] if row["id"] == id)


@cache
def dissolving_order(metal: str) -> int:
    """Place of a metal among those an oxidant takes up, from 1: the one that goes first where the oxidant runs short."""
    return next(int(row["order"]) for row in table("redox")["gives"] if row["id"] == metal)


def queue(ids: Iterable[str]) -> tuple[str, ...]:
    """Takers, the first served first."""
    return tuple(sorted(ids, key=order))


def spend(electrons_mol: Number, wants_mol: Mapping[str, Number]) -> tuple[dict[str, Number], Number]:
    """Pour a reductant down the queue.

    Args:
        electrons_mol: electrons it can give [mol]; 0 and up, float or array
        wants_mol: electrons each taker can take, by id [mol]; served in the order of the queue
    Returns: electrons each taker got [mol], and what is left over [mol]
    """
    return serve(electrons_mol, {id: wants_mol[id] for id in queue(wants_mol)})


def serve(available_mol: Number, wants_mol: Mapping[str, Number]) -> tuple[dict[str, Number], Number]:
    """Serve what there is to those who want it, one after the other as they are given.

    Args:
        available_mol: electrons, or places for them [mol]; 0 and up, float or array
        wants_mol: what each can take, by id [mol]; the first is served first
    Returns: what each got [mol], and what is left over [mol]

    >>> got, left = serve(5.0, {"nitric": 3.0, "gold": 9.0})
    >>> float(got["nitric"]), float(got["gold"]), float(left)
    (3.0, 2.0, 0.0)
    """
    left: Number = available_mol
    got: dict[str, Number] = {}
    for id, wanted in wants_mol.items():
        got[id] = np.minimum(left, wanted)
        left = left - got[id]
    return got, left
