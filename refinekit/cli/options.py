"""Option types that several plain commands share."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from typing import Annotated, Any, get_type_hints

import typer

Text = str | None


def typed(name: str, help: str, metavar: str = "TEXT") -> Any:
    """An option whose text is read later.

    Args:
        name: without its dashes
        help: what it is
        metavar: what stands for the text in the help
    """
    return typer.Option(f"--{name}", help=help, metavar=metavar, show_default=False)


UNITS_HELP = "metric, troy or us for what is shown; JSON stays metric"

Json = Annotated[bool, typer.Option("--json", help="answer as JSON")]
Csv = Annotated[bool, typer.Option("--csv", help="answer as CSV")]
Working = Annotated[bool, typer.Option("--show-working", help="the sums as one would check them by hand")]
Units = Annotated[Text, typed("units", UNITS_HELP, "WORD")]
Force = Annotated[bool, typer.Option("--force", help="write over a file that is there")]
Chart = Annotated[Text, typed("chart", "write the charts of the steps to this SVG file as well", "FILE.svg")]
Sheet = Annotated[Text, typed("sheet", "write the answer to this page as well, for paper or a tablet", "FILE.html")]
BookFile = Annotated[Text, typed("book", "the shop's book, where it is not the usual one", "FILE")]
At = Annotated[Text, typed("at", "day it was done, as 2026-03-05; left out, today", "DAY")]
Who = Annotated[Text, typed("who", "who did it", "NAME")]
Note = Annotated[Text, typed("note", "anything worth knowing later")]
Corrects = Annotated[Text, typed("corrects", "number of the event this one stands in the place of", "NUMBER")]


def known_law(law: str) -> str:
    """A law as typed. Raises: BadQuantity, none whose limits are kept."""
    from refinekit.bench.place import LAWS
    from refinekit.errors import BadQuantity
    from refinekit.nearest import did_you_mean

    if law not in LAWS:
        raise BadQuantity(f"--law {law[:40]!r} is not one of: {', '.join(LAWS)}", cure=did_you_mean(law, LAWS))
    return law


Law = Annotated[
    str,
    typer.Option("--law", help="us, eu, uk or none: whose limits and reminders", metavar="WORD", callback=known_law),
]


EVENT: dict[str, tuple[Any, object]] = {
    "corrects": (Corrects, None),
    "note": (Note, None),
    "who": (Who, None),
    "at": (At, None),
    "book": (BookFile, None),
    "json": (Json, False),
    "csv": (Csv, False),
    "show_working": (Working, False),
    "units": (Units, None),
}
"""Options of every command that writes an event into the book: type and default."""


def writes_event(function: Callable[..., int]) -> Callable[..., int]:
    """The command with the options of EVENT behind its own; it is handed them by name as `**event`."""
    hints = get_type_hints(function, include_extras=True)
    parameters = inspect.signature(function).parameters.values()
    own = [one.replace(annotation=hints[one.name]) for one in parameters if one.kind is not one.VAR_KEYWORD]
    shared = [
        inspect.Parameter(name, inspect.Parameter.POSITIONAL_OR_KEYWORD, default=default, annotation=kind)
        for name, (kind, default) in EVENT.items()
    ]
    function.__signature__ = inspect.Signature([*own, *shared])  # type: ignore[attr-defined]
    function.__annotations__ = {one.name: one.annotation for one in (*own, *shared)}
    return function


def look_told(event: dict[str, Any]) -> dict[str, Any]:
    """The look, taken out of what `writes_event` hands on: words of `desk_of_look`."""
    words = {"json": "json", "csv": "csv", "working": "show_working", "units": "units"}
    return {word: event.pop(name) for word, name in words.items()}


def whole_number(text: str, name: str) -> int:
    """A count as typed: digits, with spaces or commas between thousands and nowhere else: 1,5 is no 15. Raises: BadQuantity."""
    from refinekit.errors import BadQuantity
    from refinekit.units.decimal_mark import TOLD

    digits = text.strip()
    if TOLD.get() and ("," in digits or "." in digits):
        raise BadQuantity(f"{name} {text[:40]!r} has a mark that others read in another way", cure=f"{name} 10000, without any")
    first, *others = digits.replace(",", " ").replace("_", " ").split(" ")
    if others and 1 <= len(first) <= 3 and all(len(three) == 3 for three in others):
        digits = "".join((first, *others))
    if digits.isascii() and digits.isdigit() and len(digits) <= LONGEST:
        return int(digits)
    what = "more digits than anything is counted in" if digits.isascii() and digits.isdigit() else "no whole number"
    raise BadQuantity(f"{name} {text[:40]!r} is {what}", cure=f"{name} 10000")


LONGEST = 18
"""Digits of the longest number read."""
