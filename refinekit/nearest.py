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
