"""Oxidation numbers, half-reactions and ionic equations."""

from fractions import Fraction

import pytest

from refinekit.chemistry.equation import Equation, reaction, reactions
from refinekit.chemistry.equation_halves import Halves, NotSplit, half_reactions
from refinekit.chemistry.equation_ions import ionic, ions_of, struck_out
from refinekit.chemistry.equation_oxidation import oxidation_numbers
from refinekit.errors import BadFormula
from refinekit.facts.load import table


@pytest.mark.parametrize(
    ("formula", "element", "numbers"),
    [
        # OpenStax Chemistry 2e, Sec. 4.2, worked example and its Check Your Learning, module m68710
        ("H2S", "S", [-2]),
        ("SO3^2-", "S", [4]),
        ("Na2SO4", "S", [6]),
        ("KNO3", "N", [5]),
        ("AlH3", "H", [-1]),
        ("NH4^+", "N", [-3]),
        ("H2PO4^-", "P", [5]),
        # the same section: redox reactions described
        ("H2O2", "O", [-1]),
        ("C2H4", "C", [-2]),
        ("GaBr3", "Ga", [3]),
        # general chemistry; each follows from the sum over the formula
        ("Cu", "Cu", [0]),
        ("Hg2^2+", "Hg", [1]),
        ("NH4NO3", "N", [-3, 5]),
        ("Cu(NO3)2", "Cu", [2]),
        ("FeSO4.7H2O", "Fe", [2]),
        ("(NH4)2Fe(SO4)2.6H2O", "Fe", [2]),
        ("KMnO4", "Mn", [7]),
        ("Cr2O7^2-", "Cr", [6]),
        ("AuCl4^-", "Au", [3]),
        ("CuCl2^-", "Cu", [1]),
        ("H2PtCl6", "Pt", [4]),
        ("NOCl", "N", [3]),
        ("NaOCl", "Cl", [1]),
        ("OCl^-", "Cl", [1]),
        ("OBr^-", "O", [-2]),
        ("AgClO3", "Cl", [5]),
        ("KO2", "O", [Fraction(-1, 2)]),
        ("OF2", "O", [2]),
        ("I3^-", "I", [Fraction(-1, 3)]),
        ("S4O6^2-", "S", [Fraction(5, 2)]),
        ("Fe3O4", "Fe", [Fraction(8, 3)]),
        ("Cu2(OH)3Cl", "Cu", [2]),
        ("Ag(NH3)2^+", "Ag", [1]),
        ("K4Fe(CN)6", "Fe", [2]),
        ("H3NSO3", "S", [6]),
        ("Ag2S", "Ag", [1]),
        ("Bi2S3", "Bi", [3]),
    ],
)
def test_oxidation_numbers(formula, element, numbers):
    assert list(oxidation_numbers(formula)[element]) == numbers


BEYOND_THE_RULES = {"C4H8N2O2", "PdC8H14N4O4", "CH5N3O4", "N2H6SO4", "Cu2CO5H2"}
"""Species with two elements the rules leave open, or with the same element in two places."""


@pytest.mark.parametrize(
    "formula", [row["formula"] for row in table("species")["species"] if row["formula"] not in BEYOND_THE_RULES]
)
def test_oxidation_numbers_add_up_to_the_charge(formula):
    charge = {"+": 1, "-": -1}.get(formula[-1], 0) * int(formula.partition("^")[2][:-1] or 1)
    numbers = oxidation_numbers(formula)
    assert sum(number * atoms for held in numbers.values() for number, atoms in held.items()) == charge


@pytest.mark.parametrize("formula", [*sorted(BEYOND_THE_RULES), "Cu2Fe(CN)6"])
def test_what_the_rules_leave_open_is_not_guessed(formula):
    with pytest.raises(BadFormula, match="the rules do not tell the oxidation numbers in"):
        oxidation_numbers(formula)


