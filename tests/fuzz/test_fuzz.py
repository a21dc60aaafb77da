"""Whatever is typed or piped in: an answer with figures that can be, or one sentence with the cure."""

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.fuzz.grammar import line
from tests.fuzz.judge import fault, wrong


@settings(max_examples=150)
@given(st.integers(min_value=0, max_value=10**9))
def test_any_command_line_ends_well(seed: int) -> None:
    words, pipe = line(Random(seed))
    assert fault(words, pipe) == "", (words, pipe)


FOUND = (
    ["neutralise", "--zinc", "5.43 g", "--outdoors"],
    ["neutralise", "--acid-kind", "nitric", "--acid", "5/22/1780 mol", "--silver", "1110 g"],
    ["vent", "--t90", "3/2270/4410 min", "--silver", "641/721/1180 g", "--hood-width", "163 m"],
    ["account", "--grade", "8/35/188 g/kg", "--slag", "0.03/2.75/9570 g", "--expected", "0.0461 g", "--json"],
    ["lot", "--weight", "0.747/1.35/146 g", "--deposit", "soft", "--json"],
    ["melt", "--dirt", "dirty", "--silver-chloride", "0.8 g"],
    ["fume", "--litres", "1 L", "--silver", "10 g", "--json"],
)
"""Lines that once ended badly."""


@pytest.mark.parametrize("words", FOUND, ids=" ".join)
def test_what_was_found_stays_mended(words: list[str]) -> None:
    assert fault(words, "") == ""


DEEP = "[" * 100_000
BOMBS = {
    "deep TOML": ("plan", f"a = {DEEP}"),
    "tables in tables": ("plan", "[" + "a." * 20_000 + "a]\n"),
    "a million steps": ("plan", "[lot]\nkind = 'edge tabs'\n" + "[[step]]\ndo = 'leach'\n" * 1_000_000),
    "a file without end": ("plan", "title = '" + "x" * 50_000_000 + "'"),
    "deep JSON": ("pot", DEEP),
    "pots without end": ("pot", '{"pots": [' + "1," * 5_000_000 + "1]}"),
}


@pytest.mark.parametrize("bomb", BOMBS)
def test_a_file_that_bombs_is_refused_in_time(bomb: str) -> None:
    verb, pipe = BOMBS[bomb]
    words = [verb, "-"] if verb == "plan" else ["leach", "--pot", "-"]
    assert fault(words, pipe) == ""


def test_the_judge_sees_what_cannot_be() -> None:
    sound = {"answers": {}, "reagents": [], "gases": [], "pots": [], "tables": []}
    assert list(wrong(sound)) == []
    assert list(wrong({**sound, "pots": [{"name": "bath", "volume_l": -1.0}]})) == ["less than nothing in bath"]
    assert list(wrong({**sound, "answers": {"gold": {"likely": -1.0, "unit": "g"}}})) == ["less than nothing: gold"]
    assert list(wrong({**sound, "gases": [float("nan")]})) == ["no number in gases"]
