"""A bath shown: what is in it, its colour, what was measured beside what the events say, and how many more lots it takes."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from refinekit.bench.fields import METALS
from refinekit.bench.leach_state import STRENGTHS, colour, copper_room, read_bath, strength_g_per_l
from refinekit.bench.place import Place
from refinekit.bench.pouring import bottle_of
from refinekit.bench.step import Step, Table
from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely, low
from refinekit.shop.book.store import Book
from refinekit.shop.book.vessels import Held, Shelfful, as_data, figure

SPECK_G = 1e-6
"""Gold under which a bath holds none: rounding [g]."""
WORDS = {
    "acid": "free HCl, mol/L",
    "l": "litres",
    **{METALS[word]: f"{word}, g/L" for word in ("copper", "nickel", "iron", "zinc", "tin")},
}
OVERFLOWS = (
    "baths do not wear out, they overflow: two moles of acid are poured in as liquor for every mole of copper, and air turns the"
    " copper back so that it eats on: it is litres that run out, or nickel, iron and tin that gather"
)


def shown(held: Held, lots: Sequence[dict[str, float]], place: Place, *, vessel_l: Number | None = None) -> Step:
    """A bath as it stands, and its forecast.

    Args:
        held: the bath
        lots: metals of each lot that went through it, by element [g]
        place: the shop
        vessel_l: most its bucket may hold [L]; None where that was not told
    """
    work = Work("bath", held.pot().renamed("bath"), place=place)
    read_bath(work, "bath", title="bath now")
    _measured(work, held)
    gold = held.element_g("Au")
    if high(gold) > SPECK_G:
        work.answer(
            "gold_locked_up", np.maximum(gold, 0.0), "g", sized_on="likely", because="in this bath; cement it before it goes"
        )
        work.say("watch for", "gold in the bath: test it (stannous) before a bleed, and cement it on copper before it is retired")
    _regenerate(work)
    _forecast(work, lots, vessel_l)
    _retire(work)
    work.say("how", OVERFLOWS)
    step = work.done("bath", title=_title(held, len(lots)))
    return replace(step, pots=tuple(replace(pot, name=held.name) for pot in step.pots))


def _title(held: Held, lots: int) -> str:
    state = f", {held.state}" if held.state else ""
    return f"{held.name}, {likely(held.l):.3g} L, {lots} lot{'' if lots == 1 else 's'} since {held.since}{state}"


def _measured(work: Work, held: Held) -> None:
    """What was measured beside what the events say of it."""
    rows = [
        (WORDS.get(key, f"{key}, g/L"), at, Range.over(found), Range.over(computed))
        for key, (at, found, computed) in held.measured.items()
    ]
    if rows:
        work.table("measured, and by the events", ("what", "day", "measured", "by the events"), rows)
    if "acid" in held.measured:
        at, found, computed = held.measured["acid"]
        work.answer("free_acid_measured", found, "mol/L", because=f"on {at}; the figures above go on from it")
        work.answer("free_acid_computed", computed, "mol/L", because="by the events up to then")


def _regenerate(work: Work) -> None:
    """What it takes to turn the cuprous copper back."""
    cuprous = work.dissolved.get("CuCl2^-", 0.0)
    if high(cuprous) <= 0:
        return
    work.answer(
        "oxygen_to_clear", cuprous / 4, "mol", sized_on="high cuprous for the hours", because="a quarter mole to each cuprous"
    )
    work.answer("acid_to_clear", cuprous, "mol", sized_on="high cuprous", because="one to each cuprous turned back")


def _forecast(work: Work, lots: Sequence[dict[str, float]], vessel_l: Number | None) -> None:
    """How many more lots of the size this bath has seen."""
    acid = bottle_of(work, "HCl", None, "hydrochloric acid that feeds it")
    ceiling = work.default(None, "practice/leach.copper_ceiling", "copper the bath is worked up to")
    copper = strength_g_per_l(work, ("Cu^2+", "CuCl2^-"), "Cu")
    if low(work.volume_l) <= 0:
        return
    _, grown, _ = copper_room(work.volume_l, copper, ceiling, acid)
    work.answer(
        "copper_room", grown, "g", sized_on="low", because=f"to {likely(ceiling):.3g} g/L, grown by the acid that feeds it"
    )
    if not lots:
        work.say("next", "no lot is in the book for this bath yet: the forecast wants at least one")
        return
    each = {element: float(np.mean([lot.get(element, 0.0) for lot in lots])) for element in ("Cu", "Ni")}
    if each["Cu"] > 0:
        grow_l = 2 * each["Cu"] / molar_mass("Cu") / acid.mol_per_l
        work.answer("copper_a_lot", each["Cu"], "g", because=f"mean of {len(lots)}")
        work.answer("growth_a_lot", 1000 * grow_l, "mL", because="acid for its copper, poured in as liquor")
        work.answer("lots_to_ceiling", grown / each["Cu"], "lots", sized_on="low", because="no bleed")
        work.answer(
            "bleed_a_lot", 1000 * each["Cu"] / np.maximum(copper, SPECK_G), "mL", because="to hold the copper where it is"
        )
        if vessel_l is not None:
            room = np.maximum(vessel_l - work.volume_l, 0.0)
            work.answer("lots_to_overflow", room / grow_l, "lots", sized_on="low", because="baths do not wear out, they overflow")
    if each["Ni"] > 0:
        limit = work.fact("practice/leach.nickel_retire").range.low
        room = np.maximum(limit * work.volume_l - work.dissolved.get("Ni^2+", 0.0) * molar_mass("Ni"), 0.0)
        work.answer(
            "lots_to_nickel_limit", room / each["Ni"], "lots", sized_on="low", because=f"to {limit:g} g/L nickel, no bleed"
        )


def _retire(work: Work) -> None:
    """Whether it is time."""
    for word, species, element, id in (
        ("nickel", ("Ni^2+",), "Ni", "nickel_retire"),
        ("iron", ("Fe^2+", "Fe^3+"), "Fe", "iron_retire"),
        ("copper", ("Cu^2+", "CuCl2^-"), "Cu", "copper_retire"),
    ):
        limit, there = work.fact(f"practice/leach.{id}").range.low, likely(strength_g_per_l(work, species, element))
        if there > limit:
            work.notice(
                "warn",
                "bath-to-retire",
                f"{there:.3g} g/L {word}, over {limit:g}: this bath is to be bled or retired",
                "test for gold and silver, cement on copper, then copper on iron",
                "practice",
            )


# ---- its lots and its history
def lots_of(book: Book, name: str) -> list[dict[str, float]]:
    """Metals of every lot that went through a bath, by element [g], the oldest first.

    Args:
        book: the open book
        name: the bath
    """
    mark = json.dumps(name)
    found = []
    for one in book.read("e.kind IN ('step', 'bath') AND instr(e.ops, ?) > 0", (mark,), moves=True):
        data = one.entry.data
        if data.get("verb") == "leach" or "brought_g" in data:
            found.append(_dissolved(data) or _gained(one.entry.ops, name))
    return [lot for lot in found if any(amount > 0 for amount in lot.values())]


def _dissolved(data: Mapping[str, Any]) -> dict[str, float]:
    """What a planned leach dissolved, where its figures tell: what started a fresh bath is not of the lot."""
    figures = data.get("figures", {})
    names = {"Cu": "copper_dissolved", "Ni": "nickel_dissolved"}
    return {element: likely(figure(figures[name])) for element, name in names.items() if name in figures}


def _gained(ops: Sequence[Any], name: str) -> dict[str, float]:
    gained: dict[str, float] = {}
    for op in ops:
        if op["v"] != name or "mol" not in op:
            continue
        for element, species in (("Cu", ("Cu^2+", "CuCl2^-")), ("Ni", ("Ni^2+",))):
            mol = sum(likely(figure(op["mol"].get(one, 0.0))) for one in species)
            gained[element] = gained.get(element, 0.0) + mol * molar_mass(element)
    return gained


HISTORY = (
    "no",
    "day",
    "what",
    "litres",
    "copper g/L",
    "cuprous g/L",
    "nickel g/L",
    "iron g/L",
    "free HCl mol/L",
    "gold mg/L",
    "colour",
)


def history(book: Book, name: str) -> Table:
    """A bath after each of its events."""
    mark = json.dumps(name)
    shelf = Shelfful()
    rows = []
    for one in book.read("e.ops <> ''", moves=True):
        shelf.follow(one.entry.at, one.entry.ops)
        if any(mark in json.dumps([op["v"], op.get("to", "")]) for op in one.entry.ops):
            what = str(one.entry.data.get("step") or one.entry.data.get("did", ""))
            rows.append((str(one.number), one.entry.at, what, *_state(shelf.of(name))))
    return Table(f"History of {name}", HISTORY, tuple(rows))


def _state(held: Held) -> Iterator[str | Range]:
    work = Work("bath", held.pot())
    litres = np.maximum(work.volume_l, 1e-12)
    yield Range.over(work.volume_l)
    for word, species, element in STRENGTHS:
        if word in ("copper", "cuprous", "nickel", "iron"):
            yield Range.over(strength_g_per_l(work, species, element))
    yield Range.over(work.dissolved.get("H^+", 0.0) / litres)
    yield Range.over(1000 * np.maximum(held.element_g("Au"), 0.0) / litres)
    yield colour(work) if likely(work.volume_l) > 0 else "empty"


def gold_g(held: Held) -> float | list[float]:
    """Gold in a vessel, as data [g]."""
    return as_data(np.maximum(held.element_g("Au"), 0.0))
