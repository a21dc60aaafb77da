"""The shelf of a batch file against its plan: what is taken and left, bottles to buy, ageing, expiry, the law, hazard classes."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date
from typing import Any

from refinekit.bench.step import Step, Table
from refinekit.errors import BadQuantity, CannotFollow
from refinekit.facts.load import as_fact, fact, table
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.shop.law import law_notes
from refinekit.shop.plan import Plan
from refinekit.shop.shopping import Line, shopping
from refinekit.units import read

BASE = {"mass": "g", "volume": "L"}


@record
class Need:
    """One bottle and what the plan does to it.

    Args:
        line: what the plan takes, and what there is
        bottle: size it is bought in [g or L]
        reorder: amount at which to buy [g or L]; 0 where none is told
        bottles: bottles to buy [-]; 0 where there is enough, or where nobody told what there is
    """

    line: Line
    bottle: float
    reorder: float
    bottles: int

    @property
    def left(self) -> float | None:
        """What the plan leaves [g or L]; None where it was not told what there is."""
        return None if self.line.on_hand is None else max(self.line.on_hand - self.line.wanted, 0.0)


def needs(plan: Plan) -> tuple[Need, ...]:
    """Every reagent of a plan against the shelf.

    Args:
        plan: the plan, gone through
    Raises: CannotFollow, the plan is stopped; BadQuantity, an amount that cannot be read or is of the wrong kind
    """
    if plan.stopped_at:
        raise CannotFollow(f"the plan is stopped at {plan.stopped_at}", cure="clear that first: refinekit plan FILE says why")
    return tuple(_need(line, plan.batch.shelf.get(line.key, {})) for line in shopping(plan.done_steps(), plan.batch.shelf))


def _need(line: Line, bottle: Mapping[str, object]) -> Need:
    usual = fact(f"practice/shelf.bottles.{'solid' if line.kind == 'mass' else 'liquor'}").value
    size = _amount(bottle, "bottle", line) or usual
    reorder = _amount(bottle, "reorder", line) or 0.0
    count = 0
    if line.on_hand is not None:
        missing = line.wanted - line.on_hand  # what is short, and then enough to be over the line again
        left = max(-missing, 0.0)
        wanted = max(missing, 0.0) + (max(reorder - left, 0.0) if left <= reorder and reorder else 0.0)
        count = math.ceil(wanted / size * (1 - 1e-9))
    return Need(line, size, reorder, count)


def _amount(bottle: Mapping[str, object], key: str, line: Line) -> float | None:
    if key not in bottle:
        return None
    return read(str(bottle[key]), line.kind, name=f"shelf, {line.key}, {key}", above_zero=True).range.likely


def days_between(text: str, today: date, name: str) -> int:
    """Days from a day as typed to today; below 0 for one to come. Raises: BadQuantity."""
    try:
        return (today - date.fromisoformat(text.strip())).days
    except ValueError:
        raise BadQuantity(f"{name} {text[:40]!r} is no day", cure="year-month-day, as in 2026-03-05") from None


def aged(key: str, days: int) -> Range | None:
    """Share of a reagent that is gone after so many days opened [-]; None where nothing is kept of how it ages."""
    row = next((row for row in table("practice/shelf")["age"] if row["key"] == key), None)
    if row is None or days <= 0:
        return None
    loss = as_fact(f"practice/shelf.age.{key}", {**row, **row["loss"]}).range
    gone = [1 - (1 - share) ** (days / fact("constants.year").value) for share in (loss.low, loss.likely, loss.high)]
    return Range(gone[0], gone[1], gone[2])


def notes(key: str, bottle: Mapping[str, object], today: date, law: str) -> list[str]:
    """What is to be known of a bottle: its age, its day, what the law says of it, its hazard class.

    Args:
        key: reagent key
        bottle: its texts
        today: the day it is asked on
        law: us, eu, uk or none
    Raises: BadQuantity, a day that is none, or a bottle opened on a day to come
    """
    found = []
    if "opened" in bottle:
        days = days_between(str(bottle["opened"]), today, f"shelf, {key}, opened")
        if days < 0:
            raise BadQuantity(
                f"shelf, {key}, opened {bottle['opened']!s:.40} has not come yet", cure="the day the seal was broken"
            )
        found += _age(key, days)
    if "expires" in bottle:
        days = days_between(str(bottle["expires"]), today, f"shelf, {key}, expires")
        found.append(f"{days} days past its day: test it before it is trusted" if days > 0 else f"good for {-days} days more")
    row: Mapping[str, Any] = next((row for row in table("reagents")["reagent"] if row["key"] == key), {})
    found += law_notes(key, bottle, law)
    classes = next((one["class"] for one in table("practice/shelf")["ghs"] if one["key"] == key), "")
    if classes:
        found.append(f"hazard class: {classes}")
    elif row.get("hazard"):
        found.append(f"hazard: {row['hazard']}")
    return found


def _age(key: str, days: int) -> list[str]:
    gone = aged(key, days)
    if gone is None or gone.high < fact("practice/shelf.bottles.opened_tell").value:
        return []
    row = next(row for row in table("practice/shelf")["age"] if row["key"] == key)
    return [f"opened {days} days: {100 * gone.low:.0f} to {100 * gone.high:.0f} % of it is gone; {row['do']}"]


def shelf_step(plan: Plan, today: date) -> Step:
    """The shelf against a plan, as a step."""
    found = needs(plan)
    rows: list[tuple[str, ...]] = []
    for one in found:
        unit = BASE[one.line.kind]
        buy = (
            f"{one.bottles} of {amount(one.bottle, unit)}"
            if one.bottles
            else "nothing"
            if one.left is not None
            else "see the shelf"
        )
        there = ("not told", amount(one.line.wanted, unit), "-")
        if one.line.on_hand is not None:
            there = (amount(one.line.on_hand, unit), amount(one.line.wanted, unit), amount(one.left or 0.0, unit))
        rows.append((one.line.name, *there, buy))
    keys = dict.fromkeys([*(one.line.key for one in found), *plan.batch.shelf])
    names = {row["key"]: row["name"] for row in table("reagents")["reagent"]}
    told = [
        (names.get(key, key), note) for key in keys for note in notes(key, plan.batch.shelf.get(key, {}), today, plan.place.law)
    ]
    low = [one.line.name for one in found if one.bottles]
    return Step(
        "stock",
        title=f"{len(low)} to buy" if low else "nothing to buy",
        tables=(
            Table("The shelf and the plan", ("reagent", "on the shelf", "the plan takes", "left", "to buy"), tuple(rows)),
            Table("What to know of each", ("reagent", "note"), tuple(told)),
        ),
        says=(("watch for", "the data sheet and label of your own bottle come before any class said here"),),
        assumed=(f"today is {today.isoformat()}",),
        used_facts=("practice/shelf.bottles.liquor", "practice/shelf.bottles.solid"),
    )


def amount(figure: float, unit: str) -> str:
    """An amount as it is said."""
    if unit == "g":
        return f"{figure / 1000:.3g} kg" if figure >= 1000 else f"{figure:.3g} g"
    return f"{figure:.3g} L" if figure >= 1 else f"{figure * 1000:.3g} mL"
