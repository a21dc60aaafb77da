"""Chemical formulas with charge: what atoms they hold, what they weigh.

Written as at the bench and in the facts: `CuCl2^-`, `SO4^2-`, `H^+`, `Cu(OH)2`, `FeSO4.7H2O`, and `e^-` for the electron.
Atomic weights are periodictable's (CIAAW).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from importlib.util import find_spec
from pathlib import Path

from refinekit.errors import BadFormula
from refinekit.facts.kept import made_of
from refinekit.record import record

LONGEST = 200
"""Characters of a formula that are still read; longer ones are not formulas."""

_CHARGE = re.compile(r"\^([1-9]\d?|)([+-])$")
_TOKEN = re.compile(r"([A-Z][a-z]?)|([(\[])|([)\]])|(\d+(?:\.\d+)?)")
_HYDRATE = re.compile(r"(?<![A-Za-z)\]][01])[.·*](\d+/[1-9]\d*|\d*(?:\.\d+)?)(?=[A-Z(\[])")
"""A dot before waters, as in CuSO4.5H2O or CaSO4.0.5H2O; after a lone 0 or 1 it is a decimal point, as in Fe0.95O."""


@record
class Species:
    """A formula read.

    Args:
        formula: as written [text]
        elements: atoms of each element in one formula unit [-]
        charge: charge number [-]
    """

    formula: str
    elements: Mapping[str, float]
    charge: int


@cache
def parse(formula: str) -> Species:
    """Read a formula.

    Args:
        formula: text such as "AuCl4^-" or "FeSO4.7H2O"
    Raises: BadFormula, naming the place that cannot be read or the element that does not exist
    """
    text = formula.strip()
    if not text or len(text) > LONGEST:
        raise BadFormula(f"{text[:40]!r} is not a formula", cure="write it as in CuCl2, SO4^2- or FeSO4.7H2O")
    charge_text = _CHARGE.search(text)
    body = text[: charge_text.start()] if charge_text else text
    charge = 0
    if charge_text:
        charge = int(charge_text[1] or 1) * (1 if charge_text[2] == "+" else -1)
    if body == "e" and charge == -1:
        return Species(text, {}, charge)
    elements: dict[str, float] = {}
    for count, part in _parts(body):
        for element, atoms in _atoms(part, formula).items():
            elements[element] = elements.get(element, 0) + count * atoms
    if not all(elements.values()):
        raise BadFormula(f"{formula[:40]!r} has the count 0", cure="leave out what is not there")
    _refuse_unknown(elements, formula)
    return Species(text, elements, charge)


def _parts(body: str) -> list[tuple[float, str]]:
    """The salt and its waters of a hydrate, each with its count."""
    pieces = _HYDRATE.split(body)
    rest = zip(pieces[1::2], pieces[2::2], strict=True)
    return [(1, pieces[0])] + [(float(Fraction(count or 1)), part) for count, part in rest]


def _atoms(part: str, formula: str) -> dict[str, float]:
    """Atoms of a formula without charge or waters, brackets multiplied out."""
    stack: list[dict[str, float]] = [{}]
    last: dict[str, float] | None = None
    position = 0
    while position < len(part):
        token = _TOKEN.match(part, position)
        if not token:
            raise BadFormula(
                f"{formula[:40]!r} cannot be read at {part[position : position + 10]!r}",
                cure="elements start with a capital, charges with ^, as in Cu(OH)2, SO4^2- or FeSO4.7H2O",
            )
        position = token.end()
        element, opening, closing, number = token.groups()
        if element or closing:
            last = {element: 1.0} if element else _closed(stack, formula)
            count = _TOKEN.match(part, position)
            times = float(count[4]) if count and count[4] else 1.0
            position = count.end() if count and count[4] else position
            for name, atoms in last.items():
                stack[-1][name] = stack[-1].get(name, 0) + atoms * times
        elif opening:
            stack.append({})
        else:
            raise BadFormula(
                f"{formula[:40]!r} has the number {number} with nothing before it", cure="write it as in 2 HCl or H2O"
            )
    if len(stack) != 1 or not stack[0]:
        raise BadFormula(f"{formula[:40]!r} has an open bracket or no element", cure="write it as in Cu(OH)2")
    return stack[0]


def _closed(stack: list[dict[str, float]], formula: str) -> dict[str, float]:
    if len(stack) < 2 or not stack[-1]:
        raise BadFormula(
            f"{formula[:40]!r} closes a bracket that was not opened, or holds nothing", cure="write it as in Cu(OH)2"
        )
    return stack.pop()


def _refuse_unknown(elements: Mapping[str, float], formula: str) -> None:
    for element in elements:
        if element not in _weights():
            raise BadFormula(
                f"{formula[:40]!r} holds {element!r}, which is no element", cure="check the capitals: Co is cobalt, CO is not"
            )


@cache
def _weights() -> Mapping[str, float]:
    """Atomic weight of every element by its symbol [g/mol].

    Kept as periodictable gave them for as long as its table of masses is the same text: to load it with all its isotopes takes
    longer than to reckon a step.
    """
    place = find_spec("periodictable")
    masses = Path(str(place.origin)).with_name("mass.py") if place else None
    if masses is None or not masses.is_file():
        return _loaded()
    return made_of(masses, lambda _: _loaded(), kept_as=Path(__file__).with_name("atomic_weights"))


def _loaded() -> dict[str, float]:
    from periodictable import elements

    return {element.symbol: float(element.mass) for element in elements if element.number}


@cache
def atomic_weight(element: str) -> float:
    """Atomic weight of an element [g/mol], periodictable's table of CIAAW values."""
    return _weights()[element]


@cache
def molar_mass(formula: str) -> float:
    """Molar mass of a formula [g/mol]; the electron's is left out.

    >>> round(molar_mass("Na2S2O5"), 2)
    190.09
    """
    return sum(atoms * atomic_weight(element) for element, atoms in parse(formula).elements.items())
