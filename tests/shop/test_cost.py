"""What a run costs and brings, each line by hand."""

import json
from pathlib import Path

import pytest

from refinekit.errors import CannotFollow, RefinekitError
from refinekit.ranges import Range
from refinekit.shop.batch import read_batch
from refinekit.shop.cost import Money, budget, cost_step, money_of
from refinekit.shop.cost_returns import Returned
from refinekit.shop.plan import Plan, run_plan
from refinekit.units import read_price
from tests.command import Run

DATA = Path(__file__).parents[1] / "data"
FINGERS = (DATA / "run_fingers.toml").read_text(encoding="utf-8")
COSTS = """
[costs]
electricity = "0.30 /kWh"
pump = "12 W"
energy = "2/3/4 kWh"
labour = "20 /h"
hours = "4/6/8 h"
filters = "3"
paid = "97 %"
margin = "20 %"
"""


def plan_of(costs: str = COSTS, shelf: str = 'price = "18 /L"\n', *, strip: bool = False) -> Plan:
    fingers = FINGERS.replace('[shelf.hydrochloric]\nstrength = "20 Be"\n', "") if strip else FINGERS
    text = fingers.replace('strength = "68 %"\n', f'strength = "68 %"\n{shelf}').replace("\n[[step]]", f"{costs}\n[[step]]", 1)
    return run_plan(read_batch(text, "lot.toml"))


@pytest.fixture(scope="module")
def plan() -> Plan:
    return plan_of()


@pytest.fixture(scope="module")
def money(plan: Plan) -> Money:
    return money_of(plan, "60 /g")


def line(money: Money, name: str) -> Range:
    return next(cost for what, cost in money.lines if what == name)


def test_nitric_costs_from_its_bare_need_to_what_is_measured_out(plan: Plan, money: Money) -> None:
    step = next(step for step in plan.done_steps() if step.name == "dissolve")
    ceiling, bare = step.answer("nitric_ceiling").high, step.answer("nitric_no2_route")
    cost = line(money, "nitric acid")
    assert cost.high == pytest.approx(ceiling / 1000 * 18, rel=1e-6)  # never more than stands ready
    assert (cost.low, cost.likely) == pytest.approx(
        (bare.low / 1000 * 18, bare.likely / 1000 * 18), rel=1e-6
    )  # stopped at a sign


def test_what_is_poured_whole_costs_one_figure() -> None:
    found = money_of(plan_of(shelf='price = "18 /L"\n[shelf.hydrochloric]\nprice = "4 /L"\n', strip=True), "60 /g")
    assert line(found, "hydrochloric acid").is_point


def test_power_is_pump_hours_and_the_rest_by_the_kilowatt_hour(plan: Plan, money: Money) -> None:
    hours = next(step for step in plan.done_steps() if step.name == "leach").answer("hours")
    power = line(money, "power")
    assert power.low == pytest.approx(0.30 * (0.012 * hours.low + 2), rel=1e-6)
    assert power.likely == pytest.approx(0.30 * (0.012 * hours.likely + 3), rel=1e-6)
    assert power.high == pytest.approx(0.30 * (0.012 * hours.high + 4), rel=1e-6)


def test_labour_is_hours_at_their_price(money: Money) -> None:
    assert (line(money, "labour").low, line(money, "labour").likely, line(money, "labour").high) == pytest.approx((80, 120, 160))


def test_the_budget_adds_to_all_of_it(money: Money) -> None:
    rows = budget(money).rows
    assert sum(row[1].likely for row in rows[:-1]) == pytest.approx(rows[-1][1].likely)
    assert sum(float(str(row[2]).split(" ")[0]) for row in rows[:-1]) == pytest.approx(100, abs=0.2)


def test_what_a_lot_may_cost_is_value_less_margin_less_costs(plan: Plan, money: Money) -> None:
    gold = next(step for step in plan.done_steps() if step.name == "melt").answer("gold_in_button")
    total = money.total
    assert money.value is not None
    assert money.pay is not None
    assert money.value.likely == pytest.approx(gold.likely * 60 * 0.97)
    assert money.pay.likely == pytest.approx(gold.likely * 60 * 0.97 * 0.8 - total.likely)
    assert money.pay.low == pytest.approx(gold.low * 60 * 0.97 * 0.8 - total.high)
    assert money.pay.high == pytest.approx(gold.high * 60 * 0.97 * 0.8 - total.low)


