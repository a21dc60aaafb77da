"""Salts by the ions they are made of: "zinc nitrate", "Zn(NO3)2", "ammonium carbonate", each to its constituents."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import Any

from refinekit.facts.load import table
from refinekit.record import record

_WATER = re.compile(r"[.*·]\s*\d*\s*H2O$", re.IGNORECASE)
_SHORT = 4
"""Letters from which a formula without a figure is read whatever its capitals: "nacn" is meant, "as" and "hi" are words."""


@record
class Salt:
    """What a salt is made of.

    Args:
        parts: constituents in a mole of it
        refused: key of the refusal, "" where this bench takes it [text]
    """

    parts: Mapping[str, float]
    refused: str


def salt(word: str) -> Salt | None:
    """The salt a name or formula stands for; None where its ions are not known.

    Args:
        word: as typed [text]

    >>> sorted(salt("ammonium carbonate").parts)
    ['CO3', 'NH4+']
    """
    wanted = " ".join(word.split())
    ions = _by_name(wanted.lower()) or _by_formula(wanted)
    if ions is None:
        return None
    cation, anion = ions
    only = anion.get("only")
    if only and not set(only) & set(cation["names"]):
        return None
    refused = anion.get("refused", "") or cation.get("refused", "")
    return Salt({**cation["parts"], **anion["parts"]}, refused)


def _by_name(words: str) -> tuple[Mapping[str, Any], Mapping[str, Any]] | None:
    first, _, rest = words.partition(" ")
    cation, anion = _named("cation").get(first), _named("anion").get(rest)
    return (cation, anion) if cation is not None and anion is not None else None


def _by_formula(word: str) -> tuple[Mapping[str, Any], Mapping[str, Any]] | None:
    bare = _WATER.sub("", word).replace(" ", "")
    found = _formula(0).fullmatch(bare)
    if not found and (any(letter.isdigit() for letter in bare) or len(bare) >= _SHORT):
        found = _formula(re.IGNORECASE).fullmatch(bare)
    if not found:
        return None
    return _symbols("cation")[found["cation"].lower()], _symbols("anion")[found["anion"].lower()]


@cache
def _formula(flags: int) -> re.Pattern[str]:
    both = {ion: "|".join(sorted(map(re.escape, _spelt(ion)), key=len, reverse=True)) for ion in ("cation", "anion")}
    return re.compile(rf"\(?(?P<cation>{both['cation']})\)?\d*\(?(?P<anion>{both['anion']})\)?\d*", flags)


@cache
def _spelt(ion: str) -> tuple[str, ...]:
    return tuple(symbol for row in table("safety/salts")[ion] for symbol in row["symbols"])


@cache
def _symbols(ion: str) -> Mapping[str, Mapping[str, Any]]:
    return {symbol.lower(): row for row in table("safety/salts")[ion] for symbol in row["symbols"]}


@cache
def _named(ion: str) -> Mapping[str, Mapping[str, Any]]:
    return {name: row for row in table("safety/salts")[ion] for name in row["names"]}
