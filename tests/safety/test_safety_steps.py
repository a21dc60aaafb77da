"""The rules on refinekit's own steps: what a step back is named, what a typed reason lifts, what is left alone."""

from dataclasses import replace

import numpy as np
import pytest

from refinekit.bench.denox import ROOM as DENOX
from refinekit.bench.dissolve import ROOM as DISSOLVE
from refinekit.bench.drop import ROOM as DROP
from refinekit.bench.place import Place
from refinekit.bench.pot import Event, Pot
from refinekit.bench.step import LEVELS, Notice, Step
from refinekit.bench.vent import run as vent
from refinekit.chemistry.species import molar_mass
from refinekit.safety.engine import review
from refinekit.safety.from_step import vessel
from refinekit.safety.gear import checklist, gear_for

HOOD = Place(room_m3=45, hood=True)
CLOSED = Place(room_m3=45)


def liquor(gold_g=8.0, nitric_mol=0.02):
    gold = gold_g / molar_mass("Au")
    ions = {"AuCl4^-": gold, "H^+": 1.0 + gold + nitric_mol, "Cl^-": 1.0, "NO3^-": nitric_mol, "H2O": 20.0}
    return Pot("gold liquor", 0.35, ions, history=(Event("dissolve", "added nitric acid"),))


def denoxed(sulfamic_mol, nitric_mol=0.02):
    left_after = max(nitric_mol - sulfamic_mol, 0.0)
    spare = max(sulfamic_mol - nitric_mol, 0.0)
    before = liquor(nitric_mol=nitric_mol)
    ions = {**before.dissolved_mol, "NO3^-": left_after, "NH4^+": spare}
    pot = replace(before, dissolved_mol=ions, history=(*before.history, Event("denox", "added sulfamic acid")))
    return pot.marked("ammonium", "denox") if spare else pot


def said(step, place=HOOD, **overrides):
    return {notice.code: notice for notice in reversed(review(step, place, overrides=overrides))}


def drop_of(pot, alkali, **told):
    return DROP.run((pot,), place=HOOD, reagent="oxalic", alkali=alkali, **told)


def test_twice_the_sulfamic_then_ammonia_is_stopped_and_the_step_at_fault_is_named():
    found = review(drop_of(denoxed(0.04), "ammonia"), HOOD, overrides={})
    stops = [notice for notice in found if notice.level == "stop"]
    assert {notice.code for notice in stops} == {"fulminating-gold"}
    assert "denox" in {notice.cause for notice in stops}
    assert any("keep it wet" in notice.do for notice in stops)


def test_twice_the_sulfamic_then_caustic_is_stopped_too():
    found = said(drop_of(denoxed(0.04), "caustic"))
    assert (found["fulminating-gold"].level, found["fulminating-gold"].cause) == ("stop", "denox")


def test_exact_sulfamic_then_caustic_goes_through():
    assert [code for code, notice in said(drop_of(denoxed(0.02), "caustic")).items() if notice.level == "stop"] == []


@pytest.mark.parametrize(
    ("grams", "boiled", "stopped"),
    [
        # 0 to 30 mmol of nitric may be left: 97.09 g/mol times 30 mmol is 2.9 g, 1.2 times it 3.5 g
        pytest.param(2.9, False, False, id="within the need of the most"),
        pytest.param(3.7, False, True, id="over 1.2 times it"),
        pytest.param(2.9, True, True, id="within it, boiled on"),
    ],
)
def test_sulfamic_within_the_need_and_not_boiled_on_leaves_no_ammonium_for_caustic(grams, boiled, stopped):
    gold, nitric = 8.0 / molar_mass("Au"), np.array([0.015, 0.0, 0.030])
    ions = {"AuCl4^-": gold, "H^+": 1.0 + gold + nitric, "Cl^-": 1.0, "NO3^-": nitric, "H2O": 20.0}
    pot = Pot("gold liquor", 0.35, ions, history=(Event("dissolve", "added nitric acid"),))
    after = DENOX.run((pot,), place=HOOD, method="sulfamic", sulfamic_g=grams, boiled_after=boiled).pots[0]
    found = said(drop_of(after, "caustic"))
    assert ("fulminating-gold" in found) is stopped


def test_sulfamic_within_the_need_still_must_not_meet_bleach():
    pot = DENOX.run((liquor(nitric_mol=0.0),), place=HOOD, method="sulfamic", sulfamic_g=0.5).pots[0]
    assert vessel(pot).most_of("sulfamic", "NH4+") > 0


