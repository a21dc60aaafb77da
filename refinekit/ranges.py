"""Low, likely, high: one uncertain figure, and many of them run together as one array axis.

A figure that is known is a plain float. A figure that is not is a one-dimensional array over the *cases* of a run:
element 0 is the likely case exactly, the rest are the corners (every input at its low or its high end) and, where asked
for, samples. The same bench code takes either, because numpy broadcasts.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterable, Mapping
from dataclasses import field
from math import isfinite
from typing import Any

import numpy as np
from numpy.typing import NDArray

from refinekit.errors import BadQuantity
from refinekit.record import record

Number = float | NDArray[np.float64]
"""A figure in a run: a float, or an array of shape (cases,) with the likely case first."""

MOST_CORNERS = 12
"""Ranged inputs up to which every corner is run (4096 of them); beyond, the corners that bound each figure."""
FIXED_CORNERS = 512
"""Corners run beside those, for figures that do not simply rise or fall with an input; a multiple of 8."""


@record
class Range:
    """One uncertain figure, in whatever unit its name says.

    Args:
        low: least it may be [-]
        likely: the figure to expect [-]; low <= likely <= high
        high: most it may be [-]
        cases: the figure case by case, where it came out of a run so [-]; not part of what makes two ranges equal
    Raises: BadQuantity, ends out of order or not finite
    """

    low: float
    likely: float
    high: float
    cases: NDArray[np.float64] | None = field(default=None, repr=False, compare=False)

    def __post_init__(self) -> None:
        if not (isfinite(self.low) and isfinite(self.likely) and isfinite(self.high)):
            ends = f"{self.low:g}/{self.likely:g}/{self.high:g}"
            raise BadQuantity(f"the range {ends} is not finite", cure="give three finite numbers")
        if not self.low <= self.likely <= self.high:
            raise BadQuantity(
                f"the range {self.low:g}/{self.likely:g}/{self.high:g} is out of order",
                cure="write low/likely/high, smallest first, as in 2.5/4/6 g",
            )

    @classmethod
    def point(cls, value: float) -> Range:
        """A figure taken as known."""
        return cls(value, value, value)

    @classmethod
    def over(cls, value: Number) -> Range:
        """The range a figure of a run spans: least, likely (element 0) and most over its cases."""
        if isinstance(value, np.ndarray) and value.ndim:
            return cls(float(value.min()), float(value[0]), float(value.max()), value)
        return cls.point(float(value))

    @property
    def is_point(self) -> bool:
        """Whether nothing is uncertain."""
        return self.low == self.high

    def __mul__(self, factor: float) -> Range:
        ends = (self.low * factor, self.high * factor)
        return Range(min(ends), self.likely * factor, max(ends), None if self.cases is None else self.cases * factor)

    __rmul__ = __mul__


def low(value: Number) -> float:
    """Least of a figure over the cases of its run."""
    return float(value if isinstance(value, float) else np.asarray(value).min())


def likely(value: Number) -> float:
    """The figure of the likely case."""
    return float(value[0]) if isinstance(value, np.ndarray) and value.ndim else float(value)


def high(value: Number) -> float:
    """Most of a figure over the cases of its run."""
    return float(value if isinstance(value, float) else np.asarray(value).max())


Ends = NDArray[np.float64]
"""Which end each ranged input stands at, case by case: array (cases, inputs) of 0 (low), 0.5 (likely), 1 (high)."""


def in_words(value: Number, unit: str) -> str:
    """A figure as titles have it: "2.1 g", or "1.6 / 2.1 / 2.6 g" where its ends read apart.

    >>> in_words(2.104, "g")
    '2.1 g'
    >>> in_words(1234.5, "mL of rinse")
    '1230 mL of rinse'
    """
    texts = [f"{float(f'{end:.3g}'):g}" for end in (low(value), likely(value), high(value))]  # 1230, never 1.23e+03
    return f"{texts[0] if len(set(texts)) == 1 else ' / '.join(texts)} {unit}"


def times_bare(factor: float) -> str:
    """How what is taken follows from the bare need, as a person reads it.

    >>> times_bare(1.3), times_bare(1.0), times_bare(0.9)
    ('x 1.3', 'just the need', '90 % of the need')

    Args:
        factor: what is taken over the bare need [-]; above 0
    """
    text = f"{float(f'{factor:.3g}'):g}"
    if text == "1":
        return "just the need"
    return f"{100 * factor:.3g} % of the need" if factor < 1 else f"x {text}"


def corners(count: int) -> Ends:
    """The cases a set of ranged inputs is run at.

    Args:
        count: ranged inputs [-]; 0 and up
    Returns: array (cases, count); row 0 is all likely. Up to MOST_CORNERS inputs every corner is there; beyond that all at their
        low and all at their high ends and each input alone at each of its ends: a first look, see `leading`
    """
    first = np.full((1, count), 0.5)
    if count == 0:
        return first
    if count <= MOST_CORNERS:
        return np.vstack([first, np.array(list(itertools.product((0.0, 1.0), repeat=count)))])
    eye = np.eye(count)
    alone = np.vstack([np.where(eye > 0, end, 0.5) for end in (0.0, 1.0)])
    return np.vstack([first, np.zeros((1, count)), np.ones((1, count)), alone])


def leading(ends: Ends, figures: Iterable[Number]) -> Ends:
    """More cases for many inputs: for each figure of a first look, the corner where it is least and the one where it is most.

    A figure that only ever rises, or only ever falls, with an input has its bounds exactly there; a fixed set of other corners
    is run beside them for those that do not.

    Args:
        ends: the cases of the first look, as `corners` lays them for over MOST_CORNERS inputs
        figures: figures of that run; plain ones say nothing
    Returns: array (cases, inputs), the rows of `ends` first
    """
    count = ends.shape[1]
    lows, highs = 3 + np.arange(count), 3 + count + np.arange(count)
    rows = []
    for figure in figures:
        if isinstance(figure, np.ndarray) and figure.shape == (len(ends),):
            most = np.where(figure[highs] > figure[lows], 1.0, np.where(figure[highs] < figure[lows], 0.0, 0.5))
            rows += [most, 1 - most]
    extra = sorted({tuple(row.tolist()) for row in rows})
    return np.vstack([ends, np.array(extra).reshape(-1, count), fixed_corners(count)])


def fixed_corners(count: int) -> Ends:
    """Corners picked once and for all: the same numbers each time."""
    draw = random.Random(20260101)  # numpy's own generators take longer to load than all the corners to run
    bits = np.unpackbits(np.frombuffer(draw.randbytes(FIXED_CORNERS * count // 8), dtype=np.uint8))
    return bits.reshape(FIXED_CORNERS, count).astype(float)


def spread(inputs: Mapping[str, Range | float], already: int = 1, ends: Ends | None = None) -> dict[str, Number]:
    """Lay the ranged inputs of a run along one array axis of cases.

    Args:
        inputs: the figures by name; a Range is laid out, a number stays a number
        already: cases the pots that come in carry (1 = none); the likely case of the pots is kept beside the likely
            inputs, every further case of theirs is run against every corner
        ends: which end each ranged input stands at; left out, `corners`
    Returns: the same names with floats or arrays of shape (cases,)
    """
    ranged = {name: value for name, value in inputs.items() if isinstance(value, Range) and not value.is_point}
    laid: dict[str, Number] = {
        name: value.likely if isinstance(value, Range) else value for name, value in inputs.items() if name not in ranged
    }
    own = corners(len(ranged)) if ends is None else ends
    rows = case_rows(already, len(own))[1]
    for column, (name, value) in enumerate(ranged.items()):
        three = np.array([value.low, value.likely, value.high])
        laid[name] = three[(2 * own[rows, column]).astype(int)]
    return laid


def case_rows(already: int, own: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """How the cases of pots and of inputs pair up: row 0 with row 0, then all the others crossed.

    Args:
        already: cases the pots carry [-]; 1 and up
        own: cases of the inputs [-]; 1 and up
    Returns: two index arrays, into the pots' cases and into the inputs' cases
    """
    pots = np.arange(1, already) if already > 1 else np.zeros(1, dtype=np.intp)
    inputs = np.arange(1, own) if own > 1 else np.zeros(1, dtype=np.intp)
    if already == 1 and own == 1:
        return np.zeros(1, dtype=np.intp), np.zeros(1, dtype=np.intp)
    first, second = (grid.ravel() for grid in np.meshgrid(pots, inputs, indexing="ij"))
    return np.concatenate([[0], first]), np.concatenate([[0], second])


def widen(value: Number, already: int, own: int) -> Number:
    """Take a pot's figure from its own cases onto the paired cases of `case_rows`."""
    if not isinstance(value, np.ndarray) or not value.ndim:
        return value
    return value[case_rows(already, own)[0]]


def count_of(*values: Any) -> int:
    """How many cases a set of figures carries (1 if all are plain)."""
    return max([len(value) for value in values if isinstance(value, np.ndarray) and value.ndim], default=1)