def test_a_lot_at_its_break_even_grade_brings_what_it_costs(money: Money) -> None:
    assert money.break_even_grade is not None
    gold_g = money.break_even_grade.likely * money.lot_kg * money.recovery
    assert gold_g * 60 * 0.97 == pytest.approx(money.total.likely)


def test_a_gram_costs_the_whole_over_the_gold_ends_against_ends(money: Money) -> None:
    assert money.cost_per_gram is not None
    assert money.gold_g is not None
    assert money.cost_per_gram.high == pytest.approx(money.total.high / money.gold_g.low)
    assert money.cost_per_gram.low == pytest.approx(money.total.low / money.gold_g.high)


def test_hauling_is_by_the_kilogram_of_cake() -> None:
    text = 'route = "as written"\n[lot]\nkind = "boards"\nweight = "1 kg"\n[costs]\nwaste = "3.50 /kg"\n'
    text += '[[step]]\ndo = "sludge"\ncopper = "66 g"\n'
    plan = run_plan(read_batch(text, "lot.toml"))
    cake = plan.done_steps()[-1].answer("cake")
    found = line(money_of(plan), "waste, by the cake")
    assert (found.low, found.high) == pytest.approx((3.5 * cake.low, 3.5 * cake.high))


def test_without_a_gold_price_costs_are_told_and_the_rest_is_asked_for(plan: Plan) -> None:
    step = cost_step(plan)
    assert {one.name for one in step.answers} == {"cost", "gold", "cost_per_gram"}
    assert "gold-price" in dict(step.says)["next"]
    assert "hydrochloric acid" in dict(step.says)["watch for"]


def test_the_acid_side_of_a_lot_costs_what_was_worked_out() -> None:
    """Worked case 11.12: volumes and weights times prices, over the gold recovered."""
    case = next(
        c for c in json.loads((DATA / "worked" / "area11.json").read_text(encoding="utf-8"))["cases"] if c["id"] == "11.12"
    )
    bought = [("2.50 /L", 0.7, "L"), ("18.00 /L", 0.012, "L"), ("7.00 /kg", 6.0, "g"), ("9.00 /kg", 8.0, "g")]
    lines = tuple((text, Range.point(read_price(text, name="price").cost(amount, unit))) for text, amount, unit in bought)
    one = Range.point(1.0)
    money = Money(lines, Range.point(2.0), 1.0, 1.0, None, one, Range.point(0.0), None, (), ())
    assert money.total.likely == pytest.approx(case["answers"]["cost"]["value"], rel=2e-3)
    assert money.cost_per_gram is not None
    assert money.cost_per_gram.likely == pytest.approx(case["answers"]["cost_per_gram"]["value"], rel=2e-3)


BAD = [
    ('[costs]\nelectricity = "0.30 /kg"\nenergy = "2 kWh"\n', "not by energy"),
    ('[costs]\nlabour = "20 /kg"\nhours = "2 h"\n', "not by time"),
    ('[costs]\nwaste = "20 /h"\n', "neither by weight nor by volume"),
    ('[costs]\nmargin = "120 %"\n', "margin"),
    ('[costs]\nhours = "8/6/4 h"\n', "hours"),
    ('[costs]\nlabor = "20 /h"\n', "did you mean 'labour'"),
]


@pytest.mark.parametrize(("costs", "said"), BAD, ids=lambda word: word[8:24])
def test_a_cost_that_cannot_be_is_one_sentence(costs: str, said: str) -> None:
    with pytest.raises(RefinekitError) as caught:
        money_of(plan_of(costs))
    assert said in str(caught.value)


def test_a_gold_price_by_the_litre_is_refused(plan: Plan) -> None:
    with pytest.raises(RefinekitError, match="not by weight"):
        money_of(plan, "60 /L")


