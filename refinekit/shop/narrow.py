"""What to measure next: the unknowns that move each answer most, and how near it would be known with one of them measured.

Nothing is run again for that: a measurement that finds the likely figure, to within what such a measurement gives, is laid as
weights on the samples there are, and the weighted samples tell what spread would be left.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from refinekit.facts.load import fact, table
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.shop.samples import Key, Sampled, Spread
from refinekit.shop.shares import Shares

Values = NDArray[np.float64]

LEAST_LEFT = 50.0
"""Samples that must be left, by weight, for a spread to be told from them."""


@record
class Measure:
    """A measurement that can be made.

    Args:
        do: what is done [text]
        to: how near the figure is known then, as a share of it [-]
    """

    do: str
    to: float


@record
class Narrowed:
    """What measuring one unknown would do to an answer.

    Args:
        spread: the answer as it is
        unknown: what is measured, as a batch file writes it [text]
        first, total: its shares of the answer's variance [-]
        measure: what is done
        half_width: half of P5 to P95 over the median that would be left [-]; None where too few samples are near it
    """

    spread: Spread
    unknown: str
    first: float
    total: float
    measure: Measure
    half_width: float | None


def weighted_percentiles(cases: Values, weights: Values, percents: Sequence[float]) -> list[float]:
    """Percentiles of weighted samples: between two samples, by the weight that lies below the middle of each.

    Args:
        cases: the samples [in their unit]
        weights: their weights [-]; 0 and up, not all 0
        percents: 0 to 100 [%]
    """
    order = np.argsort(cases)
    risen, weight = cases[order], weights[order]
    kept = weight > 0
    below = (np.cumsum(weight) - weight / 2)[kept] / weight.sum()
    return [float(value) for value in np.interp([percent / 100 for percent in percents], below, risen[kept])]


def left_by(weights: Values) -> float:
    """How many samples a set of weights is worth (Kish): the square of their sum over the sum of their squares [-]."""
    squares = float(weights @ weights)
    return float(weights.sum()) ** 2 / squares if squares else 0.0


def half_width(cases: Values, weights: Values) -> float | None:
    """Half of the weighted spread from P5 to P95 over the median [-]; None where too few samples are left."""
    if left_by(weights) < LEAST_LEFT:
        return None
    p5, p50, p95 = weighted_percentiles(cases, weights, (5.0, 50.0, 95.0))
    return (p95 - p5) / (2 * abs(p50)) if p50 else None


def measured(values: Values, span: Range, to: float, sigmas: float) -> Values:
    """Weights of samples after a measurement that found the likely figure.

    Args:
        values: an unknown, sample by sample [in its unit]
        span: its figure
        to: how near it is known then, as a share of the likely figure [-]
        sigmas: standard deviations that `to` stands for [-]
    """
    sd = max(abs(span.likely) * to, 1e-9 * (span.high - span.low)) / sigmas
    return np.exp(-0.5 * ((values - span.likely) / sd) ** 2)


def measure_of(keys: Iterable[str]) -> Measure:
    """The measurement that tells an unknown, by the keys it goes by in a batch file; "measure it" where none is kept."""
    wanted = set(keys)
    for row in table("practice/unknowns")["measure"]:
        if wanted & set(row["keys"]):
            return Measure(row["do"], float(row["to"]["value"]))
    return Measure("measure it", fact("practice/unknowns.narrow.any").value)


def narrowing(
    sampled: Sampled, shares: Mapping[Key, Shares], names: Mapping[str, tuple[str, ...]], keys: Iterable[Key], most: int = 3
) -> tuple[Narrowed, ...]:
    """What measuring each telling unknown would do to each answer.

    Args:
        sampled: the samples
        shares: shares of the variance by answer, blocks as `Draws.blocks` has them
        names: what each unknown may be called, by axis
        keys: the answers asked about
        most: unknowns to an answer [-]
    """
    least = fact("practice/unknowns.narrow.least_share").value
    blocks = sampled.draws.blocks()
    found = []
    for key in keys:
        spread = sampled.spread(*key)
        one = shares[key]
        order = [at for at in np.argsort(-one.total) if one.total[at] >= least][:most]
        found += [_narrowed(sampled, names, spread, one, blocks[at], int(at)) for at in order]
    return tuple(found)


def _narrowed(
    sampled: Sampled, names: Mapping[str, tuple[str, ...]], spread: Spread, shares: Shares, block: Sequence[int], at: int
) -> Narrowed:
    """One line: of a block of linked unknowns, the first one is measured."""
    axes = [sampled.draws.names[column] for column in block]
    measure = measure_of(word for axis in axes for word in called(names, axis))
    weights = measured(
        sampled.inputs[axes[0]], sampled.draws.ranges[block[0]], measure.to, fact("practice/unknowns.draw.sigmas").value
    )
    left = half_width(sampled.first[spread.step, spread.name], weights)
    words = " with ".join(called(names, axis)[-1] for axis in axes)
    return Narrowed(spread, words, float(shares.first[at]), float(shares.total[at]), measure, left)


def called(names: Mapping[str, tuple[str, ...]], axis: str) -> tuple[str, ...]:
    """What an unknown may be called; a strength off the shelf has no step of its own."""
    return (*names.get(axis, (axis,)), "shelf.strength") if axis.startswith("strength of") else names.get(axis, (axis,))


def headlines(sampled: Sampled, shares: Mapping[Key, Shares]) -> tuple[Key, ...]:
    """The answers worth narrowing: what is weighed and poured, gases, gold and days, as far as they are not near enough known.

    Of answers that rise and fall as one (gold dropped, and the reductant for it) only the first is kept.
    """
    least = fact("practice/unknowns.narrow.least_spread").value
    found: list[Key] = []
    for one in sampled.spreads:
        key = (one.step, one.name)
        if (
            acted_on(one)
            and one.half_width >= least
            and key in shares
            and not any(_as_one(sampled, key, other) for other in found)
        ):
            found.append(key)
    return tuple(found)


def acted_on(one: Spread) -> bool:
    """Whether a shop weighs, pours, breathes or waits by a figure."""
    return one.name.endswith(", bare need") or one.name.removesuffix(" gas") in GASES or one.name in TELLING


def _as_one(sampled: Sampled, key: Key, other: Key) -> bool:
    return float(np.corrcoef(sampled.first[key], sampled.first[other])[0, 1]) > fact("practice/unknowns.narrow.as_one").value


TELLING = ("gold", "silver", "days", "gold in button", "nitric left", "to weigh", "cake")
"""Answers beside pours and gases that a shop acts on."""
GASES = ("NO", "NO2", "SO2", "Cl2", "HCl", "H2", "NH3", "CO2", "N2O", "NOCl", "O2", "H2S", "HCN")
"""Formulas by which a gas is told from an answer that is called one."""
