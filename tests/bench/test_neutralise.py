"""Neutralising by the plain rule: worked cases, the waste of a run of fingers, heat, gas, what is said and refused."""

import json
from pathlib import Path

import pytest

from refinekit.bench.neutralise import FIELDS, ROOM, choose, run
from refinekit.bench.neutralise_need import takers
from refinekit.bench.neutralise_water import floor_mg_per_l
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.chemistry.solution import Solution
from refinekit.errors import CannotFollow, OutOfRange

DATA = Path(__file__).parent.parent / "data"
WORKED = {case["id"]: case for case in json.loads((DATA / "worked/area10.json").read_text())["cases"]}
FINGERS = {step["do"]: step["answers"] for step in json.loads((DATA / "run_fingers.json").read_text())["steps"]}
CHARGE = {"by": "charge"}
COLD_LIQUOR = Solution.of("NaOH", "percent_ww", 50.0)

# 6 mol of the 50 % liquor fill 0.3147 L (19.07 mol/L): 5 L at the end are 4.685 L before
TOLD = {
    "10.02": {"volume_l": 4.0, "free_acid_mol_per_l": 1.5, "copper_g": 66.0, "nickel_g": 7.5},
    "10.04": {"volume_l": 4.6853, "acid_mol": 6.0, "reagent": "caustic-liquor", "caustic_strength": COLD_LIQUOR},
    "10.04 pearls": {"volume_l": 5.0, "acid_mol": 6.0},
    "10.09": {"volume_l": 5.0, "copper_g": 66.0, "limits": "pses_433"},
    "10.12": {"volume_l": 5.0, "acid_mol": 6.0, "reagent": "bicarbonate"},
}
ANSWERS = {
    ("10.02", "alkali"): ("10.02", "alkali"),
    ("10.02", "naoh"): ("10.02", "caustic"),
    ("10.04", "rise_solution"): ("10.04", "rise_acid"),
    ("10.04", "rise_pearls"): ("10.04 pearls", "rise"),
    ("10.09", "allowed"): ("10.09", "copper_allowed"),
    ("10.09", "removal_needed"): ("10.09", "copper_removal_needed"),
    ("10.12", "bicarb"): ("10.12", "bicarbonate"),
    ("10.12", "co2"): ("10.12", "co2"),
}


@pytest.mark.parametrize(("case", "figure"), [pytest.param(c, f, id=f"{c} {f}: {WORKED[c]['source'][:60]}") for c, f in ANSWERS])
def test_worked_cases(case, figure):
    told, name = ANSWERS[case, figure]
    wanted = WORKED[case]["answers"][figure]
    found = run(place=Place(), **CHARGE, **TOLD[told]).answer(name).likely
    assert found == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


def test_a_limit_is_said_to_be_no_permit():
    step = run(**CHARGE, **TOLD["10.09"])
    assert any("not a permit" in line for _, line in step.says)
    assert any("Part 421" in line for _, line in step.says)


@pytest.mark.parametrize(
    ("case", "figure", "element", "ph"),
    [("10.06", "copper", "Cu", 9), ("10.07", "pH8", "Ni", 8), ("10.07", "pH9", "Ni", 9), ("10.07", "pH10", "Ni", 10)],
)
def test_floors_of_clean_water(case, figure, element, ph):
    wanted = WORKED[case]["answers"][figure]
    assert floor_mg_per_l(element, ph) == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


@pytest.mark.parametrize(("element", "word"), [("Cu", "copper"), ("Ni", "nickel")])
def test_the_low_end_of_what_stays_dissolved_is_the_floor(element, word):
    found = run(**CHARGE, **TOLD["10.02"], ph=9.0).answer(f"{word}_dissolved")
    assert found.low == pytest.approx(floor_mg_per_l(element, 9.0))
    assert found.high == pytest.approx(10 * found.low)  # common practice, no source: real liquors are worse by 2 to 10


# ---- the waste of a run of fingers
FIGURES = {
    "free_acid_mol": "free_acid",
    "alkali_mol": "alkali",
    "naoh_g": "caustic_liquor_pure",
    "naoh_liquor_mL": "caustic_liquor",
    "heat_kJ": "heat_acid",
    "rise_K": "rise_acid",
    "sludge_dry_g": "sludge_dry",
    "gel_L_at_2pct": "gel",
    "cake_kg_at_25pct": "cake",
    "co2_L": "co2",
    "drum_L": "drum",
    "drum_kg": "drum_weight",
}


