"""The account by item: what each item of a lot should hold, its share of what was found, and who gets it."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.account import run
from refinekit.bench.lot import run as lot
from refinekit.bench.place import Place
from refinekit.bench.step import Step, Table
from refinekit.errors import BadQuantity, UnknownName
from refinekit.ranges import Range
from refinekit.shop.ask import lay, listen
from refinekit.shop.batch import read_batch
from refinekit.shop.plan import run_plan
from refinekit.units import read_price

MIXED = "50 g of 14 karat yellow from tray 1; 35 g of 10 karat yellow from tray 2"
HARD = "50 g of 583/104/313; 35 g of 417/110/410/63"
EXAMPLES = Path(__file__).parents[2] / "examples"


def table(step: Step, title: str) -> Table:
    return next(one for one in step.tables if one.title == title)


def row(step: Step, number: int, title: str = "by item") -> dict[str, object]:
    found = table(step, title)
    return dict(zip(found.columns, found.rows[number], strict=True))


def column(step: Step, name: str, title: str = "by item") -> list[Range]:
    found = table(step, title)
    return [line[found.columns.index(name)] for line in found.rows]  # type: ignore[misc]


# ---- by hand: 50 x 0.583 = 29.15 g and 35 x 0.417 = 14.595 g of 43.745 g
def test_each_item_has_its_part_of_the_gold_at_the_scale() -> None:
    step = lot(place=Place(), kind="karat", items=HARD)
    assert [one.likely for one in column(step, "gold g")] == pytest.approx([29.15, 14.595])
    assert [one.likely for one in column(step, "% of the gold")] == pytest.approx([66.636, 33.364], rel=1e-4)
    # 104 and 110 per thousand: 5.2 and 3.85 g
    assert [one.likely for one in column(step, "silver g")] == pytest.approx([5.2, 3.85])


def test_one_item_has_no_table_of_its_own() -> None:
    assert "by item" not in {one.title for one in lot(place=Place(), kind="karat", items="50 g of 583/104/313").tables}


def test_what_was_found_is_shared_by_what_each_should_have_brought() -> None:
    # 43.1 g at 999.2 is 43.0655 g: 0.66636 and 0.33364 of it
    step = run(place=Place(), items=HARD, bar_g=43.1, fineness=0.9992)
    assert step.answer("expected").likely == pytest.approx(43.745)
    assert [one.likely for one in column(step, "gets back g")] == pytest.approx([28.697, 14.368], rel=1e-4)


def test_the_ends_are_each_stamp_as_poor_as_the_law_lets_it_be() -> None:
    # 7 parts of 50 g and of 35 g are 0.35 and 0.245 g: 28.8/43.395, 29.15/43.5; 14.35/43.5, 14.595/43.395
    first, second = column(run(place=Place(), items=HARD, bar_g=43.1, fineness=0.9992), "share %")
    assert (first.low, first.high) == pytest.approx((100 * 28.8 / 43.395, 100 * 29.15 / 43.5))
    assert (second.low, second.high) == pytest.approx((100 * 14.35 / 43.5, 100 * 14.595 / 43.395))


def test_elsewhere_a_stamp_is_taken_at_its_word() -> None:
    first = column(run(place=Place(law="eu"), items=HARD, bar_g=43.1, fineness=0.9992), "share %")[0]
    assert first.low == first.high == pytest.approx(66.636, rel=1e-4)


def test_stamps_alone_leave_an_error() -> None:
    # a rectangle of 0.595 g: over sqrt(12)
    assert run(place=Place(), items=HARD, bar_g=43.1, fineness=0.9992).answer("sigma").likely == pytest.approx(0.595 / 12**0.5)
    assert run(place=Place(), items=HARD, bar_g=43.1, error=0.01).answer("sigma").likely == pytest.approx(0.43745)


def test_the_pay_goes_the_same_way() -> None:
    # 43.0655 g x 100 x 0.98 = 4220.4
    step = run(place=Place(), items=HARD, bar_g=43.1, fineness=0.9992, price=read_price("100 EUR/g", name="price"), payable=0.98)
    assert [one.likely for one in column(step, "pays EUR")] == pytest.approx([2812.3, 1408.1], rel=1e-4)


def test_items_of_one_seller_are_put_together() -> None:
    step = run(place=Place(), items=f"{MIXED}; 5 g of 750/125/125 from tray 2", bar_g=47.0, fineness=0.999)
    assert [line[1] for line in table(step, "by whom").rows] == ["tray 1", "tray 2"]
    # 50 x 0.583 (or what the makes of facts say), 35 x 0.417 + 5 x 0.75 = 18.345 g
    assert row(step, 1, "by whom")["expected g"].likely == pytest.approx(35 * 0.417 + 3.75)  # type: ignore[attr-defined]


def test_metal_the_shop_added_stays_the_shops() -> None:
    # 9.05 g of silver came with the items; 100 g were expected in all
    step = run(place=Place(), items=HARD, metal="silver", expected_g=100.0, bar_g=90.0, fineness=1.0)
    last = row(step, 2)
    assert last["item"] == "not of the items (the shop's)"
    assert last["gets back g"].likely == pytest.approx(0.9095 * 90)  # type: ignore[attr-defined]


def test_a_plan_shares_out_by_the_figures_the_lot_was_weighed_in_by() -> None:
    text = (EXAMPLES / "karat.toml").read_text(encoding="utf-8")
    text = text.replace("35 g of 10 karat yellow", "33/35/37 g of 10 karat yellow")
    plan = run_plan(read_batch(text, "karat.toml"))
    steps = {one.name: one for one in plan.done_steps()}
    assert len([name for name in plan.unknowns if "item" in name]) == 1
    first, second = table(steps["lot"], "by item"), table(steps["account"], "by item")
    for here, there in zip(first.rows, second.rows, strict=True):
        assert here[1].likely == pytest.approx(there[1].likely)  # type: ignore[union-attr]
        assert here[1].high == pytest.approx(there[1].high)  # type: ignore[union-attr]
    bar = sum(line[-1].likely for line in second.rows)  # type: ignore[union-attr]
    where = {line[0]: line[3] for line in table(steps["account"], "where it is by the plan").rows}
    assert bar == pytest.approx(where["bar"].likely)  # type: ignore[union-attr]


def test_a_filled_item_brings_its_worn_layer() -> None:
    # 250 g at 1/20 of 12 karat, a tenth worn: 250 x 0.05 x 0.5 x 0.9 = 5.625 g
    step = lot(place=Place(), kind="karat", items="250 g of 1/20 12K from drawer; 20 g of 583/104/313")
    assert row(step, 0)["gold g"].likely == pytest.approx(5.625)  # type: ignore[attr-defined]
    assert "lowest_lawful_fineness" not in {one.name for one in step.answers}
    assert any("filled goods apart" in line for heading, line in step.says if heading == "next")


@given(st.lists(st.floats(1.0, 500.0), min_size=2, max_size=5), st.floats(0.5, 1.0))
def test_shares_add_to_all_of_it(masses: list[float], found: float) -> None:
    items = "; ".join(f"{mass:.3f} g of {fineness}" for mass, fineness in zip(masses, (585, 750, 417, 916, 333), strict=False))
    expected = run(place=Place(), items=items, bar_g=1.0).answer("expected").likely
    step = run(place=Place(), items=items, bar_g=found * expected)
    assert sum(one.likely for one in column(step, "gets back g")) == pytest.approx(found * expected)
    for one in column(step, "share %"):
        assert 0 <= one.low <= one.likely <= one.high <= 100


def test_ranges_of_items_are_read_at_the_desk() -> None:
    from refinekit.bench.account import FIELDS

    told = listen(FIELDS, {"items": "30/35/40 g of 10K; 50 g of 14K", "bar": "43 g"}, label=str)
    figures, _ = lay(told, 1)
    assert not told.faults
    own = column(run(place=Place(), **figures), "expected g")[0]
    assert (own.low, own.high) == pytest.approx((30 * 10 / 24, 40 * 10 / 24))


@pytest.mark.parametrize(
    ("told", "fault", "said"),
    [
        ({"items": "50 g 14K"}, BadQuantity, "no item of a lot"),
        ({"items": "50 g of unobtainium"}, UnknownName, "no alloy known"),
        ({"items": "50 g of sterling silver"}, BadQuantity, "none of the items holds gold"),
        ({"items": ";"}, BadQuantity, "no items"),
        ({"items": "50 g of 14K from"}, BadQuantity, "no item of a lot"),
    ],
)
def test_items_that_cannot_be_shared_by(told: dict[str, str], fault: type[Exception], said: str) -> None:
    with pytest.raises(fault, match=said):
        run(place=Place(), bar_g=10.0, **told)
