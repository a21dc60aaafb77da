"""The shape of a quantity: one figure, or low/likely/high, each a number and perhaps a unit, or a sum of mixed weights.

Knows places in the text and nothing of what units mean.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from refinekit.record import record
from refinekit.units.typed import Typed

NUMBER = r"[+-]?(?:\d+(?:\.(?!\.)\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
SPACE_THEN_NUMBER = re.compile(r"\s+(?=[+-]?\.?\d)", re.ASCII)
NUMBER_AGAIN = re.compile(r"(?<![A-Za-z\d^*.])[+-]?\.?\d|(?<=\d)\.\d", re.ASCII)
OTHER_RANGE = re.compile(rf"\s*(?:[-\u2013\u2014~]|±|\+/?-|\.\.+|\bto\b)\s*(?={NUMBER})", re.ASCII)
OTHER_BASE = re.compile(r"[+-]?0[xXbBoO]\w", re.ASCII)
NOT_FINITE = re.compile(r"[+-]?(?:nan|inf(?:inity)?)\b", re.ASCII | re.IGNORECASE)
FARTHEST = 1e60
"""Size of a number beyond which no unit is looked at."""
RANGE_CURE = "low/likely/high with one unit, as in {}"


@record
class Figure:
    """A number in the text and the unit behind it, with their places.

    Args:
        value: the number, exactly as typed [-]
        number: the same as typed
        at: its place in the text
        unit: what stands behind it, trimmed; "" for nothing
        unit_at: place of the unit
        lead: what stands before it, trimmed; "" for nothing
    """

    value: Fraction
    number: str
    at: int
    unit: str
    unit_at: int
    lead: str = ""


def figures(typed: Typed, *, lead: str = "", sums: bool = False) -> list[tuple[Figure, ...]]:
    """The one or three values of a text, each a figure, or several of them to add up.

    Args:
        typed: the text, cleaned
        lead: pattern of what may stand before a number (a currency, "SG")
        sums: whether mixed units may be added up, as in 3 oz t 7 dwt
    Raises: BadQuantity, not a number, two or four values, a second number, units on some values only
    """
    split = re.compile(rf"/(?=\s*(?:{lead or '(?!)'})?\s*[+-]?\.?\d)", re.ASCII)
    starts = [0, *(slash.end() for slash in split.finditer(typed.text))]
    ends = [*(start - 1 for start in starts[1:]), len(typed.text)]
    values = [_value(typed, start, end, lead, sums) for start, end in zip(starts, ends, strict=True)]
    if len(values) == 2:
        raise typed.fault(values[1][0].at, "two values may be a half, or the ends of a range", _range_cure(typed))
    if len(values) > 3:
        raise typed.fault(values[3][0].at, "a fourth value", _range_cure(typed))
    return _with_units(typed, values)


def _range_cure(typed: Typed) -> str:
    ranged = re.search(r"(?<!\S)[^ ,]+/[\d.]+/.*", typed.example)
    return RANGE_CURE.format(ranged[0]) if ranged else typed.example


def _value(typed: Typed, start: int, end: int, lead: str, sums: bool) -> tuple[Figure, ...]:
    """One of the values, from `start` to `end`: a figure, or figures with white space between them to add up."""
    found: list[Figure] = []
    while start < end or not found:
        figure, start = _figure(typed, start, end, lead)
        found.append(figure)
    if len(found) > 1 and not (sums and all(figure.unit for figure in found)):
        raise typed.fault(found[1].at, "a second number")
    return tuple(found)


SIDES = re.compile(r"(?<=[\da-zA-Z ])[x×*](?=\s*\.?\d)")
"""A sign of times between two figures, as in 4 x 5 x 2.5 m."""


def _figure(typed: Typed, start: int, end: int, lead: str) -> tuple[Figure, int]:
    """The figure that begins at `start`, and where the next one does."""
    head = re.compile(rf"\s*({lead})\s*" if lead else r"\s*()", re.ASCII).match(typed.text, start, end)
    at = head.end() if head else len(typed.text[:end]) - len(typed.text[start:end].lstrip())
    number = re.compile(NUMBER, re.ASCII).match(typed.text, at, end)
    if not number or OTHER_BASE.match(typed.text, at, end):
        raise typed.fault(at, _not_a_number(typed.text[at:end], alone=not typed.text[:at].strip()))
    if sides := SIDES.search(typed.text, number.end(), end):
        raise typed.fault(sides.end() - 1, "sides are not multiplied here", f"the product of them, as in {typed.example}")
    if other := OTHER_RANGE.search(typed.text, number.end(), end):
        raise typed.fault(other.end() - len(other[0].lstrip()), "not the way a range is written", _range_cure(typed))
    again = SPACE_THEN_NUMBER.search(typed.text, number.end(), end)
    unit = typed.text[number.end() : again.start() if again else end]
    unit_at = number.end() + len(unit) - len(unit.lstrip())
    if unit.strip().startswith("/"):
        after = unit.strip()[1:].lstrip()
        raise typed.fault(number.end() + len(unit.rstrip()) - len(after), _not_a_number(after, alone=False), _range_cure(typed))
    if twice := NUMBER_AGAIN.search(unit):
        raise typed.fault(number.end() + twice.start(), "a second number")
    value = finite(typed, number[0], at)
    return Figure(value, number[0], at, unit.strip(), unit_at, head[1] if head else ""), again.end() if again else end


LETTER_FOR_DIGIT = re.compile(r"[OoIl](?=[.\d])")
"""A letter that looks like a nought or a one, before a point or a digit."""


def _not_a_number(text: str, *, alone: bool) -> str:
    """Why a text, where a number should begin, has none."""
    if not text.strip():
        return "no number here"
    if NOT_FINITE.match(text):
        return "not a finite number"
    if LETTER_FOR_DIGIT.match(text):
        return "a letter, where a digit was meant"
    return "a number goes before the unit" if alone and (text[0].isalpha() or text[0] in "%°") else "not a number"


def finite(typed: Typed, number: str, at: int) -> Fraction:
    """A number as typed at a place of the text.

    Args:
        typed: the text
        number: the number in it [text]
        at: its place
    Raises: BadQuantity, past what any unit could make sense of
    """
    size = abs(float(number))
    if size > FARTHEST:
        raise typed.fault(at, "too large to be meant")
    if size < 1 / FARTHEST and re.search("[1-9]", re.split("[eE]", number)[0]):
        raise typed.fault(at, "too small to be meant")
    if size == 0:
        return Fraction(0)
    return Fraction(number)


def _with_units(typed: Typed, values: list[tuple[Figure, ...]]) -> list[tuple[Figure, ...]]:
    """The values, a unit that stands only behind the last given to all."""
    last = values[-1]
    bare = [value[0] for value in values if not value[0].unit]
    if len(bare) in (0, len(values)):
        return values
    if len(bare) < len(values) - 1 or not last[0].unit or len(last) > 1:
        raise typed.fault(bare[0].at, "no unit, where others have one", _range_cure(typed))
    return [(replace(value[0], unit=last[0].unit, unit_at=last[0].unit_at),) for value in values]
