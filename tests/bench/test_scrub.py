"""Scrub: worked cases, gas by gas, what slips, peroxide, the air's carbon dioxide, and the spent liquor as a pot."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.scrub import choose, run
from refinekit.bench.step import element_totals
from refinekit.chemistry.solution import Solution
from refinekit.errors import CannotFollow
from refinekit.safety.engine import review
from refinekit.safety.from_step import vessel
from refinekit.safety.keep_apart import meet

WORKED = {
    case["id"]: case["answers"]
    for case in json.loads((Path(__file__).parent.parent / "data/worked/area9.json").read_text())["cases"]
}
SHOP = Place()
THIRTY = Solution("H2O2", 0.30, 1.11, "30 %")


def codes(step):
    return {(one.code, one.level) for one in review(step, SHOP, overrides={})}


def test_worked_caustic_for_equal_oxides_and_acid():
    step = run(place=SHOP, nitric_oxide_mol=0.0762, nitrogen_dioxide_mol=0.0762, hydrogen_chloride_mol=0.1)
    wanted = WORKED["9.08"]["naoh"]
    assert step.answer("naoh").likely == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


def test_worked_share_that_should_turn_brown_first():
    wanted = WORKED["9.16"]["share"]
    found = run(place=SHOP, nitric_oxide_mol=0.1).answer("nitric_oxide_to_turn_brown").likely
    assert found == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


def test_caustic_gas_by_gas():
    # by hand: 1 HCl + 2 x 1 Cl2 + 2 x 1 SO2 + 2 x 1 NOCl, 39.997 g/mol
    gases = {"hydrogen_chloride_mol": 1.0, "chlorine_mol": 1.0, "sulfur_dioxide_mol": 1.0, "nitrosyl_chloride_mol": 1.0}
    step = run(place=SHOP, caustic_times=1.5, **gases)
    assert step.answer("naoh").likely == pytest.approx(7 * 39.997, rel=1e-4)
    assert step.reagents[0].to_take == pytest.approx(10.5 * 39.997, rel=1e-4)
    assert any("never acidify it" in line for heading, line in step.says if heading == "left over")


def test_nitric_oxide_alone_passes():
    step = run(place=SHOP, nitric_oxide_mol=0.1, nitrogen_dioxide_mol=0.04)
    assert step.answer("nitric_oxide_slips").likely == pytest.approx(0.06 * 24.465, rel=1e-4)
    assert step.answer("naoh").likely == pytest.approx(0.08 * 39.997, rel=1e-4)
    assert step.answer("nitric_oxide_out").likely == pytest.approx(0.06 * 24.465, rel=1e-4)
    assert ("scrubber-slip", "warn") in codes(step)


def test_half_turned_brown_passes_nothing():
    step = run(place=SHOP, nitric_oxide_mol=0.1, turned=0.5)
    assert step.answer("nitric_oxide_slips").likely == pytest.approx(0.0, abs=1e-12)
    assert step.gases == ()
    assert ("scrubber-slip", "warn") not in codes(step)


def test_sized_for_all_brown():
    step = run(place=SHOP, gold_g=196.96657, caustic_times=1.5)
    assert step.answer("naoh").high == pytest.approx(3 * 39.997, rel=1e-4)


def test_peroxide_catches_some_of_what_slips():
    plain = run(place=SHOP, nitric_oxide_mol=0.1)
    helped = run(place=SHOP, nitric_oxide_mol=0.1, peroxide=THIRTY, peroxide_volume_l=0.05)
    # 3 peroxide to 2 nitric oxide; 30 %, 1.11 g/mL is 9.79 mol/L; half of it is caught (common practice, no source)
    assert helped.answer("peroxide_for_slip").likely == pytest.approx(0.15 / 9.79 * 1000, rel=0.01)
    assert helped.answer("nitric_oxide_out").likely == pytest.approx(plain.answer("nitric_oxide_out").likely / 2, rel=1e-6)
    assert helped.pots[0].mol("NO3^-") == pytest.approx(0.05)


def test_air_eats_caustic():
    # 2 L/min for 10 h is 1200 L at 420 ppm: 0.504 L or 20.6 mmol of carbon dioxide, two caustic to each
    step = run(place=SHOP, nitrogen_dioxide_mol=0.1, air_l_per_min=2.0, time_s=36000.0)
    assert step.answer("caustic_eaten_by_air").likely == pytest.approx(2 * 0.504 / 24.465 * 39.997, rel=1e-3)
    assert step.pots[0].mol("CO3^2-") == pytest.approx(0.504 / 24.465, rel=1e-3)


def test_too_little_caustic_lets_the_rest_through():
    step = run(place=SHOP, chlorine_mol=0.5, caustic_g=20.0, volume_l=0.5)
    # 0.5 mol of caustic takes a quarter of a mole of chlorine
    slips = next(gas for gas in step.gases if gas.formula == "Cl2")
    assert slips.mol.likely == pytest.approx(0.5 - 20 / 39.997 / 2, rel=1e-4)
    assert ("scrubber-slip", "warn") in codes(step)
    assert any(line.startswith("stop: 20 g is in it, 40 g is needed") for heading, line in step.says if heading == "caustic")


def test_chlorine_and_sulfur_dioxide_share_no_scrubber():
    step = run(place=SHOP, chlorine_mol=0.1, sulfur_dioxide_mol=0.1)
    assert ("chlorine", "warn") in codes(step)
    assert any("eat each other" in line for _, line in step.says)


@pytest.mark.parametrize(
    ("told", "gas"),
    [
        ({"nitrogen_dioxide_mol": 0.1}, "nox"),
        ({"chlorine_mol": 0.1}, "chlorine"),
        ({"sulfur_dioxide_mol": 0.1}, "sulfur-dioxide"),
    ],
)
def test_spent_liquor_is_a_pot_that_must_not_meet_acid(told, gas):
    (spent,) = run(place=SHOP, **told).pots
    acid = Pot("acid", 0.1, {"H^+": 1.0, "Cl^-": 1.0})
    assert spent.name == "spent scrubber"
    assert gas in {one.code for one in meet(vessel(spent), vessel(acid)).notices}


def test_used_liquor_goes_on_with_what_it_has_left():
    first = run(place=SHOP, nitrogen_dioxide_mol=0.1, caustic_times=2.0)
    assert choose(first.pots) == first.pots
    second = run(first.pots, place=SHOP, nitrogen_dioxide_mol=0.15)
    # 0.2 mol in, 0.1 eaten: 0.05 mol of the second slips
    slips = next(gas for gas in second.gases if gas.formula == "NO2")
    assert slips.mol.likely == pytest.approx(0.05, rel=1e-6)


def test_brown_fume_says_who_to_tell():
    step = run(place=SHOP, nitrogen_dioxide_mol=0.1)
    assert any("stays with you for 30 h" in line for heading, line in step.says if heading == "after a breath")


MOL = st.floats(0.0, 2.0)


@given(MOL, MOL, MOL, MOL, MOL, st.floats(0.0, 300.0))
def test_every_atom_that_came_in_is_caught_or_passes(no, no2, chlorine, sulfur, acid, caustic):
    told = {"nitric_oxide_mol": no, "nitrogen_dioxide_mol": no2, "chlorine_mol": chlorine, "sulfur_dioxide_mol": sulfur}
    step = run(place=SHOP, hydrogen_chloride_mol=acid, caustic_g=caustic, volume_l=1.0, **told)
    out = element_totals(step.outs)
    assert out.get("N", 0.0) == pytest.approx(no + no2, abs=1e-9)
    assert out.get("S", 0.0) == pytest.approx(sulfur, abs=1e-9)
    assert out.get("Na", 0.0) == pytest.approx(caustic / 39.99711, rel=1e-4, abs=1e-9)
    assert float(np.min(step.pots[0].mol("OH^-"))) >= 0


def test_nothing_to_scrub_is_refused():
    with pytest.raises(CannotFollow, match="nothing was told"):
        run(place=SHOP, volume_l=1.0)
