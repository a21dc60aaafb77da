"""What every vessel holds, reckoned from the events: matter comes in, goes out, is poured over, is measured.

An event that moves matter does so by `ops`, each of one vessel `v`:

- a change: `mol` and `solid` (moles by species, under 0 for what goes), `l` (litres), `g` (grams of what takes no part);
- a pour: `to` another vessel, by `share` (0 to 1) or by litres `l`, of the composition there is; `solids` too, where it says so;
- a measured litre or acid: `set`; what the events say beside it is kept, to be shown;
- words: `did`, `marks`, `state`.

A figure is a number, or [likely, low, high]: the same three worlds for all events, so that what goes out is what came in.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.pot import Event, Pot
from refinekit.chemistry.species import molar_mass, parse
from refinekit.errors import UnknownName
from refinekit.nearest import did_you_mean
from refinekit.ranges import Number, likely, low
from refinekit.shop.book.faults import in_words
from refinekit.shop.book.store import Book, undisturbed

SPECK = 1e-12
"""Moles, litres or grams under which an amount is rounding."""
FEW = 8
"""Vessels up to which the file itself is asked for their events."""
OVERDRAWN = 1e-9
"""Share of what went through a vessel that may be missing from it by rounding."""


@dataclass(slots=True)
class Held:
    """A vessel while the events are gone through.

    Args:
        name: what the shop calls it [text]
        l: litres
        mol: dissolved, by species [mol]
        solid: by species [mol]
        g: grams that take no part
        t: how warm it was last told to be [K]; None where nobody told
        through: most that ever went out of each at once, to tell rounding from what is missing
        did: what was done to it
        marks: as a pot has them
        state: retired, closed, gone; "" while it is in use
        measured: last measured figure of each kind: day, measured, as the events had it
        since: day of the first event
        last: day of the last event
    """

    name: str
    l: Number = 0.0
    mol: dict[str, Number] = field(default_factory=dict)
    solid: dict[str, Number] = field(default_factory=dict)
    g: Number = 0.0
    t: float | None = None
    through: dict[str, float] = field(default_factory=dict)
    did: list[tuple[str, str]] = field(default_factory=list)
    marks: dict[str, str] = field(default_factory=dict)
    state: str = ""
    measured: dict[str, tuple[str, Number, Number]] = field(default_factory=dict)
    since: str = ""
    last: str = ""

    def pot(self) -> Pot:
        """The vessel as a pot of the bench; amounts that came out under nothing are none."""
        history = tuple(Event(step, did) for step, did in self.did)
        amounts = (_whole(self.l), _some(self.mol), _some(self.solid), _whole(self.g))
        if self.t is None:
            return Pot(self.name, *amounts, history=history, marks=dict(self.marks))
        return Pot(self.name, *amounts, self.t, history, dict(self.marks))

    def element_g(self, element: str) -> Number:
        """All of an element in it [g]; under 0 where more went out than came in."""
        total: Number = 0.0
        for amounts in (self.mol, self.solid):
            for species, amount in amounts.items():
                atoms = _atoms(species).get(element, 0)
                if atoms:
                    total = total + atoms * amount
        return total * molar_mass(element)

    def overdrawn(self) -> list[tuple[str, float]]:
        """What went out of it more than came in: what, and how much [mol, L or g]."""
        kinds = [("l", self.l), ("g", self.g), *self.mol.items(), *self.solid.items()]
        found = [(what, low(amount)) for what, amount in kinds]
        return [(what, -least) for what, least in found if least < -max(SPECK, OVERDRAWN * self.through.get(what, 0.0))]


_ATOMS: dict[str, Mapping[str, float]] = {}


def _atoms(species: str) -> Mapping[str, float]:
    if species not in _ATOMS:
        _ATOMS[species] = parse(species).elements
    return _ATOMS[species]


def _whole(amount: Number) -> Number:
    if isinstance(amount, np.ndarray):
        return np.where(amount < SPECK, 0.0, amount)
    return amount if amount >= SPECK else 0.0


def _some(amounts: Mapping[str, Number]) -> dict[str, Number]:
    clean = {species: _whole(amount) for species, amount in amounts.items()}
    return {species: amount for species, amount in clean.items() if np.any(amount > 0)}


def figure(value: Any) -> Number:
    """A figure of an op: a number, or the three worlds as an array."""
    return np.array(value) if value.__class__ is list else float(value)


def as_data(value: Number) -> float | list[float]:
    """A figure as an op keeps it."""
    if isinstance(value, np.ndarray) and value.ndim:
        three = [float(one) for one in value]
        return three[0] if three[0] == three[1] == three[2] else three
    return float(value)


class Shelfful:
    """Every vessel of the shop, as the events fill and empty them.

    Args:
        only: the one element that is followed, beside litres; "" for all there is
    """

    def __init__(self, only: str = "") -> None:
        self.vessels: dict[str, Held] = {}
        self.only = only

    def of(self, name: str) -> Held:
        """A vessel by its name; an empty one where no event knew it."""
        if name not in self.vessels:
            self.vessels[name] = Held(name)
        return self.vessels[name]

    def follow(self, at: str, ops: Iterable[Mapping[str, Any]]) -> None:
        """Let the ops of one event happen.

        Args:
            at: its day
            ops: in order
        """
        for op in ops:
            self.happen(at, op)

    def happen(self, at: str, op: Mapping[str, Any]) -> None:
        """Let one op happen, on its day."""
        held = self.vessels.get(op["v"]) or self.of(op["v"])
        if not held.since:
            held.since = at
        held.last = at
        if "to" in op:
            other = self.of(op["to"])
            other.since, other.last = other.since or at, at
            _pour(held, other, op)
        elif "set" in op:
            _measure(held, at, op["set"])
        else:
            _change(held, op, self.only)


def _change(held: Held, op: Mapping[str, Any], only: str = "") -> None:
    if "l" in op:
        held.l = _plus(held, "l", held.l, op["l"])
    if "g" in op:
        held.g = _plus(held, "g", held.g, op["g"])
    for amounts, changes in ((held.mol, op.get("mol")), (held.solid, op.get("solid"))):
        if changes:
            for species, change in changes.items():
                if only and only not in species:
                    continue
                amounts[species] = _plus(held, species, amounts.get(species, 0.0), change)
    if "t" in op:
        held.t = op["t"]
    if "did" in op:
        held.did += [(step, did) for step, did in op["did"]]
    if "marks" in op:
        for mark, step in op["marks"].items():
            held.marks.setdefault(mark, step)
    if "state" in op:
        held.state = op["state"]


def _plus(held: Held, what: str, there: Number, change: Any) -> Number:
    """What there is and a change; what goes out is remembered, to tell rounding from what is missing."""
    if change.__class__ is float:
        if change < 0:
            held.through[what] = max(held.through.get(what, 0.0), -change)
        return there + change
    more = figure(change)
    least = low(more)
    if least < 0:
        held.through[what] = max(held.through.get(what, 0.0), -least)
    return there + more


def _pour(held: Held, other: Held, op: Mapping[str, Any]) -> None:
    share = figure(op["share"]) if "share" in op else _share(figure(op["l"]), held.l)
    litres = share * held.l
    held.l, other.l = held.l - litres, other.l + litres
    pairs = [(held.mol, other.mol)] + ([(held.solid, other.solid)] if op.get("solids") else [])
    for there, here in pairs:
        for species, amount in there.items():
            moved = share * amount
            there[species] = amount - moved
            here[species] = here.get(species, 0.0) + moved
    if op.get("solids"):
        grams = share * held.g
        held.g, other.g = held.g - grams, other.g + grams
    other.did += [*((step, did) for step, did in op.get("did", ())), ("poured", f"in from {held.name}")]
    for mark, step in held.marks.items():
        other.marks.setdefault(mark, step)


def _share(litres: Number, there: Number) -> Number:
    """Share of a vessel that so many litres are; all of it where it has no more."""
    if isinstance(litres, float) and isinstance(there, float):
        return min(litres / there, 1.0) if there > 0 else 1.0
    whole = np.asarray(there, dtype=float)
    share = np.divide(litres, whole, out=np.ones(np.broadcast(litres, whole).shape), where=whole > 0)
    share = np.minimum(share, 1.0)
    return share if share.ndim else float(share)


def _measure(held: Held, at: str, told: Mapping[str, Any]) -> None:
    """Take a measured figure for what is there: litres by water gone or come, acid by hydrogen and chloride ion together."""
    if "l" in told:
        litres = figure(told["l"])
        held.measured["l"] = (at, litres, held.l)
        water = (litres - held.l) * 1000 / molar_mass("H2O")
        held.mol["H2O"] = np.maximum(held.mol.get("H2O", 0.0) + water, 0.0)
        held.l = litres
    if "acid" in told:
        acid = figure(told["acid"])
        computed = held.mol.get("H^+", 0.0) / np.maximum(held.l, SPECK)
        held.measured["acid"] = (at, acid, computed)
        if told.get("adopt", True):
            off = acid * held.l - held.mol.get("H^+", 0.0)
            held.mol["H^+"] = held.mol.get("H^+", 0.0) + off
            held.mol["Cl^-"] = held.mol.get("Cl^-", 0.0) + off
    for element in told.get("metals", {}):
        strength = figure(told["metals"][element])
        ions = [species for species in held.mol if _atoms(species).get(element)]
        there = sum((held.mol[one] for one in ions), 0.0) * molar_mass(element) / np.maximum(held.l, SPECK)
        held.measured[element] = (at, strength, there)


# ---- from the book
def vessels_of(book: Book, names: Sequence[str] = (), *, before: tuple[str, int] | None = None, only: str = "") -> Shelfful:
    """What the vessels of the book hold.

    Args:
        book: the open book
        names: those that are wanted; none for all. What was poured into them from others is followed too
        before: day and place of an event; only what happened before it is followed. None for all
        only: the one element that is wanted, "" for all there is
    """
    with undisturbed():
        return _followed(book, names, before, only)


def _followed(book: Book, names: Sequence[str], before: tuple[str, int] | None, only: str) -> Shelfful:
    shelf = Shelfful(only)
    until = ("1", ()) if before is None else ("(e.at < ? OR (e.at = ? AND e.root < ?))", (before[0], *before))
    wanted = None
    where, arguments = until
    if names:
        wanted = _feeding(names, book.moves(f"{until[0]} AND instr(e.ops, '\"to\":') > 0", until[1]))
        if len(wanted) <= FEW:
            where = f"{where} AND ({' OR '.join(['instr(e.ops, ?) > 0'] * len(wanted))})"
            arguments = (*arguments, *wanted)
    moves = book.moves(where, arguments)
    texts: list[str] = []
    days: list[str] = []
    for at, text in moves:
        for line in text.split("\n"):
            if wanted is None or _named(line) in wanted:
                texts.append(line)
                days.append(at)
    try:
        for at, op in zip(days, json.loads(f"[{','.join(texts)}]"), strict=True):
            shelf.happen(at, op)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise in_words(error, book.name) from None
    if names:
        shelf.vessels = {name: held for name, held in shelf.vessels.items() if name in names}
    return shelf


def _named(line: str) -> str:
    """The vessel of an op, as it stands in its text: keys are in order, `v` is the last."""
    return line[line.rindex('"v":') + 4 : -1]


def _feeding(names: Sequence[str], moves: Sequence[tuple[str, str]]) -> set[str]:
    """Names, as they stand in the text, of the vessels wanted and of all that was ever poured into them."""
    lines = [line for _, text in moves if '"to":' in text for line in text.split("\n") if '"to":' in line]
    pours = json.loads(f"[{','.join(lines)}]")
    wanted: set[str] = set()
    more = set(names)
    while more:
        wanted |= more
        more = {pour["v"] for pour in pours if pour["to"] in wanted} - wanted
    return {json.dumps(name) for name in wanted}  # a pour is an op of the vessel it comes from, which is among them


def vessel_of(book: Book, name: str) -> Held:
    """One vessel of the book. Raises: UnknownName, with the nearest name."""
    shelf = vessels_of(book, (name,))
    if name not in shelf.vessels:
        shelf = vessels_of(book)
        some = ", ".join(list(shelf.vessels)[-8:])
        raise UnknownName(
            f"the book knows no vessel {name[:40]!r}",
            cure=did_you_mean(name, shelf.vessels, f"one of: {some}" if some else "log what is in it first"),
        )
    return shelf.vessels[name]


def pots_text(book: Book, names: Sequence[str]) -> str:
    """Vessels of the book as the JSON one command hands to another. Raises: UnknownName."""
    from refinekit.shop.potfile import pots_to_list

    return json.dumps(pots_to_list([vessel_of(book, name).pot() for name in names]))


def at_likely(pot: Pot) -> Pot:
    """A pot at its likely case."""
    return Pot(
        pot.name,
        likely(pot.volume_l),
        {species: likely(amount) for species, amount in pot.dissolved_mol.items()},
        {species: likely(amount) for species, amount in pot.solids_mol.items()},
        likely(pot.inert_g),
        pot.temperature_k,
        pot.history,
        pot.marks,
    )


# ---- into ops
def change_op(name: str, before: Pot | None, after: Pot | None, rows: Sequence[int] = (0, 1, 2)) -> dict[str, Any] | None:
    """What has to be added to a vessel to make one pot of another.

    Args:
        name: the vessel
        before: what the step started from; None for nothing
        after: what it left; None for nothing
        rows: cases of the run that stand for likely, low and high
    Returns: the op; None where nothing changes
    """

    def three(amount: Number) -> NDArray[np.float64]:
        return np.asarray(amount)[list(rows)] if isinstance(amount, np.ndarray) and amount.ndim else np.full(3, float(amount))

    def changes(old: Mapping[str, Number], new: Mapping[str, Number]) -> dict[str, Any]:
        both = {species: three(new.get(species, 0.0)) - three(old.get(species, 0.0)) for species in {**old, **new}}
        return {species: as_data(change) for species, change in both.items() if np.any(change != 0)}

    empty = Pot(name)
    old, new = before or empty, after or empty
    op: dict[str, Any] = {"v": name}
    found: dict[str, Any] = {
        "mol": changes(old.dissolved_mol, new.dissolved_mol),
        "solid": changes(old.solids_mol, new.solids_mol),
    }
    found |= {"l": as_data(three(new.volume_l) - three(old.volume_l)), "g": as_data(three(new.inert_g) - three(old.inert_g))}
    op |= {key: change for key, change in found.items() if change and change != 0.0}
    if after is not None:
        known = {(event.step, event.did) for event in old.history}
        did = [[event.step, event.did] for event in new.history if (event.step, event.did) not in known]
        marks = {mark: step for mark, step in new.marks.items() if mark not in old.marks}
        op |= {key: words for key, words in (("did", did), ("marks", marks)) if words}
        if before is None or old.temperature_k != new.temperature_k:
            op["t"] = float(new.temperature_k)
    return op if len(op) > 1 else None


def pour_op(name: str, to: str, litres: Number | None = None, *, solids: bool = False) -> dict[str, Any]:
    """A pour of so many litres, or of all, from one vessel to another."""
    how: dict[str, Any] = {"share": 1.0} if litres is None else {"l": as_data(litres)}
    return {"v": name, "to": to, **how, **({"solids": True} if solids or litres is None else {})}
