"""What a plan comes to: gold and where it lies, fume step by step, liquors and drums, and what it all hangs on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from refinekit.bench.pot import Pot
from refinekit.bench.step import Step, Table
from refinekit.ranges import Number, Range, high, likely
from refinekit.shop.plan import Plan, hangs_on
from refinekit.shop.shopping import shopping, tables

LEAST_L = 1e-9
"""Litres under which a pot is empty: strengths are not divided by less."""
SPECK_G = 1e-9
"""Gold under which a pot is said to hold none: rounding."""
LEAST_SWING_G = 1e-3
"""Grams an input must move an answer by to be worth a line: no scale in the shop sees less."""
DISSOLVED_METALS = ("Cu", "Ni", "Fe", "Zn", "Sn", "Pb", "Ag")
"""Metals a drum label asks for, by element."""


def summary(plan: Plan) -> tuple[Table, ...]:
    """The tables at the end of a plan that went through; those that still hold where it was stopped."""
    steps = plan.done_steps()
    found = [route(plan)]
    gold = gold_by_pot(plan.pots)
    if not plan.stopped_at:
        found += shopping_tables(plan, steps)
    found.append(fume(plan, steps))
    if not plan.stopped_at:
        found += [liquors(plan.pots), gold_table(plan.pots, gold), ledger(steps), moves_most(plan, steps)]
    return tuple(one for one in found if one.rows)


def route(plan: Plan) -> Table:
    """The steps as reckoned, and those left out."""
    rows = [
        (
            str(number),
            one.done.step.name if one.done else one.ask.verb,
            "usual route" if one.ask.usual else "asked for",
            one.left_out or (one.done.step.title if one.done else ""),
        )
        for number, one in enumerate(plan.steps)
    ]
    return Table("The run", ("no", "step", "from", "what"), tuple(rows))


def shopping_tables(plan: Plan, steps: Sequence[Step]) -> tuple[Table, ...]:
    """Shopping list and cost."""
    gold = total(pot.element_g("Au") for pot in plan.pots)
    return tables(shopping(steps, plan.batch.shelf), plan.batch, Range.over(gold).likely)


def fume(plan: Plan, steps: Iterable[Step]) -> Table:
    """Gas by step against the room, at the worst route."""
    from refinekit.bench.fume_limits import short_limit

    rows: list[tuple[str | float | Range, ...]] = []
    for step in steps:
        for gas in step.gases:
            room_ppm = 1e3 * gas.litres.high / plan.place.room_m3 if plan.place.room_m3 else None
            limit = short_limit(gas.formula, plan.place.law)
            rows.append(
                (
                    step.name,
                    gas.formula,
                    Range(gas.litres.low, gas.litres.likely, gas.litres.high),
                    gas.peak_l_per_min if gas.peak_l_per_min is not None else "-",
                    room_ppm if room_ppm is not None else "no room told",
                    limit if limit is not None else "-",
                )
            )
    return Table("Fume by step", ("step", "gas", "L", "peak L/min", "closed room ppm", "short limit ppm"), tuple(rows))


def total(amounts: Iterable[Number]) -> Number:
    """Sum of figures over the cases."""
    whole: Number = 0.0
    for amount in amounts:
        whole = whole + amount
    return whole


def gold_by_pot(pots: Iterable[Pot]) -> dict[str, Number]:
    """Gold of every pot that holds some [g]."""
    found = {pot.name: pot.element_g("Au") for pot in pots}
    return {name: gold for name, gold in found.items() if high(gold) > SPECK_G}


def gold_table(pots: Iterable[Pot], gold: dict[str, Number]) -> Table:
    """Where the fine gold is at the end."""
    rows: list[tuple[str | Range, ...]] = [(name, Range.over(grams)) for name, grams in gold.items()]
    if rows:
        rows.append(("all together", Range.over(total(gold.values()))))
    return Table("Fine gold expected, and where it lies", ("pot", "g"), tuple(rows))


def liquors(pots: Iterable[Pot]) -> Table:
    """Liquors left, as a drum label asks for them."""
    rows: list[tuple[str | Range, ...]] = []
    shown = [pot for pot in pots if high(pot.volume_l) > 0 and likely(pot.inert_g) < 1000 * likely(pot.volume_l)]
    metals = [metal for metal in DISSOLVED_METALS if any(high(pot.element_g(metal, solid=False)) > 1e-3 for pot in shown)]
    for pot in shown:
        litres = np.maximum(pot.volume_l, LEAST_L)  # a pot may be empty in one of the cases
        strength = [Range.over(pot.element_g(metal, solid=False) / litres) for metal in metals]
        rows.append((pot.name, Range.over(pot.volume_l), Range.over(pot.free_acid_mol / litres), *strength))
    return Table("Liquors left", ("pot", "L", "free acid mol/L", *(f"{metal} g/L" for metal in metals)), tuple(rows))


def ledger(steps: Iterable[Step]) -> Table:
    """What went into the run from outside and what came out of it, element by element, in the likely case."""
    from refinekit.bench.step import element_totals
    from refinekit.chemistry.species import molar_mass

    steps = tuple(steps)
    made = {pot.name for step in steps for pot in step.pots}
    came = tuple(stream for step in steps for stream in step.ins if stream.name not in made)
    gone = tuple(stream for step in steps for stream in step.outs if stream.name.endswith(" gas"))
    before, off = element_totals(came), element_totals(gone)
    rows: list[tuple[str | float, ...]] = []
    for element in sorted(before.keys() - {"charge", "scale", "inert", "H", "O"}):
        mass = molar_mass(element)
        there, left = Range.over(before[element]).likely * mass, Range.over(off.get(element, 0.0)).likely * mass
        rows.append((element, there, left, there - left))
    return Table("Ledger, likely case", ("element", "came in g", "left as gas g", "still here g"), tuple(rows))


def moves_most(plan: Plan, steps: Sequence[Step]) -> Table:
    """The inputs that move the gold, and the first pour of each step, most."""
    rows: list[tuple[str | float, ...]] = []
    figures: list[tuple[str, str, Number]] = [("fine gold", "g", total(pot.element_g("Au") for pot in plan.pots))]
    copper = [pot.element_g("Cu") for pot in plan.pots]
    figures.append(("copper to be carried", "g", total(copper)))
    for name, unit, figure in figures:
        rows += [
            (name, unknown, f"{swing:+.3g} {unit}") for unknown, swing in hangs_on(plan, figure) if abs(swing) > LEAST_SWING_G
        ]
    return Table("What it hangs on most", ("answer", "input", "from its low to its high end"), tuple(rows))
