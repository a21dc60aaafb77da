"""Why an equation will not balance, in words: what is missing, what stands on the wrong side, what is mixed into it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations

from refinekit.chemistry.equation import Equation
from refinekit.chemistry.equation_table import all_above_zero, nullspace, signed_columns, smallest_whole, table_of, with_numbers
from refinekit.chemistry.species import parse
from refinekit.errors import BadFormula

MOST_SUBSTANCES = 24
"""Substances in one equation that are still balanced; one reaction has far fewer."""

MISSING = (("H2O",), ("H^+",), ("H^+", "H2O"), ("OH^-", "H2O"), ("e^-",), ("H^+", "H2O", "e^-"))
"""What people leave out of an equation, in the order to try; ions only where the equation has ions, electrons last."""

MOST_FREE = 4
"""Independent reactions in one equation up to which each is worked out and shown."""

NATURALLY = "write down what really goes in and comes out"


def refuse(equation: Equation) -> None:
    """Turn down what is no reaction at all.

    Raises: BadFormula, too many substances, or one on both sides
    """
    if len(equation.species) > MOST_SUBSTANCES:
        raise BadFormula(
            f"{len(equation.species)} substances are too many for one reaction",
            cure=f"balance one reaction at a time, at most {MOST_SUBSTANCES}",
        )
    for formula in equation.left:
        if formula in equation.right:
            raise BadFormula(f"{formula} stands on both sides", cure=f"keep {formula} only on the side where there is more of it")


def explain(equation: Equation, basis: Sequence[tuple[int, ...]]) -> BadFormula:
    """The error that says why an equation does not balance.

    Args:
        equation: that has been read and is not refused
        basis: the independent answers of its table; not a single one with all numbers above zero
    """
    if len(basis) == 1 and all(basis[0]):
        return _wrong_side(equation, basis[0])
    one_sided = _one_sided(equation)
    if one_sided or not basis:
        return one_sided or _no_answer(equation)
    return _idle(equation, basis[0]) if len(basis) == 1 else _many(equation, basis)


def _one_sided(equation: Equation) -> BadFormula | None:
    """An element that one side holds and the other does not."""
    for here, there, name, other, verb in (
        (equation.left, equation.right, "left", "right", "become"),
        (equation.right, equation.left, "right", "left", "come from"),
    ):
        alone = [element for element in table_of(tuple(here)) if element != "charge" and element not in table_of(tuple(there))]
        if alone:
            one, what = len(alone) == 1, " and ".join(alone)
            fault = f"{what} {'is' if one else 'are'} on the {name} only: nothing on the {other} holds {'it' if one else 'them'}"
            return BadFormula(
                fault, cure=_cure(equation, f"add on the {other} what {what} {verb.replace('come', 'comes') if one else verb}")
            )
    return None


def _no_answer(equation: Equation) -> BadFormula:
    rows = table_of(equation.species)
    culprits = [
        what
        for what in rows
        if nullspace([row for name, row in zip(rows, signed_columns(equation), strict=True) if name != what] or [[0]])
    ]
    if "charge" in culprits:
        return BadFormula(
            f"the atoms of {equation} can be balanced, its charge cannot",
            cure=_cure(equation, "something with H^+, H2O or e^- may be missing"),
        )
    at_fault = f": {' and '.join(culprits)} cannot come out together" if culprits else ""
    return BadFormula(
        f"no numbers balance {equation}{at_fault}", cure=_cure(equation, f"{NATURALLY}; water, acid or a gas may be missing")
    )


def _idle(equation: Equation, numbers: Sequence[int]) -> BadFormula:
    """Numbers exist, but some are zero."""
    idle = " and ".join(formula for formula, number in zip(equation.species, numbers, strict=True) if not number)
    return BadFormula(f"{idle} can take no part: the rest balances without", cure=f"leave out {idle}")


def _wrong_side(equation: Equation, numbers: Sequence[int]) -> BadFormula:
    """Numbers exist, but of both signs."""
    wrong = _minority(equation, numbers)
    right_way = turned(equation, wrong)
    number = dict(zip(equation.species, numbers, strict=True))
    where = " and ".join(f"{formula} belongs on the {'left' if formula in right_way.left else 'right'}" for formula in wrong)
    return BadFormula(
        f"the numbers come out below zero: {where}",
        cure=f'"{with_numbers(right_way, [abs(number[f]) for f in right_way.species])}"',
    )


def _minority(equation: Equation, numbers: Sequence[int]) -> list[str]:
    """The substances whose numbers have the rarer sign; on a tie those not of the first substance's sign."""
    signs = [number > 0 for number in numbers]
    rarer = signs.count(True) * 2 < len(signs) if signs.count(True) * 2 != len(signs) else not signs[0]
    return [formula for formula, sign in zip(equation.species, signs, strict=True) if sign == rarer]


