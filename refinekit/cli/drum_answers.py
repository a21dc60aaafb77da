"""What `refinekit drum` and `refinekit manifest` write and answer."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from refinekit.bench.step import Answer, Notice, Step, Table
from refinekit.bench.waste_law import weight_kg
from refinekit.cli.desk import Desk
from refinekit.cli.drum import DOES
from refinekit.cli.log_answers import number_of
from refinekit.errors import BadQuantity, UnknownName
from refinekit.nearest import did_you_mean, nearest
from refinekit.ranges import Range, likely
from refinekit.safety.engine import in_order
from refinekit.safety.from_step import vessel
from refinekit.safety.keep_apart import as_vessel, meet
from refinekit.safety.scene import Vessel
from refinekit.safety.substances import find
from refinekit.shop.book import by_hand
from refinekit.shop.book.drums import Drum, drum_lines, drums_of, drums_table, mass_kg, months_table
from refinekit.shop.book.entry import Entry, day
from refinekit.shop.book.gate import before_pouring, stops
from refinekit.shop.book.opening import open_book
from refinekit.shop.book.store import Book
from refinekit.shop.book.vessels import vessel_of, vessels_of
from refinekit.show.document import Document
from refinekit.units import read

Told = Mapping[str, Any]


def answer(told: Told) -> Document:
    """Do what is asked of a drum and show it; all of them where none is named."""
    what, name = told["what"], told["name"]
    if what not in DOES and name is None and not nearest(what, DOES):  # the name of a drum alone asks to see it
        what, name = "show", what
    if what not in DOES:
        raise BadQuantity(f"a drum cannot be asked to {what[:40]!r}", cure=did_you_mean(what, DOES))
    with open_book(told["book"], write=what != "show") as book:
        if what == "show":
            return _shown(book, name, told["law"])
        if not (name or "").strip():
            raise BadQuantity("which drum is not told", cure=f'refinekit drum {what} "drum 1"')
        entry, notices = _entry(book, drums_of(book), {**told, "what": what, "name": name})
        if entry is None:
            return Document.of("drum", (Step("drum"),), notices=notices)
        (number,) = book.add([entry])
        document = _shown(book, name, told["law"], notices, ("written", f"event {number} of {entry.at}: {entry.data['did']}"))
    return document


def _shown(
    book: Book, name: str | None, law: str, notices: tuple[Notice, ...] = (), written: tuple[str, str] | None = None
) -> Document:
    drums, today = drums_of(book), date.today()
    lines = [written] if written else []
    if name is not None:
        drum = named(drums, name)
        lines = [*drum_lines(drum, today, law), *lines]
        drums = {name: drum}
    sections = [one for one in (drums_table(drums.values(), today), months_table(drums.values(), law)) if one.rows]
    if not drums:
        lines.append(("drums", "none in the book yet"))
    return Document.of("drum", title=name or "", notices=notices, sections=sections, lines=lines)


def named(drums: Mapping[str, Drum], name: str) -> Drum:
    """A drum by its name. Raises: UnknownName."""
    if name not in drums:
        cure = did_you_mean(name, drums, f'refinekit drum open "{name[:40]}"')
        raise UnknownName(f"the book knows no drum {name[:40]!r}", cure=cure)
    return drums[name]


def _entry(book: Book, drums: Mapping[str, Drum], told: Told) -> tuple[Entry | None, tuple[Notice, ...]]:
    name, what = told["name"], told["what"]
    data: dict[str, Any] = {"note": told["note"]} if told["note"] else {}
    ops: list[dict[str, Any]] = []
    notices: tuple[Notice, ...] = ()
    if what == "open":
        if name in drums and not told["corrects"]:
            raise BadQuantity(f"the drum {name!r} is in the book already", cure="another name, or drum add")
        data |= {"did": "opened", **({"for": told["kind"]} if told["kind"] else {})}
        if told["size"]:
            data["size_l"] = _figure(told, "size", "volume", "L")
    else:
        drum = named(drums, name)
        if drum.gone and not told["corrects"]:
            raise BadQuantity(f"the drum {name!r} was fetched on {drum.gone}", cure="open another")
        if what == "add":
            ops, notices = _added(book, drum, told, data)
            if stops(notices):
                return None, notices
        elif what == "measure":
            data |= {"did": "measured", **_measured(told)}
        else:
            ops = _ended(drum, told, data)
    return Entry("drum", name, day(told["at"]), data, told["who"] or "", number_of(told["corrects"]), ops), notices


def _figure(told: Told, name: str, kind: str, unit: str) -> float:
    return read(told[name], kind, name=f"--{name}", unit=unit, lowest=0.0).range.likely


def _kg(told: Told) -> float | None:
    return _figure(told, "weight", "mass", "kg") / 1000 if told["weight"] else None


def _measured(told: Told) -> dict[str, Any]:
    found: dict[str, Any] = {}
    if told["ph"]:
        found["ph"] = read(told["ph"], "ph", name="--ph").range.likely
    if told["weight"]:
        found["weighed_kg"] = _kg(told)
    if not found:
        raise BadQuantity("what was measured is not told", cure="--ph 9.5, or --weight 64kg of the whole drum")
    return found


def _added(book: Book, drum: Drum, told: Told, data: dict[str, Any]) -> tuple[list[dict[str, Any]], tuple[Notice, ...]]:
    """What goes in: a vessel of the book, or something by name, volume and weight."""
    if bool(told["pour"]) == bool(told["content"]):
        raise BadQuantity(
            "what went in is not told", cure='--from "waste liquor", or --what "spent bath" --volume 4.6L --density 1.18'
        )
    if drum.closed:
        raise BadQuantity(f"the drum {drum.name!r} was closed on {drum.closed}", cure="open another")
    overrides = Desk("drum", {}, "table", False, "metric", override=told["override"] or ()).overrides()
    there = vessels_of(book, (drum.name,)).of(drum.name).pot()
    litres = read(told["volume"], "volume", name="--volume", unit="L", lowest=0.0).range if told["volume"] else None
    if told["pour"]:
        held = vessel_of(book, told["pour"])
        pot = held.pot()
        notices = in_order([*before_pouring(there, pot, overrides), *_beside(drum, vessel(pot), overrides)], overrides)
        share = 1.0 if litres is None or likely(held.l) <= 0 else litres.likely / likely(held.l)
        weighed = _kg(told)
        data |= {
            "did": f"poured in {held.name}",
            "what": held.name,
            "kg": mass_kg(pot) * min(share, 1.0) if weighed is None else weighed,
        }
        ops = by_hand.pour_over(held, drum.name, by_hand.of_three(litres) if litres else None)
    else:
        notices, ops = _by_name(drum, there, told, overrides, litres, data)
    data["overridden"] = {notice.code: notice.reason for notice in notices if notice.reason}
    if not data["overridden"]:
        del data["overridden"]
    return ops, notices


def _by_name(
    drum: Drum, there: Any, told: Told, overrides: Mapping[str, str], litres: Range | None, data: dict[str, Any]
) -> tuple[tuple[Notice, ...], list[dict[str, Any]]]:
    weight = _kg(told)
    if weight is None and (litres is None or not told["density"]):
        raise BadQuantity("how heavy it was is not told", cure="--volume 4.6L --density 1.18, or --weight 0.9kg")
    if weight is None and litres is not None:
        density = read(told["density"], "density", name="--density", unit="g/mL", above_zero=True).range.likely
        weight = weight_kg([(litres.likely, density)])
    known = _known(told["content"])
    notices = before_pouring(there, told["content"], overrides) if known else ()
    notices = in_order([*notices, *_beside(drum, as_vessel(find(told["content"])), overrides)], overrides) if known else notices
    data |= {"did": f"put in {told['content']}", "what": told["content"], "kg": weight, "by_name": True}
    op: dict[str, Any] = {"v": drum.name, "did": [["drum", f"put in {told['content']}, {weight:.3g} kg"]]}
    if litres is not None:
        op["l"] = litres.likely
    return notices, [op]


def _beside(drum: Drum, coming: Vessel, overrides: Mapping[str, str]) -> tuple[Notice, ...]:
    """What the rules say of a thing beside what went into the drum by name alone."""
    there = [as_vessel(find(word)) for word in dict.fromkeys(drum.whats) if _known(word)]
    return in_order([notice for one in there for notice in meet(one, coming).notices], overrides)


def _known(word: str) -> bool:
    """Whether the safety rules know a thing by this name; what they do not know is written down as it was told."""
    try:
        find(word)
    except UnknownName:
        return False
    return True


def _ended(drum: Drum, told: Told, data: dict[str, Any]) -> list[dict[str, Any]]:
    from refinekit.shop.book.left_over import emptied

    weighed = _kg(told)
    if weighed is not None:
        data["weighed_kg"] = weighed
    if told["what"] == "close":
        data |= {"did": "closed", "state": "closed"}
        return []
    data |= {"did": "fetched", "state": "gone"}
    data |= {key: told[key] for key in ("contractor", "paper") if told[key]}
    return [*emptied(drum.held.pot()), {"v": drum.name, "state": "gone"}]


# ---- the paper
def manifest(names: list[str], *, law: str, book: str | None) -> Document:
    """The paper for a set of drums."""
    today = date.today()
    with open_book(book) as opened:
        drums = drums_of(opened)
    taken = {name: named(drums, name) for name in names} or {name: one for name, one in drums.items() if not one.gone}
    if not taken:
        raise BadQuantity("no drum stands in the shop", cure='refinekit drum open "drum 1"')
    total = weight_kg((), (one.kg for one in taken.values()))
    lines = [
        (f"{name}: {heading}", line)
        for name, one in taken.items()
        for heading, line in drum_lines(one, today, law)
        if heading != "in law"
    ]
    reminders = [pair for pair in drum_lines(next(iter(taken.values())), today, law) if pair[0] == "in law"]
    signed: list[Table] = [drums_table(taken.values(), today), months_table(drums.values(), law)]
    return Document.of(
        "manifest",
        title=", ".join(taken),
        answers=(Answer("weight", Range.point(total), "kg", "high", "all drums on the paper"),),
        sections=[one for one in signed if one.rows],
        lines=[*lines, *reminders],
    )
