"""Every reaction of the trade, balanced again without the program: atoms and charge by sympy, coefficients by chempy."""

import re
import warnings
from fractions import Fraction
from math import gcd

import pytest
import sympy

from refinekit.facts.load import table

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from chempy import balance_stoichiometry

REACTIONS = {row["id"]: row for row in table("reactions")["reaction"]}
TRADE_COUNTS = {2: 29, 3: 13, 4: 11, 5: 23, 7: 13, 8: 6, 9: 11, 10: 16, 11: 5}
"""Reactions the job needs at least, by part of the job."""


def side(text):
    """Formulas of one side with their whole coefficients."""
    counts = {}
    for term in text.split(" + "):
        count, _, formula = term.rpartition(" ")
        counts[formula] = counts.get(formula, 0) + int(count or 1)
    return counts


def sides(text):
    left, right = text.split(" -> ")
    return side(left), side(right)


def atoms(formula):
    """Atoms and charge of a formula, by a reader of its own."""
    body, _, charge = formula.partition("^")
    counts = {}
    if charge:
        counts["charge"] = int(charge[:-1] or 1) * (1 if charge.endswith("+") else -1)
    for part in body.split("."):
        lead = re.match(r"\d*", part)[0]
        for element, number in group(part[len(lead) :]).items():
            counts[element] = counts.get(element, 0) + int(lead or 1) * number
    return counts


def group(text):
    counts = {}
    for inner, times, element, number in re.findall(r"\(([^()]*)\)(\d*)|([A-Z][a-z]?)(\d*)", text):
        for name, one in group(inner).items() if inner else [(element, int(number or 1))]:
            counts[name] = counts.get(name, 0) + one * (int(times or 1) if inner else 1)
    return counts


def columns(row):
    """Matrix with a row an element (and charge) and a column a species, right side negative; and the coefficients as written."""
    left, right = sides(row["text"])
    species = list(left) + list(right)
    keys = sorted({key for formula in species for key in atoms(formula)})
    signs = [1] * len(left) + [-1] * len(right)
    matrix = sympy.Matrix(
        [[sign * atoms(formula).get(key, 0) for formula, sign in zip(species, signs, strict=True)] for key in keys]
    )
    return species, matrix, [*left.values(), *right.values()]


def test_the_reader_of_this_test_reads_formulas():
    assert atoms("Fe2(SO4)3") == {"Fe": 2, "S": 3, "O": 12}
    assert atoms("FeSO4.7H2O") == {"Fe": 1, "S": 1, "O": 11, "H": 14}
    assert atoms("PtCl6^2-") == {"Pt": 1, "Cl": 6, "charge": -2}
    assert atoms("(NH4)2PtCl6") == {"N": 2, "H": 8, "Pt": 1, "Cl": 6}
    assert atoms("CO(NH2)2") == {"C": 1, "O": 1, "N": 2, "H": 4}


def test_every_part_of_the_job_has_its_reactions():
    for part, count in TRADE_COUNTS.items():
        assert all(f"R{part}.{number}" in REACTIONS for number in range(1, count + 1))


@pytest.mark.parametrize("row", REACTIONS.values(), ids=REACTIONS)
def test_reaction_balances_in_one_way_only(row):
    species, matrix, written = columns(row)
    side_reactions = row.get("side", [])
    assert matrix * sympy.Matrix(written) == sympy.zeros(matrix.rows, 1)
    assert len(matrix.nullspace()) == 1 + len(side_reactions)
    for text in side_reactions:
        left, right = sides(text)
        extra = sympy.zeros(len(species), 1)
        for formula, count in (*left.items(), *((formula, -count) for formula, count in right.items())):
            at = species.index(formula)
            extra[at] += count if at < len(sides(row["text"])[0]) else -count
        assert matrix * extra == sympy.zeros(matrix.rows, 1)


@pytest.mark.parametrize("row", [row for row in REACTIONS.values() if "side" not in row], ids=lambda row: row["id"])
def test_chempy_finds_the_same_coefficients(row):
    def respelt(formula):
        body, _, charge = formula.partition("^")
        return body.replace(".", "..") + (charge[-1] + charge[:-1] if charge else "")

    left, right = sides(row["text"])
    found = balance_stoichiometry({respelt(formula) for formula in left}, {respelt(formula) for formula in right})
    times = gcd(*left.values(), *right.values())
    for mine, theirs in zip((left, right), found, strict=True):
        assert {respelt(formula): count // times for formula, count in mine.items()} == dict(theirs)


def test_permanganate_takes_five_electrons_and_peroxide_gives_two():
    """Atoms and charge do not fix this one: peroxide may also fall apart by itself."""
    left, right = sides(REACTIONS["R11.2"]["text"])
    assert Fraction(left["H2O2"], left["MnO4^-"]) == Fraction(5, 2)
    assert right["O2"] == left["H2O2"]


@pytest.mark.parametrize(
    ("id", "text"),
    [
        pytest.param("R2.22", "3 Cu + 8 HNO3 -> 3 Cu(NO3)2 + 2 NO + 4 H2O", id="OpenStax Chemistry 2e, 18.7"),
        pytest.param("R3.2", "Au + 3 HNO3 + 4 HCl -> HAuCl4 + 3 NO2 + 3 H2O", id="OpenStax Chemistry 2e, 18.9"),
        pytest.param("R10.7", "FeCl3 + 3 NaOH -> FeO3H3 + 3 NaCl", id="OpenStax Chemistry 2e, 19.1 exercise"),
        pytest.param("R9.12", "3 NO2 + H2O -> 2 HNO3 + NO", id="OpenStax Chemistry 2e, 5.3 exercise"),
        pytest.param("R4.4", "H3NSO3 + H2O -> NH4HSO4", id="encyclopaedia article, sulfamic acid"),
    ],
)
def test_reaction_is_the_published_one(id, text):
    assert REACTIONS[id]["text"] == text


@pytest.mark.parametrize("row", REACTIONS.values(), ids=REACTIONS)
def test_reaction_says_what_it_is_in_a_line(row):
    assert 8 < len(row["about"]) < 120
    assert set(row) <= {"id", "text", "about", "source", "confidence", "side"}
