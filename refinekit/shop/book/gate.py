"""What stands between a hand and a vessel of the book: the safety rules, run on what the book says is in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from refinekit.bench.pot import Pot
from refinekit.bench.step import Notice
from refinekit.safety.engine import in_order, level_of
from refinekit.safety.from_step import vessel
from refinekit.safety.keep_apart import as_vessel, contradictions, meet, refusal
from refinekit.safety.substances import find


def before_pouring(into: Pot, what: Pot | str, overrides: Mapping[str, str]) -> tuple[Notice, ...]:
    """Everything to be said before one thing is put to another, worst first.

    Args:
        into: the vessel as the book has it
        what: what goes in: a pot, or a thing by name
        overrides: reasons typed, by code; they lift only a stop that may be lifted
    Raises: UnknownName, a thing nobody knows: it is never said to be safe
    """
    there = vessel(into)
    if isinstance(what, str):
        one = find(what)
        said = [refusal(one)] if one.refused else []
        coming = as_vessel(one)
    else:
        said, coming = [], vessel(what)
    found = [] if into.is_empty else [*meet(there, coming).notices, *contradictions(there)]
    return in_order([replace(notice, reason="") for notice in (*said, *found)], overrides)


def stops(notices: tuple[Notice, ...]) -> bool:
    """Whether nothing may be poured."""
    return level_of(notices) == "stop"
