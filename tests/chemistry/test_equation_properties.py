"""What holds of every equation: order, scale and spelling do not matter, and what balances balances."""

from fractions import Fraction
from math import gcd

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from refinekit.chemistry.balance import balance
from refinekit.chemistry.equation import Equation, reaction
from refinekit.errors import BadFormula
from refinekit.facts.load import table

SETTLED = [reaction(row["id"]) for row in table("reactions")["reaction"] if "side" not in row]
"""Reactions of the trade that atoms and charge alone fix."""
ARROWS = [" -> ", " = ", " => ", " → ", " ⇌ "]
SUBSTANCES = [
    "Cu",
    "Cl",
    "H",
    "O",
    "N",
    "S",
    "H^+",
    "OH^-",
    "e^-",
    "Cu^2+",
    "Cl2",
    "HCl",
    "H2O",
    "O2",
    "CuCl2",
    "NO3^-",
    "SO4^2-",
    "NO",
]


def tried(function, text):
    """What comes of it: a result, or the fault a user would be shown. Anything else is a failure."""
    try:
        return function(text)
    except BadFormula as fault:
        return fault


def written(side, draw, times):
    terms = [f"{times * Fraction(count)} {formula}" for formula, count in side.items()]
    return " + ".join(draw(st.permutations(terms)))


@st.composite
def scaled_and_shuffled(draw):
    """A reaction of the trade, and the same in another order, scale and arrow."""
    equation = draw(st.sampled_from(SETTLED))
    times = draw(st.fractions(min_value=Fraction(1, 12), max_value=12, max_denominator=12))
    return equation, written(equation.left, draw, times) + draw(st.sampled_from(ARROWS)) + written(equation.right, draw, times)


@given(scaled_and_shuffled())
def test_scale_order_and_arrow_do_not_matter(case):
    equation, text = case
    again = Equation.parse(text)
    assert again.is_balanced
    done = balance(again)
    assert (done.left, done.right) == (equation.smallest().left, equation.smallest().right)


@given(st.sampled_from(SETTLED))
def test_swapping_the_sides_swaps_the_numbers(equation):
    done = balance(Equation(equation.right, equation.left))
    assert (done.left, done.right) == (equation.smallest().right, equation.smallest().left)


@given(st.integers(1, 30), st.integers(1, 60), st.integers(0, 20))
def test_burning_anything_of_carbon_hydrogen_and_oxygen(carbon, hydrogen, oxygen):
    """C_x H_y O_z takes x + y/4 - z/2 oxygen: no program needed."""
    need = carbon + Fraction(hydrogen, 4) - Fraction(oxygen, 2)
    assume(need > 0)
    fuel = f"C{carbon}H{hydrogen}" + (f"O{oxygen}" if oxygen else "")
    done = balance(f"{fuel} + O2 -> CO2 + H2O")
    times = Fraction(done.left[fuel])
    assert [done.left["O2"], done.right["CO2"], done.right["H2O"]] == [
        times * need,
        times * carbon,
        times * Fraction(hydrogen, 2),
    ]
    assert gcd(*done.left.values(), *done.right.values()) == 1


@given(
    st.lists(st.sampled_from(SUBSTANCES), min_size=1, max_size=5),
    st.lists(st.sampled_from(SUBSTANCES), min_size=1, max_size=5),
)
def test_any_equation_balances_or_says_why(left, right):
    done = tried(balance, f"{' + '.join(left)} -> {' + '.join(right)}")
    if isinstance(done, BadFormula):
        assert "\n  Try: " in str(done)
        return
    assert done.is_balanced
    assert set(done.species) == set(left) | set(right)
    assert min(*done.left.values(), *done.right.values()) > 0


@given(st.text(alphabet="CuHOlNe0123456789+-^().>= →·½", max_size=60))
def test_no_text_ends_in_a_traceback(text):
    equation = tried(Equation.parse, text)
    if isinstance(equation, BadFormula):
        assert "\n  Try: " in str(equation)
    else:
        assert Equation.parse(str(equation)) == Equation(equation.left, equation.right)


@pytest.mark.parametrize("equation", SETTLED, ids=lambda equation: equation.id)
def test_trade_reactions_are_their_own_balance(equation):
    assert balance(equation) == equation.smallest()
