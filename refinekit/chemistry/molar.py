"""Molar mass of a formula or of a thing by name, its elements by weight, and grams to moles and back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache

import numpy as np

from refinekit.chemistry.equation_text import read_formula, shown
from refinekit.chemistry.species import atomic_weight, molar_mass, parse
from refinekit.errors import BadFormula, OutOfRange, UnknownName
from refinekit.facts.load import table
from refinekit.nearest import did_you_mean
from refinekit.ranges import Number
from refinekit.record import record


@record
class Part:
    """One element of a formula.

    Args:
        element: symbol [text]
        atoms: in one formula unit [-]
        g_per_mol: its share of the molar mass [g/mol]
        percent: its share by weight [%]
    """

    element: str
    atoms: float
    g_per_mol: float
    percent: float


@record
class Molar:
    """What a mole of something weighs and is made of.

    Args:
        formula: in the program's own spelling [text]
        name: what it was asked by, or is called in the facts; empty where it has no name there [text]
        g_per_mol: molar mass [g/mol]
        charge: charge number [-]
        parts: its elements in the order of the formula
        also: other formulas that go by the same name [text]
    """

    formula: str
    name: str
    g_per_mol: float
    charge: int
    parts: tuple[Part, ...]
    also: tuple[str, ...] = ()

    def mass_g(self, amount_mol: Number) -> Number:
        """What an amount weighs [g].

        Args:
            amount_mol: amount [mol]; 0 and up, float or array
        Raises: OutOfRange, an amount below 0
        """
        _refuse_below_zero(amount_mol, "mol")
        return amount_mol * self.g_per_mol

    def amount_mol(self, mass_g: Number) -> Number:
        """How much a mass is [mol].

        Args:
            mass_g: mass [g]; 0 and up, float or array
        Raises: OutOfRange, a mass below 0
        """
        _refuse_below_zero(mass_g, "g")
        return mass_g / self.g_per_mol


def molar(what: str) -> Molar:
    """Molar mass and make-up of a formula or a named thing.

    Args:
        what: a formula such as "FeSO4.7H2O", or a name or alias of the shelf or of the species such as "copperas" [text]
    Raises: BadFormula, a formula that cannot be read; UnknownName, a name nobody has heard of
    Source: atomic weights of `species`; names in facts/reagents.toml and facts/species.toml

    >>> copperas = molar("copperas")
    >>> copperas.formula, round(copperas.g_per_mol, 2), [f"{part.element} {part.percent:.1f}" for part in copperas.parts]
    ('FeSO4.7H2O', 278.01, ['Fe 20.1', 'S 11.5', 'O 63.3', 'H 5.1'])
    """
    formula, name, also = named(what)
    species, whole_g = parse(formula), molar_mass(formula)
    if not species.elements:
        raise UnknownName("an electron has no weight here", cure="give a substance, as in CuCl2")
    shares = {element: atoms * atomic_weight(element) for element, atoms in species.elements.items()}
    parts = tuple(Part(element, species.elements[element], share, 100 * share / whole_g) for element, share in shares.items())
    return Molar(formula, name, whole_g, species.charge, parts, also)


def named(what: str) -> tuple[str, str, tuple[str, ...]]:
    """A formula from a formula or a name.

    Returns: the formula, its name in the facts (or empty), and other formulas of the same name
    Raises: BadFormula or UnknownName, with the nearest names

    >>> named("muriatic acid")
    ('HCl', 'hydrochloric acid', ())
    """
    try:
        formulas: tuple[str, ...] = (read_formula(what),)
    except BadFormula as fault:
        formulas = _names().get(" ".join(what.casefold().split()), ())
        if not formulas:
            raise _unknown(what, fault) from None
    formula, *also = formulas
    return formula, _called().get(formula, ""), tuple(also)


@cache
def _names() -> Mapping[str, tuple[str, ...]]:
    """Formulas by name in small letters: what the shelf calls a thing first, then the species, then the aliases of both."""
    formulas: dict[str, dict[str, None]] = {}
    for name, formula in _entries():
        formulas.setdefault(name.casefold(), {})[formula] = None
    return {name: tuple(found) for name, found in formulas.items()}


def _entries() -> Iterator[tuple[str, str]]:
    shelf, species = table("reagents")["reagent"], table("species")["species"]
    yield from ((row[name], row["solute"]) for row in shelf for name in ("name", "key"))
    yield from ((row["name"], row["formula"]) for row in species)
    yield from ((alias, row["solute"]) for row in shelf for alias in row.get("aliases", ()))
    yield from ((alias, row["formula"]) for row in species for alias in row.get("aliases", ()))
    yield from ((row["formula"], row["formula"]) for row in species)


@cache
def _called() -> Mapping[str, str]:
    return {row["formula"]: row["name"] for row in table("species")["species"]}


def _unknown(what: str, fault: BadFormula) -> BadFormula | UnknownName:
    """The fault of a formula where it looks like one, else that nothing is called so; with the nearest names."""
    names = [name for name, _ in _entries()]
    cure = did_you_mean(what, names, "a formula, as in CuCl2, or a name of the shelf, as in copperas", n=3)
    if any(letter.isupper() or letter.isdigit() for letter in what):
        return BadFormula(fault.what, cure=cure)
    return UnknownName(f"nothing here is called {shown(what)}", cure=cure)


def _refuse_below_zero(value: Number, unit: str) -> None:
    if not np.all(np.greater_equal(value, 0)):
        raise OutOfRange(f"{np.min(value):g} {unit} is no amount", cure="give 0 or more")
