"""A document whose tables, curves and sentences are told in troy or United States measure; its answers and pours are converted
as they are laid out. The figure as it was reckoned stays beside one in a sentence, as that is what a scale and a cylinder read.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from refinekit.bench.step import Chart, Notice, Step, Table
from refinekit.ranges import Range
from refinekit.show.cells import AMOUNTS
from refinekit.show.convert import Conversion, conversion
from refinekit.show.document import Document, Said
from refinekit.show.quantity import is_gas_between, is_precious, mentions
from refinekit.show.rounding import figure

Cell = str | float | Range
SAID_AS = {"litres": "L", "grams": "g", "g per litre": "", "degC": "°C"}
"""Units as a heading may write them out; "" for what is no unit by itself."""
HEADING = re.compile(r"(?<![\w/])(litres|grams|ug|mg|g|kg|mL|L|m3/min|m3|cm2|cm|mm|m|°C|degC)(?![\w/%])(?! per )")
NUMBER = r"[+-]?\d+(?:\.\d+)?"
SIDES = rf"{NUMBER}(?: x {NUMBER}){{2}}(?= (?:cm|mm)\b)"
"""The three sides of a thing; before any other unit the first figures count how often."""
QUANTITY = re.compile(
    rf"(?<![\w.,/(-])({SIDES}|{NUMBER}(?: ?(?:/|–|to) ?{NUMBER}){{0,2}})"
    r" ?(ug|mg|g|kg|mL|L/min|L|m3/min|m3/h|m/s|m3|cm2|m2|cm|mm|m|°C|degC|C|K)"
    r"(?![\w/%²³]|\.\d| \()"
)
AROUND = 40
"""Letters of a clause that are looked at for what a figure is of."""
WARMER = re.compile(r"\b(?:rises?|warms?|heats|hotter|over its melting point)\b")
"""Words beside which a K is of a temperature difference; by itself it may be a karat."""
CLAUSE = re.compile(r"[,;:.()]")
SENTENCE = re.compile(r"[;.]\s")
VOLUMES = ("mL", "L")


def in_units(document: Document, units: str) -> Document:
    """The document as it is shown in the units asked for; itself in metric.

    Args:
        document: the answer
        units: metric, troy or us
    """
    if units == "metric":
        return document
    return replace(
        document,
        title=sentence(document.title, units),
        steps=tuple(step_in(step, units) for step in document.steps),
        notices=tuple(Said(notice_in(said.notice, units), said.step) for said in document.notices),
        answers=tuple(replace(one, because=sentence(one.because, units)) for one in document.answers),
        sections=tuple(table_in(one, units) for one in document.sections),
        lines=said_in(document.lines, units),
        assumed=tuple(sentence(line, units) for line in document.assumed),
    )


def step_in(step: Step, units: str) -> Step:
    """A step, all but its pours and figures."""
    return replace(
        step,
        title=sentence(step.title, units),
        reagents=tuple(replace(one, excess=sentence(one.excess, units), when=sentence(one.when, units)) for one in step.reagents),
        answers=tuple(replace(one, because=sentence(one.because, units)) for one in step.answers),
        tables=tuple(table_in(one, units) for one in step.tables),
        charts=tuple(chart_in(one, units) for one in step.charts),
        says=said_in(step.says, units),
        workings=tuple(replace(one, result=sentence(one.result, units, of=one.what)) for one in step.workings),
    )


def notice_in(notice: Notice, units: str) -> Notice:
    """A caution."""
    return replace(notice, text=sentence(notice.text, units), do=sentence(notice.do, units))


def said_in(pairs: Iterable[tuple[str, str]], units: str) -> tuple[tuple[str, str], ...]:
    """Lines under their headings."""
    return tuple((heading, sentence(line, units)) for heading, line in pairs)


# --- sentences ----------------------------------------------------------------------------------------------------------------


def sentence(text: str, units: str, of: str = "") -> str:
    """A text with the figure in other units behind each figure that has one.

    >>> sentence("a beaker of 500 mL, not over 60 °C", "us")
    'a beaker of 500 mL (16.9 fl oz), not over 60 °C (140 °F)'

    Args:
        text: any
        units: metric, troy or us
        of: what the text is about, where it does not say so itself
    """
    return QUANTITY.sub(lambda found: f"{found[0]}{_aside(found, text, units, of)}", text)


def _aside(found: re.Match[str], text: str, units: str, of: str) -> str:
    """The same in other units, in brackets; nothing where the figure stays."""
    parts = re.split(f"({NUMBER})", found[1])
    numbers = [float(one) for one in parts[1::2]]
    after = CLAUSE.split(text[found.end() : found.end() + AROUND])[0]
    before = SENTENCE.split(text[: found.start()])[-1]
    if found[2] == "K" and not WARMER.search(f"{before[-AROUND:]} {after}"):
        return ""
    if found[2] in VOLUMES:
        name = "gas" if is_gas_between(before, after, of) else "liquor"
    else:
        name = _named(after, before[-AROUND:], of)
    change = conversion(numbers[len(numbers) // 2] or numbers[-1], found[2], name, units)
    if change is None:
        return ""
    parts[1::2] = [figure(change.of(one)) for one in numbers]
    return f" ({''.join(parts)} {change.unit})"


def _named(after: str, before: str, of: str) -> str:
    """What a figure is of: the words next behind it, else those before it."""
    behind = " ".join(after.split()[:4])
    lead = " ".join(re.split(r"[;:.()]", before)[-1].split()[-4:])
    if is_precious(behind):
        return f"{behind} {lead}"
    near = f"{lead} {behind}"
    return of if is_precious(of) and not SUBSTANCE.search(near) else near


# --- tables and curves --------------------------------------------------------------------------------------------------------


def table_in(table: Table, units: str) -> Table:
    """A table with its columns in other units: in place where every figure has one, else in columns beside.

    Args:
        table: in metric
        units: troy or us
    """
    if "unit" in table.columns:
        return by_row(table, units)
    columns: list[str] = []
    across: list[list[Cell]] = []
    for at, head in enumerate(table.columns):
        cells: list[Cell] = [row[at] for row in table.rows]
        told = [sentence(cell, units) if isinstance(cell, str) else cell for cell in cells]
        changed = columns_in(head, cells, [row[0] for row in table.rows], table.title, units)
        figures = [number for number, cell in enumerate(cells) if not isinstance(cell, str)]
        if not changed or any(all(one[number] == "" for _, one in changed) for number in figures):
            columns.append(head)
            across.append(told)
        for name, one in changed:
            columns.append(name)
            across.append(one)
    rows = tuple(tuple(column[number] for column in across) for number in range(len(table.rows)))
    return Table(sentence(table.title, units), tuple(columns), rows)


def by_row(table: Table, units: str) -> Table:
    """A table in which each row has a unit of its own."""
    place = table.columns.index("unit")
    amounts = [at for at, head in enumerate(table.columns) if head in AMOUNTS]
    sizes: dict[tuple[str, str], float] = {}
    for row in table.rows:
        for at in amounts:
            if not isinstance(row[at], str):
                sizes[alike(row, place)] = max(_size(row[at]), sizes.get(alike(row, place), 0.0))
    rows = []
    for row in table.rows:
        cells: list[Cell] = [sentence(cell, units) if isinstance(cell, str) else cell for cell in row]
        change = conversion(sizes.get(alike(row, place), 0.0), str(row[place]), str(row[0]), units)
        if change is not None:
            cells[place] = change.unit
            for at in amounts:
                cells[at] = changed_cell(cells[at], change)
        rows.append(tuple(cells))
    return Table(sentence(table.title, units), table.columns, tuple(rows))


def alike(row: Sequence[Cell], place: int) -> tuple[str, str]:
    """What rows told in one unit share: what they are of, whichever portion of it, and their unit."""
    return re.sub(r"^\d+ ", "", str(row[0])), str(row[place])


def columns_in(head: str, cells: list[Cell], rows: list[Cell], title: str, units: str) -> list[tuple[str, list[Cell]]]:
    """A column in other units, precious metals apart from what else is weighed; none where no figure has other units."""
    found = HEADING.search(head)
    if found is None:
        return []
    unit = SAID_AS.get(found[1], found[1])
    about = f"{head[: found.start()]} {head[found.end() :]}"
    names = [_of(about, row if isinstance(row, str) else "", title, unit) for row in rows]
    columns: list[tuple[str, list[Cell]]] = []
    for precious in (True, False):
        ours = [is_precious(name) is precious for name in names]
        sizes = [
            (_size(cell), name)
            for cell, name, wanted in zip(cells, names, ours, strict=True)
            if wanted and not isinstance(cell, str) and conversion(1e6, unit, name, units)
        ]
        change = conversion(max(sizes)[0], unit, max(sizes)[1], units) if sizes else None
        if change is not None:
            changed = [
                changed_cell(cell, change) if wanted and conversion(1e6, unit, name, units) else ""
                for cell, name, wanted in zip(cells, names, ours, strict=True)
            ]
            columns.append((head[: found.start()] + change.unit + head[found.end() :], changed))
    return columns


def _of(about: str, row: str, title: str, unit: str) -> str:
    """What the figure of a row is of: of a mass, what the first of heading, row and title names; of a volume, what the first of
    heading, title and row does; else all of them."""
    names = [name for name in (about, row, title) if name.strip()]
    if unit in VOLUMES:
        return next((name for name in (about, title, row) if mentions(name)), "")
    if unit not in MASSES:
        return " ".join(names)
    return next((name for name in names if is_precious(name) or SUBSTANCE.search(name.lower())), "a mass")


MASSES = ("ug", "mg", "g", "kg")
SUBSTANCE = re.compile(
    r"copper|nickel|tin\b|lead\b|zinc|iron|aluminium|brass|sul[fp]|smb|oxal|acid|chlor|nitr|sodium|lime|dry|water|weight"
)
"""Words by which a heading or a row says that it is of something else than a precious metal."""


def _size(cell: Cell) -> float:
    return abs(float(cell.likely or cell.high)) if isinstance(cell, Range) else abs(float(cell))


def changed_cell(cell: Cell, change: Conversion) -> Cell:
    """A cell in the new unit."""
    if isinstance(cell, Range):
        return change.of_range(cell)
    return cell if isinstance(cell, str) else change.of(float(cell))


def chart_in(chart: Chart, units: str) -> Chart:
    """Curves whose axes are told in other units; where the axis up the side has several, each curve in its own.

    Args:
        chart: in metric
        units: metric, troy or us
    """
    if units == "metric":
        return chart
    x, across = axis_in(chart.x, [one for curve, _ in chart.series.values() for one in curve], chart.title, units)
    if SEVERAL in chart.y:
        y, curves = by_curve(chart, units)
        up = None
    else:
        y, up = axis_in(chart.y, [one for _, curve in chart.series.values() for one in curve], chart.title, units)
        curves = {name: (one, moved(other, up)) for name, (one, other) in chart.series.items()}
    return replace(
        chart,
        x=x,
        y=y,
        series={name: (moved(one, across), other) for name, (one, other) in curves.items()},
        marks=tuple((sentence(words, units), moved([at], across)[0]) for words, at in chart.marks),
        levels=tuple((sentence(words, units), moved([at], up)[0]) for words, at in chart.levels),
        finding=sentence(chart.finding, units, of=chart.title),
    )


SEVERAL = "; "
"""Between the units of an axis whose curves have each its own."""
Curves = dict[str, tuple[tuple[float, ...], tuple[float, ...]]]


def by_curve(chart: Chart, units: str) -> tuple[str, Curves]:
    """The units up the side, and each curve in that of its own name."""
    curves: Curves = {}
    told = chart.y.split(SEVERAL)
    for name, (across, up) in chart.series.items():
        new, change = axis_in(name, up, chart.title, units)
        if change is not None:
            told = [change.unit if name.endswith(one) else one for one in told]
        curves[new] = across, moved(up, change)
    return SEVERAL.join(told), curves


def moved(points: Iterable[float], change: Conversion | None) -> tuple[float, ...]:
    """Points along an axis in its new unit."""
    return tuple(float(one if change is None else change.of(one)) for one in points)


def axis_in(label: str, values: Iterable[float], title: str, units: str) -> tuple[str, Conversion | None]:
    """The label of an axis in other units, and how its values follow; None where they stay. Its unit stands last."""
    named = list(HEADING.finditer(label))
    if not named:
        return label, None
    found = named[-1]
    unit = SAID_AS.get(found[1], found[1])
    name = _of(label, "", title, unit) if unit in VOLUMES else f"{label} {title}"
    change = conversion(float(np.max(np.abs(list(values) or [0.0]))), unit, name, units)
    if change is None:
        return label, None
    return label[: found.start()] + change.unit + label[found.end() :], change
