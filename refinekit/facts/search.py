"""Finds a figure by a word: its value, what it is, where it comes from. Looks through every facts file and the sources."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from math import isclose
from typing import Any

from refinekit.facts.load import cite, files, table

FIGURES = ("value", "low", "likely", "high")
LABELS = ("id", "key", "formula")
SAYS = (*FIGURES, "values", "text", "half", "none", "parts", "g_per_ml", "cite")
"""Keys by which a table says something of its own."""


@dataclass(frozen=True, slots=True)
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
    Returns: the hits, those named by the word before those that only mention it, each kind in the order of the files

    >>> find("nitrogen dioxide idlh")[0].text
    '13 ppm'
    """
    parts = word.casefold().split()
    ranked = [(max((_rank(part, entry) for part in parts), default=0), entry) for entry in _entries()]
    return [entry.found for rank, entry in sorted(ranked, key=lambda pair: pair[0]) if rank < NO_HIT]


EXACT, NAMED, MENTIONED, CITED, NO_HIT = range(5)


@dataclass(frozen=True, slots=True)
class _Entry:
    found: Found
    figures: tuple[float, ...]
    names: frozenset[str]
    named: str
    mentioned: str
    cited: str


def _rank(part: str, entry: _Entry) -> int:
    """How well one part of the phrase fits an entry, from EXACT to NO_HIT."""
    number = _number(part)
    if part in entry.names or (number is not None and any(isclose(number, figure) for figure in entry.figures)):
        return EXACT
    whole = re.compile(rf"(?<![\d.]){re.escape(part)}(?![\d.]*\d)") if number is not None else None
    for rank, text in ((NAMED, entry.named), (MENTIONED, entry.mentioned), (CITED, entry.cited)):
        if whole.search(text) if whole else part in text:
            return rank
    return NO_HIT


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


@cache
def _entries() -> tuple[_Entry, ...]:
    return tuple(entry for name in files() for entry in _walk(table(name), name, {}))


def _walk(node: Any, path: str, above: Mapping[str, Any]) -> Iterator[_Entry]:
    """Entries below a node; a table that names no source of its own has that of the row it stands in."""
    if isinstance(node, list):
        for number, inner in enumerate(node):
            if isinstance(inner, Mapping):
                yield from _walk(inner, f"{path}.{_label(inner, number)}", above)
        return
    row = {**{key: above[key] for key in ("source", "confidence", "name", "about") if key in above}, **node}
    if any(key in node for key in (*SAYS, *LABELS, "source")):
        yield _entry(path, row)
    for key, inner in node.items():
        if isinstance(inner, Mapping | list):
            held = isinstance(inner, list) and any(isinstance(one, Mapping) and any(k in one for k in LABELS) for one in inner)
            yield from _walk(inner, path if held else f"{path}.{key}", row)


def _label(row: Mapping[str, Any], number: int) -> str:
    return str(next((row[key] for key in LABELS if key in row), number))


def _entry(path: str, row: Mapping[str, Any]) -> _Entry:
    source = str(row.get("source", path.removeprefix("sources.") if "cite" in row else ""))
    citation = cite(source) if source in table("sources") else ""
    about = str(next((row[key] for key in ("about", "hazard", "note", "name", "formula") if row.get(key)), ""))
    text, where = shown(row), str(row.get("where", ""))
    names = [path, *(str(row[key]) for key in ("id", "key", "formula", "solute", "name") if key in row), *row.get("aliases", [])]
    return _Entry(
        Found(path, text, about, source, citation, where, str(row.get("confidence", ""))),
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
