"""Ionic equations: dissolved salts and strong acids written as their ions, and what is left once the spectators are struck out.

What lives as ions in a liquor stands in facts/species.toml; other salts follow the solubility table in facts/ions.toml.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from refinekit.chemistry.balance import balance
from refinekit.chemistry.equation import Equation, whole
from refinekit.chemistry.equation_oxidation import anion_rows
from refinekit.chemistry.species import parse
from refinekit.errors import BadFormula
from refinekit.facts.load import table
from refinekit.record import record


@record
class Ionic:
    """An equation in ions.

    Args:
        full: every dissolved salt and strong acid as its ions
        net: the same without what stands on both sides, in smallest whole numbers; nothing on either side where nothing happens
        spectators: ions that take no part [text]
    """

    full: Equation
    net: Equation
    spectators: tuple[str, ...]


def ionic(equation: str | Equation) -> Ionic:
    """The ionic and the net ionic form of an equation.

    Args:
        equation: text to balance, or a balanced equation; a formula marked (s), (l) or (g) stays whole
    Raises: BadFormula, it does not balance

    >>> str(ionic("AgNO3 + NaCl -> AgCl + NaNO3").net)
    'Ag^+ + Cl^- -> AgCl'
    """
    done = balanced(equation)
    full = Equation(_in_ions(done.left, done.states), _in_ions(done.right, done.states), done.states, done.id)
    net = struck_out(full)
    spectators = tuple(formula for formula in full.species if formula not in net.species)
    return Ionic(full, net.smallest(), spectators)


def balanced(equation: str | Equation) -> Equation:
    """A text balanced, or an equation that is balanced already.

    Raises: BadFormula, it does not balance
    """
    if isinstance(equation, str):
        return balance(equation)
    if gaps := equation.imbalance():
        raise BadFormula(f"{equation} does not balance in {' and '.join(gaps)}", cure="balance it first")
    return equation


def struck_out(equation: Equation) -> Equation:
    """An equation without what goes in and comes out alike, its numbers as they were."""
    net = equation.net
    left = {formula: whole(-count) for formula, count in net.items() if count < 0}
    right = {formula: whole(count) for formula, count in net.items() if count > 0}
    return Equation(left, right, equation.states, equation.id)


@cache
def ions_of(formula: str) -> Mapping[str, float]:
    """The ions a formula falls into in water, with their numbers; itself once where it stays whole.

    >>> ions_of("K2Cr2O7")
    {'K^+': 2, 'Cr2O7^2-': 1}
    """
    known = _known().get(formula)
    if parse(formula).charge or known is not None:
        ions: Mapping[str, float] = known or {}
        return ions if any(parse(ion).charge for ion in ions) and not parse(formula).charge else {formula: 1}
    salt, _, waters = formula.partition(".")
    return _salt_ions(salt, waters) or {formula: 1}


@cache
def _known() -> Mapping[str, Mapping[str, float]]:
    return {row["formula"]: row.get("ions", {}) for row in table("species")["species"]}


def _in_ions(side: Mapping[str, float], states: Mapping[str, str]) -> dict[str, float]:
    counts: dict[str, float] = {}
    for formula, count in side.items():
        parts = {formula: 1.0} if states.get(formula) in ("s", "l", "g") else ions_of(formula)
        for ion, number in parts.items():
            counts[ion] = whole(counts.get(ion, 0) + count * number)
    return counts


def _salt_ions(salt: str, waters: str) -> dict[str, float] | None:
    """The ions of a salt of one cation and one anion, if it dissolves, with the water of its crystals."""
    for anion, row in anion_rows().items():
        bare = "Z" if len(parse(anion).elements) > 1 else anion  # only an element takes a number without brackets
        found = re.fullmatch(rf"(\(NH4\)|NH4|[A-Z][a-z]?)(\d*)(?:{anion}|\({anion}\)(\d+)|{bare}(\d+))", salt)
        if not found:
            continue
        many, of_anion = int(found[2] or 1), int(found[3] or found[4] or 1)
        charge, left_over = divmod(-row["charge"] * of_anion, many)
        cation = f"{found[1].strip('()')}^{charge if charge > 1 else ''}+"
        if left_over or not _dissolves(cation, row):
            return None
        size = -row["charge"]
        water = re.fullmatch(r"(\d*)H2O", waters)
        ions: dict[str, float] = {cation: many, f"{anion}^{size if size > 1 else ''}-": of_anion}
        return ions | ({"H2O": int(water[1] or 1)} if water else {})
    return None


def _dissolves(cation: str, anion: Mapping[str, object]) -> bool:
    cations = table("ions")["cations"]
    if cation == "H^+":
        return bool(anion.get("strong"))
    excepted = cation in anion.get("except", ())  # type: ignore[operator]
    return cation in cations["always"] or (cation in cations["formulas"] and bool(anion["dissolves"]) != excepted)
