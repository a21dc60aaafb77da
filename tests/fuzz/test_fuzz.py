"""Whatever is typed or piped in: an answer with figures that can be, or one sentence with the cure."""

import json
import subprocess
import sys
from collections.abc import Callable
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from refinekit.ranges import Range
from refinekit.shop.cost import over
from tests.fuzz.figures import wrong
from tests.fuzz.files import EXAMPLES, a_batch, a_book, a_copy, a_pot
from tests.fuzz.grammar import Case, line
from tests.fuzz.judge import answer_of, fault


@settings(max_examples=150)
@given(st.integers(min_value=0, max_value=10**9))
def test_any_command_line_ends_well(seed: int) -> None:
    case = Case(*line(Random(seed)))
    assert fault(case) == "", case


@pytest.mark.parametrize("kind", [a_batch, a_pot, a_book, a_copy])
@settings(max_examples=40)
@given(seed=st.integers(min_value=0, max_value=10**9))
def test_any_spoilt_file_ends_well(kind: Callable[[Random], Case], seed: int) -> None:
    case = kind(Random(seed))
    assert fault(case) == "", case


FOUND = (
    ["neutralise", "--zinc", "5.43 g", "--outdoors"],
    ["neutralise", "--acid-kind", "nitric", "--acid", "5/22/1780 mol", "--silver", "1110 g"],
    ["vent", "--t90", "3/2270/4410 min", "--silver", "641/721/1180 g", "--hood-width", "163 m"],
    ["account", "--grade", "8/35/188 g/kg", "--slag", "0.03/2.75/9570 g", "--expected", "0.0461 g", "--json"],
    ["lot", "--weight", "0.747/1.35/146 g", "--deposit", "soft", "--json"],
    ["melt", "--dirt", "dirty", "--silver-chloride", "0.8 g"],
    ["titrate", "--acid-kind", "nitric", "--cuprous", "0.0738 g", "--cadmium", "116 g"],
    ["fume", "--litres", "1 L", "--silver", "10 g", "--json"],
)
"""Lines that once ended badly."""


@pytest.mark.parametrize("words", FOUND, ids=" ".join)
def test_what_was_found_stays_mended(words: list[str]) -> None:
    assert fault(Case(words)) == ""


DEEP = "[" * 100_000
STEP = "[[step]]\ndo = 'leach'\n"
LOT = "[lot]\nkind = 'edge tabs'\nweight = '420 g'\narea = '1600 cm2'\n"
BOMBS = {
    "deep TOML": ("plan", f"a = {DEEP}"),
    "tables in tables": ("plan", "[" + "a." * 20_000 + "a]\n"),
    "keys in keys": ("plan", "a" + ".a" * 2_000_000 + " = 1\n"),
    "a million steps": ("plan", LOT + STEP * 1_000_000),
    "as many steps as a file may hold": ("plan", LOT + STEP * 190_000),
    "a hundred sound steps": ("plan", LOT + STEP * 100),
    "a hundred thousand keys": ("plan", LOT + "".join(f"k{number} = 1\n" for number in range(100_000))),
    "a hundred thousand tables": ("plan", LOT + "".join(f"[t{number}]\n" for number in range(100_000))),
    "a list without end": ("plan", LOT + "gold = [" + "1," * 2_000_000 + "]\n"),
    "a whole number without end": ("plan", LOT + "gold = " + "9" * 4_000_000 + "\n"),
    "a figure without end": ("plan", LOT + "gold = '" + "9" * 4_000_000 + " g'\n"),
    "a range without end": ("plan", LOT + "gold = '" + "1/" * 2_000_000 + "1 g'\n"),
    "a unit without end": ("plan", LOT + "gold = '1 " + "(" * 1_000_000 + "g'\n"),
    "a file without end": ("plan", "title = '" + "x" * 50_000_000 + "'"),
    "deep JSON": ("pot", DEEP),
    "deep objects": ("pot", '{"a":' * 100_000),
    "pots without end": ("pot", '{"pots": [' + "1," * 5_000_000 + "1]}"),
    "as many pots as a text may hold": ("pot", '{"pots": [' + "{}," * 1_000_000 + "{}]}"),
    "an amount without end": ("pot", '[{"volume_l": ' + "9" * 4_000_000 + "}]"),
    "species without end": ("pot", '[{"dissolved_mol": {' + ",".join(f'"X{number}": 1' for number in range(200_000)) + "}}]"),
    "worlds without end": ("pot", '[{"volume_l": 1, "cases": {"volume_l": [' + "1," * 1_000_000 + "1]}}]"),
}


@pytest.mark.parametrize("bomb", BOMBS)
def test_a_file_that_bombs_is_refused_in_time(bomb: str) -> None:
    verb, pipe = BOMBS[bomb]
    words = [verb, "-"] if verb == "plan" else ["leach", "--pot", "-"]
    assert fault(Case(words, pipe)) == ""


