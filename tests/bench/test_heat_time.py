"""A pot that heats itself: against closed forms of a straight loss, a printed table of open tanks, and what a user is told."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from refinekit.bench.cement import run as cement
from refinekit.bench.heat_portions import Heating, minutes_to_pour, warming
from refinekit.bench.heat_time import Loss, Vessel, burst, cooled_after, evenly, open_loss, pot_of, times
from refinekit.bench.leach import run as leach
from refinekit.bench.neutralise import run as neutralise
from refinekit.bench.part import run as part
from refinekit.bench.place import Place
from refinekit.errors import OutOfRange
from refinekit.ranges import Range
from refinekit.shop.bottles import dilute_step

AIR = 298.15
STRAIGHT = Loss(np.array([0.0, 300.0]), np.zeros(2), np.array([0.0, 3000.0]), np.array([0.0, 3000.0]))
"""Ten watts to the square metre and kelvin."""


def straight_pot(litres=1.0):
    return pot_of(litres, 4.18, AIR, 1.0, STRAIGHT)


def rate_per_min(pot):
    return 10 * (pot.top_m2 + pot.sides_m2) * 0.06 / pot.kj_per_k


# ---- closed forms
@pytest.mark.parametrize(("litres", "kj", "t90"), [(1.0, 200.0, 5.0), (0.25, 40.0, 2.0), (20.0, 2000.0, 30.0)])
def test_a_burst_against_its_closed_form(litres, kj, t90):
    # C dT/dt = Q k exp(-kt) - C a (T - air): T = air + Q/C k/(k - a) (exp(-at) - exp(-kt))
    pot = straight_pot(litres)
    a, k, at = rate_per_min(pot), np.log(10) / t90, times(t90)
    closed = AIR + kj / pot.kj_per_k * k / (k - a) * (np.exp(-a * at) - np.exp(-k * at))
    found = burst(pot, kj, t90, AIR, at)[:, 0]
    assert found == pytest.approx(closed, abs=0.05)
    assert found.max() - AIR == pytest.approx(closed.max() - AIR, rel=1e-3)
    # the closed form's own peak, at ln(k/a)/(k - a)
    top = np.log(k / a) / (k - a)
    assert found.max() - AIR == pytest.approx(kj / pot.kj_per_k * np.exp(-a * top), rel=2e-3)


def test_even_heat_against_its_closed_form():
    # T = air + Q/(C a t) (1 - exp(-at))
    pot, over = straight_pot(), np.array([10.0, 60.0, 300.0, 1000.0])
    a = rate_per_min(pot)
    closed = AIR + 250.0 / pot.kj_per_k / a / over * (1 - np.exp(-a * over))
    assert evenly(pot, 250.0, over, AIR) == pytest.approx(closed, abs=0.02)


def test_cooling_against_its_closed_form():
    # from 90 C to 40 C in air of 25 C: ln(65/15)/a
    pot, at = straight_pot(), times(1.0)
    line = burst(pot, 0.0, 1.0, 363.15, at)
    assert cooled_after(line, at, 313.15)[0] == pytest.approx(np.log(65 / 15) / rate_per_min(pot), rel=5e-3)


def test_nothing_is_lost_where_nothing_is_warmer_than_the_air():
    pot, at = straight_pot(), times(1.0)
    assert burst(pot, 0.0, 1.0, 280.0, at) == pytest.approx(280.0)
    assert cooled_after(np.full((3, 1), 300.0), at[:3], 310.0)[0] == 0
    assert np.isinf(cooled_after(np.full((3, 1), 320.0), at[:3], 310.0)[0])


# ---- printed
def test_an_open_tank_loses_what_is_printed():
    # public engineering page, its worked example: water at 150 F, 10 ft2 open, 50 ft2 of bare steel, air 60 F: 19400 Btu/h
    pot = Vessel(1.0, 10 * 0.09290304, 50 * 0.09290304, 1.0, 288.706, open_loss())
    assert float(pot.lost_w(np.array(338.706))) == pytest.approx(19400 * 0.293071, rel=1e-3)


def test_a_lid_keeps_the_steam():
    # the same page at 180 F: 1740 Btu/(ft2 h) of 2000 from the surface are steam
    def from_top(share):
        return float(Vessel(1.0, 0.09290304, 0.0, share, 288.706, open_loss()).lost_w(np.array(355.372)))

    assert from_top(1.0) == pytest.approx(2000 * 0.293071, rel=1e-3)
    assert from_top(0.0) == pytest.approx(260 * 0.293071, rel=1e-3)


def test_a_round_pot_as_deep_as_wide():
    # a litre: pi d^3/4 = 1000 cm3, d = 10.84 cm, top 92.3 cm2, side four times that
    pot = pot_of(1.0, 4.18, AIR, 1.0)
    assert pot.top_m2 == pytest.approx(0.00923, rel=1e-3)
    assert pot.sides_m2 == pytest.approx(4 * pot.top_m2)
    with pytest.raises(OutOfRange, match="cannot be warmed"):
        pot_of(0.0, 4.18, AIR, 1.0)


# ---- figures of a step
def heating(rise=60.0, litres=1.0, there=0.5, portions=1):
    return Heating("acid", "t90.nitric", Range(rise, rise, rise), litres, there, AIR, portions)


def test_more_portions_where_it_gets_hotter():
    mild, hot = (warming(heating(rise), AIR) for rise in (20.0, 70.0))
    assert mild.portions == 1
    assert hot.portions > 1
    assert hot.portion_k.max() < 333.15 + 0.1 < hot.at_once_k.min()
    assert 0 < hot.wait_min.min() < hot.wait_min.max() < 300


def test_the_hot_end_has_the_lid_on():
    found = warming(heating(60.0), AIR)
    likely, least, most = found.at_once_k
    assert least < likely < most < AIR + 60


def test_a_pot_that_would_boil():
    assert warming(heating(90.0), AIR).boils
    assert not warming(heating(40.0), AIR).boils


@settings(max_examples=20)
@given(st.floats(1, 100), st.floats(0.1, 50), st.floats(0.05, 1))
def test_no_pot_gets_hotter_than_without_loss_nor_colder_than_the_air(rise, litres, share):
    found = warming(heating(rise, litres, share * litres), AIR)
    assert (found.at_once_k <= AIR + rise + 1e-6).all()
    assert (found.at_once_k >= AIR).all()
    assert (found.wait_min >= 0).all()


def test_time_to_pour_evenly_holds_the_pause():
    one = heating(70.0, 5.0, 5.0)
    minutes = minutes_to_pour(one, AIR)
    pot = pot_of(5.0, 4.18, AIR, 0.0)
    assert evenly(pot, 70.0 * 5.0 * 4.18, np.array([minutes]), AIR)[0] == pytest.approx(333.15, abs=0.6)
    assert minutes_to_pour(heating(30.0), AIR) == 0


# ---- the steps that heat themselves
def said(step):
    return [line for where, line in step.says if where == "heat"]


def test_nitric_on_copper():
    step = leach(place=Place(), method="nitric", copper_g=100.0)
    assert step.answer("peak_at_once").high < 25 + step.answer("rise").high + 0.1
    assert step.answer("peak_in_portions").high < 61
    assert step.answer("heat_portions").likely >= 5
    (line,) = said(step)
    assert "back at 40 C" in line
    assert step.charts[0].title == "temperature of the pot against time"


def test_the_curve_by_portions_never_goes_back_in_time():
    for grams in (0.1, 1.0, 3.3, 7.7, 100.0, 333.0):
        assert leach(place=Place(), method="nitric", zinc_g=grams).charts


def test_nitric_without_water_wants_a_bath_of_cold_water():
    step = leach(place=Place(), method="nitric", copper_g=100.0, nitric_water=0.0)
    assert any("cold water" in line for line in said(step))


@pytest.mark.parametrize("water", [1e-9, 0.001, 0.05])
def test_hardly_any_water_makes_no_endless_row_of_portions(water):
    step = leach(place=Place(), method="nitric", copper_g=100.0, nitric_water=water)
    assert step.answer("heat_portions").likely <= 50
    assert any("cold water" in line for line in said(step))


def test_aluminium_in_copper_liquor():
    step = cement(place=Place(), metal="aluminium", volume_l=4.0, copper_g=200.0, free_acid_mol_per_l=0.5, tested=True)
    assert step.answer("heat_portions").likely > 1
    assert step.answer("wait_between").low > 0
    assert "aluminium at once" in said(step)[0]


def test_neutralising_and_diluting():
    step = neutralise(place=Place(), volume_l=10.0, copper_g=800.0, free_acid_mol_per_l=1.2)
    assert step.answer("pour_over").likely > 1
    assert step.answer("wait_between").likely > 30
    mild = dilute_step("sulfuric", "10 %", "2 L")
    assert 25 < mild.answer("peak_at_once").likely < 25 + mild.answer("rise").likely + 0.1


def test_parting_before_the_plate():
    step = part(place=Place(), gold_g=25.0, silver_g=65.0, copper_g=10.0)
    assert 25 < step.answer("peak_at_once").likely < 25 + step.answer("rise").likely + 0.1


# ---- the curve: temperature against time
CURVE = "temperature of the pot against time"


def warmth(step):
    (chart,) = [chart for chart in step.charts if chart.title == CURVE]
    return chart


@pytest.mark.parametrize(
    ("step", "told"),
    [
        (leach, {"method": "nitric", "copper_g": 100.0}),
        (neutralise, {"volume_l": 4.0, "free_acid_mol_per_l": 3.0, "reagent": "caustic"}),
        (cement, {"metal": "aluminium", "volume_l": 4.0, "copper_g": 66.0, "free_acid_mol_per_l": 0.5}),
    ],
)
def test_a_step_that_heats_itself_draws_its_heat_at_once_and_by_portions(step, told):
    done = step([], place=Place(), **told)
    chart = warmth(done)
    parts = f"in {done.answer('heat_portions').likely:.0f} portions"
    assert list(chart.series) == ["all at once", parts]
    assert {at for _, at in chart.levels} >= {60.0, 40.0}
    for name, peak in (("all at once", "peak_at_once"), (parts, "peak_in_portions")):
        minutes, celsius = chart.series[name]
        assert list(minutes) == sorted(minutes)
        assert celsius[0] == pytest.approx(25.0)
        assert max(celsius) <= done.answer(peak).high + 0.5
    assert max(chart.series[parts][1]) < max(chart.series["all at once"][1])
    assert "standing in the air" in chart.finding


def test_each_portion_goes_in_when_the_last_has_cooled():
    chart = warmth(leach(place=Place(), method="nitric", copper_g=200.0))
    celsius = np.asarray(chart.series["in 6 portions"][1])
    troughs = [celsius[i] for i in range(1, len(celsius) - 1) if celsius[i - 1] > celsius[i] <= celsius[i + 1]]
    assert len(troughs) == 5
    assert troughs == pytest.approx([40.0] * 5, abs=0.5)


def test_strong_acid_thinned_draws_its_heat():
    chart = warmth(dilute_step("sulfuric", "20 %", "2 L"))
    assert max(chart.series["all at once"][1]) == pytest.approx(59.9, abs=1.0)


def test_what_hardly_warms_draws_nothing():
    assert not dilute_step("hydrochloric", "5 %", "1 L").charts
    assert not neutralise([], place=Place(), volume_l=4.0, free_acid_mol_per_l=0.05, by="charge").charts


def test_a_pot_that_boils_over_says_so_and_is_drawn_no_hotter_than_it_boils():
    done = leach(place=Place(), method="nitric", zinc_g=200.0, nitric_water=0.0)
    chart = warmth(done)
    assert max(chart.series["all at once"][1]) == pytest.approx(100.0)
    assert any("boils" in words for words, _ in chart.levels)
    assert "boils over" in chart.finding
