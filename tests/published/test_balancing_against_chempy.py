"""Balancing against coefficients as texts print them and against chempy: molecular, redox, ionic and with electrons."""

import re
import tomllib
import warnings
from pathlib import Path

import pytest

from refinekit.chemistry.balance import balance
from refinekit.chemistry.equation import Equation

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from chempy import balance_stoichiometry

KINDS = tomllib.loads((Path(__file__).parents[1] / "data/balanced_equations.toml").read_text())
EQUATIONS = [text for texts in KINDS.values() for text in texts]


def bare(text):
    """The equation without its numbers."""
    return re.sub(r"(^|\s)\d+ ", r"\1", text)


def theirs(formula):
    """A formula in chempy's spelling."""
    body, _, charge = formula.partition("^")
    return body.replace(".", "..") + (charge[-1] + charge[:-1] if charge else "")


def test_there_are_sixty_and_twenty_of_each_kind():
    assert len(set(EQUATIONS)) == len(EQUATIONS) >= 60
    assert min(len(KINDS["redox"]), len(KINDS["ionic"])) >= 20


@pytest.mark.parametrize("text", EQUATIONS)
def test_printed_numbers_come_back(text):
    assert str(balance(bare(text))) == text


@pytest.mark.parametrize("text", EQUATIONS)
def test_chempy_finds_the_same_numbers(text):
    given = Equation.parse(text)
    sides = balance_stoichiometry({theirs(formula) for formula in given.left}, {theirs(formula) for formula in given.right})
    mine = balance(bare(text))
    assert [{theirs(formula): count for formula, count in side.items()} for side in (mine.left, mine.right)] == [
        dict(side) for side in sides
    ]