def test_metabisulfite_in_a_closed_room_is_stopped_and_a_reason_does_not_lift_it():
    step = DROP.run((liquor(nitric_mol=0.0),), place=CLOSED, reagent="smb")
    found = said(step, CLOSED, **{"sulfur-dioxide": "I hold my breath"})
    assert (found["sulfur-dioxide"].level, found["sulfur-dioxide"].reason) == ("stop", "")


def test_bleach_under_a_hood_goes_on_with_a_typed_reason_that_stays_on_it():
    step = DISSOLVE.run((), place=HOOD, gold_g=2.0, method="bleach")
    stopped = said(step)["chlorine"]
    assert (stopped.level, stopped.may_override, stopped.reason) == ("stop", True, "")
    lifted = said(step, chlorine="hood running, two people")["chlorine"]
    assert (lifted.level, lifted.reason) == ("stop", "hood running, two people")


def test_bleach_in_a_closed_room_cannot_be_typed_away():
    step = DISSOLVE.run((), place=CLOSED, gold_g=2.0, method="bleach")
    assert said(step, CLOSED, chlorine="the door is open")["chlorine"].reason == ""


def test_a_blank_reason_lifts_nothing():
    step = DISSOLVE.run((), place=HOOD, gold_g=2.0, method="bleach")
    assert said(step, chlorine="   ")["chlorine"].reason == ""


def test_worst_comes_first_and_nothing_twice():
    step = DROP.run((liquor(nitric_mol=0.1),), place=CLOSED, reagent="smb")
    found = review(step, CLOSED, overrides={})
    order = [LEVELS.index(notice.level) for notice in found]
    assert order == sorted(order, reverse=True)
    assert len({(notice.code, notice.text) for notice in found}) == len(found)


def test_a_step_keeps_its_own_notices():
    own = Notice("warn", "reagent-short", "too little", "weigh more", "equation")
    step = Step("rinse", notices=(own,))
    assert own in review(step, HOOD, overrides={})


def test_a_mark_without_an_amount_still_warns_of_what_it_stands_for():
    pot = Pot("goods", solids_mol={"Cu": 1.0}, marks={"cyanide": "lot"})
    assert vessel(pot).most("CN-") > 0
    assert vessel(pot).causes["CN-"] == "lot"


def test_rounding_dust_is_not_matter():
    assert vessel(Pot("pot", 1.0, {"NH4^+": 1e-15, "H2O": 55.0})).most("NH4+") == 0


@pytest.mark.parametrize(("verb", "words"), [("melt", "didymium"), ("rinse", "goggles"), ("neutralise", "caustic blinds")])
def test_gear_fits_the_step(verb, words):
    assert words in gear_for(Step(verb))
    assert "15 minutes" in gear_for(Step(verb))


def test_gear_for_brown_fume_warns_of_masks():
    assert "does not hold nitrogen oxides" in gear_for(DISSOLVE.run((), place=HOOD, gold_g=2.0))


def test_the_check_list_names_what_no_figure_shows():
    assert any("label" in line for line in checklist())
    assert any("hurried" in line for line in checklist())


def test_brown_fume_is_counted_once_as_one_oxide_or_the_other():
    # 8 g of gold: 0.1218 mol as nitrogen dioxide, 2.98 L; not that and the 0.99 L of nitric oxide beside it
    place = Place(room_m3=45.0, fan_m3_per_min=12.0)
    said = [one.text for one in review(vent(place=place, gold_g=8.0), place, overrides={}) if one.code == "nox"]
    assert ["up to 3 L of nitrogen dioxide" in text for text in said] == [True]


def test_metal_in_acid_is_not_told_as_aluminium_in_caustic():
    place = Place(room_m3=45.0)
    said = [one.text for one in review(vent(place=place, zinc_g=20.0), place, overrides={}) if one.code == "hydrogen"]
    assert ["metal in acid" in text for text in said] == [True]


def test_air_over_a_limit_is_told_over_the_time_the_limit_is_counted():
    """NIOSH counts nitrogen dioxide over 15 minutes; nitric oxide's 100 ppm are dangerous to life at once."""
    place = Place(room_m3=45.0, fan_m3_per_min=12.0)
    step = vent(place=place, gold_g=8.0, hot=True, time_s=1200.0)
    said = [one.text for one in review(step, place, overrides={}) if one.code == "gas-above-limit"]
    assert [("over 15 min" in text, "at its worst" in text) for text in said if "nitrogen dioxide" in text] == [(True, False)]
    assert [("over 15 min" in text, "at its worst" in text) for text in said if "nitric oxide" in text] == [(False, True)]
