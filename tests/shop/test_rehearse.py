"""The same plan with a change: what differs, and only that; changes that cannot be."""

import pytest

from refinekit.bench.step import Step
from refinekit.errors import BadQuantity, RefinekitError
from refinekit.shop.batch import read_batch
from refinekit.shop.plan import run_plan
from refinekit.shop.rehearse import MOST_CHANGES, SAME, read_change, rehearse_step

LOT = """
title = "tabs"
route = "as written"
[lot]
kind = "edge tabs"
weight = "420 g"
area = "1450/1600/1750 cm2"
gold = { thickness = "20/30/50 uin" }
nickel = { thickness = "3/4/5 micron" }
copper = { thickness = "30/35/40 micron" }
[shelf.nitric]
strength = "68 %"
price = "18 /L"
[[step]]
do = "leach"
volume = "3 L"
air = "2 L/min"
depth = "18 cm"
[[step]]
do = "dissolve"
"""


def rehearsed(*changes: str) -> Step:
    return rehearse_step(LOT, "lot.toml", [read_change(text) for text in changes])[1]


def rows(step: Step, title: str) -> dict[str, tuple[str, ...]]:
    found = next((table for table in step.tables if table.title == title), None)
    return {} if found is None else {str(row[0]): tuple(map(str, row[1:])) for row in found.rows}


def test_twice_the_air_halves_the_days_and_changes_nothing_to_pour() -> None:
    """Closed form: days are oxygen wanted over oxygen bubbled, and that is in proportion to the air."""
    step = rehearsed("leach.air=4 L/min")
    written, changed = rows(step, "What it comes to")["leach, days"]
    halves = [float(new) / float(old) for old, new in zip(written[:-2].split("–"), changed[:-2].split("–"), strict=True)]
    assert halves == pytest.approx([0.5, 0.5, 0.5], rel=5e-3)
    assert rows(step, "What is weighed and poured") == {}


def test_weaker_nitric_asks_for_more_of_it_in_proportion_to_its_strength_and_density() -> None:
    """Closed form: mL go as 1 / (share x density): 0.68 x 1.4048 over 0.65 x 1.3913 g/mL is 1.056 (Perry's densities)."""
    change = 'shelf.nitric.strength="65 %"'
    step = rehearsed(change)
    base, other = run_plan(read_batch(LOT, "lot.toml")), run_plan(read_batch(LOT.replace("68 %", "65 %"), "lot.toml"))
    most = [next(s for s in plan.done_steps() if s.name == "dissolve").answer("nitric_ceiling").high for plan in (base, other)]
    assert most[1] / most[0] == pytest.approx(1.056, rel=2e-3)
    written, changed = rows(step, "What is weighed and poured")["dissolve, nitric acid, at most, in all"]
    assert [float(written[:-3]), float(changed[:-3])] == pytest.approx(most, rel=5e-3)
    assert rows(step, "What is taken off the shelf")["cost, reagents together"]


def test_changes_stand_side_by_side_and_what_one_leaves_alone_is_the_same() -> None:
    step = rehearsed("leach.air=4 L/min", "shelf.nitric.strength=65 %")
    assert rows(step, "What it comes to")["leach, days"][2] == SAME
    assert rows(step, "What is weighed and poured")["dissolve, nitric acid, at most, in all"][1] == SAME
    assert dict(step.says)["A"] == "leach.air=4 L/min"


def test_a_change_in_words_of_its_own_reaches_a_nested_key_and_a_step_that_is_not_written() -> None:
    thick = rehearsed("lot.gold.thickness=40 uin")
    assert rows(thick, "What it comes to")["lot, gold"][1].count("–") == 2  # the area still has its range
    one, other = rehearsed("lot.gold-thickness=40 uin"), thick
    assert rows(one, "What it comes to") == rows(other, "What it comes to")
    added = rehearsed("denox.method=none")
    assert any(name.startswith("denox") for name in rows(added, "Every figure"))


def test_a_change_that_changes_nothing_says_so() -> None:
    step = rehearsed("shelf.nitric.strength=68 %")
    assert step.tables == ()
    assert dict(step.says)["what differs"].startswith("nothing")


def test_a_change_that_brings_a_stop_shows_no_figure_of_the_stopped_step() -> None:
    step = rehearsed("neutralise.ph=9")
    assert "neutralise" in dict(step.says)["stopped"]
    assert not [name for name in rows(step, "What is weighed and poured") if name.startswith("neutralise")]
    assert any(row[-1] == "stop" for row in rows(step, "Cautions").values())


BAD = [
    ("lot", "does not say what becomes what"),
    ("lot.weight", "does not say what becomes what"),
    ("lot.weight=", "does not say what becomes what"),
    ("weight=3 g", "does not say what becomes what"),
    ("leech.air=3 L/min", "did you mean 'leach'"),
    ("leach.airr=3 L/min", "did you mean 'air'"),
    ("shelf.nitrc.strength=65 %", "did you mean 'nitric'"),
    ("leach 3.air=3 L/min", "the file writes 1 steps of leach"),
    ("lot.weight=-4 g", "below zero"),
]


@pytest.mark.parametrize(("text", "said"), BAD, ids=lambda word: word[:20])
def test_a_change_that_cannot_be_is_told_by_what_was_typed(text: str, said: str) -> None:
    with pytest.raises(RefinekitError) as caught:
        rehearsed(text)
    assert said in str(caught.value)
    assert "--change" in str(caught.value)


def test_no_change_and_too_many_changes_are_refused() -> None:
    for count in (0, MOST_CHANGES + 1):
        with pytest.raises(BadQuantity, match="changes to rehearse"):
            rehearsed(*["leach.air=4 L/min"] * count)
