"""Drums: what is in each, since when, how heavy, what the law asks, and the paper that goes with it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

import numpy as np

from refinekit.bench.pot import Pot
from refinekit.bench.step import Table
from refinekit.bench.waste_law import corrosive_words, is_corrosive, leachate_limits, month_words, reminders
from refinekit.chemistry.species import molar_mass
from refinekit.facts.load import fact
from refinekit.ranges import Range, likely
from refinekit.safety.from_step import vessel
from refinekit.safety.keep_apart import keeping, within
from refinekit.shop.book.faults import BadBook
from refinekit.shop.book.store import Book
from refinekit.shop.book.vessels import Held, vessels_of

SHOWN = ("Cu", "Ni", "Zn", "Pb", "Fe", "Ag", "Au")
"""Metals a drum's label asks for, by element."""
UNKNOWN = "not known"
"""Stands for what nobody told and nobody measured."""


@dataclass(slots=True)
class Drum:
    """A drum as the events have it.

    Args:
        name: what is painted on it
        kind: what it is meant for
        size_l: most it holds [L]; 0 where nobody told
        started: day of the first that went in
        closed: day it was closed
        gone: day it was fetched
        contractor, paper: who fetched it, and the number of the paper
        kg: what went in, or what it weighed last [kg]
        by_month: what went in, by month as 2026-03 [kg]
        ph: as last measured; None where it never was
        words: what went in, in words
        whats: what went in that was told by name alone, not as a vessel of the book
        held: what it holds
    """

    name: str
    kind: str = ""
    size_l: float = 0.0
    started: str = ""
    closed: str = ""
    gone: str = ""
    contractor: str = ""
    paper: str = ""
    kg: float = 0.0
    by_month: dict[str, float] = field(default_factory=dict)
    ph: float | None = None
    words: list[str] = field(default_factory=list)
    whats: list[str] = field(default_factory=list)
    held: Held = field(default_factory=lambda: Held(""))

    @property
    def state(self) -> str:
        """open, closed or fetched."""
        return "fetched" if self.gone else "closed" if self.closed else "open"

    def days(self, today: date) -> int:
        """Days since the first went in."""
        return (today - date.fromisoformat(self.started)).days if self.started else 0


def drums_of(book: Book, *, contents: bool = True) -> dict[str, Drum]:
    """Every drum of the book by its name, the oldest first.

    Args:
        book: the open book
        contents: whether what they hold is wanted, or their weights and days alone
    """
    found: dict[str, Drum] = {}
    for at, _, name, data in book.rows("e.kind = 'drum'"):
        _follow(found.get(name) or found.setdefault(name, Drum(name)), at, data)
    shelf = vessels_of(book, tuple(found)) if found and contents else None
    for name, drum in found.items():
        if shelf is not None and name in shelf.vessels:
            drum.held = shelf.vessels[name]
    return found


def _follow(drum: Drum, at: str, data: Mapping[str, Any]) -> None:
    drum.kind = data.get("for", drum.kind)
    drum.size_l = data.get("size_l", drum.size_l)
    drum.ph = data.get("ph", drum.ph)
    drum.paper = data.get("paper", drum.paper)
    drum.contractor = data.get("contractor", drum.contractor)
    if "kg" in data:
        if data["kg"] < 0:
            altered = f"the book has {drum.name} take in less than nothing"
            raise BadBook(altered, cure="refinekit book check tells which event was altered")
        drum.started = drum.started or at
        drum.kg += data["kg"]
        drum.by_month[at[:7]] = drum.by_month.get(at[:7], 0.0) + data["kg"]
        if data.get("by_name"):
            drum.whats.append(data["what"])
        drum.words.append(f"{at}: {data.get('what', data['did'])}, {data['kg']:.3g} kg")
    if "weighed_kg" in data:
        drum.kg = data["weighed_kg"]
    if data.get("state") == "closed":
        drum.closed = at
    if data.get("state") == "gone":
        drum.gone = at


# ---- what is in it
def mass_kg(pot: Pot) -> float:
    """What a vessel's content weighs, by what is known to be in it [kg]."""
    grams = likely(pot.inert_g)
    for amounts in (pot.dissolved_mol, pot.solids_mol):
        grams += sum(likely(amount) * molar_mass(species) for species, amount in amounts.items())
    return float(grams / 1000)


