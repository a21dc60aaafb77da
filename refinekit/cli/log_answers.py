"""From what was typed to `refinekit log` to the events it writes, and the answer it gives."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from refinekit.bench.fields import METALS
from refinekit.bench.pot import Pot
from refinekit.bench.step import Notice, Step, Table
from refinekit.cli.desk import Desk
from refinekit.cli.written_answers import Pours, as_written, pours_of, pours_of_json, with_heads
from refinekit.errors import BadQuantity, CannotFollow
from refinekit.facts.load import fact
from refinekit.nearest import did_you_mean
from refinekit.ranges import Range
from refinekit.shop.book import by_hand
from refinekit.shop.book.as_done import AsDone, entries_of
from refinekit.shop.book.entry import Entry, day, ops_of_text
from refinekit.shop.book.gate import before_pouring, stops
from refinekit.shop.book.opening import open_book
from refinekit.shop.book.store import Book
from refinekit.shop.book.vessels import Shelfful, at_likely, change_op, vessels_of
from refinekit.shop.book.written import Written
from refinekit.show.document import Document
from refinekit.units import read

Told = Mapping[str, Any]
Open = Callable[[str], tuple[str, str]]
NOT_LOGGED = Notice("note", "not-logged", "nothing was written down", "mend the cause first, then log it again", "practice")


@dataclass(slots=True)
class Draft:
    """What is about to be written.

    Args:
        entries: the events
        notices: what the safety rules say
        assumed: what was taken as given
        sheet: what was written on a run sheet; None where none was handed in
        tables: what is shown beside what is written down
    """

    entries: list[Entry] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)
    assumed: list[str] = field(default_factory=list)
    sheet: Written | None = None
    tables: list[Table] = field(default_factory=list)


def logged(told: Told, open_text: Open) -> Document:
    """Write down what was told; nothing where a safety rule stops it.

    Args:
        told: options as typed, by parameter name
        open_text: reads a file or the pipe
    Raises: BadQuantity and its kin, what cannot be read
    """
    draft = Draft()
    if told["written"]:
        told = _with_sheet(draft, told, open_text)
    with open_book(told["book"], write=True) as book:
        for part in (_plan, _pots, _vessel, _found, _money):
            part(draft, told, book, open_text)
        if not draft.entries and not draft.notices:
            raise CannotFollow(
                "there is nothing to log",
                cure="a batch file, or --into VESSEL --add REAGENT, or --lot 12 --bar 5.09g; see --help",
            )
        if stops(tuple(draft.notices)):
            return Document.of("log", (Step("log"),), notices=(*draft.notices, NOT_LOGGED), inputs=_inputs(told))
        _not_twice(draft.entries, told, book)
        _only_one(draft.entries, told)
        numbers = book.add(draft.entries)
        begun = [("new book", book.name)] if book.fresh else []
    rows = tuple(
        (str(number), entry.at, entry.kind, entry.about, str(entry.data.get("step") or entry.data.get("did", "")))
        for number, entry in zip(numbers, draft.entries, strict=True)
    )
    table = Table("Written down", ("no", "day", "kind", "of", "what"), rows)
    title = f"lot {told['lot']}" if told["lot"] else str(told["into"] or "")
    return Document.of(
        "log",
        title=title,
        notices=draft.notices,
        inputs=_inputs(told),
        sections=(table, *draft.tables),
        lines=begun,
        assumed=draft.assumed,
    )


def _with_sheet(draft: Draft, told: Told, open_text: Open) -> Told:
    """What was typed, and what the head of a run sheet adds. Raises: BadQuantity, a sheet of no plan."""
    from refinekit.shop.book.written import read_written

    if told["file"] is None:
        raise BadQuantity("a run sheet is of a plan, and none is named", cure="refinekit log LOT.toml --written written.json")
    if told["file"] == told["written"] == "-":
        raise BadQuantity("the plan and its sheet cannot both come through the pipe", cure="name a file for one of them")
    draft.sheet = read_written(*open_text(told["written"]))
    return with_heads(told, draft.sheet)


def _held(draft: Draft, done: AsDone, pours: Callable[[], Pours]) -> AsDone:
    """What was done, with what the run sheet says of it where there is one."""
    if draft.sheet is None:
        return done
    held = as_written(done, draft.sheet, pours())
    draft.tables += [held.differs] if held.differs.rows else []
    draft.assumed += held.lines
    return held.done


def _inputs(told: Told) -> dict[str, str]:
    plain = {name: value for name, value in told.items() if value and value is not True and name != "seller"}
    return {name: ", ".join(value) if isinstance(value, list) else str(value) for name, value in plain.items()}


def _not_twice(entries: list[Entry], told: Told, book: Book) -> None:
    """Refuse a lot whose number is in the book already: it would be counted twice."""
    for entry in entries:
        if entry.kind == "lot" and told["corrects"] is None:
            there = book.read("e.kind = 'lot' AND e.about = ?", (entry.about,))
            if there:
                raise BadQuantity(
                    f"lot {entry.about} is in the book already, event {there[0].number} of {there[0].entry.at}",
                    cure=f"another number; or mend one step of it: --step lot --corrects {there[0].number}",
                )


def number_of(corrects: str | None) -> int | None:
    """Number of the event to be corrected, as typed; None where none is. Raises: BadQuantity."""
    if corrects is None:
        return None
    if not corrects.isdecimal():
        raise BadQuantity(f"--corrects {corrects[:40]!r} is no event", cure="refinekit book events lists their numbers")
    return int(corrects)


def _only_one(entries: list[Entry], told: Told) -> None:
    number = number_of(told["corrects"])
    if number is None:
        return
    if len(entries) != 1:
        raise BadQuantity(
            f"{len(entries)} events cannot stand in the place of one",
            cure="log the one that was wrong: --step drop --corrects 14",
        )
    entries[0] = Entry(**{**_fields(entries[0]), "corrects": number})


def _fields(entry: Entry) -> dict[str, Any]:
    return {name: getattr(entry, name) for name in ("kind", "about", "at", "data", "who", "corrects", "ops")}


def _amount(text: str, kind: str, option: str, unit: str | None = None) -> Range:
    return read(text, kind, name=option, unit=unit, lowest=0.0).range


def _lot(told: Told) -> str:
    if not (told["lot"] or "").strip():
        raise BadQuantity("which lot it is of is not told", cure="--lot 12")
    return str(told["lot"]).strip()


# ---- a plan, or a step's answer
def _plan(draft: Draft, told: Told, book: Book, open_text: Open) -> None:
    if told["file"] is None:
        return
    text, name = open_text(told["file"])
    done = _as_done(told)
    if text.lstrip().startswith(("{", "[{")):  # a batch file may begin with [lot]
        from refinekit.shop.book.from_json import answer_in, entries_of_json

        done = _held(draft, done, lambda: pours_of_json(answer_in(text, name)["steps"]))
        draft.entries += entries_of_json(text, name, done, vessels_of(book))
        return
    from refinekit.shop.batch import read_batch
    from refinekit.shop.plan import run_plan

    batch = read_batch(text, name)
    standing = [held.pot().renamed("bath") for held in vessels_of(book, (done.bath,)).vessels.values() if not held.state]
    own = any("bath-volume" in ask.texts for ask in batch.steps)
    plan = run_plan(batch, [] if own else [at_likely(pot) for pot in standing if not pot.is_empty])
    if plan.stopped_at:
        draft.notices += [replace(notice, text=f"{step}: {notice.text}") for step, notice in plan.notices()]
        return
    draft.notices += [notice for _, notice in plan.notices() if notice.level == "warn"] if told["step"] else []
    done = _held(draft, done, lambda: pours_of(plan))
    draft.entries += entries_of(plan, done)
    draft.assumed += plan.assumed
    if not told["keep"] and not done.step:
        draft.entries += _gathered(draft.entries, done)


def _gathered(entries: list[Entry], done: AsDone) -> list[Entry]:
    from refinekit.shop.book.left_over import gathered

    shelf = Shelfful()
    for entry in entries:
        shelf.follow(entry.at, entry.ops)
    pots = {name: held.pot() for name, held in shelf.vessels.items() if name.startswith(f"{done.lot}: ")}
    ops = gathered(pots)
    return (
        [Entry("vessel", done.lot, done.at, {"did": "what the lot left, put where it belongs"}, done.who, None, ops)]
        if ops
        else []
    )


def _as_done(told: Told) -> AsDone:
    used: dict[tuple[str, str], tuple[float, str]] = {}
    for name, amount in by_hand.pairs(told["used"], "--used"):
        step, _, key = name.rpartition(":")
        used[step.strip(), key.strip()] = _mass_or_volume(amount)
    words: dict[str, Any] = {name: told[name] for name in ("test", "colour", "note") if told[name]}
    if told["temperature"]:
        kelvin = _amount(told["temperature"], "temperature", "--temperature", "degC").likely
        words["temperature_c"] = kelvin - fact("constants.zero_celsius").value
    if told["minutes"]:
        words["minutes"] = _amount(told["minutes"], "time", "--minutes", "min").likely / 60
    if told["foam"]:
        words["foam"] = _amount(told["foam"], "count", "--foam").likely
    lot_words: dict[str, Any] = {name: told[name] for name in ("source", "seller") if told[name]}
    if told["paid"]:
        lot_words["paid"] = _amount(told["paid"], "money", "--paid").likely
    if told["note"] and not told["step"]:
        lot_words["note"] = words.pop("note")
    bottles = dict(by_hand.pairs(told["bottle"], "--bottle"))
    bath = told["bath"] or "bath"
    return AsDone(_lot(told), day(told["at"]), told["who"] or "", bath, told["step"] or "", used, bottles, words, lot_words)


def _mass_or_volume(text: str) -> tuple[float, str]:
    try:
        return _amount(text, "volume", "--used").likely, "volume"
    except BadQuantity:
        return _amount(text, "mass", "--used").likely, "mass"


# ---- vessels
def _pots(draft: Draft, told: Told, book: Book, open_text: Open) -> None:
    """Pots that stand in the shop, told whole: the book takes its vessels of those names to be so."""
    if not told["pot"]:
        return
    from refinekit.shop.potfile import read_pots

    shelf = vessels_of(book)
    for path in told["pot"]:
        for pot in read_pots(*open_text(path)):
            known = shelf.vessels.get(pot.name)
            op = change_op(pot.name, known.pot() if known else None, pot, _worlds(pot))
            data = {"did": "as it stands", **_note(told)}
            draft.entries.append(Entry("vessel", pot.name, day(told["at"]), data, told["who"] or "", None, [op] if op else []))


def _worlds(pot: Pot) -> tuple[int, int, int]:
    import numpy as np

    amounts = [np.asarray(amount) for amount in (*pot.dissolved_mol.values(), *pot.solids_mol.values())]
    total = sum((amount for amount in amounts if amount.ndim), np.zeros(1))
    return (0, int(np.argmin(total)), int(np.argmax(total))) if total.size > 1 else (0, 0, 0)


def _note(told: Told) -> dict[str, Any]:
    return {name: told[name] for name in ("note", "test", "colour") if told[name]}


def _vessel(draft: Draft, told: Told, book: Book, open_text: Open) -> None:
    if told["into"] is None:
        if told["add"] or told["pour"]:
            raise BadQuantity("where it went is not told", cure="--into VESSEL")
        return
    if bool(told["add"]) == bool(told["pour"]):
        raise BadQuantity(
            "tell what went in: a reagent, or another vessel", cure="--add hydrochloric --volume 900mL, or --pour VESSEL"
        )
    into, shelf = str(told["into"]).strip(), vessels_of(book)
    there = shelf.of(into).pot()
    overrides = Desk("log", {}, "table", False, "metric", override=told["override"] or ()).overrides()
    volume = _amount(told["volume"], "volume", "--volume", "L") if told["volume"] else None
    data: dict[str, Any] = _note(told)
    if told["add"]:
        draft.notices += before_pouring(there, told["add"], overrides)
        if stops(tuple(draft.notices)):
            return
        mass = _amount(told["weight"], "mass", "--weight", "g") if told["weight"] else None
        bottles = dict(by_hand.pairs(told["bottle"], "--bottle"))
        one = by_hand.reagent(told["add"], strength=told["strength"], volume_l=volume, mass_g=mass)
        number = bottles.get(str(one.row["key"]))
        data |= {"did": f"added {one.row['name']}", "used": [{**one.row, **({"bottle": number} if number else {})}]}
        draft.assumed += one.assumed
        ops = by_hand.put_in(into, one)
    else:
        from refinekit.shop.book.vessels import vessel_of

        from_ = vessel_of(book, told["pour"])
        draft.notices += before_pouring(there, from_.pot(), overrides)
        if stops(tuple(draft.notices)):
            return
        data |= {"did": f"poured in {from_.name}"}
        ops = by_hand.pour_over(from_, into, by_hand.of_three(volume) if volume else None)
    lifted = {notice.code: notice.reason for notice in draft.notices if notice.reason}
    if lifted:
        data["overridden"] = lifted
    draft.entries.append(Entry("vessel", into, day(told["at"]), data, told["who"] or "", None, ops))


# ---- metal found, and money
def _found(draft: Draft, told: Told, book: Book, open_text: Open) -> None:
    if told["metal"] not in METALS:
        raise BadQuantity(f"--metal {told['metal'][:40]!r} is no metal of an account", cure=did_you_mean(told["metal"], METALS))
    rows: list[tuple[str, Range, Range | None]] = []
    if told["bar"]:
        fine = _amount(told["fineness"], "fineness", "--fineness") if told["fineness"] else None
        rows.append(("bar", _amount(told["bar"], "mass", "--bar", "g"), fine))
        if fine is None:
            draft.assumed.append("the bar is all fine")
    elif told["fineness"]:
        raise BadQuantity("a fineness needs its bar", cure="--bar 5.09g --fineness 998")
    for name, amount in by_hand.pairs(told["found"], "--found"):
        rows.append((by_hand.stream_key(name), _amount(amount, "mass", "--found", "g"), None))
    for stream, grams, fineness in rows:
        data = {"did": f"found in {stream}", **by_hand.found_data(stream, grams, fineness, told["metal"]), **_note(told)}
        ops = _out_of_the_lot(book, told) if stream == "bar" else []
        draft.entries.append(Entry("yield", _lot(told), day(told["at"]), data, told["who"] or "", None, ops))


def _out_of_the_lot(book: Book, told: Told) -> list[dict[str, Any]]:
    """The button of a plan leaves its vessel when the bar is weighed: from then on it is in the account."""
    from refinekit.shop.book.left_over import emptied

    own = Shelfful()
    for at, text in book.moves("e.kind IN ('lot', 'step', 'vessel') AND e.about = ?", (_lot(told),)):
        own.follow(at, ops_of_text(text))
    names = [f"{_lot(told)}: {name}" for name in ("button", "bar")]
    return [op for name in names if name in own.vessels for op in emptied(own.vessels[name].pot())]


def _money(draft: Draft, told: Told, book: Book, open_text: Open) -> None:
    for name, amount in by_hand.pairs(told["cost"], "--cost"):
        data = {"did": name, "out": _amount(amount, "money", "--cost").likely, **_note(told)}
        draft.entries.append(Entry("money", told["lot"] or "", day(told["at"]), data, told["who"] or ""))
    if told["sold"]:
        data = {"did": "sold", "in": _amount(told["sold"], "money", "--sold").likely, **_note(told)}
        draft.entries.append(Entry("money", _lot(told), day(told["at"]), data, told["who"] or ""))
