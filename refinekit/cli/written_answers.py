"""What was written on a run sheet, held against the plan it was printed from."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from refinekit.bench.step import Table
from refinekit.errors import BadFile, BadQuantity
from refinekit.record import record
from refinekit.shop.book.as_done import AsDone, follows
from refinekit.shop.book.written import Blank, Written
from refinekit.shop.plan import Plan
from refinekit.shop.shopping import TO_BASE
from refinekit.show.convert import UNITS, measured_in
from refinekit.show.text import harmless
from refinekit.units import read

CURE = "the sheet must be of this very plan; what was different can be told by --used too"
HEADS = (("lot", "lot"), ("day", "at"), ("who", "who"))
"""Words at the head of a sheet, and the options that tell the same."""


@record
class Pour:
    """A pour of a plan, as its sheet has it.

    Args:
        key: key of the reagent [text]
        what: its name [text]
        to_take: what was planned [in `unit`]
        unit: mL, L, g or kg
        counts: whether it is written to the book; False for a part of a pour told beside it
        rounding: up, down or nearest
        follows: whether its vessel holds what was weighed of it
    """

    key: str
    what: str
    to_take: float
    unit: str
    counts: bool
    rounding: str
    follows: bool = False


Pours = Mapping[str, Sequence[Pour]]
"""The pours of each step, in the order of the sheet."""


def pours_of(plan: Plan) -> Pours:
    """The pours of a plan."""
    return {
        step.name: [
            Pour(one.key, one.name, one.to_take, one.unit, one.counts, one.rounding, one.unit in TO_BASE and follows(one, step))
            for one in step.reagents
        ]
        for step in plan.done_steps()
    }


def pours_of_json(steps: Iterable[Mapping[str, Any]]) -> Pours:
    """The pours of an answer read from its JSON, in which no vessel follows them: its pots are taken as they stand there."""
    return {
        step["name"]: [
            Pour(one["key"], one["name"], one["to_take"], one["unit"], one["counts"], one["rounding"]) for one in step["reagents"]
        ]
        for step in steps
    }


def with_heads(told: Mapping[str, Any], written: Written) -> dict[str, Any]:
    """What was typed, and what the head of the sheet adds.

    Raises: BadQuantity, one says what the other does not
    """
    found = dict(told)
    for word, option in HEADS:
        on_sheet, typed = getattr(written, word), (found[option] or "").strip()
        if on_sheet and typed and on_sheet != typed:
            raise BadQuantity(
                f"--{option} {typed[:40]!r} is not what the sheet says, {on_sheet[:40]!r}",
                cure=f"leave --{option} out, or mend the sheet and save it again",
            )
        found[option] = typed or on_sheet or None
    if written.second:
        found["note"] = "; ".join(filter(None, (found["note"], f"second person {written.second}")))
    return found


@record
class Held:
    """A sheet held against its plan.

    Args:
        done: what was done, the sheet's amounts with it
        differs: what was not weighed as printed
        lines: what was made of the sheet, in words
    """

    done: AsDone
    differs: Table
    lines: tuple[str, ...]


def as_written(done: AsDone, written: Written, pours: Pours) -> Held:
    """What was done, with what the sheet says of it.

    Args:
        done: what was told beside the sheet
        written: the sheet
        pours: the pours of the plan that is logged
    Raises: BadFile, the sheet is of another plan; BadQuantity, an amount that cannot be read, or a pour whose sum is not told
    """
    weighed: dict[tuple[str, int], tuple[float, str]] = {}
    parts: list[tuple[Blank, Pour]] = []
    changed: list[tuple[Blank, Pour]] = []
    for blank in written.blanks:
        pour = pour_of(blank, written, pours)
        if done.step not in ("", blank.step):
            continue
        if (blank.step, pour.key) in done.used or ("", pour.key) in done.used:
            raise BadQuantity(f"{blank.what} of {blank.step} is told by --used and by the sheet", cure="tell it once")
        if not pour.counts:
            parts.append((blank, pour))
            continue
        if pour.unit not in TO_BASE:
            continue
        weighed[blank.step, blank.row] = amount(blank, pour)
        if weighed[blank.step, blank.row][0] != TO_BASE[pour.unit][1] * pour.to_take:
            changed.append((blank, pour))
    lines = [line for blank, pour in parts if (line := said_of_part(blank, pour, pours[blank.step], weighed))]
    lines += [
        f"{step}: {what} stands in the book as weighed, the vessel as planned: weigh or measure it before its next step"
        for step, what in dict.fromkeys((blank.step, pour.what) for blank, pour in changed if not pour.follows)
    ]
    rows = tuple((blank.step, blank.what, blank.to_weigh, with_unit(blank)) for blank, _ in changed)
    table = Table("Not as printed", ("step", "what", "to weigh", "weighed"), rows)
    return Held(replace(done, weighed=weighed), table, tuple(dict.fromkeys(lines)))


def said_of_part(blank: Blank, pour: Pour, pours: Sequence[Pour], weighed: Container[tuple[str, int]]) -> str:
    """What becomes of a weighed pour that the book does not keep. Raises: BadQuantity, its sum is not told."""
    sums = [number for number, one in enumerate(pours, start=1) if one.counts and one.key == pour.key]
    if sums and not any((blank.step, number) in weighed for number in sums):
        raise BadQuantity(
            f"the sheet has parts of the {pour.what} of {blank.step} weighed, and not what it came to in all",
            cure='write the sum in its own blank, the row "in all", and save the sheet again',
        )
    if sums:
        return f"{blank.step}: of {pour.what} the sum was written down, not its parts"
    return f"{blank.step}: {pour.what} is lifted out again: what it weighed is not kept in the book"


def with_unit(blank: Blank) -> str:
    """What was written, a bare number with its unit."""
    return f"{blank.weighed} {blank.unit}" if blank.weighed[-1:].isdecimal() else blank.weighed


def pour_of(blank: Blank, written: Written, pours: Pours) -> Pour:
    """The pour of the plan that a blank is of. Raises: BadFile, the sheet is of another plan."""
    rows = pours.get(blank.step, ())
    if blank.row > len(rows):
        raise BadFile(
            f"{written.name[:80]!r}: the plan has no {blank.what[:40]!r} at row {blank.row} of {blank.step[:40]!r}", cure=CURE
        )
    pour = rows[blank.row - 1]
    printed = [measured_in(pour.to_take, pour.unit, pour.what, units, rounding=pour.rounding) for units in UNITS]
    if blank.to_weigh not in [text.partition(" (")[0] for text in printed] or not blank.what.startswith(harmless(pour.what)):
        raise BadFile(
            f"{written.name[:80]!r}: {blank.step} has {blank.to_weigh[:40]} of {blank.what[:40]} on the sheet, "
            f"{printed[0]} of {pour.what} in this plan",
            cure=CURE,
        )
    return pour


def amount(blank: Blank, pour: Pour) -> tuple[float, str]:
    """What was weighed [g or L], and by which kind; the printed figure written again is the planned one, to its last digit."""
    kind, factor = TO_BASE[pour.unit]
    name = f"{blank.step}: {blank.what}"
    one = read(blank.weighed, kind, name=name, unit=blank.unit, lowest=0.0).range
    if not one.is_point:
        raise BadQuantity(f"{name} {blank.weighed!r} is a range", cure="what was weighed is one figure, as in 5.4 g")
    planned = read(blank.to_weigh, kind, name=name, decimal_comma=False).range.likely  # printed with a dot, whoever reads
    return (factor * pour.to_take if one.likely == planned else one.likely), kind
