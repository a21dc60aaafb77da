"""What waste is in law: pH lines, the month's line, the weight on the paper, reminders and their sources."""

import json
from pathlib import Path

import pytest

from refinekit.bench.waste_law import corrosive_words, is_corrosive, leachate_limits, month_words, reminders, say_law, weight_kg
from refinekit.bench.work import Work
from refinekit.facts.load import cite

DATA = Path(__file__).parent.parent / "data"
WORKED = {case["id"]: case for area in (10, 12) for case in json.loads((DATA / f"worked/area{area}.json").read_text())["cases"]}


@pytest.mark.parametrize(("figure", "ph"), [("pH1", 1.0), ("pH6", 6.0), ("pH13", 13.0)])
def test_corrosive_by_ph(figure, ph):
    assert corrosive_words(ph) == WORKED["10.14"]["answers"][figure]["value"]


@pytest.mark.parametrize(("ph", "corrosive"), [(2.0, True), (2.01, False), (12.49, False), (12.5, True)])
def test_the_lines_themselves_count(ph, corrosive):
    # 40 CFR 261.22(a)(1): pH less than or equal to 2 or greater than or equal to 12.5
    assert is_corrosive(ph) is corrosive


def test_a_month_of_sixty_litres():
    wanted = WORKED["10.13"]["answers"]
    assert weight_kg([(60, 1.10)]) == pytest.approx(wanted["weight"]["value"], rel=wanted["weight"]["tolerance"]["relative"])
    assert month_words(weight_kg([(60, 1.10)])) == wanted["verdict"]["value"]
    assert "no longer" in month_words(101)


def test_the_weight_on_the_paper():
    wanted = WORKED["12.02"]["answers"]["total"]
    assert weight_kg([(4.6, 1.18), (9.0, 1.02)], [0.9, 0.15]) == pytest.approx(wanted["value"], rel=0.001)


@pytest.mark.parametrize(
    ("element", "code", "mg_per_l"),
    [("Ag", "D011", 5), ("Pb", "D008", 5), ("Cr", "D007", 5), ("Cd", "D006", 1), ("As", "D004", 5), ("Hg", "D009", 0.2)],
    ids=lambda value: str(value),
)
def test_leachate_limits(element, code, mg_per_l):
    # 40 CFR 261.24, Table 1
    assert leachate_limits()[element] == (code, mg_per_l)


@pytest.mark.parametrize(
    ("law", "word"), [("us", "Part 421"), ("eu", "11 01 09*"), ("uk", "consignment"), ("none", "in writing")]
)
def test_each_law_has_its_reminders(law, word):
    assert any(word in line for line in reminders(law))


@pytest.mark.parametrize("law", ["us", "uk"])
def test_a_reminder_names_a_source_that_exists(law):
    for line in reminders(law):
        assert len(cite(line.rpartition("(")[2].rstrip(")"))) > 20


def test_the_sewer_is_never_open_without_a_yes_in_writing():
    for law in ("us", "eu", "uk", "none"):
        assert any("in writing" in line and "never" in line for line in reminders(law))


def test_ph_and_month_are_said_under_us_law_only():
    us, none = Work("neutralise"), Work("neutralise")
    say_law(us, "us", ph=1.5, month_kg=60.0)
    say_law(none, "none", ph=1.5, month_kg=60.0)
    said = [line for _, line in us.done("pot").says]
    assert any("D002" in line for line in said)
    assert any("60 kg this month" in line for line in said)
    assert not any("D002" in line for _, line in none.done("pot").says)
