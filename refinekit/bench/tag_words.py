"""What a tag, a label or a note says is in the goods, misspelt or not: "no cynide" is a denial of cyanide."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, lru_cache
from typing import Any

from refinekit.denials import denies_outright, names
from refinekit.facts.load import table
from refinekit.nearest import letters_apart, slips_allowed

HARMLESS = ("solder", "silver plate", "steel")
"""Marks that cost a note only where they are so: their denial needs none, and a slip in them harms nobody."""
SHORTEST_MENDED = 6
"""Letters of the shortest poison whose misspelling is looked for: shorter ones are a slip away from everyday words."""
_WORD = re.compile(r"[^\W\d_]+")


def tag_rows() -> tuple[Mapping[str, Any], ...]:
    """Words that mark goods, by mark. Source: facts/practice/lot.toml."""
    return tuple(table("practice/lot")["tag"])


def said(text: str, row: Mapping[str, Any]) -> bool:
    """Whether a text says what a row of tags stands for, and does not deny it.

    Args:
        text: a tag, a label or a note [text]
        row: one of `tag_rows`

    >>> mercury = next(row for row in tag_rows() if row["mark"] == "mercury")
    >>> said("mercry relays", mercury), said("no mercry", mercury)
    (True, False)
    """
    return names(_read(text, row), *row["words"])


def denied(text: str, row: Mapping[str, Any]) -> bool:
    """Whether a text names what a row of tags stands for, and every time only to deny it.

    Args:
        text: a tag, a label or a note [text]
        row: one of `tag_rows`
    """
    return denies_outright(_read(text, row), *row["words"])


@lru_cache(maxsize=1024)
def poisons_named(text: str) -> tuple[str, ...]:
    """Marks of what is named in a text and is not for this bench, or only with care.

    Args:
        text: a label or a line of history [text]
    """
    return tuple(row["mark"] for row in tag_rows() if row["mark"] not in HARMLESS and said(text, row))


def _read(text: str, row: Mapping[str, Any]) -> str:
    """The text with poisons spelt right, and without what only looks like this row's words."""
    read = mended(text)
    for other in row.get("but_not", ()):
        if other in read:
            read = re.sub(rf"(?<![a-z]){re.escape(other)}s?(?![a-z])", " ", read)
    return read


@lru_cache(maxsize=1024)
def mended(text: str) -> str:
    """A text in small letters with every misspelt poison spelt right.

    Args:
        text: a tag, a label or a note [text]

    >>> mended("Potasium cynide, hydrochloric")
    'potasium cyanide, hydrochloric'
    """
    return _WORD.sub(lambda hit: _meant(hit[0]), text.lower())


@cache
def _meant(word: str) -> str:
    """The poison a word is a slip away from; the word itself where it is one of its own, or nearer to another known word."""
    known = _known()
    if word in known or word.removesuffix("s") in known or len(word) < SHORTEST_MENDED - 1:
        return word
    near = [poison for poison in _poisons() if abs(len(poison) - len(word)) <= slips_allowed(poison)]
    if not near:
        return word
    nearest = min(near, key=lambda poison: (letters_apart(word, poison), poison))
    slips = letters_apart(word, nearest)
    if slips > slips_allowed(nearest) or (word[0] != nearest[0] and slips > 1):
        return word
    return word if any(letters_apart(word, other) < slips for other in known) else nearest


@cache
def _poisons() -> tuple[str, ...]:
    """Names of poisons of one word, long enough to be told from a slip of another word."""
    words = (word for row in tag_rows() if row["mark"] not in HARMLESS for word in row["words"])
    return tuple(word for word in dict.fromkeys(words) if " " not in word and len(word) >= SHORTEST_MENDED)


@cache
def _known() -> frozenset[str]:
    """Words that are spelt right as they stand: of every thing the rules know, of every tag, and what looks like a poison."""
    things = (name for row in table("safety/substances")["substance"] for name in (row["key"], *row["names"]))
    tags = (word for row in tag_rows() for word in (*row["words"], *row.get("but_not", ())))
    alike: list[str] = table("practice/lot")["looks_like_a_poison"]
    return frozenset(part for name in (*things, *tags, *alike) for part in _WORD.findall(name.lower()))
