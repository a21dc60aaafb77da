"""The table behind an equation: a column a substance, a row an element and one for the charge, and what balances it.

What balances is the nullspace of the table. sympy finds it in whole numbers and is imported only inside that function, so that no
sizing pays for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import gcd, lcm

from refinekit.chemistry.equation import Equation, fraction
from refinekit.chemistry.species import parse


def table_of(species: Sequence[str]) -> dict[str, dict[str, Fraction]]:
    """One row an element, and one for the charge if anything is charged: how much of it each substance holds."""
    rows: dict[str, dict[str, Fraction]] = {}
    for formula in species:
        for element, atoms in parse(formula).elements.items():
            rows.setdefault(element, {})[formula] = fraction(atoms)
    charges = {formula: Fraction(parse(formula).charge) for formula in species if parse(formula).charge}
    return {**rows, "charge": charges} if charges else rows


def signed_columns(equation: Equation) -> list[list[int]]:
    """The table in whole numbers, what comes out counted below zero."""
    rows = []
    for row in table_of(equation.species).values():
        scale = lcm(*(held.denominator for held in row.values()))
        rows.append([int(row.get(formula, 0) * scale) * (1 if formula in equation.left else -1) for formula in equation.species])
    return rows


def nullspace(rows: list[list[int]]) -> list[tuple[int, ...]]:
    """Independent whole-number answers to rows x numbers = 0, each in smallest terms."""
    from sympy import ZZ
    from sympy.polys.matrices import DomainMatrix

    columns = len(rows[0])
    answers = DomainMatrix([[ZZ(entry) for entry in row] for row in rows], (len(rows), columns), ZZ).nullspace().to_list()
    return [smallest_whole([int(entry) for entry in answer]) for answer in answers]


def smallest_whole(numbers: Sequence[int | Fraction]) -> tuple[int, ...]:
    """Numbers in the same ratio without a common factor; all zero stays so."""
    scale = lcm(*(Fraction(number).denominator for number in numbers))
    wholes = [int(number * scale) for number in numbers]
    return tuple(number // (gcd(*wholes) or 1) for number in wholes)


def all_above_zero(numbers: Sequence[int]) -> tuple[int, ...] | None:
    """The numbers, turned round where all are below zero; None where they are of both signs or one is zero."""
    if all(number > 0 for number in numbers):
        return tuple(numbers)
    return tuple(-number for number in numbers) if all(number < 0 for number in numbers) else None


def with_numbers(equation: Equation, numbers: Sequence[int]) -> Equation:
    """The equation with these numbers in the order of its substances, without those at zero."""
    count = {formula: number for formula, number in zip(equation.species, numbers, strict=True) if number}
    sides = [{formula: count[formula] for formula in side if formula in count} for side in (equation.left, equation.right)]
    return Equation(sides[0], sides[1], equation.states, equation.id)
