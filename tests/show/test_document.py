"""What may be shown is settled when the document is made: a stopped step has nothing left to show."""

from dataclasses import fields, replace

import numpy as np
import pytest
from show_samples import CHLORINE, DISSOLVE, DROP, FUME, LIFTED, PLACE, SAMPLE, dissolving, planning

from refinekit.bench.pot import Pot
from refinekit.bench.step import Step, Table
from refinekit.errors import Leak
from refinekit.show.document import CLOSING, Document, source_key


def test_a_stopped_step_keeps_its_name_what_to_wear_and_nothing_else() -> None:
    document = dissolving(CHLORINE)
    assert document.stopped == {"dissolve"}
    assert document.exit_code == 3
    assert document.steps == (Step("dissolve", says=document.steps[0].says),)
    assert {heading for heading, _ in document.steps[0].says} == {"gear"}
    assert "goggles" in document.steps[0].says[0][1]
    assert any("bottle" in line for line in document.closing)
    assert (document.answers, document.pots, document.assumed, document.title, document.place) == ((), (), (), "", None)
    assert [one.notice.code for one in document.notices] == ["chlorine", "sample-before-buying"]


def test_a_stop_of_one_step_leaves_the_others_their_figures() -> None:
    document = planning(("drop", CHLORINE))
    assert document.stopped == {"drop"}
    assert document.steps[0].reagents == DISSOLVE.reagents
    assert document.steps[1] == Step("drop", says=document.steps[1].says)
    assert {heading for heading, _ in document.steps[1].says} == {"gear"}
    assert document.answers == document.pots == ()
    assert document.sections[0].rows == (("1", "dissolve", "2.1 g gold"), ("2", "drop", "stopped"))


def test_a_stop_of_the_whole_command_stops_every_step() -> None:
    assert Document.of("plan", (DISSOLVE, DROP), notices=(CHLORINE,)).stopped == {"dissolve", "drop"}


def test_a_lifted_stop_stops_nothing() -> None:
    document = dissolving(LIFTED)
    assert document.exit_code == 0
    assert document.steps[0].reagents


def test_a_step_stopped_by_its_own_caution_is_stopped() -> None:
    assert Document.of("dissolve", (replace(DISSOLVE, notices=(CHLORINE,)),)).stopped == {"dissolve"}


def test_a_command_without_steps_is_an_answer_even_where_it_says_stop() -> None:
    document = Document.of("keep-apart", notices=(CHLORINE,), sections=(Table("These two", ("a", "b"), (("bleach", "acid"),)),))
    assert document.exit_code == 0
    assert document.sections[0].rows


def test_cautions_stand_worst_first_and_once() -> None:
    document = Document.of("dissolve", (DISSOLVE,), notices=(SAMPLE, FUME, LIFTED, CHLORINE, FUME))
    assert [(one.notice.level, one.lifted) for one in document.notices] == [
        ("stop", False),
        ("stop", True),
        ("warn", False),
        ("note", False),
    ]


def test_pots_passed_by_stand_after_the_steps_own_and_have_names_of_their_own() -> None:
    twin = Pot("gold liquor", 0.5, {"H^+": 0.5, "Cl^-": 0.5})
    document = Document.of("dissolve", (DISSOLVE,), passed_by=(twin,))
    assert [pot.name for pot in document.pots] == ["gold liquor", "gold liquor 2"]


def test_wet_work_ends_with_the_closing_lines_and_dry_work_does_not() -> None:
    for document in (dissolving(), dissolving(CHLORINE)):
        assert (document.closing[0], len(document.closing)) == (CLOSING, 2)
    assert Document.of("lot", (Step("lot", pots=(Pot("lot", solids_mol={"Au": 1.0}),)),)).closing == ()
    assert Document.of("sources").closing == ()


def test_two_steps_of_one_name_are_a_fault() -> None:
    with pytest.raises(Leak, match="two steps of one name"):
        Document.of("plan", (DROP, DROP))


@pytest.mark.parametrize(
    ("id", "key"),
    [
        ("constants.troy_ounce", "nist-handbook-44"),
        ("practice/show.scale.fine_step", "practice"),
        ("reactions.R2.3", "equation"),
        ("reactions.R9999", ""),
        ("no-such-file.thing", ""),
    ],
)
def test_every_fact_leads_to_its_source(id: str, key: str) -> None:
    assert source_key(id) == key


def test_sources_are_cited_in_full_and_those_of_a_stopped_step_are_not_told() -> None:
    told = dissolving().sources
    assert told["practice"] == "common practice, no source"
    assert "NIST Handbook 44" in told["nist-handbook-44"]
    assert "openstax-chem2e" in told
    assert set(dissolving(CHLORINE).sources) == {"practice"}


def test_a_document_cannot_be_changed() -> None:
    document = dissolving()
    for field in fields(document):
        with pytest.raises(AttributeError):
            setattr(document, field.name, None)


def test_the_sample_has_worlds_and_a_place() -> None:
    assert dissolving().place == PLACE
    assert isinstance(dissolving().pots[0].volume_l, np.ndarray)
