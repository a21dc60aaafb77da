"""Neutralising whatever liquor: nothing is lost, more acid never needs less, and all goes with the scale."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.neutralise import run
from refinekit.bench.pot import Pot
from refinekit.ranges import Range, spread

REAGENTS = ("caustic", "caustic-liquor", "potash", "lime", "soda-ash", "bicarbonate", "magnesium-hydroxide")
CHARGES = {
    "H^+": 1,
    "Cu^2+": 2,
    "Ni^2+": 2,
    "Zn^2+": 2,
    "Fe^2+": 2,
    "Fe^3+": 3,
    "Al^3+": 3,
    "Sn^4+": 4,
    "Pb^2+": 2,
    "Cd^2+": 2,
    "NH4^+": 1,
}


@st.composite
def liquors(draw):
    ions = {ion: draw(st.floats(0.001, 1.5) if ion == "H^+" else st.one_of(st.just(0.0), st.floats(0.0, 0.8))) for ion in CHARGES}
    cuprous, dissolved_gas = draw(st.floats(0.0, 0.3)), draw(st.floats(0.0, 0.3))
    charge = sum(CHARGES[ion] * mol for ion, mol in ions.items()) - cuprous
    sulfate = draw(st.floats(0.0, 1.0)) * max(charge, 0.0) / 2
    rest = {"Cl^-": max(charge - 2 * sulfate, 0.0), "SO4^2-": sulfate, "Na^+": max(-charge, 0.0)}
    volume = draw(st.floats(0.2, 40.0))
    return Pot("rinses", volume, {**ions, **rest, "CuCl2^-": cuprous, "SO2": dissolved_gas, "H2O": 55 * volume})


@given(liquors(), st.sampled_from(REAGENTS), st.sampled_from(REAGENTS), st.floats(0.0, 1.0))
def test_nothing_is_lost_and_the_acid_is_gone(pot, reagent, second, share):
    step = run([pot], by="charge", reagent=reagent, second_reagent=second, second_share=share, ph=9.5)
    assert all(np.all(np.asarray(mol) >= 0) for one in step.pots for mol in one.dissolved_mol.values())
    assert sum(one.mol("H^+") for one in step.pots) == pytest.approx(0, abs=1e-9)
    for element in ("Cu", "Ni", "Fe", "Al", "Sn"):
        assert sum(one.element_mol(element) for one in step.pots) == pytest.approx(pot.element_mol(element), abs=1e-12)


@given(liquors(), st.floats(0.0, 2.0), st.sampled_from(REAGENTS))
def test_more_acid_never_needs_less_alkali(pot, more, reagent):
    sourer = Pot(pot.name, pot.volume_l, {**pot.dissolved_mol, "H^+": pot.mol("H^+") + more, "Cl^-": pot.mol("Cl^-") + more})
    one, two = (run([some], by="charge", reagent=reagent, ph=9.0) for some in (pot, sourer))
    assert two.answer("alkali").likely == pytest.approx(one.answer("alkali").likely + more)


@given(liquors(), st.floats(1.5, 30.0), st.sampled_from(REAGENTS))
def test_all_goes_with_the_scale(pot, times, reagent):
    larger = Pot(pot.name, times * pot.volume_l, {ion: times * mol for ion, mol in pot.dissolved_mol.items()})
    one, many = (run([some], by="charge", reagent=reagent, ph=9.0) for some in (pot, larger))
    for name in ("alkali", "heat", "co2", "sludge_dry", "drum", reagent.replace("-", "_")):
        assert many.answer(name).likely == pytest.approx(times * one.answer(name).likely, rel=1e-6, abs=1e-9)
    assert many.answer("rise").likely == pytest.approx(one.answer("rise").likely, rel=1e-6, abs=1e-9)


@given(st.floats(0.1, 2.0), st.floats(0.0, 2.0), st.floats(1.0, 50.0), st.floats(0.0, 50.0))
def test_corners_bound_the_range(acid, wider, copper, more):
    inputs = {
        "acid_mol": Range(acid, acid + wider / 2, acid + wider),
        "copper_g": Range(copper, copper + more / 2, copper + more),
    }
    found = run(by="charge", volume_l=1.0, **spread(inputs)).answer("alkali")
    ends = [
        run(by="charge", volume_l=1.0, acid_mol=a, copper_g=c).answer("alkali").likely
        for a, c in ((acid, copper), (acid + wider, copper + more))
    ]
    assert [found.low, found.high] == pytest.approx(ends)
    assert found.low <= found.likely <= found.high