def turned(equation: Equation, formulas: Sequence[str]) -> Equation:
    """The equation with these substances on the other side."""

    def kept(side: Mapping[str, float], other: Mapping[str, float]) -> dict[str, float]:
        return {f: n for f, n in side.items() if f not in formulas} | {f: n for f, n in other.items() if f in formulas}

    return Equation(kept(equation.left, equation.right), kept(equation.right, equation.left), equation.states)


def _many(equation: Equation, basis: Sequence[tuple[int, ...]]) -> BadFormula:
    """More than one independent answer."""
    if len(basis) > MOST_FREE:
        return BadFormula(f"{len(basis)} independent reactions are mixed into one equation", cure="write each reaction by itself")
    parts = sub_reactions(equation, basis)
    used = [{formula for formula, number in zip(equation.species, part, strict=True) if number} for part in parts]
    idle = [formula for formula in equation.species if not any(formula in one for one in used)]
    if idle:
        return BadFormula(
            f"{' and '.join(idle)} can take no part as written", cure=f"leave out {' and '.join(idle)}, or change the side"
        )
    free = [formula for formula in equation.species if not all(formula in one for one in used)]
    shown = "\n".join(f"    {with_numbers(equation, part)}" for part in parts)
    fault = f"{equation} has more than one answer: it mixes {len(parts)} reactions, in any proportion"
    return BadFormula(
        f"{fault}\n{shown}\n  what differs: {', '.join(free)}",
        cure="balance one of these by itself, or write all the numbers to have them checked",
    )


def sub_reactions(equation: Equation, basis: Sequence[tuple[int, ...]]) -> list[tuple[int, ...]]:
    """The reactions an ambiguous equation is mixed from: those that use fewest substances, with no number below zero.

    Args:
        equation: whose table has several independent answers
        basis: these answers
    Returns: numbers in the order of the substances, zero where a substance takes no part
    """
    found: dict[tuple[int, ...], None] = {}
    for silent in combinations(range(len(equation.species)), len(basis) - 1):
        mixes = nullspace([[answer[column] for answer in basis] for column in silent])
        if len(mixes) == 1:
            mixed = smallest_whole(
                [sum(share * answer[k] for share, answer in zip(mixes[0], basis, strict=True)) for k in range(len(basis[0]))]
            )
            for numbers in (mixed, tuple(-number for number in mixed)):
                if min(numbers) >= 0:
                    found[numbers] = None
    return list(found)


def _cure(equation: Equation, otherwise: str) -> str:
    """The equation with the water, acid or electrons that are missing, or else some advice."""
    for often in MISSING:
        added = tuple(formula for formula in often if formula not in equation.species)
        if added and (completed := _completed(equation, added)):
            return f'add {" and ".join(added)}: "{completed}"'
    return otherwise


def _completed(equation: Equation, added: tuple[str, ...]) -> Equation | None:
    """The equation balanced with these formulas added, each on the side where it is needed."""
    has_ions = any(parse(formula).charge for formula in equation.species)
    if added != ("H2O",) and not has_ions:
        return None
    tried = Equation({**equation.left, **dict.fromkeys(added, 1)}, equation.right)
    basis = nullspace(signed_columns(tried))
    number = dict(zip(tried.species, basis[0], strict=True)) if len(basis) == 1 else {}
    if not number or not all_above_zero([number[formula] for formula in equation.species]) or not all(number.values()):
        return None
    sign = number[next(iter(equation.left))]
    completed = turned(tried, [formula for formula in added if number[formula] * sign < 0])
    return with_numbers(completed, [abs(number[formula]) for formula in completed.species])
