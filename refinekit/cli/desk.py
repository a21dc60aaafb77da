"""What every command shares: the shop it is asked in, the pots handed to it, and the look of its answer.

A room's command is made from the room's fields, so that an option is written once, where the bench needs it.
"""

from __future__ import annotations

import inspect
import sys
from collections.abc import Callable, Mapping, Sequence
from typing import Annotated, Any

import typer

from refinekit.bench.fields import Field
from refinekit.cli.cards import CARDS
from refinekit.cli.papers import page_name, write_charts, write_sheet
from refinekit.errors import BadFile, BadQuantity, raise_all
from refinekit.nearest import did_you_mean
from refinekit.record import record
from refinekit.shop.place_fields import PLACE_FIELDS
from refinekit.show.document import Document

BOOK = "book:"
"""How a pot is asked of the shop's book."""
LOOK_OPTIONS: tuple[tuple[str, type, str], ...] = (
    ("json", bool, "answer as JSON"),
    ("csv", bool, "answer as CSV"),
    ("show-working", bool, "the sums as one would check them by hand"),
    ("units", str, "metric, troy or us for what is shown; JSON stays metric"),
)
POT_OPTIONS: tuple[tuple[str, type, str], ...] = (
    ("pot", list, "pots from a step before: a JSON file, - for the pipe, or book:NAME for a vessel of the book"),
    ("take", list, "name of a pot to work on, where there are several"),
    ("override", list, "CODE=REASON: go on past a stop that may be lifted; the reason is printed"),
)
SEEN_HELP = 'what was seen, as "{what} gone after ..." or "{what} left after ..."; ranges narrow by it'
SEEN_WHAT = {"dissolve": "foil", "denox": "fizz", "drop": "gold"}
"""What is looked at, of the verbs that can be told what was seen."""
DAY_HELP = "a batch file: what its whole day of steps holds in the room, instead of one step"
CHART_OPTIONS: tuple[tuple[str, type, str], ...] = (
    ("chart", str, "write the charts to this SVG file as well"),
    ("force", bool, "write over the chart file that is there"),
)

SHEET_OPTIONS: tuple[tuple[str, type, str], ...] = (
    ("sheet", str, "write the answer to this page as well, for paper or a tablet"),
    ("force", bool, "write over the file that is there"),
)
KEEPS_BOOK = ("log", "bath")
"""Commands that have written to the book by the time their page is made."""
ON_PAPER = ("account",)
"""Rooms whose answer is also put to a page."""


FROM_RECORD = ("account", "lot")
"""Rooms that can be asked of a lot of the book."""
RECORD: tuple[tuple[str, str, str], ...] = (
    ("lot", "a lot of the book, by its number", "NUMBER"),
    ("book", "the shop's book, where it is not the usual one", "FILE"),
)


@record
class Desk:
    """What a command was told beside its own options.

    Args:
        command: the verb [text]
        texts: place options as typed
        look: json, csv or table
        working: whether the sums are shown
        units: metric, troy or us
        pots: files of pots
        take: names of pots
        override: CODE=REASON texts
        sheet: file of the page the answer is put to as well; None for none
        force: whether a page that is there may be written over
    """

    command: str
    texts: Mapping[str, object]
    look: str
    working: bool
    units: str
    pots: Sequence[str] = ()
    take: Sequence[str] = ()
    override: Sequence[str] = ()
    sheet: str | None = None
    force: bool = False

    def show(self, document: Document) -> int:
        """Show the answer, once its page is written where one is wanted; returns the exit code."""
        from refinekit.cli.progress import finish
        from refinekit.show.look import present

        if self.sheet is not None:
            try:
                write_sheet(document, self.sheet, force=self.force, units=self.units)
            except BadFile as error:
                if self.command not in KEEPS_BOOK:
                    raise
                cure = "refinekit book events shows what was written down: do not tell it twice"
                raise BadFile(f"{error.what}; only the page is missing", cure=cure) from None
        finish()
        present(document, look=self.look, working=self.working, units=self.units)
        return document.exit_code

    def overrides(self) -> dict[str, str]:
        """Typed reasons by code. Raises: BadQuantity, no reason typed."""
        reasons = {}
        for text in self.override:
            code, _, reason = text.partition("=")
            if not code.strip() or not reason.strip():
                raise BadQuantity(
                    f"--override {text[:60]!r} has no reason", cure='--override chlorine="hood running, outdoors, two people"'
                )
            reasons[code.strip()] = reason.strip()
        return reasons


def option(name: str, kind: type, help: str, metavar: str | None = None) -> tuple[type, Any, Any]:
    """A Typer option: its type, its declaration and its default."""
    if kind is bool:
        return bool, typer.Option(f"--{name}", help=help), False
    declared = typer.Option(f"--{name}", help=help, metavar=metavar or "TEXT", show_default=False)
    return (list[str] | None if kind is list else str | None), declared, None  # type: ignore[return-value]


