"""Balances an equation in atoms and charge: the smallest whole numbers, or why there are none or more than one set.

Slow to start (sympy) and so never on the way of a sizing: the reactions of the trade have their numbers written out in the facts.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from refinekit.chemistry.equation import Equation, fraction
from refinekit.chemistry.equation_faults import explain, refuse
from refinekit.chemistry.equation_table import all_above_zero, nullspace, signed_columns, table_of, with_numbers


def balance(equation: str | Equation) -> Equation:
    """The equation in the smallest whole numbers that balance atoms and charge.

    Args:
        equation: text such as "Cu + HCl + H2O2 -> CuCl2 + H2O", numbers in it or not; or one read already
    Returns: the same substances, in the same order
    Raises: BadFormula: it cannot be read; no numbers balance it (names the element or the charge at fault and, where that helps,
        the water, acid or electrons that are missing); a substance stands on the wrong side, on both or takes no part; more
        than one reaction is mixed into it (names them). Numbers that are given are kept where they balance such a mixture.

    >>> str(balance("Cu + HNO3 -> Cu(NO3)2 + NO + H2O"))
    '3 Cu + 8 HNO3 -> 3 Cu(NO3)2 + 2 NO + 4 H2O'
    """
    given = Equation.parse(equation) if isinstance(equation, str) else equation
    refuse(given)
    basis = nullspace(signed_columns(given))
    if len(basis) == 1 and (numbers := all_above_zero(basis[0])):
        return with_numbers(given, numbers)
    if len(basis) > 1 and given.is_balanced and _is_numbered(given):
        return given.smallest()
    raise explain(given, basis)


def working(equation: str | Equation) -> list[str]:
    """How to check the numbers by hand, line by line.

    Args:
        equation: text to balance, or a balanced equation
    Returns: the unknowns, one line an element (and the charge) with what must be equal, the numbers, and each line counted out

    >>> print(*working("H2 + O2 -> H2O"), sep="\\n")
    a H2 + b O2 -> c H2O
    H: 2a = 2c
    O: 2b = c
    a = 2, b = 1, c = 2
    H: 2x2 = 4 left, 2x2 = 4 right
    O: 1x2 = 2 left, 2x1 = 2 right
    2 H2 + O2 -> 2 H2O
    """
    done = balance(equation) if isinstance(equation, str) else equation
    letter = dict(zip(done.species, _letters(), strict=False))
    sides = (done.left, done.right)
    rows = table_of(done.species)
    asked = " -> ".join(" + ".join(f"{letter[formula]} {formula}" for formula in side) for side in sides)
    must = [f"{what}: {' = '.join(_unknowns(row, side, letter) for side in sides)}" for what, row in rows.items()]
    numbers = ", ".join(f"{letter[formula]} = {fraction(abs(count))}" for formula, count in done.net.items())
    counted = [
        f"{what}: {', '.join(_counted(row, side) + name for side, name in zip(sides, (' left', ' right'), strict=True))}"
        for what, row in rows.items()
    ]
    return [asked, *must, numbers, *counted, str(done)]


def _is_numbered(equation: Equation) -> bool:
    return any(count != 1 for count in (*equation.left.values(), *equation.right.values()))


def _letters() -> str:
    return "abcdfghijklmnopqrstuvwxyz"  # no e: that is the electron


def _unknowns(row: Mapping[str, Fraction], side: Mapping[str, float], letter: Mapping[str, str]) -> str:
    terms = [(row[formula], letter[formula]) for formula in side if formula in row]
    text = " + ".join(f"{'' if held == 1 else '-' if held == -1 else held}{name}" for held, name in terms)
    return text.replace("+ -", "- ") or "0"


def _counted(row: Mapping[str, Fraction], side: Mapping[str, float]) -> str:
    terms = [(fraction(count), row[formula]) for formula, count in side.items() if formula in row]
    text = " + ".join(f"{count}x{f'({held})' if held < 0 else held}" for count, held in terms)
    return f"{text or 0} = {sum(count * held for count, held in terms)}"
