"""Text made harmless and printable: what a person typed can neither move the cursor nor fail on a plain terminal."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from decimal import Decimal

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


BETWEEN = re.compile(rf"(?<=\d){DASH}(?=\d)")
"""A dash between figures, which a stream that cannot print it would show as a minus."""


def cleaner(encoding: str) -> Callable[[str], str]:
    """What every text goes through on its way to a stream of this encoding."""
    if can(encoding, DASH):
        return lambda text: printable(written_out(degrees(harmless(text))), encoding)
    return lambda text: printable(BETWEEN.sub("/", written_out(degrees(harmless(text)))), encoding)


DEGREE = re.compile(r"deg(?=[CF]\b)|(?<=\d )(?=C\b)")
"""Where a sentence in plain letters means the sign of a degree."""


def degrees(text: str) -> str:
    """A text with the sign of a degree, however its sentence writes one.

    >>> degrees("42 to 43 C, at 60 degC; 140 degF")
    '42 to 43 °C, at 60 °C; 140 °F'
    """
    return DEGREE.sub("°", text)


POWER = re.compile(r"(?<![\w.])\d(?:\.\d+)?e[+-]\d\d\b", re.ASCII)
"""A figure with a power of ten of two digits, as a sentence of a step may carry it."""


def written_out(text: str) -> str:
    """A sentence without powers of ten where the figure can be written out: nobody at a bench reads 4.3e+02 as 430.

    >>> written_out("up to 4.3e+02 L")
    'up to 430 L'
    """
    return POWER.sub(lambda found: f"{Decimal(found[0]):f}" if -6 <= Decimal(found[0]).adjusted() < 9 else found[0], text)


def on_page(text: str) -> str:
    """A text for a page or a picture: it can change nothing on it, and its degrees have their sign."""
    return degrees(harmless(text))


def acted_on(sized_on: str) -> str:
    """The end of a range that is acted on, going by what it was sized on.

    >>> acted_on("high metal, low transfer"), acted_on("most liquor"), acted_on("low to pay on, high for fume")
    ('high', 'high', '')
    >>> acted_on("top of the leftover range")
    'high'
    >>> acted_on("low, likely and high ends")
    ''

    Args:
        sized_on: which end, and why [text]
    Returns: low, likely or high; "" where several ends are, each for a purpose of its own, or none is named
    """
    if sized_on == "likely" or SEVERAL.match(sized_on):  # said of every figure that nobody sized: nothing is acted on
        return ""
    named = {found[1] for found in re.finditer(r"(?:^|, )(low|likely|high) (?:to|for) ", sized_on)}
    if len(named) > 1:
        return ""
    first = re.match(r"[a-z]+", sized_on)
    return ENDS.get(first[0], "") if first else ""


SEVERAL = re.compile(r"(?:low|likely|high)(?:, | and )(?:low|likely|high)\b")
"""Ends named one after another: each stands for itself."""
ENDS = {"low": "low", "least": "low", "likely": "likely", "high": "high", "most": "high", "top": "high"}
"""The first word of what a figure was sized on, and the end of its range that is meant."""

WORDS = {
    "hcl": "HCl",
    "naoh": "caustic",
    "so2": "SO2",
    "no2": "NO2",
    "n2o": "N2O",
    "h2": "H2",
    "co2": "CO2",
    "cl2": "Cl2",
    "smb": "metabisulfite",
    "ph": "pH",
}
"""Words of stable names as they are written for a person."""


NITRIC_OXIDE = re.compile(r"(?:^|(?<=_))no(?=_route|_gas|_if|$)")
"""Where a stable name means the gas NO, and not that there is none."""


def in_words(name: str) -> str:
    """A stable name as a person reads it: "copper_per_gold" is "copper per gold".

    >>> in_words("nitric_no_route"), in_words("gas_if_no"), in_words("copper_room_no_growth")
    ('nitric NO route', 'gas if NO', 'copper room no growth')
    """
    return " ".join(WORDS.get(word, word) for word in NITRIC_OXIDE.sub("NO", name).split("_"))
