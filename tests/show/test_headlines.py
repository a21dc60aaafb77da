"""The short form of a run: what it leaves out is one option away, and nothing to pour or to fear is ever left out."""

import json
from pathlib import Path

import pytest

from refinekit.show.headlines import HEADLINES, TABLES
from tests.command import Run

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@pytest.fixture
def steps(refinekit: Run) -> list[dict]:
    """Every step of every example that goes through, as JSON."""
    answers = [refinekit("plan", str(file), "--json") for file in EXAMPLES]
    return [step for answer in answers for step in json.loads(answer.stdout)["steps"]]


def test_every_headline_of_a_verb_is_a_figure_it_can_give(steps: list[dict]) -> None:
    given: dict[str, set[str]] = {}
    titles: dict[str, list[str]] = {}
    for step in steps:
        verb = step["name"].split()[0]
        given.setdefault(verb, set()).update(step["answers"])
        titles.setdefault(verb, []).extend(table["title"] for table in step["tables"])
    unknown = {verb: set(names) - given[verb] for verb, names in HEADLINES.items() if set(names) - given[verb]}
    assert unknown == {}
    assert all(any(title.startswith(head) for title in titles[verb]) for verb, heads in TABLES.items() for head in heads)


def test_a_plan_is_short_and_says_how_to_see_the_rest(refinekit: Run) -> None:
    short, full = (refinekit("plan", str(EXAMPLES[0]), *words).stdout for words in ((), ("--full",)))
    assert "--full" in short
    assert "\nelectrons  " not in short
    assert "\nelectrons  " in full
    assert len(short.splitlines()) < 0.7 * len(full.splitlines())


def test_a_short_plan_keeps_all_there_is_to_pour_and_every_gas(refinekit: Run) -> None:
    for file in EXAMPLES:
        short, full = (refinekit("plan", str(file), *words).stdout for words in ((), ("--full",)))
        for heading in ("MEASURE OUT", "how fast", "\nwatch for   ", "\ndone when   ", "\ngear        "):
            assert short.count(heading) == full.count(heading), (file.name, heading)


def test_lines_stand_in_the_order_they_are_wanted_at_the_bench(refinekit: Run) -> None:
    shown = refinekit("dissolve", "--gold", "2 g").stdout
    places = [shown.index(f"\n{heading}  ") for heading in ("vessel", "gear", "how", "watch for", "done when", "left over")]
    assert places == sorted(places)
