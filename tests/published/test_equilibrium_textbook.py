"""Equilibria a textbook or a hand can do, without activity corrections."""

from math import log10, sqrt

import numpy as np
import pytest

from refinekit.chemistry.equilibrium.bases import Base
from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.curve import curve
from refinekit.chemistry.equilibrium.dose import dose_to_ph
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.state import at_ph, ph_of

IDEAL = Constants.default(activity="none")
PK_WATER, PK_SULFATE, PK1, PK2 = 13.997, 1.99, 6.352, 10.329


@pytest.mark.parametrize(
    ("base_ml", "ph"),
    [
        pytest.param(0.0, 1.000, id="OpenStax Chemistry 2e, Example 14.21 a, from memory"),
        pytest.param(12.5, 1.4771, id="OpenStax Chemistry 2e, Example 14.21 b, from memory"),
        pytest.param(25.0, 7.000, id="OpenStax Chemistry 2e, Example 14.21 c, from memory"),
        pytest.param(37.5, 12.301, id="OpenStax Chemistry 2e, Example 14.21 d, from memory"),
    ],
)
def test_strong_acid_with_strong_base(base_ml, ph):
    """25.00 mL of 0.100 M hydrochloric acid with 0.100 M caustic."""
    whole_ml = 25.0 + base_ml
    state = ph_of(Liquor({"Cl^-": 2.5 / whole_ml, "Na^+": 0.1 * base_ml / whole_ml}), IDEAL)
    assert state.ph[0] == pytest.approx(ph, abs=0.004)  # the book's water is 10^-14.00


@pytest.mark.parametrize("total", [0.01, 0.1, 1.0])
def test_sulfuric_acid_gives_its_second_proton_in_part(total):
    """By hand: h = C + C K/(K + h), a quadratic in h."""
    k = 10**-PK_SULFATE
    h = ((total - k) + sqrt((total - k) ** 2 + 8 * total * k)) / 2
    assert ph_of(Liquor({"SO4^2-": total}), IDEAL).ph[0] == pytest.approx(-log10(h), abs=1e-3)


def test_sulfuric_acid_takes_two_caustic():
    dose = dose_to_ph(Liquor({"SO4^2-": 0.3}), "NaOH", 7.0, IDEAL)
    assert dose.base_mol_per_l[0] == pytest.approx(0.6, rel=1e-4)


def test_bicarbonate_in_a_shut_pot_stands_half_way_between_its_two_constants():
    """pH = (pK1 + pK2)/2, the amphiprotic salt of Harris, Quantitative Chemical Analysis (from memory)."""
    constants = Constants.from_table(CARBONATE, activity="none")
    state = ph_of(Liquor({"Na^+": 0.05, "CO3^2-": 0.05}), constants)
    assert state.ph[0] == pytest.approx((PK1 + PK2) / 2, abs=0.01)


def test_rain_is_acid_from_the_air():
    """pH 5.65 at 10^-3.5 atm: Stumm and Morgan, Aquatic Chemistry, open carbonate system (from memory)."""
    state = ph_of(Liquor({"Na^+": 1e-9, "Cl^-": 1e-9}), IDEAL, open_to_atm=10**-3.5)
    assert state.ph[0] == pytest.approx(5.65, abs=0.02)


def test_alkalinity_under_the_air():
    """By hand, [HCO3-] = alkalinity: pH = log(1e-3 / (K1 KH p)), Stumm and Morgan's open system."""
    log_k_henry = 16.681 - 18.147
    state = ph_of(Liquor({"K^+": 1e-3}), IDEAL, open_to_atm=10**-3.5)
    assert state.ph[0] == pytest.approx(-3.0 + PK1 - log_k_henry + 3.5, abs=0.02)


@pytest.mark.parametrize("ph", [6.0, 8.0, 10.5])
def test_carbonate_alkalinity_titrates_by_its_shares(ph):
    """By hand: alkalinity = C (a1 + 2 a2) + OH - H, with the shares a1 and a2 of HCO3- and CO3--."""
    h, k1, k2 = 10**-ph, 10**-PK1, 10**-PK2
    below = h * h + k1 * h + k1 * k2
    alkalinity = 0.02 * (k1 * h + 2 * k1 * k2) / below + 10 ** (ph - PK_WATER) - h
    constants = Constants.from_table(CARBONATE, activity="none")
    dose = dose_to_ph(Liquor({"CO3^2-": 0.02}), "NaOH", ph, constants, vent_atm=0.0)
    assert dose.base_mol_per_l[0] == pytest.approx(alkalinity, rel=1e-4)


