"""Names of components and ions: the many ways they are written, as the one way the balances use."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import Any

from refinekit.errors import UnknownName
from refinekit.facts.load import table

_PLAIN = re.compile(r"^(.*?)([+-])(\d*)$")
_CHARGE = re.compile(r"\^(\d*)([+-])$")
ACID, BASE, WATER = "H^+", "OH^-", "H2O"


def charged(name: str) -> str:
    """A formula with its charge written with ^, from either way of writing it.

    >>> charged("SO4-2"), charged("Cu^2+"), charged("Na+")
    ('SO4^2-', 'Cu^2+', 'Na^+')
    """
    plain = None if "^" in name else _PLAIN.match(name)
    if not plain:
        return name
    body, sign, count = plain.groups()
    return f"{body}^{count if count not in ('', '1') else ''}{sign}"


@cache
def components() -> Mapping[str, Mapping[str, Any]]:
    """The rows of facts/equilibrium/components.toml by formula."""
    return {row["formula"]: row for row in table("equilibrium/components")["component"]}


@cache
def _by_any_name() -> Mapping[str, str]:
    names = {alias: formula for formula, row in components().items() for alias in row["aliases"]}
    names |= {row["name"]: formula for formula, row in components().items()}
    return names | {formula: formula for formula in components()}


def component(name: str) -> str:
    """The component a name means.

    Args:
        name: formula, element or word [text]: "Cu^2+", "Cu+2", "Cu(II)", "Cu", "copper(II)"
    Returns: formula as the balances use it [text]
    Raises: UnknownName, no constants for it
    """
    known = _by_any_name()
    found = known.get(name) or known.get(charged(name))
    if found is None:
        raise UnknownName(
            f"there are no equilibrium constants for {name!r}",
            cure=f"take it out first, or carry it as an idle ion; known are {', '.join(components())}",
        )
    return found


@cache
def parts(ion: str) -> Mapping[str, float]:
    """An ion or molecule of a pot as components.

    Args:
        ion: formula as pots hold it [text], e.g. "CuCl2^-"
    Returns: components of one of it [-]
    Raises: UnknownName, no constants for it
    """
    for row in table("equilibrium/components")["ion"]:
        if row["formula"] == ion:
            return dict(row["is"])
    return {component(ion): 1.0}


@cache
def charge(formula: str) -> int:
    """Charge number of a formula [-]."""
    found = _CHARGE.search(formula)
    return int(found[1] or 1) * (1 if found[2] == "+" else -1) if found else 0


def metal(formula: str) -> str | None:
    """The element a component is the metal of, as the yardsticks name it; None for the rest."""
    found: str | None = components()[formula].get("metal")
    return found
