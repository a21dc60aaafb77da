"""The drop: worked cases, stories, two whole runs, every reductant, the alkali of oxalic, and what must always hold."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.drop import FIELDS, ROOM, choose, run
from refinekit.bench.drop_alkali import ALKALIS
from refinekit.bench.drop_ways import KEYS, way_of, ways
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.chemistry.solution import Solution
from refinekit.errors import CannotFollow, UnknownName
from refinekit.facts.load import table
from refinekit.ranges import Range, spread
from refinekit.shop.ask import lay, listen

DATA = Path(__file__).parent.parent / "data"
WORKED = {case["id"]: case for case in json.loads((DATA / "worked/area5.json").read_text())["cases"]}
WORKED |= {case["id"]: case for case in json.loads((DATA / "worked/area4.json").read_text())["cases"]}
STORIES = {story["id"]: story for story in json.loads((DATA / "worked/stories.json").read_text())["stories"]}
RUNS = {name: json.loads((DATA / f"run_{name}.json").read_text()) for name in ("fingers", "karat")}
NITRIC = Solution("HNO3", 0.68, 1.4048, "68 %")
CLEAN = {"goodness": 1.0, "excess": 1.0, "barren_gold_g_per_l": 0.0}
TEN = {"gold_g": 10.0, **CLEAN}

# ---- worked cases: how each is told to the drop, and which answer of it each figure is
BARE = {"needed": "gold_only", "per_gram_gold": "per_gram_gold"}
CASES = {
    "5.01": ({"reagent": "smb", **TEN}, BARE),
    "5.02": ({"reagent": "bisulfite", **TEN}, BARE),
    "5.03": ({"reagent": "sulfite", **TEN}, BARE),
    "5.04": ({"reagent": "sulfur-dioxide", **TEN}, BARE),
    "5.05": ({"reagent": "copperas", **TEN}, BARE),
    "5.06": ({"reagent": "oxalic", **TEN}, {**BARE, "co2": "co2"}),
    "5.08": ({"reagent": "hydrazine-sulfate", **TEN}, {**BARE, "n2": "n2"}),
    "5.09": ({"reagent": "formic", **TEN}, {**BARE, "co2": "co2"}),
    "5.10": ({"reagent": "zinc", **TEN}, BARE),
    "5.11": ({"reagent": "copper", **TEN}, BARE),
    "5.12": ({"reagent": "aluminium", **TEN}, BARE),
    "5.13": (
        {"gold_g": 1.8, "iron_iii_g": 2.0, "copper_g": 5.0, "nitric_left_l": 0.002, "nitric": NITRIC, **CLEAN},
        {
            "gold": "so2_gold",
            "iron": "so2_iron",
            "copper_if_overdone": "so2_copper_if_overdone",
            "nitric": "so2_nitric",
            "smb_gold_only": "gold_only",
            "smb_gold_iron_nitric": "gold_oxidants_iron",
            "smb_everything": "everything",
        },
    ),
    "5.15": ({"gold_g": 10.0, "excess": 1.5, "goodness": 0.85}, {"smb": "to_weigh"}),
    "5.16": (TEN, {"hcl": "hcl_set_free", "bisulfate": "bisulfate"}),
    "5.17": ({"reagent": "oxalic", "volume_l": 0.05, "free_acid_mol_per_l": 3.0, **TEN}, {"naoh": "alkali"}),
    "5.18": (
        {"reagent": "oxalic", "gold_g": 1.0, "copper_g": 2.0, **CLEAN},
        {"cuc2o4": "copper_oxalate", "oxalic_dihydrate_taken": "oxalic_for_copper"},
    ),
    "5.20": ({"gold_g": 1.0, "weigh_g": 1.0, "goodness": 0.97}, {"times_stoichiometric": "times_stoichiometric"}),
    "5.21": (
        {"reagent": "copperas", "gold_g": 1.0, "weigh_g": 4.0, "goodness": 1.0},
        {"times_stoichiometric": "times_stoichiometric"},
    ),
    "4.02": (
        {"gold_g": 1.0, "nitric_left_l": 0.005, "nitric": NITRIC, **CLEAN},
        {"so2": "so2_nitric", "no_gas": "nitric_oxide_gas"},
    ),
}


@pytest.mark.parametrize(
    ("case", "figure"),
    [
        pytest.param(case, figure, id=f"{case} {figure}: {WORKED[case]['source'][:60]}")
        for case, (_, figures) in CASES.items()
        for figure in figures
    ],
)
def test_worked_cases(case, figure):
    told, figures = CASES[case]
    wanted = WORKED[case]["answers"][figure]
    found = run((), place=Place(), **told).answer(figures[figure])
    assert found.likely == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


def test_every_worked_figure_of_the_drop_is_checked():
    for case in (case for case in WORKED if case.startswith("5.")):
        numbers = {name for name, answer in WORKED[case]["answers"].items() if not isinstance(answer["value"], str)}
        assert set(CASES[case][1]) == numbers


def test_four_of_copperas_to_one_of_gold_is_short():
    step = run((), place=Place(), **CASES["5.21"][0])
    assert [(notice.level, notice.code) for notice in step.notices] == [("warn", "reagent-short")]
    assert "short of stoichiometric: gold will be left" in step.notices[0].text
    assert step.answer("gold_left_in_barren").likely == pytest.approx(1000 * (1 - 4 / 4.23431), rel=1e-4)


def test_gram_for_gram_metabisulfite_is_enough():
    assert run((), place=Place(), **CASES["5.20"][0]).notices == ()


# ---- stories
DENOXED = {"gold_g": 1.8, "volume_l": 0.4, "excess": 1.5, "goodness": 1.0, "barren_gold_g_per_l": 0.0}


@pytest.mark.parametrize(
    ("story", "figure", "told", "answer"),
    [
        ("S01", "smb_stoichiometric_after_denox", DENOXED, "gold_only"),
        ("S01", "smb_to_weigh_at_1.5x", DENOXED, "to_weigh"),
        ("S01", "smb_if_nitric_not_removed", {**DENOXED, "nitric_left_l": 0.005, "nitric": NITRIC}, "gold_oxidants_iron"),
        ("S01", "so2_made_at_1.5x", DENOXED, "so2_made"),
        ("S01", "so2_unused_most", DENOXED, "so2_unused_gas"),
        ("S01", "beaker", DENOXED, "vessel"),
        ("S07", "smb", {"gold_g": 8.0, "goodness": 0.8, "excess": 1.5}, "to_weigh"),
        ("S08", "copperas", {"reagent": "copperas", "gold_g": 8.0, "goodness": 1.0, "excess": 1.5}, "to_weigh"),
        ("S08", "water", {"reagent": "copperas", "gold_g": 8.0, "goodness": 1.0, "excess": 1.5}, "dissolve_in"),
    ],
)
def test_stories(story, figure, told, answer):
    wanted = STORIES[story]["expected"][figure]["value"]
    assert run((), place=Place(), **told).answer(answer).likely == pytest.approx(wanted, rel=0.005)


# ---- the drop of two whole runs
def wanted_of(name, do):
    return next(step for step in RUNS[name]["steps"] if step["do"] == do)["answers"]


NITRIC_STILL_L = 0.136826e-3
FINGERS = {
    # gold, iron and copper of the foils, worked from the run's own figures: 0.99 x 2.14422 g less 0.285649 mg in the pulp
    "gold_g": 0.99 * 2.14422 - 0.000286,
    "iron_iii_g": 0.15,
    "copper_g": 0.506363,
    "nitric_left_l": NITRIC_STILL_L,
    "nitric": NITRIC,
    "volume_l": 0.433,
    "free_acid_mol_per_l": 1.0,
    "goodness": 0.97,
    "excess": 1.2,
    "dissolve_water_l": 0.030,
    "barren_gold_g_per_l": 0.005,
}
FINGER_ANSWERS = {
    "so2_gold_mmol": ("so2_gold", 1),
    "so2_nitric_mmol": ("so2_nitric", 1),
    "so2_iron_mmol": ("so2_iron", 1),
    "so2_copper_if_overdone_mmol": ("so2_copper_if_overdone", 1),
    "smb_gold_only_g": ("gold_only", 1),
    "smb_gold_oxidants_iron_g": ("gold_oxidants_iron", 1),
    "smb_everything_g": ("everything", 1),
    "smb_to_weigh_g": ("to_weigh", 1),
    "so2_made_mmol": ("so2_made", 1),
    "so2_unused_most_mmol": ("so2_unused", 1),
    "so2_unused_most_mL": ("so2_unused_gas", 1),
    "hcl_set_free_mmol": ("hcl_set_free", 1000),
    "gold_left_in_barren_mg": ("gold_left_in_barren", 1),
    "gold_powder_g": ("gold_powder", 1),
}


@pytest.mark.parametrize("figure", FINGER_ANSWERS)
def test_the_drop_of_a_run_of_fingers(figure):
    wanted, (answer, times) = wanted_of("fingers", "drop")[figure], FINGER_ANSWERS[figure]
    found = run((), place=Place(), **FINGERS).answer(answer).likely * times
    assert found == pytest.approx(wanted["value"], rel=wanted["tolerance_rel"])


def test_every_figure_of_that_drop_is_checked():
    assert set(FINGER_ANSWERS) == set(wanted_of("fingers", "drop"))


KARAT = {
    # gold of the sponge, 43.745 g, less 0.818 mg in the pulp; free acid as the run found it
    "reagent": "oxalic",
    "gold_g": 43.745 - 0.000818,
    "volume_l": 1.265,
    "free_acid_mol_per_l": 0.719987 / 1.265,
    "goodness": 1.0,
    "excess": 1.5,
    "alkali_goodness": 0.98,
    "dissolve_water_l": 0.0,
    "barren_gold_g_per_l": 0.003,
}
KARAT_ANSWERS = {
    "free_hcl_mol": "free_acid",
    "naoh_pearls_g": "alkali_to_weigh",
    "oxalic_bare_g": "gold_only",
    "oxalic_to_weigh_g": "to_weigh",
    "co2_L": "co2",
    "beaker_needed_mL": "vessel_needed",
    "beaker_mL": "vessel",
    "gold_powder_g": "gold_powder",
}


@pytest.mark.parametrize("figure", KARAT_ANSWERS)
def test_the_oxalic_drop_of_a_run_of_karat_scrap(figure):
    wanted = wanted_of("karat", "set acid, oxalic drop")[figure]
    place = Place(temperature_k=291.15, pressure_pa=0.85 * 101325)
    found = run((), place=place, **KARAT).answer(KARAT_ANSWERS[figure]).likely
    assert found == pytest.approx(wanted["value"], rel=max(wanted["tolerance_rel"], 1e-9))


def test_every_figure_of_that_oxalic_drop_is_checked():
    assert set(KARAT_ANSWERS) | {"ammonia_verdict"} == set(wanted_of("karat", "set acid, oxalic drop"))


# ---- every reductant
DIRTY = {
    "gold_g": 5.0,
    "iron_iii_g": 0.5,
    "copper_g": 1.0,
    "lead_g": 0.2,
    "palladium_g": 0.1,
    "platinum_g": 0.1,
    "silver_g": 0.01,
    "nitric_left_l": 0.001,
    "peroxide_left_mol": 0.002,
    "chlorine_left_mol": 0.002,
}


def test_the_ways_are_those_of_the_facts():
    assert tuple(row["key"] for row in table("practice/drop")["way"]) == KEYS == tuple(ways())


@pytest.mark.parametrize("key", KEYS)
def test_every_answer_has_a_name_of_its_own(key):
    step = run((), place=Place(), reagent=key, seen="purple", weigh_g=50.0, **DIRTY)
    names = [answer.name for answer in step.answers]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("key", KEYS)
def test_every_reductant_brings_the_gold_down(key):
    step = run((), place=Place(), reagent=key, **DIRTY)
    barren, powder = step.pots
    assert (barren.name, powder.name) == ("barren", "gold powder")
    assert powder.solid_g("Au") == pytest.approx(5.0, rel=1e-2)
    # what stays is the 5 mg to a litre of a stannous spot, in the liquor as it stood at the drop
    assert barren.element_g("Au") + powder.element_g("Au") == pytest.approx(5.0)
    assert step.answer("gold_left_in_barren").likely < 3
    assert step.answer("to_weigh").likely > step.answer("gold_only").likely


@pytest.mark.parametrize("key", KEYS)
def test_oxidants_are_gone_when_the_gold_is_down(key):
    barren = run((), place=Place(), reagent=key, **DIRTY).pots[0]
    assert [barren.mol(one) for one in ("Cl2", "H2O2", "NO3^-")] == pytest.approx([0, 0, 0], abs=1e-9)


@pytest.mark.parametrize("key", ["oxalic", "formic"])
def test_alkali_leaves_no_acid_and_no_caustic_to_speak_of(key):
    # a clean liquor: the acid it had and the acid of the drop are met to the mole
    step = run((), place=Place(), reagent=key, gold_g=10.0, volume_l=0.2, free_acid_mol_per_l=1.0, **CLEAN)
    barren, powder = step.pots
    assert barren.mol("H^+") + barren.mol("OH^-") == pytest.approx(0, abs=1e-6)
    assert barren.mol("Na^+") + powder.mol("Na^+") == pytest.approx(0.2 + 4 * 10 / 196.96657, rel=1e-6)


def test_potash_does_as_well_as_caustic():
    by = {
        alkali: run((), place=Place(), reagent="oxalic", gold_g=10.0, alkali=alkali, alkali_goodness=1.0).answer("alkali").likely
        for alkali in ("caustic", "potash")
    }
    assert by["potash"] / by["caustic"] == pytest.approx(56.1056 / 39.9971, rel=1e-4)


def test_ammonia_as_the_alkali_stays_in_the_pot_for_all_to_see():
    step = run((), place=Place(), reagent="oxalic", gold_g=10.0, volume_l=0.05, free_acid_mol_per_l=3.0, alkali="ammonia")
    barren = step.pots[0]
    assert barren.mol("NH4^+") > 0.1
    assert barren.marks == {"ammonium": "drop"}
    assert any("never" not in line and "ammonia on gold chloride makes fulminating gold" in line for _, line in step.says)


def test_ammonia_is_offered_only_to_be_refused():
    assert tuple(ALKALIS) == ("caustic", "potash", "ammonia")


# ---- the order of attack
def test_who_eats_it_stands_in_order():
    rows = run((), place=Place(), **DIRTY).tables[0].rows
    words = [row[0].split(" (")[0].split(",")[0] for row in rows]
    assert words == ["chlorine", "peroxide", "nitric acid", "gold", "iron(III)", "platinum", "palladium", "copper"]
    assert [row[0] for row in rows if "only if overdone" in row[0]] == [row[0] for row in rows[5:]]


def test_a_reagent_too_small_is_eaten_by_the_oxidant_first():
    # 15.16 mmol nitric wants 2.161 g of metabisulfite, by hand: 0.75 x 15.16 mmol x 190.107 g/mol
    told = {"gold_g": 5.0, "nitric_left_l": 0.001, "nitric": NITRIC, "goodness": 1.0}
    short = run((), place=Place(), weigh_g=2.0, **told)
    assert short.answer("gold_powder").likely == 0
    assert short.answer("times_stoichiometric").likely == 0
    just = run((), place=Place(), weigh_g=2.1615 + 0.723833, **told)
    assert just.answer("gold_powder").likely == pytest.approx(1.0, rel=1e-3)


def test_sleeping_nitric_takes_nothing():
    told = {"gold_g": 5.0, "nitric_left_l": 0.001, "nitric": NITRIC, "goodness": 0.97}
    step = run((), place=Place(), **told)
    awake, asleep = step.answer("to_weigh").likely, step.answer("to_weigh_if_nitric_sleeps").likely
    assert awake - asleep == pytest.approx(0.75 * 15.16e-3 * 190.107 / 0.97, rel=1e-3)
    assert asleep == pytest.approx(run((), place=Place(), gold_g=5.0, goodness=0.97).answer("to_weigh").likely)


def test_nitric_that_eats_the_reagent_fumes_brown():
    step = run((), place=Place(), gold_g=5.0, nitric_left_l=0.001, nitric=NITRIC)
    fume = next(gas for gas in step.gases if gas.formula == "NO")
    assert fume.mol.likely == pytest.approx(0.01516, rel=1e-3)
    assert any("brown fume" in line for heading, line in step.says if heading == "watch for")


def test_a_clean_liquor_has_no_brown_fume():
    step = run((), place=Place(), gold_g=5.0)
    assert [gas.formula for gas in step.gases] == ["SO2"]
    assert "to_weigh_if_nitric_sleeps" not in [answer.name for answer in step.answers]


# ---- metals
def test_spare_zinc_lies_with_the_gold_or_makes_hydrogen():
    step = run((), place=Place(), reagent="zinc", gold_g=10.0, goodness=1.0, excess=1.5, barren_gold_g_per_l=0.0)
    spare = 0.5 * 4.97902
    assert step.pots[1].solid_g("Zn") == pytest.approx(spare, rel=1e-4)
    assert step.answer("metal_left").high == pytest.approx(spare, rel=1e-4)
    hydrogen = step.answer("hydrogen")
    # 24.465 L/mol: one hydrogen to a zinc
    assert (hydrogen.low, hydrogen.high) == pytest.approx((0, spare / 65.38 * 24.465), rel=1e-3)


def test_copper_makes_no_hydrogen():
    step = run((), place=Place(), reagent="copper", gold_g=10.0)
    assert step.gases == ()
    assert any("boil the powder in hydrochloric" in line for _, line in step.says)


def test_a_metal_takes_every_noble_metal():
    step = run((), place=Place(), reagent="zinc", **DIRTY)
    powder = step.pots[1]
    assert [powder.solid_g(metal) for metal in ("Pd", "Pt", "Ag")] == pytest.approx([0.1, 0.1, 0.01], rel=1e-6)


def test_metabisulfite_leaves_the_other_noble_metals():
    barren = run((), place=Place(), **DIRTY).pots[0]
    assert barren.element_g("Pd") == pytest.approx(0.1, rel=0.05)
    assert barren.element_g("Cu") == pytest.approx(1.0, rel=0.05)


def test_lead_and_copper_fall_as_oxalate():
    step = run((), place=Place(), reagent="oxalic", **{**DIRTY, "excess": 2.0})
    powder = step.pots[1]
    assert powder.solid_g("PbC2O4") == pytest.approx(0.2 * 295.2 / 207.2, rel=1e-3)
    assert powder.solid_g("CuC2O4") == pytest.approx(4.77021 / 2, rel=0.01)


# ---- a liquor other than formic is weighed; formic acid is poured
def test_formic_acid_is_measured_out_by_its_label():
    told = {"reagent": "formic", "gold_g": 10.0, "excess": 1.0}
    # 3.50504 g of pure acid for 10 g gold, over the bottle's share and density, by hand
    step = run((), place=Place(), formic=Solution("CH2O2", 0.50, 1.1207, "50 %"), **told)
    assert step.answer("to_weigh").likely == pytest.approx(3.50504 / 0.50, rel=1e-4)
    assert step.answer("to_pour").likely == pytest.approx(3.50504 / 0.50 / 1.1207, rel=1e-4)
    assert step.pots[0].inert_g == 0


def test_what_is_no_longer_good_stays_in_the_liquor():
    step = run((), place=Place(), gold_g=8.0, goodness=0.8, excess=1.5)
    assert step.pots[0].inert_g == pytest.approx(10.8575 * 0.2, rel=1e-4)


# ---- the spot
@pytest.mark.parametrize(
    ("seen", "left", "words"),
    [
        ("purple", 0.0, "add the next quarter"),
        ("black", 0.0, "much gold"),
        ("yellow-brown", 0.0, "palladium"),
        ("orange-red", 0.0, "platinum"),
        ("nothing", 0.0, "no gold is left: done"),
        ("nothing", 0.005, "cannot say"),
    ],
)
def test_what_the_stannous_spot_says(seen, left, words):
    step = run((), place=Place(), gold_g=2.0, nitric_left_l=left, weigh_g=3.0, seen=seen)
    assert any(words in line for heading, line in step.says if heading == "the spot")


# ---- edges
@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("gold_g", [1e-9, 1e-3, 1e6])
def test_specks_and_loads_of_gold(key, gold_g):
    step = run((), place=Place(), reagent=key, gold_g=gold_g)
    assert all(np.isfinite([a.range.low, a.range.high]).all() and a.range.low >= 0 for a in step.answers)
    assert all(reagent.to_take >= 0 for reagent in step.reagents)


def test_perhaps_no_gold_at_all():
    step = run((), place=Place(), volume_l=0.4, weigh_g=2.0, **spread({"gold_g": Range(0.0, 1.0, 2.0)}))
    assert step.answer("gold_powder").low == 0
    assert step.answer("times_stoichiometric").low == 0


@pytest.mark.parametrize(
    ("pots", "told", "words"),
    [
        ((), {}, "nothing to work on"),
        ((), {"gold_g": 0.0}, "no dissolved gold"),
        ((Pot("foils", solids_mol={"Au": 0.01}),), {}, "no dissolved gold"),
        ((Pot("liquor", 0.1, {"AuCl4^-": 0.01, "H^+": 0.01}),), {"gold_g": 2.0}, "was told --gold beside it"),
        ((Pot("liquor", 0.1, {"AuCl4^-": 0.01, "H^+": 0.01}),), {"nitric_left_l": 0.0}, "was told --nitric-left beside it"),
    ],
)
def test_what_cannot_be_dropped_is_said(pots, told, words):
    with pytest.raises(CannotFollow, match=words):
        run(pots, place=Place(), **told)


def test_an_unknown_reductant_is_met_with_the_nearest():
    with pytest.raises(UnknownName, match=r"no reductant for gold\n  Try: did you mean 'oxalic'"):
        run((), place=Place(), reagent="oxalick", gold_g=1.0)


def test_the_richest_liquor_is_chosen():
    poor, rich = (Pot(name, 1.0, {"AuCl4^-": mol, "H^+": mol}) for name, mol in (("poor", 0.001), ("rich", 0.1)))
    assert choose((poor, rich, Pot("goods", solids_mol={"Au": 1.0}))) == (rich,)


@pytest.mark.parametrize(
    ("texts", "facts"),
    [
        ({}, {"reagents.reagent.smb.goodness"}),
        ({"reagent": "copperas"}, {"reagents.reagent.copperas.goodness"}),
        ({"reagent": "oxalic"}, {"reagents.reagent.oxalic.goodness", "reagents.reagent.caustic.goodness"}),
        ({"reagent": "oxalic", "alkali": "potash"}, {"reagents.reagent.oxalic.goodness", "reagents.reagent.potash.goodness"}),
        ({"reagent": "sulfur-dioxide"}, set()),
    ],
)
def test_what_stands_in_for_goodness(texts, facts):
    told = listen(FIELDS, texts, label=str)
    assert {fact for fact in told.facts if fact.startswith("reagents")} == facts


def test_the_rooms_own_example_runs():
    figures, _ = lay(listen(ROOM.fields, {"gold": "2.1 g", "iron-iii": "0.15 g", "volume": "430 mL"}, label=str), 1)
    assert run((), place=Place(), **figures).answer("gold_powder").likely == pytest.approx(2.1, rel=2e-3)


# ---- what must always hold
AMOUNT = st.floats(1e-3, 50.0)


@given(AMOUNT, AMOUNT, st.sampled_from(KEYS))
def test_more_gold_never_wants_less(one, other, key):
    few, many = sorted((one, other))
    weighed = [run((), place=Place(), reagent=key, gold_g=gold).answer("to_weigh").likely for gold in (few, many)]
    assert weighed[0] <= weighed[1]


@given(AMOUNT, st.floats(0, 5), st.floats(0, 0.005), st.sampled_from(KEYS))
def test_a_double_lot_wants_double(gold, iron, nitric, key):
    def step(times):
        told = {"gold_g": gold * times, "iron_iii_g": iron * times, "nitric_left_l": nitric * times, "volume_l": 0.5 * times}
        return run((), place=Place(), reagent=key, **told)

    names = ("to_weigh", "gold_powder", "everything")
    assert [2 * step(1).answer(name).likely for name in names] == pytest.approx([step(2).answer(name).likely for name in names])


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_corners_bound_every_point_inside(a, b, c):
    ends = {"gold_g": Range(1.0, 2.0, 4.0), "nitric_left_l": Range(0.0, 0.0005, 0.003), "goodness": Range(0.8, 0.97, 0.99)}
    told = {"place": Place(), "iron_iii_g": 0.2, "volume_l": 0.4, "dissolve_water_l": 0.05}
    step = run((), **told, **spread(ends))
    inner = {name: span.low + share * (span.high - span.low) for (name, span), share in zip(ends.items(), (a, b, c), strict=True)}
    point = run((), **told, **inner)
    for name in ("to_weigh", "gold_powder", "so2_unused", "so2_made"):
        bound = step.answer(name)
        assert bound.low - 1e-9 <= point.answer(name).likely <= bound.high + 1e-9
        assert bound.low <= bound.likely <= bound.high


def test_way_of_says_how_much_to_a_gold():
    # mol to a gold: 0.75 metabisulfite, 3 copperas, 1.5 oxalic, 1 aluminium, from the trade's equations
    keys = ("smb", "copperas", "oxalic", "aluminium")
    assert [way_of(key).reagent_per_gold for key in keys] == [0.75, 3.0, 1.5, 1.0]
