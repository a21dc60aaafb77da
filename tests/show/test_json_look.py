"""The look for scripts, held to the schema that is shipped with it."""

import copy
import json
from dataclasses import replace
from importlib.resources import files
from typing import Any

import numpy as np
import pytest
from jsonschema import Draft202012Validator
from jsonschema.exceptions import ValidationError
from show_samples import CHLORINE, DISSOLVE, FUME, LIFTED, dissolving, planning

from refinekit.bench.step import Answer, Gas
from refinekit.errors import Leak
from refinekit.ranges import Range
from refinekit.show.as_json import to_json
from refinekit.show.document import Document

SCHEMA = json.loads(files("refinekit.show").joinpath("schema.json").read_text(encoding="utf-8"))
DOCUMENTS = {
    "one": dissolving(),
    "lifted": dissolving(LIFTED, FUME),
    "stopped": dissolving(CHLORINE),
    "plan": planning(),
    "plan stopped": planning(("drop", CHLORINE)),
    "no steps": Document.of("sources", inputs={"word": "copper"}),
}


def data_of(document: Document, **how: bool) -> dict[str, Any]:
    data: dict[str, Any] = json.loads(to_json(document, **how))
    return data


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("working", [True, False])
@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_answer_keeps_to_the_schema(name: str, working: bool) -> None:
    Draft202012Validator(SCHEMA).validate(data_of(DOCUMENTS[name], working=working))


@pytest.mark.parametrize(
    "path",
    [("schema",), ("answers", "gold", "unit"), ("reagents", 0, "measure_out"), ("notices", 0, "level"), ("pots", 0, "name")],
)
def test_the_schema_misses_what_is_missing_and_sees_what_is_new(path: tuple[str | int, ...]) -> None:
    whole = data_of(dissolving())
    for change in ("without", "wrong"):
        data: Any = copy.deepcopy(whole)
        at = data
        for key in path[:-1]:
            at = at[key]
        if change == "without":
            del at[path[-1]]
        else:
            at[path[-1]] = ["something else"]
        with pytest.raises(ValidationError):
            Draft202012Validator(SCHEMA).validate(data)
    with pytest.raises(ValidationError):
        Draft202012Validator(SCHEMA).validate({**whole, "new": 1})


def test_figures_are_at_full_precision_beside_the_rounded_ones() -> None:
    third = 1 / 3
    step = replace(DISSOLVE, answers=(Answer("gold", Range(third, third, 2 * third), "g", "low", "why"),))
    data = data_of(Document.of("dissolve", (step,)))
    assert data["answers"] == {
        "gold": {"low": third, "likely": third, "high": 2 * third, "unit": "g", "sized_on": "low", "because": "why"}
    }
    assert data["reagents"][2]["to_take"] == 0.404
    assert data["reagents"][2]["measure_out"] == {"figure": 0.4, "unit": "mL"}
    assert data["reagents"][2]["counts"] is False


def test_the_only_steps_answers_stand_at_the_top_and_those_of_many_in_their_steps() -> None:
    assert set(data_of(dissolving())["answers"]) == {"nitric_left", "gold", "vessel"}
    plan = data_of(planning())
    assert set(plan["answers"]) == {"fine_gold"}
    assert set(plan["steps"][1]["answers"]) == {"smb_total"}
    assert [one["step"] for one in plan["reagents"]] == ["dissolve"] * 4 + ["drop"]
    assert [pot["name"] for pot in plan["pots"]] == ["barren"]


def test_reactions_come_with_their_equations() -> None:
    assert data_of(dissolving())["reactions"][0] == {"id": "R3.1", "equation": "Au + HNO3 + 4 HCl -> HAuCl4 + NO + 2 H2O"}
    own = replace(DISSOLVE, reactions=("Ag + Cl^- -> AgCl + e^-",))
    assert data_of(Document.of("x", (own,)))["reactions"] == [{"id": "", "equation": "Ag + Cl^- -> AgCl + e^-"}]


def test_workings_are_there_when_asked_for() -> None:
    assert "workings" not in data_of(dissolving())["steps"][0]
    assert data_of(dissolving(), working=True)["steps"][0]["workings"][1]["result"] == "0.70 mL"


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -float("inf")])
def test_a_figure_that_is_no_number_is_a_fault_of_the_program(bad: float) -> None:
    gas = Gas("NO", Range.point(1.0), Range.point(1.0), bad)
    with pytest.raises(Leak, match=r"gases\[0\].minutes came out as"):
        to_json(Document.of("dissolve", (replace(DISSOLVE, gases=(gas,)),)))


def test_two_answers_of_one_name_are_a_fault_of_the_program() -> None:
    twice = Answer("gold", Range.point(1.0), "g")
    with pytest.raises(Leak, match="two answers are called 'gold'"):
        to_json(Document.of("dissolve", (replace(DISSOLVE, answers=(twice, twice)),)))


def test_what_a_person_typed_comes_through_whole_and_in_ascii() -> None:
    typed = "Zürich\x1b[2J\u202e=1+1"
    text = to_json(Document.of("lot", inputs={"source": typed}))
    assert text.isascii()
    assert "\x1b" not in text
    assert json.loads(text)["inputs"]["source"] == typed


def test_numpy_figures_are_plain_numbers() -> None:
    step = replace(
        DISSOLVE, answers=(Answer("gold", Range.over(np.array([2.0, 1.0, 3.0])), "g"),), heat_kj=np.array([2.0, 1.0, 3.0])
    )
    data = data_of(Document.of("dissolve", (step,)))
    assert data["answers"]["gold"]["low"] == 1.0
    assert data["steps"][0]["heat_kj"] == {"low": 1.0, "likely": 2.0, "high": 3.0}
