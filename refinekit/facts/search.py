"""Finds a figure by a word: its value, what it is, where it comes from. Looks through every facts file and the sources."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from math import isclose, isfinite
from typing import Any

from refinekit.facts.load import cite, files, table
from refinekit.record import record

FIGURES = ("value", "low", "likely", "high")
LABELS = ("id", "key", "formula")
SAYS = (*FIGURES, "values", "text", "half", "none", "parts", "g_per_ml", "cite")
"""Keys by which a table says something of its own."""


@record
class Found:
    """One fact, or one source, that a word led to.

    Args:
        id: where it stands, as file.key [text]; what `refinekit.facts.load.fact` takes where it is a single figure
        text: the figure or range with its unit, or the equation or words the row holds [text]
        about: what it is, in one line [text]
        source: key of sources.toml [text]
        citation: the full citation [text]
        where: page, table or row in the source [text]
        confidence: read, derived, practice or memory [text]; empty for what is no figure
    """

    id: str
    text: str
    about: str
    source: str
    citation: str
    where: str
    confidence: str


def find(word: str) -> list[Found]:
    """Facts and sources in which every part of a word or phrase occurs.

    Args:
        word: words, a formula, a source key or a number [text]; case does not matter, a number is compared with the figures
            and with whole numbers in the text; empty for everything
    Returns: the hits, figures equal to a number with its unit first, whatever unit they are kept in; then those named by the
        word before those that only mention it, each kind in the order of the files

    >>> find("nitrogen dioxide idlh")[0].text
    '13 ppm'
    >>> find("25 degC")[0].id
    'constants.shop_temperature'
    """
    plain = word.replace("–", "/")
    same = [entry.found for entry in _entries() if asked.is_of(entry)] if (asked := quantity(plain)) else []
    parts = plain.casefold().split()
    ranked = [(max((_rank(part, entry) for part in parts), default=0), entry) for entry in _entries()]
    hits = [entry.found for rank, entry in sorted(ranked, key=lambda pair: pair[0]) if rank < NO_HIT]
    return [*same, *(hit for hit in hits if hit not in same)]


QUANTITY = re.compile(r"\s*([-+]?[\d.]+(?:e[-+]?\d+)?(?: ?/ ?[-+]?[\d.]+(?:e[-+]?\d+)?){0,2})\s*(\S.*?)?\s*", re.IGNORECASE)
"""One figure or low/likely/high, and what stands behind it."""


@record
class Quantity:
    """A figure as it is shown on a screen, looked for among the facts.

    Args:
        texts: its numbers, as typed
        unit: its unit, as typed; "" for none
    """

    texts: tuple[str, ...]
    unit: str

    def is_of(self, entry: _Entry) -> bool:
        """Whether the fact has these figures, in this unit or turned into it, as far as their digits go."""
        if not entry.figures or len(self.texts) > len(entry.figures):
            return False
        turned = into(entry.unit, self.unit)
        if turned is None:
            return False
        factor, shift = turned
        return all(any(_rounds_to(text, figure * factor + shift) for figure in entry.figures) for text in self.texts)


def quantity(word: str) -> Quantity | None:
    """A phrase as a quantity; None where it is none, or a bare number, which the words look for."""
    found = QUANTITY.fullmatch(word)
    if found is None or not (found[2] or "/" in found[1]):
        return None
    texts = tuple(text.strip() for text in found[1].split("/"))
    return None if any(_number(text) is None for text in texts) else Quantity(texts, found[2] or "")


def _rounds_to(text: str, figure: float) -> bool:
    """Whether a figure is what a text shows of it: the same in all the digits of the text, or in three."""
    shown = Decimal(text)
    exact = Decimal(repr(figure))
    digits = max(3, len(shown.as_tuple().digits))
    return isclose(float(shown), figure, rel_tol=1e-9) or (
        bool(exact)
        and digits <= len(exact.as_tuple().digits)
        and exact.quantize(Decimal(1).scaleb(exact.adjusted() - digits + 1), ROUND_HALF_UP) == shown
    )


@cache
def into(unit: str, wanted: str) -> tuple[float, float] | None:
    """How a figure in one unit turns into another: factor and shift; None where it does not."""
    plain, asked = unit.replace(" ", ""), wanted.replace(" ", "")
    if plain.casefold() == asked.casefold():
        return 1.0, 0.0
    if asked in ("%", "percent"):
        return (100.0, 0.0) if not plain else (1.0, 0.0) if plain.startswith("%") else None
    for kind in (
        "mass",
        "volume",
        "amount",
        "area",
        "length",
        "thickness",
        "temperature",
        "pressure",
        "time",
        "flow",
        "energy",
        "speed",
    ):
        ends = _ends_of(kind, unit), _ends_of(kind, wanted)
        if ends[0] and ends[1]:
            (zero, one), (zero_wanted, one_wanted) = ends[0], ends[1]
            factor = (one - zero) / (one_wanted - zero_wanted)
            return factor, (zero - zero_wanted) / (one_wanted - zero_wanted)
    return None


@cache
def _ends_of(kind: str, unit: str) -> tuple[float, float] | None:
    """What 0 and 1 of a unit are in the base unit of a kind; None where it is none of the kind's."""
    from refinekit.errors import RefinekitError
    from refinekit.units import read

    try:
        zero, one = (read(f"{figure} {unit}", kind, name=unit, lowest=-1e9).range.likely for figure in (0, 1))
    except RefinekitError:
        return None
    return zero, one


