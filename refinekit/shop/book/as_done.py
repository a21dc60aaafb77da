"""A plan written down as done: an event a step, with what was used beside what was planned, and what moved between vessels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from typing import Any

import numpy as np

from refinekit.bench.pot import Pot
from refinekit.bench.step import Reagent, Step, Stream
from refinekit.chemistry.density import g_per_ml, solutes
from refinekit.chemistry.species import molar_mass
from refinekit.errors import BadQuantity, Stopped, UnknownName
from refinekit.facts.load import fact, table
from refinekit.nearest import did_you_mean
from refinekit.ranges import Number, Range, likely
from refinekit.record import record
from refinekit.shop.book.entry import Entry
from refinekit.shop.book.vessels import as_data, change_op
from refinekit.shop.plan import Plan, Planned, with_new
from refinekit.shop.shopping import TO_BASE

BATH = "bath"
"""What a plan calls the bath; the book calls it by the shop's own name."""
METALS = ("Au", "Ag", "Pd", "Pt", "Cu", "Ni", "Sn", "Pb", "Zn", "Fe")
"""Metals of a lot that are written down with it."""
CHARGED = ("bath as it stands",)
"""What a room calls a bath that was told to it by its figures: it stood in the book before."""


@record
class AsDone:
    """What was different from the plan, and what a plan cannot know.

    Args:
        lot: the lot's number
        at: day it was done
        who: who did it
        bath: what the shop calls its bath
        step: the one step that is logged; "" for all of them, the lot too
        used: amounts used [g or L], by step ("" for whichever has it) and reagent key
        weighed: amounts written on a run sheet [g or L], by step and which pour of it, from 1
        bottles: lot numbers of bottles, by reagent key
        words: temperature_c, minutes, test, colour, note: only of a single step
        lot_words: source, paid, seller, note: of the lot
        corrects: number of the event it stands in the place of
    """

    lot: str
    at: str
    who: str = ""
    bath: str = BATH
    step: str = ""
    used: Mapping[tuple[str, str], tuple[float, str]] = field(default_factory=dict)
    bottles: Mapping[str, str] = field(default_factory=dict)
    words: Mapping[str, Any] = field(default_factory=dict)
    lot_words: Mapping[str, Any] = field(default_factory=dict)
    corrects: int | None = None
    weighed: Mapping[tuple[str, int], tuple[float, str]] = field(default_factory=dict)

    def told_of(self, step: str, number: int, keys: Sequence[str], planned: Sequence[float]) -> tuple[float, str] | None:
        """What was told of a pour; of several of one reagent in a step, its part of what was told of them all.

        Args:
            step: name of the step [text]
            number: which pour of it, from 1 [-]
            keys: reagent of each pour of the step; "" for one that does not count
            planned: what was planned of each [g or L]
        """
        if (step, number) in self.weighed:
            return self.weighed[step, number]
        key = keys[number - 1]
        told = self.used.get((step, key)) or self.used.get(("", key))
        if told is None:
            return None
        whole = sum(one for one, own in zip(planned, keys, strict=True) if own == key)
        return (told[0] * planned[number - 1] / whole if whole else told[0], told[1])


def entries_of(plan: Plan, done: AsDone) -> list[Entry]:
    """The events of a plan, as done.

    Args:
        plan: the plan
        done: what was different
    Raises: Stopped, the plan is stopped for safety; UnknownName, no such step or reagent; BadQuantity, an amount nobody can place
    """
    if plan.stopped_at:
        why = next((notice.text for _, notice in plan.notices() if notice.level == "stop" and not notice.reason), "")
        raise Stopped(f"the plan is stopped at {plan.stopped_at}: {why}", cure="mend the cause; nothing was logged")
    steps = [one for one in plan.steps if one.done]
    names = [one.done.step.name for one in steps if one.done]
    if done.step and done.step not in names:
        raise UnknownName(
            f"the plan has no step {done.step[:40]!r}",
            cure=did_you_mean(done.step, names),
        )
    _known(steps, done)
    rows = worlds_of(plan)
    bench: tuple[Pot, ...] = tuple(plan.before)
    entries = []
    for one in steps:
        assert one.done is not None
        after = with_new(one.done.passed_by, one.done.step.pots)
        if not done.step or done.step == one.done.step.name:
            entries.append(_entry(one, bench, after, rows, done))
        bench = after
    return entries


def worlds_of(plan: Plan) -> tuple[int, int, int]:
    """Cases of a plan that stand for likely, every input at its low end, and every input at its high end."""
    if not plan.ends.shape[1]:
        return (0, 0, 0)
    lows = np.flatnonzero((plan.ends == 0).all(axis=1))
    highs = np.flatnonzero((plan.ends == 1).all(axis=1))
    return (0, int(lows[0]), int(highs[0]))


