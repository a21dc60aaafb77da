"""Worked examples of OpenStax Chemistry 2e that want more than stoichiometry: a plated layer, a hydroxide, an ammine."""

from math import log10

import pytest

from refinekit.bench.lot import run as lot
from refinekit.bench.place import Place
from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.state import at_ph

LOG_WATER, LOG_AMMONIUM = -14.0, -9.25
PLAIN = {
    "species": [
        {"name": "OH-", "of": {"H2O": 1, "H+": -1}, "log_k": LOG_WATER},
        {"name": "NH3", "of": {"NH4+": 1, "H+": -1}, "log_k": LOG_AMMONIUM},
        {"name": "Ag(NH3)2+", "of": {"Ag+": 1, "NH4+": 2, "H+": -2}, "log_k": log10(1.7e7) + 2 * LOG_AMMONIUM},
    ],
    "phases": [
        {
            "name": "Mg(OH)2",
            "formula": "Mg(OH)2",
            "dissolves_to": {"Mg+2": 1, "H2O": 2, "H+": -2},
            "log_k": log10(8.9e-12) - 2 * LOG_WATER,
        }
    ],
    "gas": {"name": "CO2", "formula": "CO2", "dissolves_to": {"CO3-2": 1, "H+": 2, "H2O": -1}, "log_k": -18.147},
}


def test_the_weight_of_a_plated_layer() -> None:
    """Sec. 17.7, Time Required for Deposition: 3.3 m2, 0.010 mm, 7.19 g/cm3 is 237 g (a layer is a layer, of gold or not)."""
    step = lot((), place=Place(), area_cm2=33000.0, gold_thickness_um=10.0, gold_density_g_per_ml=7.19, gold_fineness=1.0)
    assert step.answer("gold").likely == pytest.approx(237, abs=0.5)


def test_the_ph_that_leaves_a_hundred_thousandth_molar_magnesium() -> None:
    """Sec. 15.1, Concentrations Following Precipitation, check your learning: Ksp 8.9e-12, 1.0e-5 M at pH 10.97."""
    state = at_ph(Liquor({"Mg^2+": 0.1, "Cl^-": 0.2}), 10.97, Constants.from_table(PLAIN, activity="none"))
    assert state.dissolved_mol_per_l["Mg^2+"][0] == pytest.approx(1.0e-5, rel=0.03)  # printed to two figures


def test_free_silver_beside_its_ammine() -> None:
    """Sec. 15.2, Dissociation of a Complex Ion: 0.10 M of the ammine, Kf 1.7e7, leaves 0.0011 M of silver."""
    state = at_ph(Liquor({"Ag^+": 0.1, "NH3": 0.2, "NO3^-": 0.1}), 13.5, Constants.from_table(PLAIN, activity="none"))
    assert state.species_mol_per_l["Ag^+"][0] == pytest.approx(0.0011, abs=0.00005)