CARBONATE = {
    "species": [
        {"name": "OH-", "of": {"H2O": 1, "H+": -1}, "log_k": -PK_WATER},
        {"name": "HCO3-", "of": {"H+": 1, "CO3-2": 1}, "log_k": PK2},
        {"name": "H2CO3", "of": {"H+": 2, "CO3-2": 1}, "log_k": PK1 + PK2},
    ],
    "phases": [],
    "gas": {"name": "CO2(g)", "dissolves_to": {"CO3-2": 1, "H+": 2, "H2O": -1}, "log_k": -18.147},
}


def hydroxide(metal: str, hydrolysis: list[float], solid: float) -> Constants:
    names = [f"{metal}OH+", f"{metal}(OH)2", f"{metal}(OH)3-", f"{metal}(OH)4-2"]
    ion = f"{metal}+2"
    complexes = [
        {"name": name, "of": {ion: 1, "H2O": n, "H+": -n}, "log_k": k}
        for n, (name, k) in enumerate(zip(names, hydrolysis, strict=False), 1)
    ]
    rows = {
        "species": [{"name": "OH-", "of": {"H2O": 1, "H+": -1}, "log_k": -14.0}, *complexes],
        "phases": [{"name": f"{metal}(OH)2", "dissolves_to": {ion: 1, "H2O": 2, "H+": -2}, "log_k": solid}],
        "gas": CARBONATE["gas"],
    }
    return Constants.from_table(rows, activity="none")


@pytest.mark.parametrize(
    ("metal", "hydrolysis", "solid", "ph", "mg_per_l"),
    [
        pytest.param("Cu", [-8.0, -13.68, -26.9, -39.6], 8.64, 9.0, 0.579886, id="WATEQ4F constants, Cu(OH)2 at pH 9"),
        pytest.param(
            "Ni", [-9.86, -19.0, -30.0], 12.8, 8.0, 37.5813, id="WATEQ4F hydrolysis, fresh Ni(OH)2 12.8 from memory, pH 8"
        ),
        pytest.param(
            "Ni", [-9.86, -19.0, -30.0], 12.8, 9.0, 0.458853, id="WATEQ4F hydrolysis, fresh Ni(OH)2 12.8 from memory, pH 9"
        ),
        pytest.param(
            "Ni", [-9.86, -19.0, -30.0], 12.8, 10.0, 0.0495516, id="WATEQ4F hydrolysis, fresh Ni(OH)2 12.8 from memory, pH 10"
        ),
    ],
)
def test_floor_over_a_fresh_hydroxide(metal, hydrolysis, solid, ph, mg_per_l):
    """The sum of the hydrolysis species over the solid, no complexing, no activity correction."""
    liquor = Liquor({f"{metal}^2+": 0.1, "NO3^-": 0.2})
    state = at_ph(liquor, ph, hydroxide(metal, hydrolysis, solid))
    assert state.metals_mg_per_l()[metal][0] == pytest.approx(mg_per_l, rel=1e-3)


def test_saturated_lime_water():
    """pH 12.45 at 25 degC, the usual figure for saturated lime water (from memory)."""
    dose = dose_to_ph(Liquor({"Na^+": 1e-4, "Cl^-": 1e-4}), "Ca(OH)2", 13.0)
    assert not dose.reachable[0]
    assert dose.highest_ph[0] == pytest.approx(12.45, abs=0.05)


def test_portions_into_strong_acid_follow_the_free_acid():
    """By hand: before the end point the acid left is the acid less the base."""
    doses = np.array([0.0, 0.25, 0.5, 0.75, 0.9])
    drawn = curve(Liquor({"Cl^-": 1.0}), Base("caustic", {"Na^+": 1.0}), IDEAL, doses_mol_per_l=doses)
    assert drawn.ph == pytest.approx(-np.log10(1.0 - doses), abs=1e-6)
