"""Files an answer is put to beside the screen: its charts, and a page for paper or a tablet."""

from __future__ import annotations

from dataclasses import replace

from refinekit.errors import BadFile, CannotFollow
from refinekit.show.document import Document


def write_charts(document: Document, file: str, *, force: bool, units: str) -> None:
    """Write the charts of an answer to a file; one of a stopped step is not written.

    Raises: BadFile, not named as what it is, there already, or not to be written; CannotFollow, there is nothing to draw
    """
    from refinekit.shop.files import write_text
    from refinekit.show.chart_svg import svg_of
    from refinekit.show.recast import chart_in

    if not file.lower().endswith(".svg"):
        raise BadFile(f"--chart {file[:80]!r} does not end in .svg", cure="--chart curve.svg")
    several = len(document.steps) > 1
    drawn = [(step.name, chart_in(chart, units)) for step in document.steps for chart in step.charts]
    charts = [replace(chart, title=f"{step}: {chart.title}") if several else chart for step, chart in drawn]
    if not charts:
        raise CannotFollow(
            "this answer has no chart", cure=f"leave --chart out, or see {document.command} --help for what draws one"
        )
    write_text(file, svg_of(charts), force=force)


def page_name(file: str | None, *, force: bool) -> str | None:
    """Name of the page an answer is put to, looked at before anything is reckoned, or written to a book.

    Raises: BadFile, not named as what it is, there already, a folder, or in none
    """
    from refinekit.shop.files import refuse_target

    if file is None:
        return None
    if not file.lower().endswith((".html", ".htm")):
        raise BadFile(f"--sheet {file[:80]!r} does not end in .html", cure="--sheet run.html")
    refuse_target(file, force=force)
    return file


def write_sheet(document: Document, file: str, *, force: bool, units: str) -> None:
    """Write an answer as one page for paper or a tablet; what is stopped stands on it without figures.

    Raises: BadFile, there already, a folder, or not to be written
    """
    from refinekit.shop.files import write_text
    from refinekit.show.sheet import page_of

    write_text(file, page_of(document, units=units), force=force)
