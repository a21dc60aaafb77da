"""Densities against other printed tables and against the published model, evaluated by another program."""

import numpy as np
import pytest
from thermo.electrochem import Laliberte_density

from refinekit.chemistry.density import density_table, g_per_ml, mixture_g_per_ml, percent_at, water_g_per_ml
from refinekit.chemistry.solution import Solution

CAS = {
    "HCl": "7647-01-0",
    "HNO3": "7697-37-2",
    "H2SO4": "7664-93-9",
    "NaOH": "1310-73-2",
    "KOH": "1310-58-3",
    "NH3": "7664-41-7",
    "H2O2": "7722-84-1",
    "FeCl3": "7705-08-0",
    "CuCl2": "7447-39-4",
    "NiCl2": "7718-54-9",
    "ZnCl2": "7646-85-7",
    "NaHSO3": "7631-90-5",
    "NaCl": "7647-14-5",
    "CuSO4": "7758-98-7",
    "Na2CO3": "497-19-8",
}
# how far handbook and model lie apart at most, g/mL
APART = {
    "HCl": 0.0011,
    "HNO3": 0.0037,
    "H2SO4": 0.0022,
    "NaOH": 0.0094,
    "KOH": 0.0100,
    "NH3": 0.0015,
    "FeCl3": 0.0016,
    "CuSO4": 0.0018,
}


@pytest.mark.parametrize("solute", CAS)
def test_table_against_the_laliberte_model(solute):
    # Laliberte and Cooper, J. Chem. Eng. Data 49 (2004) 1141; coefficients 54 (2009) 1725, by the Python package thermo
    table = density_table(solute)
    top = min(table.percent[-1], table.expansion_to_percent)
    strengths = np.linspace(top / 20, top, 20)
    model = [Laliberte_density(293.15, [p / 100], [CAS[solute]]) / 1000 for p in strengths]
    assert np.asarray(g_per_ml(solute, strengths)) == pytest.approx(model, abs=APART.get(solute, 0.0012))


@pytest.mark.parametrize("solute", ["HCl", "HNO3", "H2SO4", "NaOH", "CuCl2"])
@pytest.mark.parametrize("celsius", [15, 30, 50])
def test_warm_and_cold_as_the_model_swings(solute, celsius):
    strengths = np.array([5.0, 15.0, 30.0])
    swing = [
        Laliberte_density(celsius + 273.15, [p / 100], [CAS[solute]]) / Laliberte_density(293.15, [p / 100], [CAS[solute]])
        for p in strengths
    ]
    ours = np.asarray(g_per_ml(solute, strengths, celsius + 273.15)) / np.asarray(g_per_ml(solute, strengths))
    assert ours == pytest.approx(swing, rel=1e-9)


def test_a_copper_bath_with_acid_and_nickel():
    parts = {"HCl": 0.08, "CuCl2": 0.15, "NiCl2": 0.02}
    theirs = Laliberte_density(298.15, list(parts.values()), [CAS[solute] for solute in parts]) / 1000
    assert mixture_g_per_ml(parts, 298.15) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize(
    ("celsius", "kg_per_m3"),
    [
        # Kell 1975 and IAPWS: density of water at one atmosphere, CRC Handbook Sec. 6
        pytest.param(0, 999.84, id="CRC, 0 C"),
        pytest.param(4, 999.97, id="CRC, 4 C"),
        pytest.param(15.556, 999.01, id="CRC, 60 F"),
        pytest.param(20, 998.21, id="CRC, 20 C"),
        pytest.param(25, 997.05, id="CRC, 25 C"),
        pytest.param(50, 988.04, id="CRC, 50 C"),
        pytest.param(100, 958.4, id="CRC, 100 C"),
    ],
)
def test_water(celsius, kg_per_m3):
    assert 1000 * water_g_per_ml(celsius + 273.15) == pytest.approx(kg_per_m3, abs=0.05)