@pytest.mark.parametrize("figure", FIGURES)
def test_the_waste_of_a_run_of_fingers(figure):
    # the liquor iron leaves: 30 mg/L copper, the nickel of the bleed, and the iron that went in, as iron(II)
    step = run(
        **CHARGE,
        volume_l=2.474,
        acid_mol=2.13275,
        copper_g=0.07422,
        nickel_g=1.34106,
        iron_g=35.7133,
        reagent="caustic-liquor",
        caustic_strength=Solution.of("NaOH", "percent_ww", 30.0),
        gel_solids=0.02,
        cake_solids=0.25,
        drum_density_g_per_ml=1.06,
    )
    wanted = FINGERS["neutralise"][figure]
    assert step.answer(FIGURES[figure]).likely == pytest.approx(wanted["value"], rel=wanted["tolerance_rel"] or 1e-9)


# ---- the need, metal by metal
@pytest.mark.parametrize(
    ("species", "alkali"),
    [
        ("H^+", 1),
        ("Cu^2+", 2),
        ("Ni^2+", 2),
        ("Zn^2+", 2),
        ("Pb^2+", 2),
        ("Cd^2+", 2),
        ("Fe^2+", 2),
        ("Fe^3+", 3),
        ("Al^3+", 3),
        ("Cr^3+", 3),
        ("Sn^4+", 4),
        ("CuCl2^-", 1),
        ("NH4^+", 1),
        ("SO2", 2),
    ],
)
def test_alkali_is_the_charge_of_each(species, alkali):
    # charge of the ion; sulfur dioxide makes sulfite
    assert next(taker for taker in takers() if taker.species == species).alkali == alkali


@pytest.mark.parametrize(
    ("reagent", "grams_per_mol_alkali"),
    [
        ("caustic", 40.0),
        ("lime", 37.0),
        ("soda-ash", 53.0),
        ("bicarbonate", 84.0),
        ("magnesium-hydroxide", 29.2),
        ("potash", 56.1),
    ],
)
def test_grams_of_each_alkali_for_a_mole_of_acid(reagent, grams_per_mol_alkali):
    step = run(**CHARGE, volume_l=1.0, acid_mol=1.0, reagent=reagent)
    found = step.answer(reagent.replace("-", "_")).likely
    assert found == pytest.approx(grams_per_mol_alkali, rel=0.003)  # molar masses, CIAAW 2021


def test_the_safe_figure_says_how_much_more_than_will_be_used():
    step = run(**CHARGE, volume_l=1.0, copper_strength_g_per_l=63.546)
    # a molar copper chloride: 2 alkali by charge, 1.5 as basic chloride: a third more
    assert step.answer("alkali").likely == pytest.approx(2.0, rel=1e-4)
    assert step.answer("alkali_expected").likely == pytest.approx(1.5, rel=1e-4)
    assert step.answer("alkali_to_spare").likely == pytest.approx(100 / 3, rel=1e-3)
    nitric = run(**CHARGE, volume_l=1.0, copper_strength_g_per_l=63.546, acid_mol=1.0, acid_kind="nitric")
    assert "alkali_expected" not in [answer.name for answer in nitric.answers]


# ---- heat
@pytest.mark.parametrize(
    ("reagent", "kj_per_mol"),
    [
        # standard enthalpies of formation (CRC): strong acid with each dry alkali
        ("lime", 64.6),
        ("soda-ash", 14.4),
        ("bicarbonate", -31.4),
        ("magnesium-hydroxide", 57.0),
        ("potash", 57.1 + 57.8),
        ("caustic", 57.1 + 44.5),
    ],
)
def test_heat_of_each_alkali(reagent, kj_per_mol):
    assert run(**CHARGE, volume_l=10.0, acid_mol=1.0, reagent=reagent).answer("heat").likely == pytest.approx(
        kj_per_mol, rel=0.01
    )


def test_metals_falling_give_heat_too():
    # Cu^2+ + 2 OH^- -> Cu(OH)2: -449.8 - 64.8 + 2 x 230.0 = -54.6 kJ/mol (CRC)
    step = run(**CHARGE, volume_l=10.0, copper_g=63.546, acid_mol=1.0, reagent="caustic-liquor")
    assert step.answer("heat_metals").likely == pytest.approx(54.6, rel=1e-3)


