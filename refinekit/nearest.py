"""The known word closest to what was typed: "did you mean", said in one way everywhere."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

LONGEST_WORD = 40
"""Letters of a typed word that are looked at; nobody means a name longer than that."""
MOST_LISTED = 24
"""Known words listed where none is close; a list longer than that is not read."""


def nearest(word: str, choices: Iterable[str], n: int = 1) -> str | None:
    """The known word, or the few known words, closest to one typed.

    Args:
        word: as typed [text]
        choices: the known words
        n: how many to name at most [-]; 1 and up
    Returns: the closest word; with n over 1 up to n of them joined by "or"; None where nothing is close
    """
    return " or ".join(_close(word, choices, n)) or None


def did_you_mean(word: str, choices: Iterable[str], otherwise: str = "", *, n: int = 1) -> str:
    """What to try in place of a word nobody knows: the cure of the error that says so.

    Args:
        word: as typed [text]
        choices: the known words
        otherwise: what helps where none of them is close [text]; "" for the list of them
        n: how many to name at most [-]; 1 and up

    >>> did_you_mean("disolve", ["dissolve", "drop"])
    "did you mean 'dissolve'?"
    >>> did_you_mean("xyzzy", ["dissolve", "drop"])
    'one of: dissolve, drop'
    """
    known = list(choices)
    close = _close(word, known, n)
    if close:
        return f"did you mean {' or '.join(map(repr, close))}?"
    more = f" and {len(known) - MOST_LISTED} more" if len(known) > MOST_LISTED else ""
    return otherwise or f"one of: {', '.join(known[:MOST_LISTED])}{more}"


def _close(word: str, choices: Iterable[str], n: int) -> list[str]:
    known: dict[str, str] = {}
    for choice in choices:
        known.setdefault(choice.lower(), choice)
    return [known[match] for match in difflib.get_close_matches(word[:LONGEST_WORD].lower(), known, n=n)]


SHORTEST, LONG = 3, 7
"""A word of up to three letters is typed right, of up to seven has one slip in it at most, a longer one two."""


def slips_allowed(word: str) -> int:
    """Slips a misspelling of a known word may have [-].

    Args:
        word: the known word [text]
    """
    return (len(word) > SHORTEST) + (len(word) > LONG)


def letters_apart(one: str, other: str) -> int:
    """Letters put in, left out, changed or swapped between two words [-]; far apart where lengths differ much."""
    if abs(len(one) - len(other)) > 2:
        return len(one) + len(other)
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one, start=1):
        earlier, before, row = before, row, [i]
        for j, wanted in enumerate(other, start=1):
            slip = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != wanted))
            if i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == wanted:
                slip = min(slip, earlier[j - 2] + 1)
            row.append(slip)
    return row[-1]
