"""A typed reason lifts only what may be lifted, and is printed on every look from then on: screen, JSON, CSV, plan, pots."""

import json
from pathlib import Path

import pytest

from tests.command import Run

REASON = "hood running, two people"
BLEACH = ("dissolve", "--gold", "2 g", "--method", "bleach", "--room", "45 m3", "--hood")
LOT = (Path(__file__).resolve().parents[2] / "examples/no-nitric.toml").read_text(encoding="utf-8")


@pytest.fixture
def planned(refinekit: Run, tmp_path):
    def run(override, *more):
        path = tmp_path / "lot.toml"
        path.write_text(LOT.replace('method = "peroxide"', f'method = "bleach"\n{override}'), encoding="utf-8")
        return refinekit("plan", str(path), *more)

    return run


def flat(text):
    return " ".join(text.split())


def test_without_a_reason_it_stops_and_says_what_would_lift_it(refinekit: Run):
    done = refinekit(*BLEACH)
    assert done.returncode == 3
    assert '--override chlorine="..."' in done.stderr


@pytest.mark.parametrize("look", [(), ("--json",), ("--csv",)], ids=["screen", "json", "csv"])
def test_with_a_reason_it_goes_on_and_every_look_shows_the_reason(refinekit: Run, look):
    done = refinekit(*BLEACH, "--override", f"chlorine={REASON}", *look)
    assert done.returncode == 0
    assert REASON in flat(done.stdout)
    assert REASON in flat(done.stderr)


@pytest.mark.parametrize(
    ("asked", "code"),
    [
        (("drop", "--gold", "5 g", "--volume", "300 mL", "--reagent", "smb", "--room", "45 m3"), "sulfur-dioxide"),
        (("drop", "--gold", "5 g", "--nitric-left", "8 mL", "--hood"), "nitric-left"),
        (("drop", "--gold", "5 g", "--reagent", "oxalic", "--alkali", "ammonia", "--hood"), "fulminating-gold"),
        (("dissolve", "--gold", "2 g", "--method", "bleach", "--room", "45 m3"), "chlorine"),
    ],
    ids=["sulfur dioxide", "nitric left", "fulminating gold", "bleach in a closed room"],
)
def test_a_reason_lifts_nothing_that_may_not_be_lifted(refinekit: Run, asked, code):
    done = refinekit(*asked, "--override", f"{code}=I know what I do", "--json")
    assert done.returncode == 3
    told = json.loads(done.stdout)["notices"]
    assert {one["override_reason"] for one in told if one["code"] == code} == {""}
    assert any(one["code"] == "override-idle" and code in one["text"] for one in told)


@pytest.mark.parametrize("typed", ["chlorine=", "chlorine", "=hood", "chlorine=   ", ""])
def test_an_empty_reason_is_refused(refinekit: Run, typed):
    done = refinekit(*BLEACH, "--override", typed)
    assert (done.returncode, done.stdout) == (2, "")
    assert "has no reason" in done.stderr


def test_a_reason_against_nothing_is_said(refinekit: Run):
    done = refinekit(*BLEACH, "--override", f"chlorine={REASON}", "--override", "chlorin=also")
    assert done.returncode == 0
    assert "no such stop here" in flat(done.stderr)


def test_silver_over_150_per_thousand_may_be_lifted(refinekit: Run):
    asked = ("dissolve", "--gold", "80 g", "--silver", "16 g", "--copper", "4 g", "--hood", "--room", "45 m3")
    assert refinekit(*asked).returncode == 3
    done = refinekit(*asked, "--override", "silver-crust=rolled to 0.1 mm", "--json")
    told = [one for one in json.loads(done.stdout)["notices"] if one["code"] == "silver-crust"]
    assert done.returncode == 0
    assert [one["override_reason"] for one in told if one["level"] == "stop"] == ["rolled to 0.1 mm"]


# ---- the batch file
def test_a_plan_shows_the_reason_on_every_look(planned):
    line = f'override = {{ chlorine = "{REASON}" }}'
    for look in ((), ("--json",), ("--csv",)):
        done = planned(line, *look)
        assert done.returncode == 0, done.stderr
        assert REASON in flat(done.stdout)


def test_the_pots_of_later_steps_still_carry_it(planned, refinekit: Run, tmp_path):
    done = planned(f'override = {{ chlorine = "{REASON}" }}', "--json")
    pots = json.loads(done.stdout)["pots"]
    assert any(REASON in json.dumps(pot["history"]) for pot in pots)
    path = tmp_path / "pots.json"
    path.write_text(done.stdout, encoding="utf-8")
    assert REASON in flat(refinekit("pot", str(path)).stdout)


def test_a_plan_without_it_stops(planned):
    assert planned("").returncode == 3


@pytest.mark.parametrize("line", ['override = { chlorine = "" }', 'override = { chlorine = "  " }', 'override = "yes"'])
def test_an_empty_reason_in_the_file_is_refused(planned, line):
    done = planned(line)
    assert done.returncode == 2
    assert "has no reason" in done.stderr
