"""The screen at the bench, at every width: nothing longer than the screen, nothing cut off, nothing lost."""

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from show_samples import CHLORINE, DISSOLVE, FUME, LIFTED, PLACE, dissolving, planning

from refinekit.bench.step import Answer, Notice, Reagent, Step, Table
from refinekit.ranges import Range
from refinekit.show.document import CLOSING, Document
from refinekit.show.terminal import Screen, gas_name, lasting
from refinekit.show.text import in_words

WIDTHS = (20, 40, 59, 60, 80, 140)


def screen(document: Document, width: int = 80, *, units: str = "metric", encoding: str = "utf-8", cautions: bool = True) -> str:
    return Screen(document, width=width, units=units, encoding=encoding).text(cautions=cautions, styled=False, working=True)


def words_of(document: Document) -> set[str]:
    texts: list[str] = [*document.assumed, *document.closing, *(text for pair in document.lines for text in pair)]
    for said in document.notices:
        texts += [said.notice.text, said.notice.do, said.notice.code, said.notice.reason]
    for step in document.steps:
        texts += [step.title]
        texts += [text for one in step.reagents for text in (one.name, one.bottle, one.when, one.sized_on, one.excess)]
        texts += [text for one in step.answers for text in (in_words(one.name), one.because)]
        texts += [text for table in step.tables for text in (table.title, *table.columns)]
        texts += [cell for table in step.tables for row in table.rows for cell in row if isinstance(cell, str)]
        texts += [text for pair in step.says for text in pair]
        texts += [text for line in step.workings for text in (line.what, line.equation, line.arithmetic, line.result)]
        texts += [one.sized_on for one in step.gases]
    return {word for text in texts for word in text.replace("degC", "°C").split()}


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize(
    "document", [dissolving(), dissolving(LIFTED), planning(), dissolving(CHLORINE)], ids=["one", "lifted", "plan", "stopped"]
)
def test_no_line_is_longer_than_the_screen_and_no_word_is_lost(document: Document, width: int) -> None:
    text = screen(document, width)
    assert max(cell_len(line) for line in text.splitlines()) <= width
    assert "…" not in text
    squeezed = re.sub(r"\s+", "", text)
    lost = {word for word in words_of(document) if word not in squeezed and len(word) <= width // 2}
    assert lost == set()


@pytest.mark.parametrize("width", WIDTHS)
def test_every_figure_to_measure_out_is_there_at_every_width(width: int) -> None:
    text = " ".join(screen(dissolving(), width).split()).replace("*", "")
    for figure in ("12.0 mL", "0.40 mL", "2.5 mL", "0.41–0.54–0.66 mL", "0–0.21–2.13 mL", "1.6–2.1–2.6 g"):
        assert figure in text


def test_cautions_come_before_everything_and_the_closing_after_everything() -> None:
    lines = screen(dissolving(FUME)).splitlines()
    assert lines[0].startswith("WARN  brown fume")
    assert " ".join(lines[-2:]).endswith("and a second person, before you pour.")
    assert CLOSING in lines


def test_the_figure_to_measure_out_stands_next_to_the_name() -> None:
    head = next(line for line in screen(dissolving()).splitlines() if "MEASURE OUT" in line)
    assert head.split("  ")[0] == "to weigh and pour"
    assert head.index("MEASURE OUT") < head.index("needed (bare)") < head.index("excess") < head.index("because")


def test_a_part_of_a_pour_says_that_it_is_one() -> None:
    assert "first (part of the total)" in screen(dissolving(), 140)
    assert "first (part of the total)" in screen(dissolving(), 40)


def test_the_air_is_in_the_header() -> None:
    assert re.search(r"dissolve  foils, 1.6 / 2.1 / 2.6 g gold +18 °C, 350 m$", screen(dissolving()), re.M)
    assert "64.4 °F, 350 m" in screen(dissolving(), units="us")


def test_a_lifted_stop_tells_its_reason_even_where_cautions_stand_elsewhere() -> None:
    for cautions in (True, False):
        text = " ".join(screen(dissolving(LIFTED), cautions=cautions).split())
        assert "stop chlorine was lifted by hand; reason typed: hood on, two of us" in text


@pytest.mark.parametrize("width", WIDTHS)
def test_a_stopped_step_shows_no_figure(width: int) -> None:
    text = screen(dissolving(CHLORINE), width)
    shown = text.replace(FUME.text, "")
    assert not re.search(r"\d", shown)
    assert "Stopped for safety" in " ".join(text.split())
    assert "keep them apart" in " ".join(text.split())


def test_a_stop_that_may_be_lifted_says_how_and_names_the_step_at_fault() -> None:
    text = screen(planning(("drop", CHLORINE)))
    assert '--override chlorine="..."' in text
    assert "set by: rinse" in text
    fixed = Notice("stop", "cyanide", "prussic acid", "stop here", "practice")
    assert "--override" not in screen(dissolving(fixed))


def test_the_same_caution_of_two_steps_stands_once_and_names_both() -> None:
    text = screen(planning())
    assert text.count("WARN  ") == 1
    assert "WARN  dissolve, drop: brown fume" in text
    assert "cautions: warn nitrogen-dioxide" in text


def test_markup_and_control_characters_of_a_person_do_nothing() -> None:
    hostile = "[bold]x[/bold] :skull: \x1b[2J\u202egold"
    step = replace(
        DISSOLVE,
        title=hostile,
        says=(("vessel", hostile),),
        tables=(Table(hostile, (hostile,), ((hostile,),)),),
        assumed=(hostile,),
    )
    text = screen(Document.of("dissolve", (step,), notices=(replace(FUME, text=hostile),)), 140)
    assert "\x1b" not in text
    assert "\u202e" not in text
    assert text.count("[bold]x[/bold] :skull: [2Jgold") >= 6


def test_a_screen_without_unicode_still_says_everything() -> None:
    text = screen(planning(), encoding="ascii")
    assert text.isascii()
    assert re.search(r"1\.6\*?/2\.1\*?/2\.6\*? g", text)
    assert "18 degC" in text
    assert "--------" in text


def test_precious_weights_in_troy() -> None:
    assert "1.03–1.35–1.67 dwt" in screen(dissolving(), units="troy").replace("*", "")


def test_a_command_asked_for_more_figures_shows_them() -> None:
    step = Step(
        "molar",
        answers=(Answer("molar_mass", Range.point(278.0146), "g/mol"),),
        tables=(Table("t", ("a", "b"), (("x", 20.08812),)),),
    )
    assert "278.01 g/mol" in screen(Document.of("molar", (step,), figures=5))
    assert "20.088" in screen(Document.of("molar", (step,), figures=5))
    assert "278 g/mol" in screen(Document.of("molar", (step,)))


def test_nothing_at_all_is_shown_without_a_traceback() -> None:
    assert screen(Document.of("sources")).strip() == "sources"
    assert screen(Document.of("lot", (Step("lot", tables=(Table("t", ("a",), ()),)),))).strip() == "lot"


plain_words = st.lists(st.text("abcdefghij,.-", min_size=1, max_size=9), min_size=1, max_size=12).map(" ".join)


@settings(max_examples=60, deadline=None)
@given(st.lists(plain_words, min_size=6, max_size=6), st.integers(30, 140), st.floats(1e-6, 1e6))
def test_whatever_is_said_fits_and_is_said_whole(said: list[str], width: int, value: float) -> None:
    name, why, head, cell, heading, line = said
    step = Step(
        "drop",
        reagents=(Reagent(name, Range.point(value), value, "g", why, when=line, bottle=heading),),
        answers=(Answer("gold", Range.point(value), "g", because=why),),
        tables=(Table(head, (head, "grams"), ((cell, value),)),),
        says=((heading, line),),
    )
    text = screen(Document.of("drop", (step,), place=PLACE), width)
    assert max(cell_len(line) for line in text.splitlines()) <= width
    squeezed = re.sub(r"\s+", "", text)
    assert all(word in squeezed for texts in said for word in texts.split())


def test_the_end_that_is_acted_on_is_marked_and_the_mark_is_explained() -> None:
    text = " ".join(screen(dissolving()).split())
    assert re.search(r"2\.6\* g|0\.66\* mL|2\.13\* mL", text)
    assert "* the end of the range that is acted on" in text


@pytest.mark.parametrize(("minutes", "said"), [(15.0, "15 min"), (119.0, "119 min"), (120.0, "2 h"), (4080.0, "2.83 d")])
def test_a_long_time_is_told_in_hours_or_days(minutes: float, said: str) -> None:
    assert lasting(minutes) == said


def test_a_gas_does_not_read_like_a_bottle_to_pour_from() -> None:
    assert gas_name("HCl") == "hydrogen chloride"
    assert gas_name("NO2") == "nitrogen dioxide"
