"""Balancing, and what is said when an equation will not balance."""

import pytest

from refinekit.chemistry.balance import balance, working
from refinekit.chemistry.equation import Equation
from refinekit.errors import BadFormula

MIXTURE = "H2O2 + MnO4^- + H^+ -> Mn^2+ + O2 + H2O"


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("Cu + HCl + H2O2 -> CuCl2 + H2O", "Cu + 2 HCl + H2O2 -> CuCl2 + 2 H2O"),
        ("4 H2 + 9 O2 -> H2O", "2 H2 + O2 -> 2 H2O"),
        ("H2 + 1/2 O2 -> H2O", "2 H2 + O2 -> 2 H2O"),
        ("MnO4- + Fe2+ + H+ -> Mn2+ + Fe3+ + H2O", "MnO4^- + 5 Fe^2+ + 8 H^+ -> Mn^2+ + 5 Fe^3+ + 4 H2O"),
        (
            "HAuCl4 + FeSO4.7H2O -> Au + Fe2(SO4)3 + FeCl3 + HCl + H2O",
            "HAuCl4 + 3 FeSO4.7H2O -> Au + Fe2(SO4)3 + FeCl3 + HCl + 21 H2O",
        ),
        ("CaSO4.0.5H2O + H2O -> CaSO4.2H2O", "2 CaSO4.0.5H2O + 3 H2O -> 2 CaSO4.2H2O"),
        ("Fe0.95O + HCl -> FeCl2 + FeCl3 + H2O", "20 Fe0.95O + 40 HCl -> 17 FeCl2 + 2 FeCl3 + 20 H2O"),
        ("NO3^- + H^+ + e^- -> NO + H2O", "NO3^- + 4 H^+ + 3 e^- -> NO + 2 H2O"),
        ("O3 -> O2", "2 O3 -> 3 O2"),
    ],
)
def test_smallest_whole_numbers(text, numbers):
    assert str(balance(text)) == numbers


@pytest.mark.parametrize(
    ("text", "says", "cure"),
    [
        # an element on one side only
        ("Cu + HCl -> CuCl2", "H is on the left only: nothing on the right holds it", "add on the right what H becomes"),
        (
            "Cu + HCl -> CuCl2 + H2 + Na2O",
            "Na and O are on the right only: nothing on the left holds them",
            "what Na and O come from",
        ),
        ("H2 + O2 + Cu -> H2O", "Cu is on the left only", "add on the right what Cu becomes"),
        # ... where water, acid or electrons are what is missing
        ("Cu + HNO3 -> Cu(NO3)2 + NO", "H is on the left only", 'add H2O: "3 Cu + 8 HNO3 -> 3 Cu(NO3)2 + 2 NO + 4 H2O"'),
        ("Cr2O7^2- + Fe^2+ -> Cr^3+ + Fe^3+", "O is on the left only", 'add H^+ and H2O: "Cr2O7^2- + 6 Fe^2+ + 14 H^+ -> '),
        ("MnO4^- + SO3^2- -> MnO2 + SO4^2-", "cannot", "add H^+ and H2O"),
        # ... and what of it stands there already is not asked for again
        ("MnO4^- + H^+ -> Mn^2+", "left only", 'add H2O and e^-: "MnO4^- + 8 H^+ + 5 e^- -> Mn^2+ + 4 H2O"'),
        # charge
        ("Cu -> Cu^2+", "the atoms of Cu -> Cu^2+ can be balanced, its charge cannot", 'add e^-: "Cu -> Cu^2+ + 2 e^-"'),
        ("Cu^2+ + Cl^- -> CuCl2^-", "its charge cannot", 'add e^-: "Cu^2+ + 2 Cl^- + e^- -> CuCl2^-"'),
        # no proportion
        ("CO2 -> CO", "no numbers balance CO2 -> CO: C and O cannot come out together", "water, acid or a gas may be missing"),
        # wrong side
        (
            "Cu + HCl + H2O -> CuCl2 + H2O2",
            "H2O belongs on the right and H2O2 belongs on the left",
            '"Cu + 2 HCl + H2O2 -> CuCl2 + 2 H2O"',
        ),
        ("H2O + H2 -> O2", "below zero: H2 belongs on the right", '"2 H2O -> O2 + 2 H2"'),
        # no part
        ("H2O -> H^+ + OH^- + H2O2", "H2O2 can take no part: the rest balances without", "leave out H2O2"),
        ("NO + NO2 + N2O -> N2O4", "NO and N2O can take no part as written", "leave out NO and N2O"),
        # more than one answer
        (
            "Cu + HNO3 -> Cu(NO3)2 + NO + NO2 + H2O",
            "has more than one answer: it mixes 2 reactions, in any proportion\n"
            "    Cu + 4 HNO3 -> Cu(NO3)2 + 2 NO2 + 2 H2O\n    3 Cu + 8 HNO3 -> 3 Cu(NO3)2 + 2 NO + 4 H2O\n"
            "  what differs: NO, NO2",
            "balance one of these by itself",
        ),
        (MIXTURE, "2 H2O2 -> O2 + 2 H2O\n  what differs: H2O2, MnO4^-, H^+, Mn^2+", "write all the numbers"),
        (
            "C + H2 + O2 + N2 + S -> CO + CO2 + NO + NO2 + N2O + SO2 + SO3 + H2O",
            "8 independent reactions",
            "write each reaction by itself",
        ),
        # no reaction
        ("Cu + CuO -> CuO + Cu2O", "CuO stands on both sides", "keep CuO only on the side where there is more of it"),
        ("Cu + Qq -> CuQq", "holds 'Qq', which is no element", "check the capitals"),
        ("H2 + " * 999 + "O2 -> H2O", "too long", "one reaction at a time"),
    ],
)
def test_why_an_equation_will_not_balance(text, says, cure):
    with pytest.raises(BadFormula) as error:
        balance(text)
    assert says in error.value.what
    assert cure in error.value.cure