@pytest.mark.parametrize(
    ("equation", "oxidation", "reduction", "electrons"),
    [
        # OpenStax Chemistry 2e, Sec. 4.2, balancing redox reactions in acid, module m68710
        pytest.param(
            "Cr2O7^2- + Fe^2+ + H^+ -> Cr^3+ + Fe^3+ + H2O",
            "Fe^2+ -> Fe^3+ + e^-",
            "Cr2O7^2- + 14 H^+ + 6 e^- -> 2 Cr^3+ + 7 H2O",
            6,
            id="OpenStax 4.2, dichromate and iron",
        ),
        pytest.param("Na + Cl2 -> NaCl", "Na -> Na^+ + e^-", "Cl2 + 2 e^- -> 2 Cl^-", 2, id="OpenStax 4.2, sodium and chlorine"),
        # the halves below stand in tables of standard potentials (OpenStax Chemistry 2e, Appendix L, from memory)
        ("Cu + HNO3 -> Cu(NO3)2 + NO + H2O", "Cu -> Cu^2+ + 2 e^-", "NO3^- + 4 H^+ + 3 e^- -> NO + 2 H2O", 6),
        ("Cu + HNO3 -> Cu(NO3)2 + NO2 + H2O", "Cu -> Cu^2+ + 2 e^-", "NO3^- + 2 H^+ + e^- -> NO2 + H2O", 2),
        ("Au + HNO3 + HCl -> HAuCl4 + NO + H2O", "Au + 4 Cl^- -> AuCl4^- + 3 e^-", "NO3^- + 4 H^+ + 3 e^- -> NO + 2 H2O", 3),
        ("KMnO4 + HCl -> KCl + MnCl2 + Cl2 + H2O", "2 Cl^- -> Cl2 + 2 e^-", "MnO4^- + 8 H^+ + 5 e^- -> Mn^2+ + 4 H2O", 10),
        ("Pb + PbO2 + H2SO4 -> PbSO4 + H2O", "Pb + SO4^2- -> PbSO4 + 2 e^-", "PbO2 + SO4^2- + 4 H^+ + 2 e^- -> PbSO4 + 2 H2O", 2),
        ("H2O2 -> H2O + O2", "H2O2 -> O2 + 2 H^+ + 2 e^-", "H2O2 + 2 H^+ + 2 e^- -> 2 H2O", 2),
        ("AgCl + Zn -> Ag + ZnCl2", "Zn -> Zn^2+ + 2 e^-", "AgCl + e^- -> Ag + Cl^-", 2),
        ("H2O -> H2 + O2", "2 H2O -> O2 + 4 H^+ + 4 e^-", "2 H^+ + 2 e^- -> H2", 4),
        ("I2 + S2O3^2- -> I^- + S4O6^2-", "2 S2O3^2- -> S4O6^2- + 2 e^-", "I2 + 2 e^- -> 2 I^-", 2),
        # one element up and down, ligands that ride along, two elements at once
        ("Cu + Cu^2+ + Cl^- -> CuCl2^-", "Cu + 2 Cl^- -> CuCl2^- + e^-", "Cu^2+ + 2 Cl^- + e^- -> CuCl2^-", 1),
        ("Cl2 + OH^- -> Cl^- + ClO3^- + H2O", "Cl2 + 6 H2O -> 2 ClO3^- + 12 H^+ + 10 e^-", "Cl2 + 2 e^- -> 2 Cl^-", 5),
        ("Au + Cl2 + HCl -> HAuCl4", "Au + 4 Cl^- -> AuCl4^- + 3 e^-", "Cl2 + 2 e^- -> 2 Cl^-", 6),
        ("HNO3 + HCl -> NOCl + Cl2 + H2O", "2 Cl^- -> Cl2 + 2 e^-", "NO3^- + Cl^- + 4 H^+ + 2 e^- -> NOCl + 2 H2O", 2),
        ("NH4NO3 -> N2O + H2O", "2 NH4^+ + H2O -> N2O + 10 H^+ + 8 e^-", "2 NO3^- + 10 H^+ + 8 e^- -> N2O + 5 H2O", 4),
        ("FeS2 + O2 -> Fe2O3 + SO2", "2 FeS2 + 11 H2O -> Fe2O3 + 4 SO2 + 22 H^+ + 22 e^-", "O2 + 4 H^+ + 4 e^- -> 2 H2O", 44),
        ("Au + CN^- + O2 + H2O -> Au(CN)2^- + OH^-", "Au + 2 CN^- -> Au(CN)2^- + e^-", "O2 + 4 H^+ + 4 e^- -> 2 H2O", 4),
    ],
)
def test_half_reactions(equation, oxidation, reduction, electrons):
    halves = half_reactions(equation)
    assert isinstance(halves, Halves)
    assert (str(halves.oxidation), str(halves.reduction), halves.electrons) == (oxidation, reduction, electrons)


