"""Plain words of a bench note: what they say, and what they say is not so."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

DENIALS = ("no", "not", "never", "without", "free of", "nor", "non")
"""Words that turn the next few around."""
REACH = 5
"""Words a denial reaches over, up to the next comma, semicolon or full stop."""
_NUMBER = r"(\d+(?:\.\d+)?)"


def says(text: str, *words: str) -> bool:
    """Whether a text says one of these words and does not deny it.

    Args:
        text: a bench note [text]
        words: beginnings of words or phrases, lower case
    Returns: true for "boiled half an hour", false for "not boiled after" and "no arsenic or antimony ever"

    >>> says("no arsenic or antimony alloys ever in this pot", "antimony")
    False
    """
    lower = text.lower()
    return any(not _denied(lower, at) for at in _places(lower, words))


def denies(text: str, *words: str) -> bool:
    """Whether a text names one of these words only to deny it."""
    lower = text.lower()
    found = list(_places(lower, words))
    return bool(found) and all(_denied(lower, at) for at in found)


def _places(lower: str, words: tuple[str, ...]) -> Iterator[int]:
    """Where a word begins with one of these; a pattern is made only for what is there at all, as most notes hold none."""
    return (found.start() for word in words if word in lower for found in _pattern(word).finditer(lower))


@cache
def _pattern(word: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![a-z]){re.escape(word)}")


def _denied(lower: str, at: int) -> bool:
    before = re.split(r"[.;,:]", lower[:at])[-1].split()[-REACH:]
    after = re.split(r"[.;,: ]", lower[at:])[0]
    joined = " ".join(before)
    denial = any(re.search(rf"(?<![a-z]){denied}(?![a-z])", joined) for denied in DENIALS)
    return (
        denial or after.endswith("-free") or re.match(r"\S* ?free(?![a-z ]*acid)(?![a-z])", lower[at:].split(",")[0]) is not None
    )


def range_before(text: str, *nouns: str, unit: str) -> tuple[float, float] | None:
    """A figure or "3 to 5" with its unit, told behind one of these nouns: "leftover nitric was 3 to 5 mL".

    Args:
        text: a bench note [text]
        nouns: words the figure must stand behind
        unit: its unit as written [text]
    Returns: low and high; None where nothing is told
    """
    for noun in nouns:
        found = re.search(rf"{re.escape(noun)}[a-z ]*{_NUMBER}(?: ?(?:to|-) ?{_NUMBER})? ?{re.escape(unit)}\b", text.lower())
        if found:
            return float(found[1]), float(found[2] or found[1])
    return None


COUNTS = {"once": 1, "twice": 2, "thrice": 3, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "ten": 10}
"""Times in words."""


def times(text: str) -> int:
    """How often something was done: "five times", "decanted once", "x 3"; 1 where nothing is told."""
    lower = text.lower()
    digits = re.search(r"(\d+) ?(?:times|x\b|washes|rinses|decant)|x ?(\d+)\b", lower)
    if digits:
        return int(digits[1] or digits[2])
    worded = [count for word, count in COUNTS.items() if re.search(rf"\b{word}\b(?: times| washes| rinses| waters)?", lower)]
    return max(worded, default=1)


def figure_before(text: str, pattern: str) -> float | None:
    """The first figure that stands behind a word: "hydrometer 1.40", "holds 80 mL"."""
    found = re.search(rf"(?:{pattern})[a-z ]*?{_NUMBER}", text.lower())
    return float(found[1]) if found else None


def percent_solution(text: str) -> float | None:
    """The strength of a solution told in words: "as cold 10 % solution"."""
    found = re.search(rf"{_NUMBER} ?% (?:caustic )?(?:solution|liquor)", text.lower())
    return float(found[1]) if found else None
