"""Atomic weights against the standard table of 2021, and molar masses added up from it by hand."""

import json
from pathlib import Path

import pytest

from refinekit.chemistry.species import atomic_weight, molar_mass

TABLE = json.loads((Path(__file__).parents[1] / "data/atomic_weights_2021.json").read_text())
"""Prohaska, T. et al., Pure Appl. Chem. 94 (2022) 573-600."""
WEIGHT = TABLE["weights"]


@pytest.mark.parametrize("element", WEIGHT)
def test_atomic_weight_is_the_standard_one(element):
    assert atomic_weight(element) == pytest.approx(WEIGHT[element], abs=1e-9)


@pytest.mark.parametrize(
    ("formula", "atoms"),
    [
        ("HCl", {"H": 1, "Cl": 1}),
        ("HNO3", {"H": 1, "N": 1, "O": 3}),
        ("HAuCl4", {"H": 1, "Au": 1, "Cl": 4}),
        ("AuCl4^-", {"Au": 1, "Cl": 4}),
        ("Na2S2O5", {"Na": 2, "S": 2, "O": 5}),
        ("FeSO4.7H2O", {"Fe": 1, "S": 1, "O": 11, "H": 14}),
        ("Cu(NO3)2", {"Cu": 1, "N": 2, "O": 6}),
        ("H3NSO3", {"H": 3, "N": 1, "S": 1, "O": 3}),
        ("Na2B4O7.10H2O", {"Na": 2, "B": 4, "O": 17, "H": 20}),
        ("PdC8H14N4O4", {"Pd": 1, "C": 8, "H": 14, "N": 4, "O": 4}),
    ],
)
def test_molar_mass_is_the_sum_of_its_atoms(formula, atoms):
    assert molar_mass(formula) == pytest.approx(sum(count * WEIGHT[element] for element, count in atoms.items()), rel=1e-12)


def test_the_weights_kept_are_those_of_the_library():
    from periodictable import elements

    for element in elements:
        if element.number:
            assert atomic_weight(element.symbol) == element.mass


def test_weights_are_read_anew_where_none_can_be_kept(monkeypatch):
    import refinekit.chemistry.species as species

    kept = dict(species._weights())
    monkeypatch.setattr(species, "find_spec", lambda name: None)
    assert species._weights.__wrapped__() == kept
