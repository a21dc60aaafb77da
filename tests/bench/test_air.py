"""Air on a bath: worked cases, a whole run's pump, the pump wanted, and the bath it leaves."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.air import FIELDS, ROOM, AirTold, run
from refinekit.bench.bubbles import OXYGEN_PER_MOL
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.chemistry.equation import reaction
from refinekit.chemistry.solution import Solution
from refinekit.errors import CannotFollow, OutOfRange
from refinekit.ranges import Range, spread
from refinekit.shop.ask import lay, listen

DATA = Path(__file__).parent.parent / "data"
WORKED = {case["id"]: case for case in json.loads((DATA / "worked/area2.json").read_text())["cases"]}
FINGERS = json.loads((DATA / "run_fingers.json").read_text())
WEEK_S = 7 * 86400.0


def acid(percent):
    return Solution.of("HCl", "percent_ww", percent)


# ---- worked cases: how each is told to the air, and which answer of it each figure is
TOLD = {
    "2.01": {"copper_g": 100.0, "air_l_per_min": 2.0, "transfer": 0.03},
    "2.02": {"copper_g": 100.0, "air_l_per_min": 2.0, "depth_m": 0.25, "transfer": 0.03},
    "2.03": {"copper_g": 62.72, "nickel_g": 7.12, "air_l_per_min": 1.5, "depth_m": 0.15, "transfer": 0.03},
    "2.07": {"air_l_per_min": 2.0, "transfer": 0.03, "running_s": WEEK_S, "plain_acid": acid(20.0), "carry_times": 1.0},
    "2.09": {"air_l_per_min": 2.0, "transfer": 0.03, "running_s": WEEK_S, "plain_acid": acid(10.0), "carry_times": 1.0},
    "2.20": {"copper_g": 10.0, "surface_cm2": 700.0, "film_m_per_s": 2e-5},
}
CARRIED = {
    "hcl_pressure": "hcl_pressure",
    "hcl_carried": "hcl_carried",
    "hcl_carried_mass": "hcl_carried_mass",
    "ppm_in_exit_air": "exit_hcl",
}
ANSWERS = {
    "2.01": {"oxygen": "oxygen", "oxygen_mass": "oxygen_mass", "air_if_all_oxygen_used": "air_if_all_used"},
    "2.02": {"oxygen_supplied_per_min": "oxygen_supply", "time": "hours", "days": "days"},
    "2.03": {"oxygen": "oxygen", "days": "days"},
    "2.07": CARRIED,
    "2.09": CARRIED,
    "2.20": {"oxygen_per_day": "oxygen_per_day", "copper_per_day": "copper_per_day"},
}


@pytest.mark.parametrize(
    ("case", "figure"),
    [
        pytest.param(case, figure, id=f"{case} {figure}: {WORKED[case]['source'][:60]}")
        for case in ANSWERS
        for figure in ANSWERS[case]
    ],
)
def test_worked_cases(case, figure):
    wanted = WORKED[case]["answers"][figure]
    found = run(place=Place(), **TOLD[case]).answer(ANSWERS[case][figure]).likely
    assert found == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


# ---- the pump of a whole run of trimmed fingers
@pytest.mark.parametrize(
    ("figure", "name"),
    [
        ("oxygen_supply_mol_min", "oxygen_supply"),
        ("days", "days"),
        ("exit_hcl_ppm", "exit_hcl"),
        ("hcl_carried_mol", "hcl_carried"),
        ("water_carried_mL", "water_carried"),
        ("room_hcl_ppm_with_fan", "room_hcl"),
    ],
)
def test_the_pump_of_a_run_of_fingers(figure, name):
    answers = next(step for step in FINGERS["steps"] if step["do"] == "leach")["answers"]
    told = {
        "oxygen_mol": answers["oxygen_mol"]["value"],
        "air_l_per_min": 2.0,
        "depth_m": 0.18,
        "transfer": Range(0.02, 0.03, 0.04),
        "plain_acid": acid(13.0),
        "carry_times": 1.0,
        "water_activity": 0.77,
    }
    step = run(place=Place(room_m3=35, fan_m3_per_min=12), **spread(told))
    assert step.answer(name).likely == pytest.approx(answers[figure]["value"], rel=answers[figure]["tolerance_rel"])


def test_half_a_kilo_of_fingers_takes_about_a_week():
    # common practice, no source: about a week under aeration, true range 4 to 12 days
    told = {**TOLD["2.03"], "transfer": Range(0.02, 0.03, 0.04)}
    days = run(place=Place(), **spread(told)).answer("days")
    assert 6 < days.likely < 8
    assert 4 < days.low < days.high < 12


def test_fume_over_twenty_per_cent_acid():
    # hydrogen chloride over 20 % acid at 25 C, Perry's table: 0.32 mmHg, 421 ppm in the bubbles; metals up to three times
    ppm = run(place=Place(), air_l_per_min=2.0, running_s=WEEK_S, plain_acid=acid(20.0)).answer("exit_hcl")
    assert ppm.low == pytest.approx(421, rel=0.02)
    assert ppm.high == pytest.approx(3 * ppm.low)


def test_strong_acid_is_to_be_diluted_first():
    step = run(place=Place(), air_l_per_min=2.0, running_s=WEEK_S, plain_acid=acid(30.0))
    assert step.answer("water_to_dilute").likely == pytest.approx(1000)  # 30 % to 15 %: as much water as acid, by weight
    assert any("dilute to under 20 % before the air goes on" in line for heading, line in step.says if heading == "watch for")
    weak = run(place=Place(), air_l_per_min=2.0, running_s=WEEK_S, plain_acid=acid(13.0))
    assert not any("dilute" in line for _, line in weak.says)


def test_thin_air_up_a_hill_gives_less():
    # a pump's litre holds less up a hill: 0.85 atm and 18 C against one atmosphere and 25 C, by the gas law
    up, down = (
        run(place=place, **TOLD["2.02"]).answer("oxygen_supply").likely
        for place in (Place(temperature_k=291.15, pressure_pa=0.85 * 101325), Place())
    )
    assert up / down == pytest.approx(0.85 * 298.15 / 291.15)


# ---- a bath whose copper has gone cuprous
def bath(cuprous_mol=0.4, acid_mol=6.0):
    dissolved = {"CuCl2^-": cuprous_mol, "Cu^2+": 1.0, "H^+": acid_mol, "Cl^-": 2.0 + acid_mol - cuprous_mol, "H2O": 110.0}
    return Pot("bath", 2.0, dissolved)


def test_a_cuprous_bath_is_turned_back():
    # 0.4 mol cuprous wants 0.1 mol oxygen and 0.4 mol acid, by hand from 4 CuCl2- + O2 + 4 H+
    step = run([bath()], place=Place(), air_l_per_min=2.0, depth_m=0.25, transfer=0.03)
    (after,) = step.pots
    assert step.answer("oxygen").likely == pytest.approx(0.1)
    assert after.mol("CuCl2^-") == pytest.approx(0, abs=1e-12)
    assert after.mol("Cu^2+") == pytest.approx(1.4)
    assert after.mol("H^+") == pytest.approx(6.0 - 0.4, abs=0.02)  # less what the air took
    assert after.volume_l == pytest.approx(2.0)
    assert step.answer("hours").likely == pytest.approx(0.1 / 0.000128447 / 60, rel=1e-4)


def test_half_the_time_turns_half_of_it_back():
    whole = run([bath()], place=Place(), air_l_per_min=2.0, depth_m=0.25, transfer=0.03).answer("hours").likely
    step = run([bath()], place=Place(), air_l_per_min=2.0, depth_m=0.25, transfer=0.03, running_s=1800 * whole)
    assert step.pots[0].mol("CuCl2^-") == pytest.approx(0.2)


def test_no_acid_no_turning_back():
    step = run([bath(acid_mol=0.1)], place=Place(), air_l_per_min=2.0, depth_m=0.25, transfer=0.03)
    assert step.pots[0].mol("CuCl2^-") == pytest.approx(0.3)


def test_goods_come_back_as_they_were():
    goods = Pot("goods", solids_mol={"Cu": 1.0, "Au": 0.01}, inert_g=100.0)
    step = run([goods], place=Place(), air_l_per_min=2.0, depth_m=0.2)
    assert step.answer("oxygen").likely == pytest.approx(0.5)
    assert step.pots[0].solids_mol == goods.solids_mol
    assert ROOM.choose([goods, bath()])[0].name == "bath"
    assert ROOM.choose([goods])[0].name == "goods"


# ---- what cannot be
@pytest.mark.parametrize(
    ("told", "error", "words"),
    [
        ({"copper_g": 10.0}, CannotFollow, "no pump, no open top and no time"),
        ({"copper_g": 10.0, "within_s": 9e4, "transfer": 0.0}, OutOfRange, "gives up no oxygen"),
        ({"air_l_per_min": 2.0, "depth_m": 40.0, "transfer": 0.03, "copper_g": 1.0}, OutOfRange, "120 % of the oxygen cannot"),
        (
            {"air_l_per_min": 2.0, "running_s": 9.0, "plain_acid": Solution("HCl", 0.45, 1.2)},
            OutOfRange,
            "no vapour pressure is known",
        ),
    ],
)
def test_what_cannot_be_is_said(told, error, words):
    with pytest.raises(error, match=words):
        run(place=Place(), **told)


def test_a_stone_stands_in_for_a_tube_only_where_it_is_told():
    def laid(**texts):
        return listen(FIELDS, texts, label=str)

    assert "practice/air.open_tube" in laid(air="2 L/min").facts
    assert "practice/air.fine_stone" in laid(air="2 L/min", stone=True).facts
    assert laid(copper="3 g").facts == []
    figures, _ = lay(laid(air="2 L/min", depth="18 cm", copper="100 g"), 1)
    days = run(place=Place(), **figures).answer("days")
    assert days.high / days.low == pytest.approx(2)


def test_fields_and_arguments_are_the_same():
    assert {field.arg for field in FIELDS} == set(AirTold.__annotations__)


@pytest.mark.parametrize(
    ("metal", "id", "formula"),
    [
        ("Cu", "R2.3", "Cu"),
        ("Ni", "R2.4", "Ni"),
        ("Zn", "R2.38", "Zn"),
        ("Pb", "R2.12", "Pb"),
        ("Sn", "R2.10", "Sn"),
        ("Fe", "R2.39", "Fe"),
        ("Cu(I)", "R2.2", "CuCl2^-"),
        ("Fe(II)", "R2.8", "FeCl2"),
    ],
)
def test_oxygen_of_each_metal_is_that_of_its_equation(metal, id, formula):
    assert OXYGEN_PER_MOL[metal] == pytest.approx(reaction(id).mole_ratio("O2", formula))


# ---- properties
@given(st.floats(1, 5000), st.floats(0.2, 20), st.floats(0.05, 0.5), st.floats(0.01, 0.1))
def test_the_pump_for_the_days_a_pump_takes_is_that_pump(copper_g, pump, depth_m, transfer):
    tube = {"copper_g": copper_g, "depth_m": depth_m, "transfer": transfer, "surface_cm2": 300.0, "film_m_per_s": 2e-5}
    days = run(place=Place(), air_l_per_min=pump, **tube).answer("days").likely
    assert run(place=Place(), within_s=86400 * days, **tube).answer("pump").likely == pytest.approx(pump, rel=1e-6)


@given(st.floats(1, 5000), st.floats(1.01, 5), st.floats(0.2, 20))
def test_more_copper_takes_longer_and_more_air_shorter(copper_g, times, pump):
    def days(copper, air):
        return run(place=Place(), copper_g=copper, air_l_per_min=air, depth_m=0.2, transfer=0.03).answer("days").likely

    assert days(times * copper_g, pump) == pytest.approx(times * days(copper_g, pump))
    assert days(copper_g, times * pump) == pytest.approx(days(copper_g, pump) / times)


@given(st.floats(0.01, 2), st.floats(0, 8), st.floats(0.1, 30))
def test_any_bath_closes(cuprous_mol, acid_mol, hours):
    (after,) = run(
        [bath(cuprous_mol, acid_mol + cuprous_mol)],
        place=Place(),
        air_l_per_min=2.0,
        depth_m=0.2,
        transfer=0.03,
        running_s=3600 * hours,
    ).pots
    assert after.element_mol("Cu") == pytest.approx(1.0 + cuprous_mol)
