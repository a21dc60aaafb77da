"""Titrations: worked figures, what metals add to the drops, curves against the textbook, and a pot less its sample."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.titrate import FIELDS, ROOM, choose, run
from refinekit.bench.titrate_expect import reckoned
from refinekit.bench.titrate_ways import WAYS, per_mole
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.errors import CannotFollow
from refinekit.ranges import Range

WORKED = {
    case["id"]: case
    for case in json.loads((Path(__file__).parents[1] / "data/worked/area11.json").read_text(encoding="utf-8"))["cases"]
}
BATH = {"copper_strength_g_per_l": 80.0, "nickel_strength_g_per_l": 6.0}
DROPS = {"used_l": 0.0112, "strength_mol_per_l": 1.0, "sample_l": 0.005}
IRON_G, TIN_G, ALUMINIUM_G = 55.845, 118.71, 26.9815  # a mole of each, CIAAW 2021

TOLD = {
    "11.06": (DROPS, {"free_hcl": "free_acid"}),
    "11.11": ({"what": "peroxide", "used_l": 0.0356, "strength_mol_per_l": 0.02, "sample_l": 0.001}, {"h2o2": "peroxide"}),
}


@pytest.mark.parametrize(
    ("case", "figure"),
    [
        pytest.param(case, figure, id=f"{case} {figure}: {WORKED[case]['source'][:60]}")
        for case, (_, figures) in TOLD.items()
        for figure in figures
    ],
)
def test_worked_titrations(case: str, figure: str) -> None:
    told, names = TOLD[case]
    wanted = WORKED[case]["answers"][figure]
    answer = next(one for one in run(**told).answers if one.name == names[figure])
    assert answer.unit == wanted["unit"]
    assert answer.range.likely == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


def test_every_way_of_a_worked_titration_is_told() -> None:
    titrations = {id for id, case in WORKED.items() if "drops" in case["title"] or "permanganate" in case["title"]}
    assert titrations == set(TOLD)


# ---- the other titrations, by hand from the equations
@pytest.mark.parametrize(
    ("what", "ratio"),
    [("acid", 1.0), ("peroxide", 2.5), ("metabisulfite", 1.0), ("caustic", 1.0), ("hypochlorite", 0.5)],
)
def test_moles_found_for_a_mole_dropped(what: str, ratio: float) -> None:
    assert per_mole(WAYS[what]) == pytest.approx(ratio)


def test_metabisulfite_by_iodine_says_how_good_the_powder_is() -> None:
    # 1.00 g in 100 mL, 10 mL takes 20.0 mL of 0.05 mol/L iodine: 1 mmol SO2, half a mmol of Na2S2O5, 190.1 g/mol
    step = run(what="metabisulfite", used_l=0.020, strength_mol_per_l=0.05, sample_l=0.010, weighed_g=1.0, made_up_l=0.100)
    assert step.answer("sulfite").likely == pytest.approx(0.100)
    assert step.answer("metabisulfite").likely == pytest.approx(9.505, rel=1e-3)
    assert step.answer("goodness").likely == pytest.approx(95.05, rel=1e-3)


def test_bleach_by_thiosulfate_in_trade_percent() -> None:
    # 12.5 % trade bleach thinned ten times: 125 g/L of chlorine is 1.763 mol/L; 1 mL of the thin takes 3.526 mL of 0.1 mol/L
    step = run(what="hypochlorite", used_l=0.003526, strength_mol_per_l=0.1, sample_l=0.001, dilution=10.0)
    assert step.answer("hypochlorite").likely == pytest.approx(1.763, rel=1e-3)
    assert step.answer("available_chlorine").likely == pytest.approx(125, rel=1e-3)
    assert step.answer("trade_percent").likely == pytest.approx(12.5, rel=1e-3)
    assert any("iodide first, acid last" in line for _, line in step.says)


def test_caustic_by_acid() -> None:
    step = run(what="caustic", used_l=0.0125, strength_mol_per_l=1.0, sample_l=0.005, volume_l=2.0)
    assert step.answer("caustic").likely == pytest.approx(2.5)
    assert step.answer("caustic_mass").likely == pytest.approx(100, rel=1e-3)
    assert step.answer("caustic_in_all").likely == pytest.approx(5.0)


def test_drops_stand_for_millilitres() -> None:
    by_drops = run(drops=224.0, drop_l=0.00005, sample_l=0.005, strength_mol_per_l=1.0)
    assert by_drops.answer("free_acid").likely == pytest.approx(2.24)
    assert by_drops.answer("free_acid").low == pytest.approx(2.24 * 223 / 224)


# ---- what metals add
@pytest.mark.parametrize(
    ("metal", "grams", "each"),
    [("iron_iii", IRON_G, 3), ("tin", TIN_G, 4), ("aluminium", ALUMINIUM_G, 3)],
    ids=["iron(III) reads as three", "tin(IV) reads as four", "aluminium reads as three"],
)
def test_metals_that_fall_first_read_as_acid(metal: str, grams: float, each: int) -> None:
    plain, step = run(**DROPS), run(**DROPS, **{f"{metal}_strength_g_per_l": 0.1 * grams})
    free = step.answer("free_acid")
    assert free.likely == pytest.approx(2.24 - 0.1 * each, rel=1e-3)
    assert free.high == pytest.approx(plain.answer("free_acid").high), "drops that stopped at the first haze"
    assert step.answer("read_as_acid").likely == pytest.approx(0.1 * each, rel=1e-3)


def test_a_range_of_iron_widens_the_acid() -> None:
    iron = 0.1 * IRON_G * np.array([1.0, 0.5, 2.0])
    free = run(**DROPS, iron_iii_strength_g_per_l=iron).answer("free_acid")
    assert free.likely == pytest.approx(1.94, rel=1e-3)
    assert free.low == pytest.approx(2.23 - 0.6, rel=1e-3)


def test_more_metal_than_caustic_is_said() -> None:
    step = run(**DROPS, iron_iii_strength_g_per_l=IRON_G)
    assert step.answer("free_acid").likely == 0
    assert [notice.code for notice in step.notices] == ["titration-under-metals"]


def test_a_copper_bath_clouds_where_baths_do_and_that_reads_next_to_nothing() -> None:
    # common practice, no source: the first lasting cloud stands at about pH 3.5 to 4, in strong baths somewhat under
    step = run(**DROPS, **BATH)
    assert 2.8 < step.answer("cloud_ph").likely < 4.2
    assert abs(step.answer("copper_reads").likely) < 0.01
    assert step.answer("free_acid").likely == pytest.approx(2.24, rel=0.005)


def test_thinner_copper_clouds_later() -> None:
    strong, thin = (run(**DROPS, copper_strength_g_per_l=copper).answer("cloud_ph").likely for copper in (80.0, 2.0))
    assert strong < thin


# ---- the curve to expect
def test_strong_acid_against_strong_base() -> None:
    """OpenStax Chemistry 2e, example 14.21, from memory: 25.00 mL of 0.100 mol/L HCl with 0.100 mol/L NaOH.

    12.50 mL gives pH 1.477 and 25.00 mL pH 7.00 without activities; these lift the acid side by at most 0.1.
    """
    found = reckoned(Liquor({"Cl^-": 0.1}), 1.0, 12.0, 25.0, 0.1)
    assert np.interp(12.5, found.ml, found.ph) == pytest.approx(1.477, abs=0.1)
    assert found.ml_at(7.0) == pytest.approx(25.00, abs=0.005)
    # past the end by hand: a mL over in 51 mL is 0.00196 mol/L of hydroxide, pH 11.292, and 10^-0.085 of it active (Davies)
    assert np.interp(26.0, found.ml, found.ph) == pytest.approx(11.207, abs=0.01)


def test_the_curve_of_a_bath_reads_back_as_its_acid() -> None:
    step = run(free_acid_mol_per_l=1.2, **BATH, sample_l=0.005, strength_mol_per_l=1.0)
    assert step.answer("free_acid").likely == pytest.approx(1.2)
    cloud_l = step.answer("cloud").likely / 1000
    back = run(used_l=cloud_l, sample_l=0.005, strength_mol_per_l=1.0, **BATH)
    assert back.answer("free_acid").likely == pytest.approx(1.2, rel=0.005)
    assert back.answer("cloud_ph").likely == pytest.approx(step.answer("cloud_ph").likely, abs=0.03)


def test_iron_in_the_curve_reads_as_three() -> None:
    plain = run(free_acid_mol_per_l=1.2, **BATH)
    rusty = run(free_acid_mol_per_l=1.2, **BATH, iron_iii_strength_g_per_l=0.1 * IRON_G)
    more = rusty.answer("reads_as").likely - plain.answer("reads_as").likely
    assert more == pytest.approx(0.3, rel=0.03)
    assert rusty.tables[0].rows[0][0] != plain.tables[0].rows[0][0]


def test_the_chart_rises_from_the_bath_to_past_neutral() -> None:
    (chart,) = run(free_acid_mol_per_l=1.2, **BATH, sample_l=0.005, strength_mol_per_l=1.0).charts
    ml, ph = chart.series["pH"]
    assert ml[0] == 0
    assert list(ph) == sorted(ph)
    # acid 1.2, copper 1.2589 and nickel 0.1022 mol/L with two hydroxides each: 5 mL takes about 19.6 mL
    assert np.interp(11.0, ph, ml) == pytest.approx(19.6, rel=0.02)
    assert "first lasting cloud" in chart.finding
    assert len(chart.marks) == 1


def test_caustic_to_a_ph() -> None:
    step = run(free_acid_mol_per_l=1.2, sample_l=0.005, strength_mol_per_l=1.0, ph=7.0)
    assert step.answer("to_ph").likely == pytest.approx(6.0, rel=0.002)


# ---- a pot
def bath(**more: float) -> Pot:
    return Pot("bath", 2.0, {"H^+": 2.4, "Cu^2+": 2.0, "Cl^-": 6.4, "H2O": 110.0, **more})


def test_a_sample_leaves_the_bath_less_by_what_was_drawn() -> None:
    step = run([bath()], place=Place(), used_l=0.006, sample_l=0.005, strength_mol_per_l=1.0)
    assert [pot.name for pot in step.pots] == ["bath", "sample"]
    assert step.pots[0].volume_l == pytest.approx(1.995)
    assert step.pots[1].mol("Cu^2+") == pytest.approx(0.005)
    assert step.answer("reckoned_free_acid").likely == pytest.approx(1.2)
    assert step.answer("free_acid").likely == pytest.approx(1.2, rel=0.01)
    assert not step.notices


def test_drops_that_gainsay_the_reckoning_are_a_note() -> None:
    step = run([bath()], place=Place(), used_l=0.003, sample_l=0.005, strength_mol_per_l=1.0)
    assert [notice.code for notice in step.notices] == ["acid-not-as-reckoned"]
    assert "--free-acid" in step.notices[0].do


def test_the_curve_of_a_pot_with_gold_in_it_is_drawn_too() -> None:
    pot = bath(**{"AuCl4^-": 0.001, "Cl^-": 6.4})
    pot = Pot("gold liquor", pot.volume_l, {**pot.dissolved_mol, "H^+": 2.401})
    assert run([pot], place=Place()).charts


def test_the_bath_is_titrated_before_any_other_liquor() -> None:
    rinse = Pot("rinses", 9.0, {"H^+": 30.0, "Cl^-": 30.0})
    peroxide = Pot("etch", 1.0, {"H2O2": 1.0, "H2O": 50.0})
    assert choose([rinse, bath(), peroxide]) == (bath(),)
    assert choose([rinse, bath(), peroxide], what="peroxide") == (peroxide,)
    assert choose([rinse], what="hypochlorite") == ()
    assert ROOM.draws


# ---- bad input
@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({}, "nothing is known of the liquor"),
        ({"what": "peroxide"}, "how much permanganate went in is not told"),
        ({"used_l": 0.01}, "how much liquor was titrated is not told"),
        ({"used_l": 0.01, "drops": 200.0, "sample_l": 0.005}, "told as --used and as --drops"),
        ({"what": "metabisulfite", "used_l": 0.01, "sample_l": 0.005, "weighed_g": 1.0}, "volume once dissolved is not told"),
        ({"free_acid_mol_per_l": 1.2, "ph": 13.5}, "not on a curve from pH"),
        ({"copper_g": 20.0, "free_acid_mol_per_l": 1.2}, "no volume is told"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_cannot_be_read_says_why(told: dict[str, object], words: str) -> None:
    with pytest.raises(CannotFollow, match=words):
        run(**told)


def test_a_sample_larger_than_the_pot_is_refused() -> None:
    with pytest.raises(CannotFollow, match="more than the bath holds"):
        run([bath()], place=Place(), used_l=0.006, sample_l=3.0)


def test_a_pot_and_a_liquor_beside_it_are_refused() -> None:
    with pytest.raises(CannotFollow, match="was told --copper-strength beside it"):
        run([bath()], place=Place(), used_l=0.006, sample_l=0.005, copper_strength_g_per_l=80.0)


def test_caustic_is_no_acid_to_titrate() -> None:
    with pytest.raises(CannotFollow, match="no acid to titrate"):
        run([Pot("scrubber", 1.0, {"Na^+": 1.0, "OH^-": 1.0, "H2O": 55.0})], place=Place())


def test_a_powder_better_than_whole_is_doubted() -> None:
    step = run(what="metabisulfite", used_l=0.040, strength_mol_per_l=0.05, sample_l=0.010, weighed_g=1.0, made_up_l=0.100)
    assert [notice.code for notice in step.notices] == ["titration-over-whole"]


# ---- what holds for any reading
@settings(deadline=None, max_examples=30)
@given(
    what=st.sampled_from(sorted(WAYS)),
    used_ml=st.floats(0.0, 50.0),
    more_ml=st.floats(0.0, 10.0),
    sample_ml=st.floats(0.5, 50.0),
    strength=st.floats(0.01, 5.0),
)
def test_more_drops_never_mean_less(what: str, used_ml: float, more_ml: float, sample_ml: float, strength: float) -> None:
    def found(ml: float, times: float = 1.0) -> Range:
        told = {"used_l": times * ml / 1000, "sample_l": times * sample_ml / 1000, "strength_mol_per_l": strength}
        return run(what=what, **told).answer(WAYS[what].answer)

    few, many = found(used_ml), found(used_ml + more_ml)
    assert many.likely >= few.likely
    assert few.low <= few.likely <= few.high
    assert found(used_ml, times=2.0).likely == pytest.approx(few.likely)


@settings(deadline=None, max_examples=25)
@given(
    acid=st.floats(0.05, 8.0),
    metals=st.dictionaries(
        st.sampled_from(["copper", "nickel", "zinc", "iron", "iron_iii", "aluminium", "tin"]), st.floats(0.01, 60.0), max_size=4
    ),
)
@example(acid=8.0, metals={"aluminium": 60.0})
def test_whatever_is_sour_has_its_curve(acid: float, metals: dict[str, float]) -> None:
    told = {f"{metal}_strength_g_per_l": grams for metal, grams in metals.items()}
    (chart,) = run(free_acid_mol_per_l=acid, sample_l=0.005, strength_mol_per_l=1.0, **told).charts
    ml, ph = chart.series["pH"]
    assert ml[0] == 0
    assert list(ml) == sorted(ml)
    assert ph[-1] == pytest.approx(12.0, abs=0.2)
    # the acid at the least, and never more than every charge and a little over
    assert np.interp(7.0, ph, ml) > 0.97 * 5 * acid


def test_every_field_is_a_word_of_the_function() -> None:
    with pytest.raises(TypeError, match="takes no coffee"):
        run(coffee=1.0)
    assert len({field.arg for field in FIELDS}) == len(FIELDS)