@pytest.mark.parametrize(
    "text", ["Cu + HNO3 -> Cu(NO3)2 + NO", "Cr2O7^2- + Fe^2+ -> Cr^3+ + Fe^3+", "Cu -> Cu^2+", "H2O + H2 -> O2"]
)
def test_the_equation_a_cure_proposes_balances(text):
    with pytest.raises(BadFormula) as error:
        balance(text)
    proposed = error.value.cure.split('"')[1]
    assert str(balance(proposed)) == proposed


def test_twenty_five_substances_are_refused():
    left = " + ".join(f"C{n}H{2 * n}" for n in range(1, 24))
    with pytest.raises(
        BadFormula, match="25 substances are too many for one reaction\n  Try: balance one reaction at a time, at most 24"
    ):
        balance(f"{left} -> C30H60 + C40H80")


def test_numbers_written_out_settle_a_mixture():
    """Atoms and charge alone leave permanganate and peroxide open; 5 to 2 is what the electrons ask for."""
    given = "10 H2O2 + 4 MnO4^- + 12 H^+ -> 4 Mn^2+ + 10 O2 + 16 H2O"
    assert str(balance(given)) == "5 H2O2 + 2 MnO4^- + 6 H^+ -> 2 Mn^2+ + 5 O2 + 8 H2O"


def test_an_equation_read_already_is_balanced_too():
    assert balance(Equation.parse("H2 + O2 -> H2O")) == Equation({"H2": 2, "O2": 1}, {"H2O": 2})


def test_working_can_be_followed_by_hand():
    assert working("MnO4- + Fe2+ + H+ -> Mn2+ + Fe3+ + H2O") == [
        "a MnO4^- + b Fe^2+ + c H^+ -> d Mn^2+ + f Fe^3+ + g H2O",
        "Mn: a = d",
        "O: 4a = g",
        "Fe: b = f",
        "H: c = 2g",
        "charge: -a + 2b + c = 2d + 3f",
        "a = 1, b = 5, c = 8, d = 1, f = 5, g = 4",
        "Mn: 1x1 = 1 left, 1x1 = 1 right",
        "O: 1x4 = 4 left, 4x1 = 4 right",
        "Fe: 5x1 = 5 left, 5x1 = 5 right",
        "H: 8x1 = 8 left, 4x2 = 8 right",
        "charge: 1x(-1) + 5x2 + 8x1 = 17 left, 1x2 + 5x3 = 17 right",
        "MnO4^- + 5 Fe^2+ + 8 H^+ -> Mn^2+ + 5 Fe^3+ + 4 H2O",
    ]
