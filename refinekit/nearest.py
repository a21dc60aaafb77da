"""The known word closest to what was typed, for "did you mean"."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

LONGEST_WORD = 40
"""Letters of a typed word that are looked at; nobody means a name longer than that."""


def nearest(word: str, choices: Iterable[str], n: int = 1) -> str | None:
    """The known word, or the few known words, closest to one typed.

    Args:
        word: as typed [text]
        choices: the known words
        n: how many to name at most [-]; 1 and up
    Returns: the closest word; with n over 1 up to n of them joined by "or"; None where nothing is close
    """
    known: dict[str, str] = {}
    for choice in choices:
        known.setdefault(choice.lower(), choice)
    close = difflib.get_close_matches(word[:LONGEST_WORD].lower(), known, n=n)
    return " or ".join(known[match] for match in close) or None