def test_what_is_oxidised_and_reduced_is_named():
    assert [str(change) for change in half_reactions("Cu + AgNO3 -> Cu(NO3)2 + Ag").changes] == ["Cu 0 to +2", "Ag +1 to 0"]


@pytest.mark.parametrize(
    ("equation", "because"),
    [
        ("AgNO3 + NaCl -> AgCl + NaNO3", "no oxidation number changes"),
        ("HCl + NaOH -> NaCl + H2O", "no oxidation number changes"),
        ("Cu -> Cu^2+ + 2 e^-", "it is a half-reaction already"),
        ("CuFeS2 + O2 -> Cu2S + FeS + SO2", "the rules do not tell the oxidation numbers in CuFeS2"),
    ],
)
def test_where_there_are_no_halves_it_says_why(equation, because):
    halves = half_reactions(equation)
    assert isinstance(halves, NotSplit)
    assert because in halves.because


def test_an_unbalanced_equation_is_not_split():
    with pytest.raises(BadFormula, match=r"Cu \+ Ag\^\+ -> Cu\^2\+ \+ Ag does not balance in charge\n  Try: balance it first"):
        half_reactions(Equation.parse("Cu + Ag^+ -> Cu^2+ + Ag"))


@pytest.mark.parametrize("key", [key for key in reactions() if isinstance(half_reactions(reaction(key)), Halves)])
def test_halves_of_the_trades_reactions_add_up_to_them(key):
    """What is left when both halves are taken from the net ionic equation changes no oxidation number: acid, base or salt."""
    halves = half_reactions(reaction(key))
    assert halves.oxidation.is_balanced
    assert halves.reduction.is_balanced
    assert "e^-" in halves.oxidation.right
    assert "e^-" in halves.reduction.left
    left_over = dict(struck_out(ionic(reaction(key)).full).net)
    for half in (halves.oxidation, halves.reduction):
        times = Fraction(halves.electrons).limit_denominator(1000) / Fraction(abs(half.net["e^-"]))
        for formula, count in half.net.items():
            left_over[formula] = left_over.get(formula, 0) - times * Fraction(count)
    carried = {
        element: sum(
            count * number * atoms
            for formula, count in left_over.items()
            if formula != "e^-"
            for number, atoms in oxidation_numbers(formula).get(element, {}).items()
        )
        for element in ("Au", "Ag", "Cu", "Fe", "N", "S", "Cl", "O", "H")
    }
    assert left_over["e^-"] == 0
    assert not any(carried.values())


def test_most_reactions_of_the_trade_are_redox_and_split():
    split = [key for key in reactions() if isinstance(half_reactions(reaction(key)), Halves)]
    assert len(split) > 70


