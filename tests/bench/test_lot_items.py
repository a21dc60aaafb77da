"""Karat lots: several makes in one, stones, solder, lawful stamps, and which way the goods go with what each way costs."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.lot import run
from refinekit.bench.lot_fields import FIELDS
from refinekit.bench.lot_items import read_items
from refinekit.bench.place import Place
from refinekit.errors import BadQuantity, UnknownName
from refinekit.ranges import Range
from refinekit.shop.ask import lay, listen
from refinekit.shop.batch import read_batch
from refinekit.shop.plan import run_plan

DATA = Path(__file__).parent.parent / "data"
RUN = {step["do"]: step["answers"] for step in json.loads((DATA / "run_karat.json").read_text())["steps"]}["lot"]
STORIES = {one["id"]: one["expected"] for one in json.loads((DATA / "worked/stories.json").read_text())["stories"]}
AG, CU, AU, ZN = 107.8682, 63.546, 196.96657, 65.38  # CIAAW 2021
MIXED = {"kind": "karat", "items": "50 g of 583/104/313; 35 g of 417/110/410/63"}

# ---- the lot of a whole run: 50 g of 14 karat and 35 g of 10 karat, soldered
OF_THE_RUN = {
    "gold_g": "gold",
    "gold_low_g": "gold_if_lowest",
    "silver_g": "silver",
    "copper_g": "copper",
    "zinc_g": "zinc",
    "gold_fineness": "gold_fineness",
    "silver_per_thousand": "silver_per_thousand",
}


@pytest.mark.parametrize("figure", OF_THE_RUN)
@pytest.mark.parametrize("items", [MIXED["items"], "50 g of 14 karat yellow; 35 g of 10 karat yellow"])
def test_the_lot_of_a_whole_run(figure, items):
    found = run(place=Place(), kind="karat", items=items).answer(OF_THE_RUN[figure]).likely
    assert found == pytest.approx(RUN[figure]["value"], rel=RUN[figure]["tolerance_rel"])


def test_the_verdict_of_that_run():
    assert set(RUN) == {*OF_THE_RUN, "verdict"}
    assert ("next", RUN["verdict"]["value"]) in run(place=Place(), **MIXED).says


def test_thirty_grams_of_fourteen_karat_are_sent_to_inquart():
    wanted = STORIES["S04"]
    step = run(place=Place(), weight_g=30.0, make="14K yellow")
    assert step.answer("silver_per_thousand").likely == pytest.approx(wanted["silver_per_thousand"]["value"])
    assert wanted["verdict"] == "inquart (over 100 per thousand silver)"
    assert ("next", "inquart: silver over 100 per thousand") in step.says
    row = next(row for row in step.tables[-1].rows if row[0] == "inquart, then part")
    assert row[1].likely == pytest.approx(wanted["silver_to_25pct"]["value"], rel=1e-3)
    assert (row[2].low, row[2].high) == pytest.approx(tuple(wanted["nitric_68_no_to_no2"]), rel=5e-3)


# ---- items
@pytest.mark.parametrize(
    ("text", "items"),
    [
        ("50 g of 14 karat yellow; 35 g of 10K", [(50.0, "14 karat yellow"), (35.0, "10K")]),
        ("2 dwt of 585", [(3.11034768, "585")]),
        ("1 g of sterling silver;", [(1.0, "sterling silver")]),
    ],
)
def test_items_are_read(text, items):
    assert [(one.mass.likely, one.what) for one in read_items(text)] == [(pytest.approx(grams), what) for grams, what in items]


def test_an_item_weighed_with_a_range_is_an_unknown_of_its_own():
    """By hand: 50 x 0.583 + 30/35/40 x 0.417 g; one sigma of the triangle 30/35/40 is 5 / sqrt(6) g."""
    told = listen(FIELDS, {"items": "50 g of 14 karat yellow; 30/35/40 g of 10 karat yellow"}, label=str)
    assert told.ranges() == {"item_2_g": Range(30.0, 35.0, 40.0)}
    figures, _ = lay(told, 1)
    step = run(place=Place(), **figures)
    gold = step.answer("gold")
    assert (gold.low, gold.likely, gold.high) == pytest.approx((41.66, 43.745, 45.83), rel=1e-6)
    assert step.answer("gold_error").likely == pytest.approx(100 * 5 / 6**0.5 * 0.417 / 43.745, rel=1e-6)


def test_a_karat_with_a_range_is_an_unknown_too():
    """By hand: 50 g x 13.5/14/14 over 24."""
    told = listen(FIELDS, {"items": "50 g of 13.5/14/14 K"}, label=str)
    figures, _ = lay(told, 1)
    gold = run(place=Place(), **figures).answer("gold")
    assert (gold.low, gold.likely, gold.high) == pytest.approx((50 * 13.5 / 24, 50 * 14 / 24, 50 * 14 / 24))


def test_karats_written_as_a_make_are_no_make():
    with pytest.raises(BadQuantity, match="karats take a K"):
        run(place=Place(), items="50 g of 13.5/14/14")


def test_two_items_with_ranges_go_through_a_plan_as_two_unknowns():
    text = (
        '[lot]\nkind = "karat"\nitems = "48/50/51 g of 14 karat yellow; 30/35/40 g of 10 karat yellow"\n[shop]\noutdoors = true\n'
    )
    plan = run_plan(read_batch(text, "two.toml"))
    assert {"lot: item 1", "lot: item 2"} <= set(plan.unknowns)
    assert plan.stopped_at == ""


def test_items_by_karat_take_an_unknown_balance():
    told = listen(FIELDS, {"items": "10 g of 14 K; 5 g of sterling silver"}, label=str)
    assert "practice/lot.silver_in_balance" in told.facts
    step = run(place=Place(), items="10 g of 14 K; 5 g of sterling silver", silver_in_balance=0.0)
    assert step.answer("gold").likely == pytest.approx(10 * 14 / 24)
    assert step.answer("silver").likely == pytest.approx(4.625)
    known = listen(FIELDS, {"items": "10 g of 14 karat yellow"}, label=str)
    assert known.facts == []


@pytest.mark.parametrize(
    ("told", "kind", "text"),
    [
        ({"items": "fifty grams"}, BadQuantity, "is no item of a lot\n  Try: items are parted by"),
        ({"items": "; ;"}, BadQuantity, "there are no items in the lot"),
        ({"items": "5 g of 25 K"}, BadQuantity, "over 24 K"),
        ({"items": "5 g of purple plague"}, UnknownName, "no alloy known here"),
        ({"items": "5 g of 583/504/313"}, BadQuantity, "adds up to 1400"),
        ({"items": "5 g of 14 karat yellow", "weight_g": 4.0}, BadQuantity, "the items weigh 5 g, the lot 4 g"),
        ({"items": "5 g of 14 karat yellow", "karat": 0.5, "weight_g": 9.0}, BadQuantity, "told 2 ways"),
        ({"kind": "karat", "weight_g": 4.0, "karat": 0.5, "stones_g": 5.0}, BadQuantity, "leave nothing of 4 g"),
    ],
)
def test_bad_input_says_what_to_do(told, kind, text):
    with pytest.raises(kind, match=text):
        run(place=Place(), **told)


@pytest.mark.parametrize(("word", "text"), [("karat", "25 K"), ("fineness", "1001"), ("karat", "1001")])
def test_karat_25_and_fineness_1001_are_refused_at_the_door(word, text):
    faults = listen(FIELDS, {"weight": "10 g", word: text}, label=lambda name: f"--{name}").faults
    assert [f"--{word}" in str(fault) for fault in faults] == [True]


# ---- stones and solder
def test_stones_are_dead_weight():
    # 12 g of ring, 2 g of it stones: 10 g at 585
    step = run(place=Place(), kind="karat", weight_g=12.0, stones_g=2.0, fineness=0.585, silver_in_balance=0.5)
    assert step.answer("gold").likely == pytest.approx(5.85)
    assert step.answer("gold_fineness").likely == pytest.approx(585)
    assert step.pots[0].inert_g == pytest.approx(2.0)


def test_solder_runs_under_the_stamp():
    # a tenth solder that runs 100 per thousand under: 583.3 - 10
    step = run(place=Place(), kind="karat", weight_g=100.0, karat=14 / 24, solder_share=0.1, silver_in_balance=0.5)
    assert step.answer("gold").likely == pytest.approx(58.3333 - 1.0, rel=1e-4)
    metals = sum(step.answer(metal).likely for metal in ("gold", "silver", "copper"))
    assert metals == pytest.approx(100)


def test_old_goods_run_half_a_karat_under():
    # common practice, no source
    step = run(place=Place(), kind="karat", weight_g=100.0, karat=14 / 24, silver_in_balance=0.5)
    assert step.answer("gold_if_old").likely == pytest.approx(100 * 13.5 / 24)


# ---- which way
def ways(**told):
    step = run(place=Place(), **told)
    return step, {row[0]: row for row in step.tables[-1].rows}


def test_straight_costs_less_silver_and_leaves_a_crust():
    _, rows = ways(weight_g=100.0, make="14K yellow")
    assert rows["straight in hydrochloric and nitric"][1] == 0.0
    # 10.4 g silver: 13.8 g of chloride
    assert rows["straight in hydrochloric and nitric"][4].startswith("13.8 g silver chloride")
    assert rows["inquart, then part"][1].likely == pytest.approx(133.2)
    # 3 Au + 2 Cu + Ag electrons, a third of that as nitric if all leaves as NO
    electrons = 3 * 58.3 / AU + 2 * 31.3 / CU + 10.4 / AG
    assert rows["straight in hydrochloric and nitric"][2].low == pytest.approx(1000 * electrons / 3 / 15.16, rel=2e-3)


def test_filled_goods_leach_the_base_first():
    step, rows = ways(kind="filled", weight_g=250.0, filled="1/20 12K", wear=0.1)
    assert any("leach the base first" in line for heading, line in step.says if heading == "next")
    assert set(rows) == {"straight in hydrochloric and nitric", "base off in nitric first"}
    assert rows["base off in nitric first"][4].startswith("gold foil")


def test_sterling_is_parted():
    step, rows = ways(kind="sterling", weight_g=1000.0)
    assert any("no gold: dissolve it in nitric (part)" in line for _, line in step.says)
    low_ml, high_ml = STORIES["S05"]["nitric_68_low_high_mL"]
    assert (rows["part in nitric"][2].low, rows["part in nitric"][2].high) == pytest.approx((low_ml, high_ml), rel=5e-3)
    assert not any("inquart" in line for _, line in step.says)


@pytest.mark.parametrize(
    ("told", "word"),
    [
        ({"white": "palladium", "karat": 0.75}, "palladium white"),
        ({"white": "nickel", "karat": 0.75}, "nickel white"),
        ({"karat": 0.75, "platinum_fineness": 0.05, "silver_in_balance": 0.5}, "platinum stays in the sponge"),
        ({"karat": 0.585, "silver_in_balance": 0.5, "solder_g": 0.5}, "solder first"),
    ],
)
def test_the_reason_is_said(told, word):
    step = run(place=Place(), **{"weight_g": 50.0, **told})
    assert any(word in line for heading, line in step.says if heading == "next")


@given(st.floats(1, 500), st.floats(1, 500))
def test_two_items_are_two_lots_together(first, second):
    both = run(place=Place(), items=f"{first!r} g of 14 karat yellow; {second!r} g of 18 karat yellow")
    apart = [run(place=Place(), weight_g=first, make="14K yellow"), run(place=Place(), weight_g=second, make="18K yellow")]
    assert both.answer("gold").likely == pytest.approx(sum(step.answer("gold").likely for step in apart))
    assert both.answer("silver").likely == pytest.approx(sum(step.answer("silver").likely for step in apart))


# ---- plated flatware
def test_plated_flatware_by_its_weight_and_by_its_area():
    """Common practice, no source: 8 to 40 g/kg; by area 5 to 35 micron at 10.5 g/mL."""
    figures, _ = lay(listen(FIELDS, {"kind": "flatware", "weight": "1.2 kg"}, label=str), 1)
    silver = run(place=Place(), **figures).answer("silver")
    assert (silver.low, silver.likely, silver.high) == pytest.approx((9.6, 24.0, 48.0))
    figures, _ = lay(listen(FIELDS, {"kind": "flatware", "weight": "1.2 kg", "area": "900 cm2"}, label=str), 1)
    silver = run(place=Place(), **figures).answer("silver")
    assert (silver.low, silver.likely, silver.high) == pytest.approx(tuple(900 * um * 1e-4 * 10.5 for um in (5, 15, 35)))


def test_plated_flatware_is_not_sent_into_nitric_whole():
    step = run(place=Place(), kind="flatware", weight_g=1200.0)
    assert any(heading == "next" and "thin plate" in line for heading, line in step.says)
    assert not any("inquart" in line for _, line in step.says)
    sterling = run(place=Place(), kind="sterling", weight_g=1200.0)
    assert any(heading == "next" and line.startswith("no gold") for heading, line in sterling.says)


def test_silver_told_twice_is_refused():
    with pytest.raises(BadQuantity, match="one way"):
        run(place=Place(), kind="flatware", weight_g=1200.0, silver_grade_g_per_kg=20.0, silver_g=5.0)
