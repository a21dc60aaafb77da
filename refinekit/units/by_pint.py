"""The door to Pint, for units that are not in the plain table. Imported, and its registry built, on first need only."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

from refinekit.units.kinds import KINDS, Kind

WORD = re.compile(r"([A-Za-z_]+)([23]?)")
LONGEST_UNIT = 60
"""Characters of a unit that Pint is asked about."""


@cache
def registry() -> Any:
    """Pint's registry with the trade units laid over it."""
    import pint

    units: Any = pint.UnitRegistry()
    units.load_definitions(files("refinekit").joinpath("units.txt").read_text(encoding="utf-8").splitlines())
    return units


def scale(unit: str, kind: Kind) -> tuple[Fraction, Fraction] | None:
    """Factor and shift of a unit for a kind.

    Args:
        unit: put in order by `find.in_order` [text]
        kind: the kind asked for; one that Pint is asked about
    Returns: factor [base units in one] and shift [that unit]; None where it is no unit or another kind's
    """
    units = in_pint(unit)
    if units is None or units.dimensionality != registry().parse_units(kind.pint).dimensionality:
        return None
    if kind.ratio and units.dimensionless and not _masses_over_masses(unit):
        return None
    return conversion(units, kind)


def conversion(units: Any, kind: Kind) -> tuple[Fraction, Fraction] | None:
    """Factor and shift from Pint units to a kind's base unit; None for units that do not go in a straight line.

    Args:
        units: Pint's units
        kind: the kind asked for
    """
    from pint.errors import PintError

    try:
        zero, one = (float(registry().Quantity(figure, units).to(kind.pint).magnitude) for figure in (0.0, 1.0))
    except (PintError, OverflowError):
        return None
    if not 0 < one - zero < float("inf") or (zero != 0 and kind.name != "temperature"):
        return None
    return Fraction(one - zero), Fraction(zero / (one - zero))


def what_is(unit: str) -> str | None:
    """What kind of thing a unit measures, with its article; None where it is no unit at all.

    Args:
        unit: put in order [text]
    """
    units = in_pint(unit)
    if units is None:
        return None
    for kind in KINDS.values():
        if kind.pint and scale(unit, kind):
            return kind.what
    strengths = {"[degree_baume_heavy]", "[available_chlorine_trade]", "[oxygen_volumes]"}
    return "a strength" if strengths & set(units.dimensionality) else "another kind of unit"


def in_pint(unit: str) -> Any:
    """A unit as Pint units; None where it is none.

    Args:
        unit: put in order [text]
    """
    from pint.errors import PintError

    expression = as_expression(unit)
    if expression is None:
        return None
    try:
        return registry().parse_units(expression)
    except (PintError, ValueError, TypeError, OverflowError):
        return None


def as_expression(unit: str) -> str | None:
    """A unit in Pint's grammar: plain units by their full names, words and powers of two and three of other units.

    Args:
        unit: put in order [text]
    Returns: the expression; None for anything else, so that nothing but words, powers and slashes is ever evaluated
    """
    if len(unit) > LONGEST_UNIT or "delta" in unit:
        return None
    parts = [_part(part) for part in unit.split("/")]
    return " / ".join(parts) if all(parts) and "" not in parts else None  # type: ignore[arg-type]


def _part(part: str) -> str | None:
    for kind in KINDS.values():
        if part in kind.spelled and kind.pint:
            return f"({kind.spelled[part].pint})"
    words = [WORD.fullmatch(word) for word in part.split()]
    if not words or not all(words):
        return None
    return "(" + " * ".join(f"{word[1]} ** {word[2]}" if word[2] else word[1] for word in words if word) + ")"


def _masses_over_masses(unit: str) -> bool:
    mass = registry().parse_units("gram").dimensionality
    parts = [in_pint(part) for part in unit.split("/")]
    return len(parts) == 2 and all(part is not None and part.dimensionality == mass for part in parts)
