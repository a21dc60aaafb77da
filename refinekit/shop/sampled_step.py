"""What the samples say, as the last step of a plan: percentiles, what moves each answer, and what to measure next."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from refinekit.bench.step import Chart, Step, Table
from refinekit.facts.load import fact
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.shop.draws import Draws, names_of
from refinekit.shop.narrow import Narrowed, acted_on, headlines, narrowing
from refinekit.shop.plan import Heard, Plan
from refinekit.shop.samples import CHUNK, SEED, Key, Sampled, Spread, runner, sample
from refinekit.shop.shares import Shares, shares

MOST_RUNS = 100_000
"""Runs the shares are reckoned over, at most: their error is a percent by then."""
FEWEST_BASE = 200
"""Samples the shares start from, at least."""
BAR = 15
"""Signs of a full bar."""
WHOLE = 10
"""Signs of the bar of what is left."""
SENTENCES = 4
"""Measurements told as sentences before the tables."""
DRAWN = 3
"""Answers drawn as bars in a chart."""


def sampled_step(
    heard: Heard,
    plan: Plan,
    count: int = CHUNK,
    *,
    seed: int = SEED,
    tell: Callable[[int, int], None] = lambda done, of: None,
) -> Step:
    """Samples of a plan, told.

    Args:
        heard: the batch
        plan: the same, reckoned
        count: samples [-]
        seed: what they are drawn from [-]
        tell: called after every chunk with the samples done and those wanted
    Raises: BadQuantity, a number of samples that cannot be run; BadFile, ways of drawing that cannot be
    """
    sampled = sample(heard, plan, count, seed=seed, tell=tell)
    blocks = sampled.draws.blocks()
    base = max(min(count, MOST_RUNS) // (len(blocks) + 2), FEWEST_BASE)
    moved = shares(runner(heard, plan, sampled.draws), len(sampled.draws.names), blocks, base, seed) if blocks else {}
    told = headlines(sampled, moved)
    lines = narrowing(sampled, moved, names_of(heard.asks, heard.tolds), told)
    found = gains(lines)
    return Step(
        "samples",
        title=f"{count} samples of {len(sampled.draws.names)} unknowns, seed {seed}",
        tables=tuple(one for one in (*percentiles(sampled), movers(lines), next_measures(found)) if one.rows),
        says=(*measure_first(found), *said(sampled, moved, base)),
        charts=tuple(bars(lines)),
        assumed=tuple(drawn(sampled.draws)),
        used_facts=("practice/unknowns.draw.sigmas", "practice/unknowns.draw.layers", "practice/unknowns.draw.shares"),
    )


def percentiles(sampled: Sampled) -> tuple[Table, ...]:
    """Percentiles of what is acted on in one table, then of everything in a table for each step."""
    by_step: dict[str, list[Spread]] = {}
    for one in sampled.spreads:
        by_step.setdefault(one.step, []).append(one)
    columns = ("figure", "corners", "P5", "P50", "P95", "unit")
    acted = [_row(one, f"{one.step}, {one.name}") for one in sampled.spreads if acted_on(one)]
    return (
        Table("P5, P50 and P95 of what is weighed, poured and waited for", columns, tuple(acted)),
        *(
            Table(f"{step}, P5, P50 and P95", columns, tuple(_row(one, one.name) for one in some))
            for step, some in by_step.items()
        ),
    )


def _row(one: Spread, name: str) -> tuple[str | float | Range, ...]:
    name = f"{name} (samples pass the corners)" if one.beyond else name
    return name, Range(one.corners.low, one.corners.likely, one.corners.high), one.p5, one.p50, one.p95, one.unit


def movers(lines: Iterable[Narrowed]) -> Table:
    """Which unknowns an answer's spread comes from."""
    rows = [
        (f"{one.spread.step}, {one.spread.name}", one.unknown, percent(one.first), percent(one.total), bar(one.total))
        for one in lines
    ]
    return Table("What moves each answer", ("answer", "unknown", "alone", "with others", "share"), tuple(rows))


@record
class Gain:
    """What one measurement would do to one answer.

    Args:
        do: the measurement [text]
        answer: the answer, with its step [text]
        now, then: half of its spread before and after [-]
    """

    do: str
    answer: str
    now: float
    then: float


def gains(lines: Iterable[Narrowed]) -> list[list[Gain]]:
    """What each measurement worth making would bring: by measurement, the one that narrows most first, its best answer first."""
    worth = fact("practice/unknowns.narrow.least_gain").value
    by_measure: dict[str, list[Gain]] = {}
    for one in lines:
        now, then = one.spread.half_width, one.half_width
        if then is not None and then <= now * (1 - worth):
            gain = Gain(one.measure.do, f"{one.spread.step}, {one.spread.name}", now, then)
            by_measure.setdefault(one.measure.do, []).append(gain)
    found = [sorted(ones, key=lambda one: one.then - one.now) for ones in by_measure.values()]
    return sorted(found, key=lambda ones: ones[0].then - ones[0].now)


