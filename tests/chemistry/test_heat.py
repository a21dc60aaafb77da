"""Heat: reactions, neutralising, diluting, boiling down, melting."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.chemistry import heat
from refinekit.errors import OutOfRange, UnknownName


@pytest.mark.parametrize(
    ("sides", "kj"),
    [
        pytest.param({"H^+": -1, "OH^-": -1, "H2O": 1}, -55.81, id="Kw enthalpy, NIST SRD 46"),
        pytest.param({"NaOH(s)": -1, "Na^+": 1, "OH^-": 1}, -44.51, id="Parker 1965, heat of solution of caustic"),
        pytest.param({"HCl(g)": -1, "HCl": 1}, -74.84, id="Parker 1965, heat of solution of hydrogen chloride"),
        pytest.param({"Cu^2+": -1, "OH^-": -2, "CuO2H2": 1}, -55.2, id="NIST SRD 46, copper hydroxide"),
        pytest.param({"Ca(OH)2(s)": -1, "H^+": -2, "Ca^2+": 1, "H2O": 2}, -128.6, id="thermo.com.V8.R6, portlandite"),
        pytest.param({"Zn^2+": -1, "OH^-": -2, "ZnO2H2": 1}, -28.5, id="NIST SRD 46, zinc hydroxide"),
    ],
)
def test_reactions_against_measured_heats(sides, kj):
    assert heat.reaction_enthalpy(sides) == pytest.approx(kj, abs=1.0)


def test_aluminium_on_copper_boils_a_bucket():
    # -419 kJ per mole of copper, from standard enthalpies by hand: (2 x -531.0 - 3 x 64.8)/3
    assert heat.reaction_enthalpy({"Al": -2, "Cu^2+": -3, "Cu": 3, "Al^3+": 2}) / 3 == pytest.approx(-418.8, abs=0.1)


def test_doubling_an_equation_doubles_its_heat():
    once = {"Cu": -3, "H^+": -8, "NO3^-": -2, "Cu^2+": 3, "NO": 2, "H2O": 4}
    assert heat.reaction_enthalpy({k: 2 * v for k, v in once.items()}) == pytest.approx(2 * heat.reaction_enthalpy(once))


def test_a_salt_is_its_ions_and_a_hydroxide_goes_by_either_formula():
    assert heat.formation_enthalpy("NaCl") == pytest.approx(-240.1 - 167.2)
    assert heat.formation_enthalpy("CuO2H2") == heat.formation_enthalpy("Cu(OH)2(s)")
    assert heat.formation_enthalpy("H2O(g)") - heat.formation_enthalpy("H2O") == pytest.approx(44.0)


def test_an_unknown_species_is_named():
    with pytest.raises(UnknownName, match="no formation enthalpy is known for C6H8O6"):
        heat.formation_enthalpy("C6H8O6")
    with pytest.raises(UnknownName, match=r"no formation enthalpy is known for CuO\(g\)"):
        heat.formation_enthalpy("CuO(g)")


def test_a_thick_liquor_warms_by_its_own_heat_capacity():
    """41.8 kJ into a litre: 10 K in water (4.18 kJ/(L K)), 11.9 K in a liquor that takes 3.5 for each litre and kelvin."""
    assert heat.rise_k(41.8, 1.0) == pytest.approx(10.0, rel=0.01)
    assert heat.rise_k(41.8, 1.0, 3.5) == pytest.approx(11.943, rel=1e-3)


@pytest.mark.parametrize(("base", "rise"), [("caustic", 16.3923), ("pearls", 29.1675)])
def test_how_hot_neutralising_gets(base, rise):
    # 6.0 mol into 5.0 L: 57.1 kJ/mol, and 44.5 on top for pearls, over 4.18 kJ/(L K); from memory
    assert heat.rise_k(6.0 * heat.neutralising_heat(base).likely, 5.0) == pytest.approx(rise, rel=0.02)


@pytest.mark.parametrize(
    ("base", "sides"),
    [
        ("lime", {"Ca(OH)2(s)": -0.5, "H^+": -1, "Ca^2+": 0.5, "H2O": 1}),
        ("soda ash", {"Na2CO3(s)": -0.5, "H^+": -1, "Na^+": 1, "CO2": 0.5, "H2O": 0.5}),
        ("bicarbonate", {"NaHCO3(s)": -1, "H^+": -1, "Na^+": 1, "CO2": 1, "H2O": 1}),
    ],
)
def test_written_heats_of_neutralising_are_those_of_their_equations(base, sides):
    assert heat.neutralising_heat(base).likely == pytest.approx(-heat.reaction_enthalpy(sides), abs=0.1)


def test_bicarbonate_cools():
    assert heat.rise_k(heat.neutralising_heat("bicarbonate").likely, 1.0) < 0


def test_an_unknown_neutraliser_is_named():
    with pytest.raises(
        UnknownName, match=r"neutralising with 'chalk'\n  Try: one of caustic, pearls, lime, soda ash, bicarbonate"
    ):
        heat.neutralising_heat("chalk")


# ---- diluting
@pytest.mark.parametrize(
    ("solute", "molality", "kj"),
    [
        pytest.param("HCl", 4.25, 4.65, id="Parker 1965 in CRC Handbook, HCl between 4.0 and 4.5 mol/kg"),
        pytest.param("HCl", 15, 15.40, id="Parker 1965 in CRC Handbook, HCl 15 mol/kg"),
        pytest.param("HNO3", 20, 9.498, id="Parker 1965 in CRC Handbook, HNO3 20 mol/kg"),
        pytest.param("HNO3", 1e9, 33.28, id="Parker 1965, heat of solution of pure nitric acid"),
    ],
)
def test_heat_still_in_an_acid(solute, molality, kj):
    molar = {"HCl": 36.461, "HNO3": 63.013}[solute]
    fraction = molality * molar / (1000 + molality * molar)
    assert heat.dilution_heat(solute, fraction) == pytest.approx(kj, rel=2e-3)


def test_sulfuric_by_thomsen():
    # 74.73 - 74.73 n/(n + 1.7983) at 96 %, n = (4/18.015)/(96/98.07) = 0.22682: 66.36 kJ/mol left
    assert heat.dilution_heat("H2SO4", 0.96) == pytest.approx(66.36, rel=1e-3)


@given(st.sampled_from(["HCl", "HNO3", "H2SO4", "NaOH"]), st.floats(0, 0.9), st.floats(0.001, 0.09))
def test_stronger_liquor_has_more_heat_in_it(solute, fraction, more):
    assert heat.dilution_heat(solute, fraction + more) >= heat.dilution_heat(solute, fraction) - 1e-12


def test_many_strengths_at_once():
    assert heat.dilution_heat("HCl", np.array([0.0, 0.3145])) == pytest.approx([0, 12.9], abs=0.02)
    assert heat.liquor_heat_capacity("HCl", np.array([0.0, 0.1])) == pytest.approx([4.18, 3.49], abs=0.01)


@pytest.mark.parametrize(
    ("solute", "fraction", "capacity"),
    [("HCl", 0.1, 3.49), ("H2SO4", 0.1, 3.86), ("HNO3", 0.3, 3.05), ("FeCl3", 0.5, 2.59)],
)
def test_heat_capacity_of_a_liquor(solute, fraction, capacity):
    # Perry (memory); Laliberte's model for sulfuric; half water, half 1 J/(g K) where nothing is tabled
    assert heat.liquor_heat_capacity(solute, fraction) == pytest.approx(capacity, rel=0.01)


def test_no_heat_of_dilution_is_made_up():
    with pytest.raises(UnknownName, match=r"no heat of dilution is known for FeCl3\n  Try: one of H2SO4, HCl, HNO3, NaOH"):
        heat.dilution_heat("FeCl3", 0.4)


# ---- boiling down and melting
def test_boiling_down_takes_an_hour_on_a_plate():
    # 300 g x (4.186 x 80 + 2257 J/g) = 777.6 kJ; over 500 W x 0.4, 64.8 min; from memory
    kj = heat.boil_down_heat(300.0, 293.15)
    assert kj == pytest.approx(777.564, rel=0.001)
    assert heat.minutes_to_heat(kj, 500.0, 0.4) == pytest.approx(64.797, rel=0.001)


def test_a_fifty_gram_button():
    # 50 x (0.138 x 1039.18 + 63.7 + 0.157 x 35.82) J by hand; from memory
    kj = heat.melting_heat("Au", 50.0, 298.15, 1373.15)
    assert kj == pytest.approx(10.6365, rel=0.001)
    assert 60 * heat.minutes_to_heat(kj, 1500.0, 0.1) == pytest.approx(70.91, rel=0.001)


@given(st.sampled_from(["Au", "Ag", "Cu"]), st.floats(0.1, 1000))
def test_twice_the_metal_twice_the_heat(metal, grams):
    one = heat.melting_heat(metal, grams, 298.15, 1400.0)
    assert heat.melting_heat(metal, 2 * grams, 298.15, 1400.0) == pytest.approx(2 * one)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: heat.melting_heat("Au", 10.0, 298.15, 1300.0), r"Au does not pour at 1027 C\n  Try: give more than 1064 C"),
        (lambda: heat.melting_heat("Os", 10.0, 298.15, 4000.0), "no melting heat is known for 'Os'"),
        (lambda: heat.boil_down_heat(100.0, 400.0), "400 K is not water at the bench"),
        (lambda: heat.minutes_to_heat(10.0, 0.0, 0.4), "nothing warms without power"),
        (lambda: heat.rise_k(10.0, 0.0), "0 L cannot be warmed"),
    ],
)
def test_what_cannot_be_is_named(call, words):
    with pytest.raises((OutOfRange, UnknownName), match=words):
        call()
