"""What stands in a written pot, word by word and figure by figure: read, or refused with where it stands and the cure."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any, NoReturn

import numpy as np

from refinekit.errors import BadFile
from refinekit.facts.load import fact, table
from refinekit.nearest import did_you_mean
from refinekit.ranges import Range

ENDS = ("low", "likely", "high")

Figure = float | Range


def bad(what: str, cure: str) -> NoReturn:
    """Refuse. Raises: BadFile, always."""
    raise BadFile(what, cure=cure)


def figure_at(value: object, at: str, most: str) -> Figure:
    """A figure: a number, or low, likely and high.

    Args:
        value: what is written
        at: where it stands, for messages [text]
        most: key of the fact that bounds it [text]
    Raises: BadFile
    """
    if not isinstance(value, dict):
        return number_at(value, at, most)
    known_keys(value, ENDS, at)
    if set(value) != set(ENDS):
        bad(f"{at} has not all of low, likely and high", 'write a number, or {"low": 1, "likely": 1.2, "high": 1.4}')
    ends = [number_at(value[end], f"{at}.{end}", most) for end in ENDS]
    if not ends[0] <= ends[1] <= ends[2]:
        bad(f"{at} is out of order ({ends[0]:g}, {ends[1]:g}, {ends[2]:g})", "smallest first: low, likely, high")
    return Range(ends[0], ends[1], ends[2])


def number_at(value: object, at: str, most: str = "", *, least: float = 0.0) -> float:
    """A number.

    Args:
        value: what is written
        at: where it stands, for messages [text]
        most: key of the fact that bounds it [text]; "" for none
        least: the least it may be; 0 for amounts
    Raises: BadFile
    """
    if isinstance(value, bool) or not isinstance(value, int | float):
        bad(f"{at} is {kind_of(value)}", 'write a number without quotes, or {"low": 1, "likely": 1.2, "high": 1.4}')
    highest = fact(f"practice/show.pot.{most}").value if most else float("inf")
    try:
        number = float(value)
    except OverflowError:
        number = float("inf")
    if not np.isfinite(number) or number > highest:
        bad(f"{at} is more than there can be, or no number", f"give at most {highest:g}" if most else "give an ordinary number")
    if number < least:
        bad(f"{at} is {number:g}, less than there can be", f"give {least:g} or more")
    return number


def known_keys(data: Mapping[str, Any], known: Iterable[str], where: str) -> None:
    """Refuse keys nobody knows, with the nearest that is known. Raises: BadFile."""
    known = tuple(known)
    for key in map(str, data):
        if key not in known:
            bad(
                f"{where} has the key {key[:40]!r}, which is not known",
                did_you_mean(key, known),
            )


def texts_at(words: object, at: str) -> dict[str, str]:
    """A group of texts by their keys. Raises: BadFile."""
    if not isinstance(words, dict):
        bad(f"{at} is {kind_of(words)}", 'write words, as in {"ammonium": "denox"}')
    for key, word in words.items():
        if not isinstance(word, str):
            bad(f"{at}[{shown(key)}] is {kind_of(word)}", "write a word in quotes")
    return dict(words)


def species_in(amounts: object, where: str) -> Iterable[tuple[str, object, str]]:
    """What a group of amounts tells: formula, what is written of it, and where. Raises: BadFile."""
    if not isinstance(amounts, dict):
        bad(f"{where} is {kind_of(amounts)}", 'write species and moles, as in {"Cu^2+": 1.2, "H^+": 0.6}')
    told: dict[str, str] = {}
    for word, value in amounts.items():
        at = f"{where}[{shown(word)}]"
        species = species_of(word, at)
        if species in told:
            bad(f"{at} is {species}, which is told as {shown(told[species])} too", "tell each thing once")
        told[species] = word
        yield species, value, at


def species_of(word: str, at: str) -> str:
    """The formula of a species by its formula, name or alias.

    Args:
        word: as written [text]
        at: where it stands, for the message [text]
    Raises: BadFile, nobody knows it; with the nearest that is known
    """
    formulas, names = _words()
    if word in formulas:
        return word
    if word.strip().lower() in names:
        return names[word.strip().lower()]
    charged = re.sub(r"(?<!\^)(\d?[+-])$", r"^\1", word)
    otherwise = "write a formula as in Cu^2+, AuCl4^- or H2O, or a name of the species facts"
    near = [charged] if charged in formulas else [*formulas, *names]
    bad(f"{at} is no species that is known", did_you_mean(word, near, otherwise))


@cache
def _words() -> tuple[frozenset[str], dict[str, str]]:
    rows = table("species")["species"]
    names = {word.lower(): row["formula"] for row in reversed(rows) for word in (row["name"], *row.get("aliases", []))}
    return frozenset(row["formula"] for row in rows), names


def shown(word: str) -> str:
    """A key as it is written in a path."""
    return json.dumps(word[:40])


def kind_of(value: object) -> str:
    """What a value is, in words for a message."""
    if value is None:
        return "missing"
    if isinstance(value, bool):
        return f"{str(value).lower()}, which is no number"
    kinds = {str: "text", list: "a list", dict: "a group of keys", int: "a number", float: "a number"}
    return kinds.get(type(value), "of the wrong kind")