@pytest.mark.parametrize(
    ("equation", "net", "spectators"),
    [
        # OpenStax Chemistry 2e, Sec. 4.2, modules m68709 and m68710
        pytest.param(
            "AgNO3 + NaCl -> AgCl + NaNO3", "Ag^+ + Cl^- -> AgCl", {"NO3^-", "Na^+"}, id="OpenStax 4.2, silver chloride"
        ),
        pytest.param("KI + Pb(NO3)2 -> PbI2 + KNO3", "2 I^- + Pb^2+ -> PbI2", {"K^+", "NO3^-"}, id="OpenStax 4.2, lead iodide"),
        pytest.param(
            "K2SO4 + Ba(NO3)2 -> KNO3 + BaSO4", "SO4^2- + Ba^2+ -> BaSO4", {"K^+", "NO3^-"}, id="OpenStax 4.2, barium sulfate"
        ),
        pytest.param(
            "(NH4)2CO3 + Pb(NO3)2 -> PbCO3 + NH4NO3",
            "CO3^2- + Pb^2+ -> PbCO3",
            {"NH4^+", "NO3^-"},
            id="OpenStax 4.2, lead carbonate",
        ),
        # general chemistry
        ("HCl + NaOH -> NaCl + H2O", "H^+ + OH^- -> H2O", {"Cl^-", "Na^+"}),
        ("CuCl2 + Fe -> Cu + FeCl2", "Cu^2+ + Fe -> Cu + Fe^2+", {"Cl^-"}),
        ("HAuCl4 + FeSO4 -> Au + Fe2(SO4)3 + FeCl3 + HCl", "AuCl4^- + 3 Fe^2+ -> Au + 3 Fe^3+ + 4 Cl^-", {"H^+", "SO4^2-"}),
        ("FeCl3 + NaOH -> Fe(OH)3 + NaCl", "Fe^3+ + 3 OH^- -> Fe(OH)3", {"Cl^-", "Na^+"}),
        ("K2Cr2O7 + Pb(NO3)2 -> PbCr2O7 + KNO3", "Cr2O7^2- + Pb^2+ -> PbCr2O7", {"K^+", "NO3^-"}),
    ],
)
def test_net_ionic_equation(equation, net, spectators):
    got = ionic(equation)
    assert str(got.net) == net
    assert set(got.spectators) == spectators
    assert got.full.is_balanced
    assert got.net.is_balanced


def test_where_every_ion_looks_on_nothing_is_left():
    got = ionic("NaCl + KNO3 -> KCl + NaNO3")
    assert (got.net.left, got.net.right) == ({}, {})
    assert set(got.spectators) == {"Na^+", "Cl^-", "K^+", "NO3^-"}


def test_what_is_marked_solid_stays_whole():
    assert str(ionic("Ca(OH)2(s) + 2 HCl -> CaCl2 + 2 H2O").net) == "Ca(OH)2 + 2 H^+ -> Ca^2+ + 2 H2O"


@pytest.mark.parametrize(
    ("formula", "ions"),
    [
        ("HCl", {"H^+": 1, "Cl^-": 1}),
        ("Cr2(SO4)3", {"Cr^3+": 2, "SO4^2-": 3}),
        ("(NH4)2SO4", {"NH4^+": 2, "SO4^2-": 1}),
        ("MgSO4.7H2O", {"Mg^2+": 1, "SO4^2-": 1, "H2O": 7}),
        ("HClO4", {"H^+": 1, "ClO4^-": 1}),
        ("KSCN", {"K^+": 1, "SCN^-": 1}),
        # whole: weak acids, what does not dissolve, molecules, complexes, metals that keep their chlorides
        ("HNO2", {"HNO2": 1}),
        ("CH3COOH", {"CH3COOH": 1}),
        ("AgBr", {"AgBr": 1}),
        ("PbSO4", {"PbSO4": 1}),
        ("CuI", {"CuI": 1}),
        ("AuCl3", {"AuCl3": 1}),
        ("NOCl", {"NOCl": 1}),
        ("AuCl4^-", {"AuCl4^-": 1}),
        ("Cu(OH)2", {"Cu(OH)2": 1}),
        ("BaOH2", {"BaOH2": 1}),  # one oxygen: not Ba(OH)2
        ("CaCN2", {"CaCN2": 1}),  # calcium cyanamide is no cyanide
    ],
)
def test_ions_a_formula_falls_into(formula, ions):
    assert ions_of(formula) == ions
