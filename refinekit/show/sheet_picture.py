"""A picture for a sheet: drawn by matplotlib, set into the page as SVG under ids of its own, told in words beside it."""

from __future__ import annotations

import io
import re
import textwrap
from collections.abc import Callable, Sequence
from typing import Any
from xml.sax.saxutils import escape

from refinekit.bench.step import Chart
from refinekit.record import record
from refinekit.show.chart_svg import STYLE, draw, readable
from refinekit.show.text import on_page

WIDE_IN = 5.0
"""Width a picture is drawn at [in]: small, so that its words are large when it fills the page."""
TALL_IN = 3.4
FACE: Any = {"font.family": "sans-serif", "font.size": 11, "axes.titlesize": 11, "axes.grid": False}
"""Letters that can still be read from the other side of a bench."""
INK, PALE, HATCH = "#1a1a1a", "#c9d6df", "///"
"""Dark on pale, and a hatching: told apart in black and white too."""
LABEL = 34
"""Letters of a label up the side beyond which it goes on to a second line."""
OWN_ID = re.compile(r'(\bid="|url\(#|href="#)')


@record
class Picture:
    """A picture of the sheet.

    Args:
        title: what it shows [text]
        finding: what it says, for all who cannot see it [text]
        svg: the picture itself [text]
    """

    title: str
    finding: str
    svg: str


def picture(name: str, title: str, finding: str, tall_in: float, painted: Callable[[Any], None]) -> Picture:
    """Draw one picture.

    Args:
        name: what its ids begin with, one of a kind on the page [text]
        title: what it shows [text]
        finding: what it says [text]
        tall_in: height [in]
        painted: draws on the axes it is handed
    """
    from matplotlib import rc_context
    from matplotlib.figure import Figure

    with rc_context({**STYLE, **FACE}):
        sheet = Figure(figsize=(WIDE_IN, tall_in), layout="constrained")
        painted(sheet.add_subplot())
        out = io.StringIO()
        sheet.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    return Picture(title, finding, set_in(out.getvalue(), name, title, finding))


def set_in(svg: str, name: str, title: str, finding: str) -> str:
    """An SVG made fit for a page that holds others: ids of its own, a title and its finding, no size but its shape."""
    body = OWN_ID.sub(rf"\g<1>{name}-", svg[svg.index("<svg") :])
    opened, _, rest = body.partition(">")
    opened = re.sub(r' (?:width|height)="[^"]*"', "", opened)
    rest = re.sub(r"<metadata>.*?</metadata>", "", rest, flags=re.S)
    head = f'{opened} role="img" aria-labelledby="{name}-title {name}-finding">'
    told = f'<title id="{name}-title">{escape(title)}</title><desc id="{name}-finding">{escape(finding)}</desc>'
    return f"{head}{told}{rest}"


def curves(name: str, charts: Sequence[tuple[str, Chart]]) -> list[Picture]:
    """The curves of the steps, each a picture.

    Args:
        name: what their ids begin with [text]
        charts: name of a step, and a chart of it
    """
    shown = [(on_page(step), readable(one)) for step, one in charts]
    return [
        picture(f"{name}-{number}", f"{step}: {one.title}", one.finding, TALL_IN, _curve(one))
        for number, (step, one) in enumerate(shown, start=1)
    ]


def _curve(one: Chart) -> Callable[[Any], None]:
    def painted(axes: Any) -> None:
        draw(axes, one)
        axes.set_title("")  # the page says it above
        axes.set_ylabel(textwrap.fill(one.y, LABEL))

    return painted