LONG = (
    ["plan", "examples/edge-tabs.toml", "--samples", "9" * 5_000],
    ["leach", "--copper", "9" * 1_000_000 + " g"],
    ["leach", "--copper", "1/" * 1_000_000 + "1 g"],
    ["leach", "--copper", "1 " + "g/" * 500_000 + "L"],
    ["balance", "Cu + " * 200_000 + "Cu -> Cu"],
    ["balance", "C" + "9" * 100_000 + " -> C"],
    ["molar", "(" * 100_000 + "H" + ")" * 100_000],
    ["molar", "H" * 500_000],
    ["sources", "x" * 1_000_000],
    ["keep-apart", "x" * 1_000_000, "y" * 1_000_000],
    ["report", "year", "9" * 100_000],
    ["x" * 1_000_000],
)
"""Words longer than anybody types."""


@pytest.mark.parametrize("words", LONG, ids=lambda words: " ".join(words)[:30])
def test_words_without_end_are_refused_in_time(words: list[str]) -> None:
    assert fault(Case(words)) == ""


def test_a_gigabyte_in_the_pipe_is_left_there() -> None:
    script = "from refinekit.cli.main import main; main(['plan', '-'])"
    feed = "import sys\nfor _ in range(1000): sys.stdout.buffer.write(b'x' * 1_000_000)"
    with subprocess.Popen([sys.executable, "-c", feed], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as source:
        limit = "import resource; resource.setrlimit(resource.RLIMIT_AS, (1_000_000_000,) * 2); "
        done = subprocess.run([sys.executable, "-c", limit + script], stdin=source.stdout, capture_output=True, text=True)
        assert source.stdout
        source.stdout.close()
    assert done.returncode == 2, done.stderr
    assert "is over 5 MB" in done.stderr


EMPTY: dict[str, Any] = {"answers": {}, "reagents": [], "gases": [], "pots": [], "steps": []}
SPAN = {"low": 1.0, "likely": 2.0, "high": 3.0}
WRONG = {
    "a bath under nothing": ("pots", [{"name": "bath", "volume_l": -1.0}], "less than nothing in bath: volume_l"),
    "solids under nothing": ("pots", [{"name": "bath", "solids_mol": {"Ag": {**SPAN, "low": -1e-9}}}], "solids_mol.Ag.low"),
    "an answer under nothing": ("answers", {"gold": {**SPAN, "low": -1.0, "unit": "mg"}}, "less than nothing: gold"),
    "an answer without a unit": ("answers", {"gold": {**SPAN, "unit": ""}}, "no unit on gold"),
    "a gas that is no number": ("gases", [float("nan")], "no JSON: it holds NaN"),
    "a figure without end": ("assumed", [float("-inf")], "no JSON: it holds -Infinity"),
    "a shape of somebody else": ("stopped", "leach", "not as the schema says: $.stopped"),
    "a step's answer under nothing": ("steps", [{**EMPTY, "answers": {"gold": {**SPAN, "likely": -1.0, "unit": "g"}}}], "gold"),
    "less than nothing to pour": (
        "reagents",
        [{"name": "nitric", "to_take": 1.0, "unit": "mL", "measure_out": {"figure": -1.0, "unit": "mL"}, "bare": SPAN}],
        "less than nothing of nitric",
    ),
    "a pour without a unit": (
        "reagents",
        [{"name": "nitric", "to_take": 1.0, "unit": "", "measure_out": {"figure": 1.0, "unit": "mL"}, "bare": SPAN}],
        "no unit on nitric",
    ),
}


@pytest.mark.parametrize("case", WRONG)
def test_the_judge_sees_what_cannot_be(case: str) -> None:
    key, value, expected = WRONG[case]
    assert any(expected in said for said in wrong(json.dumps({**EMPTY, key: value})))


def test_the_judge_lets_a_sound_answer_pass() -> None:
    sound = answer_of(["molar", "HCl", "--json"])
    assert list(wrong(sound)) == []
    assert next(iter(wrong(sound.replace("{", '{"of": 1e999,', 1)))) == "no number in of"


@pytest.mark.parametrize("verb", ["plan", "cost", "stock"])
def test_a_lot_that_may_hold_no_gold_is_planned(verb: str) -> None:
    text = (EXAMPLES / "edge-tabs.toml").read_text(encoding="utf-8").replace('"20/30/50 uin"', '"0/30/50 uin"')
    assert fault(Case([verb, "lot.toml"], files={"lot.toml": text.encode()})) == ""


@pytest.mark.parametrize("least_g", [0.0, -1.0])
def test_gold_that_may_be_nothing_has_no_cost_a_gram(least_g: float) -> None:
    assert over(Range(1.0, 2.0, 3.0), Range(least_g, 1.0, 2.0)) is None
    assert over(Range(1.0, 2.0, 3.0), Range(0.5, 1.0, 2.0)) == Range(0.5, 2.0, 6.0)
