"""Option types that several plain commands share."""

from __future__ import annotations

from typing import Annotated

import typer

UNITS_HELP = "metric, troy or us for what is shown; JSON stays metric"

Json = Annotated[bool, typer.Option("--json", help="answer as JSON")]
Csv = Annotated[bool, typer.Option("--csv", help="answer as CSV")]
Working = Annotated[bool, typer.Option("--show-working", help="the sums as one would check them by hand")]
Units = Annotated[str | None, typer.Option("--units", help=UNITS_HELP, metavar="WORD", show_default=False)]
Force = Annotated[bool, typer.Option("--force", help="write over a file that is there")]
Chart = Annotated[
    str | None,
    typer.Option(
        "--chart", help="write the charts of the steps to this SVG file as well", metavar="FILE.svg", show_default=False
    ),
]
Sheet = Annotated[
    str | None,
    typer.Option(
        "--sheet", help="write the answer to this page as well, for paper or a tablet", metavar="FILE.html", show_default=False
    ),
]
BookFile = Annotated[
    str | None,
    typer.Option("--book", help="the shop's book, where it is not the usual one", metavar="FILE", show_default=False),
]
At = Annotated[
    str | None, typer.Option("--at", help="day it was done, as 2026-03-05; left out, today", metavar="DAY", show_default=False)
]
Who = Annotated[str | None, typer.Option("--who", help="who did it", metavar="NAME", show_default=False)]
Note = Annotated[str | None, typer.Option("--note", help="anything worth knowing later", show_default=False)]
Corrects = Annotated[
    str | None,
    typer.Option("--corrects", help="number of the event this one stands in the place of", metavar="NUMBER", show_default=False),
]


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
