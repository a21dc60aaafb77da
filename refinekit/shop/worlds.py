"""The worlds (cases) that pots carry from one command to the next: few enough to write down, and the same for every pot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.pot import Pot
from refinekit.ranges import Number, case_rows

MOST_CASES = 65
"""Worlds written down with a set of pots: the likely one and 64 corners, as six ranged inputs have."""

_MIXES = 256
"""Mixes of figures whose extremes are looked for, beside each figure's own least and most."""


def varying(pot: Pot) -> list[NDArray[np.float64]]:
    """The figures of a pot that differ from world to world."""
    figures = [pot.volume_l, pot.inert_g, *pot.dissolved_mol.values(), *pot.solids_mol.values()]
    return [figure for figure in figures if isinstance(figure, np.ndarray) and figure.ndim and np.ptp(figure) > 0]


def cases_of(pots: Sequence[Pot]) -> int:
    """How many worlds a set of pots carries (1 where all is plain)."""
    return max((pot.cases for pot in pots), default=1)


def at_rows(pot: Pot, rows: NDArray[np.intp]) -> Pot:
    """The same pot in the worlds of these rows; figures that are plain stay plain."""

    def pick(figure: Number) -> Number:
        return figure[rows] if isinstance(figure, np.ndarray) and figure.ndim else figure

    def picks(amounts: Mapping[str, Number]) -> dict[str, Number]:
        return {species: pick(amount) for species, amount in amounts.items()}

    return replace(
        pot,
        volume_l=pick(pot.volume_l),
        inert_g=pick(pot.inert_g),
        dissolved_mol=picks(pot.dissolved_mol),
        solids_mol=picks(pot.solids_mol),
    )


def telling_rows(pots: Sequence[Pot]) -> NDArray[np.intp]:
    """Which worlds tell the most of a set of pots: the likely one, then those where a figure, or a mix of figures, is at its end.

    Args:
        pots: pots of the same worlds
    Returns: row numbers in order, 0 first, at most MOST_CASES; all of them where there are no more than that
    """
    count = cases_of(pots)
    if count <= MOST_CASES:
        return np.arange(count)
    figures = np.column_stack([figure for pot in pots for figure in varying(pot)] or [np.zeros(count)])
    shares = (figures - figures.min(axis=0)) / np.maximum(np.ptp(figures, axis=0), np.finfo(float).tiny)
    own = np.repeat(np.eye(shares.shape[1]), 2, axis=0)
    own[1::2] *= -1
    mixes = np.random.default_rng(seed=20260101).choice([-1.0, 1.0], size=(_MIXES, shares.shape[1]))
    ends = (int(np.argmax(shares @ mix)) for mix in (*own, *mixes))  # one by one: all at once would fill the memory
    return np.sort(list(dict.fromkeys([0, *ends]))[:MOST_CASES])


def thinned(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """The same pots in at most MOST_CASES worlds, the same for all of them."""
    if cases_of(pots) <= MOST_CASES:
        return tuple(pots)
    rows = telling_rows(pots)
    return tuple(at_rows(pot, rows) for pot in pots)


def together(*groups: Sequence[Pot]) -> tuple[Pot, ...]:
    """Pots of several sources side by side: every world of one against every world of the others, the likely ones paired.

    Args:
        groups: pots that already share their worlds, group by group
    Returns: all pots in order, in at most MOST_CASES worlds where worlds had to be crossed
    """
    done: tuple[Pot, ...] = ()
    for group in groups:
        here, there = cases_of(done), cases_of(group)
        if here > 1 and there > 1:
            first, second = case_rows(here, there)
            done = thinned([*(at_rows(pot, first) for pot in done), *(at_rows(pot, second) for pot in group)])
        else:
            done = (*done, *group)
    return done


def aligned(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """The pots of one bench in the same worlds.

    A pot that stood by while a step laid its inputs over the others has fewer worlds: each of its own stands for a block of
    theirs. Pots whose worlds have nothing to do with each other are crossed.
    """
    counts = sorted({pot.cases for pot in pots} - {1})
    if len(counts) <= 1:
        return tuple(pots)
    most = counts[-1]
    if all((most - 1) % (count - 1) == 0 for count in counts):
        return tuple(pot.widened((most - 1) // (pot.cases - 1) + 1) if 1 < pot.cases < most else pot for pot in pots)
    order = [pot for count in (1, *counts) for pot in pots if pot.cases == count]
    crossed = together(*[[pot for pot in pots if pot.cases == count] for count in (1, *counts)])
    place = {id(pot): at for at, pot in enumerate(order)}
    return tuple(crossed[place[id(pot)]] for pot in pots)