def test_a_stopped_plan_has_no_cost() -> None:
    steps = "".join(f'[[step]]\ndo = "{verb}"\n' for verb in ("leach", "dissolve", "neutralise"))
    text = f'route = "as written"\n[lot]\nkind = "edge tabs"\nweight = "100 g"\narea = "400 cm2"\n{steps}'
    with pytest.raises(CannotFollow, match="is stopped at"):
        money_of(run_plan(read_batch(text, "lot.toml")))


def test_the_command_says_what_to_pay(refinekit: Run) -> None:
    file = str(Path(__file__).parents[2] / "examples" / "edge-tabs.toml")
    said = refinekit("cost", file)
    assert said.returncode == 0, said.stderr
    assert "what to pay" in said.stdout


# ---- silver, palladium and platinum
EXAMPLES = Path(__file__).parents[2] / "examples"


def example(name: str, more: str = "") -> Plan:
    return run_plan(read_batch(more + (EXAMPLES / name).read_text(encoding="utf-8"), name))


@pytest.fixture(scope="module")
def karat() -> Plan:
    return example("karat.toml")


def test_silver_that_comes_out_is_worth_its_price(karat: Plan) -> None:
    buttons = {step.name: step for step in karat.done_steps() if step.name.startswith("melt")}
    gold, silver = buttons["melt"].answer("gold_in_button"), buttons["melt 2"].answer("silver_in_button")
    money = money_of(karat, "100 /g", silver="1.10/1.20/1.30 /g")
    assert money.value is not None
    assert money.value.likely == pytest.approx(gold.likely * 100 + silver.likely * 1.2)
    assert (money.value.low, money.value.high) == pytest.approx(
        (gold.low * 100 + silver.low * 1.1, gold.high * 100 + silver.high * 1.3)
    )


def test_silver_put_in_to_inquart_costs_what_silver_is_worth(karat: Plan) -> None:
    # 89.98 g of sterling to a quarter gold: 92.5 % of it is silver
    cost = line(money_of(karat, "100 /g", silver="1.20 /g"), "sterling silver")
    assert cost.likely == pytest.approx(89.98 * 0.925 * 1.2, rel=1e-4)
    assert "sterling silver" in money_of(karat, "100 /g").unpriced


def test_silver_without_a_price_is_told_of(karat: Plan) -> None:
    said = [text for heading, text in cost_step(karat, "100 /g").says if heading == "watch for"]
    assert any("silver comes out too" in text for text in said)


def test_a_silver_run_is_costed_by_its_silver() -> None:
    step = cost_step(example("sterling.toml", 'silver-price = "1.20 /g"\n'))
    grams, per_gram, cost = (step.answer(name).likely for name in ("silver", "cost_per_gram", "cost"))
    assert per_gram == pytest.approx(cost / grams)
    assert step.answer("value").likely == pytest.approx(1.2 * grams)
    assert "gold" not in {one.name for one in step.answers}


def test_a_price_on_the_command_goes_before_that_of_the_file(karat: Plan) -> None:
    plan = example("karat.toml", 'silver-price = "9 /g"\n')
    assert money_of(plan, "100 /g", silver="1 /g").value == money_of(karat, "100 /g", silver="1 /g").value


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ('silver-price = "1 /L"\n', "not by weight"),
        ("silver-price = 1.2\n", "is not text"),
        ('silvr-price = "1 /g"\n', "did you mean"),
    ],
)
def test_a_silver_price_that_cannot_be_is_one_sentence(more: str, said: str) -> None:
    with pytest.raises(RefinekitError) as caught:
        money_of(example("sterling.toml", more))
    assert said in str(caught.value)


def test_the_other_metals_cost_nothing_from_a_gram_of_gold_when_they_pay_for_all() -> None:
    """A closed form: cost 100, 50 g of silver at 1.2 is 60, so 40 over 2 g of gold is 20 a gram."""
    silver = Returned("silver", Range.point(50.0), 1.0, Range.point(1.2))
    one = Range.point(1.0)
    money = Money((("all", Range.point(100.0)),), Range.point(2.0), 1.0, 1.0, one, one, one, None, (), (), "gold", (silver,))
    assert money.cost_per_gram is not None
    assert money.cost_per_gram.likely == pytest.approx(20.0)