def _known(steps: Sequence[Planned], done: AsDone) -> None:
    """Refuse amounts of what no step takes, and of what several do without saying which."""
    takers = [(one.done.step.name, reagent) for one in steps if one.done for reagent in one.done.step.reagents if reagent.counts]
    for step, key in done.used:
        own = [name for name, reagent in takers if reagent.key == key and step in ("", name) and done.step in ("", name)]
        if not own:
            keys = dict.fromkeys(reagent.key for _, reagent in takers if reagent.key)
            raise UnknownName(f"no step of the plan takes {key[:40]!r}", cure=did_you_mean(key, keys))
        if len(set(own)) > 1:
            raise BadQuantity(
                f"{key} is used by {', '.join(dict.fromkeys(own))}", cure=f'say which: --used "{own[0]}: {key}=900 mL"'
            )


def _entry(one: Planned, before: Sequence[Pot], after: Sequence[Pot], rows: tuple[int, int, int], done: AsDone) -> Entry:
    assert one.done is not None
    step = one.done.step
    pours = [number for number, reagent in enumerate(step.reagents, start=1) if reagent.counts and reagent.unit in TO_BASE]
    used = [used_of(number, step, done) for number in pours]
    ops = ops_of(step, before, after, rows, done)
    ops += [op for row, reagent in used if (op := _extra(row, reagent, step, before, done))]
    overridden = {notice.code: notice.reason for notice in one.done.notices if notice.reason}
    data: dict[str, Any] = {
        "did": step.title,
        "verb": step.name.partition(" ")[0],
        "step": step.name,
        "used": [row for row, _ in used],
        "figures": {answer.name: three(answer.range.cases, answer.range, rows) for answer in step.answers},
        **({"overridden": overridden} if overridden else {}),
    }
    if one.ask.verb == "lot":
        return Entry(
            "lot",
            done.lot,
            done.at,
            {**data, **lot_data_of(step.pots, str(one.ask.texts.get("kind", ""))), **done.lot_words},
            done.who,
            done.corrects,
            ops,
        )
    return Entry("step", done.lot, done.at, {**data, **done.words}, done.who, done.corrects, ops)


def three(cases: Any, span: Range, rows: tuple[int, int, int]) -> float | list[float]:
    """A figure of a plan in the three worlds: its ends stay low and high whatever the inputs stood at."""
    return span.likely if span.is_point else [span.likely, span.low, span.high]


def lot_data_of(pots: Sequence[Pot], goods: str) -> dict[str, Any]:
    """What a lot is, beside its pots: its metals, low to high, and its weight.

    Args:
        pots: the goods as weighed in
        goods: what they are, in words
    """
    metals: dict[str, Any] = {}
    for element in METALS:
        grams: Number = sum((pot.element_g(element) for pot in pots), 0.0)
        span = Range.over(grams)
        if span.high > 0:
            metals[element] = span.likely if span.is_point else [span.likely, span.low, span.high]
    weight = sum((likely(pot.inert_g) for pot in pots), 0.0) + sum(
        likely(amount) * molar_mass(species) for pot in pots for species, amount in pot.solids_mol.items()
    )
    return {"goods": goods, "weight_g": weight, "metals_g": metals}


def ops_of(
    step: Step, before: Sequence[Pot], after: Sequence[Pot], rows: tuple[int, int, int], done: AsDone
) -> list[dict[str, Any]]:
    """What a step changes in the vessels of the book."""
    there, here = {pot.name: pot for pot in before}, {pot.name: pot for pot in after}
    ops = []
    for name in {**there, **here}:
        old, new = there.get(name), here.get(name)
        if old is new:
            continue
        if name == BATH and old is None:
            old = _told_bath(step)
        op = change_op(vessel_name(name, done), old, new, rows)
        if op:
            ops.append(op)
    return ops


def vessel_name(pot: str, done: AsDone) -> str:
    """What the book calls a pot of a plan: the bath by the shop's own name, all else by its lot.

    >>> vessel_name("foils", AsDone("12", "2026-03-05")), vessel_name("bath", AsDone("12", "2026-03-05", bath="bath 2"))
    ('12: foils', 'bath 2')
    """
    return done.bath if pot == BATH else f"{done.lot}: {pot}"


def _told_bath(step: Step) -> Pot | None:
    """A bath that was told to the step by its figures: it stood in the book before."""
    for stream in step.ins:
        if stream.name in CHARGED:
            return Pot(BATH, dissolved_mol=dict(stream.amounts_mol))
    return None