@pytest.mark.parametrize(
    ("solute", "percent", "density"),
    [
        pytest.param("HCl", 37.2, 1.19, id="OpenStax Chemistry 2e, 3.4, mass percentage"),
        pytest.param("HCl", 36, 1.18, id="OpenStax Chemistry 2e, Appendix F"),
        pytest.param("H2SO4", 96, 1.84, id="OpenStax Chemistry 2e, Appendix F"),
        pytest.param("NH3", 28, 0.90, id="OpenStax Chemistry 2e, Appendix F"),
        pytest.param("NaOH", 50, 1.53, id="OpenStax Chemistry 2e, Appendix F"),
        pytest.param("HNO3", 71, 1.42, id="OpenStax Chemistry 2e, Appendix F"),
        pytest.param("HNO3", 10, 1.0543, id="Perry, nitric acid 10 % at 20 C, read"),
        pytest.param("HNO3", 14, 1.0781, id="Perry, nitric acid 14 % at 20 C, read"),
        pytest.param("HNO3", 52, 1.3219, id="Perry, nitric acid 52 % at 20 C, quoted"),
        pytest.param("H2O2", 35, 1.13, id="web page on peroxide, 35 % about 1.13"),
    ],
)
def test_printed_densities(solute, percent, density):
    digits = len(str(density).partition(".")[2])
    assert g_per_ml(solute, percent) == pytest.approx(density, abs=0.62 * 10**-digits if digits < 4 else 0.0004)


@pytest.mark.parametrize(
    ("solute", "percent", "density", "mol_per_l"),
    [
        # OpenStax Chemistry 2e, Appendix F, composition of commercial acids and bases, to three figures
        pytest.param("HCl", 36, 1.18, 11.6, id="hydrochloric"),
        pytest.param("H2SO4", 96, 1.84, 18.0, id="sulfuric"),
        pytest.param("HNO3", 71, 1.42, 16.0, id="nitric"),
        pytest.param("NaOH", 50, 1.53, 19.1, id="caustic"),
        pytest.param("NH3", 28, 0.90, 14.8, id="ammonia"),
    ],
)
def test_commercial_bottles(solute, percent, density, mol_per_l):
    bottle = Solution.of(solute, "percent_ww", percent)
    assert bottle.density_g_per_ml == pytest.approx(density, rel=0.005)
    assert bottle.mol_per_l == pytest.approx(mol_per_l, rel=0.005)


@pytest.mark.parametrize(
    ("solute", "baume", "percent"),
    [
        pytest.param("HCl", 20, 31.45, id="data sheet of muriatic acid, 31.45 % at SG 1.16 (60 F)"),
        pytest.param("HCl", 22, 35.21, id="Ferguson 1905, 22 Be (memory)"),
        pytest.param("HNO3", 36, 52.30, id="Ferguson 1905, 36 Be (memory)"),
        pytest.param("HNO3", 38, 56.52, id="Ferguson 1905, 38 Be (memory)"),
        pytest.param("HNO3", 42, 67.18, id="Ferguson 1905, 42 Be (memory)"),
        pytest.param("H2SO4", 60, 77.67, id="Ferguson 1905, 60 Be (memory)"),
        pytest.param("H2SO4", 66, 93.19, id="Ferguson 1905, 66 Be (memory)"),
        pytest.param("NH3", 26, 29.4, id="Ferguson 1905, 26 Be, light scale (memory)"),
    ],
)
def test_tables_at_sixty_fahrenheit_find_the_trade_grades(solute, baume, percent):
    # The grades are facts of their own; the density table and the model's swing to 60 F must come out near them by themselves.
    sg = 145 / (145 - baume) if solute != "NH3" else 140 / (130 + baume)
    assert percent_at(solute, sg * 0.99901, 288.7056) == pytest.approx(percent, abs=0.4)
    assert Solution.of(solute, "baume", baume).percent_ww == pytest.approx(percent, abs=0.005)
