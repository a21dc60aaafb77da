"""Liquors a shop may have, weak and strong, cold and hot, by one base and by two at once: the dose put back through PHREEQC."""

import numpy as np
import pytest
from phreeqc_referee import Referee

from refinekit.chemistry.equilibrium.bases import base, mixture
from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.dose import dose_to_ph
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.names import charge

CASES = [
    # metals mol/L, the acid's ion, free acid mol/L, base, pH, K
    pytest.param({"Cu^2+": 1e-4, "Ni^2+": 2e-5}, "Cl^-", 1e-3, "NaOH", 9.0, 298.15, id="a rinse"),
    pytest.param({"Cu^2+": 2.0, "Fe^3+": 0.3, "Zn^2+": 0.5}, "Cl^-", 3.0, "NaOH", 10.0, 298.15, id="a thick cupric bath"),
    pytest.param({"Ni^2+": 0.8, "Cu^2+": 0.2}, "SO4^2-", 0.5, "Ca(OH)2", 9.5, 298.15, id="plating bath with lime, gypsum"),
    pytest.param({"Ag^+": 0.05, "Cu^2+": 0.4, "Ni^2+": 0.01}, "NO3^-", 0.8, "NaOH", 8.5, 298.15, id="parting liquor"),
    pytest.param({"Cd^2+": 0.05, "Zn^2+": 0.2}, "SO4^2-", 0.3, "Mg(OH)2", 8.5, 298.15, id="cadmium with magnesium hydroxide"),
    pytest.param({"Sn^4+": 0.2, "Pb^2+": 0.01, "Cu^2+": 0.1}, "Cl^-", 2.0, "NaOH", 9.0, 298.15, id="solder in it"),
    pytest.param({"Al^3+": 0.5, "Zn^2+": 0.1}, "Cl^-", 0.7, "NaOH", 11.5, 298.15, id="aluminium come back"),
    pytest.param({"Cu^2+": 0.3, "NH4^+": 0.6, "Ni^2+": 0.05}, "SO4^2-", 0.4, "NaOH", 9.5, 298.15, id="ammonium"),
    pytest.param({"Cu^+": 0.2, "Cu^2+": 0.8}, "Cl^-", 1.5, "NaOH", 9.0, 298.15, id="half reduced"),
    pytest.param({"Cd^2+": 0.02, "Pb^2+": 0.02, "Zn^2+": 0.02}, "NO3^-", 0.2, "Na2CO3", 9.5, 298.15, id="carbonates"),
    pytest.param({"Cu^2+": 0.5, "Ni^2+": 0.1}, "Cl^-", 1.0, "NaOH", 9.5, 283.15, id="cold"),
    pytest.param({"Ni^2+": 0.4, "Ag^+": 1e-4}, "Cl^-", 2.0, "NaOH", 10.0, 323.15, id="hot"),
    pytest.param({"Zn^2+": 1.2, "Cd^2+": 0.1}, "Cl^-", 4.0, "NaOH", 10.5, 298.15, id="brine"),
    pytest.param({"Cu^2+": 0.5}, "Cl^-", 1.0, {"Ca(OH)2": 0.6, "NaOH": 0.4}, 9.5, 298.15, id="lime and caustic mixed"),
    pytest.param(
        {"Fe^3+": 0.3, "Cu^2+": 0.2}, "SO4^2-", 0.4, {"Ca(OH)2": 0.5, "Mg(OH)2": 0.5}, 8.0, 298.15, id="two that lie there"
    ),
    pytest.param({"Ni^2+": 0.3}, "Cl^-", 0.5, {"Na2CO3": 0.3, "NaOH": 0.7}, 9.5, 298.15, id="soda ash and caustic mixed"),
]


@pytest.mark.parametrize("make", [Constants.default, Constants.low, Constants.high], ids=["likely", "low", "high"])
@pytest.mark.parametrize(("metals", "ion", "acid", "bases", "ph", "temperature_k"), CASES)
def test_phreeqc_comes_to_the_same_ph_metals_and_solids(metals, ion, acid, bases, ph, temperature_k, make):
    constants = make(temperature_k=temperature_k)
    totals = {**metals, ion: (acid + sum(charge(name) * total for name, total in metals.items())) / -charge(ion)}
    kind = base(bases) if isinstance(bases, str) else mixture(bases)
    dose = dose_to_ph(Liquor(totals), kind, ph, constants, vent_atm=0.0).or_refuse()
    theirs = Referee(constants, sorted({*totals, *kind.adds})).pot(totals, bases, float(dose.base_mol_per_l[0]))
    assert theirs["ph"] == pytest.approx(ph, abs=0.001)
    for name, mol_per_l in theirs["dissolved"].items():
        if mol_per_l > 1e-9 and name != "Sn^4+":
            assert np.log10(dose.state.dissolved_mol_per_l[name][0]) == pytest.approx(np.log10(mol_per_l), abs=0.02), name
    for key, mol_per_l in theirs["solids"].items():
        assert dose.state.phases_mol_per_l.get(key, np.zeros(1))[0] == pytest.approx(mol_per_l, rel=1e-4, abs=1e-7), key
