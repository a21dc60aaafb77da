"""Inquarting: worked cases, a whole run's melt, what each metal costs, and what must always hold."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.inquart import FIELDS, ROOM, add_for, choose, run
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.chemistry.solution import Solution
from refinekit.errors import BadQuantity, CannotFollow, OutOfRange, UnknownName
from refinekit.ranges import Range, spread
from refinekit.shop.ask import lay, listen

DATA = Path(__file__).parent.parent / "data"
WORKED = {case["id"]: case for case in json.loads((DATA / "worked/area7.json").read_text())["cases"]}
STORIES = {one["id"]: one["expected"] for one in json.loads((DATA / "worked/stories.json").read_text())["stories"]}
RUN = {step["do"]: step["answers"] for step in json.loads((DATA / "run_karat.json").read_text())["steps"]}["inquart"]
AU, AG, CU, ZN = 196.96657, 107.8682, 63.546, 65.38  # CIAAW 2021
NITRIC_68 = Solution.of("HNO3", "percent_ww", 68.0)
KARAT_14 = {"weight_g": 100.0, "make": "583/104/313"}

# ---- worked cases: how each is told, and which answer each of its figures is
TOLD = {
    "7.01": {**KARAT_14, "target": 0.25},
    "7.10": {"weight_g": 10.0, "fineness": 0.75, "target": 0.3},
    "7.11": {**KARAT_14, "using": "sterling"},
}
ANSWERS = {
    "7.01": {"add": "add", "melt": "melt"},
    "7.10": {"add": "add"},
    "7.11": {"sterling": "add", "copper_in_melt": "copper_in_melt", "silver_in_melt": "silver_in_melt"},
}


@pytest.mark.parametrize(
    ("case", "figure"),
    [pytest.param(case, figure, id=f"{case} {figure}: {WORKED[case]['source']}") for case in ANSWERS for figure in ANSWERS[case]],
)
def test_worked_cases(case, figure):
    wanted = WORKED[case]["answers"][figure]
    found = run(place=Place(), **TOLD[case]).answer(ANSWERS[case][figure]).likely
    assert found == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


def test_all_figures_of_these_cases_are_looked_at():
    assert all(set(WORKED[case]["answers"]) == set(ANSWERS[case]) for case in ANSWERS)


def test_thirty_grams_of_fourteen_karat():
    wanted = STORIES["S04"]
    step = run(place=Place(), weight_g=30.0, make="14 karat yellow", nitric=NITRIC_68)
    assert step.answer("add").likely == pytest.approx(wanted["silver_to_25pct"]["value"], rel=1e-3)
    assert step.answer("silver_per_thousand").likely == pytest.approx(wanted["silver_per_thousand"]["value"])
    low_ml, high_ml = wanted["nitric_68_no_to_no2"]
    assert step.answer("nitric_no_route").likely == pytest.approx(low_ml, rel=5e-3)
    assert step.answer("nitric_no2_route").likely == pytest.approx(high_ml, rel=5e-3)


# ---- the melt of a whole run: 50 g of 14 karat and 35 g of 10 karat, with sterling
def goods_of_the_run():
    return Pot("goods", solids_mol={"Au": 43.745 / AU, "Ag": 9.05 / AG, "Cu": 30.0 / CU, "Zn": 2.205 / ZN})


OF_THE_RUN = {
    "sterling_g": "add",
    "melt_g": "melt",
    "silver_in_melt_g": "silver_in_melt",
    "copper_in_melt_g": "copper_in_melt",
    "crucible_mL": "crucible",
}


@pytest.mark.parametrize("figure", RUN)
def test_the_inquart_of_a_whole_run(figure):
    found = run((goods_of_the_run(),), place=Place(), using="sterling").answer(OF_THE_RUN[figure]).likely
    assert found == pytest.approx(RUN[figure]["value"], rel=RUN[figure]["tolerance_rel"])


def test_the_pot_holds_goods_and_sterling():
    step = run((goods_of_the_run(),), place=Place(), using="sterling")
    assert [pot.name for pot in step.pots] == ["inquart"]
    assert step.pots[0].solid_g("Au") == pytest.approx(43.745)
    assert step.pots[0].solid_g("Ag") == pytest.approx(9.05 + 0.925 * 89.98)


def test_stones_come_out_before_the_melt():
    step = run((Pot("goods", solids_mol={"Au": 0.1, "Cu": 0.2}, inert_g=2.0),), place=Place())
    assert [(pot.name, pot.inert_g) for pot in step.pots] == [("inquart", 0.0), ("stones", 2.0)]


# ---- one weight for every end of the range
def test_one_weight_is_melted_in_whatever_the_gold_is():
    told = spread({"weight_g": 100.0, "fineness": Range(0.576, 0.583, 0.583)})
    step = run(place=Place(), silver_in_balance=0.25, **told)
    assert step.reagents[0].to_take == pytest.approx(133.2)
    assert step.answer("add").low == pytest.approx(130.4)
    melt = step.answer("melt")
    assert melt.low == pytest.approx(melt.high)
    assert step.answer("gold_share").low == pytest.approx(57.6 / 233.2 * 100)


def test_goods_under_the_target_take_nothing():
    step = run(place=Place(), weight_g=100.0, make="200/600/200")
    assert step.answer("add").high == 0
    assert step.reagents == ()
    assert any("nothing to add" in line for _, line in step.says)


# ---- what is warned of
@pytest.mark.parametrize(
    ("told", "codes"),
    [
        ({**KARAT_14, "target": 0.25}, []),
        ({**KARAT_14, "target": 0.45}, ["gold-too-rich-to-part"]),
        ({**KARAT_14, "target": 0.15}, ["gold-to-powder"]),
        ({"gold_g": 10.0, "copper_g": 5.0, "tin_g": 0.1}, ["tin-in-inquart"]),
    ],
)
def test_what_is_warned_of(told, codes):
    assert [notice.code for notice in run(place=Place(), **told).notices] == codes


def test_the_price_of_copper_is_more_nitric_and_more_fume():
    # common practice, no source: copper quarters as well but costs twice the nitric of silver, mole by mole, and more by weight
    rows = {row[0]: row for row in run(place=Place(), **KARAT_14).tables[0].rows}
    assert rows["silver"][2].likely < rows["sterling"][2].likely < rows["copper"][2].likely
    # by hand: 143.6 g silver is 1.3313 mol, 31.3 g copper 0.4926 mol: electrons 2.3164 at 24.465 L/mol
    assert rows["silver"][4].likely == pytest.approx(2.3164 * 24.465, rel=1e-3)
    # and with copper 10.4 g silver, 164.5 g copper: 0.09641 + 2 x 2.58868 mol
    assert rows["copper"][4].likely == pytest.approx((10.4 / AG + 2 * 164.5 / CU) * 24.465, rel=1e-3)


# ---- bad input
@pytest.mark.parametrize(
    ("told", "kind", "text"),
    [
        ({"silver_g": 4.0}, CannotFollow, "inquart finds no gold\n  Try: tell the metal"),
        ({}, CannotFollow, "inquart finds no gold"),
        ({"weight_g": 5.0}, BadQuantity, "a weight and a make or fineness go together"),
        ({"make": "583/104/313"}, BadQuantity, "a weight and a make or fineness go together"),
        ({"weight_g": 5.0, "make": "583/104/313", "fineness": 0.5}, BadQuantity, "both told"),
        ({"weight_g": 5.0, "make": "583/504/313"}, BadQuantity, "adds up to 1400"),
        ({"weight_g": 5.0, "make": "14 karat purple"}, UnknownName, "no alloy known here"),
        ({**KARAT_14, "target": 0.0}, OutOfRange, "Try: give --target 25 %"),
    ],
)
def test_bad_input_says_what_to_do(told, kind, text):
    with pytest.raises(kind, match=text):
        run(place=Place(), **told)


@pytest.mark.parametrize(("text", "wrong"), [("25 K", "--fineness"), ("1001", "--fineness")])
def test_karat_25_and_fineness_1001_are_refused_at_the_door(text, wrong):
    faults = listen(FIELDS, {"weight": "10 g", "fineness": text}, label=lambda name: f"--{name}").faults
    assert [wrong in str(fault) for fault in faults] == [True]


def test_typed_as_a_person_types():
    told = listen(FIELDS, {"weight": "10 g", "fineness": "18 K", "target": "30 %"}, label=str)
    assert told.faults == []
    figures, _ = lay(told, 1)
    assert run(place=Place(), **figures).answer("add").likely == pytest.approx(15.0)


def test_dry_goods_with_gold_are_taken():
    goods, wet, silver = goods_of_the_run(), Pot("sponge", 0.02, {"H2O": 1.0}, {"Au": 0.5}), Pot("silver", solids_mol={"Ag": 1.0})
    assert choose((wet, silver, goods)) == (goods,)
    assert ROOM.name == "inquart"


def test_every_answer_says_which_end_and_why():
    step = run(place=Place(), **KARAT_14)
    assert all(one.sized_on and one.because for one in step.answers)
    assert len({one.name for one in step.answers}) == len(step.answers)
    assert all(one.key and one.excess and one.when for one in step.reagents)
    assert {"vessel", "watch for", "how", "done when", "gear", "next"} <= {heading for heading, _ in step.says}


# ---- what must always hold
@given(st.floats(0.5, 500), st.floats(0.3, 1.0), st.floats(0.2, 0.3), st.sampled_from(["silver", "sterling", "copper"]))
def test_the_melt_comes_to_the_target(weight, fineness, target, using):
    step = run(place=Place(), weight_g=weight, fineness=fineness, target=target, using=using)
    assert step.answer("gold_share").likely == pytest.approx(100 * target)
    assert step.answer("melt").likely == pytest.approx(weight + step.answer("add").likely)


@given(st.floats(1, 500), st.floats(0, 400), st.floats(0, 400))
def test_more_silver_never_makes_it_richer_in_gold_nor_poorer_in_silver(gold, silver, more):
    def share(grams, symbol):
        pot = run(place=Place(), gold_g=gold, silver_g=grams, target=1.0).pots[0]
        return pot.solid_g(symbol) / (pot.solid_g("Au") + pot.solid_g("Ag"))

    assert share(silver + more, "Ag") >= share(silver, "Ag") - 1e-12
    assert share(silver + more, "Au") <= share(silver, "Au") + 1e-12


@given(st.floats(0.5, 100), st.floats(0.3, 0.95), st.floats(1, 10))
def test_twice_the_goods_take_twice_the_silver(weight, fineness, times):
    assert add_for(times * weight, fineness, 0.25) == pytest.approx(times * add_for(weight, fineness, 0.25))


@given(st.lists(st.floats(0.3, 0.9), min_size=2, max_size=5))
def test_cases_run_together_as_they_run_alone(fineness):
    told = {"weight_g": 10.0, "silver_in_balance": 0.5}
    together = run(place=Place(), fineness=np.array(fineness), **told).answer("add").cases
    alone = [run(place=Place(), fineness=one, **told).answer("add").likely for one in fineness]
    assert list(together) == pytest.approx(alone)
