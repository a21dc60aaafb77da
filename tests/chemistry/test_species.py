"""What a formula is read as: atoms, charge, waters, and what is said when it is none."""

import pytest

from refinekit.chemistry.species import molar_mass, parse
from refinekit.errors import BadFormula


@pytest.mark.parametrize(
    ("formula", "elements", "charge"),
    [
        ("Cu", {"Cu": 1}, 0),
        ("HAuCl4", {"H": 1, "Au": 1, "Cl": 4}, 0),
        ("AuCl4^-", {"Au": 1, "Cl": 4}, -1),
        ("SO4^2-", {"S": 1, "O": 4}, -2),
        ("Hg2^2+", {"Hg": 2}, 2),
        ("H^+", {"H": 1}, 1),
        ("e^-", {}, -1),
        ("Cu(NO3)2", {"Cu": 1, "N": 2, "O": 6}, 0),
        ("Fe2(SO4)3", {"Fe": 2, "S": 3, "O": 12}, 0),
        ("(NH4)2Fe(SO4)2.6H2O", {"N": 2, "H": 20, "Fe": 1, "S": 2, "O": 14}, 0),
        ("K[Ag(CN)2]", {"K": 1, "Ag": 1, "C": 2, "N": 2}, 0),
        ("[Cu(NH3)4]^2+", {"Cu": 1, "N": 4, "H": 12}, 2),
        ("FeSO4.7H2O", {"Fe": 1, "S": 1, "O": 11, "H": 14}, 0),
        ("CuCl2·2H2O", {"Cu": 1, "Cl": 2, "H": 4, "O": 2}, 0),
        ("CuSO4*5H2O", {"Cu": 1, "S": 1, "O": 9, "H": 10}, 0),
        ("C12H22O11.H2O", {"C": 12, "H": 24, "O": 12}, 0),
        ("2H2O"[1:], {"H": 2, "O": 1}, 0),
    ],
)
def test_atoms_and_charge_of_a_formula(formula, elements, charge):
    read = parse(formula)
    assert (dict(read.elements), read.charge) == (elements, charge)


@pytest.mark.parametrize("formula", ["CaSO4.0.5H2O", "CaSO4.1/2H2O"])
def test_half_a_water_is_not_five(formula):
    assert parse(formula).elements == {"Ca": 1, "S": 1, "O": 4.5, "H": 1}


@pytest.mark.parametrize(
    ("formula", "elements"),
    [("Fe0.95O", {"Fe": 0.95, "O": 1}), ("Cu1.8S", {"Cu": 1.8, "S": 1}), ("Ni0.5Zn0.5O", {"Ni": 0.5, "Zn": 0.5, "O": 1})],
)
def test_a_decimal_count_is_not_a_hydrate(formula, elements):
    assert parse(formula).elements == elements


@pytest.mark.parametrize(
    ("formula", "says"),
    [
        ("", "is not a formula\n  Try: write it as in CuCl2"),
        ("H" * 201, "is not a formula"),
        ("Xx2O", "holds 'Xx', which is no element\n  Try: check the capitals"),
        ("cu", "cannot be read at 'cu'\n  Try: elements start with a capital"),
        ("Cu(OH2", "open bracket"),
        ("CuOH)2", "closes a bracket that was not opened"),
        ("Cu()2", "holds nothing"),
        ("2HCl", "has the number 2 with nothing before it"),
        ("CuO0", "has the count 0"),
        ("CuSO4.0H2O", "has the count 0"),
        ("CaSO4.1/0H2O", "cannot be read"),
        ("SO4^0-", "cannot be read"),
        ("SO4^200-", "cannot be read"),
        ("Cu^2", "cannot be read"),
        ("e", "cannot be read"),
    ],
)
def test_what_is_no_formula_is_told_apart(formula, says):
    with pytest.raises(BadFormula) as error:
        parse(formula)
    assert says in str(error.value)


@pytest.mark.parametrize(
    ("formula", "g_per_mol"),
    [  # printed figures, OpenStax Chemistry 2e, Sec. 3.1, module m68700
        pytest.param("CHCl3", 119.37, id="chloroform, Sec. 3.1"),
        pytest.param("C9H8O4", 180.15, id="aspirin, Sec. 3.1"),
        pytest.param("NaCl", 58.44, id="table salt, Sec. 3.1"),
        pytest.param("C13H18O2", 206.27, id="ibuprofen, Sec. 3.1"),
        pytest.param("Ca3(PO4)2", 310.18, id="calcium phosphate, Sec. 3.1"),
        pytest.param("Al2(SO4)3", 342.14, id="aluminium sulfate, Sec. 3.1"),
    ],
)
def test_printed_formula_masses(formula, g_per_mol):
    assert molar_mass(formula) == pytest.approx(g_per_mol, abs=0.02)  # the book adds rounded atomic masses
