"""Densities and heats of the metals weighed in water and melted, against the CRC tables in the Python package chemicals."""

import chemicals
import pytest
from chemicals import heat_capacity, volume

from refinekit.bench.fineness_sums import metal_density
from refinekit.bench.silver_copper import glyoxime_factor
from refinekit.chemistry.density import water_g_per_ml
from refinekit.facts.load import fact, table

CAS = {
    "Au": "7440-57-5",
    "Ag": "7440-22-4",
    "Cu": "7440-50-8",
    "Ni": "7440-02-0",
    "Pd": "7440-05-3",
    "Pt": "7440-06-4",
    "Zn": "7440-66-6",
    "Pb": "7439-92-1",
    "Fe": "7439-89-6",
}
MELTED = ("Au", "Ag", "Cu")


@pytest.mark.parametrize("symbol", CAS)
def test_densities_of_the_solids(symbol):
    """CRC Handbook, Physical Constants of Inorganic Compounds, kept there as molar volume."""
    molar_m3 = volume.rho_data_CRC_inorg_s_const.loc[CAS[symbol], "Vm"]
    assert metal_density(symbol) == pytest.approx(chemicals.MW(CAS[symbol]) / molar_m3 / 1e6, rel=1e-3)


@pytest.mark.parametrize("symbol", MELTED)
def test_melting_points_and_heats_of_fusion(symbol):
    """CRC Handbook, Enthalpy of Fusion; ITS-90 for the melting points."""
    row = table("enthalpy")["melting"][symbol]
    assert row["melts_k"] == pytest.approx(chemicals.Tm(CAS[symbol]), abs=0.01)
    assert row["fusion_j_per_g"] == pytest.approx(chemicals.Hfus(CAS[symbol], method="CRC") / chemicals.MW(CAS[symbol]), rel=0.01)


@pytest.mark.parametrize("symbol", MELTED)
def test_heats_of_the_solids_lie_over_those_at_room_temperature(symbol):
    """CRC standard heat capacity at 298 K; the mean up to the melting point is 5 to 20 % more (Debye and a little over)."""
    cold = heat_capacity.CRC_standard_data.loc[CAS[symbol], "Cps"] / chemicals.MW(CAS[symbol])
    assert 1.04 * cold < table("enthalpy")["melting"][symbol]["solid_j_per_g_k"] < 1.2 * cold


@pytest.mark.parametrize(("word", "symbol"), [("gold", "Au"), ("silver", "Ag"), ("copper", "Cu")])
def test_densities_of_the_liquids_at_their_melting_points(word, symbol):
    """CRC Handbook, Density of Molten Elements: its own density at the melting point."""
    row = volume.rho_data_CRC_inorg_l.loc[CAS[symbol]]
    assert fact(f"practice/melt.liquid.{word}").value == pytest.approx(row["rho"] / 1000, rel=0.01)


@pytest.mark.parametrize("celsius", [5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0])
def test_water_by_the_formula_of_kell(celsius):
    """Kell (1975), J. Chem. Eng. Data 20, 97, coefficients read in two prints of it; on the scale of 1968, 0.024 % apart."""
    t = celsius * 1.00024
    above = 999.83952 + 16.945176 * t - 7.9870401e-3 * t**2 - 46.170461e-6 * t**3 + 105.56302e-9 * t**4 - 280.54253e-12 * t**5
    assert 1000 * float(water_g_per_ml(celsius + 273.15)) == pytest.approx(above / (1 + 16.879850e-3 * t), rel=1e-5)


@pytest.mark.parametrize(("celsius", "kg_per_m3"), [(10.0, 999.7027), (15.0, 999.1026), (20.0, 998.2067), (30.0, 995.6488)])
def test_water_by_the_recommended_table(celsius, kg_per_m3):
    """Tanaka et al., Metrologia 38 (2001) 301, as the reference pages of a package that runs it print its figures (read)."""
    assert 1000 * float(water_g_per_ml(celsius + 273.15)) == pytest.approx(kg_per_m3, rel=1e-5)


def test_palladium_in_its_glyoxime_by_the_masses_of_2021():
    """CIAAW 2021: Pd 106.42, C 12.011, H 1.008, N 14.007, O 15.999; Pd(C4H7N2O2)2."""
    whole = 106.42 + 8 * 12.011 + 14 * 1.008 + 4 * 14.007 + 4 * 15.999
    assert glyoxime_factor() == pytest.approx(106.42 / whole, rel=1e-6)
    assert glyoxime_factor() == pytest.approx(0.3161, abs=5e-5)  # as textbooks of gravimetric analysis print it
