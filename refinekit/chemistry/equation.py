"""Chemical equations: what goes in and comes out, and in what numbers.

The reactions of the trade stand in facts/reactions.toml with their numbers written out; `reaction("R2.3")` reads one. Nothing
here needs sympy: balancing is in `balance`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field
from fractions import Fraction
from functools import cache
from math import gcd, lcm

from refinekit.chemistry.equation_text import Term, read_formula, read_sides
from refinekit.chemistry.species import parse
from refinekit.errors import BadFormula, UnknownName
from refinekit.facts.load import table
from refinekit.nearest import did_you_mean
from refinekit.record import record

LARGEST_PART = 1000
"""Denominator up to which a coefficient is taken as a fraction."""

ROUNDING = 1e-9
"""Share of the atoms handled below which a difference is the rounding of floats."""


@record
class Equation:
    """A chemical equation, balanced or not.

    Args:
        left: how many of each formula go in [-]; above 0
        right: how many of each formula come out [-]; above 0
        states: s, l, g or aq by formula, where written [text]
        id: key in the reactions facts; empty for an equation from elsewhere [text]
    """

    left: Mapping[str, float]
    right: Mapping[str, float]
    states: Mapping[str, str] = field(default_factory=dict)
    id: str = ""

    @classmethod
    def parse(cls, text: str, id: str = "") -> Equation:
        """Read an equation.

        Args:
            text: as in "Cu + 2 HCl + H2O2 -> CuCl2 + 2 H2O"; other arrows, fractions, (s) and (aq), Cu2+ or SO4-- are understood
            id: key in the reactions facts [text]
        Raises: BadFormula, with the place that cannot be read

        >>> str(Equation.parse("NO(g) + ½O2(g) ⇌ NO2(g)"))
        'NO + 1/2 O2 -> NO2'
        """
        left, right = read_sides(text)
        return cls(_side(left), _side(right), {term.formula: term.state for term in (*left, *right) if term.state}, id)

    @property
    def species(self) -> tuple[str, ...]:
        """Every formula once, left before right."""
        return tuple(dict.fromkeys((*self.left, *self.right)))

    @property
    def net(self) -> dict[str, float]:
        """What one run of the equation makes of each formula: products above 0, what is used up below."""
        return {formula: self.right.get(formula, 0) - self.left.get(formula, 0) for formula in self.species}

    @property
    def is_balanced(self) -> bool:
        """Whether atoms and charge come out as they go in."""
        return not self.imbalance()

    def imbalance(self) -> dict[str, float]:
        """What does not balance.

        Returns: right less left by element, and under "charge"; only what differs

        >>> Equation.parse("Cu + Ag^+ -> Cu^2+ + Ag").imbalance()
        {'charge': 1}
        """
        left, right = totals(self.left), totals(self.right)
        difference = {what: right.get(what, 0) - left.get(what, 0) for what in dict.fromkeys((*left, *right))}
        return {what: whole(gap) for what, gap in difference.items() if abs(gap) > ROUNDING * max(1, abs(left.get(what, 0)))}

    def mole_ratio(self, a: str, b: str) -> float:
        """How many moles of `a` go with one mole of `b`.

        Args:
            a, b: formulas of the equation, either side
        Raises: UnknownName, the equation has no such formula

        >>> Equation.parse("Cu + 4 HNO3 -> Cu(NO3)2 + 2 NO2 + 2 H2O").mole_ratio("HNO3", "Cu")
        4.0
        """
        return self._count(a) / self._count(b)

    def _count(self, formula: str) -> float:
        for name in (formula, _spelt(formula)):
            if name in self.left or name in self.right:
                return self.left.get(name) or self.right[name]
        raise UnknownName(f"{formula!r} is not in {self}", cure=f"one of {', '.join(self.species)}")

    def smallest(self) -> Equation:
        """The same equation in the smallest whole numbers."""
        counts = [fraction(count) for count in (*self.left.values(), *self.right.values())]
        factor = Fraction(lcm(*(count.denominator for count in counts)), gcd(*(count.numerator for count in counts)) or 1)
        return self.times(factor)

    def times(self, factor: float | Fraction) -> Equation:
        """The same equation with every number times a factor above 0."""

        def scaled(side: Mapping[str, float]) -> dict[str, float]:
            return {formula: whole(fraction(count) * Fraction(factor)) for formula, count in side.items()}

        return Equation(scaled(self.left), scaled(self.right), self.states, self.id)

    def __str__(self) -> str:
        return f"{_side_text(self.left)} -> {_side_text(self.right)}"


def reaction(id: str) -> Equation:
    """A reaction of the trade, as written in the facts.

    Args:
        id: its key, e.g. "R2.3" [text]
    Raises: UnknownName, no such reaction

    >>> str(reaction("R2.3"))
    '2 Cu + 4 HCl + O2 -> 2 CuCl2 + 2 H2O'
    """
    return _reaction(id)


@cache
def _reaction(id: str) -> Equation:
    row = _rows().get(id)
    if row is None:
        raise UnknownName(
            f"there is no reaction {id!r}", cure=did_you_mean(id, _rows(), "one of refinekit/facts/reactions.toml", n=3)
        )
    return Equation.parse(row["text"], id)


def reactions() -> tuple[str, ...]:
    """The keys of all reactions of the trade."""
    return tuple(_rows())


@cache
def _rows() -> Mapping[str, Mapping[str, str]]:
    return {row["id"]: row for row in table("reactions")["reaction"]}


def totals(side: Mapping[str, float]) -> dict[str, float]:
    """Atoms of each element on one side, and its charge under "charge" [-]."""
    sums: dict[str, float] = {}
    for formula, count in side.items():
        species = parse(formula)
        for element, atoms in species.elements.items():
            sums[element] = sums.get(element, 0) + count * atoms
        if species.charge:
            sums["charge"] = sums.get("charge", 0) + count * species.charge
    return sums


def fraction(count: float | Fraction) -> Fraction:
    """A coefficient as the fraction it was written as."""
    return Fraction(count).limit_denominator(LARGEST_PART)


def whole(count: float | Fraction) -> float:
    """A coefficient as int where it is whole, else as float."""
    exact = fraction(count)
    return exact.numerator if exact.denominator == 1 else float(exact)


def _side(terms: Iterable[Term]) -> dict[str, float]:
    counts: dict[str, Fraction] = {}
    for term in terms:
        counts[term.formula] = counts.get(term.formula, Fraction(0)) + term.count
    return {formula: whole(count) for formula, count in counts.items()}


def _side_text(side: Mapping[str, float]) -> str:
    return " + ".join(formula if count == 1 else f"{fraction(count)} {formula}" for formula, count in side.items())


def _spelt(formula: str) -> str:
    try:
        return read_formula(formula)
    except BadFormula:
        return formula
