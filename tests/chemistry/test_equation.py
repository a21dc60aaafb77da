"""Equations as people write them, what does not balance, and the reactions of the trade by their keys."""

import subprocess
import sys

import numpy as np
import pytest

from refinekit.chemistry.equation import Equation, reaction, reactions
from refinekit.chemistry.equation_text import read_formula
from refinekit.errors import BadFormula, UnknownName


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("Cu + 2 HCl + H2O2 -> CuCl2 + 2 H2O", "Cu + 2 HCl + H2O2 -> CuCl2 + 2 H2O"),
        ("Cu+2HCl+H2O2->CuCl2+2H2O", "Cu + 2 HCl + H2O2 -> CuCl2 + 2 H2O"),
        ("2 H2 + O2 = 2 H2O", "2 H2 + O2 -> 2 H2O"),
        ("2 H2 + O2 => 2 H2O", "2 H2 + O2 -> 2 H2O"),
        ("2 H2 + O2 → 2 H2O", "2 H2 + O2 -> 2 H2O"),
        ("2 H2 + O2 ⇌ 2 H2O", "2 H2 + O2 -> 2 H2O"),
        ("2 H2 + O2 --> 2 H2O", "2 H2 + O2 -> 2 H2O"),
        ("2 H2 + O2 <=> 2 H2O", "2 H2 + O2 -> 2 H2O"),
        ("NO + 1/2 O2 -> NO2", "NO + 1/2 O2 -> NO2"),
        ("NO + ½O2 -> NO2", "NO + 1/2 O2 -> NO2"),
        ("NO + 0.5 O2 -> NO2", "NO + 1/2 O2 -> NO2"),
        ("Cu²⁺ + SO₄²⁻ → CuSO₄", "Cu^2+ + SO4^2- -> CuSO4"),
        ("Cu^{2+} + H_2O <=> Cu(OH)^+ + H^+", "Cu^2+ + H2O -> Cu(OH)^+ + H^+"),
        ("SO4-- + Ba++ = BaSO4(s)", "SO4^2- + Ba^2+ -> BaSO4"),
        ("SO4-2 + Ba+2 = BaSO4", "SO4^2- + Ba^2+ -> BaSO4"),
        ("SO42- + Ba2+ = BaSO4", "SO4^2- + Ba^2+ -> BaSO4"),
        ("SO4 2- + Ba 2+ = BaSO4", "SO4^2- + Ba^2+ -> BaSO4"),
        ("Fe3+ + e- -> Fe2+", "Fe^3+ + e^- -> Fe^2+"),
        ("Cu2++2e-->Cu", "Cu^2+ + 2 e^- -> Cu"),
        ("2 Cl--> Cl2 + 2 e^-", "2 Cl^- -> Cl2 + 2 e^-"),
        ("Hg2++ + 2 e- -> 2 Hg", "Hg2^2+ + 2 e^- -> 2 Hg"),
        ("Al(OH)4- -> Al(OH)3 + OH-", "Al(OH)4^- -> Al(OH)3 + OH^-"),
        ("2K[Ag(CN)2] + Zn -> 2Ag + Zn(CN)2 + 2KCN", "2 K(Ag(CN)2) + Zn -> 2 Ag + Zn(CN)2 + 2 KCN"),
        ("CuSO4·5H2O -> CuSO4 + 5H2O", "CuSO4.5H2O -> CuSO4 + 5 H2O"),
        ("CuSO4 * 5 H2O -> CuSO4 + 5 H2O", "CuSO4.5H2O -> CuSO4 + 5 H2O"),
        ("AgNO3(aq)+ NaCl (aq) → AgCl(s)↓ + NaNO3(aq)", "AgNO3 + NaCl -> AgCl + NaNO3"),
        ("HCl + HCl + Zn -> ZnCl2 + H2", "2 HCl + Zn -> ZnCl2 + H2"),
    ],
)
def test_the_many_ways_to_write_an_equation(written, read):
    equation = Equation.parse(written)
    assert str(equation) == read
    assert equation.is_balanced


