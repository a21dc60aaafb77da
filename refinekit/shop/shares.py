"""How much of each answer's spread comes from each unknown: first-order and total shares of the variance.

Two sets of samples, A and B, and for every unknown (or set of linked unknowns) the set A with that one taken from B. First order:
the mean of f(B) (f(A with i from B) - f(A)), Saltelli et al. 2010. Total: half the mean of (f(A) - f(A with i from B)) squared,
Jansen 1999. Both over the variance of A and B.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from refinekit.record import record
from refinekit.shop.samples import CHUNK, Key, layers

Values = NDArray[np.float64]
Run = Callable[[Values], Mapping[Key, Values]]


@record
class Shares:
    """What moves a figure.

    Args:
        first: share of the variance each block of unknowns brings by itself [-]
        total: share it has part in, together with the others [-]
        base: samples of A [-]
    """

    first: Values
    total: Values
    base: int

    @property
    def error(self) -> float:
        """One standard error of a first-order share, at most [-]."""
        return float(np.sqrt(2 * min(self.total.max(initial=0.0), 1.0) / self.base))


@dataclass(slots=True)
class Sums:
    """Sums over the samples of one figure, for the two shares."""

    first: Values
    total: Values
    ends: list[Values]


def shares(run: Run, columns: int, blocks: Sequence[Sequence[int]], base: int, seed: int) -> dict[Key, Shares]:
    """Shares of the variance of every figure.

    Args:
        run: from evenly spread numbers (samples, columns) to figures
        columns: unknowns [-]
        blocks: columns that are exchanged together, each block one unknown or a set of linked ones
        base: samples of A [-]
        seed: what they are drawn from [-]
    Returns: shares of every figure that is not the same in all samples, blocks in their order
    """
    sums: dict[Key, Sums] = {}
    for even in designs(columns, blocks, base, seed):
        for key, cases in run(even).items():
            one = sums.setdefault(key, Sums(np.zeros(len(blocks)), np.zeros(len(blocks)), []))
            a, b, *mixed = np.split(cases - cases[0], len(blocks) + 2)
            centre = (a.mean() + b.mean()) / 2  # of one chunk: it leaves the sums what they are and takes the noise away
            one.first += [((b - centre) * (ab - a)).sum() for ab in mixed]
            one.total += [((a - ab) ** 2).sum() / 2 for ab in mixed]
            one.ends += [a + cases[0], b + cases[0]]
    found: dict[Key, Shares] = {}
    for key, one in sums.items():
        ends = np.concatenate(one.ends)
        variance = float(ends.var())
        if variance > (1e-12 * float(np.abs(ends).max())) ** 2:
            found[key] = Shares(one.first / base / variance, one.total / base / variance, base)
    return found


def designs(columns: int, blocks: Sequence[Sequence[int]], base: int, seed: int) -> Iterator[Values]:
    """A, B and A with each block from B, one below the other, in chunks of the base."""
    rows = max(CHUNK // (len(blocks) + 2), 1)
    for number, start in enumerate(range(0, base, rows)):
        size = min(rows, base - start)
        both = layers(size, 2 * columns, np.random.default_rng([seed, number, 1]))
        a, b = both[:, :columns], both[:, columns:]
        sets = [a, b]
        for block in blocks:
            mixed = a.copy()
            mixed[:, list(block)] = b[:, list(block)]
            sets.append(mixed)
        yield np.concatenate(sets)