def command(
    verb: str, options: Mapping[str, tuple[type, Any, Any]], function: Callable[..., int], doc: str
) -> Callable[..., int]:
    """A function with the signature Typer reads its options from.

    Args:
        verb: its name
        options: by parameter name: type, typer declaration, default
        function: called with every option by parameter name
        doc: the help
    """

    def run(**told: Any) -> int:
        return function(**told)

    parameters, annotations = [], {}
    for name, (kind, declared, default) in options.items():
        annotation: Any = Annotated[kind, declared]
        parameters.append(inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=annotation))
        annotations[name] = annotation
    run.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    run.__annotations__ = annotations
    run.__name__ = verb.replace("-", "_")
    run.__doc__ = doc
    return run


def field_options(fields: Sequence[Field]) -> dict[str, tuple[type, Any, Any]]:
    """Options of a room's fields."""
    return {
        field.arg: option(field.name, bool if field.kind == "flag" else str, _help(field), _metavar(field)) for field in fields
    }


def _metavar(field: Field) -> str:
    if field.choices:
        choices = "|".join(field.choices)
        return choices if len(choices) <= WIDEST_CHOICES else "WORD"
    if field.kind in ("text", "price") or field.kind.startswith("strength:"):
        return {"text": "TEXT", "price": "MONEY"}.get(field.kind, "STRENGTH")
    return field.unit.upper() or "NUMBER"


def _help(field: Field) -> str:
    return f"{field.help}: {', '.join(field.choices)}" if field.choices and _metavar(field) == "WORD" else field.help


WIDEST_CHOICES = 60
"""Letters of the choices that stand beside an option; longer ones stand in its help."""


def shared_options(*, pots: bool) -> dict[str, tuple[type, Any, Any]]:
    """Options every command of the bench has."""
    named = (*POT_OPTIONS, *LOOK_OPTIONS) if pots else LOOK_OPTIONS
    return {name.replace("-", "_"): option(name, kind, help) for name, kind, help in named}


def look_of(told: dict[str, Any]) -> tuple[str, bool, str]:
    """The look options, taken out of what was told.

    Raises: BadQuantity, two looks at once or units that are not known
    """
    as_json, as_csv = bool(told.pop("json")), bool(told.pop("csv"))
    if as_json and as_csv:
        raise BadQuantity("--json and --csv were both asked for", cure="ask for one")
    units = told.pop("units") or "metric"
    if units not in ("metric", "troy", "us"):
        raise BadQuantity(
            f"--units {units[:40]!r} is not one of: metric, troy, us",
            cure=did_you_mean(units, ("metric", "troy", "us"), "--units metric"),
        )
    return ("json" if as_json else "csv" if as_csv else "table"), bool(told.pop("show_working")), units


def desk_of_look(
    verb: str,
    *,
    json: bool = False,
    csv: bool = False,
    working: bool = False,
    units: str | None = None,
    sheet: str | None = None,
    force: bool = False,
) -> Desk:
    """The desk of a command that is asked of no pot and no shop."""
    look, shown, system = look_of({"json": json, "csv": csv, "show_working": working, "units": units})
    return Desk(verb, {}, look, shown, system, sheet=page_name(sheet, force=force), force=force)


def desk_of(verb: str, told: dict[str, Any]) -> Desk:
    """The desk of a command of the bench, taken out of what was told."""
    look, working, units = look_of(told)
    force = bool(told.pop("force", False))
    sheet = page_name(told.pop("sheet", None), force=force)
    texts = {field.name: told.pop(field.arg, None) or None for field in PLACE_FIELDS}
    pots, take, override = (tuple(told.pop(name, None) or ()) for name in ("pot", "take", "override"))
    return Desk(verb, texts, look, working, units, pots, take, override, sheet, force)


def place_options() -> dict[str, tuple[type, Any, Any]]:
    """Options that tell of the shop."""
    return field_options(PLACE_FIELDS)


