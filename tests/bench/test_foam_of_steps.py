"""Foam and the room over it, in every step that makes gas: by hand from the gas, the portions and the vessel.

Portions, speeds and lines: common practice, no source.
"""

import pytest

from refinekit.bench.cement import run as cement
from refinekit.bench.denox import run as denox
from refinekit.bench.dissolve import run as dissolve
from refinekit.bench.drop import run as drop
from refinekit.bench.foam import foam_at_rate, foam_by_portions, half_full_l
from refinekit.bench.leach import run as leach
from refinekit.bench.neutralise import run as neutralise
from refinekit.bench.place import Place
from refinekit.bench.silver import run as silver
from refinekit.bench.vessel import vessel_for
from refinekit.bench.work import Work

# gold 196.97 g/mol, sulfamic 97.09 g/mol, 24.465 L/mol at 25 C; a round vessel as deep as wide: 92.26 cm2 to a litre, by V^(2/3)
LITRE_CM2 = 92.26


def told(step):
    return {answer.name for answer in step.answers}


def test_oxalic_on_gold_by_hand():
    step = drop([], place=Place(), reagent="oxalic", gold_g=100.0, volume_l=1.0, free_acid_mol_per_l=1.0)
    # three carbon dioxide to a gold, in ten portions, nine tenths of one in 5 min at the boil, counted twice
    litres = 100 / 196.97 * 3 * 24.465
    ml_per_s = 2.302585 * litres / 10 / 5 * 1000 / 60 * 373.15 / 298.15
    area = LITRE_CM2 * (step.answer("vessel").likely / 1000) ** (2 / 3)
    assert step.answer("foam").likely == pytest.approx(2 * ml_per_s / area, rel=0.01)
    liquor_ml = step.answer("vessel").likely - step.answer("headroom").low
    assert 1000 < liquor_ml < 3000
    assert step.answer("portion_most").likely * step.answer("foam").likely == pytest.approx(
        step.answer("portion").likely, rel=1e-6
    )


def test_sulfamic_on_nitric_by_hand():
    step = denox([], place=Place(), nitric_left_l=0.0021, volume_l=0.09, dissolved_gold_g=2.1, taken=1.0)
    litres = step.answer("n2o").high
    ml_per_s = 2.302585 * litres / 10 / 1 * 1000 / 60 * 363.15 / 298.15
    area = LITRE_CM2 * (step.answer("vessel").likely / 1000) ** (2 / 3)
    assert step.answer("foam").likely == pytest.approx(2 * ml_per_s / area, rel=0.01)
    assert step.answer("headroom").likely == pytest.approx(step.answer("vessel").likely - 90, rel=1e-6)
    assert step.answer("portion").likely == pytest.approx(0.1 * litres / 24.465 * 97.09, rel=0.01)


@pytest.mark.parametrize(
    ("run", "told_of"),
    [
        (drop, {"reagent": "smb", "gold_g": 2.1, "volume_l": 0.43, "free_acid_mol_per_l": 1.0}),
        (drop, {"reagent": "zinc", "gold_g": 2.1, "volume_l": 0.43, "free_acid_mol_per_l": 1.0}),
        (drop, {"reagent": "formic", "gold_g": 2.1, "volume_l": 0.43, "free_acid_mol_per_l": 1.0}),
        (drop, {"reagent": "hydrazine-sulfate", "gold_g": 2.1, "volume_l": 0.43, "free_acid_mol_per_l": 1.0}),
        (dissolve, {"gold_g": 8.0}),
        (dissolve, {"gold_g": 8.0, "method": "peroxide"}),
        (dissolve, {"gold_g": 8.0, "method": "bleach"}),
        (denox, {"method": "button", "nitric_left_l": 0.002, "volume_l": 0.09, "dissolved_gold_g": 2.0}),
        (leach, {"method": "nitric", "copper_g": 50.0}),
        (leach, {"method": "strip", "tin_g": 30.0, "lead_g": 20.0}),
        (leach, {"method": "peroxide", "copper_g": 50.0, "zinc_g": 5.0}),
        (leach, {"copper_g": 50.0, "zinc_g": 5.0, "volume_l": 3.0, "air_l_per_min": 2.0}),
        (cement, {"metal": "iron", "volume_l": 4.0, "copper_g": 66.0, "free_acid_mol_per_l": 0.5}),
        (cement, {"metal": "aluminium", "volume_l": 4.0, "copper_g": 66.0, "free_acid_mol_per_l": 0.5}),
        (neutralise, {"volume_l": 4.0, "free_acid_mol_per_l": 1.0, "reagent": "soda-ash"}),
        (silver, {"silver_g": 92.5, "free_nitric_l": 0.02, "how": "copper"}),
        (silver, {"silver_chloride_g": 100.0, "how": "iron"}),
    ],
)
def test_every_step_that_makes_gas_tells_its_foam_once(run, told_of):
    step = run([], place=Place(), **told_of)
    assert sum(answer.name == "foam" for answer in step.answers) == 1
    assert step.answer("foam").high > 0
    assert [where for where, _ in step.says].count("foam") == 1


def test_a_step_without_gas_tells_none():
    assert "foam" not in told(neutralise([], place=Place(), volume_l=4.0, free_acid_mol_per_l=1.0, reagent="caustic"))
    assert "foam" not in told(drop([], place=Place(), reagent="copperas", gold_g=2.1, volume_l=0.43, free_acid_mol_per_l=1.0))


@pytest.mark.parametrize(("l_per_min", "level"), [(0.2, []), (1.0, ["warn"]), (3.0, ["stop"])])
def test_gas_that_comes_too_fast_is_cautioned(l_per_min, level):
    # a 100 mL beaker: 19.88 cm2; 0.2 L/min is 0.17 cm/s, 1 is 0.84, 3 is 2.5; sulfamic and its like count twice
    work = Work("drop", place=Place())
    speed = foam_at_rate(work, l_per_min, 0.1, "it gasses", frothing=True)
    assert speed == pytest.approx(2 * l_per_min * 1000 / 60 / 19.88, rel=1e-3)
    assert [(notice.level, notice.code) for notice in work.done(None).notices] == [(one, "froth-over") for one in level]


def test_gas_is_shared_out_where_one_vessel_is_too_small():
    many = vessel_for(150.0, 3.0)
    assert many.count > 1
    work, one = Work("drop", place=Place()), Work("drop", place=Place())
    shared = foam_at_rate(work, 10.0, many, "it gasses")
    assert shared * many.count == pytest.approx(foam_at_rate(one, 10.0, many.size_l, "it gasses"))


def test_in_a_shallow_pan_a_portion_may_be_larger():
    most = []
    for vessel_l in (1.0, 8.0):
        work = Work("denox", place=Place())
        work.pour("liquor", {"H2O": 20.0}, volume_l=0.36)
        foam_by_portions(work, 30.0, "sulfamic", vessel_l, 100.0)
        most.append(work.done("liquor").answer("portion_most").likely)
    assert most[1] == pytest.approx(4 * most[0], rel=1e-6)  # eight times the volume, four times the surface


def test_a_pot_is_half_filled():
    assert half_full_l(2.0) == 4.0
