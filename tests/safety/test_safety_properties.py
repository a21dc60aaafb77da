"""What must hold of every situation: a worse pot is never judged better, and size alone changes nothing."""

from dataclasses import replace

import pytest
from situations import LEVELS, cases, scene_of_case

from refinekit.errors import OutOfRange
from refinekit.ranges import Range
from refinekit.safety.engine import judge, level_of
from refinekit.safety.scene import Dose, Scene, Vessel, summed

ALL = [one for name in ("hazards", "situations", "variations", "unseen") for one in cases(f"{name}.json")]
HAZARDOUS = [
    "NH4+",
    "NH3",
    "ClO-",
    "CN-",
    "S2-",
    "As",
    "Cd",
    "Hg",
    "NO3-",
    "NO2-",
    "urea",
    "hydrazine",
    "Ag(I)",
    "acetone",
    "H2O2",
]


def with_more(scene, what, amount):
    pot = scene.pot
    worse = replace(pot, mol=summed([pot.mol, {what: Range.point(amount)}]))
    return replace(scene, pots=(worse, *scene.pots[1:]))


def scaled(scene, times):
    def amounts(mol):
        return {what: amount * times for what, amount in mol.items()}

    def pot(one):
        lot_g = one.lot_g * times if one.lot_g else None
        return replace(one, mol=amounts(one.mol), volume_l=one.volume_l * times, lot_g=lot_g, size_l=None, width_cm=None)

    doses = tuple(replace(one, mol=amounts(one.mol), volume_l=one.volume_l * times) for one in scene.doses)
    place = scene.place
    room = place.room_m3 * times if place.room_m3 else None
    return replace(
        scene,
        pots=tuple(pot(one) for one in scene.pots),
        doses=doses,
        end_l=scene.end_l * times if scene.end_l is not None else None,
        air_l_min=scene.air_l_min * times,
        place=replace(place, room_m3=room, fan_m3_per_min=place.fan_m3_per_min * times),
    )


@pytest.mark.parametrize("case", ALL, ids=lambda case: case["id"])
def test_more_of_a_hazard_is_never_less_of_a_warning(case):
    scene = scene_of_case(case)
    before = LEVELS.index(level_of(judge(scene)))
    lowered = [
        what
        for what in HAZARDOUS
        for amount in (1e-3, 1.0)
        if LEVELS.index(level_of(judge(with_more(scene, what, amount)))) < before
    ]
    assert lowered == []


@pytest.mark.parametrize("case", ALL, ids=lambda case: case["id"])
def test_the_same_in_a_bigger_shop_is_the_same_danger(case):
    scene = scaled(scene_of_case(case), 1.0)

    def dangers(times):
        # a person does not shrink with the room: a tenth of one is a cupboard
        return {(one.code, one.level) for one in judge(scaled(scene, times)) if one.code != "cupboard"}

    for times in (0.1, 37.0):
        assert dangers(times) == dangers(1.0)


def test_the_worst_end_of_a_range_is_the_one_that_counts():
    def drop(nitric):
        pot = Vessel("gold liquor", {"Au(III)": Range.point(0.05), "H+": Range.point(1.0), "NO3-": nitric}, 0.5)
        return level_of(judge(Scene("drop", (pot,), (Dose("copperas", {"Fe(II)": Range.point(0.2)}),))))

    assert drop(Range(0.0, 0.0, 0.06)) == "stop"
    assert drop(Range(0.0, 0.0, 0.04)) == "warn"


def test_a_pot_that_cannot_be_is_refused_not_judged():
    with pytest.raises(OutOfRange, match="would hold -1 of Au"):
        Vessel("beaker", {"Au": Range.point(-1.0)})
    with pytest.raises(OutOfRange, match="two pots are called 'bath'"):
        Scene("mix", (Vessel("bath", {}), Vessel("bath", {})))
    with pytest.raises(OutOfRange, match="no pot to look at"):
        Scene("mix", ())
