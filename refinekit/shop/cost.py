"""What a run costs, to the gram of gold; the grade it breaks even at; what a lot may cost at a wanted margin."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from refinekit.bench.step import Answer, Step, Table, Working
from refinekit.errors import BadQuantity, CannotFollow, raise_all
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.shop.ask import Told, listen
from refinekit.shop.batch import Batch
from refinekit.shop.cost_fields import COST_FIELDS
from refinekit.shop.cost_returns import PRECIOUS, Returned, fine_share, prices_of, returned
from refinekit.shop.largest import lot_g
from refinekit.shop.plan import Plan
from refinekit.shop.shopping import shopping
from refinekit.units import read_price
from refinekit.units.price import PriceReading

ONE = Range.point(1.0)
SECONDS_AN_HOUR = 3600
WATTS_A_KILOWATT = 1000
ACT_ON = {
    "cost": "high to have the money for it",
    "value": "low to count on",
    **dict.fromkeys(PRECIOUS, "low to count on"),
    "pay": "low: metal at its least, costs at their most",
    "break_even_grade": "high: costs at their most, the price at its least",
    "left": "low: metal at its least, costs at their most",
    "cost_per_gram": "high: costs at their most, metal at its least",
}


def plus(*parts: Range) -> Range:
    """Sum, ends to ends."""
    return Range(sum(part.low for part in parts), sum(part.likely for part in parts), sum(part.high for part in parts))


def times(one: Range, other: Range) -> Range:
    """Product of two figures that are not below nothing, ends to ends."""
    return Range(one.low * other.low, one.likely * other.likely, one.high * other.high)


def over(one: Range, other: Range) -> Range | None:
    """Quotient: least over most, most over least; None where the other may be nothing, which has no top."""
    if other.low <= 0:
        return None
    return Range(one.low / other.high, one.likely / other.likely, one.high / other.low)


def less(one: Range, other: Range) -> Range:
    """Difference: least less most, most less least."""
    return Range(one.low - other.high, one.likely - other.likely, one.high - other.low)


@record
class Money:
    """What a run costs and brings.

    Args:
        lines: (what, cost) of everything that has a price [money]
        gold_g: gold that comes out, or the metal named by `metal` [g]; None where there is none
        recovery: what comes out of it over what is in the lot, likely case [-]
        lot_kg: mass of the lot [kg]
        price: of it, fine [money/g]; None where it was not told
        paid: share of the metal that is paid for [-]
        margin: share of what the metal brings that is to be left over [-]
        lot: what the lot costs [money]; None where it was not told
        unpriced: what is used and has no price
        assumed: what was taken as given
        metal: the metal the cost is laid on: gold, or silver where there is no gold [text]
        beside: other precious metals that come out
    """

    lines: tuple[tuple[str, Range], ...]
    gold_g: Range | None
    recovery: float
    lot_kg: float
    price: Range | None
    paid: Range
    margin: Range
    lot: Range | None
    unpriced: tuple[str, ...]
    assumed: tuple[str, ...]
    metal: str = "gold"
    beside: tuple[Returned, ...] = ()

    @property
    def total(self) -> Range:
        """Everything but the lot itself [money]."""
        return plus(*(cost for _, cost in self.lines))

    @property
    def value(self) -> Range | None:
        """What the metal brings: every one that has a price [money]; None where none has."""
        parts = [times(grams, price) for _, grams, price in self.priced]
        return times(plus(*parts), self.paid) if parts else None

    @property
    def priced(self) -> list[tuple[str, Range, Range]]:
        """Metals that come out and have a price: word, grams and price."""
        own = [] if self.gold_g is None or self.price is None else [(self.metal, self.gold_g, self.price)]
        return [*own, *((one.metal, one.grams, one.price) for one in self.beside if one.price is not None)]

    @property
    def net(self) -> Range:
        """Cost less what the other metals bring, not below nothing [money]."""
        brought = [times(times(one.grams, one.price), self.paid) for one in self.beside if one.price is not None]
        bare = less(self.total, plus(*brought))
        return Range(max(bare.low, 0.0), max(bare.likely, 0.0), max(bare.high, 0.0))

    @property
    def cost_per_gram(self) -> Range | None:
        """Cost of a gram of the metal, the lot not counted and what other metals bring taken off [money/g]."""
        return None if self.gold_g is None else over(self.net, self.gold_g)

    @property
    def break_even_grade(self) -> Range | None:
        """Metal to a kilogram of lot that just pays for the run [g/kg]."""
        if self.price is None or not self.recovery or not self.lot_kg:
            return None
        a_gram = times(self.price, self.paid) * (self.recovery * self.lot_kg)
        return over(self.net, a_gram)

    @property
    def pay(self) -> Range | None:
        """What may be paid for the lot so that the margin is left [money]; below nothing where even a gift would not do."""
        value = self.value
        if value is None:
            return None
        kept = Range(1 - self.margin.high, 1 - self.margin.likely, 1 - self.margin.low)
        return less(times(value, kept), self.total)

    @property
    def left(self) -> Range | None:
        """What is left after costs and the lot [money]."""
        value = self.value
        if value is None:
            return None
        return less(value, plus(self.total, self.lot or Range.point(0.0)))


def money_of(plan: Plan, gold_price: str | None = None, **other_prices: str | None) -> Money:
    """What a plan costs and brings.

    Args:
        plan: the plan, gone through
        gold_price: price of fine gold as typed; None for the batch file's
        other_prices: the same for silver, palladium and platinum, by metal
    Raises: CannotFollow, the plan is stopped; BadQuantity, a price for the wrong unit; BadFile, costs that cannot be read
    """
    if plan.stopped_at:
        raise CannotFollow(f"the plan is stopped at {plan.stopped_at}", cure="clear that first: refinekit plan FILE says why")
    batch = plan.batch
    told = listen(COST_FIELDS, batch.costs, label=lambda key: batch.labels.get(f"costs.{key}", f"costs, {key}"))
    raise_all(told.faults)
    steps = plan.done_steps()
    prices = prices_of(plan, {"gold": gold_price, **other_prices})
    reagents, unpriced = _reagents(steps, batch, prices["silver"])
    lines = [*reagents, *_waste(steps, told), *_power(steps, told), *_labour(told)]
    if "filters" in told.figures:
        lines.append(("filters and the like", told.figures["filters"]))
    out = returned(plan, prices)
    first = out[0] if out else None
    assumed = [*told.assumed]
    if "paid" not in told.figures:
        assumed.append("all the metal is paid for")
    if prices["silver"] is not None and any(name.endswith("silver") for name, _ in reagents) and "silver" not in batch.shelf:
        assumed.append("silver that is added costs what fine silver is told to be worth")
    if "margin" not in told.figures:
        assumed.append("no margin: what is left over is nothing")
    return Money(
        tuple(lines),
        first.grams if first else None,
        first.recovery if first else 0.0,
        lot_g(plan) / 1000,
        first.price if first else None,
        told.figures.get("paid", ONE),
        told.figures.get("margin", Range.point(0.0)),
        told.figures.get("lot"),
        unpriced,
        tuple(assumed),
        first.metal if first else "gold",
        out[1:],
    )


def _reagents(steps: Iterable[Step], batch: Batch, silver: Range | None) -> tuple[list[tuple[str, Range]], tuple[str, ...]]:
    """Reagents as they are used, at the shelf's prices; silver that is added, where the shelf has none, at the metal's."""
    lines, unpriced = [], []
    for line in shopping(steps, batch.shelf):
        text = batch.shelf.get(line.key, {}).get("price")
        if text is None and line.key == "silver" and silver is not None:
            lines.append((line.name, times(line.used * fine_share(line.name), silver)))
        elif text is None:
            unpriced.append(line.name)
        else:
            price = read_price(str(text), name=f"shelf, {line.key}, price")
            price.cost(line.wanted, "g" if line.kind == "mass" else "L")  # a price for the other kind of amount is refused
            lines.append((line.name, times(line.used, price.range)))
    return lines, tuple(unpriced)


def _waste(steps: Iterable[Step], told: Told) -> list[tuple[str, Range]]:
    price = told.plain.get("waste")
    if not isinstance(price, PriceReading):
        return []
    name, per = {"g": ("cake", 1000.0), "L": ("drum", 1.0)}.get(price.per, ("", 0.0))
    if not name:
        raise BadQuantity(f"costs, waste {price.text!r} is neither by weight nor by volume", cure='waste = "3.50 /kg"')
    amounts = [one.range for step in steps for one in step.answers if one.name == name]
    return [(f"waste, by the {name}", times(_bare(amounts[-1]) * per, price.range))] if amounts else []


def _power(steps: Iterable[Step], told: Told) -> list[tuple[str, Range]]:
    price = told.plain.get("electricity")
    if not isinstance(price, PriceReading):
        return []
    if price.kind != "energy":
        raise BadQuantity(f"costs, electricity {price.text!r} is not by energy", cure='electricity = "0.30 /kWh"')
    used = told.figures.get("energy_kj", Range.point(0.0))
    hours = [one.range for step in steps for one in step.answers if one.name == "hours"]
    if "pump_w" in told.figures and hours:
        air = times(told.figures["pump_w"], plus(*map(_bare, hours))) * (SECONDS_AN_HOUR / WATTS_A_KILOWATT)
        used = plus(used, air)
    return [("power", times(used, price.range))] if used.high else []


def _labour(told: Told) -> list[tuple[str, Range]]:
    price, hours = told.plain.get("labour"), told.figures.get("hours_s")
    if not isinstance(price, PriceReading) or hours is None:
        return []
    if price.kind != "time":
        raise BadQuantity(f"costs, labour {price.text!r} is not by time", cure='labour = "20 /h"')
    return [("labour", times(hours, price.range))]


def _bare(span: Range) -> Range:
    return Range(span.low, span.likely, span.high)


def cost_step(plan: Plan, gold_price: str | None = None, **other_prices: str | None) -> Step:
    """What a run costs and brings, as a step; prices as `money_of` takes them."""
    money = money_of(plan, gold_price, **other_prices)
    others = " and ".join(one.metal for one in money.beside if one.price)
    aside = f", less the worth of the {others}" if others else ""
    figures: Mapping[str, tuple[Range | None, str, str]] = {
        "cost": (money.total, "", "reagents as used, waste, filters, power, labour; the lot not counted"),
        money.metal: (money.gold_g, "g", f"{money.metal} in the buttons"),
        **{one.metal: (one.grams, "g", f"{one.metal} that comes out") for one in money.beside},
        "cost_per_gram": (money.cost_per_gram, "/g", f"cost{aside + ',' if aside else ''} over {money.metal}"),
        "value": (money.value, "", f"{' and '.join(name for name, _, _ in money.priced)} x price x share paid for"),
        "break_even_grade": (
            money.break_even_grade,
            "g/kg",
            f"{money.metal}: cost{aside + ',' if aside else ''} over price, share paid, recovery and weight of the lot",
        ),
        "pay": (money.pay, "", "value less margin less cost: what the lot may cost"),
        "left": (money.left if money.lot else None, "", "value less cost less the lot"),
    }
    answers = [
        Answer(name, span, unit, ACT_ON.get(name, "low, likely and high ends"), because)
        for name, (span, unit, because) in figures.items()
        if span is not None
    ]
    return Step(
        "cost",
        title=f"{money.total.likely:.2f} for the run",
        answers=tuple(answers),
        tables=(budget(money), *brings(money)),
        says=tuple(said(money)),
        workings=tuple(sums(money)),
        assumed=money.assumed,
    )


def sums(money: Money) -> list[Working]:
    """The sums as one would write them down, each at the end that is acted on."""
    parts = " + ".join(f"{cost.likely:.2f}" for _, cost in money.lines) or "0"
    lines = [Working("likely cost of the run", "everything in the table, added up", parts, f"{money.total.likely:.2f}")]
    gold, price = money.gold_g, money.price
    if gold is not None and money.cost_per_gram is not None:
        sum_of = f"{money.total.high:.2f} / {gold.low:.3g} g"
        lines.append(Working("cost of a gram at most", "cost / gold", sum_of, f"{money.cost_per_gram.high:.2f} /g"))
    if gold is None or price is None or money.value is None or money.pay is None:
        return lines
    brings = f"{gold.low:.3g} g x {price.low:.4g} /g x {money.paid.low:.3g}"
    lines.append(Working("what the gold brings at least", "gold x price x share paid for", brings, f"{money.value.low:.2f}"))
    if money.break_even_grade is not None:
        grade = (
            f"{money.total.high:.2f} / ({price.low:.4g} /g x {money.paid.low:.3g} x {money.recovery:.3g} x {money.lot_kg:.3g} kg)"
        )
        how = "cost / (price x share paid for x gold in the buttons over gold of the lot x weight of the lot)"
        lines.append(Working("break-even grade at most", how, grade, f"{money.break_even_grade.high:.3g} g/kg"))
    pay = f"{money.value.low:.2f} x (1 - {money.margin.high:.3g}) - {money.total.high:.2f}"
    lines.append(Working("what may be paid for the lot at most", "value x (1 - margin) - cost", pay, f"{money.pay.low:.2f}"))
    return lines


def budget(money: Money) -> Table:
    """Every line with its share of the whole; the shares add to all of it."""
    whole = money.total.likely
    rows: list[tuple[str | Range, ...]] = [
        (name, cost, f"{100 * cost.likely / whole:.1f} %" if whole else "-") for name, cost in money.lines
    ]
    rows.append(("all together", money.total, "100 %" if whole else "-"))
    return Table("Cost, in the shelf's money", ("what", "cost", "share"), tuple(rows))


def brings(money: Money) -> tuple[Table, ...]:
    """What each metal brings, where there is more than one."""
    if len(money.priced) < 2:
        return ()
    rows = [(name, grams, price, times(times(grams, price), money.paid)) for name, grams, price in money.priced]
    return (Table("What it brings, in the shelf's money", ("metal", "g", "price, /g", "brings"), tuple(rows)),)


def said(money: Money) -> list[tuple[str, str]]:
    """What to make of it."""
    lines = []
    if money.unpriced:
        lines.append(("watch for", f"no price is told for {', '.join(money.unpriced)}: the whole is more than this"))
    if money.price is None:
        price = f'{money.metal}-price = "60 /g"'
        lines.append(("next", f"tell {price} at the top of the file for what it brings and what a lot may cost"))
    others = [one.metal for one in money.beside if one.price is None]
    if others and money.price is not None:
        lines.append(
            ("watch for", f"{' and '.join(others)} comes out too, and no price is told: it brings more (--{others[0]}-price)")
        )
    pay = money.pay
    if pay is not None:
        word = f"pay no more than {pay.low:.2f}" if pay.low > 0 else f"at the low end even a gift loses {-pay.low:.2f}"
        lines.append(("what to pay", f"{word}: metal at its least, costs at their most (likely {pay.likely:.2f})"))
    return lines
