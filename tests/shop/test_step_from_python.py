"""A step from a Python program: figures where it may be done, none where it is stopped, a clear fault where it cannot be read."""

import pytest

import refinekit as rk
from refinekit.errors import BadQuantity, CannotFollow, OutOfRange, UnknownName

BLEACH = {"gold": "2 g", "method": "bleach", "room": "45 m3", "hood": True}
REASON = "hood running, two people"


def told(found: rk.Result) -> set[tuple[str, str, str]]:
    return {(one.code, one.level, one.reason) for one in found.notices}


def test_what_is_weighed_and_poured_comes_out_with_its_bare_need() -> None:
    """Au + HNO3 + 4 HCl: 2 g of gold (196.967 g/mol) need 0.0406 mol, 4.06 mL of 20 Be acid at 10.0 mol/L."""
    done = rk.step("dissolve", gold="2 g", nitric="68 %", outdoors=True)
    acid = done.reagents[0]
    assert (done.stopped, acid.name, acid.unit) == (False, "hydrochloric acid", "mL")
    assert acid.bare.likely == pytest.approx(4.06, rel=0.01)
    assert acid.to_take > acid.bare.high
    assert [gas.formula for gas in done.gases] == ["NO", "NO2"]


def test_what_is_left_of_a_step_goes_into_the_next() -> None:
    liquor = rk.step("dissolve", gold="2 g", nitric="68 %", outdoors=True).pots
    calm = rk.step("denox", pots=liquor, method="sulfamic", outdoors=True)
    fallen = rk.step("drop", pots=calm.pots, reagent="smb", outdoors=True)
    assert not fallen.stopped
    assert fallen.answers["gold_powder"].range.likely == pytest.approx(2, rel=0.01)
    assert "gold powder" in {pot.name for pot in fallen.pots}


def test_a_pot_the_step_does_not_touch_is_still_there() -> None:
    drum = rk.step("dissolve", gold="1 g", nitric="68 %", outdoors=True).pots[0].renamed("cold drum")
    found = rk.step("dissolve", pots=(drum,), gold="2 g", nitric="68 %", outdoors=True)
    assert "cold drum" in {pot.name for pot in found.pots}


def test_a_stopped_step_gives_nothing_to_weigh_or_pour() -> None:
    found = rk.step("dissolve", **BLEACH)
    assert found.stopped
    assert ("chlorine", "stop", "") in told(found)
    assert found == rk.Result(stopped=True, notices=found.notices)


def test_air_past_its_limit_stops_and_still_says_how_far_past_it_is() -> None:
    found = rk.step("vent", gold="8 g", hot=True, time="20 min", room="45 m3", fan="0.02 m3/s")
    assert found.stopped
    assert found.answers["nitrogen_dioxide_peak"].unit
    assert not found.reagents


@pytest.mark.parametrize("reason", [REASON, f"  {REASON}  "])
def test_a_typed_reason_lifts_the_stop_and_goes_along_with_the_pots(reason: str) -> None:
    found = rk.step("dissolve", overrides={"chlorine": reason}, **BLEACH)
    assert not found.stopped
    assert ("chlorine", "stop", REASON) in told(found)
    assert found.reagents
    assert any(REASON in event.did for pot in found.pots for event in pot.history)


@pytest.mark.parametrize(
    ("overrides", "step"),
    [
        ({"chlorine": ""}, BLEACH),
        ({"chlorine": " "}, BLEACH),
        ({"sulfur-dioxide": REASON}, BLEACH),
        ({"chlorine": REASON}, {name: text for name, text in BLEACH.items() if name != "hood"}),
    ],
    ids=["no reason", "a blank", "another's code", "no hood, which no reason replaces"],
)
def test_what_lifts_nothing_is_said_and_the_step_stays_stopped(overrides: dict[str, str], step: dict[str, str | bool]) -> None:
    found = rk.step("dissolve", overrides=overrides, **step)
    assert found.stopped
    assert not found.reagents
    assert ("override-idle", "note", "") in told(found)


@pytest.mark.parametrize(
    ("verb", "texts", "kind", "said"),
    [
        ("disolve", {"gold": "2 g"}, UnknownName, "did you mean 'dissolve'?"),
        ("dissolve", {"glod": "2 g"}, UnknownName, "did you mean 'gold'?"),
        ("dissolve", {"note": "rinsed"}, UnknownName, "one of: method, gold, silver"),
        ("dissolve", {"gold": "2 kg/"}, BadQuantity, "not a unit of mass"),
        ("dissolve", {"gold": "-2 g"}, BadQuantity, "below zero"),
        ("dissolve", {"gold": "3/2/1 g"}, BadQuantity, "gold"),
        ("dissolve", {"gold": "2 mL"}, BadQuantity, "gold"),
        ("dissolve", {"gold": float("nan")}, BadQuantity, "not a finite number"),
        ("dissolve", {"gold": True}, BadQuantity, "gold True"),
        ("dissolve", {"gold": "2 g", "outdoors": "perhaps"}, BadQuantity, "neither yes nor no"),
        ("dissolve", {"gold": "2 g", "room": "big"}, BadQuantity, "room big"),
        ("dissolve", {"gold": "2 g", "nitric": "300 %"}, (BadQuantity, OutOfRange), "300"),
        ("dissolve", {}, CannotFollow, "nothing to work on"),
        ("denox", {"method": "magic"}, BadQuantity, "sulfamic, boil, button"),
        ("neutralise", {}, CannotFollow, "no liquor"),
    ],
)
def test_what_cannot_be_read_is_one_clear_fault_with_its_cure(verb: str, texts: dict, kind: type, said: str) -> None:
    with pytest.raises(kind) as fault:
        rk.step(verb, **texts)
    assert said in str(fault.value)
    assert fault.value.cure


def test_several_texts_that_cannot_be_read_are_told_together() -> None:
    with pytest.raises(BadQuantity) as fault:
        rk.step("dissolve", gold="two", nitric="strong", room="big")
    assert all(word in str(fault.value) for word in ("3 things", "gold two", "nitric strong", "room big"))


def test_an_option_named_like_a_word_of_python_takes_a_line_behind_it() -> None:
    assert rk.step("dissolve", gold_="2 g", nitric="68 %", outdoors=True).answers.keys() == (
        rk.step("dissolve", gold="2 g", nitric="68 %", outdoors=True).answers.keys()
    )


def test_none_is_not_told() -> None:
    assert rk.step("dissolve", gold="2 g", silver=None, nitric="68 %", outdoors=True).assumed == (
        rk.step("dissolve", gold="2 g", nitric="68 %", outdoors=True).assumed
    )
