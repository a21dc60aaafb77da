"""A rule's words: text, what to do and source, out of facts/safety/says.toml."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from refinekit.bench.step import Notice
from refinekit.facts.load import table

UNTOLD_CAUSE = "in the pot"


def notice(level: str, key: str, *, cause: str = "", may_override: bool = False, **words: Any) -> Notice:
    """A caution in the words of the facts.

    Args:
        level: note, warn or stop
        key: code and case, as in says.toml [text], e.g. "fulminating-gold.ammonia"
        cause: the earlier step that set it [text]
        may_override: whether a typed reason may lift the stop
        words: what is filled in
    """
    code, _, case = key.partition(".")
    row: Mapping[str, Any] = table("safety/says")[code][case]
    filled = {"cause": cause or UNTOLD_CAUSE, **words}
    lifts = may_override or (level == "stop" and bool(row.get("may_override", False)))
    return Notice(level, code, row["text"].format(**filled), row["do"].format(**filled), row["source"], cause, lifts)


def raised(one: Notice, level: str) -> Notice:
    """The same caution at another level."""
    return replace(one, level=level)
