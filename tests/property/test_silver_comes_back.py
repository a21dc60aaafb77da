"""What must always hold on the silver side: parted, thrown down and reduced, every gram of silver is in some pot."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from refinekit.bench import inquart, melt, part, silver
from refinekit.bench.denox import run as denox
from refinekit.bench.place import Place
from refinekit.bench.step import element_totals
from refinekit.ranges import high

GRAMS = st.floats(0.5, 500.0)
PLACE = Place()


def silver_g(pots):
    return sum(pot.element_g("Ag") for pot in pots)


def named(pots, start):
    return next(pot for pot in pots if pot.name.startswith(start))


@settings(deadline=None, max_examples=60)
@given(gold=GRAMS, white=GRAMS, copper=st.floats(0.0, 300.0), how=st.sampled_from(["iron", "zinc", "caustic"]))
def test_parted_thrown_down_and_reduced_all_silver_is_somewhere(gold, white, copper, how):
    assume(white > 0.05 * gold)  # else the sponge keeps it all, and there is nothing to throw down
    parted = part.run(place=PLACE, gold_g=gold, silver_g=white, copper_g=copper)
    sponge, liquor = named(parted.pots, "sponge"), named(parted.pots, "silver liquor")
    thrown = silver.run((liquor,), place=PLACE, how="chloride")
    curd = named(thrown.pots, "silver chloride")
    aside = [pot for pot in thrown.pots if pot is not curd]
    reduced = silver.run((curd,), place=PLACE, how=how)
    assert silver_g((sponge, *aside, *reduced.pots)) == pytest.approx(white, rel=1e-9)
    if how != "caustic":  # as curd it all goes to metal on a metal
        powder = named(reduced.pots, "silver powder")
        assert powder.solid_g("Ag") == pytest.approx(curd.solid_mol("AgCl") * 107.8682, rel=1e-6)


@settings(deadline=None, max_examples=60)
@given(white=GRAMS, nitric=st.floats(0.0, 2.0))
def test_cemented_on_copper_all_silver_comes_down_and_the_copper_for_it_goes_up(white, nitric):
    step = silver.run(place=PLACE, how="copper", silver_g=white, free_nitric_l=nitric, copper_stays=0.0)
    assert named(step.pots, "silver powder").solid_g("Ag") == pytest.approx(white, rel=1e-9)
    before, after = element_totals(step.ins)["Cu"], element_totals(step.outs)["Cu"]
    assert high(before) == pytest.approx(high(after), rel=1e-9)


@settings(deadline=None, max_examples=60)
@given(weight=GRAMS, fineness=st.floats(0.3, 0.95), low=st.floats(0.2, 0.35), more=st.floats(0.0, 0.1))
def test_the_more_silver_goes_in_the_lower_the_gold_and_the_higher_the_silver(weight, fineness, low, more):
    def shares(target):
        pot = inquart.run(place=PLACE, weight_g=weight, fineness=fineness, silver_in_balance=0.5, target=target).pots[0]
        whole = sum(pot.solid_g(symbol) for symbol in ("Au", "Ag", "Cu"))
        return pot.solid_g("Au") / whole, pot.solid_g("Ag") / whole

    rich, poor = shares(low + more), shares(low)
    assert poor[0] <= rich[0] + 1e-12
    assert poor[1] >= rich[1] - 1e-12


@settings(deadline=None, max_examples=40)
@given(gold=GRAMS, grit=st.floats(0.0, 50.0), collector=st.sampled_from([None, "silver", "copper"]))
def test_a_melt_keeps_every_metal_in_button_or_slag(gold, grit, collector):
    told = {"collector": collector} if collector else {}
    step = melt.run(place=PLACE, gold_g=gold, grit_g=grit, dirt="dirty", **told)
    for symbol in ("Au", "Ag", "Cu"):
        put_in = element_totals(step.ins).get(symbol, 0.0)
        assert sum(pot.element_mol(symbol) for pot in step.pots) == pytest.approx(put_in, rel=1e-9)


@settings(deadline=None, max_examples=40)
@given(white=GRAMS)
def test_part_neutralising_the_nitrate_liquor_moves_no_metal(white):
    liquor = named(part.run(place=PLACE, silver_g=white, copper_g=10.0).pots, "silver liquor")
    nitrate = silver.run((liquor,), place=PLACE, how="chloride").pots[-1]
    weak = denox((nitrate,), place=PLACE, method="caustic").pots[0]
    for symbol in ("Ag", "Cu", "N"):
        assert weak.element_mol(symbol) == pytest.approx(nitrate.element_mol(symbol), rel=1e-9)
