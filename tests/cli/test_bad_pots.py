"""Pots that cannot be, through `pot` and `keep-apart`, by file and by pipe: said, and never taken for safe."""

import json

import pytest

from refinekit.safety.keep_apart import NOT_SAFE
from tests.command import Run

ACID = {"name": "a", "volume_l": 1, "dissolved_mol": {"HCl": 1}}
REFUSED = [
    ({**ACID, "dissolved_mol": {"HCl": -1}}, "less than there can be"),
    ({**ACID, "volume_l": -1}, "less than there can be"),
    ({**ACID, "volume_l": 0}, "volume_l is not told"),
    ({**ACID, "dissolved_mol": {"Xyz": 1}}, "no species that is known"),
    ({**ACID, "dissolved_mol": {"HCl": 1e300}}, "more than there can be"),
    ({**ACID, "name": ""}, "name is empty"),
    ([ACID, ACID], "name of its own"),
    ([], "no list of 1 to 200 pots"),
    ({}, "name is missing"),
]
DOUBTED = [
    ({"name": "a", "volume_l": 1}, "nothing is told of what"),
    ({**ACID, "dissolved_mol": {"HCl": 5000}}, "more than any liquor does"),
    ({**ACID, "dissolved_mol": {"HCl": 1, "NaOH": 1}}, "acid and alkali at once"),
    ({**ACID, "dissolved_mol": {"NaOCl": 1, "NH4Cl": 1}}, "eat each other"),
    ({**ACID, "dissolved_mol": {"HAuCl4": 0.01}, "marks": {"gold-tested": "test"}}, "gold test says there is none"),
    ({**ACID, "solids_mol": {"Cu": 1}, "marks": {"base-metal-gone": "leach"}}, "last base metal is gone"),
]
COMMANDS = [("pot",), ("keep-apart", "water", "--pot"), ("keep-apart", "bleach", "--pot")]


def flat(text):
    return " ".join(text.split())


@pytest.fixture
def asked(refinekit: Run, tmp_path):
    def run(command, held, pipe, *more):
        text = json.dumps(held)
        path = tmp_path / "pots.json"
        path.write_text(text, encoding="utf-8")
        return refinekit(*command, "-" if pipe else str(path), *more, stdin=text if pipe else "")

    return run


@pytest.mark.parametrize("pipe", [False, True], ids=["file", "pipe"])
@pytest.mark.parametrize(("held", "words"), REFUSED, ids=[words for _, words in REFUSED])
def test_what_cannot_be_is_refused(asked, held, words, pipe):
    for command in COMMANDS[:2]:
        done = asked(command, held, pipe)
        assert (done.returncode, done.stdout) == (2, "")
        assert words in flat(done.stderr)


@pytest.mark.parametrize(("held", "words"), DOUBTED, ids=[words for _, words in DOUBTED])
@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_what_does_not_fit_is_said_and_never_taken_for_safe(asked, command, held, words):
    done = asked(command, held, pipe=True)
    assert done.returncode == 0
    assert words in flat(done.stderr)
    assert NOT_SAFE not in flat(done.stdout)


def test_a_pot_dangerous_by_itself_is_so_beside_water_too(asked):
    held = {**ACID, "dissolved_mol": {"NaOCl": 1, "NH4Cl": 1}}
    found = json.loads(asked(("keep-apart", "water", "--pot"), held, True, "--json").stdout)
    assert ("stop", "chloramine") in {(one["level"], one["code"]) for one in found["notices"]}


def test_cyanide_beside_a_pot_is_refused_with_who_takes_it(asked):
    done = asked(("keep-apart", "cyanide", "--pot"), {**ACID, "dissolved_mol": {"NaCl": 1}}, False)
    assert "not for this bench" in flat(done.stderr)
    assert "contractor" in done.stderr
