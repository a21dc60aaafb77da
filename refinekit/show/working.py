"""The sums as a person would check them by hand: equations, moles, arithmetic, and the source of every fact."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable

from refinekit.bench.step import Answer, Step
from refinekit.facts.load import Fact, fact
from refinekit.ranges import Range
from refinekit.show.document import Document, citation, reaction_row, source_key
from refinekit.show.rounding import figure, measured, range_text
from refinekit.show.text import acted_on, in_words

Line = tuple[int, str]
"""Indent [cells] and text of a line of working."""


def working_text(document: Document, *, width: int, clean: Callable[[str], str], dash: str) -> str:
    """The working of every step that was not stopped; "" where there is none."""
    several = len(document.steps) > 1
    lines: list[Line] = []
    for step in document.steps:
        if step.name not in document.stopped or step.of_air:
            lines += step_lines(step, several=several, dash=dash)
    whole = _block("figures, and how each comes about", answer_lines(document.answers, dash))
    whole += _block("how it is reckoned", [HOW[document.command]] if document.command in HOW else [])
    whole += _block("what each caution rests on", () if document.stopped else caution_sources(document))
    if whole:
        lines += [(0, "Working: the whole" if several else "Working")] * (several or not lines) + whole + [(0, "")]
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
    lines += _block("to weigh and pour", reagent_lines(step, dash))
    lines += _block("figures, and how each comes about", answer_lines(step.answers, dash))
    lines += _block("other facts used", [fact_line(id) for id in step.used_facts if id not in told])
    heading = f"Working: {step.name}" if several else "Working"
    return [(0, heading), *lines, (0, "")] if lines else []


def _block(heading: str, lines: Iterable[str]) -> list[Line]:
    found = [(4, line) for line in lines]
    return [(2, heading), *found] if found else []


HOW = {
    "bath": "litres, metals and acid are followed event by event: what was poured in or dissolved, less what was bled, what the "
    "metals ate and what the air carried off",
    "rehearse": "each change is the plan reckoned again from the changed file: refinekit plan FILE --show-working has its sums",
    "pot": "g = mol x molar mass; g/L = g / litres",
    "log": "what the plan reckons, with what was told in its place; fine metal = weight x fineness",
    "drum": "litres and kg = all that was put in, added up; kg of a liquor = litres x density; mg/L = grams of the metal / "
    "litres x 1000; pH, where nobody measured it, = -log10 of the free acid, or 14 + log10 of the free alkali [mol/L]",
    "stock": "on hand = what was counted last, and bought since, less what was used and thrown away since",
    "report": "fine metal = weight x fineness, over bars and streams; not found = expected less found; times bare = used / bare "
    "need; to a gram = used / fine metal found; margin = sold less goods, reagents and other",
    "book": "every event is read back and held to the seal it was written with; nothing else is reckoned",
}
HOW["manifest"] = HOW["drum"]
"""How the tables of a command come about that has no sums of its own."""


def reagent_lines(step: Step, dash: str) -> list[str]:
    """From the bare need of each reagent to the figure that is measured out."""
    found = []
    for one in step.reagents:
        bare = f"bare need {range_text(one.bare, one.unit, dash=dash, end=acted_on(one.sized_on))}" if one.bare.high else ""
        out = measured(one.to_take, one.unit, rounding=one.rounding).text
        taken = f"takes {figure(one.to_take)} {one.unit}, rounded {ROUNDED[one.rounding]}: {out}"
        steps = ", ".join(filter(None, (bare, one.excess, one.sized_on)))
        found.append(f"{', '.join(filter(None, (one.name, one.bottle, one.when)))}: {steps}; {taken}")
    return found


ROUNDED = {"up": "up", "down": "down", "nearest": "to the nearest step"}


def answer_lines(answers: Iterable[Answer], dash: str) -> list[str]:
    """Every figure with what it is worked out from, in words, and the end that is acted on."""
    found = []
    for one in answers:
        span = range_text(one.range, said_unit(one.unit), dash=dash, end=acted_on(one.sized_on))
        how = "; ".join(filter(None, (one.because, "" if one.sized_on == "likely" else one.sized_on)))
        found.append(": ".join(filter(None, (f"{in_words(one.name)} = {span}", how))))
    return found


def said_unit(unit: str) -> str:
    """A unit as a person reads it: degrees have their sign, money and pH none of their own."""
    return {"C": "°C", "money": "", "pH": ""}.get(unit, unit)


def caution_sources(document: Document) -> list[str]:
    """Each caution's code with where its rule is from."""
    pairs = dict.fromkeys((one.notice.code, one.notice.source) for one in document.notices if one.notice.source)
    return [f"{code}: {citation(source)}" for code, source in pairs]


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
