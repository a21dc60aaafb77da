"""Fineness: bars weighed in water, cornets and beads, karat and percent, lawful stamps, and what cannot be told."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from refinekit.bench.fineness import FIELDS, ROOM, choose, run
from refinekit.bench.fineness_sums import cornet_fineness, density_by_water, gold_share, grade_of_bead, mixture_density
from refinekit.bench.lot_metals import karat_of
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.chemistry.density import water_g_per_ml
from refinekit.errors import BadQuantity, CannotFollow, OutOfRange
from refinekit.ranges import Range, spread
from refinekit.shop.ask import listen

DATA = Path(__file__).parent.parent / "data"
WORKED = {
    case["id"]: case for area in ("area1", "area8") for case in json.loads((DATA / f"worked/{area}.json").read_text())["cases"]
}
STORIES = {one["id"]: one["expected"] for one in json.loads((DATA / "worked/stories.json").read_text())["stories"]}
AT = 29.166666666666668  # assay ton of the short ton, by definition 29166.67 mg: one for each troy ounce in it

# ---- worked cases: how each is told, and which answer each of its figures is
TOLD = {
    "8.03": [{"air_g": 25.0, "water_g": 23.65, "water_temperature_k": 298.15}],
    "8.04": [{"make": "583/104/313"}],
    "8.10": [{"sample_g": 29.1667, "bead_g": 0.850e-3}],
    "1.06": [{"fineness": 10 / 24}, {"fineness": 18 / 24}, {"fineness": 0.585}],
}
ANSWERS = {
    "8.03": {
        "density": (0, "density"),
        "fineness_if_copper": (0, "fineness_if_copper"),
        "fineness_if_silver": (0, "fineness_if_silver"),
    },
    "8.04": {"density": (0, "density_by_make")},
    "8.10": {"oz_per_ton": (0, "ounces_per_short_ton"), "g_per_t": (0, "grade")},
    "1.06": {"fineness_10k": (0, "fineness"), "fineness_18k": (1, "fineness"), "karat_of_585": (2, "karat")},
}


@pytest.mark.parametrize(
    ("case", "figure"),
    [pytest.param(case, figure, id=f"{case} {figure}: {WORKED[case]['source']}") for case in ANSWERS for figure in ANSWERS[case]],
)
def test_worked_cases(case, figure):
    number, name = ANSWERS[case][figure]
    wanted = WORKED[case]["answers"][figure]
    found = run(place=Place(), **TOLD[case][number]).answer(name).likely
    assert found == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


def test_all_figures_of_these_cases_are_looked_at():
    assert all(set(WORKED[case]["answers"]) == set(ANSWERS[case]) for case in ANSWERS)


def test_a_bar_of_thirty_one_grams():
    wanted = STORIES["S16"]
    step = run(place=Place(), air_g=31.20, water_g=29.50, water_temperature_k=293.15)
    assert step.answer("density").likely == pytest.approx(wanted["density"]["value"], rel=1e-3)
    assert step.answer("fineness_if_copper").likely == pytest.approx(wanted["fineness_copper"]["value"], rel=2e-3)
    assert step.answer("fineness_if_silver").likely == pytest.approx(wanted["fineness_silver"]["value"], rel=2e-3)
    assert step.answer("step_if_copper").likely > 2  # several parts per thousand
    assert any("0.001 g" in line for heading, line in step.says if heading == "verdict")


def test_the_ends_are_some_fifteen_parts_apart_at_950():
    # common practice, no source
    copper, silver = (1 / (0.95 / 19.3 + 0.05 / rho) for rho in (8.96, 10.5))
    apart = 1000 * (gold_share(copper, 8.96, 19.3) - gold_share(copper, 10.5, 19.3))
    assert apart == pytest.approx(15, abs=4)
    assert copper < silver


# ---- published
@pytest.mark.parametrize(
    ("celsius", "kg_m3"),
    # published: CIPM formula, Tanaka et al., Metrologia 38 (2001) 301, air-free water at 101 325 Pa; figures from memory
    [(4.0, 999.9749), (10.0, 999.7026), (15.0, 999.1026), (20.0, 998.2067), (25.0, 997.0470), (30.0, 995.6488)],
)
def test_water_agrees_with_the_accepted_formula(celsius, kg_m3):
    assert float(water_g_per_ml(celsius + 273.15)) * 1000 == pytest.approx(kg_m3, rel=1e-5)


def test_fourteen_karat_by_the_rule_and_measured():
    # published: jewellers' tables give 13.33 by the rule and 13.07 measured for 583/104/313 (tmtpages.com)
    step = run(place=Place(), make="583/104/313")
    assert step.answer("density_by_make").likely == pytest.approx(13.33, rel=2e-3)
    cast = step.answer("density_cast")
    assert cast.low <= 13.07 * 1.001
    assert cast.low == pytest.approx(13.07, rel=2e-3)


@pytest.mark.parametrize(
    ("sample_g", "bead_mg", "ounces_to_the_long_ton"),
    [
        # published: Rose, The Metallurgy of Gold, p. 496: 1.5 mg from an assay ton of 32.666 g is 1.5 oz to the long ton;
        # 50 g giving 1.75 mg is 1 oz 2 dwt 20.8 grains by the tables
        pytest.param(32.666, 1.5, 1.5, id="Rose, assay ton"),
        pytest.param(50.0, 1.75, 1 + 2 / 20 + 20.8 / 480, id="Rose, 50 g"),
    ],
)
def test_old_assayers_tables(sample_g, bead_mg, ounces_to_the_long_ton):
    per_short = grade_of_bead(bead_mg / 1000, sample_g)[1]
    assert per_short * 2240 / 2000 == pytest.approx(ounces_to_the_long_ton, rel=1e-4)


def test_a_milligram_of_half_a_gram_is_two_parts_in_a_thousand():
    # published: Rose, The Metallurgy of Gold, p. 538
    assert 1000 * cornet_fineness(0.5, 0.001) == pytest.approx(2.0)


# ---- corrections of the water weighing
def test_cold_water_is_denser_and_says_denser_bars():
    cold, warm = (density_by_water(25.0, 23.65, kelvin) for kelvin in (278.15, 303.15))
    # published, from memory: 0.99997 at 5 degC, 0.99565 at 30 degC (CIPM)
    assert cold / warm == pytest.approx(0.99997 / 0.99565, rel=1e-4)


def test_a_thread_and_a_bubble_make_a_bar_read_light():
    # 0.2 mm of thread, 50 mm wet: 1.571 mm3; a bubble of 2 mm: 4.189 mm3
    step = run(place=Place(), air_g=25.0, water_g=23.65, thread_m=2e-4, thread_wet_m=0.05, bubble_m=2e-3)
    assert step.answer("thread_lift").likely == pytest.approx(1.571, rel=1e-3)
    assert step.answer("bubble_lift").likely == pytest.approx(4.189, rel=1e-3)
    lost = 1.35 - (1.571 + 4.189) / 1000 * 0.99705
    assert step.answer("density").likely == pytest.approx(25 / lost * 0.99705, rel=1e-4)


def test_buoyancy_of_air_is_a_small_thing():
    bare, counted = (
        run(place=Place(), air_g=25.0, water_g=23.65, air_buoyancy=flag).answer("density").likely for flag in (False, True)
    )
    # (rho_water - 0.0012) instead of rho_water, and 0.0012 on top
    assert counted == pytest.approx(25 / 1.35 * (0.99705 - 0.0012) + 0.0012, rel=1e-5)
    assert 0 < bare - counted < 0.03


def test_how_little_a_coarse_scale_proves():
    # 31.1 g, fine: 1.607 g lost; d(rho)/rho = d(w)/(a - w)
    step = run(place=Place(), air_g=31.1, water_g=29.493, scale_step_g=0.01)
    assert step.answer("density_step").likely / step.answer("density").likely == pytest.approx(0.01 / 1.607, rel=1e-3)
    fine = run(place=Place(), air_g=31.1, water_g=29.493, scale_step_g=0.001)
    assert step.answer("step_if_copper").likely == pytest.approx(10 * fine.answer("step_if_copper").likely, rel=0.05)


@pytest.mark.parametrize(
    ("air", "water", "step", "text"),
    [
        (5.0, 4.74, 0.01, "26 steps of 0.01 g: under 100 nothing can be told"),
        (25.0, 23.65, 0.1, "under 100 nothing can be told"),
    ],
)
def test_too_few_steps_of_water_weight_is_refused(air, water, step, text):
    with pytest.raises(CannotFollow, match=text):
        run(place=Place(), air_g=air, water_g=water, scale_step_g=step)


def test_too_dense_and_too_poor_are_warned_of():
    dense = run(place=Place(), air_g=30.0, water_g=28.55)
    assert [notice.code for notice in dense.notices] == ["denser-than-gold"]
    poor = run(place=Place(), air_g=30.0, water_g=27.75)
    assert [notice.code for notice in poor.notices] == ["too-poor-for-water"]


# ---- fire assay
def test_a_proof_takes_the_silver_out_of_a_cornet():
    # proof of 500.0 mg came out 500.4: 0.4 mg of silver stays; cornet 498.6 of 500.0 mg: (498.6 - 0.4)/500
    told = {"sample_g": 0.5, "cornet_g": 0.4986}
    corrected = run(place=Place(), proof_g=0.5, proof_cornet_g=0.5004, **told)
    assert corrected.answer("fineness").likely == pytest.approx(996.4)
    assert run(place=Place(), **told).answer("fineness").likely == pytest.approx(997.2)
    near, wide = (
        run(place=Place(), **more, **told).answer("fineness_one_sigma")
        for more in ({"proof_g": 0.5, "proof_cornet_g": 0.5004}, {})
    )
    assert near.high - near.low < wide.high - wide.low


def test_silver_by_difference():
    # 250 mg of 585: cornet 146.25, bead 271.25 with 100 mg silver put to it: 25 mg silver, 78.75 base
    step = run(place=Place(), sample_g=0.25, cornet_g=0.14625, dore_g=0.27125, silver_added_g=0.1)
    assert step.answer("silver_fineness").likely == pytest.approx(100.0)
    assert step.answer("base_fineness").likely == pytest.approx(315.0)


# ---- stamps
@pytest.mark.parametrize(
    ("told", "least", "verdict"),
    [
        # published: 15 USC 295, three parts in a thousand under for unsoldered goods, seven with solder
        ({"fineness": 0.581, "stamp": 14 / 24}, 576.333, "holds"),
        ({"fineness": 0.577, "stamp": 14 / 24}, 576.333, "holds"),
        ({"fineness": 0.577, "stamp": 14 / 24, "unsoldered": True}, 580.333, "does not hold"),
        ({"fineness": 0.570, "stamp": 14 / 24}, 576.333, "does not hold"),
    ],
)
def test_whether_goods_hold_their_stamp(told, least, verdict):
    step = run(place=Place(), **told)
    assert step.answer("lowest_lawful").likely == pytest.approx(least, abs=0.001)
    assert any(f" {verdict} its stamp" in line for _, line in step.says)


def test_a_weight_gives_its_fine_gold():
    step = run(place=Place(), fineness=0.9965, weight_g=12.40, method="fire")
    assert step.answer("fine_gold").likely == pytest.approx(12.3566, rel=5e-4)
    assert step.answer("fineness_one_sigma").low < 996.5


# ---- bad input
@pytest.mark.parametrize(
    ("told", "kind", "text"),
    [
        ({}, CannotFollow, "nothing to tell a fineness by\n  Try: give --fineness 14K"),
        (
            {"air_g": 23.65, "water_g": 25.0},
            OutOfRange,
            "nothing weighs as much or more in water\n  Try: were the two weights swapped",
        ),
        ({"air_g": 25.0, "water_g": 25.0}, OutOfRange, "nothing weighs as much or more in water"),
        ({"air_g": 25.0}, BadQuantity, "weighed in air and in water"),
        ({"air_g": 25.0, "water_g": 23.65, "thread_m": 1e-4}, BadQuantity, "a diameter and a wet length"),
        ({"air_g": 25.0, "water_g": 23.65, "fineness": 0.9}, BadQuantity, "told by weighing in water and by a result"),
        ({"sample_g": 0.5, "cornet_g": 0.6}, BadQuantity, "more gold than metal"),
        ({"cornet_g": 0.6}, BadQuantity, "sample is missing"),
        ({"sample_g": 0.5, "cornet_g": 0.4, "proof_g": 0.5}, BadQuantity, "a proof and its cornet go together"),
        ({"sample_g": 0.5, "cornet_g": 0.4, "dore_g": 0.45, "silver_added_g": 0.1}, BadQuantity, "lighter than its cornet"),
        ({"sample_g": 0.5, "bead_g": 0.6}, BadQuantity, "bead is heavier than the sample"),
        ({"make": "583/504/313"}, BadQuantity, "adds up to 1400"),
        ({"fineness": 1.2}, BadQuantity, "1200 is more than all"),
    ],
)
def test_bad_input_says_what_to_do(told, kind, text):
    with pytest.raises(kind, match=text):
        run(place=Place(), **told)


@pytest.mark.parametrize("text", ["25 K", "1001"])
def test_karat_25_and_fineness_1001_are_refused_at_the_door(text):
    faults = listen(FIELDS, {"fineness": text}, label=lambda name: f"--{name}").faults
    assert ["--fineness" in str(fault) for fault in faults] == [True]


def test_no_pot_is_taken():
    assert choose((Pot("button", solids_mol={"Au": 1.0}),)) == ()
    assert ROOM.name == "fineness"


@pytest.mark.parametrize(
    "told",
    [
        {"fineness": 0.585, "method": "xrf", "weight_g": 5.0, "stamp": 14 / 24},
        {"air_g": 25.0, "water_g": 23.65, "thread_m": 1e-4, "thread_wet_m": 0.03},
        {"sample_g": 0.5, "cornet_g": 0.49, "proof_g": 0.5, "proof_cornet_g": 0.5, "dore_g": 0.6, "silver_added_g": 0.1},
        {"sample_g": AT, "bead_g": 1e-3},
        {"make": "sterling silver"},
    ],
)
def test_every_answer_says_which_end_and_why(told):
    step = run(place=Place(), **told)
    assert all(one.sized_on and one.because for one in step.answers)
    assert len({one.name for one in step.answers}) == len(step.answers)
    assert step.workings


# ---- what must always hold
@given(st.floats(0.3, 1.0), st.floats(5, 500), st.sampled_from(["Cu", "Ag"]))
def test_fineness_and_density_round_trip(share, air, other):
    from refinekit.bench.fineness_sums import metal_density

    rho = 1 / (share / metal_density("Au") + (1 - share) / metal_density(other))
    water = air * (1 - float(water_g_per_ml(298.15)) / rho)
    found = gold_share(density_by_water(air, water, 298.15), metal_density(other), metal_density("Au"))
    assert found == pytest.approx(share, rel=1e-6)


@given(st.floats(0.0, 1.0))
def test_karat_fineness_and_percent_round_trip(share):
    step = run(place=Place(), fineness=share)
    assert step.answer("karat").likely / 24 == pytest.approx(share)
    assert step.answer("percent").likely / 100 == pytest.approx(share)
    assert karat_of(share) == step.answer("karat").likely


@given(st.floats(0.1, 0.9), st.floats(0.0, 0.1))
def test_more_gold_makes_it_denser(gold, more):
    assume(gold + more <= 1)
    rest = 1 - gold
    assert (
        mixture_density({"gold": gold + more, "copper": rest - more}) >= mixture_density({"gold": gold, "copper": rest}) - 1e-12
    )


@given(st.floats(0, 1), st.floats(0, 1))
def test_ends_bound_what_lies_between(at_air, at_water):
    told = {"air_g": Range(24.99, 25.0, 25.01), "water_g": Range(23.64, 23.65, 23.66)}
    whole = run(place=Place(), **spread(told)).answer("fineness_if_copper")
    one = run(place=Place(), air_g=24.99 + 0.02 * at_air, water_g=23.64 + 0.02 * at_water).answer("fineness_if_copper").likely
    assert whole.low - 1e-6 <= one <= whole.high + 1e-6


def test_cases_run_together_as_they_run_alone():
    air = np.array([25.0, 25.1, 25.3])
    together = run(place=Place(), air_g=air, water_g=23.65).answer("density").cases
    assert list(together) == pytest.approx([run(place=Place(), air_g=one, water_g=23.65).answer("density").likely for one in air])
