"""The same plan with what-if changes, side by side: each change is a file never written, and only what differs is told."""

from __future__ import annotations

import string
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from refinekit.bench.step import Step, Table
from refinekit.errors import BadQuantity, RefinekitError
from refinekit.facts.load import fact
from refinekit.how_far import counted
from refinekit.nearest import did_you_mean
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.shop.batch import read_batch
from refinekit.shop.narrow import TELLING
from refinekit.shop.plan import Plan, run_plan
from refinekit.shop.reagent_names import reagent_names
from refinekit.shop.samples import reached
from refinekit.shop.shopping import shopping
from refinekit.shop.verbs import ROOMS
from refinekit.units.typed import prefixed

MOST_CHANGES = 6
"""Changes side by side: more does not fit a page."""
SECTIONS = ("lot", "shop", "shelf", "limits", "costs", "unknowns")
AS_WRITTEN = "as written"
ABSENT = "-"
SAME = "same"
SPECK = 1e-9
"""Amount under which a difference is rounding [in any unit]."""

Figure = tuple[Range, str]
Key = tuple[str, str]


@record
class Change:
    """One what-if.

    Args:
        text: as typed
        settings: (path, value) pairs, path by its words
    """

    text: str
    settings: tuple[tuple[tuple[str, ...], str], ...]


def read_change(text: str) -> Change:
    """A what-if as typed.

    Args:
        text: as shelf.nitric.strength="65 %"; several that go together with ; between them
    Raises: BadQuantity, no path or no value in it
    """
    settings = []
    for part in text.split(";"):
        path, sign, value = part.partition("=")
        words = tuple(word.strip() for word in path.strip().split("."))
        value = value.strip().strip("\"'").strip()
        if not sign or len(words) < 2 or not all(words) or not value:
            raise BadQuantity(
                f"--change {part.strip()[:60]!r} does not say what becomes what",
                cure='--change shelf.nitric.strength="65 %", or --change "leach.air=4 L/min; shop.fan=20 m3/min"',
            )
        settings.append((words, value))
    return Change(text.strip(), tuple(settings))


def applied(change: Change) -> Callable[[dict[str, Any]], None]:
    """What a change does to a file that was read. The function raises: BadQuantity, no such section or step."""

    def apply(data: dict[str, Any]) -> None:
        for words, text in change.settings:
            value: object = {"true": True, "false": False}.get(text.lower(), text)
            head, *rest = words
            if head in SECTIONS:
                set_in(data.setdefault(head, {}), rest if head != "shelf" else shelf_words(data, rest), value)
            elif head.split(" ")[0] in ROOMS:
                set_in(step_of(data, head), rest, value)
            else:
                raise BadQuantity(
                    f"--change {'.'.join(words)[:60]!r}: {head[:40]!r} is neither a section nor a step",
                    cure=did_you_mean(head, (*SECTIONS, *ROOMS), f"one of: {', '.join(SECTIONS)}, or a step as leach.air"),
                )

    return apply


def shelf_words(data: Mapping[str, Any], words: Sequence[str]) -> list[str]:
    """The bottle by the name the file calls it, then the key."""
    names = reagent_names()
    wanted = names.get(words[0].replace("-", " ").lower(), words[0])
    for word in data.get("shelf", {}):
        if names.get(word.replace("-", " ").lower()) == wanted:
            return [word, *words[1:]]
    return list(words)


def set_in(section: dict[str, Any], words: Sequence[str], value: object) -> None:
    """Set a key, however the file writes it: gold.thickness, gold-thickness or gold = { thickness = ... }."""
    joined = "-".join(words)
    first, _, rest = joined.partition("-")
    inner = section.get(words[0])
    if isinstance(inner, dict) and len(words) > 1:
        inner["-".join(words[1:])] = value
    elif isinstance(section.get(first), dict) and rest:
        section[first][rest] = value
    elif len(words) > 1 and words[0] not in section and joined not in section and len(words) == 2 and "strength" in words:
        section[words[0]] = {words[1]: value}  # a bottle the shelf has not got yet
    else:
        section[joined] = value


