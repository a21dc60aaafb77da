"""The look for paper and for a tablet beside the hood: one page that needs no network and no script.

A page is a document as it stands: no figure is made here. jinja2 and matplotlib are loaded for this look alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from refinekit.bench.step import Answer, Gas, Reagent, Step, Table
from refinekit.safety.gear import checklist
from refinekit.safety.stop_if import stop_if
from refinekit.shop.book.written import SCHEMA
from refinekit.show.cautions import LABELS, lifted_line, merged
from refinekit.show.cells import laid
from refinekit.show.convert import measured_in, range_in
from refinekit.show.document import Document, Said
from refinekit.show.headlines import aside, short_answers, short_tables
from refinekit.show.recast import in_units
from refinekit.show.rounding import MARK, figure, range_text
from refinekit.show.sheet_bars import FUME, gases, hangs, section
from refinekit.show.sheet_flow import flow
from refinekit.show.sheet_picture import Picture, curves
from refinekit.show.terminal import ACTED_ON, gas_name, peak_text, place_text
from refinekit.show.text import acted_on, in_words, on_page
from refinekit.show.working import said_unit

TEMPLATE, LOOKS, SCRIPT = "sheet.html", "sheet.css", "sheet.js"
BEFORE = ("vessel", "gear", "look first", "do instead", "verdict")
"""Headings of a step read before anything is measured out."""
WHILE = ("how", "watch for", "in law", "left over")
"""Headings read while it runs; others a step may have come after these."""
AFTER = ("done when", "next")
OPTION = re.compile(r"(?<![\w-])--[a-z][a-z0-9-]*")
"""An option of a command within a sentence."""
COLUMNS = 4
"""Columns of a table up to which it may stand beside others; a wider one is set smaller."""


def page_of(document: Document, *, units: str = "metric") -> str:
    """A document as one HTML page.

    Args:
        document: the answer; what was stopped has no figures left
        units: metric, troy or us
    """
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    here = Path(__file__).parent
    world = Environment(
        loader=FileSystemLoader(here), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    world.filters["whole"] = options_whole
    style = (here / LOOKS).read_text(encoding="utf-8")
    script = (here / SCRIPT).read_text(encoding="utf-8") if saves(document) else ""
    return world.get_template(TEMPLATE).render(
        style=style, script=script, script_hash=hash_of(script), saved_as=SCHEMA, **view(document, units)
    )


def options_whole(line: str) -> str:
    """A line, harmless to a page, whose options are not broken behind their dashes: they are typed as they stand."""
    from markupsafe import Markup, escape

    return Markup(OPTION.sub(r'<span class="option">\g<0></span>', str(escape(line))))


def saves(document: Document) -> bool:
    """Whether what is written on the page can be saved for the book: there are pours of a plan to write down."""
    return document.command == "plan" and any(step.reagents for step in document.steps)


def hash_of(script: str) -> str:
    """How a page names the one script it lets run: by its own hash, so that no other can."""
    from base64 import b64encode
    from hashlib import sha256

    return "sha256-" + b64encode(sha256(script.encode()).digest()).decode()


def view(document: Document, units: str) -> dict[str, Any]:
    """All that the page says, as text."""
    document = in_units(document, units)
    several = len(document.steps) > 1
    return {
        "title": on_page(document.title) or document.command,
        "command": document.command,
        "version": document.version,
        "place": on_page(place_text(document, units)),
        "stopped": sorted(map(on_page, document.stopped)),
        "cautions": [caution(said, steps if several else ()) for said, steps in merged(document)],
        "checks": [on_page(line) for line in checklist()] if document.wet else [],
        "steps": [step_view(step, number, document, units) for number, step in enumerate(document.steps, start=1)],
        "answers": [answer_view(one, document, units) for one in document.answers],
        "tables": [table_view(one, document) for one in document.sections if one.rows],
        "lines": [(on_page(heading), on_page(line)) for heading, line in document.lines],
        "pictures": pictures(document, units),
        "assumed": [on_page(line) for line in document.assumed],
        "sources": [on_page(cite) for cite in document.sources.values()],
        "inputs": [(in_words(on_page(name)), on_page(text)) for name, text in document.inputs.items()],
        "closing": document.closing[:1],  # what the eye must check stands first, with its boxes
        "mark": f"{MARK} {ACTED_ON}",
    }


def pictures(document: Document, units: str) -> list[Picture]:
    """The pictures of a page, told in its units: where the metal goes, gases, curves of the steps, what it hangs on."""
    drawn = [(step.name, chart) for step in document.steps for chart in step.charts]
    found = [flow(document, units), gases(document), *curves("curve", drawn), hangs(document)]
    return [one for one in found if one is not None]


def caution(said: Said, steps: Iterable[str]) -> dict[str, Any]:
    """A caution: its level word, what happens, what to do."""
    notice = said.notice
    return {
        "level": notice.level,
        "word": LABELS[notice.level].upper(),
        "where": on_page(", ".join(steps)),
        "text": on_page(notice.text),
        "code": notice.code,
        "do": on_page(notice.do),
        "cause": on_page(notice.cause if notice.cause != said.step else ""),
        "lifted": on_page(lifted_line(said)) if said.lifted else "",
    }


def step_view(step: Step, number: int, document: Document, units: str) -> dict[str, Any]:
    """One step, in the order it is done."""
    said: dict[str, list[str]] = {}
    for heading, line in step.says:
        said.setdefault(heading, []).append(on_page(line))
    other = [heading for heading in said if heading not in (*BEFORE, *WHILE, *AFTER)]
    short = document.short
    return {
        "number": number,
        "name": on_page(step.name),
        "title": on_page(step.title if len(document.steps) > 1 else ""),
        "stopped": step.name in document.stopped,
        "cautions": [caution(one, ()) for one in document.of_step(step.name)] if len(document.steps) > 1 else [],
        "room": room_text(document) if step.gases else "",
        "before": [(heading, said[heading]) for heading in BEFORE if heading in said],
        "during": [(heading, said[heading]) for heading in (*WHILE, *other) if heading in said],
        "after": [(heading, said[heading]) for heading in AFTER if heading in said],
        "stop_if": [] if step.name in document.stopped else [on_page(line) for line in stop_if(step)],
        "reagents": [reagent_view(one, step, units) for one in step.reagents],
        "gases": [gas_view(one, step, document) for one in step.gases],
        "answers": [answer_view(one, document, units) for one in (short_answers(step) if short else step.answers)],
        "tables": [table_view(one, document) for one in (short_tables(step) if short else step.tables) if one.rows],
        "pots": [on_page(pot.name) for pot in step.pots] if step.reagents or step.gases else [],
    }


def room_text(document: Document) -> str:
    """Where the gas of a step goes, as it was told."""
    place = document.place
    if place is None:
        return ""
    told = ["open air"] if place.outdoors else ["under the hood, sash down, tissue leans in" if place.hood else "NO HOOD TOLD"]
    told += [f"room {figure(place.room_m3)} m³"] if place.room_m3 and not place.outdoors else []
    told += [f"fan {figure(place.fan_m3_per_min)} m³/min"] if place.fan_m3_per_min and not place.outdoors else []
    return "; ".join(told)


def reagent_view(one: Reagent, step: Step, units: str) -> dict[str, str]:
    """Something to weigh or pour."""
    bottle = f", {one.bottle}" if one.bottle and one.bottle not in one.name else ""
    take = measured_in(one.to_take, one.unit, one.name, units, rounding=one.rounding)
    shown = take.partition(" (")[0]
    return {
        "name": on_page(one.name + bottle),
        "when": on_page(aside(one, step.reagents)),
        "take": on_page(take),
        "shown": shown,
        "unit": shown.partition(" ")[2],
        "bare": on_page(range_in(one.bare, one.unit, one.name, units, end=acted_on(one.sized_on))) if one.bare.high else "none",
        "excess": on_page(one.excess) or "none",
        "sized_on": on_page(one.sized_on),
    }


def gas_view(one: Gas, step: Step, document: Document) -> dict[str, str]:
    """A gas, and what it comes to in the closed room beside its limit."""
    fume = section(document, FUME)
    row = next((row for row in fume.rows if row[0] == step.name and row[1] == one.formula), None) if fume else None
    ppm, limit = (cell if isinstance(cell, str) else figure(float(cell)) for cell in row[4:6]) if row else ("", "")  # type: ignore[arg-type]
    return {
        "name": f"{gas_name(one.formula)}, {one.formula}",
        "litres": range_text(one.litres, "L", end="high"),  # lungs go by the most
        "how_fast": peak_text(one) or "not told",
        "ppm": ppm or "-",
        "limit": limit or "-",
        "sized_on": on_page(one.sized_on),
    }


def answer_view(one: Answer, document: Document, units: str) -> dict[str, str]:
    """A figure, with the end it is acted on."""
    how = "; ".join(filter(None, ("" if one.sized_on == "likely" else one.sized_on, one.because)))
    return {
        "name": on_page(in_words(one.name)),
        "range": on_page(
            range_in(one.range, said_unit(one.unit), one.name, units, figures=document.figures, end=acted_on(one.sized_on))
        ),
        "how": on_page(how),
    }


def table_view(one: Table, document: Document) -> Mapping[str, Any]:
    """A table, every cell as text."""

    told = laid(one, figures=document.figures)
    return {
        "title": on_page(one.title),
        "columns": [on_page(head) for head in told.columns],
        "rows": [[on_page(cell) for cell in row] for row in told.rows],
        "wide": len(told.columns) > COLUMNS,
    }
