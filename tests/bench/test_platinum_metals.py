"""Platinum and palladium through every step: where each goes, what takes it out, its colour, and that it is never gold."""

import pytest

from refinekit.bench import cement, dissolve, drop, lot, melt, part, silver
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.ranges import likely
from refinekit.shop.batch import read_batch
from refinekit.shop.plan import run_plan

AU, AG, PD, PT, CU, FE = 196.96657, 107.8682, 106.42, 195.084, 63.546, 55.845  # CIAAW 2021
GOODS = {"gold_g": 25.0, "silver_g": 70.0, "palladium_g": 2.0, "platinum_g": 1.0}


def liquor_of(step):
    return next(pot for pot in step.pots if pot.name == "silver liquor")


def silver_liquor():
    return liquor_of(part.run(place=Place(), platinum_parted=0.2, **GOODS))


def says(step, word):
    return [line for _, line in step.says if word in line]


def test_gold_is_counted_without_them():
    step = lot.run(place=Place(), **GOODS)
    assert step.answer("gold").likely == 25.0
    assert melt.run(
        (Pot("sponge", solids_mol={"Au": 10 / AU, "Pt": 1 / PT, "Pd": 1 / PD}),), place=Place(), slag_share=0.0
    ).answer("fineness").likely == pytest.approx(1000 * 10 / 12)


def test_parting_sends_palladium_with_the_silver_and_most_platinum_with_the_gold():
    step = part.run(place=Place(), platinum_parted=0.2, **GOODS)
    assert step.answer("palladium_in_liquor").likely == pytest.approx(2.0)
    assert step.answer("platinum_in_liquor").likely == pytest.approx(0.2)
    assert step.answer("platinum_in_sponge").likely == pytest.approx(0.8)


def test_the_chloride_of_the_silver_leaves_them_in_the_liquor():
    liquor = silver_liquor()
    step = silver.run((liquor,), place=Place(), how="chloride", fines=0.0)
    curd = next(pot for pot in step.pots if pot.name == "silver chloride")
    for ion in ("Pd^2+", "Pt^4+"):
        assert curd.mol(ion) < 0.01 * liquor.mol(ion)
    assert says(step, "palladium stays in the liquor")
    assert says(step, "never ammonium")


def test_a_copper_bar_brings_both_down_with_the_silver():
    """By hand: one copper to a palladium, two to a platinum, half to a silver."""
    liquor = silver_liquor()
    step = silver.run((liquor,), place=Place(), how="copper", copper_stays=0.0)
    powder = next(pot for pot in step.pots if pot.name == "silver powder")
    assert powder.solid_g("Pd") == pytest.approx(liquor.mol("Pd^2+") * PD)
    assert powder.solid_g("Pt") == pytest.approx(liquor.mol("Pt^4+") * PT)
    wanted = (liquor.mol("Ag^+") / 2 + liquor.mol("Pd^2+") + 2 * liquor.mol("Pt^4+")) * CU
    assert step.answer("copper_for_silver").likely == pytest.approx(wanted)


@pytest.mark.parametrize("metal", ["copper", "iron", "aluminium"])
def test_any_baser_metal_takes_them_out_of_a_nitrate_liquor(metal):
    liquor = Pot("nitrate liquor", 1.0, {"Pd^2+": 0.01, "Pt^4+": 0.002, "Cu^2+": 0.1, "NO3^-": 0.228, "H2O": 55.0})
    step = cement.run((liquor,), place=Place(), metal=metal)
    assert sum(pot.solid_g("Pd") for pot in step.pots) == pytest.approx(0.01 * PD)
    assert sum(pot.solid_g("Pt") for pot in step.pots) == pytest.approx(0.002 * PT)


def test_dimethylglyoxime_takes_palladium_and_leaves_platinum():
    """Factor of the precipitate from the masses of 2021: 106.42 of 336.645."""
    step = silver.run((silver_liquor(),), place=Place(), how="palladium")
    fallen, rest = step.pots[0], step.pots[-1]
    assert fallen.element_g("Pd") == pytest.approx(fallen.solid_g("PdC8H14N4O4") * 106.42 / 336.645, rel=1e-5)
    assert rest.mol("Pd^2+") == pytest.approx(0.0, abs=1e-12)
    assert rest.mol("Pt^4+") > 0
    assert says(step, "orange-red is platinum")


def test_platinum_of_the_sponge_follows_the_gold_and_falls_slowly_after_it():
    sponge = Pot("sponge", solids_mol={"Au": 10 / AU, "Pt": 0.5 / PT})
    liquor = dissolve.run((sponge,), place=Place()).pots[0]
    assert liquor.mol("PtCl6^2-") * PT == pytest.approx(0.5, rel=1e-6)
    barren = drop.run((liquor,), place=Place(), reagent="smb")
    powder = next(pot for pot in barren.pots if pot.name == "gold powder")
    assert powder.solid_g("Au") == pytest.approx(10.0, rel=0.01)
    assert barren.answer("gold_powder").likely == pytest.approx(10.0, rel=0.01)


PLATINUM = """
[lot]
kind = "karat"
weight = "20 g"
fineness = "750"
platinum-fineness = "5 %"
[shop]
outdoors = true
"""


def test_a_plan_of_gold_with_platinum_is_stopped_before_ammonium_loses_it():
    plan = run_plan(read_batch(PLATINUM, "platinum.toml"))
    stops = [notice for _, notice in plan.notices() if notice.level == "stop"]
    assert plan.stopped_at.startswith("platinum.toml, usual route (denox)")
    assert any("platinum" in notice.text for notice in stops)


def test_boiled_down_instead_the_same_plan_goes_through_and_all_platinum_is_there():
    text = PLATINUM + '[[step]]\ndo = "denox"\nmethod = "boil"\n'
    plan = run_plan(read_batch(text, "platinum.toml"))
    assert plan.stopped_at == ""
    assert sum(likely(pot.element_g("Pt")) for pot in plan.pots) == pytest.approx(1.0, rel=1e-6)
