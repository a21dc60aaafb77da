"""Curves in plain characters: a letter a curve, an axis left and below, and the finding in words under it."""

from __future__ import annotations

import string
import textwrap
from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.step import Chart
from refinekit.show.rounding import figure

WIDEST = 100
"""Columns beyond which a curve is no easier to read."""
TALL, SHORT, NARROW = 15, 11, 60
"""Rows of the drawing where there is room, where there is not, and the columns below which there is not."""
FINE_STEPS = 20
"""Steps an axis up the side may have at most: it ends at one of them."""
SPOT = 1e-290
"""Width under which points lie on one spot: below it, floats can no longer be divided into steps."""
MARK = ":"
LEVEL = "-"
ONE_CURVE = "*"


def chart_lines(chart: Chart, *, width: int, rule: str = "|", base: str = "-", corner: str = "+") -> list[str]:
    """A chart as lines of plain characters, none wider than the screen.

    Args:
        chart: what is drawn
        width: columns there are [cells]; 20 and up
        rule: drawn up the side [one character]
        base: drawn along the bottom [one character]
        corner: drawn where they meet [one character]
    Returns: y's name, the drawing, x's ticks and name, what each letter is, the finding
    """
    bottom, top = y_range(chart)
    left, right = x_range(chart)
    height = TALL if width >= NARROW else SHORT
    lines_at = {row_of(at, bottom, top, height): figure(value) for value, at in level_heights(chart)}
    up_ticks = {row_of(at, bottom, top, height): text for at, text in y_ticks(chart, bottom, top, height)} | lines_at
    margin = max(len(text) for text in up_ticks.values())
    across = min(width, WIDEST) - margin - 2
    canvas = drawn(chart, (left, right), (bottom, top), across, height)
    lines = textwrap.wrap(chart.y, width)
    for row, cells in enumerate(canvas):
        lines.append(f"{up_ticks.get(row, ''):>{margin}} {rule}{cells}".rstrip())
    lines.append(" " * (margin + 1) + corner + base * across)
    lines.append(" " * (margin + 2) + x_labels(left, right, across))
    lines += textwrap.wrap(f"{chart.x}, left to right", width, initial_indent="  ", subsequent_indent="  ")
    for entry in legend(chart):
        lines += textwrap.wrap(entry, width, initial_indent="  ", subsequent_indent="    ")
    return lines + textwrap.wrap(chart.finding, width)


# --- ranges and ticks ---------------------------------------------------------------------------------------------------


def y_range(chart: Chart) -> tuple[float, float]:
    """Lowest and highest of the drawing, as powers of ten where it is drawn so; whole steps at both ends."""
    every = np.concatenate([*(np.asarray(up) for _, up in chart.series.values()), np.array([at for _, at in chart.levels])])
    if chart.log:
        bottom, top = float(np.floor(np.log10(every.min()) + 1e-9)), float(np.ceil(np.log10(every.max()) - 1e-9))
        return bottom, max(top, bottom + 1)
    bottom, top = float(every.min()), float(every.max())
    step = tick_step(bottom, top, FINE_STEPS)
    bottom = step * float(np.floor(bottom / step + 1e-9))
    return bottom, max(step * float(np.ceil(top / step - 1e-9)), bottom + step)


def level_heights(chart: Chart) -> list[tuple[float, float]]:
    """Lines not to be passed: the figure, and its height as it is drawn."""
    return [(at, float(np.log10(at)) if chart.log else at) for _, at in chart.levels]


def x_range(chart: Chart) -> tuple[float, float]:
    """Leftmost and rightmost of the drawing; some width even where all points lie on one spot."""
    every = np.concatenate([np.asarray(across) for across, _ in chart.series.values()])
    left, right = float(every.min()), float(every.max())
    if right - left > SPOT:
        return left, right
    return left, left + (abs(left) if abs(left) > SPOT else 1.0)


def tick_step(low: float, high: float, most: int) -> float:
    """A step of 1, 2 or 5 times a power of ten that goes at most so many times into a span.

    >>> tick_step(0, 14, 8), tick_step(0, 0.3, 5)
    (2.0, 0.1)
    """
    span = (high - low) or abs(high) or 1.0
    power = 10.0 ** np.floor(np.log10(span / most))
    return float(next(step for step in (power, 2 * power, 5 * power, 10 * power) if span / step <= most + 1e-9))


def ticks(low: float, high: float, most: int) -> list[float]:
    """Round figures from low to high, at most so many and one."""
    step = tick_step(low, high, most)
    first, last = int(np.ceil(low / step - 1e-9)), int(np.floor(high / step + 1e-9))
    return [step * number for number in range(first, last + 1)]


