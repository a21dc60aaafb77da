"""Vent: gold in a room with a fan, a hood, outdoors, the other way round, the limits of each law, and what must always hold."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from refinekit.bench.fume import run as fume
from refinekit.bench.fume_limits import all_limits, known_gases
from refinekit.bench.place import Place
from refinekit.bench.vent import ROOM, run
from refinekit.bench.vent_hood import duct_cm
from refinekit.bench.vent_wind import downwind_ppm
from refinekit.chemistry.solution import Solution
from refinekit.errors import CannotFollow, OutOfRange, UnknownName
from refinekit.shop.ask import lay, listen

SHED = Place(room_m3=45.0, fan_m3_per_min=12.0, mixing=5.0)
GOLD = {"gold_g": 8.0, "hot": True, "time_s": 1200.0}


def said(step, heading):
    return [line for head, line in step.says if head == heading]


# ---- figures worked by hand
def test_eight_grams_of_gold_in_a_fanned_room():
    # all as nitrogen dioxide: 3 x 8/196.967 mol x 24.465 L = 2.981 L; nine tenths in 5 min, 12 m3/min out of 45 m3:
    # peak share (k/q)^(-q/(k-q)) with k = ln10/5 and q = 12/45
    step = run(place=SHED, **GOLD)
    k, q = np.log(10) / 5, 12 / 45
    litres = 3 * 8 / 196.966570 * 24.46540
    wanted = litres / 45e3 * 1e6 * (k / q) ** (-q / (k - q))
    assert step.answer("nitrogen_dioxide_peak").high == pytest.approx(wanted, rel=1e-4)
    assert step.answer("nitrogen_dioxide_peak_near").high == pytest.approx(5 * wanted, rel=1e-4)
    assert said(step, "verdict")[0].startswith("stop")


def test_short_average_is_the_dose_over_a_quarter_of_an_hour():
    # sulfur dioxide evenly over 60 min into a room whose fan holds it steady from the first minutes
    step = run(place=Place(room_m3=40.0, fan_m3_per_min=40.0, mixing=1.0), gas="SO2", litres_l=6.0, time_s=3600.0)
    steady = 6 / 60 / 40e3 * 1e6
    assert step.answer("sulfur_dioxide_15_min_near").high == pytest.approx(steady, rel=1e-3)
    # an hour of it in eight
    assert step.answer("sulfur_dioxide_8_h_near").high == pytest.approx(steady / 8, rel=1e-2)


def test_room_is_fit_again_by_the_purge_equation():
    step = run(place=Place(room_m3=40.0, fan_m3_per_min=4.0, mixing=1.0), gas="Cl2", litres_l=0.4, time_s=6.0)
    assert step.answer("chlorine_fit_again").high == pytest.approx(10 * np.log(10 / 0.5), rel=0.01)
    assert "out of the room until 30" in said(step, "enter again")[0]


def test_long_airing_is_reckoned_past_the_walk():
    step = run(place=Place(room_m3=100.0, fan_m3_per_min=0.5, mixing=1.0), gas="Cl2", litres_l=50.0, time_s=60.0)
    assert step.answer("chlorine_fit_again").high == pytest.approx(200 * np.log(500 / 0.5), rel=0.01)


def test_what_the_room_holds_now():
    step = run(place=Place(room_m3=40.0, fan_m3_per_min=4.0, mixing=2.0), gas="Cl2", litres_l=0.4, time_s=6.0, since_s=1200.0)
    assert step.answer("chlorine_now").high == pytest.approx(2 * 10 * np.exp(-2.0), rel=0.01)


def test_even_release_agrees_with_fume():
    one = run(place=SHED, gas="SO2", litres_l=2.0, time_s=1200.0)
    other = fume(place=SHED, gas="SO2", litres_l=2.0, time_s=1200.0)
    assert one.answer("sulfur_dioxide_peak").high == pytest.approx(other.answer("sulfur_dioxide_room_fan").high, rel=1e-6)
    assert one.answer("sulfur_dioxide_dilution_air").high == pytest.approx(other.answer("sulfur_dioxide_dilution_air").high)


def test_gas_is_that_of_the_equations():
    # three electrons to a nitric oxide, one to a nitrogen dioxide; gold gives three
    gases = {gas.formula: gas.mol for gas in run(place=SHED, **GOLD).gases}
    assert gases["NO"].high == pytest.approx(8 / 196.966570, rel=1e-9)
    assert gases["NO2"].high == pytest.approx(24 / 196.966570, rel=1e-9)


def test_hot_start_is_a_quarter_of_the_time_and_the_usual_one_half():
    hot, usual = (run(place=SHED, gold_g=8.0, time_s=1200.0, hot=hot) for hot in (True, False))
    rates = [{gas.formula: gas.peak_l_per_min for gas in step.gases}["NO2"] for step in (hot, usual)]
    litres = 3 * 8 / 196.966570 * 24.46540
    assert rates == pytest.approx([np.log(10) * litres / 5, np.log(10) * litres / 10], rel=1e-4)


def test_portions_lower_the_peak_and_each_is_its_own_burst():
    one = run(place=SHED, gold_g=8.0, time_s=2400.0)
    four = run(place=SHED, gold_g=8.0, t90_s=300.0, portions=4.0, between_s=600.0)
    peaks = [step.answer("nitrogen_dioxide_peak").high for step in (one, four)]
    assert peaks[1] < peaks[0]


# ---- no room, a hood, outdoors
def test_no_room_fan_or_hood_gives_the_closed_room_and_says_so():
    step = run(place=Place(mixing=1.0), gas="Cl2", litres_l=3.0)
    assert step.answer("chlorine_peak").high == pytest.approx(100.0, rel=1e-6)  # 3 L in the 30 m3 that stand in
    lines = said(step, "the room")
    assert "none was told" in lines[0]
    assert "for it closed" in lines[1]
    assert "nothing carries it off" in said(step, "enter again")[0]
    assert "chlorine_fit_again" not in {answer.name for answer in step.answers}


def test_gaps_air_a_closed_room():
    step = run(place=Place(room_m3=40.0, mixing=1.0), gas="Cl2", litres_l=0.4, time_s=6.0, air_changes=6.0)
    assert step.answer("chlorine_fit_again").high == pytest.approx(10 * np.log(10 / 0.5), rel=0.01)


def test_hood_lets_out_a_share_and_draws_the_room_too():
    step = run(place=SHED, hood_width_m=0.9, hood_height_m=0.6, face_speed_m_per_s=0.5, hood_lets_out=0.02, **GOLD)
    bare = run(place=Place(room_m3=45.0, fan_m3_per_min=12.0 + 16.2, mixing=5.0), **GOLD)
    ratio = step.answer("nitrogen_dioxide_peak").high / bare.answer("nitrogen_dioxide_peak").high
    assert ratio == pytest.approx(0.02, rel=1e-6)
    assert step.answer("make_up_air").likely == pytest.approx(16.2)


def test_hood_without_a_figure_is_a_range():
    step = run(place=Place(room_m3=45.0, fan_m3_per_min=12.0, hood=True, mixing=5.0), gas="Cl2", litres_l=1.0)
    low, likely, high = (getattr(step.answer("chlorine_peak"), end) for end in ("low", "likely", "high"))
    assert (likely / low, high / likely) == pytest.approx((10.0, 5.0), rel=1e-6)


def test_hood_by_the_published_face_velocity():
    # ANSI Z9.5 as quoted: 80 to 120 ft/min; a face of 30 in x 25 in at 100 ft/min draws 521 cfm (Abulencia and Theodore, 20.4)
    step = run(
        place=SHED, gas="HCl", litres_l=1.0, hood_width_m=25 * 0.0254, hood_height_m=30 * 0.0254, face_speed_m_per_s=100 * 0.00508
    )
    assert step.answer("hood_flow_cfm").likely == pytest.approx(521, rel=0.002)


def test_slow_hood_is_no_hood():
    step = run(place=SHED, gas="HCl", litres_l=1.0, hood_width_m=0.9, hood_height_m=0.6, face_speed_m_per_s=0.1)
    assert any("is no hood" in line for line in said(step, "watch for"))


def test_duct_carries_what_the_hood_draws():
    assert np.pi / 4 * (duct_cm(16.2, 10.0) / 100) ** 2 * 10 * 60 == pytest.approx(16.2)


def test_outdoors_is_a_bounded_estimate_and_said_to_be():
    step = run(place=Place(outdoors=True), gas="Cl2", litres_l=12.0, time_s=1200.0)
    # 0.6 L/min in a metre a second through a square metre: 10 ppm; the bounds are the ends of wind and plume
    span = step.answer("chlorine_downwind")
    assert (span.low, span.likely, span.high) == pytest.approx((10 / 8, 10, 80))
    assert "not a forecast" in said(step, "outdoors")[0]
    assert downwind_ppm(0.6, 1.0, 1.0) == pytest.approx(10.0)


# ---- the other way round
@pytest.mark.parametrize("law", ["us", "eu", "uk", "none"])
def test_how_much_at_once_meets_the_nearest_limit(law):
    place = Place(room_m3=45.0, fan_m3_per_min=12.0, mixing=5.0, law=law)
    grams = run(place=place, how_much=True, **GOLD).answer("gold_at_once").low
    assert 0 < grams < 8

    def worst(gold_g):
        step = run(place=place, **{**GOLD, "gold_g": gold_g})
        return max(high_of(row[5]) / row[1] for row in step.tables[0].rows if "beside" not in row[3])

    assert worst(grams) == pytest.approx(1.0, rel=2e-3)
    assert worst(1.02 * grams) > 1


def high_of(cell):
    return cell.high


def test_how_much_outdoors_and_of_other_things():
    step = run(place=Place(outdoors=True), how_much=True, bleach_volume_l=0.1, bleach=Solution("NaOCl", 0.06, 1.08, "6 %"))
    assert 0 < step.answer("bleach_at_once").low < 100


def test_how_much_of_what_has_no_limit_is_refused():
    with pytest.raises(CannotFollow, match="no limit"):
        run(place=Place(room_m3=45.0, law="none"), how_much=True, gas="N2O", litres_l=1.0)


# ---- limits
@pytest.mark.parametrize(
    ("law", "kinds"),
    [
        # published: OSHA ceiling 5, NIOSH 15 min 1, ACGIH 8 h 0.2, NIOSH 2017 dangerous at once 13; EU and UK 1 and 0.5
        ("us", [(5, "never above", 1971), (1, "15 min", 1994), (0.2, "8 h", 2012), (13, "dangerous at once", 2017)]),
        ("eu", [(1, "15 min", 2017), (0.5, "8 h", 2017), (13, "dangerous at once", 2017)]),
        ("uk", [(1, "15 min", 2020), (0.5, "8 h", 2020), (13, "dangerous at once", 2017)]),
        ("none", [(13, "dangerous at once", 2017)]),
    ],
)
def test_limits_say_kind_and_date(law, kinds):
    assert [(one.ppm, one.kind, one.year) for one in all_limits("NO2", law)] == kinds


def test_every_limit_has_a_date():
    assert [one for gas in known_gases() for law in ("us", "eu", "uk") for one in all_limits(gas, law) if not one.year] == []


def test_ceiling_is_held_against_the_peak_and_averages_against_their_time():
    step = run(place=SHED, **GOLD)
    rows = {(row[0], row[2]): row[5] for row in step.tables[0].rows}
    assert rows["NO2", "never above"] == step.answer("nitrogen_dioxide_peak_near")
    assert rows["NO2", "15 min"] == step.answer("nitrogen_dioxide_15_min_near")
    assert rows["NO2", "8 h"] == step.answer("nitrogen_dioxide_8_h_near")


def test_delayed_injury_says_who_to_tell_and_how_long_to_watch():
    line = said(run(place=SHED, **GOLD), "after a breath")[0]
    assert all(words in line for words in ("3 to 30 h later", "stays with you for 30 h", "doctor the same day"))
    assert said(run(place=SHED, gas="Cl2", litres_l=1.0), "after a breath") == []


def test_chart_draws_the_limits():
    (chart,) = run(place=SHED, **GOLD).charts
    assert [at for _, at in chart.levels] == [5, 1, 0.2, 13]
    assert set(chart.series) == {"NO", "likely NO2", "most NO2"}


# ---- what must always hold
@given(st.floats(0.1, 50.0), st.floats(0.0, 100.0), st.floats(0.0, 100.0), st.floats(2.0, 60.0))
@settings(max_examples=25, deadline=None)
def test_more_fan_never_raises_a_peak(gold, one, other, minutes):
    def peak(fan):
        place = Place(room_m3=45.0, fan_m3_per_min=fan, mixing=5.0)
        step = run(place=place, gold_g=gold, time_s=60 * minutes)
        return [step.answer(f"{gas}_peak").high for gas in ("nitric_oxide", "nitrogen_dioxide")]

    weak, strong = peak(min(one, other)), peak(max(one, other))
    assert all(there <= here * (1 + 1e-9) for here, there in zip(weak, strong, strict=True))


def test_ranges_and_cases_agree():
    told = listen(ROOM.fields, {"gold": "4/8/9 g", "time": "15/20/30 min"}, label=str)
    figures, _ = lay(told, 1)
    step = run(place=SHED, **figures)
    worst = run(place=SHED, gold_g=9.0, time_s=900.0, no_share=0.7)
    likely = run(place=SHED, gold_g=8.0, time_s=1200.0, no_share=0.8)
    name = "nitrogen_dioxide_peak_near"
    assert step.answer(name).high == pytest.approx(worst.answer(name).high, rel=1e-3)
    assert step.answer(name).likely == pytest.approx(likely.answer(name).likely, rel=1e-3)


# ---- what cannot be
@pytest.mark.parametrize(
    ("told", "fault"),
    [
        ({}, CannotFollow),
        ({"gas": "no such gas", "litres_l": 1.0}, UnknownName),
        ({"gas": "Cl2", "litres_l": 1.0, "t90_s": 60.0, "portions": 1000.0}, OutOfRange),
        ({"gas": "Cl2", "litres_l": 1.0, "t90_s": 60.0, "portions": 2.5}, OutOfRange),
        ({"gas": "Cl2", "litres_l": 1.0, "hood_width_m": 0.9}, CannotFollow),
        ({"gas": "Cl2", "litres_l": 1.0, "room_length_m": 4.0, "room_width_m": 3.0}, CannotFollow),
        ({"gas": "Cl2", "litres_l": 1.0, "wind_m_per_s": 1.0}, CannotFollow),
        ({"gas": "Cl2", "litres_l": 1.0, "sash": 1.0}, TypeError),
    ],
)
def test_what_cannot_be_is_refused(told, fault):
    with pytest.raises(fault):
        run(place=SHED, **told)
