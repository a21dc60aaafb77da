"""The help of all commands as a page for man, in the plain part of roff that every formatter knows."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Any

from refinekit import __version__
from refinekit.cli.begin import WHERE
from refinekit.cli.cards import PANELS

WIDTH = 70
"""Letters of a line of text, before its escapes."""
ENDS = (
    ("0", "done"),
    ("1", "a check that lies too far off, or a fault of the program"),
    ("2", "something could not be read; one sentence says what, and what to type instead"),
    ("3", "stopped for safety: no quantities for the stopped step until the cause is gone"),
    ("130", "Ctrl-C"),
)
"""Exit codes and what they say."""
SET = (
    ("REFINEKIT_BOOK", "the shop's book, where it is not the usual one"),
    ("NO_COLOR", "no colour, where it is set to anything"),
    ("COLUMNS", "how wide to write, where the terminal does not say"),
    ("REFINEKIT_DEBUG", "set to 1, shows where a fault of the program is"),
)
"""What the environment may set."""
CAUTION = """Brown fume from nitric kills late: lungs can fill 3 to 30 hours after a breath that did not seem to matter;
see a doctor the same day. Work under a hood or in the open, never alone. Ammonia never meets gold in solution or silver that is
kept. Bleach never meets acid or ammonium. Gas-making liquors are never capped. Acid goes into water. Local codes, permits and
licensed practice come first."""


def page() -> str:
    """The whole page, as roff."""
    return "\n".join(_lines()) + "\n"


def _lines() -> Iterator[str]:
    from typer.main import get_command

    from refinekit.cli.commands import app, load

    whole = get_command(app)
    yield f'.TH REFINEKIT 1 "" "refinekit {__version__}" "The refinekit manual"'
    yield from (".SH NAME", f"refinekit \\- {plain('what to weigh and pour in small-shop gold and silver recovery')}")
    yield from (".SH SYNOPSIS", ".B refinekit", ".I command", "[options]", ".SH DESCRIPTION")
    yield from _text(whole.help or "")
    for question, answers in WHERE:
        yield from _item(question, "; ".join(answers), bold=False)
    yield ".SH CAUTIONS"
    yield from _text(CAUTION)
    for panel, cards in PANELS.items():
        yield f".SH {quoted(panel.upper())}"
        for verb in cards:
            yield from _command(verb, load(verb))
    for title, rows in (("EXIT STATUS", ENDS), ("ENVIRONMENT", SET)):
        yield f".SH {quoted(title)}"
        for name, says in rows:
            yield from _item(name, says)


def _command(verb: str, command: Any) -> Iterator[str]:
    """One command: what it is, its words and options, its example."""
    from refinekit.cli.commands import SHOWN, example_of, folded

    told, example = SHOWN.sub("", command.help or ""), example_of(command)
    words = [one for one in command.params if one.param_type_name == "argument"]
    shown = " ".join(str(one.metavar) if one.required else f"[{one.metavar}]" for one in words)
    yield f".SS {quoted(' '.join(filter(None, ('refinekit', verb, shown))))}"
    yield from _text(told)
    if example:
        yield from (".PP", "Example:", ".PP", ".nf", *map(plain, folded(example, WIDTH).split("\n")), ".fi")
    for one in words:
        yield from _item(one.metavar or one.name, one.help or "")
    for one in command.params:
        if one.param_type_name != "argument":
            value = "" if one.is_flag else f" {one.metavar or 'TEXT'}"
            yield from _item(f"{', '.join(one.opts)}{value}", one.help or "")


def _text(text: str) -> Iterator[str]:
    """Paragraphs of text."""
    for number, paragraph in enumerate(filter(None, (part.strip() for part in text.split("\n\n")))):
        yield from ((".PP",) if number else ())
        yield from _filled(paragraph)


def _item(name: str, says: str, *, bold: bool = True) -> Iterator[str]:
    """A name, and what it is, set in below it."""
    yield from (".TP", f".B {quoted(name)}" if bold else plain(name), *_filled(says or "as its name says"))


def _filled(text: str) -> list[str]:
    """A paragraph in lines short enough for any editor."""
    return [plain(line) for line in textwrap.wrap(" ".join(text.split()), WIDTH, break_long_words=False, break_on_hyphens=False)]


def plain(text: str) -> str:
    """A line of text as roff reads it: no character of it is taken for an order, and a dash stays one that can be typed.

    >>> plain("--pot FILE")
    '\\\\-\\\\-pot FILE'
    >>> plain(".5 g")
    '\\\\&.5 g'
    """
    safe = text.replace("\\", "\\e").replace("-", "\\-").replace("'", "\\(aq").replace("`", "\\(ga")
    safe = safe.replace("^", "\\(ha").replace("~", "\\(ti")
    safe = "".join(char if char.isascii() else f"\\[u{ord(char):04X}]" for char in safe)
    return f"\\&{safe}" if safe.startswith(".") else safe


def quoted(text: str) -> str:
    """One argument of a roff order."""
    return '"' + plain(text).replace('"', "\\(dq") + '"'
