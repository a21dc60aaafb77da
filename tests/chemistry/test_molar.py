"""Molar masses by formula and by name, shares by weight, grams to moles and back."""

import numpy as np
import pytest

from refinekit.chemistry.molar import molar
from refinekit.errors import BadFormula, OutOfRange, UnknownName


@pytest.mark.parametrize(
    ("asked", "formula"),
    [
        ("copperas", "FeSO4.7H2O"),
        ("SMB", "Na2S2O5"),
        ("Muriatic  acid", "HCl"),
        ("aqua fortis", "HNO3"),
        ("hcl", "HCl"),
        ("FeSO4.7H2O", "FeSO4.7H2O"),
        ("Cu2+", "Cu^2+"),
        ("K[Ag(CN)2]", "K(Ag(CN)2)"),
        ("CO", "CO"),
        ("Co", "Co"),
    ],
)
def test_formulas_and_names_are_read(asked, formula):
    assert molar(asked).formula == formula


@pytest.mark.parametrize(
    ("formula", "element", "percent"),
    [  # printed figures, OpenStax Chemistry 2e, Sec. 3.2, from memory
        pytest.param("C9H8O4", "C", 60.00, id="aspirin, carbon"),
        pytest.param("C9H8O4", "H", 4.476, id="aspirin, hydrogen"),
        pytest.param("C9H8O4", "O", 35.52, id="aspirin, oxygen"),
    ],
)
def test_share_of_an_element_by_weight(formula, element, percent):
    parts = {part.element: part.percent for part in molar(formula).parts}
    assert parts[element] == pytest.approx(percent, abs=0.02)
    assert sum(parts.values()) == pytest.approx(100)


def test_water_of_the_crystals_counts():
    """278.01 g/mol, 20.1 % iron: 55.845 + 32.06 + 11 x 15.999 + 14 x 1.008."""
    copperas = molar("copperas")
    assert copperas.g_per_mol == pytest.approx(278.006, abs=0.0005)
    assert copperas.parts[0].percent == pytest.approx(100 * 55.845 / 278.006)


def test_grams_and_moles_undo_each_other():
    gold = molar("Au")
    grams = np.array([0.0, 1.0, 196.96657])
    assert gold.amount_mol(grams)[-1] == pytest.approx(1)
    assert gold.mass_g(gold.amount_mol(grams)) == pytest.approx(grams)


def test_a_name_of_two_things_shows_the_other():
    assert molar("saltpetre").formula == "KNO3"
    assert molar("saltpetre").also == ("NaNO3",)


@pytest.mark.parametrize(
    ("asked", "error", "says"),
    [
        ("copprs", UnknownName, "nothing here is called 'copprs'\n  Try: did you mean 'copperas'"),
        ("unobtainium", UnknownName, "nothing here is called 'unobtainium'"),
        ("", UnknownName, "nothing here is called ''"),
        ("Xx2", BadFormula, "holds 'Xx', which is no element"),
        ("2 HCl", BadFormula, "has the number 2 with nothing before it\n  Try: did you mean 'HCl'"),
        ("e^-", UnknownName, "an electron has no weight here"),
    ],
)
def test_what_is_neither_formula_nor_name(asked, error, says):
    with pytest.raises(error) as fault:
        molar(asked)
    assert says in str(fault.value)


@pytest.mark.parametrize("amount", [-1.0, float("nan"), np.array([1.0, -2.0])])
def test_less_than_nothing_is_no_amount(amount):
    with pytest.raises(OutOfRange, match="is no amount\n  Try: give 0 or more"):
        molar("Au").mass_g(amount)
    with pytest.raises(OutOfRange, match="is no amount"):
        molar("Au").amount_mol(amount)
