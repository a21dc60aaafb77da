"""Random liquors, each to a random pH, and the dose put back through PHREEQC on a database made from our own facts."""

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from phreeqc_referee import Referee

from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.dose import dose_to_ph
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.names import charge

METALS = ["Cu^2+", "Ni^2+", "Zn^2+", "Cd^2+", "Pb^2+", "Fe^2+", "Fe^3+", "Al^3+", "Ag^+", "Sn^4+", "Mg^2+", "Ca^2+", "Cu^+"]
BESIDE = ["NH4^+", "SO4^2-", "NO3^-", "K^+"]
BASES = ["NaOH", "KOH", "Ca(OH)2", "Na2CO3"]
SETS = {"likely": Constants.default, "low": Constants.low, "high": Constants.high}
SEEN_MOL_PER_L = 1e-9
FAINT_G = 1e-6
LEAST_COMPARED = 100


@st.composite
def pots(draw):
    """A liquor with one to four metals, free acid and chloride to balance, a base and a pH."""
    metals = draw(st.lists(st.sampled_from(METALS), min_size=1, max_size=4, unique=True))
    beside = draw(st.lists(st.sampled_from(BESIDE), max_size=2, unique=True))
    totals = {name: 10 ** draw(st.floats(-5, -0.4)) for name in [*metals, *beside]}
    acid = 10 ** draw(st.floats(-2, 0.3))
    totals["Cl^-"] = max(acid + sum(charge(name) * total for name, total in totals.items()), 0.01)
    return totals, draw(st.sampled_from(BASES)), draw(st.floats(2.5, 11.5)), draw(st.sampled_from(list(SETS)))


@cache
def referee(lean, components):
    return Referee(SETS[lean](), list(components))


def compared(totals, base, ph, lean):
    """Both answers, or None where there is no dose to put back or PHREEQC gives up."""
    dose = dose_to_ph(Liquor(totals), base, ph, SETS[lean](), vent_atm=0.0)
    assert dose.converged.all(), "a liquor without an answer"
    if not dose.reachable[0]:
        return None
    brought = {"NaOH": ["Na^+"], "KOH": ["K^+"], "Ca(OH)2": ["Ca^2+"], "Na2CO3": ["Na^+", "CO3^2-"]}[base]
    components = tuple(sorted({*totals, *brought}))
    try:
        theirs = referee(lean, components).pot(totals, base, float(dose.base_mol_per_l[0]))
    except Exception:  # phreeqpython raises nothing narrower when PHREEQC does not converge
        return None
    return dose, theirs


def check(dose, theirs, ph):
    state = dose.state
    assert theirs["ph"] == pytest.approx(ph, abs=0.005)
    assert state.ionic_strength[0] == pytest.approx(theirs["ionic"], rel=2e-3)
    for name, mol_per_l in theirs["dissolved"].items():
        if mol_per_l > SEEN_MOL_PER_L and name != "Sn^4+":
            assert np.log10(state.dissolved_mol_per_l[name][0]) == pytest.approx(np.log10(mol_per_l), abs=0.02), name
    for key, mol_per_l in theirs["solids"].items():
        assert state.phases_mol_per_l.get(key, np.zeros(1))[0] == pytest.approx(mol_per_l, rel=2e-3, abs=FAINT_G), key


def test_phreeqc_finds_the_same_pot_for_the_same_dose():
    done = []

    @settings(max_examples=160, deadline=None, database=None, derandomize=True)  # the same liquors for everybody who runs this
    @given(pots())
    def same(pot):
        both = compared(*pot)
        if both:
            check(*both, pot[2])
            done.append(pot)

    same()
    assert len(done) >= LEAST_COMPARED
