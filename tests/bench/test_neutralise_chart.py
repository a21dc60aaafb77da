"""The curves of neutralising: where they begin and end, that they pass the dose told, and what they say."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from refinekit.bench.neutralise import ROOM, run
from refinekit.bench.pot import Pot
from refinekit.errors import CannotFollow

BATH = {"volume_l": 10.0, "copper_strength_g_per_l": 80.0, "nickel_strength_g_per_l": 6.0, "free_acid_mol_per_l": 1.2}


@pytest.mark.parametrize("reagent", ["caustic", "caustic-liquor", "lime", "soda-ash", "bicarbonate", "magnesium-hydroxide"])
def test_the_curve_goes_through_the_dose_told(reagent: str) -> None:
    step = run(**BATH, reagent=reagent)
    dose_chart = step.charts[0]
    (words, at), (across, ph) = dose_chart.marks[0], dose_chart.series["pH"]
    assert across[0] == 0
    assert list(ph) == sorted(ph)
    assert np.interp(at, across, ph) == pytest.approx(float(words.removeprefix("pH ")), abs=0.15)
    pure = step.answer({"caustic-liquor": "caustic_liquor"}.get(reagent, reagent.replace("-", "_"))).likely
    assert pure <= at <= 1.12 * pure, "what is weighed is the pure over its goodness"


def test_both_charts_say_what_they_show() -> None:
    dose, metals, warmth = run(**BATH, ph=9.5).charts
    assert warmth.title == "temperature of the pot against time"
    assert dose.finding.startswith("pH 9.5 is reached at")
    assert "still to go the pH is" in dose.finding
    assert "Copper is lowest at pH" in metals.finding
    assert "nickel is lowest at pH 10" in metals.finding
    assert metals.log
    assert metals.marks == (("pH 9.5", 9.5),)
    assert ROOM.draws


def test_metals_fall_and_come_back_on_the_chart() -> None:
    step = run(volume_l=10.0, free_acid_mol_per_l=0.5, zinc_strength_g_per_l=5.0, aluminium_strength_g_per_l=3.0)
    metals = step.charts[1]
    for name in ("zinc", "aluminium"):
        ph, mg = (np.asarray(values) for values in metals.series[name])
        least = int(np.argmin(mg))
        assert 5 < ph[least] < 11.5
        assert mg[-1] > 10 * mg[least], "too far brings it back"


def test_a_metal_that_does_not_fall_is_said_to_stay() -> None:
    # bicarbonate stops at pH 6.5 in this liquor, and nickel falls from pH 7.4 up
    assert "nickel stays dissolved all the way" in run(**BATH, reagent="bicarbonate").charts[1].finding


def test_two_alkalis_make_one_curve_in_moles() -> None:
    dose, metals, *_ = run(**BATH, reagent="lime", second_reagent="caustic", first_ph=4.0, ph=9.5).charts
    assert dose.x == "alkali, mol"
    across, ph = dose.series["pH"]
    assert across[0] == 0
    assert ph[0] < 0.5
    assert ph[-1] > 12
    assert np.all(np.diff(metals.series["copper"][0]) >= 0)


def test_the_plain_rule_draws_no_curve_of_ph() -> None:
    assert {chart.title for chart in run(**BATH, by="charge").charts} <= {"temperature of the pot against time"}


def test_a_pot_already_past_neutral_is_drawn_from_where_it_stands() -> None:
    pot = Pot("rinses", 5.0, {"Ni^2+": 0.05, "Cl^-": 0.1, "H2O": 277.0})
    dose = run([pot], ph=10.0).charts[0]
    assert 5 < dose.series["pH"][1][0] < 8


@settings(deadline=None, max_examples=25)
@given(
    acid=st.floats(0.05, 8.0),
    metals=st.dictionaries(
        st.sampled_from(["copper", "nickel", "zinc", "iron", "iron_iii", "aluminium", "lead", "tin"]),
        st.floats(0.01, 60.0),
        max_size=4,
    ),
    reagent=st.sampled_from(["caustic", "lime", "caustic-liquor"]),
)
@example(acid=2.0, metals={"aluminium": 23.0}, reagent="caustic")
@example(acid=8.0, metals={"aluminium": 60.0}, reagent="caustic")
def test_whatever_has_a_dose_has_its_curves(acid: float, metals: dict[str, float], reagent: str) -> None:
    told = {f"{metal}_strength_g_per_l": grams for metal, grams in metals.items()}
    try:
        step = run(volume_l=2.0, free_acid_mol_per_l=acid, reagent=reagent, ph=9.0, **told)
    except CannotFollow:
        return  # no dose, and no curve
    dose = step.charts[0]
    across, ph = dose.series["pH"]
    assert list(across) == sorted(across)
    assert ph[-1] > 8.5
