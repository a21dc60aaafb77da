"""Formation enthalpies against two other collections."""

import chemicals
import pytest

from refinekit.chemistry.heat import formation_enthalpy

# CAS number, phase: the Python package chemicals (ATcT, CRC, Webbook and others), J/mol
GASES = {
    "NO(g)": "10102-43-9",
    "NO2(g)": "10102-44-0",
    "N2O(g)": "10024-97-2",
    "HCl(g)": "7647-01-0",
    "CO2(g)": "124-38-9",
    "SO2(g)": "7446-09-5",
    "NH3(g)": "7664-41-7",
    "H2O(g)": "7732-18-5",
    "HNO3(g)": "7697-37-2",
}
SOLIDS = {
    "NaOH(s)": "1310-73-2",
    "Ca(OH)2(s)": "1305-62-0",
    "CaO(s)": "1305-78-8",
    "Na2CO3(s)": "497-19-8",
    "NaHCO3(s)": "144-55-8",
    "Cu(OH)2(s)": "20427-59-2",
    "AgCl": "7783-90-6",
    "CuCl": "7758-89-6",
    "CO(NH2)2(s)": "57-13-6",
    "PbSO4": "7446-14-2",
    "PbCl2(s)": "7758-95-4",
    "ZnO(s)": "1314-13-2",
    "Ag2O(s)": "20667-12-3",
    "SnO2(s)": "18282-10-5",
}


@pytest.mark.parametrize(("species", "cas"), GASES.items(), ids=GASES)
def test_gases_against_active_thermochemical_tables(species, cas):
    assert formation_enthalpy(species) == pytest.approx(chemicals.Hfg(cas) / 1000, abs=1.1)


@pytest.mark.parametrize(("species", "cas"), SOLIDS.items(), ids=SOLIDS)
def test_solids_against_the_crc_handbook(species, cas):
    assert formation_enthalpy(species) == pytest.approx(chemicals.Hfs(cas, method="CRC") / 1000, abs=0.06)


@pytest.mark.parametrize(
    ("species", "kj"),
    [
        # OpenStax Chemistry 2e, Appendix G
        pytest.param("H2O", -285.83, id="OpenStax App. G, water"),
        pytest.param("H2O(g)", -241.82, id="OpenStax App. G, steam"),
        pytest.param("NO", 90.25, id="OpenStax App. G, nitric oxide"),
        pytest.param("NO2", 33.2, id="OpenStax App. G, nitrogen dioxide"),
        pytest.param("CO2", -393.51, id="OpenStax App. G, carbon dioxide"),
        pytest.param("AgCl", -127.0, id="OpenStax App. G, silver chloride"),
        pytest.param("Cu^2+", 64.77, id="OpenStax App. G, copper(II) ion"),
        pytest.param("Zn^2+", -153.89, id="OpenStax App. G, zinc ion"),
        pytest.param("Cl^-", -167.2, id="OpenStax App. G, chloride ion"),
        pytest.param("SO4^2-", -909.27, id="OpenStax App. G, sulfate ion"),
        pytest.param("Al^3+", -531.0, id="OpenStax App. G, aluminium ion"),
        pytest.param("OH^-", -229.99, id="CODATA key values, hydroxide ion"),
        pytest.param("Na^+", -240.34, id="CODATA key values, sodium ion"),
        pytest.param("HSO4^-", -886.9, id="CODATA key values, bisulfate ion"),
        pytest.param("NH4^+", -133.26, id="CODATA key values, ammonium ion"),
    ],
)
def test_ions_and_compounds_against_printed_values(species, kj):
    assert formation_enthalpy(species) == pytest.approx(kj, abs=1.1)
