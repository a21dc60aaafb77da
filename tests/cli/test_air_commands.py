"""vent, scrub and fume --plan as people type them: what is said of a bad room, a stop with its figures, the chart file."""

import json
from pathlib import Path

import pytest

TABS = str(Path(__file__).parents[2] / "examples" / "edge-tabs.toml")
GOLD = ["vent", "--gold", "8g", "--hot", "--time", "20min", "--room", "45m3", "--fan", "0.2 m3/s"]


def test_stop_keeps_the_figures_of_the_air(refinekit):
    ran = refinekit(*GOLD, "--json")
    answer = json.loads(ran.stdout)
    assert ran.returncode == 3
    assert answer["stopped"] == ["vent"]
    assert answer["answers"]["nitrogen_dioxide_peak_near"]["high"] > 100
    assert answer["reagents"] == []
    assert answer["charts"][0]["levels"]


def test_how_much_at_once_goes_through(refinekit):
    ran = refinekit(*GOLD, "--how-much")
    assert ran.returncode == 0
    assert "gold at once" in ran.stdout


def test_chart_of_a_stopped_room_is_written(refinekit, tmp_path):
    file = tmp_path / "air.svg"
    assert refinekit(*GOLD, "--chart", str(file)).returncode == 3
    assert "1 ppm NO2, 15 min (NIOSH)" in file.read_text()


def test_cupboard_is_a_stop(refinekit):
    ran = refinekit("vent", "--gas", "CO2", "--litres", "0.01 L", "--room", "2 m3", "--fan", "1 m3/min")
    assert ran.returncode == 3
    assert "cupboard" in ran.stderr


def test_nitric_oxide_is_held_to_its_own_limit_and_as_dioxide_to_that_ones(refinekit):
    ran = refinekit("fume", "--gas", "NO", "--litres", "0.5L", "--room", "45m3", "--law", "eu", "--json")
    told = [notice["text"] for notice in json.loads(ran.stdout)["notices"]]
    assert any(
        "nitric oxide would reach" in text and "its own limit of 2 ppm (European Union, eight hours)" in text for text in told
    )
    assert any("nitric oxide counted" in text and "short limit of 1 ppm (European Union, 15 minutes)" in text for text in told)


@pytest.mark.parametrize(
    "words",
    [
        ["air", "--weight", "500g", "--copper", "62.7g", "--air", "1.5 L/min", "--depth", "15cm"],
        ["drop", "--reagent", "oxalic", "--gold", "0.1g", "--volume", "100mL", "--free-acid", "1mol/L"],
        ["cement", "--metal", "iron", "--volume", "1L", "--copper", "5g", "--free-acid", "0.1mol/L"],
        ["fume", "--gas", "CO2", "--litres", "0.01 L"],
    ],
    ids=lambda words: words[0],
)
def test_nothing_gasses_in_a_cupboard(refinekit, words):
    ran = refinekit(*words, "--room", "2 m3", "--fan", "20 m3/min")
    assert ran.returncode == 3
    assert "a room of 2 m3 is a cupboard" in ran.stderr


def test_outdoors_is_no_cupboard_whatever_the_shop_has(refinekit):
    ran = refinekit("fume", "--gas", "CO2", "--litres", "0.01 L", "--room", "2 m3", "--outdoors")
    assert ran.returncode == 0


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--room", "0 m3"], "--room"),
        (["--fan=-3 m3/min"], "--fan"),
        (["--time", "an hour of 90 minutes"], "--time"),
        (["--room", "-40 m3"], "--room"),
        (["--mixing", "0"], "--mixing"),
        (["--hood-lets-out", "1.5"], "--hood-lets-out"),
        (["--portions", "0"], "--portions"),
        (["--law", "fr"], "--law"),
        (["--gas", "laughing"], "laughing"),
    ],
)
def test_what_cannot_be_is_one_clear_sentence(refinekit, words, says):
    ran = refinekit("vent", "--gold", "8g", *words)
    assert ran.returncode == 2
    assert says in ran.stderr
    assert "Traceback" not in ran.stderr
    assert "Try:" in ran.stderr


def test_scrub_hands_on_its_spent_liquor(refinekit, tmp_path):
    ran = refinekit("scrub", "--gold", "8g", "--turned", "50 %", "--json")
    answer = json.loads(ran.stdout)
    assert ran.returncode == 0
    assert [pot["name"] for pot in answer["pots"]] == ["spent scrubber"]
    file = tmp_path / "pots.json"
    file.write_text(ran.stdout)
    portrait = refinekit("pot", str(file))
    assert portrait.returncode == 0
    assert "brown fume" in portrait.stdout


def test_day_of_a_plan(refinekit):
    ran = refinekit("fume", "--plan", TABS, "--json")
    answer = json.loads(ran.stdout)
    assert ran.returncode == 0
    assert {"The day", "Against the limits, law us"} <= {table["title"] for table in answer["tables"]}


def test_day_and_a_step_beside_it_are_refused(refinekit):
    ran = refinekit("fume", "--plan", TABS, "--gold", "3g")
    assert ran.returncode == 2
    assert "--gold beside it" in ran.stderr


@pytest.mark.parametrize("columns", ["40", "80", "140"])
def test_nothing_is_wider_than_the_screen(refinekit, columns):
    ran = refinekit(*GOLD, COLUMNS=columns)
    assert max(map(len, ran.stdout.splitlines())) <= int(columns)