def ph_of(drum: Drum) -> float:
    """pH of a drum: as measured, else from its free acid or alkali, as far as the book knows them."""
    if drum.ph is not None:
        return drum.ph
    pot, litres, neutral = drum.held.pot(), likely(drum.held.l), fact("constants.neutral_ph").value
    if litres <= 0:
        return neutral
    free = (likely(pot.free_acid_mol) - likely(pot.mol("OH^-"))) / litres
    if abs(free) <= 10**-neutral:
        return neutral
    strong = -float(np.log10(min(abs(free), fact("practice/book.most_acid").value)))
    return strong if free > 0 else 2 * neutral - strong


def metals_mg_per_l(drum: Drum) -> dict[str, float]:
    """Metals of a drum to the litre, dissolved and solid [mg/L]."""
    litres = likely(drum.held.l)
    if litres <= 0:
        return dict.fromkeys(SHOWN, 0.0)
    return {element: max(1000 * likely(drum.held.element_g(element)) / litres, 0.0) for element in SHOWN}


def flags(drum: Drum) -> list[str]:
    """What makes it hazardous, in words."""
    found = []
    if likely(drum.held.l) > 0 and is_corrosive(ph_of(drum)):
        found.append(f"pH {ph_of(drum):.2g}: {corrosive_words(ph_of(drum))}")
    metals = metals_mg_per_l(drum)
    for element, (code, limit) in leachate_limits().items():
        if metals.get(element, 0.0) > limit:
            found.append(f"{code} {element} over {limit:g} mg/L if it leaches so")
    found += [f"{one.level}: {one.text}" for one in within(vessel(drum.held.pot())) if one.level != "note"]
    if metals["Au"] > fact("practice/general.uncertainty.stannous").value:
        found.append("gold in it: cement it before it goes")
    return found


# ---- shown
COLUMNS = ("drum", "state", "for", "litres", "kg", "pH", *(f"{element} mg/L" for element in SHOWN), "started", "days", "paper")


def drums_table(drums: Iterable[Drum], today: date) -> Table:
    """Every drum in a line."""
    rows: list[tuple[str | float | Range, ...]] = []
    for drum in drums:
        metals = metals_mg_per_l(drum)
        litres = np.maximum(drum.held.l, 0.0)
        known = drum.ph is not None or drum.held.pot().dissolved_mol
        ph: str | Range = Range.point(ph_of(drum)) if known else UNKNOWN if drum.whats else ""
        state = (drum.name, drum.state, drum.kind, Range.over(litres), Range.point(drum.kg), ph)
        told: list[str | Range] = [Range.point(metals[element]) for element in SHOWN]
        if not drum.held.pot().dissolved_mol:  # nothing of it is known but words
            told = [UNKNOWN if drum.whats else "" for _ in SHOWN]
        rows.append((*state, *told, drum.started, str(drum.days(today)), drum.paper))
    return Table("Drums", COLUMNS, tuple(rows))


def months_table(drums: Iterable[Drum], law: str) -> Table:
    """Waste of each month against the line."""
    months: dict[str, float] = {}
    for drum in drums:
        for month, kg in drum.by_month.items():
            months[month] = months.get(month, 0.0) + kg
    line = "against the line" if law == "us" else "note"
    rows = tuple((month, Range.point(kg), month_words(kg) if law == "us" else "") for month, kg in sorted(months.items()))
    return Table("Waste by month", ("month", "kg", line), rows)


def drum_lines(drum: Drum, today: date, law: str) -> list[tuple[str, str]]:
    """A drum in words: contents, hazards, dates, the law's reminders."""
    lines = [("contents", one) for one in drum.words]
    if drum.whats:
        names = ", ".join(dict.fromkeys(drum.whats))
        lines.append(("not in the figures", f"acid and metals of what was told by name alone: {names}; measure the pH"))
    lines += [("hazard", one) for one in flags(drum)]
    lines += [("make it safe", safe) for safe, _ in keeping(vessel(drum.held.pot()))[:2]]
    if drum.started:
        lines.append(("dates", f"started {drum.started}, {drum.days(today)} days ago{_ends(drum)}"))
    if drum.size_l:
        lines.append(("room", f"{max(drum.size_l - likely(drum.held.l), 0.0):.3g} L of {drum.size_l:.3g} L left"))
    lines += [("in law", one) for one in reminders(law)]
    return lines


def _ends(drum: Drum) -> str:
    closed = f"; closed {drum.closed}" if drum.closed else ""
    if not drum.gone:
        return closed
    contractor, paper = drum.contractor or "a contractor nobody named", drum.paper or "without a number"
    return f"{closed}; fetched {drum.gone} by {contractor}, paper {paper}"
