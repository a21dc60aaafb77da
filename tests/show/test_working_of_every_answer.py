"""Every figure that is acted on has its working, and every fact a working names is found by its name and by its figure."""

from functools import cache

import pytest

from refinekit.cli.cards import CARDS
from refinekit.cli.commands import load
from refinekit.facts.load import fact
from refinekit.facts.search import Found, find
from refinekit.show.document import Document
from refinekit.show.rounding import figure, measured
from refinekit.show.text import acted_on, in_words
from refinekit.show.working import fact_line, working_text
from tests.show.every_answer import every_answer

WITHOUT = ("new", "sources", "check", "manual", "completion")
"""Commands that reckon nothing: a file is written, or figures are shown beside their source."""
WIDE = 10_000


def working(document: Document) -> str:
    return working_text(document, width=WIDE, clean=str, dash="–")


@pytest.mark.parametrize("verb", [verb for verb in CARDS if verb not in WITHOUT])
def test_every_command_shows_its_working(verb: str) -> None:
    assert "show_working" in {parameter.name for parameter in load(verb).params}


def test_every_answer_has_a_working() -> None:
    empty = [asked.line for asked in every_answer() if not working(asked.document) and asked.line.split()[0] not in WITHOUT]
    assert empty == []


def test_every_figure_acted_on_is_worked_out() -> None:
    """By its name, its figure and what it comes of."""
    for asked in every_answer():
        document, text = asked.document, working(asked.document)
        answers = [*document.answers, *(one for step in document.steps for one in step.answers)]
        for one in answers:
            if acted_on(one.sized_on):
                lines = [line for line in text.splitlines() if f" {in_words(one.name)} = " in line and one.sized_on in line]
                assert lines, (asked.line, one.name)
        for step in document.steps:
            for pour in step.reagents:
                out = measured(pour.to_take, pour.unit, rounding=pour.rounding).text
                lines = [line for line in text.splitlines() if pour.name in line and line.endswith(f": {out}")]
                assert any(pour.excess in line and pour.sized_on in line for line in lines), (asked.line, pour.name)


def test_a_step_that_weighs_something_has_a_sum_with_numbers() -> None:
    for asked in every_answer():
        for step in asked.document.steps:
            if step.reagents and step.name not in asked.document.stopped:
                assert any(line.arithmetic and line.result for line in step.workings), (asked.line, step.name)


@cache
def named() -> tuple[str, ...]:
    """Ids of all the facts that are named in a working."""
    ids = [id for asked in every_answer() for step in asked.document.steps for id in step.used_facts]
    ids += [id for asked in every_answer() for step in asked.document.steps for line in step.workings for id in line.facts]
    return tuple(dict.fromkeys(ids))


def same(id: str, hits: list[Found]) -> bool:
    """Whether one of the hits is the fact: a row of a list may be called with the list's name or without."""
    return any(set(hit.id.split(".")) <= set(id.split(".")) and hit.id.split(".")[-1] == id.split(".")[-1] for hit in hits)


def test_every_fact_of_a_working_is_found_by_its_name() -> None:
    assert len(named()) > 150
    assert [id for id in named() if not same(id, find(id))] == []


def test_every_figure_of_a_working_is_found_as_it_is_shown() -> None:
    lost = []
    for id in named():
        line = fact_line(id)
        if " = " not in line:
            continue
        found = fact(id)
        shown = line.partition(" = ")[2].partition(" (")[0]
        short = "/".join(figure(end) for end in ((found.value,) if found.range.is_point else ends(id)))
        for text in (shown, f"{short} {found.unit}".rstrip()):
            if not found.unit and len(text.replace(".", "").lstrip("0")) < 3:
                continue  # a bare 2 is the figure of too much: it is found by its name
            if not same(id, find(text)):
                lost.append((id, text))
    assert lost == []


def ends(id: str) -> tuple[float, float, float]:
    span = fact(id).range
    return span.low, span.likely, span.high


@pytest.mark.parametrize(
    ("typed", "id"),
    [
        ("25 C", "constants.shop_temperature"),
        ("77 F", "constants.shop_temperature"),
        ("31.1 g", "constants.troy_ounce"),
        ("31.1034768g", "constants.troy_ounce"),
        ("3.79 L", "constants.us_gallon"),
        ("3785 mL", "constants.us_gallon"),
        ("2–3–4 mL/g", "practice/rinse.hold.pulp"),
        ("0.02/0.03/0.04 1/m", "practice/air.open_tube"),
    ],
)
def test_a_figure_is_found_in_the_unit_it_is_shown_in(typed: str, id: str) -> None:
    """31.1034768 g and 3.785411784 L: NIST Handbook 44, Appendix C; 25 C is 298.15 K and 77 F by definition."""
    assert id in [hit.id for hit in find(typed)][:5]
