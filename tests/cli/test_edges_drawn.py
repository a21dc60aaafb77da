"""Lines that random draws found: each ends in an answer or in words, never as a fault of the program."""

from __future__ import annotations

import json

import pytest

from tests.command import Run

DRAWN = (
    ("neutralise", "--cuprous", "1 g", "--acid", "1 mol"),
    ("vent", "--carbonate", "soda ash", "--how-much", "--iron", "0 g", "--json"),
    ("vent", "--gold", "8g", "--hot", "--time", "20min", "--room", "45m3", "--hood-width", "0.9m", "--hood-height", "1e9m"),
    ("sources", "9" * 400),
)


@pytest.mark.parametrize("words", DRAWN, ids=[words[0] + words[-1][:12] for words in DRAWN])
def test_no_line_ends_as_a_fault(refinekit: Run, words: tuple[str, ...]) -> None:
    done = refinekit(*words)
    assert done.returncode in (0, 2, 3), done.stderr
    assert "fault" not in done.stderr
    assert "nan" not in done.stdout


def test_metal_in_no_water_is_refused_whatever_ion_it_is_in(refinekit: Run) -> None:
    done = refinekit("neutralise", "--cuprous", "1 g", "--acid", "1 mol")
    assert done.returncode == 2
    assert "not how much liquor" in done.stderr


def test_a_pot_that_holds_water_in_no_litres_is_refused(refinekit: Run) -> None:
    pot = {"name": "sludge", "volume_l": 0, "dissolved_mol": {"Na^+": 1, "Cl^-": 1, "H2O": 113}, "history": []}
    done = refinekit("sludge", "--pot", "-", stdin=json.dumps(pot))
    assert done.returncode == 2
    assert "volume_l is not told" in done.stderr
