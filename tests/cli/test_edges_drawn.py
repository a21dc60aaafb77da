"""Lines that random draws found: each ends in an answer or in words, never as a fault of the program."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.command import Run

KARAT = Path(__file__).resolve().parents[2] / "examples" / "karat.toml"
DRAWN = (
    ("neutralise", "--cuprous", "1 g", "--acid", "1 mol"),
    ("vent", "--carbonate", "soda ash", "--how-much", "--iron", "0 g", "--json"),
    ("vent", "--gold", "8g", "--hot", "--time", "20min", "--room", "45m3", "--hood-width", "0.9m", "--hood-height", "1e9m"),
    ("sources", "9" * 400),
    ("vent", "--gold", "1e9 ozt", "--copper", "1 g", "--json"),
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


def test_what_the_nitric_does_not_reach_is_never_less_than_nothing(refinekit: Run) -> None:
    words = ("part", "--boils", "1", "--nitric-added", "0.0117/0.903/4270 mL", "--charge", "0.00648/67.1/2900")
    done = refinekit(*words, "--palladium", "0.0017/0.0128/0.909 g", "--json")
    assert done.returncode in (0, 3), done.stderr
    answers = json.loads(done.stdout)["answers"]
    assert "undissolved" not in answers or answers["undissolved"]["low"] >= 0


def test_a_pot_that_holds_water_in_no_litres_is_refused(refinekit: Run) -> None:
    pot = {"name": "sludge", "volume_l": 0, "dissolved_mol": {"Na^+": 1, "Cl^-": 1, "H2O": 113}, "history": []}
    done = refinekit("sludge", "--pot", "-", stdin=json.dumps(pot))
    assert done.returncode == 2
    assert "volume_l is not told" in done.stderr


def test_water_into_acid_stops_in_json_as_on_the_screen(refinekit: Run) -> None:
    words = ("dilute", "sulfuric", "--target", "10 %", "--volume", "2 L", "--order", "water-to-acid")
    told, seen = refinekit(*words, "--json"), refinekit(*words)
    assert (told.returncode, seen.returncode) == (3, 3)
    answer = json.loads(told.stdout)
    assert answer["stopped"] == ["dilute"]
    assert "acid-spit" in told.stdout
    assert "mL" not in seen.stdout


def test_a_chlorine_cylinder_in_a_room_stops_in_json_and_in_a_plan(refinekit: Run, tmp_path: Path) -> None:
    done = refinekit("dissolve", "--method", "chlorine", "--gold", "2g", "--room", "40m3", "--json")
    assert done.returncode == 3
    answer = json.loads(done.stdout)
    assert answer["stopped"] == ["dissolve"]
    assert answer["reagents"] == answer["pots"] == []
    assert [one["code"] for one in answer["notices"] if one["level"] == "stop"] == ["chlorine-cylinder"]
    lot = tmp_path / "lot.toml"
    lot.write_text(
        "[lot]\nkind = 'edge tabs'\nweight = '420 g'\narea = '1600 cm2'\n[[step]]\ndo = 'dissolve'\nmethod = 'chlorine'\n"
    )
    plan = refinekit("plan", str(lot), "--json")
    assert plan.returncode == 3
    assert json.loads(plan.stdout)["stopped"] == ["dissolve"]


def test_a_plan_stopped_for_safety_is_not_logged_and_says_so_in_json_too(refinekit: Run, tmp_path: Path) -> None:
    lot, book = tmp_path / "lot.toml", str(tmp_path / "book.sqlite")
    lot.write_text(KARAT.read_text(encoding="utf-8").replace("outdoors    = true", "room = '3 m3'"), encoding="utf-8")
    done = refinekit("log", str(lot), "--lot", "3", "--book", book, "--json")
    assert done.returncode == 3, done.stderr
    answer = json.loads(done.stdout)
    assert answer["stopped"] == ["log"]
    assert answer["notices"][0]["level"] == "stop"
    assert "nothing was written down" in [one["text"] for one in answer["notices"]]
    seen = refinekit("log", str(lot), "--lot", "3", "--book", book)
    assert seen.returncode == 3
    assert "nothing was written down" in seen.stderr
    assert json.loads(refinekit("book", "events", "--book", book, "--json").stdout)["tables"][0]["rows"] == []


def test_less_peroxide_than_the_need_leaves_metal_and_says_so(refinekit: Run) -> None:
    words = ("leach", "--method", "peroxide", "--copper", "20g", "--volume", "2L", "--outdoors", "--json")
    heats = {}
    for times in ("0.5", "1"):
        done = refinekit(*words, "--peroxide-times", times)
        assert done.returncode == 0, done.stderr
        heats[times] = json.loads(done.stdout)["answers"]["heat"]["likely"]
    assert heats["0.5"] == pytest.approx(0.5 * heats["1"], rel=1e-6)  # half the peroxide dissolves half the copper


@pytest.mark.parametrize(("times", "charges"), [("0.5", (0.5,)), ("1", (1.0,)), ("1.5", (1.0, 1.5))])
def test_the_first_peroxide_is_part_of_the_whole_and_bought_once(refinekit: Run, times: str, charges: tuple[float, ...]) -> None:
    words = ("leach", "--method", "peroxide", "--copper", "20g", "--volume", "2L", "--outdoors", "--peroxide-times", times)
    poured = [one for one in json.loads(refinekit(*words, "--json").stdout)["reagents"] if one["name"] == "hydrogen peroxide"]
    assert [one["to_take"] / one["bare"]["low"] for one in poured] == pytest.approx(charges)
    assert [one["counts"] for one in poured] == [False] * (len(charges) - 1) + [True]


def test_portions_get_no_hotter_than_all_of_it_at_once_without_loss(refinekit: Run) -> None:
    """A rise of 26 K from 18 degC bounds what the portions come to, however the pot cools between them."""
    done = refinekit("plan", str(KARAT))
    said, cautions = " ".join(done.stdout.split()), " ".join(done.stderr.split())
    assert "part: the liquor warms: a rise of about 26 K, to 44" in cautions
    assert float(said.split("in 4 portions,")[1].split("each goes to ")[1].split(" ")[0]) <= 45


@pytest.mark.parametrize(("washes", "few"), [("1", True), ("9", False)])
def test_too_few_washes_are_told_of(refinekit: Run, washes: str, few: bool) -> None:
    words = ("rinse", "--what", "pulp", "--weight", "6g", "--hold", "3mL/g", "--gold-strength", "5g/L", "--wash", "30mL")
    done = refinekit(*words, "--target", "0.1%", "--washes", washes)
    assert done.returncode == 0, done.stderr
    assert ("washes it takes: more stays than may" in " ".join(done.stdout.split())) is few
