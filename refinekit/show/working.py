"""The sums as a person would check them by hand: equations, moles, arithmetic, and the source of every fact."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable

from refinekit.bench.step import Step
from refinekit.facts.load import Fact, fact
from refinekit.ranges import Range
from refinekit.show.document import Document, citation, reaction_row, source_key
from refinekit.show.rounding import figure, range_text

Line = tuple[int, str]
"""Indent [cells] and text of a line of working."""


def working_text(document: Document, *, width: int, clean: Callable[[str], str], dash: str) -> str:
    """The working of every step that was not stopped; "" where there is none."""
    lines: list[Line] = []
    for step in document.steps:
        if step.name not in document.stopped:
            lines += step_lines(step, several=len(document.steps) > 1, dash=dash)
    return "".join(f"{wrapped}\n" for indent, line in lines for wrapped in _wrapped(indent, clean(line), width))


def _wrapped(indent: int, line: str, width: int) -> list[str]:
    pad = " " * indent
    room = max(width, indent + 20)
    return textwrap.wrap(line, room, initial_indent=pad, subsequent_indent=f"{pad}  ", break_on_hyphens=False) or [""]


def step_lines(step: Step, *, several: bool, dash: str) -> list[Line]:
    """The working of a step, in the order it is checked."""
    lines = _block("equations", reaction_lines(step.reactions))
    lines += _block("moles in", mole_lines(step, dash))
    for number, one in enumerate(step.workings, start=1):
        lines.append((2, f"{number}. {one.what}"))
        lines += [(5, one.equation)] * bool(one.equation)
        lines.append((5, f"{one.arithmetic} = {one.result}" if one.arithmetic else one.result))
        lines += [(5, f"fact {fact_line(id)}") for id in one.facts]
    told = {id for one in step.workings for id in one.facts}
    lines += _block("other facts used", [fact_line(id) for id in step.used_facts if id not in told])
    heading = f"Working: {step.name}" if several else "Working"
    return [(0, heading), *lines, (0, "")] if lines else []


def _block(heading: str, lines: Iterable[str]) -> list[Line]:
    found = [(4, line) for line in lines]
    return [(2, heading), *found] if found else []


def reaction_lines(reactions: Iterable[str]) -> list[str]:
    """Equations with where their products were read."""
    rows = [reaction_row(id) for id in reactions]
    return [f"{row['id']}: {row['text']} ({citation(row['source'])})" if row["id"] else row["text"] for row in rows]


def mole_lines(step: Step, dash: str) -> list[str]:
    """What went into a step, in moles."""
    found = []
    for stream in step.ins:
        spans = {species: Range.over(amount) for species, amount in stream.amounts_mol.items()}
        amounts = [f"{species} {range_text(span, 'mol', dash=dash)}" for species, span in spans.items() if span.high]
        if amounts:
            found.append(f"{stream.name}: {', '.join(amounts)}")
    return found


def fact_line(id: str) -> str:
    """A fact with its figure and its citation; one that stands in a list with its citation alone."""
    try:
        found: Fact | None = fact(id)
    except (LookupError, TypeError, ValueError):
        found = None
    if found is None:
        source = source_key(id)
        return f"{id} ({citation(source)})" if source else id
    ends = (found.range.low, found.range.likely, found.range.high)
    number = figure(ends[1], 9) if found.range.is_point else "/".join(figure(end, 9) for end in ends)
    where = f", {found.where}" if found.where else ""
    return f"{id} = {number} {found.unit}".rstrip() + f" ({citation(found.source)}{where})"
