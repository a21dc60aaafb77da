"""Pots as text: what one command hands to the next, and what a person writes down of a vessel by hand.

A pot is `{name, volume_l, temperature_c, dissolved_mol, solids_mol, inert_g, history, marks, cases}`. A figure that is not
known well is `{low, likely, high}`; `cases` then keeps the worlds the figures come from, so that the next command goes on
with figures that belong together. By hand, formulas and the names of the species facts do: salts and acids may be named whole
("HCl", "CuCl2"), and then the water need not be told, nor where there is no `history`; `balance = "Cl^-"` fills in the
chloride.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any, NoReturn

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.pot import Pot
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range
from refinekit.shop.pot_drafts import draft_of
from refinekit.shop.pot_figures import ENDS, bad
from refinekit.shop.pot_laid import laid_over
from refinekit.shop.worlds import aligned, telling_rows

SCHEMA = "refinekit/1"
"""Name and version of the JSON a command writes."""
LARGEST_BYTES = 5_000_000
MOST_POTS = 200
"""Pots in one text: a bench has a dozen."""


def to_dict(pot: Pot, rows: NDArray[np.intp] | None = None) -> dict[str, Any]:
    """A pot as plain data.

    Args:
        pot: the pot
        rows: worlds to keep, as `worlds.telling_rows` picks them for all pots of a bench; None picks for this pot alone
    """
    kept = telling_rows([pot]) if rows is None else rows
    data: dict[str, Any] = {
        "name": pot.name,
        "volume_l": plain(pot.volume_l),
        "temperature_c": celsius(pot.temperature_k),
        "dissolved_mol": {species: plain(amount) for species, amount in pot.dissolved_mol.items()},
        "solids_mol": {species: plain(amount) for species, amount in pot.solids_mol.items()},
        "inert_g": plain(pot.inert_g),
        "history": [
            {"step": one.step, "did": one.did, "added_mol": {key: plain(span) for key, span in one.added_mol.items()}}
            for one in pot.history
        ],
        "marks": dict(pot.marks),
    }
    cases = _cases(pot, kept)
    return {**data, "cases": cases} if cases else data


def pots_to_list(pots: Sequence[Pot]) -> list[dict[str, Any]]:
    """The pots of a bench as plain data, all in the same few worlds."""
    side_by_side = aligned(pots)
    rows = telling_rows(side_by_side)
    return [to_dict(pot, rows) for pot in side_by_side]


def plain(value: Number | Range) -> float | dict[str, float]:
    """A figure as a number, or as low, likely and high."""
    span = value if isinstance(value, Range) else Range.over(value)
    return span.likely if span.is_point else {end: getattr(span, end) for end in ENDS}


def _cases(pot: Pot, rows: NDArray[np.intp]) -> dict[str, Any]:
    def kept(figure: Number) -> list[float] | None:
        return None if Range.over(figure).is_point else [float(value) for value in np.asarray(figure)[rows]]

    def section(amounts: Mapping[str, Number]) -> dict[str, list[float]]:
        return {species: worlds for species, amount in amounts.items() if (worlds := kept(amount))}

    found = {
        "volume_l": kept(pot.volume_l),
        "dissolved_mol": section(pot.dissolved_mol),
        "solids_mol": section(pot.solids_mol),
        "inert_g": kept(pot.inert_g),
    }
    return {key: worlds for key, worlds in found.items() if worlds}


def celsius(temperature_k: float) -> float:
    """Degrees Celsius that read back as the same kelvin, without the dust of binary fractions where that can be."""
    zero_k = fact("constants.zero_celsius").value
    short = round(temperature_k - zero_k, 9)
    return short if short + zero_k == temperature_k else temperature_k - zero_k


def read_pots(text: str, name: str) -> tuple[Pot, ...]:
    """Pots from a text: a command's whole JSON, a list of pots, or one pot.

    Args:
        text: JSON text
        name: how it is called in messages, e.g. the file's name
    Raises: BadFile, with the path to what is wrong and the cure
    """
    data = _parsed(text, name)
    if isinstance(data, dict) and ("schema" in data or "pots" in data):
        data, where = _of_document(data, name), f"{name}: pots"
    else:
        where = name if isinstance(data, dict) else f"{name}: "
    if isinstance(data, dict):
        return pots_from([data], [where])
    if not isinstance(data, list) or not data or len(data) > MOST_POTS:
        bad(f"{name} holds no list of 1 to {MOST_POTS} pots", "give the JSON of a step before, a list of pots, or one pot")
    return pots_from(data, [f"{where}[{number}]" for number in range(len(data))])


def _parsed(text: str, name: str) -> Any:
    if len(text) > LARGEST_BYTES or len(text.encode("utf-8", "replace")) > LARGEST_BYTES:
        bad(f"{name} is over {LARGEST_BYTES // 1_000_000} MB", "pots are kilobytes: is it the right file?")
    if not text.strip():
        bad(f"{name} is empty", "the command before may have failed: run it by itself and read what it says")
    try:
        return json.loads(text, parse_constant=_no_constant, object_pairs_hook=_no_twins)
    except json.JSONDecodeError as error:
        bad(
            f"{name} is not JSON (line {error.lineno}, column {error.colno}: {error.msg})",
            "add --json to the command that wrote it",
        )
    except RecursionError:
        bad(f"{name} is nested too deep", "a pot is three levels deep: is it the right file?")
    except ValueError as error:
        bad(f"{name} cannot be read: {str(error)[:120]}", "a pot holds plain numbers, each key once")


def _no_constant(word: str) -> NoReturn:
    raise ValueError(f"it holds {word}, which is no amount")


def _no_twins(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    data = dict(pairs)
    if len(data) < len(pairs):
        keys = [key for key, _ in pairs]
        twin = next(key for key in keys if keys.count(key) > 1)
        raise ValueError(f"it tells {twin[:40]!r} twice")
    return data


def _of_document(data: Mapping[str, Any], name: str) -> Any:
    if data.get("schema", SCHEMA) != SCHEMA:
        bad(f"{name}: schema is {str(data['schema'])[:40]!r}, this is {SCHEMA}", "run the step before again with this refinekit")
    if data.get("stopped"):
        bad(f"{name} is of a step that was stopped for safety, so it has no pots", "mend what the step before says, then go on")
    pots = data.get("pots")
    if not isinstance(pots, list) or not pots:
        bad(f"{name} has no pots", "give the JSON of a step that leaves something in a vessel")
    return pots


def from_dict(data: object, where: str = "the pot") -> Pot:
    """One pot from plain data.

    Args:
        data: as `to_dict` gives it or a person writes it
        where: how it is called in messages
    Raises: BadFile
    """
    return pots_from([data], [where])[0]


def pots_from(data: Sequence[object], wheres: Sequence[str]) -> tuple[Pot, ...]:
    """The pots of a bench from plain data, their ranges laid over the same worlds.

    Raises: BadFile
    """
    drafts = [draft_of(one, where) for one, where in zip(data, wheres, strict=True)]
    names: dict[str, str] = {}
    for draft in drafts:
        name = draft.data["name"]
        if name in names:
            bad(f"{draft.where}.name {name[:40]!r} is that of {names[name]} too", "give each pot a name of its own")
        names[name] = draft.where
    worlds = {len(figures) for draft in drafts for figures in draft.cases.values()}
    if len(worlds) > 1:
        bad(
            f"{wheres[0]} and the pots beside it have {sorted(worlds)} cases",
            "take pots from one command's JSON, or one file each",
        )
    return laid_over(drafts, max(worlds, default=1))
