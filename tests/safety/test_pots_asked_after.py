"""Pots asked after: what is shown of one, what a typed reason leaves in it, when to stop, pulp thrown away, edges of rules."""

from __future__ import annotations

import pytest

from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Gas, Reagent, Step
from refinekit.errors import BadQuantity, UnknownName
from refinekit.ranges import Range
from refinekit.safety.engine import judge
from refinekit.safety.history import with_history
from refinekit.safety.lift import LIFTED, idle, remembered
from refinekit.safety.portrait import portrait
from refinekit.safety.scene import Deed, Dose, Scene, Vessel
from refinekit.safety.speak import notice
from refinekit.safety.stop_if import stop_if
from refinekit.safety.substances import dose

ACID = Pot("acid", volume_l=1.0, dissolved_mol={"H^+": 0.005, "Cl^-": 0.005, "H2O": 55.0})
STRONG = Pot("strong acid", volume_l=1.0, dissolved_mol={"H^+": 5.0, "Cl^-": 5.0, "H2O": 50.0})


def codes(scene: Scene) -> dict[str, str]:
    return {one.code: one.level for one in judge(scene)}


def test_one_pot_of_several_is_asked_for_by_name_and_a_slip_of_the_pen_is_told() -> None:
    assert [pot.name for pot in portrait((ACID, STRONG), ("strong acid",)).pots] == ["strong acid"]
    with pytest.raises(UnknownName, match="did you mean 'acid'"):
        portrait((ACID, STRONG), ("acdi",))
    with pytest.raises(UnknownName, match="one of: acid, strong acid"):
        portrait((ACID, STRONG), ("zzzzzzzzzz",))


def test_weak_acid_is_no_corrosive_waste_and_strong_acid_is() -> None:
    """40 CFR 261.22: pH 2 or less; 0.005 mol/L stands at pH 2.3."""
    assert "in law" not in dict(portrait((ACID,)).lines)
    assert "D002" in dict(portrait((STRONG,)).lines)["in law"]


def test_water_alone_has_no_acid_and_an_empty_pot_says_that_nothing_is_known() -> None:
    assert "free acid" not in dict(portrait((Pot("water", volume_l=1.0, dissolved_mol={"H2O": 55.0}),)).lines)
    assert "not the same as safe" in dict(portrait((Pot("jar"),)).lines)["known of it"]


def test_a_typed_reason_stays_in_the_history_of_the_pot() -> None:
    step = Step("dissolve", pots=(ACID,))
    lifted = notice("stop", "chlorine.dissolve", may_override=True)
    typed = [type(lifted)(**{name: getattr(lifted, name) for name in lifted.__slots__} | {"reason": "hood runs"})]
    (kept,) = remembered(step, typed).pots
    assert kept.history[-1].did == f"{LIFTED}: chlorine; reason typed: hood runs"
    assert remembered(step, [lifted]).pots == (ACID,)
    assert [one.code for one in idle([lifted], {"chlorine": "why"})] == ["override-idle"]
    assert "no" in next(iter(idle([], {"mercury": "why"}))).text
    assert list(idle(typed, {"chlorine": "why"})) == []


def test_signs_to_stop_at_go_by_what_gas_comes_and_a_sum_has_none() -> None:
    nitric = Reagent("nitric acid", Range.point(6.0), 6.0, "mL", "likely")
    brown = Gas("NO2", Range.point(0.1), Range.point(2.4))
    quiet, gassing = Step("rinse", reagents=(nitric,)), Step("rinse", reagents=(nitric,), gases=(brown,))
    assert set(stop_if(quiet)) < set(stop_if(gassing))
    assert stop_if(Step("account", before=(ACID,))) == ()


PULP = Vessel("filter", {"paper": Range.point(10.0)}, history=(Deed("dissolve"), Deed("drop")))


@pytest.mark.parametrize(
    ("rinses", "warned"),
    [
        pytest.param((), True, id="never rinsed"),
        pytest.param((Deed("rinse", "once", (Dose("water", {}, 0.01),)),), True, id="rinsed once with what it holds"),
        # pulp holds 10 mL (common practice, no source): two washes of 1 L leave 1/101^2, under a thousandth
        pytest.param((Deed("rinse", "twice", (Dose("water", {}, 1.0),)),), False, id="two good washes"),
    ],
)
def test_pulp_that_once_held_gold_goes_out_only_when_rinsed(rinses: tuple[Deed, ...], warned: bool) -> None:
    pulp = Vessel(
        "filter",
        {"paper": Range.point(10.0), "Au(III)": Range.point(0.001)},
        history=(Deed("dissolve"), *rinses),
        causes={"gold-once": "x"},
    )
    assert ("leaving-gold-in-waste" in codes(Scene("discard", (pulp,), to="solid waste"))) is warned


def test_paper_that_never_met_gold_is_paper() -> None:
    assert "leaving-gold-in-waste" not in codes(
        Scene("discard", (Vessel("paper", {"paper": Range.point(5.0)}),), to="solid waste")
    )


def test_a_cupboard_is_no_room_to_gas_in() -> None:
    gas = {"NO2": Range.point(0.01)}
    small, large = (Scene("fume", (Vessel("gas", {}),), gases=gas, place=Place(room_m3=size)) for size in (2.0, 60.0))
    assert codes(small)["cupboard"] == "stop"
    assert "cupboard" not in codes(large)


def test_water_into_strong_nitric_is_warned_of() -> None:
    """Strong nitric boils where water is poured into it: common practice, no source."""
    acid = Vessel("nitric", {"NO3-": Range.point(15.0), "H+": Range.point(15.0)}, 1.0, percent={"NO3-": 90.0})
    water = Dose("water", {}, 0.5, substance="water")
    assert "acid-spit" in codes(Scene("dilute", (acid,), (water,)))


def test_old_capacitors_are_no_lot_to_burn() -> None:
    lot = Vessel("box", {"Cu": Range.point(1.0)}, history=(Deed("lot", "old capacitors, black, with pcb oil"),))
    assert codes(Scene("lot", (lot,)))["poison"] == "stop"


def test_tin_in_a_bath_of_hydrochloric_wants_a_rinse_before_nitric() -> None:
    goods = Vessel("pins", {"Sn": Range.point(0.1), "H+": Range.point(2.0), "Cl-": Range.point(2.0)}, 1.0)
    assert codes(Scene("leach", (goods,)))["colloid"] == "note"


def test_a_thin_gold_liquor_drops_as_a_cloud() -> None:
    thin = with_history(Vessel("rinses", {"Au(III)": Range.point(0.0001), "Cl-": Range.point(0.1), "H+": Range.point(0.1)}, 1.0))
    assert "colloid" in codes(Scene("drop", (thin,)))


def test_an_amount_in_a_unit_that_says_nothing_of_it_is_refused() -> None:
    with pytest.raises(BadQuantity, match="cannot be reckoned"):
        dose("nitric", Range.point(3.0), "cm")
