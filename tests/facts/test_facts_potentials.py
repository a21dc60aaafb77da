"""Half reactions balance, and potentials that hang together do so."""

import pytest

from refinekit.chemistry.species import parse
from refinekit.facts.load import fact, table

COUPLES = table("potentials")


def totals(side):
    sums = {}
    for term in side.split(" + "):
        count, _, formula = term.rpartition(" ")
        read = parse(formula)
        for key, number in (*read.elements.items(), ("charge", read.charge)):
            sums[key] = sums.get(key, 0) + int(count or 1) * number
    return {key: number for key, number in sums.items() if number}


def electrons(couple):
    """Electrons a couple's half reaction takes."""
    terms = COUPLES[couple]["half"].split(" -> ")[0].split(" + ")
    return sum(int(term.split()[0]) if " " in term else 1 for term in terms if term.endswith("e^-"))


@pytest.mark.parametrize("couple", COUPLES)
def test_half_reaction_balances_in_atoms_and_charge(couple):
    left, right = COUPLES[couple]["half"].split(" -> ")
    assert totals(left) == totals(right)
    assert electrons(couple) in (1, 2, 3, 4)


@pytest.mark.parametrize(
    ("whole", "parts"),
    [
        ("AuCl4^-/Au", ["AuCl4^-/AuCl2^-", "AuCl2^-/Au"]),
        ("O2/H2O", ["O2/H2O2", "H2O2/H2O"]),
        ("HClO/Cl^-", ["HClO/Cl2", "Cl2/Cl^-"]),
        ("NO3^-/NO", ["NO3^-/HNO2", "HNO2/NO"]),
    ],
)
def test_a_way_in_two_steps_comes_to_the_same(whole, parts):
    """Volts times electrons per atom reduced add up, to the 20 mV by which handbooks differ."""
    per_atom = {"O2/H2O": 2, "O2/H2O2": 1, "H2O2/H2O": 1, "HClO/Cl^-": 2, "HClO/Cl2": 1, "Cl2/Cl^-": 1}

    def share(couple):
        return per_atom.get(couple, electrons(couple))

    volts = sum(fact(f"potentials.{part}").value * share(part) for part in parts) / sum(share(part) for part in parts)
    assert fact(f"potentials.{whole}").value == pytest.approx(volts, abs=0.02)


@pytest.mark.parametrize(
    ("couple", "volts"),
    [
        pytest.param("AuCl4^-/Au", 1.002, id="CRC electrochemical series, as quoted"),
        pytest.param("Ag^+/Ag", 0.7996, id="OpenStax Chemistry 2e, Appendix L"),
        pytest.param("Cu^2+/Cu", 0.337, id="OpenStax Chemistry 2e, Appendix L"),
        pytest.param("Cl2/Cl^-", 1.35827, id="OpenStax Chemistry 2e, Appendix L"),
        pytest.param("NO3^-/NO", 0.957, id="OpenStax Chemistry 2e, Appendix L"),
        pytest.param("Zn^2+/Zn", -0.7618, id="OpenStax Chemistry 2e, Appendix L"),
        pytest.param("Fe^3+/Fe^2+", 0.771, id="OpenStax Chemistry 2e, Appendix L"),
    ],
)
def test_potential_is_the_published_one(couple, volts):
    assert fact(f"potentials.{couple}").value == volts


def test_nitric_and_chloride_alone_are_not_enough_for_gold_but_peroxide_and_chlorine_are():
    gold = fact("potentials.AuCl4^-/Au").value
    assert fact("potentials.NO3^-/NO").value < gold
    assert fact("potentials.Cl2/Cl^-").value > gold
    assert fact("potentials.H2O2/H2O").value > gold


def test_metals_cement_in_the_order_the_bench_knows():
    order = ["AuCl4^-/Au", "Ag^+/Ag", "Cu^2+/Cu", "Pb^2+/Pb", "Sn^2+/Sn", "Ni^2+/Ni", "Fe^2+/Fe", "Zn^2+/Zn", "Al^3+/Al"]
    volts = [fact(f"potentials.{couple}").value for couple in order]
    assert volts == sorted(volts, reverse=True)