def step_of(data: dict[str, Any], head: str) -> dict[str, Any]:
    """The step of a verb, as "rinse" or "rinse 2"; one that is not written is added, and takes its place in the usual route.

    Raises: BadQuantity, there are fewer steps of that verb
    """
    verb, _, number = head.partition(" ")
    listed = data.setdefault("step", [])
    steps = [one for one in listed if isinstance(one, dict) and one.get("do") == verb]
    at = int(number) if number.isdigit() else 1
    if not steps and at == 1:
        listed.append({"do": verb})
        added: dict[str, Any] = listed[-1]
        return added
    if not 1 <= at <= len(steps):
        raise BadQuantity(
            f"--change {head[:40]!r}: the file writes {len(steps)} steps of {verb}",
            cure=f"write the step in the file, or {verb}.KEY",
        )
    return steps[at - 1]


def rehearsals(text: str, name: str, changes: Sequence[Change]) -> tuple[Plan, tuple[Plan, ...]]:
    """The plan as written, and with each change.

    Args:
        text, name: the batch file
        changes: what-ifs, each by itself
    Raises: BadQuantity, no change, too many, or one that cannot be; BadFile, the file itself
    """
    if not 1 <= len(changes) <= MOST_CHANGES:
        raise BadQuantity(
            f"{len(changes)} changes to rehearse", cure=f'from 1 to {MOST_CHANGES}, each as --change shelf.nitric.strength="65 %"'
        )
    base = run_plan(read_batch(text, name))
    return base, tuple(counted((_changed(text, name, change) for change in changes), "changes", len(changes)))


def _changed(text: str, name: str, change: Change) -> Plan:
    try:
        return run_plan(read_batch(text, name, applied(change)))
    except RefinekitError as fault:
        if fault.what.startswith("--change"):
            raise
        raise type(fault)(prefixed(f"--change {change.text[:60]!r}: ", fault.what), cure=fault.cure) from None


# ---- what differs
def pours(plan: Plan) -> dict[Key, Figure]:
    """What is weighed and poured."""
    return {
        (step.name, ", ".join(filter(None, (one.name, one.when)))): (Range.point(one.to_take), one.unit)
        for step in shown(plan)
        for one in step.reagents
    }


def gases(plan: Plan) -> dict[Key, Figure]:
    """Gases with their most at once."""
    found: dict[Key, Figure] = {}
    for step in shown(plan):
        for gas in step.gases:
            found[step.name, gas.formula] = (gas.litres, "L")
            if gas.peak_l_per_min is not None:
                found[step.name, f"{gas.formula} at most at once"] = (Range.point(gas.peak_l_per_min), "L/min")
    return found


def figures(plan: Plan) -> dict[Key, Figure]:
    """Answers."""
    return {(step.name, one.name.replace("_", " ")): (one.range, one.unit) for step in shown(plan) for one in step.answers}


def telling(plan: Plan) -> dict[Key, Figure]:
    """The answers a shop acts on."""
    return {
        key: found for key, found in figures(plan).items() if key[1] in (*TELLING, "drum", "vessel", "temperature", "expected")
    }


def money(plan: Plan) -> dict[Key, Figure]:
    """What is bought and what it costs, where the plan went through."""
    if plan.stopped_at:
        return {}
    lines = shopping(plan.done_steps(), plan.batch.shelf)
    found: dict[Key, Figure] = {
        ("shelf", line.name): (Range.point(line.wanted), "g" if line.kind == "mass" else "L") for line in lines
    }
    priced = [line.cost for line in lines if line.cost is not None]
    if priced:
        found["cost", "reagents together"] = (Range.point(sum(priced)), "")
    return found


def shown(plan: Plan) -> tuple[Step, ...]:
    """The steps whose figures may be shown."""
    return tuple(one.done.step for one in reached(plan) if one.done)


def cautions(plan: Plan) -> dict[Key, str]:
    """Cautions by step and code, the worst level of each."""
    levels = ("note", "warn", "stop")
    found: dict[Key, str] = {}
    for step, notice in plan.notices():
        word = f"{notice.level} (lifted)" if notice.reason else notice.level
        key = (step, notice.code)
        if key not in found or levels.index(notice.level) > levels.index(found[key].split(" ")[0]):
            found[key] = word
    return found


