"""Parting: worked cases, a kilo of sterling, a whole run's parting, how far a charge reaches, and what must always hold."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.part import FIELDS, ROOM, choose, run
from refinekit.bench.part_nitric import nitric_for, reached
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.chemistry.solution import Solution
from refinekit.errors import CannotFollow, OutOfRange
from refinekit.ranges import Range, spread
from refinekit.shop.ask import lay, listen

DATA = Path(__file__).parent.parent / "data"
WORKED = {case["id"]: case for case in json.loads((DATA / "worked/area7.json").read_text())["cases"]}
STORIES = {one["id"]: one["expected"] for one in json.loads((DATA / "worked/stories.json").read_text())["stories"]}
RUN = {step["do"]: step["answers"] for step in json.loads((DATA / "run_karat.json").read_text())["steps"]}
AU, AG, CU, ZN, PD = 196.96657, 107.8682, 63.546, 65.38, 106.42  # CIAAW 2021
NITRIC = {"nitric": Solution.of("HNO3", "percent_ww", 68.0)}
UP_THE_HILL = Place(temperature_k=291.15, pressure_pa=0.85 * 101325)

# ---- worked cases: how each is told, and which answer each of its figures is
TOLD = {
    "7.02": {"gold_g": 58.3, "silver_g": 143.6, "copper_g": 31.3, "silver_left": 0.0},
    "7.03": {"weight_g": 100.0, "make": "sterling silver"},
    "7.12": {"weight_g": 58.9, "make": "990/10", "silver_left": 0.0},
}
ANSWERS = {
    "7.02": {"no_route": "nitric_no_route", "no2_route": "nitric_no2_route"},
    "7.03": {"no_route": "nitric_no_route", "no2_route": "nitric_no2_route", "no_gas": "gas_if_no", "no2_gas": "gas_if_no2"},
    "7.12": {"second_boil_no_route_min": "nitric_no_route", "silver_left": "silver_in_liquor"},
}


@pytest.mark.parametrize(
    ("case", "figure"),
    [pytest.param(case, figure, id=f"{case} {figure}: {WORKED[case]['source']}") for case in ANSWERS for figure in ANSWERS[case]],
)
def test_worked_cases(case, figure):
    wanted = WORKED[case]["answers"][figure]
    found = run(place=Place(), **NITRIC, **TOLD[case]).answer(ANSWERS[case][figure]).likely
    assert found == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


def test_all_figures_of_these_cases_are_looked_at():
    assert all(set(WORKED[case]["answers"]) == set(ANSWERS[case]) for case in ANSWERS)


def test_a_kilo_of_sterling():
    wanted = STORIES["S05"]
    step = run(place=Place(), weight_g=1000.0, make="sterling silver", **NITRIC)
    low_ml, high_ml = wanted["nitric_68_low_high_mL"]
    assert step.answer("nitric_no_route").likely == pytest.approx(low_ml, rel=5e-3)
    assert step.answer("nitric_no2_route").likely == pytest.approx(high_ml, rel=5e-3)
    low_l, high_l = wanted["gas_low_high_L"]
    assert step.answer("gas_if_no").likely == pytest.approx(low_l, rel=5e-3)
    assert step.answer("gas_if_no2").likely == pytest.approx(high_l, rel=5e-3)
    assert step.answer("vessel").likely >= 5000
    assert step.answer("goes").likely == 4
    assert any("split it into 4" in line for _, line in step.says)
    assert any("outdoors" in line and "hood with a scrubber" in line for _, line in step.says)


def test_sterling_takes_what_shops_pour():
    # common practice, no source: 120 to 125 mL of strong nitric for 100 g sterling, with equal water
    charge = run(place=Place(), weight_g=100.0, make="sterling silver", charge=1.0, **NITRIC).answer("nitric_charge").likely
    assert 118 <= charge <= 127


@pytest.mark.parametrize(
    ("metal", "gram_molecule", "parts", "bound_and_route"),
    [
        # published: old refiners' 149 parts of acid of SG 1.320 to 100 silver and 520 to 100 copper, Cyclopaedia of Useful Arts;
        # SG 1.320 is 50.7 % nitric (Perry), so 75.5 and 264 g of HNO3
        pytest.param("Ag", AG, 149, 4 / 3, id="silver, Cyclopaedia of Useful Arts"),
        pytest.param("Cu", CU, 520, 8 / 3, id="copper, Cyclopaedia of Useful Arts"),
    ],
)
def test_old_refiners_parts(metal, gram_molecule, parts, bound_and_route):
    acid_g = nitric_for({metal: 100 / gram_molecule}, 1.0) * 63.012 / 0.5171
    assert acid_g == pytest.approx(parts, rel=0.03)
    assert nitric_for({metal: 1.0}, 1.0) == pytest.approx(bound_and_route)


# ---- the parting of a whole run
def parting_of_the_run(place=UP_THE_HILL, **more):
    melt = Pot("inquart", solids_mol={"Au": 43.745 / AU, "Ag": 92.2815 / AG, "Cu": 36.7485 / CU, "Zn": 2.205 / ZN})
    told = {
        "no_share": 0.7,
        "silver_left": 0.006,
        "hold_ml_per_g": 0.5,
        "minutes_s": 1800.0,
        "nine_tenths_s": 720.0,
        "boils": "1",
    }
    return run((melt,), place=place, **NITRIC, **{**told, **more})


OF_THE_RUN = {
    "electrons_mol": "electrons",
    "nitric_no_route_mL": "nitric_no_route",
    "nitric_no2_route_mL": "nitric_no2_route",
    "nitric_at_x_mL": "nitric",
    "gas_low_no_L": "gas_if_no",
    "gas_high_no2_L": "gas_if_no2",
    "no_L": "nitric_oxide",
    "no2_L": "nitrogen_dioxide",
    "nitric_charge_mL": "nitric_charge",
    "nitric_left_mL": "nitric_left",
    "liquid_mL": None,
    "beaker_needed_mL": "vessel_needed",
    "beaker_mL": "vessel",
    "sponge_g": "sponge",
}


@pytest.mark.parametrize("figure", RUN["part"])
def test_the_parting_of_a_whole_run(figure):
    step = parting_of_the_run()
    found = 1000 * sum(pot.volume_l for pot in step.pots) if figure == "liquid_mL" else step.answer(OF_THE_RUN[figure]).likely
    assert found == pytest.approx(RUN["part"][figure]["value"], rel=RUN["part"][figure]["tolerance_rel"])


def test_the_fume_of_a_portion_of_that_run():
    step = parting_of_the_run()
    wanted = RUN["fume"]["no2_L_per_portion_worst"]
    assert step.answer("gas_of_portion").likely == pytest.approx(wanted["value"], rel=wanted["tolerance_rel"])
    peak = next(gas.peak_l_per_min for gas in step.gases if gas.formula == "NO2")
    assert peak == pytest.approx(RUN["fume"]["peak_no2_L_min_worst"]["value"], rel=0.01)


def test_sponge_first_with_its_liquor_then_the_silver():
    sponge, liquor = parting_of_the_run().pots
    assert (sponge.name, liquor.name) == ("sponge", "silver liquor")
    assert 1000 * sponge.volume_l == pytest.approx(RUN["rinse sponge"]["held_mL"]["value"], rel=0.01)
    assert set(sponge.solids_mol) == {"Au", "Ag"}
    assert liquor.mol("Ag^+") * AG == pytest.approx(92.2815 - 0.006 / 0.994 * 43.745, rel=0.05)
    assert "Au" not in liquor.solids_mol


def test_sterling_leaves_no_sponge():
    step = run(place=Place(), weight_g=100.0, make="sterling silver")
    assert [pot.name for pot in step.pots] == ["silver liquor"]


# ---- two boils
def test_a_second_boil_leaves_less_silver_and_more_free_acid():
    told = {"gold_g": 25.0, "silver_g": 65.0, "copper_g": 10.0, **NITRIC}
    one, two = (run(place=Place(), boils=boils, **told) for boils in ("1", "2"))
    assert two.answer("silver_left").likely < one.answer("silver_left").likely
    assert two.answer("nitric_left").likely > one.answer("nitric_left").likely
    # common practice, no source: 0.2 to 1 % silver stays
    assert two.answer("sponge_fineness").likely == pytest.approx(994, abs=4.1)
    assert [reagent.when for reagent in two.reagents][-1] == "second boil, not diluted"


# ---- how far a charge reaches
def test_a_short_charge_leaves_silver_with_the_gold():
    step = run(place=Place(), gold_g=25.0, silver_g=65.0, copper_g=10.0, nitric_added_l=0.05, boils="1", **NITRIC)
    assert [notice.code for notice in step.notices] == ["nitric-short"]
    assert step.answer("undissolved").likely > 1
    assert step.answer("nitric_left").likely == pytest.approx(0, abs=1e-9)
    assert step.pots[0].solid_g("Ag") > 30
    # all the copper is dissolved before the silver
    assert sum(pot.mol("Cu^2+") for pot in step.pots) == pytest.approx(10.0 / CU)


def test_the_basest_metal_dissolves_first():
    # 8/3 nitric to a zinc and to a copper, 4/3 to a silver
    done = reached({"Ag": 1.0, "Cu": 1.0, "Zn": 1.0}, 8 / 3 + 4 / 3, 1.0)
    assert done == pytest.approx({"Zn": 1.0, "Cu": 0.5, "Ag": 0.0})


def test_palladium_follows_the_silver_and_is_said():
    step = run(place=Place(), gold_g=25.0, silver_g=70.0, palladium_g=4.0)
    assert sum(pot.mol("Pd^2+") for pot in step.pots) == pytest.approx(4.0 / PD)
    assert any("palladium" in line for _, line in step.says)


@pytest.mark.parametrize("follows", [0.0, 0.2, 0.5])
def test_platinum_stays_with_the_gold_but_for_what_follows_the_silver(follows):
    step = run(place=Place(), gold_g=25.0, silver_g=70.0, platinum_g=1.0, platinum_parted=follows)
    sponge, liquor = step.pots
    assert sponge.solid_g("Pt") == pytest.approx(1.0 - follows)
    assert sum(pot.mol("Pt^4+") for pot in (sponge, liquor)) * 195.084 == pytest.approx(follows)
    assert any("platinum" in line for _, line in step.says)
    # 16/3 nitric to a platinum by nitric oxide, as 3 Pt + 16 HNO3 has it
    bare = run(place=Place(), gold_g=25.0, silver_g=70.0, **NITRIC).answer("nitric_no_route").likely
    kept = run(place=Place(), gold_g=25.0, silver_g=70.0, platinum_g=1.0, platinum_parted=follows, **NITRIC)
    more = 16 / 3 * follows / 195.084 * 1000 / NITRIC["nitric"].mol_per_l
    sponge_silver = kept.answer("silver_left").likely - 25 * 0.006 / 0.994  # the sponge's silver goes by its weight, platinum too
    less = 4 / 3 * sponge_silver / AG * 1000 / NITRIC["nitric"].mol_per_l
    assert kept.answer("nitric_no_route").likely == pytest.approx(bare + more - less, rel=1e-6)


def test_tin_ends_as_paste_in_the_sponge():
    sponge = run(place=Place(), gold_g=25.0, silver_g=70.0, tin_g=1.0).pots[0]
    assert sponge.solid_g("H2SnO3") == pytest.approx(1.0 * (118.71 + 2 * 1.008 + 3 * 15.999) / 118.71)


@pytest.mark.parametrize(
    ("told", "codes"),
    [
        ({"gold_g": 25.0, "silver_g": 75.0}, []),
        ({"gold_g": 58.0, "silver_g": 10.0, "copper_g": 32.0}, ["gold-too-rich-to-part"]),
        ({"gold_g": 99.0, "silver_g": 1.0}, []),
    ],
)
def test_gold_too_rich_is_warned_of_but_sponge_is_not(told, codes):
    assert [notice.code for notice in run(place=Place(), **told).notices] == codes


# ---- bad input
@pytest.mark.parametrize(
    ("told", "kind", "text"),
    [
        ({}, CannotFollow, "part finds no"),
        ({"gold_g": 4.0}, CannotFollow, "part finds no"),
        ({"gold_g": 4.0, "silver_g": 12.0, "silver_left": 1.0}, OutOfRange, "all silver is no sponge"),
    ],
)
def test_bad_input_says_what_to_do(told, kind, text):
    with pytest.raises(kind, match=text):
        run(place=Place(), **told)


def test_typed_as_a_person_types():
    told = listen(FIELDS, {"gold": "25 g", "silver": "65 g", "copper": "10 g", "nitric": "68 %", "boils": "1"}, label=str)
    assert told.faults == []
    assert set(told.facts) == {"practice/part.silver_left.one_boil", "practice/rinse.hold.gold"}
    figures, _ = lay(told, 1)
    left = run(place=Place(), **figures).answer("silver_left")
    assert [left.low, left.likely, left.high] == pytest.approx([25 * s / (1 - s) for s in (0.005, 0.01, 0.02)])


def test_the_inquart_is_taken_before_other_dry_goods():
    inquart, silver = Pot("inquart", solids_mol={"Au": 0.1, "Ag": 0.1}), Pot("goods", solids_mol={"Ag": 3.0})
    assert choose((silver, inquart)) == (inquart,)
    assert choose((silver, Pot("button", solids_mol={"Ag": 9.0}))) == (silver,)
    assert ROOM.name == "part"


@pytest.mark.parametrize("told", [{"gold_g": 25.0, "silver_g": 75.0}, {"weight_g": 100.0, "make": "sterling silver"}])
def test_every_answer_says_which_end_and_why(told):
    step = run(place=Place(), **told)
    assert all(one.sized_on and one.because for one in step.answers)
    assert len({one.name for one in step.answers}) == len(step.answers)
    assert all(one.key and one.when for one in step.reagents)
    assert {"vessel", "watch for", "how", "done when", "gear", "next"} <= {heading for heading, _ in step.says}
    assert {"nitric", "charge", "vessel"} <= {line.what for line in step.workings}


# ---- what must always hold
amounts = st.fixed_dictionaries(
    {metal: st.floats(0, 200) for metal in ("copper_g", "zinc_g", "nickel_g", "lead_g", "tin_g", "palladium_g")}
)


@given(st.floats(1, 100), st.floats(1, 300), amounts, st.floats(0, 1), st.floats(0.2, 2))
def test_every_metal_comes_out_somewhere(gold, silver, others, no_share, charge):
    step = run(place=Place(), gold_g=gold, silver_g=silver, no_share=no_share, charge=charge, **others)
    out = {symbol: sum(pot.element_g(symbol) for pot in step.pots) for symbol in ("Au", "Ag", "Cu", "Pd")}
    told = {"Au": gold, "Ag": silver, "Cu": others["copper_g"], "Pd": others["palladium_g"]}
    assert out == pytest.approx(told, rel=1e-9, abs=1e-9)


@given(st.floats(1, 100), st.floats(1, 300), st.floats(0, 50), st.floats(0, 1))
def test_more_metal_never_needs_less_nitric(silver, copper, more, no_share):
    assert nitric_for({"Ag": silver + more, "Cu": copper}, no_share) >= nitric_for({"Ag": silver, "Cu": copper}, no_share)
    assert nitric_for({"Ag": silver, "Cu": copper}, no_share) >= nitric_for({"Ag": silver, "Cu": copper}, 1.0) - 1e-9


@given(st.floats(1, 50), st.floats(1, 5))
def test_twice_the_flake_is_twice_the_parting(gold, times):
    one, more = (run(place=Place(), gold_g=n * gold, silver_g=3 * n * gold) for n in (1, times))
    for name in ("nitric_charge", "gas_if_no2", "sponge", "nitric_left"):
        assert more.answer(name).likely == pytest.approx(times * one.answer(name).likely)


@given(st.lists(st.floats(0.1, 100), min_size=2, max_size=5))
def test_cases_run_together_as_they_run_alone(copper):
    told = {"gold_g": 20.0, "silver_g": 60.0}
    together = run(place=Place(), copper_g=np.array(copper), **told).answer("nitric_left").cases
    alone = [run(place=Place(), copper_g=one, **told).answer("nitric_left").likely for one in copper]
    assert list(together) == pytest.approx(alone)


@given(st.floats(0, 1), st.floats(0, 1))
def test_ends_bound_what_lies_between(at_silver, at_share):
    told = {"gold_g": 20.0, "silver_g": Range(50.0, 60.0, 80.0), "no_share": Range(0.5, 0.7, 0.9)}
    whole = run(place=Place(), **spread(told))
    one = run(place=Place(), gold_g=20.0, silver_g=50 + 30 * at_silver, no_share=0.5 + 0.4 * at_share)
    for name in ("nitric", "nitric_charge", "nitrogen_dioxide", "sponge"):
        span = whole.answer(name)
        assert span.low - 1e-9 <= one.answer(name).likely <= span.high + 1e-9
