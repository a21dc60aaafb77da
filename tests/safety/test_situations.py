"""Bench situations: level, codes, what must be said and what must not be raised, each row with its source in its data."""

import json

import pytest
from situations import DATA, cases, faults

HAZARDS = cases("hazards.json")
FURTHER = [one for name in ("situations", "variations", "unseen") for one in cases(f"{name}.json")]
CODES = json.loads((DATA / "hazards.json").read_text(encoding="utf-8"))["codes"]
LOUD = ("warn", "stop")


@pytest.mark.parametrize("case", [*HAZARDS, *FURTHER], ids=lambda case: case["id"])
def test_the_danger_is_seen_named_and_not_cried_where_there_is_none(case):
    found, notices = faults(case)
    assert found == [], [(one.level, one.code, one.text) for one in notices]


@pytest.mark.parametrize("case", FURTHER, ids=lambda case: case["id"])
def test_each_expectation_is_argued_and_sourced(case):
    assert len(case["expect"]["why"]) > 15
    assert case["expect"]["source"].split(":")[0].split(" ")[0] in ("published", "common", "memory")


def test_every_hazard_has_a_case_over_its_line_and_a_look_alike_under_it():
    over = {code for case in [*HAZARDS, *FURTHER] for code in case["expect"]["hazards"]}
    under = {code for case in [*HAZARDS, *FURTHER] for code in case["expect"].get("must_not", ())}
    assert CODES.keys() - over == set()
    assert CODES.keys() - under == set()


def test_the_check_can_fail():
    case = json.loads(json.dumps(HAZARDS[0]))
    case["expect"] |= {"level": "none", "must_not": ["fulminating-gold"], "must_say": [{"fact": "x", "words": ["zebra"]}]}
    assert len(faults(case)[0]) >= 3
