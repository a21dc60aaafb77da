"""The lot: worked cases, a whole run's weigh-in, what is doubted and what is refused."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.lot import ROOM, run
from refinekit.bench.lot_fields import FIELDS, KINDS, LotTold
from refinekit.bench.lot_metals import (
    alloy,
    combined_error,
    counted_area_cm2,
    karat_of,
    lowest_lawful_fineness,
    read_filled,
    shares,
    triangular_error,
)
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.errors import BadQuantity, CannotFollow, OutOfRange, UnknownName
from refinekit.facts.load import fact, table
from refinekit.ranges import Range, spread
from refinekit.shop.ask import lay, listen
from refinekit.units import read

DATA = Path(__file__).parent.parent / "data"
WORKED = {case["id"]: case for case in json.loads((DATA / "worked/area1.json").read_text())["cases"]}
FINGERS = json.loads((DATA / "run_fingers.json").read_text())
UIN = 0.0254  # micron in a microinch, exact

# ---- worked cases: how each is told to the lot, and which answer of the lot each of its figures is
TOLD = {
    "1.01": {"area_cm2": 100.0, "gold_thickness_um": 0.76, "gold_density_g_per_ml": 19.3, "gold_fineness": 1.0},
    "1.04": {
        "area_cm2": 500.0,
        "gold_thickness_um": Range(10 * UIN, 30 * UIN, 50 * UIN),
        "gold_density_g_per_ml": 17.5,
        "gold_fineness": 0.997,
    },
    "1.05": {"weight_g": 100.0, "make": "14 karat yellow"},
    "1.07": {"weight_g": 250.0, "filled": "1/20 12K", "wear": 0.15},
    "1.09": {"weight_g": 500.0, "grade_g_per_kg": Range(2.5, 4.0, 6.0)},
    "1.11": {"weight_g": 100.0, "karat": 14 / 24},
    "1.12": {
        "area_cm2": 1.0,
        "gold_thickness_um": 0.76,
        "gold_density_g_per_ml": 17.5,
        "gold_fineness": 0.997,
        "nickel_thickness_um": 4.0,
        "copper_thickness_um": 35.0,
    },
}
ANSWERS = {
    "1.01": {"gold": ("gold", "likely")},
    "1.04": {"low": ("gold", "low"), "likely": ("gold", "likely"), "high": ("gold", "high")},
    "1.05": {"gold": ("gold", "likely"), "silver": ("silver", "likely"), "copper": ("copper", "likely")},
    "1.07": {"gold_new": ("gold_when_new", "likely"), "gold_worn": ("gold", "likely")},
    "1.09": {"low": ("gold", "low"), "likely": ("gold", "likely"), "high": ("gold", "high")},
    "1.11": {"lowest_fineness": ("lowest_lawful_fineness", "likely"), "gold": ("gold_if_lowest", "likely")},
    "1.12": {"copper_per_gold": ("copper_per_gold", "likely"), "nickel_per_gold": ("nickel_per_gold", "likely")},
}


@pytest.mark.parametrize(
    ("case", "figure"),
    [pytest.param(case, figure, id=f"{case} {figure}: {WORKED[case]['source']}") for case in ANSWERS for figure in ANSWERS[case]],
)
def test_worked_cases(case, figure):
    step = run(place=Place(), **spread(TOLD[case]))
    name, end = ANSWERS[case][figure]
    wanted = WORKED[case]["answers"][figure]
    assert getattr(step.answer(name), end) == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


def test_every_worked_case_is_told():
    # 1.02 and 1.08 are units, 1.06 is karat both ways: below
    assert set(WORKED) == {*TOLD, "1.02", "1.06", "1.08"}


@pytest.mark.parametrize(
    ("case", "figure", "found"),
    [
        ("1.02", "thickness", lambda: read("50 uin", "thickness", name="thickness").range.likely),
        ("1.08", "weight", lambda: read("3 oz t", "mass", name="w").range.likely + read("7 dwt", "mass", name="w").range.likely),
        ("1.06", "fineness_10k", lambda: 1000 * read("10 K", "fineness", name="karat").range.likely),
        ("1.06", "fineness_18k", lambda: 1000 * read("18 K", "fineness", name="karat").range.likely),
        ("1.06", "karat_of_585", lambda: karat_of(0.585)),
    ],
)
def test_worked_cases_of_units_and_karat(case, figure, found):
    wanted = WORKED[case]["answers"][figure]
    assert found() == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


# ---- the weigh-in of a whole run of trimmed fingers
def fingers(**more):
    inputs = FINGERS["inputs"]

    def told(name, factor=1.0):
        one = inputs[name]
        return Range(*(one[end] * factor for end in ("low", "likely", "high"))) if "low" in one else one["value"] * factor

    return {
        "kind": "edge tabs",
        "weight_g": told("lot_g"),
        "strips": told("strips"),
        "tabs": told("tabs"),
        "counted": "both faces",
        "length_m": told("tab_l", 1e-3),
        "width_m": told("tab_w", 1e-3),
        "area_factor": told("area_factor"),
        "gold_thickness_um": told("au_uin", UIN),
        "gold_density_g_per_ml": told("au_rho"),
        "gold_fineness": told("au_fine"),
        "nickel_thickness_um": told("ni_um"),
        "copper_thickness_um": told("cu_um"),
        "area_error": told("u_area"),
        "thickness_error": told("u_thick"),
        "density_error": told("u_rho"),
        **more,
    }


RUN_ANSWERS = {
    "area_cm2": ("area", "likely"),
    "gold_g": ("gold", "likely"),
    "gold_low_g": ("gold", "low"),
    "gold_high_g": ("gold", "high"),
    "nickel_g": ("nickel", "likely"),
    "copper_g": ("copper", "likely"),
    "grade_g_per_kg": ("grade", "likely"),
    "copper_per_gold": ("copper_per_gold", "likely"),
}


@pytest.mark.parametrize("figure", RUN_ANSWERS)
def test_a_run_of_fingers_is_weighed_in(figure):
    wanted = next(step for step in FINGERS["steps"] if step["do"] == "lot")["answers"][figure]
    name, end = RUN_ANSWERS[figure]
    found = run(place=Place(), **spread(fingers())).answer(name)
    assert getattr(found, end) == pytest.approx(wanted["value"], rel=wanted["tolerance_rel"])


def test_fingers_stand_on_the_bench_as_goods():
    step = run(place=Place(), **spread(fingers()))
    (goods,) = step.pots
    assert goods.name == "goods"
    # 420 g less gold, nickel and copper as the run has them
    assert Range.over(goods.inert_g).likely == pytest.approx(420 - 2.14422 - 5.74157 - 50.5774, rel=1e-5)
    assert step.title == "edge tabs, 420 g, 1.29 / 2.14 / 3.93 g gold"


def test_errors_of_the_run_put_together():
    # sqrt(0.05^2 + 0.2^2 + 0.03^2) = 0.20833, by hand
    step = run(place=Place(), **spread(fingers()))
    assert step.answer("gold_error").likely == pytest.approx(20.833, rel=1e-4)
    sigma = step.answer("gold_one_sigma")
    assert (sigma.low, sigma.high) == pytest.approx((2.14422 * 0.79167, 2.14422 * 1.20833), rel=1e-4)


# ---- karat, filled, sterling, pins
@pytest.mark.parametrize(
    ("told", "metals"),
    [
        pytest.param({"make": "10K yellow"}, {"gold": 41.7, "silver": 11.0, "copper": 41.0, "zinc": 6.3}, id="10 karat yellow"),
        pytest.param({"make": "18 karat yellow"}, {"gold": 75.0, "silver": 12.5, "copper": 12.5}, id="18 karat yellow"),
        pytest.param(
            {"make": "18K white palladium"}, {"gold": 75.0, "silver": 12.5, "palladium": 12.5}, id="18 karat palladium white"
        ),
        pytest.param({"kind": "sterling"}, {"silver": 92.5, "copper": 7.5}, id="sterling by its kind"),
        pytest.param(
            {"fineness": 0.583, "silver_fineness": 0.104, "copper_fineness": 0.313},
            {"gold": 58.3, "silver": 10.4, "copper": 31.3},
            id="an alloy told part by part",
        ),
        pytest.param({"fineness": 0.583, "silver_fineness": 0.104}, {"silver": 10.4, "copper": 31.3}, id="the rest copper"),
        pytest.param({"karat": 0.75, "white": "nickel", "white_share": 0.1}, {"nickel": 10.0, "copper": 15.0}, id="nickel white"),
        pytest.param(
            {"karat": 0.75, "white": "palladium", "white_share": 0.125}, {"palladium": 12.5, "silver": 12.5}, id="palladium white"
        ),
        pytest.param(
            {"base": "kovar", "gold_g": 0.5}, {"iron": 0.54 * 99.5, "nickel": 0.46 * 99.5}, id="kovar, its cobalt as nickel"
        ),
        pytest.param({"solder_g": 10.0, "gold_g": 0.1}, {"tin": 6.3, "lead": 3.7}, id="solder tails"),
        pytest.param({"kind": "pins", "gold_g": 0.5}, {"copper": 0.7 * 99.5, "zinc": 0.3 * 99.5}, id="pins on brass"),
    ],
)
def test_makes_and_bases(told, metals):
    # common makes and nominal compositions, common practice or the standards named in the facts; 100 g of each
    step = run(place=Place(), weight_g=100.0, **told)
    assert {metal: step.answer(metal).likely for metal in metals} == pytest.approx(metals)


def test_unknown_balance_runs_from_all_copper_to_all_silver():
    step = run(place=Place(), **spread({"weight_g": 100.0, "karat": 14 / 24, "silver_in_balance": Range(0.0, 0.25, 1.0)}))
    silver, copper = step.answer("silver"), step.answer("copper")
    assert (silver.low, silver.high) == pytest.approx((0, 100 * 10 / 24))
    assert (copper.low, copper.high) == pytest.approx((0, 100 * 10 / 24))


def test_silver_over_a_tenth_is_sent_to_inquart():
    # 14 karat pale: 250 per thousand silver; limits as read in Rose, The Metallurgy of Gold
    step = run(place=Place(), weight_g=85.0, make="14K pale")
    assert ("next", "inquart: silver over 150 per thousand") in step.says
    assert [notice.code for notice in step.notices] == ["inquart-advised"]
    assert step.answer("silver_per_thousand").likely == pytest.approx(250)


def test_two_parcels_of_mixed_karat_go_together():
    # 50 g of 583/104/313 and 35 g of 417/110/410: gold 43.745, silver 9.05, copper 30.0, zinc 2.205 g, by hand
    first = run(place=Place(), weight_g=50.0, make="14K yellow")
    step = run(first.pots, place=Place(), weight_g=35.0, make="10K yellow")
    assert [step.answer(metal).likely for metal in ("gold", "silver", "copper", "zinc")] == pytest.approx(
        [43.745, 9.05, 30.0, 2.205]
    )


def test_stamp_rule_is_shown_where_it_is_law():
    # 14/24 less three per thousand, 15 USC 295
    step = run(place=Place(), weight_g=100.0, karat=14 / 24, unsoldered=True)
    assert step.answer("lowest_lawful_fineness").likely == pytest.approx(580.333, rel=1e-5)
    with pytest.raises(KeyError):
        run(place=Place(law="eu"), weight_g=100.0, karat=14 / 24).answer("lowest_lawful_fineness")


@pytest.mark.parametrize(
    ("mark", "layer", "fineness"),
    [
        ("1/20 12K", 0.05, 0.5),
        ("1/20 12K GF", 0.05, 0.5),
        ("14 kt 1/10", 0.1, 14 / 24),
        ("5 %", 0.05, None),
        ("0.05", 0.05, None),
    ],
)
def test_filled_marks_are_read(mark, layer, fineness):
    assert read_filled(mark) == (pytest.approx(layer), None if fineness is None else pytest.approx(fineness))


@pytest.mark.parametrize("mark", ["", "gold", "1/0 12K", "2/1 12K", "1/20 40K", "12K", "x" * 5000])
def test_no_filled_mark(mark):
    with pytest.raises(BadQuantity, match=r"gold-filled mark|more gold|divides"):
        read_filled(mark)


# ---- what is doubted
@pytest.mark.parametrize(
    ("told", "code"),
    [
        ({"area_cm2": 100.0, "gold_thickness_um": 30.0, "kind": "edge tabs"}, "microinch-for-micron"),
        ({"area_cm2": 100.0, "gold_thickness_um": 3.0, "kind": "edge tabs"}, "thick-plating-unusual"),
        ({"weight_g": 500.0, "grade_g_per_kg": np.array([1.0, 0.5, 3.0])}, "sample-before-buying"),
        ({"weight_g": 500.0, "gold_g": 2.0, "copper_g": 480.0, "kind": "boards"}, "laminate-as-metal"),
        ({"weight_g": 500.0, "area_cm2": 200.0, "gold_thickness_um": 0.8, "kind": "edge tabs"}, "grade-unusual"),
        ({"gold_g": 2.0, "tin_g": 1.0}, "solder-on-goods"),
        ({"weight_g": 30.0, "make": "18K white palladium"}, "platinum-metals-in-lot"),
        ({"weight_g": 100.0, "gold_g": 1.0, "copper_g": np.array([90.0, 80.0, 110.0])}, "metals-outweigh-lot"),
    ],
)
def test_doubtful_figures_are_remarked_on(told, code):
    assert code in [notice.code for notice in run(place=Place(), **told).notices]


@pytest.mark.parametrize(
    "told",
    [
        {"area_cm2": 100.0, "gold_thickness_um": 0.8, "kind": "edge tabs"},
        {"weight_g": 500.0, "grade_g_per_kg": np.array([4.0, 2.0, 6.0])},
        {"weight_g": 420.0, "area_cm2": 1612.8, "gold_thickness_um": 0.762, "kind": "edge tabs"},
        {"weight_g": 100.0, "make": "18 karat yellow", "kind": "karat"},
    ],
    ids=["usual gold", "usual grade", "usual tabs", "usual karat"],
)
def test_usual_lots_raise_no_alarm(told):
    assert {notice.level for notice in run(place=Place(), **told).notices} <= {"note"}
    assert not {"microinch-for-micron", "grade-unusual", "laminate-as-metal"} & {
        n.code for n in run(place=Place(), **told).notices
    }


def test_tags_mark_the_pot():
    step = run(place=Place(), weight_g=500.0, gold_g=1.0, tags="Solder tails, silver-plated shells; old mercury relays")
    assert set(step.pots[0].marks) == {"solder", "silver plate", "mercury"}
    assert set(run(place=Place(), gold_g=1.0, tags="irony, steeled, pcbx").pots[0].marks) == set()


def test_beryllium_copper_marks_the_pot():
    assert "beryllium" in run(place=Place(), weight_g=100.0, gold_g=0.2, base="beryllium copper").pots[0].marks


# ---- what is refused
@pytest.mark.parametrize(
    ("told", "error", "words"),
    [
        ({}, CannotFollow, "the lot has nothing to go on\n  Try: tell its area"),
        ({"weight_g": 10.0, "stones_g": 20.0, "kind": "karat"}, BadQuantity, "what is no metal outweighs the lot: 20 g in 10 g"),
        ({"weight_g": 10.0, "copper_g": 20.0}, BadQuantity, "the metals outweigh the lot: 20 g in 10 g, most of it copper"),
        (
            {"gold_g": 1.0, "grade_g_per_kg": 4.0, "weight_g": 9.0},
            BadQuantity,
            "the gold is told 2 ways: by grade and by its mass",
        ),
        (
            {"area_cm2": 1.0, "copper_thickness_um": 35.0, "copper_g": 4.0},
            BadQuantity,
            "copper is told by its thickness and by its mass",
        ),
        ({"area_cm2": 1.0, "tabs": 5.0}, BadQuantity, "the area is told and counted"),
        ({"tabs": 5.0, "gold_thickness_um": 1.0}, CannotFollow, "counted tabs need their length and width"),
        ({"copper_thickness_um": 35.0}, CannotFollow, "a layer needs the area it covers"),
        ({"grade_g_per_kg": 4.0}, CannotFollow, "a lot by grade needs its weight\n  Try: --weight"),
        ({"karat": 0.5, "fineness": 0.5, "weight_g": 1.0}, BadQuantity, "by karat and by fineness"),
        ({"karat": 0.5, "make": "sterling", "weight_g": 1.0}, BadQuantity, "the make and the karat are both told"),
        ({"fineness": 0.9, "silver_fineness": 0.2, "weight_g": 1.0}, BadQuantity, "the parts come to 1100 per thousand"),
        ({"make": "14K yelow", "weight_g": 1.0}, UnknownName, "did you mean"),
        ({"kind": "edge tab"}, UnknownName, "did you mean 'edge tabs'"),
        ({"filled": "1/20", "weight_g": 1.0}, CannotFollow, "the gold-filled mark has no karat"),
    ],
)
def test_what_cannot_be_is_said(told, error, words):
    with pytest.raises(error, match=words):
        run(place=Place(), **told)


def test_a_word_the_lot_does_not_take_is_a_fault_of_the_caller():
    with pytest.raises(TypeError, match="the lot takes no gold"):
        run(place=Place(), gold=2.0)


# ---- as typed at the counter
def typed(**texts):
    told = listen(FIELDS, {name.replace("_", "-"): text for name, text in texts.items()}, label=str)
    assert not told.faults
    return run(place=Place(), **lay(told, 1)[0]), told


def test_a_stack_stands_in_with_its_whole_range():
    step, told = typed(kind="edge tabs", weight="420 g", area="1612.8 cm2")
    usual = fact("materials.stack.edge_tabs.gold").range
    assert step.answer("gold").high / step.answer("gold").low == pytest.approx(usual.high / usual.low)
    assert any(line.startswith("gold layer: 0.4/0.76/1.3") for line in told.assumed)
    assert "copper layer: 35 micron" in step.assumed


def test_a_grade_stands_in_where_only_the_weight_is_known():
    # trimmed tabs 2 to 6 g/kg, 20 to 30 g copper per gram of gold: common practice, no source
    step, _ = typed(kind="edge tabs", weight="500 g")
    assert (step.answer("gold").low, step.answer("gold").high) == pytest.approx((1.0, 3.0))
    assert (step.answer("copper").low, step.answer("copper").high) == pytest.approx((20.0, 90.0))


def test_karat_goods_lay_out_no_plating():
    step, told = typed(kind="karat", weight="30 g", karat="14")
    assert set(told.axes.values()) == {"weight_g", "karat", "practice/lot.silver_in_balance"}
    assert step.answer("gold").likely == pytest.approx(30 * 14 / 24)


def test_kinds_of_the_code_are_those_of_the_facts():
    assert tuple(row["word"] for row in table("practice/lot")["kind"]) == KINDS
    for row in table("practice/lot")["kind"]:
        assert shares(alloy(row.get("make") or row.get("base") or "copper"))


def test_fields_and_arguments_are_the_same():
    assert {field.arg for field in FIELDS} == set(LotTold.__annotations__)
    assert ROOM.choose([Pot("bath", 1.0), Pot("goods", solids_mol={"Au": 0.1})])[0].name == "goods"


# ---- properties
metal = st.floats(0, 50)


@given(st.floats(200, 1000), metal, metal, metal)
def test_nothing_is_lost_at_the_scale(weight, gold, copper, nickel):
    (goods,) = run(place=Place(), weight_g=weight, gold_g=gold, copper_g=copper, nickel_g=nickel).pots
    there = goods.inert_g + sum(goods.solid_g(solid) for solid in goods.solids_mol)
    assert there == pytest.approx(weight)


@given(st.floats(10, 5000), st.floats(0.05, 2.4), st.floats(1.1, 3))
def test_twice_the_area_is_twice_the_metal(area, thickness, times):
    one = run(place=Place(), area_cm2=area, gold_thickness_um=thickness, copper_thickness_um=35.0)
    more = run(place=Place(), area_cm2=times * area, gold_thickness_um=thickness, copper_thickness_um=35.0)
    for metal in ("gold", "copper"):
        assert more.answer(metal).likely == pytest.approx(times * one.answer(metal).likely)
    assert more.answer("copper_per_gold").likely == pytest.approx(one.answer("copper_per_gold").likely)


@given(
    st.lists(st.floats(0.1, 0.9), min_size=3, max_size=3).map(sorted),
    st.lists(st.floats(50, 900), min_size=3, max_size=3).map(sorted),
)
def test_likely_lies_inside_the_corners(thickness, area):
    gold = run(place=Place(), **spread({"area_cm2": Range(*area), "gold_thickness_um": Range(*thickness)})).answer("gold")
    assert gold.low <= gold.likely <= gold.high
    assert gold.high / gold.low == pytest.approx(thickness[2] * area[2] / (thickness[0] * area[0]))


@given(st.floats(0, 0.6), st.floats(0, 0.6))
def test_two_errors_are_more_than_one_and_less_than_their_sum(one, other):
    both = combined_error([one, other])
    assert max(one, other) <= both + 1e-12
    assert both <= one + other + 1e-12


def test_error_of_a_triangle():
    # variance of the triangular distribution: low 0, mode 3, high 6 has 36/24, by hand
    assert triangular_error(np.array([3.0, 0.0, 6.0])) == pytest.approx(np.sqrt(36 / 24) / 3)
    assert triangular_error(5.0) == 0
    with pytest.raises(OutOfRange, match=r"an error of -0\.1 cannot be"):
        combined_error([-0.1])


@given(st.floats(0, 1))
def test_no_stamp_goes_below_nothing(stamp):
    assert 0 <= lowest_lawful_fineness(stamp) <= lowest_lawful_fineness(stamp, soldered=False) <= stamp


def test_one_face_counted_is_doubled():
    assert counted_area_cm2(10, 20, 0.0075, 0.0016, 2) == pytest.approx(2 * 10 * 20 * 0.75 * 0.16)
    told = {"strips": 10.0, "tabs": 20.0, "length_m": 0.0075, "width_m": 0.0016, "gold_thickness_um": 0.8}
    both, one = (run(place=Place(), counted=counted, **told).answer("gold").likely for counted in ("both faces", "one face"))
    assert one == pytest.approx(2 * both)


@pytest.mark.parametrize("kind", ["edge tabs", "memory tabs", "boards", "pins", "sterling"])
def test_a_kind_and_a_weight_are_enough(kind):
    assert typed(kind=kind, weight="100 g")[0].pots[0].name == "goods"


@pytest.mark.parametrize("gold", [1e-320, 5e-324, 0.0])
def test_a_speck_of_gold_gives_no_infinite_figure(gold):
    step = run(place=Place(), weight_g=100.0, gold_g=gold, copper_g=50.0)
    assert all(np.isfinite([answer.range.low, answer.range.high]).all() for answer in step.answers)
