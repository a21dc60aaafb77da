"""How the figures that are not known are drawn: the shape of each, and which of them go together.

A draw starts as evenly spread numbers between 0 and 1, one column an unknown. What goes together is tied there (a Gaussian copula
with the rank correlation asked for), then each column goes through the shape of its figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from refinekit.errors import BadFile
from refinekit.facts.load import fact
from refinekit.nearest import did_you_mean
from refinekit.ranges import Range
from refinekit.record import record

if TYPE_CHECKING:
    from refinekit.shop.ask import Told
    from refinekit.shop.batch import Batch
    from refinekit.shop.batch_steps import StepAsk

Values = NDArray[np.float64]

SHAPES = ("triangular", "even", "normal", "lognormal")
"""Shapes a figure may be drawn by."""
KEYS = ("shape", "shapes", "together", "linked")
"""What [unknowns] of a batch file may say."""
FAR = 8.0
"""Standard deviations to which the normal curve is tabled: beyond it nothing is ever drawn."""
ROUNDING = 1e-9
"""How far below nothing an eigenvalue may be by rounding."""


@record
class Draws:
    """How the unknowns of a batch are drawn.

    Args:
        names: axes of the unknowns
        ranges: their figures, in the same order
        shapes: their shapes, in the same order
        ranks: rank correlation between them; array (unknowns, unknowns)
        sigmas: standard deviations from likely to the ends of a normal figure [-]
    """

    names: tuple[str, ...]
    ranges: tuple[Range, ...]
    shapes: tuple[str, ...]
    ranks: Values
    sigmas: float

    def blocks(self) -> tuple[tuple[int, ...], ...]:
        """Columns that must be drawn together, each column in one block."""
        found: list[set[int]] = []
        for column in range(len(self.names)):
            tied = {column, *np.flatnonzero(self.ranks[column]).tolist()}
            apart = [one for one in found if not one & tied]
            found = [*apart, tied.union(*(one for one in found if one & tied))]
        return tuple(tuple(sorted(one)) for one in sorted(found, key=min))

    def values(self, even: Values) -> dict[str, Values]:
        """Figures by axis, from evenly spread numbers.

        Args:
            even: array (samples, unknowns) of numbers between 0 and 1, each column on its own
        Returns: an array of samples for each unknown, within its ends
        """
        tied = self._tied(even)
        columns = zip(self.names, self.ranges, self.shapes, tied.T, strict=True)
        return {name: quantile(span, shape, column, self.sigmas) for name, span, shape, column in columns}

    def _tied(self, even: Values) -> Values:
        tied = even.copy()
        for block in self.blocks():
            if len(block) > 1:
                at = list(block)
                weights, axes = np.linalg.eigh(pearson(self.ranks[np.ix_(at, at)]))
                root = axes * np.sqrt(np.maximum(weights, 0.0))
                tied[:, at] = normal_share(normal_score(even[:, at]) @ root.T)
        return tied


@cache
def _normal_table() -> tuple[Values, Values]:
    scores = np.linspace(-FAR, FAR, 16001)
    from statistics import NormalDist  # takes a while to load, and few plans draw anything

    normal = NormalDist()
    return scores, np.array([normal.cdf(score) for score in scores])


def normal_share(score: Values) -> Values:
    """Share of a normal figure below so many standard deviations [-]."""
    return np.interp(score, *_normal_table())


def normal_score(share: Values) -> Values:
    """Standard deviations below which a share of a normal figure lies [-]."""
    scores, shares = _normal_table()
    return np.interp(share, shares, scores)


def quantile(span: Range, shape: str, share: Values, sigmas: float) -> Values:
    """The figure below which a share of the draws lies.

    Args:
        span: the figure [in its unit]
        shape: triangular, even, normal (two halves that meet at the likely figure, cut off at the ends) or lognormal (the same
            of the logarithm)
        share: share of the draws [-]; 0 to 1
        sigmas: standard deviations from the likely figure to its ends [-], of a normal one
    Returns: array as `share`, within low and high
    """
    if span.is_point:
        return np.full_like(share, span.likely)
    if shape == "even":
        return span.low + share * (span.high - span.low)
    if shape == "triangular":
        return _triangular(span, share)
    if shape == "lognormal":
        logs = Range(float(np.log(span.low)), float(np.log(span.likely)), float(np.log(span.high)))
        return np.clip(np.exp(_normal(logs, share, sigmas)), span.low, span.high)
    return _normal(span, share, sigmas)


def _triangular(span: Range, share: Values) -> Values:
    width, left, right = span.high - span.low, span.likely - span.low, span.high - span.likely
    rising = span.low + np.sqrt(share * width * left)
    falling = span.high - np.sqrt((1 - share) * width * right)
    return np.where(share * width <= left, rising, falling)


def _normal(span: Range, share: Values, sigmas: float) -> Values:
    left, right = span.likely - span.low, span.high - span.likely
    inside = float(normal_share(np.array(sigmas))) - 0.5  # of one half, what lies within its end
    at = left / (left + right)
    below = normal_score(0.5 - inside * (1 - share / at)) if left else np.zeros_like(share)
    above = normal_score(0.5 + inside * (share - at) / (1 - at)) if right else np.zeros_like(share)
    return np.clip(span.likely + np.where(share < at, below * left, above * right) / sigmas, span.low, span.high)


def pearson(ranks: Values) -> Values:
    """Correlation of the normal scores that gives a rank correlation: 2 sin(pi rank / 6), Pearson 1907."""
    return 2 * np.sin(np.pi * ranks / 6)


def draws_of(batch: Batch, asks: Sequence[StepAsk], tolds: Sequence[Told], unknowns: Sequence[str]) -> Draws:
    """How the unknowns of a batch are drawn.

    Args:
        batch: the file
        asks, tolds: its steps and what each was told
        unknowns: axes with a range
    Raises: BadFile, a name, shape or link that cannot be
    """
    ranges: dict[str, Range] = {}
    for told in tolds:
        ranges.update(told.ranges())
    reader = Links(batch, names_of(asks, tolds), unknowns)
    spans = tuple(ranges[name] for name in unknowns)
    return Draws(tuple(unknowns), spans, reader.shapes(spans), reader.ranks(), fact("practice/unknowns.draw.sigmas").value)


def groups_of(batch: Batch, asks: Sequence[StepAsk], tolds: Sequence[Told], unknowns: Sequence[str]) -> tuple[int, ...]:
    """Of each unknown, which group it moves with: those told to be together share one, in the order of the unknowns.

    Raises: BadFile, a name that is no unknown of this batch
    """
    if not batch.unknowns:
        return tuple(range(len(unknowns)))
    reader = Links(batch, names_of(asks, tolds), unknowns)
    first = list(range(len(unknowns)))
    for one in reader.together():
        joined = {first[column] for column in one}
        first = [min(joined) if at in joined else at for at in first]
    order = {at: number for number, at in enumerate(dict.fromkeys(first))}
    return tuple(order[at] for at in first)


class Links:
    """Reads [unknowns] of a batch file.

    Args:
        batch: the file
        names: what each axis may be called
        unknowns: axes with a range, as columns
    """

    def __init__(self, batch: Batch, names: Mapping[str, tuple[str, ...]], unknowns: Sequence[str]) -> None:
        self.batch = batch
        self.names = names
        self.unknowns = list(unknowns)
        for key in batch.unknowns:
            if key not in KEYS:
                raise self.fault(key, f"{key[:40]!r} is no key of [unknowns]", did_you_mean(key, KEYS))

    def fault(self, key: str, what: str, cure: str) -> BadFile:
        """A fault of the section, with its line."""
        return BadFile(f"{self.batch.labels.get(f'unknowns.{key}', f'{self.batch.name}, {key}')}: {what}", cure=cure)

    def shapes(self, spans: Sequence[Range]) -> tuple[str, ...]:
        """Shape of every unknown. Raises: BadFile, no such shape or unknown, or a lognormal figure that may be nothing."""
        usual = self._shape("shape", self.batch.unknowns.get("shape", SHAPES[0]))
        found = [usual] * len(self.unknowns)
        told = self.batch.unknowns.get("shapes", {})
        if not isinstance(told, Mapping):
            raise self.fault("shapes", "is no list of names and shapes", 'shapes = { "gold thickness" = "lognormal" }')
        for name, shape in told.items():
            found[self.column("shapes", name)] = self._shape("shapes", shape)
        for name, shape, span in zip(self.unknowns, found, spans, strict=True):
            if shape == "lognormal" and span.low <= 0:
                raise self.fault(
                    "shapes" if told else "shape",
                    f"{in_words(name)} may be nothing, so it cannot be lognormal",
                    "draw it triangular, or give it a low end above nothing",
                )
        return tuple(found)

    def _shape(self, key: str, shape: object) -> str:
        if shape in SHAPES:
            return str(shape)
        raise self.fault(key, f"{str(shape)[:40]!r} is no shape", did_you_mean(str(shape), SHAPES))

    def together(self) -> list[list[int]]:
        """Groups of columns that move as one. Raises: BadFile, a name that is no unknown."""
        told = self.batch.unknowns.get("together", [])
        if not isinstance(told, list) or not all(isinstance(one, list) and len(one) > 1 for one in told):
            raise self.fault("together", "is no list of groups of names", 'together = [["gold thickness", "nickel thickness"]]')
        return [[self.column("together", name) for name in one] for one in told]

    def ranks(self) -> Values:
        """Rank correlation of the unknowns. Raises: BadFile, no number between -1 and 1, or links that cannot all hold."""
        ranks = np.eye(len(self.unknowns))
        groups = self.together()
        for columns in groups:
            ranks[np.ix_(columns, columns)] = 1.0
        told = self.batch.unknowns.get("linked", [])
        cure = 'linked = [["nickel thickness", "copper thickness", 0.7]]'
        if not isinstance(told, list) or not all(isinstance(one, list) and len(one) == 3 for one in told):
            raise self.fault("linked", "is no list of two names and a number", cure)
        for first, second, rank in told:
            if isinstance(rank, bool) or not isinstance(rank, int | float) or not -1 <= rank <= 1:
                raise self.fault("linked", f"{str(rank)[:40]} is no correlation: it goes from -1 to 1", cure)
            one, other = self.column("linked", first), self.column("linked", second)
            if ranks[one, other] == 1:
                how = "linked with itself" if one == other else f"together with {second!r} already"
                raise self.fault("linked", f"{first!r} is {how}", cure)
            ones, others = (next((group for group in groups if at in group), [at]) for at in (one, other))
            ranks[np.ix_(ones, others)] = rank
            ranks[np.ix_(others, ones)] = rank
        self._possible(ranks)
        return ranks

    def _possible(self, ranks: Values) -> None:
        """Refuse links that no set of figures can have."""
        if not len(ranks):
            return
        weights, axes = np.linalg.eigh(pearson(ranks))
        if weights[0] >= -ROUNDING:
            return
        worst = [in_words(self.unknowns[at]) for at in np.flatnonzero(np.abs(axes[:, 0]) > 0.1)]
        most = _most_scale(ranks)
        raise self.fault(
            "linked",
            f"no figures can be linked like this: {', '.join(worst)} contradict each other",
            f"multiply the links between them by {np.floor(100 * most) / 100:g} or less, or leave one out",
        )

    def column(self, key: str, name: object) -> int:
        """Column of an unknown by a name it goes by. Raises: BadFile, none or more than one goes by it."""
        wanted = str(name).strip().lower()
        for axes in (self._called(wanted, whole=True), self._called(wanted, whole=False)):
            if len(axes) == 1:
                return self._unknown(key, axes[0], str(name))
            if axes:
                several = ", ".join(in_words(axis) for axis in axes[:4])
                raise self.fault(key, f"{str(name)[:40]!r} may be several: {several}", "write one of them whole")
        known = [word for axis in self.unknowns for word in self.names.get(axis, ())]
        some = ", ".join(self.names[axis][-1] for axis in self.unknowns[:12])
        cure = did_you_mean(wanted, known, f"one of: {some}")
        raise self.fault(key, f"{str(name)[:40]!r} is no unknown of this batch", cure)

    def _called(self, wanted: str, *, whole: bool) -> list[str]:
        return [
            axis
            for axis, words in self.names.items()
            if any(wanted == word or (not whole and bool(wanted) and wanted in word) for word in words)
        ]

    def _unknown(self, key: str, axis: str, name: str) -> int:
        if axis in self.unknowns:
            return self.unknowns.index(axis)
        raise self.fault(key, f"{name[:40]!r} is told as one figure", "give it as low/likely/high, or leave it out here")


def _most_scale(ranks: Values) -> float:
    """The largest factor on all links at which they can hold, by bisection [-]."""
    low, high = 0.0, 1.0
    apart = ranks - np.eye(len(ranks))
    while high - low > 1e-3:
        middle = (low + high) / 2
        possible = np.linalg.eigvalsh(pearson(np.eye(len(ranks)) + middle * apart))[0] >= -ROUNDING
        low, high = (middle, high) if possible else (low, middle)
    return low


def names_of(asks: Iterable[StepAsk], tolds: Iterable[Told]) -> dict[str, tuple[str, ...]]:
    """What each figure may be called in a batch file: as it is shown, and by step and key ("lot.gold-thickness")."""
    from refinekit.shop.rooms import room

    names: dict[str, dict[str, None]] = {}
    for ask, told in zip(asks, tolds, strict=True):
        for one in room(ask.verb).fields:
            axis = told.axes.get(one.arg)
            if axis is not None:
                known = names.setdefault(axis, {})
                known[in_words(axis).lower()] = None
                known[f"{ask.verb}.{one.name}"] = None
    return {axis: tuple(words) for axis, words in names.items()}


def in_words(unknown: str) -> str:
    """An unknown as a person calls it: a fact by what it is about, a figure by its step and name."""
    if "/" in unknown and " " not in unknown:
        return fact(unknown).about or unknown
    for ending in ("_g", "_l", "_um", "_cm2", "_k", "_s", "_m", "_mol_per_l", "_l_per_min"):
        if unknown.endswith(ending):
            unknown = unknown.removesuffix(ending)
            break
    return unknown.replace("_", " ")
