"""A step's answer, as `--json` writes it, written down as done: the pots it leaves against the vessels the book knows."""

from __future__ import annotations

import json
from typing import Any

import numpy as np

from refinekit.bench.pot import Pot
from refinekit.errors import BadFile, BadQuantity
from refinekit.nearest import did_you_mean
from refinekit.shop.book.as_done import AsDone, lot_data_of, vessel_name
from refinekit.shop.book.entry import Entry
from refinekit.shop.book.vessels import Shelfful, change_op
from refinekit.shop.potfile import SCHEMA, read_pots
from refinekit.shop.shopping import TO_BASE


def entries_of_json(text: str, name: str, done: AsDone, shelf: Shelfful) -> list[Entry]:
    """The events of an answer: one a step, what it leaves moved by the last.

    Args:
        text: the JSON
        name: how it is called in messages
        done: what was different
        shelf: the vessels as the book has them
    Raises: BadFile, no answer of this refinekit, or of a step that was stopped
    """
    data = answer_in(text, name)
    steps = [one for one in data["steps"] if done.step in ("", one["name"])]
    if not steps:
        raise BadQuantity(
            f"{name[:80]!r} has no step {done.step[:40]!r}", cure=did_you_mean(done.step, [str(s["name"]) for s in data["steps"]])
        )
    entries = [_entry(one, done) for one in steps]
    pots = read_pots(text, name) if data.get("pots") else ()
    took = {taken for one in data["steps"] for taken in one.get("took", ())}
    ops = _ops(pots, took, done, shelf)
    if entries[0].kind == "lot" and pots:
        first = entries[0]
        entries[0] = Entry("lot", first.about, first.at, {**first.data, **lot_data_of(pots, "")}, first.who, first.corrects)
    last = entries[-1]
    entries[-1] = Entry(last.kind, last.about, last.at, last.data, last.who, last.corrects, ops)
    return entries


def answer_in(text: str, name: str) -> dict[str, Any]:
    """An answer as it was printed. Raises: BadFile, no answer of this refinekit, or of a step that was stopped."""
    try:
        data: Any = json.loads(text)
    except (ValueError, RecursionError):
        data = None
    if not isinstance(data, dict) or data.get("schema") != SCHEMA or not isinstance(data.get("steps"), list):
        raise BadFile(
            f"{name[:80]!r} is no answer of a step or a plan", cure="give a batch file, or what a step printed with --json"
        )
    if data.get("stopped"):
        raise BadFile(f"{name[:80]!r} is of a step that was stopped for safety", cure="mend what it says; nothing was logged")
    return data


def _entry(one: dict[str, Any], done: AsDone) -> Entry:
    rows = one["reagents"]
    keys = [row["key"] if row["counts"] and row["unit"] in TO_BASE else "" for row in rows]
    planned = [TO_BASE[row["unit"]][1] * row["to_take"] if key else 0.0 for row, key in zip(rows, keys, strict=True)]
    counted = [(number, row) for number, row in enumerate(rows, start=1) if row["counts"] and row["unit"] in TO_BASE]
    used = [_used(row, done.told_of(one["name"], number, keys, planned), done) for number, row in counted]
    figures = {name: _three(span) for name, span in one["answers"].items()}
    verb = one["name"].partition(" ")[0]
    data = {"did": one["title"], "verb": verb, "step": one["name"], "used": used, "figures": figures}
    kind, words = ("lot", done.lot_words) if verb == "lot" else ("step", done.words)
    return Entry(kind, done.lot, done.at, {**data, **words}, done.who, done.corrects)


def _three(span: dict[str, float]) -> float | list[float]:
    return span["likely"] if span["low"] == span["high"] else [span["likely"], span["low"], span["high"]]


def _used(row: dict[str, Any], told: tuple[float, str] | None, done: AsDone) -> dict[str, Any]:
    kind, factor = TO_BASE[row["unit"]]
    planned = factor * row["to_take"]
    if told and told[1] != kind:
        raise BadQuantity(
            f"{row['name']} is measured by {kind}, it was told by {told[1]}",
            cure=f"--used {row['key']}={row['to_take']:.3g}{row['unit']}",
        )
    found = {"key": row["key"] or row["name"], "name": row["name"], "planned": planned, "unit": "g" if kind == "mass" else "L"}
    found |= {"used": told[0] if told else planned, "bare": [factor * row["bare"][end] for end in ("likely", "low", "high")]}
    found |= {"told": True} if told else {}
    return found | ({"bottle": done.bottles[row["key"]]} if row["key"] in done.bottles else {})


def _ops(pots: tuple[Pot, ...], took: set[str], done: AsDone, shelf: Shelfful) -> list[dict[str, Any]]:
    """What changes between the vessels the book knows and the pots the answer leaves."""
    ops = []
    left = {pot.name: pot for pot in pots}
    for name in {**dict.fromkeys(sorted(took)), **left}:
        own = name if name in shelf.vessels else vessel_name(name, done)
        there = shelf.vessels.get(own)
        pot = left.get(name)
        op = change_op(own, there.pot() if there else None, pot, _rows(pots))
        if op:
            ops.append(op)
    return ops


def _rows(pots: tuple[Pot, ...]) -> tuple[int, int, int]:
    """Cases that stand for likely, and for least and most metal."""
    total: Any = 0.0
    for pot in pots:
        total = total + sum((pot.element_g(element) for element in ("Au", "Ag", "Cu")), 0.0)
    if not isinstance(total, np.ndarray) or total.ndim == 0:
        return (0, 0, 0)
    return (0, int(np.argmin(total)), int(np.argmax(total)))
