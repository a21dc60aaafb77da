"""Bars of the sheet: each gas against its limit, and what the answer hangs on."""

from __future__ import annotations

import textwrap
from typing import Any

from refinekit.bench.step import Table
from refinekit.ranges import Range
from refinekit.show.document import Document
from refinekit.show.rounding import figure, range_text
from refinekit.show.sheet_picture import HATCH, INK, PALE, Picture, picture
from refinekit.show.text import on_page

FUME, HANGS = "Fume by step", "What it hangs on most"
"""Titles of the tables that are drawn."""
LEAST_PART = 1e-3
"""Part of the largest gas under which a bar would be no more than a line [-]."""
WORDS = 52
"""Letters of a bar's name that fit beside it; the whole of it stands under the picture."""
ROW_IN, FRAME_IN = 0.42, 1.0


def section(document: Document, title: str) -> Table | None:
    """A table of the whole answer by its title."""
    return next((one for one in document.sections if one.title == title and one.rows), None)


def numbers(row: tuple[Any, ...]) -> tuple[float | None, float | None, Range | None]:
    """Closed-room ppm, short limit ppm and litres of a row of fume; None for what is not known."""
    litres, ppm, limit = row[2], row[4], row[5]
    return (
        float(ppm) if not isinstance(ppm, str) else None,
        float(limit) if not isinstance(limit, str) else None,
        litres if isinstance(litres, Range) else None,
    )


def gases(document: Document) -> Picture | None:
    """Each gas in the room with nothing drawing, against its short limit; in litres where no room was told."""
    table = section(document, FUME)
    rows = [] if table is None else [row for row in table.rows if numbers(row)[2] is not None]
    if not rows:
        return None
    in_room = any(numbers(row)[0] for row in rows)
    title = "Gas of each step in a closed room, and its short limit" if in_room else "Gas of each step at most, litres"
    tall = FRAME_IN + ROW_IN * len(rows)
    return picture("gas", title, gas_said(rows, in_room), tall, lambda axes: paint_gases(axes, rows, in_room))


def gas_said(rows: list[tuple[Any, ...]], in_room: bool) -> str:
    """What the gas picture says."""
    if not in_room:
        told = "; ".join(f"{row[0]} {row[1]} {range_text(row[2], 'L')}" for row in rows)
        return on_page(f"{told}. No closed room was told, so no limit is set beside it: hood or open air.")
    over: list[str] = []
    under: list[str] = []
    for row in rows:
        ppm, limit, _ = numbers(row)
        if ppm is not None and limit is not None:
            (over if ppm > limit else under).append(f"{row[1]} of {row[0]}: {figure(ppm)} ppm, short limit {figure(limit)} ppm")
    lines = [f"Over the limit if the room were closed: {'; '.join(over)}." if over else "Nothing with a limit passes it."]
    lines += [f"Under it: {'; '.join(under)}."] if under else []
    return on_page(" ".join(lines))


def paint_gases(axes: Any, rows: list[tuple[Any, ...]], in_room: bool) -> None:
    """A bar a gas, a thick stroke at its limit."""
    from matplotlib.ticker import FuncFormatter, NullFormatter

    values = [(numbers(row)[0] or 0.0) if in_room else row[2].high for row in rows]
    limits = [numbers(row)[1] if in_room else None for row in rows]
    least = LEAST_PART * max(values)
    for at, (value, limit) in enumerate(zip(values, limits, strict=True)):
        over = limit is not None and value > limit
        axes.barh(at, value, height=0.6, facecolor=PALE, edgecolor=INK, hatch=HATCH if over else "")
        if limit is not None:
            axes.plot([limit, limit], [at - 0.42, at + 0.42], color="#b00000", linewidth=4, solid_capstyle="butt")
        axes.text(max(value, limit or 0.0, least) * 1.15, at, figure(value), va="center")
    axes.set_yticks(range(len(rows)), [on_page(f"{row[0]}  {row[1]}") for row in rows])
    axes.invert_yaxis()
    axes.set_xscale("log")
    every = [one for one in (*values, *limits) if one]
    axes.set_xlim(min(every) / 2, max(every) * 5)
    axes.xaxis.set_major_formatter(FuncFormatter(lambda value, _: figure(float(value))))
    axes.xaxis.set_minor_formatter(NullFormatter())
    axes.set_xlabel("ppm; the thick stroke is the short limit" if in_room else "L")


def swings(table: Table) -> list[tuple[str, str, float, str]]:
    """Answer, input, swing as a number, and as written."""
    return [(str(row[0]), str(row[1]), float(str(row[2]).split(" ")[0]), str(row[2])) for row in table.rows]


def hangs(document: Document) -> Picture | None:
    """How far each answer moves from one end of an input to the other."""
    table = section(document, HANGS)
    if table is None:
        return None
    rows = swings(table)
    told = "; ".join(f"{answer} moves {text} with {unknown}" for answer, unknown, _, text in rows)
    tall = FRAME_IN + 1.5 * ROW_IN * len(rows)
    finding = on_page(f"From the low to the high end of each input: {told}.")
    return picture("hangs", "What the answer hangs on", finding, tall, lambda axes: paint_swings(axes, rows))


def paint_swings(axes: Any, rows: list[tuple[str, str, float, str]]) -> None:
    """A bar an input, its words above it: as long beside the longest of its answer as it moves it."""
    longest: dict[str, float] = {}
    for answer, _, swing, _ in rows:
        longest[answer] = max(longest.get(answer, 0.0), abs(swing))
    for at, (answer, unknown, swing, text) in enumerate(rows):
        axes.barh(at, abs(swing) / longest[answer], height=0.4, facecolor=PALE, edgecolor=INK, hatch=HATCH if swing < 0 else "")
        axes.text(
            0.0,
            at - 0.28,
            textwrap.shorten(on_page(f"{answer}: {unknown.removeprefix('lot: ')}"), WORDS, placeholder=" ..."),
            va="bottom",
        )
        axes.text(abs(swing) / longest[answer] + 0.02, at, text, va="center")
    axes.set(xlim=(0, 1.35), ylim=(len(rows) - 0.6, -0.9))
    axes.set_axis_off()