def next_measures(found: Iterable[Sequence[Gain]]) -> Table:
    """Every gain, with a bar of what is left of the spread."""
    rows = [
        ("" if number else one.do, one.answer, within(one.now), within(one.then), left(one.then / one.now))
        for ones in found
        for number, one in enumerate(ones)
    ]
    return Table("What to measure next", ("do", "it would narrow", "from", "to", "what is left of it"), tuple(rows))


def measure_first(found: Iterable[Sequence[Gain]]) -> list[tuple[str, str]]:
    """The measurements that narrow most, each as a sentence with the answer it tells most of."""
    return [
        ("measure", f"{ones[0].do}: would narrow {ones[0].answer} from {within(ones[0].now)} to {within(ones[0].then)}")
        for ones in list(found)[:SENTENCES]
    ]


def percent(share: float) -> str:
    """A share in whole percent."""
    return f"{100 * min(max(share, 0.0), 1.0):.0f} %"


def within(half: float) -> str:
    """Half a spread as a person says it."""
    return f"±{100 * half:.2g} %" if half < 1 else f"±{100 * half:.0f} %"


def left(share: float) -> str:
    """What is left of a whole, as a bar that shows what went."""
    signs = max(round(WHOLE * min(max(share, 0.0), 1.0)), 1)
    return "#" * signs + "." * (WHOLE - signs)


def bar(share: float) -> str:
    """A share as a bar."""
    return "#" * max(round(BAR * min(max(share, 0.0), 1.0)), 1)


def bars(lines: Sequence[Narrowed]) -> list[Chart]:
    """The widest answers that more than one unknown moves, a bar an unknown, the longest on top."""
    by_answer: dict[Key, list[Narrowed]] = {}
    for one in lines:
        by_answer.setdefault((one.spread.step, one.spread.name), []).append(one)
    several = [ones for ones in by_answer.values() if len(ones) > 1]
    several.sort(key=lambda ones: -ones[0].spread.half_width)
    return [_bars(ones) for ones in several[:DRAWN]]


def _bars(ones: Sequence[Narrowed]) -> Chart:
    series = {}
    for row, one in enumerate(ones):
        length = 100 * min(max(one.total, 0.0), 1.0)
        up = float(len(ones) - row)
        steps = [length * at / BAR for at in range(BAR + 1)]
        series[f"{one.unknown}, {percent(one.total)}"] = (tuple(steps), tuple(up for _ in steps))
    head = ones[0]
    widest = f"{head.spread.name} ({within(head.spread.half_width)})"
    return Chart(
        f"what moves {head.spread.step}, {head.spread.name}",
        "share of the variance it has part in, %",
        "unknown",
        series,
        f"most of the spread of {widest} comes from {head.unknown}: {head.measure.do}",
    )


def said(sampled: Sampled, moved: Mapping[Key, Shares], base: int) -> list[tuple[str, str]]:
    """How to read it."""
    lines = [
        ("how to read", "half of all samples lie under P50, one in twenty under P5, one in twenty over P95"),
        ("how to read", "corners bound what can be: what is weighed and poured stays sized on them, whatever the samples say"),
    ]
    if moved:
        error = max(one.error for one in moved.values())
        lines += [
            ("how to read", "alone: the part of the spread that goes if this one is known; with others: what it has part in"),
            ("how to read", f"shares are good to {percent(error)} (one standard error, {base} samples twice)"),
        ]
    if any(one.beyond for one in sampled.spreads):
        lines.append(("watch for", "a figure that passes its corners turns back inside its ranges: keep room for it"))
    return lines


def drawn(draws: Draws) -> list[str]:
    """How the unknowns were drawn, in words."""
    from refinekit.shop.draws import in_words

    shapes: dict[str, list[str]] = {}
    for name, shape in zip(draws.names, draws.shapes, strict=True):
        shapes.setdefault(shape, []).append(in_words(name))
    most = max(shapes, key=lambda shape: len(shapes[shape]), default="triangular")
    lines = [f"unknowns drawn {most}, each on its own" if len(draws.blocks()) == len(draws.names) else f"unknowns drawn {most}"]
    lines += [f"drawn {shape}: {', '.join(names)}" for shape, names in shapes.items() if shape != most]
    for block in draws.blocks():
        if len(block) > 1:
            lines.append("drawn linked: " + ", ".join(in_words(draws.names[column]) for column in block))
    return lines
