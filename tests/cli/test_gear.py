"""Whoever handles something wet, hot or gassing is told what to wear; a sum on paper is not dressed up."""

import json
from pathlib import Path

import pytest

from tests.command import Run

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@pytest.mark.parametrize("name", ["edge-tabs", "no-nitric", "plated-pins", "karat", "sterling"])
def test_every_step_of_a_plan_that_handles_acid_says_what_to_wear(refinekit: Run, name: str) -> None:
    done = refinekit("plan", str(EXAMPLES / f"{name}.toml"), "--json")
    bare = [
        step["name"] for step in json.loads(done.stdout)["steps"] if step["reagents"] and "gear" not in json.dumps(step["says"])
    ]
    assert bare == []


def test_cementing_alone_says_what_to_wear(refinekit: Run) -> None:
    done = refinekit("cement", "--metal", "iron", "--volume", "4 L", "--copper", "66 g", "--free-acid", "0.5 mol/L", "--outdoors")
    assert "goggles" in done.stdout


def test_the_bath_has_goggles_beside_its_tube(refinekit: Run) -> None:
    done = refinekit("plan", str(EXAMPLES / "edge-tabs.toml"), "--json")
    leach = next(step for step in json.loads(done.stdout)["steps"] if step["name"] == "leach")
    worn = [row["line"] for row in leach["says"] if row["heading"] == "gear"]
    assert any("check valve" in line for line in worn)
    assert any("goggles" in line for line in worn)


def test_a_plan_ends_with_the_whole_check_list_once_and_a_step_with_a_line_of_it(refinekit: Run) -> None:
    plan = refinekit("plan", str(EXAMPLES / "edge-tabs.toml"))
    assert plan.stdout.count("[ ] the hood draws") == 1
    step = refinekit("rinse", "--weight", "4 g", "--hold", "3 mL/g", "--wash", "25 mL", "--washes", "5")
    assert "[ ]" not in step.stdout
    assert "a second person" in " ".join(step.stdout.split())


@pytest.mark.parametrize(
    ("look", "words"), [("--json", "goggles"), ("--json", "[ ] the hood draws"), ("--csv", "[ ] the hood draws")]
)
def test_the_other_looks_carry_gear_and_check_list_too(refinekit: Run, look: str, words: str) -> None:
    assert words in refinekit("plan", str(EXAMPLES / "edge-tabs.toml"), look).stdout


STOPPED = ("drop", "--gold", "5", "--volume", "300", "--reagent", "oxalic", "--alkali", "ammonia", "--hood")


@pytest.mark.parametrize("look", ["", "--json", "--csv"])
def test_a_stopped_step_says_what_to_wear_and_the_check_list_and_nothing_to_weigh(refinekit: Run, look: str):
    done = refinekit(*STOPPED, *([look] if look else []))
    said = " ".join(done.stdout.split())
    assert done.returncode == 3
    assert "face shield" in said
    assert "a wrong bottle, a wrong label" in said
    assert "oxalic acid" not in said