def test_strong_acid_with_pearls_wants_ice_or_water():
    step = run(**CHARGE, volume_l=4.0, free_acid_mol_per_l=3.0)
    # 12 mol x 101.6 kJ = 1219 kJ; 4 L x 4.18 x 35 K = 585 kJ; the rest by ice at 334 + 4.18 x 60 J/g
    assert step.answer("ice").likely == pytest.approx((1219.2 - 585.2) / (334 + 4.18 * 60), rel=0.01)
    # 1219 kJ / (4.18 x 35 K) = 8.33 L in all
    assert step.answer("dilution_water").likely == pytest.approx(4.33, rel=0.01)
    assert any("pause at 60 C" in line for heading, line in step.says if heading == "watch for")
    mild = run(**CHARGE, volume_l=4.0, free_acid_mol_per_l=0.5)
    assert "ice" not in [answer.name for answer in mild.answers]


# ---- gas
def test_gas_of_a_carbonate_lies_between_acid_alone_and_all():
    step = run(**CHARGE, volume_l=4.0, acid_mol=2.0, copper_g=63.546, reagent="soda-ash")
    gas = step.gases[0]
    # soda ash: one carbon dioxide to two alkali; 2 of acid and 2 of copper
    assert (gas.mol.low, gas.mol.high) == pytest.approx((1.0, 2.0))
    assert step.answer("froth").high == pytest.approx(40.0)  # common practice, no source: up to ten times the liquor


def test_a_full_bucket_is_pointed_out():
    step = run(**CHARGE, volume_l=9.3, free_acid_mol_per_l=1.1, reagent="bicarbonate", vessel_l=10.0)
    assert step.answer("headspace").likely == pytest.approx(0.7)
    assert any("froth runs over" in line for heading, line in step.says if heading == "watch for")


# ---- pots
def test_iron_browns_with_the_oxygen_of_the_air():
    step = run(**CHARGE, volume_l=1.0, iron_g=55.845, acid_mol=0.1)
    sludge = next(pot for pot in step.pots if pot.name == "sludge")
    assert sludge.solid_mol("FeO3H3") == pytest.approx(1.0)
    assert next(stream for stream in step.ins if "air" in stream.name).amounts_mol["O2"] == pytest.approx(0.25)


def test_lime_on_sulfate_makes_gypsum():
    step = run(**CHARGE, volume_l=1.0, acid_mol=2.0, acid_kind="sulfuric", reagent="lime")
    sludge = next(pot for pot in step.pots if pot.name == "sludge")
    assert sludge.solid_mol("CaSO4.2H2O") == pytest.approx(1 - 0.0153, rel=1e-6)
    caustic = run(**CHARGE, volume_l=1.0, acid_mol=2.0, acid_kind="sulfuric")
    assert [pot.name for pot in caustic.pots] == ["neutral liquor"]


def test_gel_takes_the_liquor_with_it_and_the_rest_is_clear():
    step = run(**CHARGE, volume_l=10.0, copper_g=10.0, acid_mol=1.0, gel_solids=0.02)
    pots = {pot.name: pot for pot in step.pots}
    gel = 10.0 * 97.561 / 63.546 / 1000 / 0.02
    assert pots["sludge"].volume_l == pytest.approx(gel, rel=1e-4)
    assert pots["neutral liquor"].volume_l == pytest.approx(10 - gel, rel=1e-4)
    assert pots["neutral liquor"].free_acid_mol == pytest.approx(0, abs=1e-12)


def test_all_of_a_rich_pot_turns_to_gel():
    step = run(**CHARGE, volume_l=4.0, copper_strength_g_per_l=60.0, acid_mol=1.0)
    assert [pot.name for pot in step.pots] == ["sludge"]


def test_which_pots_it_takes():
    pots = (
        Pot("bath", 3.0, {"H^+": 9.0, "Cl^-": 9.0}),
        Pot("iron liquor", 2.0, {"H^+": 1.0, "Fe^2+": 0.5, "Cl^-": 2.0}),
        Pot("neutral liquor", 5.0, {"Na^+": 1.0, "Cl^-": 1.0}),
        Pot("scrubber", 5.0, {"Na^+": 1.0, "OH^-": 1.0}),
    )
    assert [pot.name for pot in choose(pots)] == ["iron liquor"]
    assert [pot.name for pot in choose(pots[:1])] == ["bath"]


# ---- stages, mixtures
def test_lime_first_then_caustic():
    step = run(**CHARGE, volume_l=10.0, acid_mol=5.0, copper_g=63.546, reagent="lime", second_reagent="caustic", first_ph=4.5)
    # to pH 4.5 the acid alone, 5 mol: 185 g of lime; then 2 mol for the copper: 80 g of caustic
    assert step.answer("lime").likely == pytest.approx(5 / 2 * 74.09, rel=1e-3)
    assert step.answer("second_caustic").likely == pytest.approx(80.0, rel=1e-3)


