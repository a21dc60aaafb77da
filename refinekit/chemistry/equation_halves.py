"""Half-reactions: what gives electrons and what takes them, each balanced in acid with H^+, H2O and e^-.

Steps of OpenStax Chemistry 2e, Sec. 4.2: find the atoms whose oxidation number changes, give each half the substances that hold
them, balance the other elements, then oxygen with water, hydrogen with H^+ and the charge with electrons.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from refinekit.chemistry.equation import Equation, fraction, totals, whole
from refinekit.chemistry.equation_ions import balanced, ionic, struck_out
from refinekit.chemistry.equation_oxidation import Numbers, oxidation_numbers
from refinekit.chemistry.equation_text import NONMETALS
from refinekit.chemistry.species import parse
from refinekit.errors import BadFormula
from refinekit.facts.load import table
from refinekit.record import record

BY_ION = "write the ions one by one"

SOLVENT = frozenset({("O", Fraction(-2)), ("H", Fraction(1))})
"""Atoms as in water and acid: no substance is put into a half for their sake, H2O and H^+ bring them."""


@record
class Change:
    """Atoms whose oxidation number changes.

    Args:
        element: symbol [text]
        before, after: oxidation number left and right of the arrow [-]
        atoms: how many of them in one run of the equation [-]
    """

    element: str
    before: Fraction
    after: Fraction
    atoms: Fraction

    @property
    def electrons(self) -> Fraction:
        """Electrons these atoms give; below zero, take."""
        return (self.after - self.before) * self.atoms

    def __str__(self) -> str:
        return f"{self.element} {_number(self.before)} to {_number(self.after)}"


@record
class Halves:
    """A redox equation taken apart.

    Args:
        oxidation: what gives electrons, in smallest whole numbers
        reduction: what takes them, in smallest whole numbers
        electrons: passed over in one run of the equation as written [-]
        changes: the oxidation numbers that change
    """

    oxidation: Equation
    reduction: Equation
    electrons: float
    changes: tuple[Change, ...]


@record
class NotSplit:
    """An equation that has no half-reactions, or none that the rules can find.

    Args:
        because: the reason [text]
    """

    because: str


def half_reactions(equation: str | Equation) -> Halves | NotSplit:
    """The oxidation and the reduction an equation is made of.

    Args:
        equation: text to balance, or a balanced equation
    Raises: BadFormula, it does not balance

    >>> halves = half_reactions("Cu + HNO3 -> Cu(NO3)2 + NO2 + H2O")
    >>> print(halves.oxidation, halves.reduction, sep="; ")
    Cu -> Cu^2+ + 2 e^-; NO3^- + 2 H^+ + e^- -> NO2 + H2O
    """
    done = balanced(equation)
    net = struck_out(ionic(done).full)
    if "e^-" in net.species:
        return NotSplit("it is a half-reaction already: electrons are written in it")
    try:
        numbers = {formula: oxidation_numbers(formula) for formula in net.species}
        changes = _changes(net, numbers)
        if not changes:
            return NotSplit("no oxidation number changes: nothing is oxidised or reduced")
        given, taken = ([change for change in changes if (change.electrons > 0) is gives] for gives in (True, False))
        oxidation, reduction = _half(net, numbers, given, taken), _half(net, numbers, taken, given)
    except BadFormula as fault:
        return NotSplit(fault.what)
    electrons = whole(sum((change.electrons for change in given), Fraction(0)))
    return Halves(oxidation.smallest(), reduction.smallest(), electrons, tuple(changes))


def _changes(net: Equation, numbers: Mapping[str, Numbers]) -> list[Change]:
    """Which atoms go from which number to which, the lowest to the lowest where there is a choice."""
    sides = [_tally(side, numbers) for side in (net.left, net.right)]
    changes = []
    for element in sides[0]:
        moved = {
            number: sides[1][element].get(number, 0) - sides[0][element].get(number, 0)
            for number in sorted({*sides[0][element], *sides[1][element]})
        }
        gone = [(number, -atoms) for number, atoms in moved.items() if atoms < 0]
        come = [(number, atoms) for number, atoms in moved.items() if atoms > 0]
        while gone and come:
            (before, there), (after, here) = gone[0], come[0]
            atoms = min(there, here)
            changes.append(Change(element, before, after, Fraction(atoms)))
            gone = [(before, there - atoms), *gone[1:]] if there > atoms else gone[1:]
            come = [(after, here - atoms), *come[1:]] if here > atoms else come[1:]
    return changes


def _tally(side: Mapping[str, float], numbers: Mapping[str, Numbers]) -> dict[str, dict[Fraction, Fraction]]:
    """Atoms of each element at each oxidation number on one side."""
    tally: dict[str, dict[Fraction, Fraction]] = {}
    for formula, count in side.items():
        for element, atoms in numbers[formula].items():
            for number, each in atoms.items():
                at = tally.setdefault(element, {})
                at[number] = at.get(number, Fraction(0)) + fraction(count) * each
    return tally


def _half(net: Equation, numbers: Mapping[str, Numbers], changes: Sequence[Change], others: Sequence[Change]) -> Equation:
    """One half, balanced in acid.

    Args:
        changes: that make this half
        others: that make the other half
    Raises: BadFormula, it cannot be told which substances belong to it
    """
    sides = []
    for side, end in ((net.left, "before"), (net.right, "after")):
        away = {(change.element, getattr(change, end)) for change in others} - SOLVENT
        own = {formula: held for formula, held in numbers.items() if formula in side and not _holds(held, away)}
        sides.append(_holders(side, numbers, own, [(change.element, getattr(change, end), change.atoms) for change in changes]))
    left, right = sides
    while gaps := _gaps(left, right):
        _level(left, right, gaps[0], _carrier(net, numbers, {**left, **right}, gaps, changes))
        if gaps[0] in _gaps(left, right):
            raise BadFormula(f"{gaps[0]} cannot be levelled in the halves", cure=BY_ION)
    for what, formula in (("O", "H2O"), ("H", "H^+"), ("charge", "e^-")):
        _level(left, right, what, formula)
    if right.get("e^-", 0) - left.get("e^-", 0) != sum(change.electrons for change in changes):
        raise BadFormula("the electrons of the halves do not agree with the oxidation numbers", cure=BY_ION)
    return Equation(_plain(left), _plain(right))


def _holders(
    side: Mapping[str, float],
    numbers: Mapping[str, Numbers],
    own: Mapping[str, Numbers],
    wanted: Sequence[tuple[str, Fraction, Fraction]],
) -> dict[str, Fraction]:
    """The substances of one side that hold the atoms wanted, and how many of each.

    Args:
        own: the substances that carry no atom of the other half
        wanted: element, oxidation number and atoms; water's oxygen and acid's hydrogen are left for later
    """
    counts: dict[str, Fraction] = {}
    for element in dict.fromkeys(element for element, _, _ in wanted):
        held: dict[str, Fraction] = {}
        for _, number, atoms in (row for row in wanted if row[0] == element and row[:2] not in SOLVENT):
            for formula, share in _shares(element, number, side, numbers, own).items():
                held[formula] = held.get(formula, Fraction(0)) + atoms * share
        counts |= {formula: max(count, counts.get(formula, count)) for formula, count in held.items()}
    return counts


def _shares(
    element: str, number: Fraction, side: Mapping[str, float], numbers: Mapping[str, Numbers], own: Mapping[str, Numbers]
) -> dict[str, Fraction]:
    """How many of each substance to take for one atom of an element at an oxidation number.

    A substance that belongs to the other half gives up the element's plain ion (the chloride of AuCl4^-) where it has one.
    """
    holding = {formula: numbers[formula][element][number] for formula in side if number in numbers[formula].get(element, {})}
    mine = {formula: atoms for formula, atoms in holding.items() if formula in own}
    if not mine and number < 0 and (ion := _plain_ion(element, number)):
        return {ion: Fraction(1)}
    holding = mine or holding
    held = sum(fraction(side[formula]) * atoms for formula, atoms in holding.items())
    return {formula: fraction(side[formula]) / held for formula in holding}


def _holds(held: Numbers, atoms: set[tuple[str, Fraction]]) -> bool:
    return any((element, number) in atoms for element in held for number in held[element])


def _gaps(left: Mapping[str, Fraction], right: Mapping[str, Fraction]) -> list[str]:
    """Elements but oxygen and hydrogen that a half has not level yet."""
    return [what for what in Equation(_plain(left), _plain(right)).imbalance() if what not in ("O", "H", "charge")]


def _level(left: dict[str, Fraction], right: dict[str, Fraction], what: str, formula: str) -> None:
    """Make the atoms of an element, or the charge, equal on both sides with a substance that holds it."""
    gap = fraction(totals(_plain(left)).get(what, 0)) - fraction(totals(_plain(right)).get(what, 0))
    count = gap / fraction(totals({formula: 1})[what])
    side = right if count > 0 else left
    if count:
        side[formula] = side.get(formula, Fraction(0)) + abs(count)


def _carrier(
    net: Equation, numbers: Mapping[str, Numbers], half: Mapping[str, Fraction], gaps: Sequence[str], changes: Sequence[Change]
) -> str:
    """What brings or takes away an element that only rides along: a substance of the equation, else the element's plain ion.

    Raises: BadFormula, there is none
    """
    element = gaps[0]
    changing = {number for change in changes if change.element == element for number in (change.before, change.after)}
    found = {number for formula in half if element in numbers.get(formula, {}) for number in numbers[formula][element]}
    riding = found - changing or found
    fit = [
        formula
        for formula in net.species
        if numbers[formula].get(element, {}).keys() == riding and numbers[formula].keys() <= {*gaps, "O", "H"}
    ]
    ions = [ion for number in riding if (ion := _plain_ion(element, number))]
    ranked = sorted(fit, key=lambda formula: (not parse(formula).charge, len(parse(formula).elements)))
    for formula in (*ranked, *ions):
        return formula
    raise BadFormula(f"{element} rides along in a form the rules cannot tell", cure=BY_ION)


def _plain_ion(element: str, number: Fraction) -> str | None:
    """The ion of one atom with this charge, if such a thing is known in water: a metal's, a halide, sulfide."""
    facts = table("ions")
    usual = {**facts["usual"]["numbers"], "S": facts["sulfide"]["number"]}
    known = number == usual.get(element, 0) if element in NONMETALS else number > 0
    if not known or element == "O" or number.denominator != 1:
        return None
    return f"{element}^{abs(number) if abs(number) != 1 else ''}{'+' if number > 0 else '-'}"


def _plain(side: Mapping[str, Fraction]) -> dict[str, float]:
    return {formula: whole(count) for formula, count in side.items()}


def _number(number: Fraction) -> str:
    return f"{'+' if number > 0 else ''}{number}"
