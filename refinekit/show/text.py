"""Text made harmless and printable: what a person typed can neither move the cursor nor fail on a plain terminal."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable

DASH = "–"
"""Stands between low, likely and high; a slash does where the stream cannot print it."""

PLAIN = {
    "–": "-",
    "—": "-",
    "−": "-",
    "°": "deg",
    "µ": "u",
    "μ": "u",
    "×": "x",
    "·": ".",
    "→": "->",
    "⇌": "<->",
    "≤": "<=",
    "≥": ">=",
    "±": "+-",
    "≈": "~",
    "²": "2",
    "³": "3",
    "½": "1/2",
    "¼": "1/4",
    "‘": "'",
    "’": "'",
    "“": '"',
    "”": '"',
    "…": "...",
    "Δ": "delta ",
}
"""How characters of our own texts are written where a stream cannot print them."""

_SPACES = ("Zs", "Zl", "Zp")
_DROPPED = ("Cc", "Cf", "Cs", "Co", "Cn")
"""Control, format (bidi overrides, zero widths), surrogate and unassigned characters are never shown."""


def harmless(text: str) -> str:
    """A text without what could change a screen: control and bidi characters go, every kind of space is a plain one.

    >>> harmless("a\\x1b[31mb\\u202ec\\td")
    'a[31mbc d'
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_harmless(character) for character in text)


def _harmless(character: str) -> str:
    if character in "\t\n\r\v\f":
        return " "
    kind = unicodedata.category(character)
    return " " if kind in _SPACES else "" if kind in _DROPPED else character


def can(encoding: str, text: str) -> bool:
    """Whether a stream of this encoding can print a text."""
    try:
        text.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def printable(text: str, encoding: str) -> str:
    """A text as a stream of this encoding can print it: near words for our own signs, ? for what has none.

    >>> printable("18 °C → Zürich", "ascii")
    '18 degC -> Zurich'
    """
    if can(encoding, text):
        return text
    return "".join(character if can(encoding, character) else _near(character, encoding) for character in text)


def _near(character: str, encoding: str) -> str:
    if character in PLAIN:
        return PLAIN[character]
    base = unicodedata.normalize("NFKD", character)
    kept = "".join(part for part in base if not unicodedata.combining(part) and can(encoding, part))
    return kept or ("" if unicodedata.combining(character) else "?")


def cleaner(encoding: str) -> Callable[[str], str]:
    """What every text goes through on its way to a stream of this encoding."""
    return lambda text: printable(harmless(text), encoding)


def in_words(name: str) -> str:
    """A stable name as a person reads it: "copper_per_gold" is "copper per gold"."""
    return name.replace("_", " ")
