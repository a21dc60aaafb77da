"""A plan's whole day in one room: what stands where, what a fan changes, and what a step of days gives."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from refinekit.bench.place import Place
from refinekit.bench.step import Gas, Step
from refinekit.bench.vent_day import run
from refinekit.errors import CannotFollow
from refinekit.ranges import Range
from refinekit.shop.batch import read_batch
from refinekit.shop.day import day_of

TABS = Path(__file__).parents[2] / "examples" / "edge-tabs.toml"
ROOM = Place(room_m3=40.0, fan_m3_per_min=4.0, mixing=1.0)
MOLAR = 24.46540


def step_of(name, gas, litres, minutes, peak=None):
    mol = Range.point(litres / MOLAR)
    return Step(name, gases=(Gas(gas, mol, Range.point(litres), minutes, peak),), minutes=Range.point(minutes))


def rows_of(step):
    return {(row[0], row[2]): row for row in step.tables[0].rows}


def test_two_steps_follow_one_another_in_the_same_air():
    day = run([step_of("one", "SO2", 2.0, 20.0), step_of("two", "SO2", 2.0, 20.0)], place=ROOM)
    rate, q = 2 / 20 / 40e3 * 1e6, 0.1
    first = rate / q * (1 - np.exp(-q * 20))
    second = first * np.exp(-q * 20) + first
    rows = rows_of(day)
    assert rows["one", "SO2"][4].high == pytest.approx(first, rel=1e-6)
    assert rows["two", "SO2"][4].high == pytest.approx(second, rel=1e-6)
    assert day.answer("sulfur_dioxide_peak").high == pytest.approx(second, rel=1e-6)


def test_all_the_gas_of_the_day_is_that_of_its_steps():
    steps = [step_of("one", "SO2", 2.0, 20.0), step_of("two", "SO2", 1.5, 20.0, peak=0.5), step_of("three", "Cl2", 0.2, 10.0)]
    gases = {gas.formula: gas.mol.high for gas in run(steps, place=ROOM).gases}
    assert gases == pytest.approx({"SO2": 3.5 / MOLAR, "Cl2": 0.2 / MOLAR}, rel=1e-9)


def test_a_step_of_days_gives_its_share_beside_the_others():
    days = step_of("leach", "HCl", 48.0, 48 * 60.0)
    day = run([days, step_of("drop", "SO2", 1.0, 60.0)], place=ROOM)
    row = rows_of(day)["leach", "HCl"]
    assert row[1] == "all day"
    assert row[3].high == pytest.approx(1.0)  # a litre an hour, for the hour the day has
    assert any("runs for days" in line for line in day.assumed)


def test_a_step_that_only_reckons_the_air_makes_none():
    steps = [step_of("one", "SO2", 2.0, 20.0), replace(step_of("vent", "SO2", 2.0, 20.0), of_air=True)]
    assert {gas.formula: gas.mol.high for gas in run(steps, place=ROOM).gases} == pytest.approx({"SO2": 2 / MOLAR})


def test_day_without_gas_is_refused():
    with pytest.raises(CannotFollow, match="no step of this plan makes gas"):
        run([Step("lot")], place=ROOM)


def test_day_outdoors_is_a_bound():
    day = run([step_of("one", "Cl2", 1.0, 10.0), step_of("two", "Cl2", 2.0, 10.0)], place=Place(outdoors=True))
    assert day.answer("chlorine_downwind").likely == pytest.approx(0.2 / 60 / 1000 * 1e6)


def test_day_of_the_main_example():
    batch = read_batch(TABS.read_text(encoding="utf-8"), TABS.name)
    plan, day, notices = day_of(batch, {})
    made = [(step.name, gas.formula) for step in plan.done_steps() for gas in step.gases if gas.mol.high > 1e-7]
    assert {(name, gas) for name, gas in rows_of(day) if gas != "NO2"} == {pair for pair in made if pair[1] != "NO2"}
    assert ("dissolve", "NO2") in rows_of(day)
    assert {one.code for one in notices} >= {"nox", "gas-above-limit"}
    assert day.charts[0].marks[0] == ("dissolve", 0.0)


def test_more_fan_on_the_command_line_stands_before_the_file():
    batch = read_batch(TABS.read_text(encoding="utf-8"), TABS.name)
    weak, strong = (day_of(batch, {"fan": fan})[1] for fan in ("5 m3/min", "50 m3/min"))
    name = "nitrogen_dioxide_peak_near"
    assert strong.answer(name).high < weak.answer(name).high