def words() -> list[str]:
    """Every word of three letters and more that a fact or a source is named by, for "did you mean"."""
    return sorted({word for entry in _entries() for word in re.findall(r"[a-z]{3,}", entry.named)})


EXACT, NAMED, MENTIONED, CITED, NO_HIT = range(5)


@record
class _Entry:
    found: Found
    unit: str
    figures: tuple[float, ...]
    names: frozenset[str]
    named: str
    mentioned: str
    cited: str


def _rank(part: str, entry: _Entry) -> int:
    """How well one part of the phrase fits an entry, from EXACT to NO_HIT."""
    number = _number(part)
    if part in entry.names or (number is not None and any(_is_figure(part, number, figure) for figure in entry.figures)):
        return EXACT
    whole = re.compile(rf"(?<![\d.]){re.escape(part)}(?![\d.]*\d)") if number is not None else None
    for rank, text in ((NAMED, entry.named), (MENTIONED, entry.mentioned), (CITED, entry.cited)):
        if whole.search(text) if whole else part in text:
            return rank
    return NO_HIT


def _is_figure(part: str, number: float, figure: float) -> bool:
    """Whether a bare number is a figure, or what three digits and more show of it."""
    if isclose(number, figure):
        return True
    return isfinite(number) and len(Decimal(part).as_tuple().digits) >= 3 and _rounds_to(part, figure)


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


@cache
def _entries() -> tuple[_Entry, ...]:
    return tuple(entry for name in files() for entry in _walk(table(name), name, name, {}))


def _walk(node: Any, path: str, whole: str, above: Mapping[str, Any]) -> Iterator[_Entry]:
    """Entries below a node; a table that names no source of its own has that of the row it stands in."""
    if isinstance(node, list):
        for number, inner in enumerate(node):
            if isinstance(inner, Mapping):
                label = _label(inner, number)
                yield from _walk(inner, f"{path}.{label}", f"{whole}.{label}", above)
        return
    row = {**{key: above[key] for key in ("source", "confidence", "name", "about") if key in above}, **node}
    if any(key in node for key in (*SAYS, *LABELS, "source")):
        yield _entry(path, whole, row)
    for key, inner in node.items():
        if isinstance(inner, Mapping | list):
            held = isinstance(inner, list) and any(isinstance(one, Mapping) and any(k in one for k in LABELS) for one in inner)
            yield from _walk(inner, path if held else f"{path}.{key}", f"{whole}.{key}", row)


def _label(row: Mapping[str, Any], number: int) -> str:
    return str(next((row[key] for key in LABELS if key in row), number))


def _entry(path: str, whole: str, row: Mapping[str, Any]) -> _Entry:
    source = str(row.get("source", path.removeprefix("sources.") if "cite" in row else ""))
    citation = cite(source) if source in table("sources") else ""
    about = str(next((row[key] for key in ("about", "hazard", "note", "name", "formula") if row.get(key)), ""))
    text, where = shown(row), str(row.get("where", ""))
    names = [
        path,
        whole,
        *(str(row[key]) for key in ("id", "key", "formula", "solute", "name") if key in row),
        *row.get("aliases", []),
    ]
    return _Entry(
        Found(path, text, about, source, citation, where, str(row.get("confidence", ""))),
        str(row.get("unit", "")),
        tuple(float(row[key]) for key in FIGURES if key in row),
        frozenset(name.casefold() for name in names if name),
        " | ".join(names).casefold(),
        f"{about} | {text} | {where} | {row.get('note', '')}".casefold(),
        f"{source} | {citation}".casefold(),
    )


def shown(row: Mapping[str, Any]) -> str:
    """What a row of a facts file says, in one line: figure or range with unit, series by its ends, equation or words.

    Args:
        row: table of a facts file
    """
    unit = str(row.get("unit", ""))
    if "value" in row:
        return f"{_digits(row['value'])} {unit}".rstrip()
    if "low" in row:
        return f"{'/'.join(_digits(row[key]) for key in ('low', 'likely', 'high') if key in row)} {unit}".rstrip()
    if "g_per_ml" in row:
        return f"{_ends(row['percent'])} %: {_ends(row['g_per_ml'])} g/mL"
    if "values" in row:
        return f"{' '.join(_digits(one) for one in row['values'])} {unit}".rstrip()
    if "parts" in row:
        return f"{', '.join(f'{metal} {_digits(part)}' for metal, part in row['parts'].items())} {unit}".rstrip()
    if "none" in row:
        return "none"
    said = [str(row[key]) for key in ("text", "half", "cite", "strength", "formula", "solute") if key in row]
    return said[0] if said else ", ".join(f"{key} {figure}" for key, figure in row.items() if isinstance(figure, int | float))


def _digits(figure: Any) -> str:
    return str(figure) if isinstance(figure, str) or figure == 0 or 1e-3 <= abs(figure) < 1e7 else f"{figure:g}"


def _ends(series: list[float]) -> str:
    return f"{_digits(series[0])} to {_digits(series[-1])}"