KINDS: tuple[tuple[str, Callable[[Plan], dict[Key, Figure]]], ...] = (
    ("What is weighed and poured", pours),
    ("What is taken off the shelf", money),
    ("Gas", gases),
    ("What it comes to", telling),
    ("Every figure", figures),
)


def differences(base: Plan, others: Sequence[Plan]) -> tuple[Table, ...]:
    """Tables of what differs alone: cautions first, then figures.

    Args:
        base: the plan as written
        others: the same with a change each, called A, B and so on
    """
    columns = ("what", AS_WRITTEN, *letters(len(others)))
    plans = (base, *others)
    tables = [Table("Cautions", columns, tuple(_caution_rows(plans)))]
    for title, kind in KINDS:
        found = [kind(plan) for plan in plans]
        keys = dict.fromkeys(key for one in found for key in one)
        rows = [row(key, [one.get(key) for one in found]) for key in keys if differs([one.get(key) for one in found])]
        tables.append(Table(title, columns, tuple(rows)))
    return tuple(table for table in tables if table.rows)


def letters(count: int) -> tuple[str, ...]:
    """A, B, C and so on."""
    return tuple(string.ascii_uppercase[:count])


def row(key: Key, found: Sequence[Figure | None]) -> tuple[str, ...]:
    """A line: the figure as written, then each change's where it differs."""
    first, *others = found
    return (", ".join(key), cell(first), *(cell(one) if differs([first, one]) else SAME for one in others))


def _caution_rows(plans: Sequence[Plan]) -> Iterable[tuple[str, ...]]:
    found = [cautions(plan) for plan in plans]
    for key in dict.fromkeys(key for one in found for key in one):
        first, *others = [one.get(key, ABSENT) for one in found]
        if any(one != first for one in others):
            yield (", ".join(key), first, *(one if one != first else SAME for one in others))


def differs(found: Sequence[Figure | None]) -> bool:
    """Whether any of the figures is another than the first, by more than rounding."""
    near = fact("practice/unknowns.rehearse.near").value
    first = found[0]
    for one in found[1:]:
        if (one is None) != (first is None):
            return True
        if one is not None and first is not None:
            pairs = zip((one[0].low, one[0].likely, one[0].high), (first[0].low, first[0].likely, first[0].high), strict=True)
            if any(abs(new - old) > max(near * max(abs(new), abs(old)), SPECK) for new, old in pairs):
                return True
    return False


def cell(found: Figure | None) -> str:
    """A figure with its unit; low, likely and high where it has a range."""
    if found is None:
        return ABSENT
    span, unit = found
    ends = (span.likely,) if span.is_point else (span.low, span.likely, span.high)
    figures = "–".join(as_figure(end) for end in ends)
    return f"{figures} {unit}".rstrip()


def as_figure(value: float) -> str:
    """A figure in three significant digits, written out."""
    rounded = float(f"{value:.3g}")
    return f"{rounded:.0f}" if abs(rounded) >= 1000 else format(rounded, "g")


def rehearse_step(text: str, name: str, changes: Sequence[Change]) -> tuple[Plan, Step]:
    """What differs, as a step.

    Args:
        text, name: the batch file
        changes: what-ifs, each by itself
    """
    base, others = rehearsals(text, name, changes)
    tables = differences(base, others)
    says = list(zip(letters(len(changes)), (change.text for change in changes), strict=True))
    says += [
        ("stopped", f"{letter}: at {plan.stopped_at}")
        for letter, plan in zip(letters(len(others)), others, strict=True)
        if plan.stopped_at
    ]
    if base.stopped_at:
        says.insert(0, ("stopped", f"{AS_WRITTEN}: at {base.stopped_at}"))
    if not tables:
        says.append(("what differs", "nothing: not one figure of the plan hangs on it"))
    title = f"{len(changes)} change{'s' if len(changes) > 1 else ''}"
    return base, Step("rehearse", title=title, tables=tables, says=tuple(says))
