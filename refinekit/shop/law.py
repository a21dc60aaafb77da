"""What the law limits to buy, hold, use or send abroad of a bottle: the European Union, the United Kingdom, the United States."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from refinekit.facts.load import table
from refinekit.units import read_strength


def limits_of(key: str, law: str) -> list[Mapping[str, Any]]:
    """The rows of facts/precursors.toml for a reagent under a law, and the European Union's line of the reagent itself.

    Args:
        key: reagent key [text]
        law: us, eu, uk or none [text]
    """
    found = [row for row in table("precursors")["line"] if row["law"] == law and row["key"] == key]
    own = _reagent(key).get("eu_public_limit")
    return [{**own, "kind": "public"}] if law == "eu" and own else found


def law_notes(key: str, bottle: Mapping[str, object], law: str) -> list[str]:
    """What the law says of a bottle, a line each.

    Args:
        key: reagent key [text]
        bottle: its texts; its strength, or that of the reagent, is held against the line
        law: us, eu, uk or none [text]
    Raises: BadQuantity, a strength that cannot be read
    Source: facts/precursors.toml, facts/reagents.toml
    """
    found = limits_of(key, law)
    percent = _percent(_reagent(key), bottle) if found else None
    return [f"law: {_said(limit, percent)}{'; from memory' if limit['confidence'] == 'memory' else ''}" for limit in found]


def _reagent(key: str) -> Mapping[str, Any]:
    """The row of a reagent; an empty one where there is none."""
    empty: Mapping[str, Any] = {}
    return next((row for row in table("reagents")["reagent"] if row["key"] == key), empty)


def _percent(row: Mapping[str, Any], bottle: Mapping[str, object]) -> float | None:
    """Strength of the bottle, high end [% w/w]; None for what is not sold by its strength."""
    label = str(bottle.get("strength", row.get("strength", "")))
    if not label or row.get("form") != "liquor":
        return None
    from refinekit.chemistry.solution import Solution

    strength = read_strength(label, name="strength")
    return float(Solution.of(str(row["solute"]), strength.form, strength.range.high).percent_ww)


def _said(limit: Mapping[str, Any], percent: float | None) -> str:
    line = f"{limit['value']:g} {limit['unit']}"
    over = percent is not None and percent > limit.get("over", limit["value"])
    here = f"{percent:.3g} %, the line is {line}" if percent is not None else f"the line is {line}"
    kind = limit["kind"]
    if kind == "public":
        return f"a private person {'may not buy or hold it' if over else 'may buy it'} ({here})"
    if kind == "licence":
        if percent is not None and not over:
            return f"no licence is needed ({here})"
        return f"a private person needs a licence to buy, hold or use it ({here}); a business shows the seller who it is and why"
    if kind == "report":
        strong = f"at {limit['over']:g} % or more"
        return (
            f"no federal limit on buying or holding it; the rule that had sites report {line} {strong} lapsed on {limit['until']}"
        )
    if kind == "export":
        return f"a listed chemical: an export of {line} or more is recorded and reported; at home nothing"
    return f"a listed chemical: from {line} the seller records who buys it"