def room_command(verb: str) -> Callable[..., int]:
    """The command of a room of the bench."""
    from refinekit.shop.rooms import room

    the_room = room(verb)
    own = field_options(the_room.fields)
    drawing = {name: option(name, kind, help, "FILE.svg") for name, kind, help in CHART_OPTIONS if the_room.draws}
    record = {name: option(name.replace("_", "-"), str, help, metavar) for name, help, metavar in RECORD if verb in FROM_RECORD}
    days = {"plan": option("plan", str, DAY_HELP, "FILE")} if the_room.days else {}
    seeing = {}
    if verb in SEEN_WHAT:
        colour = next(
            (f"; or the {field.help}: {', '.join(field.choices)}" for field in the_room.fields if field.name == "seen"), ""
        )
        seeing = {"seen": option("seen", list, SEEN_HELP.format(what=SEEN_WHAT[verb]) + colour)}
    paper = {name: option(name, kind, help, "FILE.html") for name, kind, help in SHEET_OPTIONS if verb in ON_PAPER}
    options = {**own, **record, **seeing, **place_options(), **days, **drawing, **paper, **shared_options(pots=True)}

    def run(**told: Any) -> int:
        if record and told["lot"]:
            return from_record(verb, told, answer)
        return answer(**{name: one for name, one in told.items() if name not in record})

    def answer(**told: Any) -> int:
        file, force, plan = told.pop("chart", None), told.get("force", False), told.pop("plan", None)
        seen = sights_told(told, the_room.fields)
        desk = desk_of(verb, told)
        texts = {field.name: told[field.arg] or None for field in the_room.fields}
        document = day_of_plan(verb, desk, texts, plan) if plan else answer_of(verb, desk, texts, seen)
        if file is not None and (not document.stopped or any(step.charts for step in document.steps)):
            write_charts(document, file, force=force, units=desk.units)
        return desk.show(document)

    doc = f"{CARDS[verb]}\n\nExample: {the_room.example}"
    return command(verb, options, run, doc)


def from_record(verb: str, told: dict[str, Any], answer: Callable[..., int]) -> int:
    """A lot of the book: shown, or held to its account with what the book knows of it."""
    from refinekit.shop.book.lots import account_texts, lot_of
    from refinekit.shop.book.opening import open_book

    number = told.pop("lot")
    with open_book(told.pop("book")) as book:
        if verb == "lot":
            from refinekit.cli.lot_answers import lot_document

            return desk_of(verb, told).show(lot_document(book, number))
        known = account_texts(lot_of(book, number), told.get("metal") or "gold")
    arg = {field.name: field.arg for field in _fields_of(verb)}
    return answer(**{**told, **{arg[name]: text for name, text in known.items() if not told.get(arg[name])}})


def _fields_of(verb: str) -> Sequence[Field]:
    from refinekit.shop.rooms import room

    return room(verb).fields


def sights_told(told: dict[str, Any], fields: Sequence[Field]) -> tuple[str, ...]:
    """What was seen, taken out of what was told; a colour of the spot stays for a room that asks for one."""
    seen = told.pop("seen", None) or ()
    own = any(field.name == "seen" for field in fields)
    colours = [text for text in seen if own and " after " not in text]
    if own:
        told["seen"] = colours[-1] if colours else None
    return tuple(text for text in seen if text not in colours)


def answer_of(verb: str, desk: Desk, texts: Mapping[str, object], seen: Sequence[str] = ()) -> Document:
    """A room's answer, from the texts of its options, and from what was seen where something was."""
    from refinekit.shop.ask import listen
    from refinekit.shop.doing import do
    from refinekit.shop.place import place_of
    from refinekit.shop.potfile import read_pots
    from refinekit.shop.rooms import room
    from refinekit.shop.worlds import together

    the_room = room(verb)
    told = listen(the_room.fields, texts, label=lambda name: f"--{name}")
    place, place_told = place_of(PLACE_FIELDS, desk.texts, label=lambda name: f"--{name}")
    raise_all([*told.faults, *place_told.faults])
    pots = together(*(read_pots(*open_text(path)) for path in desk.pots))
    narrowed: dict[str, Any] = {}
    if seen:
        from refinekit.shop.seen import see

        after = see(the_room, told, pots, place, seen, names=desk.take, overrides=desk.overrides())
        done, narrowed = after.done, {"sections": after.tables, "lines": after.says}
    else:
        done = do(the_room, told, pots, place, names=desk.take, overrides=desk.overrides())
    return Document.of(
        verb,
        (done.step,),
        notices=done.notices,
        inputs={**told.shown, **place_told.shown, **({"seen": "; ".join(seen)} if seen else {})},
        place=place,
        **narrowed,
        assumed=(*(after.assumed if seen else ()), *told.assumed, *place_told.assumed),
        used_facts=tuple(told.facts),
        passed_by=done.passed_by,
    )


def day_of_plan(verb: str, desk: Desk, texts: Mapping[str, object], path: str) -> Document:
    """What a plan's whole day holds in the room."""
    from refinekit.cli.day import day_answer

    return day_answer(verb, desk, texts, path)


def open_text(path: str) -> tuple[str, str]:
    """Text of a file, of the pipe ("-"), or of vessels of the book ("book:bath", "book:bath+stock pot"), and its name."""
    from refinekit.shop.files import read_text

    if path.startswith(BOOK):
        from refinekit.shop.book.opening import open_book
        from refinekit.shop.book.vessels import pots_text

        with open_book() as book:
            return pots_text(book, path.removeprefix(BOOK).split("+")), path
    if path == "-":
        return read_text(sys.stdin.buffer, "standard input"), "standard input"
    return read_text(path, path), path