def y_ticks(chart: Chart, bottom: float, top: float, height: int) -> list[tuple[float, str]]:
    """Where figures stand at the side, and which."""
    if not chart.log:
        return [(at, figure(at)) for at in ticks(bottom, top, height // 2)]
    every = max(1, int(np.ceil((top - bottom) / (height // 2))))
    return [(float(power), figure(10.0**power)) for power in np.arange(bottom, top + 0.5, every)]


def x_labels(left: float, right: float, across: int) -> str:
    """Figures under the bottom line, each beginning or ending where it holds."""
    cells = [" "] * across
    free_from = 0
    for at in ticks(left, right, max(2, across // 8)):
        text = figure(at)
        column = column_of(at, (left, right), across)
        start = max(0, min(column - (len(text) - 1) // 2, across - len(text)))
        if start >= free_from and start + len(text) <= across:
            cells[start : start + len(text)] = text
            free_from = start + len(text) + 2
    return "".join(cells).rstrip()


def column_of(value: float, span: tuple[float, float], across: int) -> int:
    """Column of a place along the bottom, counted from the left."""
    return round((value - span[0]) / (span[1] - span[0]) * (across - 1))


def row_of(value: float, bottom: float, top: float, height: int) -> int:
    """Row of a height of the drawing, counted from the top."""
    return round((top - value) / (top - bottom) * (height - 1))


# --- the drawing --------------------------------------------------------------------------------------------------------


def letters(names: Iterable[str]) -> dict[str, str]:
    """A character for each curve: a star for one alone, else a letter of its name that no other has.

    >>> letters(["copper", "cadmium", "nickel"])
    {'copper': 'C', 'cadmium': 'A', 'nickel': 'N'}
    """
    names = list(names)
    if len(names) == 1:
        return {names[0]: ONE_CURVE}
    taken: dict[str, str] = {}
    for name in names:
        own = [letter for letter in name.upper() if letter in string.ascii_uppercase]
        free = (letter for letter in [*own, *string.ascii_uppercase, *string.digits] if letter not in taken.values())
        taken[name] = next(free, "?")
    return taken


def drawn(chart: Chart, x_span: tuple[float, float], y_span: tuple[float, float], across: int, height: int) -> list[str]:
    """The rows of the drawing, top first."""
    sign = letters(chart.series)
    cells: dict[tuple[int, int], list[str]] = {}
    for name, points in chart.series.items():
        for column, rows in path(points, chart.log, x_span, y_span, across, height).items():
            for row in rows:
                cells.setdefault((row, column), []).append(sign[name])
    canvas = [[" "] * across for _ in range(height)]
    for _, at in chart.marks:
        column = column_of(at, x_span, across)
        if 0 <= column < across:
            for line in canvas:
                line[column] = MARK
    for _, height_at in level_heights(chart):
        line = canvas[row_of(height_at, *y_span, height)]
        line[:] = [LEVEL if cell == " " else cell for cell in line]
    for (row, column), there in cells.items():
        canvas[row][column] = there[column % len(there)]  # curves that lie on one another take turns, so that all are seen
    return ["".join(line).rstrip() for line in canvas]


def path(
    points: tuple[Sequence[float], Sequence[float]],
    log: bool,
    x_span: tuple[float, float],
    y_span: tuple[float, float],
    across: int,
    height: int,
) -> Mapping[int, range]:
    """Rows a curve passes through in each column, without a gap where it is steep."""
    xs = np.asarray(points[0])
    ys = np.log10(points[1]) if log else np.asarray(points[1])
    first, last = (column_of(float(xs[end]), x_span, across) for end in (0, -1))
    found: dict[int, range] = {}
    before: int | None = None
    for column in range(first, last + 1):
        here = row_of(_height_at(column, xs, ys, x_span, across), *y_span, height)
        if before is None or abs(here - before) <= 1:
            rows = range(here, here + 1)
        else:
            rows = range(here, before) if here < before else range(before + 1, here + 1)
        found[column], before = rows, here
    return found


def _height_at(column: int, xs: NDArray[np.float64], ys: NDArray[np.float64], x_span: tuple[float, float], across: int) -> float:
    at = x_span[0] + column / (across - 1) * (x_span[1] - x_span[0])
    return float(np.interp(at, xs, ys))


def legend(chart: Chart) -> list[str]:
    """What each character stands for."""
    sign = letters(chart.series)
    curves = [f"{sign[name]} {name}" for name in chart.series]
    levels = [f"{LEVEL} {words}" for words, _ in sorted(chart.levels, key=lambda level: -level[1])]
    marks = [f"{MARK} {words}" if figure(at) in words else f"{MARK} {words}, at {figure(at)}" for words, at in chart.marks]
    return ["; ".join([", ".join(curves), *marks]), *levels]