def test_states_are_kept_beside_the_formulas():
    assert Equation.parse("AgNO3(aq) + NaCl(aq) -> AgCl(s) + NaNO3 (aq)").states == {
        "AgNO3": "aq",
        "NaCl": "aq",
        "AgCl": "s",
        "NaNO3": "aq",
    }


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "has no arrow"),
        ("Cu + HCl", "has no arrow\n  Try: write it as in"),
        ("Cu -> CuO -> CuCl2", "has 2 arrows"),
        ("Cu -> ", "has nothing on the right"),
        ("-> Cu", "has nothing on the left"),
        ("cu + hcl -> cucl2", "no formula can be read here:\n  cu + hcl \n  ^"),
        ("Cu + + HCl -> CuCl2", "no formula can be read here:\n  Cu + + HCl \n      ^"),
        ("Cu & HCl -> CuCl2", "only a + can stand between substances:\n  Cu & HCl \n     ^"),
        ("H+ Cl- -> HCl", "this + can be a charge or stand between substances:\n  H+ Cl- \n   ^"),
        ("O2- -> O2 + e-", "O2- can be O^2- or O2^-\n  Try: write the charge with a caret"),
        ("I2 + I- -> I3-", "I3- can be I^3- or I3^-"),
        ("0 Cu -> CuO", "0 is no number of molecules"),
        ("1/0 Cu -> CuO", "1/0 is no number of molecules"),
        ("12345678901234 Cu -> CuO", "123456789012 is no number of molecules"),
        ("Xx + O2 -> XxO", "'Xx' holds 'Xx', which is no element"),
        ("x" * 5000, "an equation of 5000 characters is too long"),
    ],
)
def test_what_cannot_be_read_is_shown_where_it_is_bad(text, says):
    with pytest.raises(BadFormula) as error:
        Equation.parse(text)
    assert says in str(error.value)
    assert "\n  Try: " in str(error.value)


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("Cu2+", "Cu^2+"),
        ("MnO4-", "MnO4^-"),
        ("PtCl62-", "PtCl6^2-"),
        ("e-", "e^-"),
        (" HCl ", "HCl"),
        ("B12H12--", "B12H12^2-"),
        ("B12H122-", "B12H12^2-"),
        ("B12H12-", "B12H12^-"),
    ],
)
def test_one_formula_by_itself(written, read):
    assert read_formula(written) == read


@pytest.mark.parametrize("text", ["2 HCl", "HCl + Cu", "copper", ""])
def test_more_or_less_than_one_formula_is_refused(text):
    with pytest.raises(BadFormula):
        read_formula(text)


@pytest.mark.parametrize(
    ("text", "gaps"),
    [
        ("Cu + HCl -> CuCl2", {"H": -1, "Cl": 1}),
        ("Cu + Ag^+ -> Cu^2+ + Ag", {"charge": 1}),
        ("NO + O2 -> NO2", {"O": -1}),
        ("H2 + 1/2 O2 -> H2O", {}),
        ("Fe0.95O + 2 HCl -> 0.95 FeCl2 + H2O", {"Cl": -0.1}),
    ],
)
def test_imbalance_is_what_comes_out_less_what_goes_in(text, gaps):
    equation = Equation.parse(text)
    assert equation.imbalance() == pytest.approx(gaps)
    assert equation.is_balanced is (not gaps)


def test_mole_ratio_is_moles_of_the_first_for_one_of_the_second():
    leach = Equation.parse("2 Cu + 4 HCl + O2 -> 2 CuCl2 + 2 H2O")
    assert leach.mole_ratio("HCl", "Cu") == 2
    assert leach.mole_ratio("O2", "CuCl2") == 0.5
    assert Equation.parse("Cu + 2 Ag^+ -> Cu^2+ + 2 Ag").mole_ratio("Ag+", "Cu2+") == 2


def test_mole_ratio_of_a_stranger_names_the_equations_own():
    with pytest.raises(UnknownName, match=r"'HNO3' is not in Zn \+ 2 HCl -> ZnCl2 \+ H2\n  Try: one of Zn, HCl, ZnCl2, H2"):
        Equation.parse("Zn + 2 HCl -> ZnCl2 + H2").mole_ratio("HNO3", "Zn")


def test_numbers_carry_arrays_of_amounts():
    """A coefficient times an array must stay an array of floats, never of objects."""
    amounts = np.array([1.0, 2.0])
    for count in Equation.parse("NO + 1/2 O2 -> NO2").left.values():
        assert (amounts * count).dtype == float


def test_net_is_products_less_what_is_used_up():
    assert Equation.parse("2 H2 + O2 -> 2 H2O").net == {"H2": -2, "O2": -1, "H2O": 2}


def test_smallest_and_times_keep_the_proportions():
    assert str(Equation.parse("H2 + 1/2 O2 -> H2O").smallest()) == "2 H2 + O2 -> 2 H2O"
    assert str(Equation.parse("4 H2 + 2 O2 -> 4 H2O").smallest()) == "2 H2 + O2 -> 2 H2O"
    assert str(Equation.parse("2 H2 + O2 -> 2 H2O").times(0.5)) == "H2 + 1/2 O2 -> H2O"


@pytest.mark.parametrize("key", reactions())
def test_reaction_of_the_trade_reads_balanced_and_by_its_key(key):
    equation = reaction(key)
    assert equation.is_balanced
    assert equation.id == key
    assert Equation.parse(str(equation)) == Equation(equation.left, equation.right)


def test_a_reaction_nobody_wrote_down_names_near_ones():
    with pytest.raises(UnknownName, match=r"there is no reaction 'R2\.99'\n  Try: .*R2\.9"):
        reaction("R2.99")


def test_reactions_are_read_without_sympy():
    code = "import sys; from refinekit.chemistry.equation import reaction; reaction('R2.3'); print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert "sympy" not in loaded
