"""A plan run over seeded samples of its unknowns: how each figure spreads between its corners.

What is weighed and poured stays as the corners size it: the corners run along with every chunk of samples, so that the samples
only show what comes of it. Samples are drawn in layers (McKay, Beckman and Conover 1979), chunk by chunk, and each chunk by
itself from the seed: the same seed gives the same figures, and a million samples take no more room than ten thousand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from refinekit.errors import BadQuantity
from refinekit.ranges import Number, Range
from refinekit.record import record
from refinekit.shop.draws import Draws, draws_of
from refinekit.shop.plan import Heard, Plan, Planned, walk

Values = NDArray[np.float64]

CHUNK = 10_000
"""Samples run at once: what fits in memory beside a plan."""
FEWEST, MOST = 100, 10_000_000
"""Samples that say something about the twentieth part of a spread, and samples beyond which nothing is gained but waiting."""
SEED = 1
"""Seed where none is told."""
PERCENTS = (5.0, 50.0, 95.0)
"""Percentiles shown."""
EDGES = 2001
"""Steps a spread over many chunks is counted by; they follow the first chunk, so that each holds about as many samples."""
ROUNDING = 1e-6
"""Share of a figure by which samples may pass its corners and still be called within them [-]."""

Key = tuple[str, str]
"""Step and name of a figure."""


@record
class Spread:
    """How one figure of a plan spreads over the samples.

    Args:
        step: name of its step [text]
        name: name of the figure [text]
        unit: unit [text]
        corners: low, likely and high over the corners [in `unit`]
        p5, p50, p95: percentiles [in `unit`]
        mean, sd: mean and standard deviation [in `unit`]
        least, most: least and most of the samples [in `unit`]
    """

    step: str
    name: str
    unit: str
    corners: Range
    p5: float
    p50: float
    p95: float
    mean: float
    sd: float
    least: float
    most: float

    @property
    def half_width(self) -> float:
        """Half of the spread from P5 to P95, over the median [-]; 0 where the median is nothing."""
        return (self.p95 - self.p5) / (2 * abs(self.p50)) if self.p50 else 0.0

    @property
    def beyond(self) -> bool:
        """Whether samples went past the corners: the figure turns back somewhere inside its ranges."""
        slack = ROUNDING * max(abs(self.corners.low), abs(self.corners.high))
        return self.least < self.corners.low - slack or self.most > self.corners.high + slack


@record
class Sampled:
    """A plan over its samples.

    Args:
        spreads: every figure that is not the same in all samples, in the order of the plan
        count: samples run [-]
        seed: what they were drawn from [-]
        draws: how they were drawn
        first: the first chunk itself, figure by figure: what observations are weighed on
        inputs: the unknowns of the first chunk, by axis
    """

    spreads: tuple[Spread, ...]
    count: int
    seed: int
    draws: Draws
    first: Mapping[Key, Values]
    inputs: Mapping[str, Values]

    def spread(self, step: str, name: str) -> Spread:
        """Spread of a figure. Raises: KeyError, it is the same in all samples, or there is none of that name."""
        for one in self.spreads:
            if (one.step, one.name) == (step, name):
                return one
        raise KeyError(f"{step}, {name}")


def layers(count: int, columns: int, rng: np.random.Generator) -> Values:
    """Numbers between 0 and 1 in layers: each column has one in every `count`-th part (McKay, Beckman and Conover 1979).

    Returns: array (count, columns)
    """
    order = rng.permuted(np.tile(np.arange(count, dtype=float), (columns, 1)), axis=1).T
    return (order + rng.random((count, columns))) / count


def checked(count: int) -> int:
    """A number of samples that can be run. Raises: BadQuantity."""
    if not FEWEST <= count <= MOST:
        what = "too few to tell the ends of a spread" if count < FEWEST else "more than are ever of use"
        raise BadQuantity(f"{count} samples are {what}", cure=f"from {FEWEST} to {MOST}; 10000 is usual")
    return count


def runner(heard: Heard, plan: Plan, draws: Draws) -> Callable[[Values], dict[Key, Values]]:
    """A function from evenly spread numbers (samples, unknowns) to every figure of the plan over those samples.

    Args:
        heard: the batch
        plan: the same, reckoned: its corners run along; the step that stopped it and those after it are not run
        draws: how the unknowns are drawn
    """
    short = heard.first(len(reached(plan)))
    laid = heard.laid(plan.ends)
    skip = len(plan.ends)

    def run(even: Values) -> dict[Key, Values]:
        numbers: dict[str, Number] = dict(laid)
        for name, values in draws.values(even).items():
            numbers[name] = np.concatenate([np.asarray(laid[name]), values])
        steps = walk(short, numbers, judged=False).steps
        return {key: cases[skip:] for key, (_, cases) in figures(steps).items() if len(cases) == skip + len(even)}

    return run


def reached(plan: Plan) -> tuple[Planned, ...]:
    """The steps whose figures may be shown: those before the one that stopped the plan."""
    if not plan.stopped_at:
        return plan.steps
    stopped = next(number for number, one in enumerate(plan.steps) if one.ask.label == plan.stopped_at)
    return plan.steps[:stopped]


def figures(steps: tuple[Planned, ...]) -> dict[Key, tuple[str, Values]]:
    """Every figure of a plan that differs from case to case: unit and cases, by step and name."""
    found: dict[Key, tuple[str, Values]] = {}
    for step in (one.done.step for one in steps if one.done):
        for answer in step.answers:
            _keep(found, (step.name, answer.name.replace("_", " ")), answer.unit, answer.range)
        for reagent in step.reagents:
            _keep(found, (step.name, f"{reagent.name}, bare need"), reagent.unit, reagent.bare)
        for gas in step.gases:
            _keep(found, (step.name, f"{gas.formula} gas"), "L", gas.litres)
    return found


def _keep(found: dict[Key, tuple[str, Values]], key: Key, unit: str, span: Range) -> None:
    if span.cases is not None and span.low < span.high:
        found.setdefault(key, (unit, span.cases))


def sample(
    heard: Heard,
    plan: Plan,
    count: int = CHUNK,
    *,
    seed: int = SEED,
    tell: Callable[[int, int], None] = lambda done, of: None,
) -> Sampled:
    """Run a plan over samples of its unknowns.

    Args:
        heard: the batch
        plan: the same, reckoned
        count: samples [-]
        seed: what they are drawn from [-]
        tell: called after every chunk with the samples done and those wanted
    Raises: BadQuantity, a number of samples that cannot be run; BadFile, ways of drawing that cannot be
    """
    checked(count)
    draws = draws_of(heard.batch, heard.asks, heard.tolds, heard.unknowns)
    run = runner(heard, plan, draws)
    tallies: dict[Key, Tally] = {}
    first: dict[Key, Values] = {}
    inputs: dict[str, Values] = {}
    done = 0
    for number, size in enumerate(chunks(count)):
        even = layers(size, len(draws.names), np.random.default_rng([seed, number]))
        found = run(even)
        if not number:
            first, inputs = found, draws.values(even)
        for key, cases in found.items():
            risen = np.sort(cases)
            tallies.setdefault(key, Tally(risen)).add(risen)
        done += size
        tell(done, count)
    known = figures(reached(plan))
    spreads = tuple(tallies[key].spread(*key, unit, Range.over(cases)) for key, (unit, cases) in known.items() if key in tallies)
    return Sampled(spreads, count, seed, draws, first, inputs)


def chunks(count: int) -> Iterator[int]:
    """Sizes of the chunks that make up a number of samples."""
    for start in range(0, count, CHUNK):
        yield min(CHUNK, count - start)


def percentile(risen: Values, percent: float) -> float:
    """The figure below which so many percent of samples lie, between the two nearest ones.

    Args:
        risen: the samples, least first [in their unit]
        percent: 0 to 100 [%]
    """
    at = percent / 100 * (len(risen) - 1)
    below = int(at)
    above = min(below + 1, len(risen) - 1)
    return float(risen[below] + (at - below) * (risen[above] - risen[below]))


@dataclass(slots=True)
class Tally:
    """Counts the samples of one figure, in constant room.

    Args:
        first: the first chunk, least first: it is kept whole while it is the only one, its steps are counted by when more come
    """

    first: Values
    count: int = 0
    total: float = 0.0
    squares: float = 0.0
    least: float = np.inf
    most: float = -np.inf
    below: Values = field(init=False)

    def __post_init__(self) -> None:
        self.below = np.zeros(EDGES)

    @property
    def edges(self) -> Values:
        """The steps counted by."""
        return np.take(self.first, np.linspace(0, len(self.first) - 1, EDGES).round().astype(int))

    def add(self, risen: Values) -> None:
        """Count a chunk, least first."""
        shift = risen - self.first[len(self.first) // 2]  # near the median, so that squares do not drown in the mean
        self.count += len(risen)
        self.total += float(shift.sum())
        self.squares += float(shift @ shift)
        self.least, self.most = min(self.least, float(risen[0])), max(self.most, float(risen[-1]))
        self.below += np.searchsorted(risen, self.edges, side="right")

    def quantile(self, percent: float) -> float:
        """The figure below which so many percent of the samples lie."""
        if self.count == len(self.first):
            return percentile(self.first, percent)
        counts, edges = [0.0, *self.below, self.count], [self.least, *self.edges, self.most]
        return float(np.interp(percent / 100 * self.count, counts, edges))

    def spread(self, step: str, name: str, unit: str, corners: Range) -> Spread:
        """What was counted."""
        shift = self.total / self.count
        variance = max(self.squares / self.count - shift**2, 0.0) * self.count / max(self.count - 1, 1)
        p5, p50, p95 = (self.quantile(percent) for percent in PERCENTS)
        mean = shift + float(self.first[len(self.first) // 2])
        return Spread(step, name, unit, corners, p5, p50, p95, mean, variance**0.5, self.least, self.most)
