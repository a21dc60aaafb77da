"""Foam of a portion in its vessel; hydrogen's rate, its air and a lidded pot; gases that pool; sulfur dioxide of a dry pour."""

import pytest

from refinekit.bench.cement import run as cement
from refinekit.bench.denox import run as denox
from refinekit.bench.drop import run as drop
from refinekit.bench.foam import burst_l_per_min, foam_of_portion, surface_of
from refinekit.bench.hydrogen import say_rate
from refinekit.bench.leach import run as leach
from refinekit.bench.neutralise import run as neutralise
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.work import Work
from refinekit.ranges import Range


def said(step, heading="watch for"):
    return [line for where, line in step.says if where == heading]


# ---- foam
def test_a_litre_stands_on_ninety_two_square_centimetres():
    # pi d^3/4 = 1000 cm3, d = 10.84 cm, pi d^2/4 = 92.3 cm2
    assert surface_of(1.0) == pytest.approx(92.3, rel=1e-3)


def test_foam_of_a_portion_by_hand():
    # 10 L with nine tenths off in 5 min: 2.3026 x 10/5 = 4.605 L/min, 76.75 mL/s; over 92.26 cm2, a tenth warmer in kelvin
    assert burst_l_per_min(10.0, "practice/heat.t90.nitric") == pytest.approx(4.605, rel=1e-3)
    work = Work("leach", place=Place())
    foam_of_portion(work, 10.0, "practice/heat.t90.nitric", 1.0, hot_k=1.1 * 298.15)
    step = work.done(None)
    assert step.answer("foam").likely == pytest.approx(76.75 / 92.26 * 1.1, rel=1e-3)
    assert said(step, "foam") == ["note: it foams, 0.92 cm/s"]


@pytest.mark.parametrize(("litres", "level"), [(1.0, ""), (7.0, "note"), (15.0, "warn"), (50.0, "stop")])
def test_lines_of_foam(litres, level):
    # note over 0.5, warn over 1, stop over 3 cm/s: common practice, no source
    work = Work("leach", place=Place())
    foam_of_portion(work, litres, "practice/heat.t90.nitric", 1.0, hot_k=298.15)
    step = work.done(None)
    assert said(step, "foam")[0].startswith(f"{level}: " if level else "little foam")
    assert [(one.level, one.code) for one in step.notices] == ([(level, "froth-over")] if level in ("warn", "stop") else [])


def test_what_froths_counts_double():
    plain, frothing = (Work("leach", place=Place()) for _ in range(2))
    foam_of_portion(plain, 5.0, "practice/heat.t90.nitric", 1.0, hot_k=298.15)
    foam_of_portion(frothing, 5.0, "practice/heat.t90.nitric", 1.0, hot_k=298.15, frothing=True)
    assert frothing.done(None).answer("foam").likely == pytest.approx(2 * plain.done(None).answer("foam").likely)


def test_nitric_on_copper_is_held_against_its_vessel():
    assert 0 < leach(place=Place(), method="nitric", copper_g=100.0).answer("foam").likely < 1


# ---- hydrogen
def test_hydrogen_evenly_over_a_quarter_hour():
    # 20 g zinc, 7.484 L over 15 min: 49.9 L/min of air keep it under 1 %; 4 L under a lid: 0.04 L and 0.16 L of hydrogen
    work = Work("leach", place=Place())
    mol = 20.0 / 65.38
    say_rate(work, Range(mol, mol, mol), 4.0, 15.0)
    step = work.done(None)
    assert step.answer("hydrogen_rate").likely == pytest.approx(7.484 / 15, rel=1e-3)
    assert step.answer("hydrogen_air").likely == pytest.approx(49.9, rel=2e-3)
    assert step.answer("hydrogen_minutes_to_alarm").likely == pytest.approx(0.04 / (7.484 / 15), rel=0.02)
    assert step.answer("hydrogen_minutes_to_burns").likely == pytest.approx(0.16 / (7.484 / 15), rel=0.04)


def test_hydrogen_of_no_told_time_comes_as_a_burst():
    # nine tenths in 5 / 20 / 60 min: common practice, no source; peak V ln10/t90
    work = Work("leach", place=Place())
    say_rate(work, Range(1.0, 1.0, 1.0), 4.0)
    rate = work.done(None).answer("hydrogen_rate")
    assert (rate.low, rate.likely, rate.high) == pytest.approx(tuple(24.465 * 2.302585 / t90 for t90 in (60, 20, 5)), rel=1e-3)


def test_no_hydrogen_says_nothing():
    work = Work("leach", place=Place())
    say_rate(work, Range(0.0, 0.0, 0.0), 4.0)
    assert not work.done(None).answers


def test_steps_that_make_hydrogen_say_its_air():
    for step in (
        leach(place=Place(), method="strip", tin_g=10.0, iron_g=5.0, volume_l=1.0),
        leach(place=Place(), copper_g=20.0, zinc_g=10.0, volume_l=2.0, air_l_per_min=2.0),
        cement(place=Place(), metal="iron", volume_l=4.0, copper_g=66.0, free_acid_mol_per_l=0.5, tested=True),
    ):
        assert step.answer("hydrogen_air").high == pytest.approx(100 * step.answer("hydrogen_rate").high)
        assert any("a lid traps hydrogen" in line for line in said(step))
        assert any("arsine or stibine" in line for line in said(step))


# ---- gases that pool, and sulfur dioxide
def test_carbon_dioxide_and_nitrous_oxide_are_said_to_pool_where_they_are_made():
    ash = neutralise(place=Place(), volume_l=5.0, free_acid_mol_per_l=1.0, reagent="soda-ash")
    sulfamic = denox([], place=Place(), volume_l=0.5, nitric_left_l=0.007, method="sulfamic")
    for step, gas in ((ash, "carbon dioxide"), (sulfamic, "nitrous oxide")):
        assert any(line.startswith(gas) and "pools low" in line for line in said(step))
    caustic = neutralise(place=Place(), volume_l=5.0, free_acid_mol_per_l=1.0, reagent="caustic")
    assert not any("pools low" in line for line in said(caustic))


def test_sulfur_dioxide_of_a_dry_pour_is_all_that_can_be_made():
    pot = Pot("gold liquor", 0.5, {"AuCl4^-": 0.0102, "H^+": 1.0102, "Cl^-": 1.0, "H2O": 25.0})
    step = drop([pot], place=Place(), reagent="smb")
    made = step.answer("so2_made").high / 1000 * 24.465
    assert step.answer("so2_if_dry").high == pytest.approx(made, rel=1e-3)
    assert any("never dry on hot acid" in line for line in said(step, "how"))
