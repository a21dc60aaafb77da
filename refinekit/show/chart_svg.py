"""Curves as an SVG picture, for a sheet or a file: its words stay words, so that it can be searched and read aloud."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import replace
from typing import Any
from xml.sax.saxutils import escape

from refinekit.bench.step import Chart
from refinekit.show.rounding import figure
from refinekit.show.text import on_page

LOOKS: tuple[tuple[str, Any], ...] = (
    ("#0072b2", "-"),
    ("#d55e00", "--"),
    ("#009e73", "-."),
    ("#cc79a7", ":"),
    ("#000000", (0, (8, 2))),
    ("#e69f00", (0, (3, 1, 1, 1, 1, 1))),
    ("#56b4e9", (0, (1, 3))),
    ("#777777", (0, (10, 1, 1, 1))),
)
"""Colour and stroke of each curve: colours told apart by every eye, strokes told apart without colour."""
STYLE: Any = {
    "svg.fonttype": "none",
    "svg.hashsalt": "refinekit",
    "text.parse_math": False,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "grid.alpha": 0.3,
}
"""How it is drawn: words as words, one file for the same figures, no word taken for mathematics."""
WIDE_IN, TALL_IN = 7.0, 4.2
BEHIND_WORDS: Any = {"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 0.1}
"""Ground under words that stand among curves."""
HEADROOM = 0.1
"""Share of the height kept free at the top for the words of marks."""


def svg_of(charts: Sequence[Chart]) -> str:
    """Charts as one SVG text, one under the other.

    Args:
        charts: at least one
    """
    from matplotlib import rc_context
    from matplotlib.figure import Figure

    charts = [readable(chart) for chart in charts]
    with rc_context(STYLE):
        sheet = Figure(figsize=(WIDE_IN, TALL_IN * len(charts)), layout="constrained")
        for number, chart in enumerate(charts, start=1):
            draw(sheet.add_subplot(len(charts), 1, number), chart)
        out = io.StringIO()
        sheet.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    return _told(out.getvalue(), charts)


def readable(chart: Chart) -> Chart:
    """A chart with its words as they are shown: harmless, degrees with their sign."""
    return replace(
        chart,
        title=on_page(chart.title),
        x=on_page(chart.x),
        y=on_page(chart.y),
        series={on_page(name): points for name, points in chart.series.items()},
        finding=on_page(chart.finding),
        marks=tuple((on_page(words), at) for words, at in chart.marks),
        levels=tuple((on_page(words), at) for words, at in chart.levels),
    )


def draw(axes: Any, chart: Chart) -> None:
    """One chart on its axes.

    Args:
        axes: where
        chart: its words as they are shown
    """
    from matplotlib.ticker import FuncFormatter, NullFormatter

    for number, (name, (across, up)) in enumerate(chart.series.items()):
        colour, stroke = LOOKS[number % len(LOOKS)]
        axes.plot(across, up, color=colour, linestyle=stroke, label=name)
    for words, at in chart.marks:
        axes.axvline(at, color="#555555", linewidth=0.8)
        axes.annotate(
            words,
            (at, 1.0),
            xycoords=("data", "axes fraction"),
            xytext=(3, -10),
            textcoords="offset points",
            fontsize=8,
            bbox=BEHIND_WORDS,
        )
    for words, at in chart.levels:
        axes.axhline(at, color="#b00000", linewidth=0.8, linestyle=(0, (6, 2)))
        axes.annotate(
            words,
            (1.0, at),
            xycoords=("axes fraction", "data"),
            xytext=(0, 3),
            textcoords="offset points",
            fontsize=8,
            ha="right",
            bbox=BEHIND_WORDS,
        )
    if chart.log:
        axes.set_yscale("log")
        axes.yaxis.set_major_formatter(FuncFormatter(lambda value, _: figure(float(value))))
        axes.yaxis.set_minor_formatter(NullFormatter())
    if chart.marks:  # their words stand along the top: room for them over the highest line
        bottom, top = axes.get_ylim()
        axes.set_ylim(bottom, top * (top / bottom) ** HEADROOM if chart.log else top + HEADROOM * (top - bottom))
    axes.set(title=chart.title, xlabel=chart.x, ylabel=chart.y)
    if len(chart.series) > 1:
        axes.legend(fontsize=8, frameon=False)


def _told(svg: str, charts: Sequence[Chart]) -> str:
    """The picture with its title and its finding in words, for those who hear it."""
    title = escape("; ".join(chart.title for chart in charts))
    finding = escape(" ".join(chart.finding for chart in charts))
    body = svg[svg.index("<svg") :]
    opened, _, rest = body.partition(">")
    head = f'{opened} role="img" aria-labelledby="title finding">'
    return f'{head}\n <title id="title">{title}</title>\n <desc id="finding">{finding}</desc>{rest}'
