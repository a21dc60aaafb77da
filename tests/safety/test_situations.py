"""Bench situations: level, codes, what must be said and what must not be raised, each row with its source in its data."""

import pytest
from situations import cases, faults

HAZARDS = cases("hazards.json")


@pytest.mark.parametrize("case", HAZARDS, ids=lambda case: case["id"])
def test_the_danger_is_seen_named_and_not_cried_where_there_is_none(case):
    found, notices = faults(case)
    assert found == [], [(one.level, one.code, one.text) for one in notices]
