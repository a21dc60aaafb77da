"""Oxidation numbers by the textbook's rules: what each atom of a formula would carry if every bond were ionic.

Source: OpenStax Chemistry 2e, Sec. 4.2; numbers and ions in facts/ions.toml. Known groups (NO3, NH4, CN ...) are counted by
themselves first, so that the two nitrogens of NH4NO3 keep their own numbers.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import Any

from refinekit.chemistry.equation import fraction
from refinekit.chemistry.equation_text import NONMETALS
from refinekit.chemistry.species import parse
from refinekit.errors import BadFormula
from refinekit.facts.load import table

Numbers = dict[str, dict[Fraction, Fraction]]
"""Atoms of each element at each oxidation number."""

_HALOGENS = ("F", "Cl", "Br", "I")
"""From the most to the least electronegative."""


def oxidation_numbers(formula: str) -> Numbers:
    """The oxidation numbers of a formula's atoms.

    Args:
        formula: in the caret spelling, e.g. "MnO4^-" [text]
    Returns: by element, the numbers and how many atoms carry each
    Raises: BadFormula, the rules leave two elements open

    >>> {element: [str(number) for number in numbers] for element, numbers in oxidation_numbers("NH4NO3").items()}
    {'N': ['-3', '5'], 'H': ['1'], 'O': ['-2']}
    """
    numbers = _numbers(*_apart(formula))
    if numbers is None:
        raise BadFormula(
            f"the rules do not tell the oxidation numbers in {formula}", cure="write its ions one by one, as in Cu^2+ + SO4^2-"
        )
    return {element: dict(sorted(numbers[element].items())) for element in parse(formula).elements}


def anion_rows() -> Mapping[str, Mapping[str, Any]]:
    """The anions salts are made of."""
    return {row["formula"]: row for part in ("anions", "more_anions") for row in table("ions")[part]["rows"]}


@cache
def _group_charges() -> Mapping[str, int]:
    ligands = dict.fromkeys(table("ions")["ligands"]["formulas"], 0)
    return {**{formula: row["charge"] for formula, row in anion_rows().items()}, **ligands, "NH4": 1}


def _apart(formula: str) -> tuple[str, int]:
    return formula.partition("^")[0], parse(formula).charge


def _numbers(body: str, charge: int) -> Numbers | None:
    odd = table("ions")["odd"]["numbers"].get(_with_charge(body, charge))
    elements = {element: fraction(atoms) for element, atoms in parse(body).elements.items()}
    if odd:
        return {element: {Fraction(odd[element]): atoms} for element, atoms in elements.items()}
    if len(elements) == 1:
        return {element: {Fraction(charge) / atoms: atoms} for element, atoms in elements.items()}
    group = _group(body)
    if not group:
        return _by_rules(elements, charge)
    rest, inner, count = group
    first = _numbers(inner, _group_charges()[inner])
    second = _numbers(rest, charge - count * _group_charges()[inner])
    return None if first is None or second is None else _together(second, first, count)


def _group(body: str) -> tuple[str, str, int] | None:
    """A known group of the formula: what is left without it, the group, and how often it is there."""
    waters = re.search(r"\.(\d*)(H2O)$", body)
    bracketed = [found for found in re.finditer(r"\((\w+)\)(\d*)", body) if found[1] in _group_charges()]
    ammonium = re.match(r"()(NH4)(?=[A-Z])", body)
    for found, inner, number in [(waters, 2, 1), *((one, 1, 2) for one in bracketed), (ammonium, 2, 1)]:
        if found and len(found[0]) < len(body):
            return body[: found.start()] + body[found.end() :], found[inner], int(found[number] or 1)
    for anion in anion_rows():
        cation = body.removesuffix(anion)
        if cation != body and len(parse(anion).elements) > 1 and re.fullmatch(r"[A-Z][a-z]?\d*", cation):
            return cation, anion, 1
    return None


def _by_rules(elements: Mapping[str, Fraction], charge: int) -> Numbers | None:
    known = _usual(elements)
    open_ones = [element for element in elements if element not in known]
    rest = charge - sum(known[element] * elements[element] for element in known)
    if not open_ones and rest:  # a peroxide, a superoxide, I3^-: the usual number gives way
        open_ones = [element for element in ("O", "I", "Br", "Cl") if element in elements][:1]
        rest += sum(known.pop(element) * elements[element] for element in open_ones)
    if len(open_ones) > 1 or (rest and not open_ones):
        return None
    known |= {element: rest / elements[element] for element in open_ones}
    return {element: {known[element]: atoms} for element, atoms in elements.items()}


def _usual(elements: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """The numbers that follow from what an element is together with."""
    facts = table("ions")
    known = {element: Fraction(number) for element, number in facts["fixed"]["numbers"].items() if element in elements}
    usual = {element: Fraction(number) for element, number in facts["usual"]["numbers"].items()}
    if "H" in elements:
        known["H"] = Fraction(-1 if elements.keys() - {"H"} <= elements.keys() - NONMETALS else 1)
    if "O" in elements and "F" not in elements:
        known["O"] = usual["O"]
    halogens = [element for element in _HALOGENS if element in elements]
    centre = elements.keys() - known.keys() - set(halogens)
    if halogens and (centre or "O" not in elements):
        known[halogens[0]] = known.get(halogens[0], usual.get(halogens[0], Fraction(0)))
    if "S" in elements and not (elements.keys() - {"S"}) & NONMETALS:
        known["S"] = Fraction(facts["sulfide"]["number"])
    return known


def _together(first: Numbers, second: Numbers, count: int) -> Numbers:
    merged = {element: dict(numbers) for element, numbers in first.items()}
    for element, numbers in second.items():
        for number, atoms in numbers.items():
            there = merged.setdefault(element, {})
            there[number] = there.get(number, Fraction(0)) + count * atoms
    return merged


def _with_charge(body: str, charge: int) -> str:
    size = abs(charge) if abs(charge) != 1 else ""
    return f"{body}^{size}{'+' if charge > 0 else '-'}" if charge else body
