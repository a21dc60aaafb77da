"""What was written on a run sheet, as its page saves it: who, when, and what was weighed beside what was to be weighed.

The file is `{schema, title, lot, day, who, second, weighed: [{step, row, what, to_weigh, unit, weighed}]}`, every word of
it as typed on the page. It is checked here for its shape alone; what it says of a plan is held against that plan.
"""

from __future__ import annotations

import json
from typing import Any, NoReturn

from refinekit.errors import BadFile
from refinekit.record import record

SCHEMA = "refinekit-written/1"
"""Name and version of the file a run sheet saves."""
WORDS = ("lot", "day", "who", "second")
"""What stands at the head of a sheet."""
LONGEST = 200
"""Characters of a word or an amount: a blank holds a dozen."""
MOST_ROWS = 1000
"""Blanks of a sheet: a long run has fifty."""
CURE = "the file that 'save what was written' makes at the end of a run sheet"


@record
class Blank:
    """A blank of a sheet that was filled in.

    Args:
        step: name of its step [text]
        row: which pour of the step, from 1, in the order of the sheet [-]
        what: name of the reagent [text]
        to_weigh: the figure printed beside it, with its unit [text]
        unit: unit a bare number is in [text]
        weighed: what was written [text]
    """

    step: str
    row: int
    what: str
    to_weigh: str
    unit: str
    weighed: str


@record
class Written:
    """What was written on a sheet.

    Args:
        name: how the file is called in messages [text]
        lot: number of the lot; "" where it was left open, as below [text]
        day: day it was done [text]
        who: who did it [text]
        second: the second person [text]
        blanks: what was weighed
    """

    name: str
    lot: str = ""
    day: str = ""
    who: str = ""
    second: str = ""
    blanks: tuple[Blank, ...] = ()


def read_written(text: str, name: str) -> Written:
    """Read the file of a sheet.

    Args:
        text: its text
        name: how it is called in messages
    Raises: BadFile, not what a sheet saves, or of a version unknown here
    """
    try:
        data: Any = json.loads(text)
    except (ValueError, RecursionError):
        data = None
    kind = data.get("schema") if isinstance(data, dict) else None
    if not isinstance(kind, str) or not kind.startswith(SCHEMA.partition("/")[0] + "/"):
        raise BadFile(f"{name[:80]!r} is not what a run sheet saves", cure=CURE)
    if kind != SCHEMA:
        raise BadFile(f"{name[:80]!r} is {kind[:40]!r}, this refinekit reads {SCHEMA!r}", cure="log it with the one that made it")
    rows = data.get("weighed")
    if not isinstance(rows, list) or len(rows) > MOST_ROWS:
        _bad(name, "has no list of what was weighed" if not isinstance(rows, list) else "has more blanks than any sheet")
    blanks = tuple(_blank(row, number, name) for number, row in enumerate(rows, start=1))
    places = [(one.step, one.row) for one in blanks]
    twice = next((one for one in blanks if places.count((one.step, one.row)) > 1), None)
    if twice:
        _bad(name, f"tells {twice.step[:40]!r} row {twice.row} twice")
    lot, day, who, second = (_word(data, key, name) for key in WORDS)
    return Written(name, lot, day, who, second, blanks)


def _blank(row: Any, number: int, name: str) -> Blank:
    if not isinstance(row, dict):
        _bad(name, f"has no blank at number {number} of what was weighed")
    at = row.get("row")
    if not isinstance(at, int) or isinstance(at, bool) or not 1 <= at <= MOST_ROWS:
        _bad(name, f"does not tell the row of number {number} of what was weighed")
    step, what, to_weigh, unit, weighed = (
        _word(row, key, name, needed=True) for key in ("step", "what", "to_weigh", "unit", "weighed")
    )
    return Blank(step, at, what, to_weigh, unit, weighed)


def _word(data: dict[str, Any], key: str, name: str, *, needed: bool = False) -> str:
    """A word of the file: one line, of a length that fits a blank."""
    value = data.get(key, "")
    if not isinstance(value, str) or len(value) > LONGEST or any(ord(letter) < 32 for letter in value):
        _bad(name, f"has no line of text of at most {LONGEST} letters under {key!r}")
    if needed and not value.strip():
        _bad(name, f"has nothing under {key!r}")
    return str(value).strip()


def _bad(name: str, what: str) -> NoReturn:
    raise BadFile(f"{name[:80]!r} {what}", cure=CURE)
