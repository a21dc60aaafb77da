"""One event of the book: what it is of, when, who, what it corrects, its figures, and the seal that ties it to the one before."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import field
from datetime import date, timedelta
from typing import Any

from refinekit.errors import BadQuantity
from refinekit.record import record

KINDS = ("lot", "step", "bath", "vessel", "drum", "stock", "yield", "money", "void")
"""What an event may be: goods weighed in, a step done, a bath's event, something poured or put anywhere else, a drum's event,
the shelf, metal found, money, and a void in the place of an event that never was."""
LARGEST_DATA = 20_000_000
"""Characters of one event's data: a long note is thousands."""
EARLIEST = "1900-01-01"
"""Days before it are slips of the finger."""


@record
class Entry:
    """An event to be written.

    Args:
        kind: one of KINDS
        about: the lot's number, the bath's, drum's or reagent's name it is of [text]
        at: day it was done, as 2026-03-05 [text]
        data: its figures and words, as plain data
        who: who did it [text]
        corrects: number of the event it stands in the place of; None where it corrects none
        ops: what it moves between vessels, see `vessels`
    """

    kind: str
    about: str
    at: str
    data: Mapping[str, Any] = field(default_factory=dict)
    who: str = ""
    corrects: int | None = None
    ops: Sequence[Mapping[str, Any]] = ()


@record
class Written:
    """An event as it stands in the book.

    Args:
        number: its number, from 1 [-]
        root: number of the event whose place it takes: its own, where it corrects none [-]
        entry: what was written
        written: moment it was written, universal time [text]
        seal: hash over it and the seal before it [text]
    """

    number: int
    root: int
    entry: Entry
    written: str
    seal: str


def data_text(data: Mapping[str, Any]) -> str:
    """The one spelling of an event's data, plain ASCII, so that a seal is always over the same characters.

    Raises: BadQuantity, too long, or a figure that is no number

    >>> data_text({"b": 1.5, "a": "ü"})
    '{"a":"\\\\u00fc","b":1.5}'
    """
    try:
        text = json.dumps(data, sort_keys=True, separators=(",", ":"), allow_nan=False)
    except ValueError:
        raise BadQuantity("a figure of the event is no finite number", cure="give finite figures") from None
    if len(text) > LARGEST_DATA:
        raise BadQuantity(f"the event is over {LARGEST_DATA // 1_000_000} million characters", cure="keep the note shorter")
    return text


def ops_text(ops: Sequence[Mapping[str, Any]]) -> str:
    """What an event moves, a line each, so that those of one vessel can be picked out unread."""
    return "\n".join(data_text(op) for op in ops)


def ops_of_text(text: str) -> tuple[dict[str, Any], ...]:
    """What an event moves, from its text."""
    return tuple(json.loads(line) for line in text.split("\n")) if text else ()


def plain_text(text: str) -> str:
    """A text that a file can hold: halves of characters, as broken terminals type them, are written out.

    >>> plain_text("a\\udce9b")
    'a\\\\udce9b'
    """
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def seal_of(before: str, number: int, written: str, entry: Entry, data: str, ops: str) -> str:
    """The seal of an event: a hash over all of it and the seal before, so that none can be changed or lost unseen.

    Args:
        before: seal of the event before, "" for the first
        number: its number
        written: moment it was written
        entry: the event
        data: its data as `data_text` spells it
        ops: its ops as `ops_text` spells them
    Source: SHA-256, FIPS 180-4
    """
    whole = [before, number, written, entry.kind, entry.about, entry.at, entry.who, entry.corrects, data, ops]
    return hashlib.sha256(json.dumps(whole).encode()).hexdigest()


def day(text: str | None, *, today: date | None = None) -> str:
    """A day as typed; today where none is.

    Args:
        text: as 2026-03-05
        today: stands for today, for tests
    Raises: BadQuantity, no such day, or one that has not come yet

    >>> day("2026-03-05")
    '2026-03-05'
    """
    now = today or date.today()
    if text is None:
        return now.isoformat()
    try:
        found = date.fromisoformat(text.strip())
    except ValueError:
        raise BadQuantity(f"--at {text[:40]!r} is no day", cure=f"year-month-day, as in --at {now.isoformat()}") from None
    if found > now + timedelta(days=1) or found.isoformat() < EARLIEST:
        raise BadQuantity(f"--at {text[:40]!r} is not a day that has been", cure=f"--at {now.isoformat()}")
    return found.isoformat()
