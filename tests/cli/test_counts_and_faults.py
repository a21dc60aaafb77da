"""Counts are never misread, and a batch file tells all its faults at once: unknown keys and unreadable figures together."""

from pathlib import Path

import pytest

from refinekit.cli.options import whole_number
from refinekit.errors import BadQuantity
from tests.command import Run

BAD = """[lot]
kind = "edge tabs"
weight = "1.1 lbb"
area = "-600/650/700 in2"
gold = { thickness = "15/25/40 uin" }

[shop]
temprature = "65 F"
room = "60 kg"

[[step]]
do = "leach"
air = "2 parsecs"
"""


@pytest.mark.parametrize(("typed", "count"), [("10000", 10000), ("10,000", 10000), ("1 000 000", 1000000), ("10_000", 10000)])
def test_marks_of_thousands_are_read(typed: str, count: int) -> None:
    assert whole_number(typed, "--samples") == count


@pytest.mark.parametrize("typed", ["1,5", "10,00", ",500", "1,,000", "1234,567", "5,", "", "1.5", "-3"])
def test_no_other_comma_makes_another_number(typed: str) -> None:
    with pytest.raises(BadQuantity):
        whole_number(typed, "--samples")


def test_a_file_tells_unknown_keys_and_unreadable_figures_in_one_go(refinekit: Run, tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text(BAD)
    answer = refinekit("plan", "bad.toml")
    assert answer.returncode == 2
    for word in ("temprature", "lbb", "below zero", "60 kg", "parsecs"):
        assert word in answer.stderr, answer.stderr


def test_a_hood_is_judged_alike_however_it_is_told(refinekit: Run) -> None:
    told = ("vent", "--gold", "8 g", "--hot", "--room", "45 m3", "--fan", "0.2 m3/s")
    plain, sized = refinekit(*told, "--hood"), refinekit(*told, "--hood-width", "0.9 m", "--hood-height", "0.5 m")
    assert (plain.returncode, sized.returncode) == (0, 0)
    assert "verdict     warn: beside the hood" in plain.stdout
    assert "verdict     warn: beside the hood" in sized.stdout
    assert refinekit(*told).returncode == 3