# ---- what was used
def used_of(number: int, step: Step, done: AsDone) -> tuple[dict[str, Any], Reagent]:
    """A pour of a step, by its number from 1, as planned and as used, in grams or litres."""
    reagent = step.reagents[number - 1]
    kind, factor = TO_BASE[reagent.unit]
    poured = poured_of(reagent, step)
    planned = factor * reagent.to_take
    told = done.told_of(step.name, number, *shares(step.reagents))
    near = fact("practice/book.as_planned").value
    if told and told[1] != kind:
        raise BadQuantity(
            f"{reagent.name} is measured by {kind} in {step.name}, it was told by {told[1]}",
            cure=f"--used {reagent.key}={reagent.to_take:.3g}{reagent.unit}",
        )
    need = _need(reagent, step)
    bare = [factor * one for one in (need.likely, need.low, need.high)]
    used = told[0] if told else planned if poured is None or abs(poured - planned) < near * planned else poured
    row = {"key": reagent.key or reagent.name, "name": reagent.name, "planned": planned, "used": used, "bare": bare}
    row |= {"unit": "g" if kind == "mass" else "L"} | ({"told": True} if told else {})
    if reagent.key in done.bottles:
        row["bottle"] = done.bottles[reagent.key]
    return row, reagent


def _need(reagent: Reagent, step: Step) -> Range:
    """The bare need of a pour: of rows that are ways of the same pour (a first charge, at most in all) the least."""
    own = [one for one in step.reagents if one.name == reagent.name]
    if sum(one.counts for one in own) > 1:
        return reagent.bare
    return min((one.bare for one in own if one.bare.likely > 0), key=lambda bare: bare.likely, default=reagent.bare)


def shares(reagents: Sequence[Reagent]) -> tuple[list[str], list[float]]:
    """The reagent of each pour of a step, "" for one that does not count, and what was planned of it [g or L]."""
    keys = [one.key if one.counts and one.unit in TO_BASE else "" for one in reagents]
    return keys, [TO_BASE[one.unit][1] * one.to_take if key else 0.0 for one, key in zip(reagents, keys, strict=True)]


def stream_of(reagent: Reagent, step: Step) -> Stream | None:
    """What of the step's ledger is this reagent: of several pours of one thing, the one of its size; None where none is."""
    own = [stream for stream in step.ins if stream.name == reagent.name]
    if own and sum(one.name == reagent.name and one.counts for one in step.reagents) == 1:
        return own[0]
    planned, near = TO_BASE[reagent.unit][1] * reagent.to_take, fact("practice/book.as_planned").value
    called = [stream for stream in step.ins if reagent.name in stream.name]
    return next((one for one in called if abs(measured(reagent, one) - planned) < near * planned), None)


def poured_of(reagent: Reagent, step: Step) -> float | None:
    """What the plan's likely case has poured of a reagent [g or L]; None where its ledger does not tell."""
    stream = stream_of(reagent, step)
    return None if stream is None else measured(reagent, stream)


def measured(reagent: Reagent, stream: Stream) -> float:
    """A stream as its reagent is measured: by the scale [g] or by the cylinder [L]."""
    masses = {species: likely(amount) * molar_mass(species) for species, amount in stream.amounts_mol.items()}
    grams = sum(masses.values()) + likely(stream.inert_g)
    if TO_BASE[reagent.unit][0] == "mass":
        return grams
    solute = next((row["solute"] for row in table("reagents")["reagent"] if row["key"] == reagent.key), "")
    if grams <= 0:
        return 0.0
    if reagent.key == "water" or solute not in solutes():
        return grams / 1000
    return grams / 1000 / likely(g_per_ml(solute, 100 * (1 - masses.get("H2O", 0.0) / grams)))


def follows(reagent: Reagent, step: Step) -> bool:
    """Whether the vessel holds what was weighed of a pour, and not what was planned."""
    return bool(step.pots) and bool(poured_of(reagent, step))


def vessel_poured_into(reagent: Reagent, step: Step, before: Sequence[Pot]) -> Pot:
    """The pot a pour is in after a step: a liquor in the wettest of those it changed, all else in the first."""
    there = {id(pot) for pot in before}
    changed = [pot for pot in step.pots if id(pot) not in there] or list(step.pots)
    if TO_BASE[reagent.unit][0] == "mass":
        return step.pots[0]
    return max(changed, key=lambda pot: likely(pot.volume_l))


def _extra(row: Mapping[str, Any], reagent: Reagent, step: Step, before: Sequence[Pot], done: AsDone) -> dict[str, Any] | None:
    """What more, or less, is in the vessel because more or less was poured than the plan had it."""
    told = row.get("told")
    stream, poured = stream_of(reagent, step), poured_of(reagent, step)
    if not told or stream is None or not poured or row["used"] == poured or not step.pots:
        return None
    more = row["used"] / poured - 1
    litres = (row["used"] - poured) if row["unit"] == "L" else 0.0
    pot = vessel_poured_into(reagent, step, before)
    wet = {species: more * likely(amount) for species, amount in stream.amounts_mol.items()}
    op: dict[str, Any] = {"v": vessel_name(pot.name, done), "mol": {species: as_data(mol) for species, mol in wet.items()}}
    if litres:
        op["l"] = litres
    if likely(stream.inert_g):
        op["g"] = more * likely(stream.inert_g)
    return op
