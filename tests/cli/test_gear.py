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
