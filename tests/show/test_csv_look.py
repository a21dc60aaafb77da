"""The look for a spreadsheet."""

import csv
import io
from dataclasses import replace

import pytest
from show_samples import CHLORINE, DISSOLVE, LIFTED, dissolving, planning

from refinekit.bench.step import Reagent, Step, Table
from refinekit.ranges import Range
from refinekit.show.as_csv import to_csv
from refinekit.show.document import Document
from refinekit.show.text import cleaner


def rows_of(document: Document, **how: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(to_csv(document, clean=cleaner("utf-8"), **how))))


WASHES = Table(
    "Washes", ("wash", "mL", "left %"), ((1.0, 75.0, Range(18, 20, 25)), (2.0, 75.0, Range(3, 4, 6)), ("spare", "-", "-"))
)


def test_pours_and_figures_row_by_row() -> None:
    rows = rows_of(dissolving())
    nitric = next(row for row in rows if row["name"] == "nitric acid, 68 %, first")
    assert (nitric["kind"], nitric["low"], nitric["likely"], nitric["high"], nitric["unit"], nitric["to_take"]) == (
        "reagent",
        "0.41",
        "0.54",
        "0.66",
        "mL",
        "0.4",
    )
    assert nitric["note"] == "part of the total, not on top of it"
    left = next(row for row in rows if row["name"] == "nitric_left")
    assert (left["kind"], left["high"], left["sized_on"]) == ("answer", "2.13", "high gold, all as NO")
    assert any(row["name"] == "What eats the nitric: copper, grams" and row["likely"] == "0.04" for row in rows)


def test_a_row_has_one_unit_even_where_the_scale_reads_another() -> None:
    step = Step("neutralise", reagents=(Reagent("soda ash", Range.point(1200.0), 1231.0, "g", "high", rounding="up"),))
    assert rows_of(Document.of("neutralise", (step,)))[0]["to_take"] == "1240.0"


def test_an_answer_that_is_a_table_comes_as_that_table() -> None:
    document = Document.of("rinse", (Step("rinse", tables=(WASHES,)),), notices=(LIFTED,))
    text = to_csv(document)
    assert text.splitlines()[:3] == [
        "wash,mL,left % low,left % likely,left % high,note",
        "1.0,75.0,18.0,20.0,25.0,",
        "2.0,75.0,3.0,4.0,6.0,",
    ]
    assert "reason typed: hood on, two of us" in text


@pytest.mark.parametrize("start", ["=1+1", "+1", "-1+1", "@sum", "\t=1", " =1"])
def test_no_text_is_taken_for_a_formula(start: str) -> None:
    step = replace(DISSOLVE, tables=(), reagents=(replace(DISSOLVE.reagents[0], name=start, sized_on=start),))
    row = rows_of(Document.of("dissolve", (step,)))[0]
    assert row["name"].startswith("'")
    assert row["sized_on"].startswith("'")
    table = Table("t", (start, "b"), ((start, -1.0),))
    rows = list(csv.reader(io.StringIO(to_csv(Document.of("molar", sections=(table,))))))
    assert rows[0][0].startswith("'")
    assert rows[1][0].startswith("'")
    assert rows[1][1] == "-1.0"


def test_lines_cannot_be_broken_by_what_was_typed() -> None:
    step = Step("lot", tables=(Table("t", ("a", "b"), (('one\n"two', 1.0),)),))
    assert len(to_csv(Document.of("lot", (step,)), clean=cleaner("utf-8")).splitlines()) == 2


def test_what_to_wear_is_a_row_of_its_own() -> None:
    step = replace(DISSOLVE, says=(("gear", "long gloves"),))
    assert [row["note"] for row in rows_of(Document.of("dissolve", (step,))) if row["kind"] == "gear"] == ["long gloves"]
    table = Table("t", ("a", "b"), (("one", 1.0),))
    bare = replace(step, reagents=(), tables=(table,))
    assert ",,gear: long gloves" in to_csv(Document.of("dissolve", (bare,)))


def test_a_stopped_step_has_what_to_wear_cautions_and_no_figures() -> None:
    document = dissolving(CHLORINE)
    rows = rows_of(document)
    assert {row["kind"] for row in rows} == {"gear", "caution", "closing"}
    assert "goggles" in rows[0]["note"]
    assert next(row for row in rows if row["kind"] == "caution")["note"].startswith("STOP: bleach in acid")
    assert not any(row[key] for row in rows for key in ("low", "likely", "high", "to_take"))
    assert [row["note"] for row in rows[-2:]] == list(document.closing)


def test_a_plan_names_the_step_of_every_row() -> None:
    rows = rows_of(planning())
    assert {row["step"] for row in rows if row["kind"] == "reagent"} == {"dissolve", "drop"}
    assert any(row["name"] == "fine_gold" for row in rows)


def test_other_measure_where_it_is_asked_for() -> None:
    gold = next(row for row in rows_of(dissolving(), units="troy") if row["name"] == "gold")
    assert gold["unit"] == "dwt"
    assert float(gold["likely"]) == pytest.approx(2.1 / 1.55517384)  # NIST Handbook 44, pennyweight
    acid = rows_of(dissolving(), units="us")[0]
    assert (acid["unit"], float(acid["to_take"])) == ("fl oz", 0.409)  # 12.1 mL of 29.5735 mL to the ounce