def test_two_alkalis_mixed():
    step = run(**CHARGE, volume_l=10.0, acid_mol=5.0, reagent="lime", second_reagent="soda-ash", second_share=0.4)
    assert step.answer("lime").likely == pytest.approx(1.5 * 74.09, rel=1e-3)
    assert step.answer("second_soda_ash").likely == pytest.approx(105.99, rel=1e-3)


def test_a_first_ph_past_the_target_is_refused():
    with pytest.raises(OutOfRange, match="past the target 8"):
        run(**CHARGE, volume_l=1.0, acid_mol=1.0, reagent="lime", second_reagent="caustic", first_ph=9.0, ph=8.0)


# ---- portions
def test_portions_rise_to_the_target():
    step = run(**CHARGE, **TOLD["10.02"])
    rows = next(table for table in step.tables if table.title == "portions").rows
    reached = [row[-1] for row in rows]
    assert reached == sorted(reached)
    assert reached[-1] == pytest.approx(10.0)
    # one mol/L of acid left after a third of the 1.5: pH 0 when 2 of 6 mol are gone, by the definition of pH
    assert reached[2] == pytest.approx(0.06, abs=0.05)


def test_first_portion_is_rounded_down_and_the_whole_up():
    first, whole = run(**CHARGE, **TOLD["10.02"]).reagents
    assert (first.rounding, first.counts) == ("down", False)
    assert (whole.rounding, whole.counts) == ("up", True)
    assert first.to_take < whole.bare.likely < whole.to_take


# ---- what is said
@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"lead_g": 1.0}, "lead: never promised from hydroxide alone"),
        ({"cadmium_g": 1.0}, "cadmium: never promised"),
        ({"ammonium_mol_per_l": 0.2, "copper_g": 1.0}, "holds copper and nickel; a blue liquor above pH 9"),
        ({"copper_g": 1.0}, "a blue liquor above pH 9"),
        ({"reagent": "lime"}, "seems done before it is: it goes on dissolving"),
        ({"reagent": "soda-ash"}, "seems done before it is: gas"),
        ({"reagent": "caustic"}, "pearls spit"),
    ],
)
def test_what_to_watch_for(told, words):
    step = run(**CHARGE, **{"volume_l": 2.0, "acid_mol": 1.0, **told})
    assert any(words in line for heading, line in step.says if heading == "watch for")


def test_too_far_brings_zinc_aluminium_and_lead_back():
    step = run(**CHARGE, volume_l=2.0, acid_mol=1.0, zinc_g=5.0, aluminium_g=2.0, lead_g=1.0, ph=9.0)
    table = next(table for table in step.tables if table.title.startswith("too far"))
    assert table.columns == ("pH", "zinc mg/L", "aluminium mg/L", "lead mg/L")
    # WATEQ4F: zincate, Zn(OH)2 + 2 OH^-: 12.45 - 2 x 12 + (-41.2 + 4 x 12) against 10 and less, by hand 10.8 and 2.4 mg/L
    zinc = {row[0]: row[1] for row in table.rows}
    assert (zinc[10.0], zinc[12.0]) == (pytest.approx(2.42, rel=0.01), pytest.approx(10.8, rel=0.01))
    assert list(zinc) == [9.0 + 0.5 * step for step in range(9)]


def test_every_answer_says_what_it_was_sized_on():
    step = run(**CHARGE, **TOLD["10.02"])
    assert all(answer.sized_on and answer.because for answer in step.answers)
    assert step.workings
    assert ROOM.example.startswith("refinekit neutralise ")


# ---- refusals
@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({}, "no liquor to work on"),
        ({"volume_l": 1.0, "nitrate_mol_per_l": 0.0, "acid_mol": 0.0}, "neither acid nor metal"),
        ({"free_acid_mol_per_l": 1.0}, "no volume is told"),
    ],
)
def test_what_cannot_be_done(told, words):
    with pytest.raises(CannotFollow, match=words):
        run(**CHARGE, **told)


def test_more_anions_than_cations_are_refused():
    with pytest.raises(OutOfRange, match="more nitrate, sulfate and chloride than metals and acid"):
        run(**CHARGE, volume_l=1.0, acid_mol=0.1, sulfate_mol_per_l=1.0)


def test_fields_have_no_two_of_a_name():
    names = [field.arg for field in FIELDS]
    assert len(names) == len(set(names))
