"""Vessels: the sum, the sizes, the pan. Sizes, fill and foam are common practice, no source."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.place import Place
from refinekit.bench.vessel import stand, standard_sizes_l, vessel_for
from refinekit.bench.work import Work
from refinekit.errors import OutOfRange, UnknownName


@pytest.mark.parametrize(
    ("liquid_l", "foam", "needed_ml", "size_ml"),
    [
        pytest.param(0.502376, 1.5, 1507.13, 2000, id="502 mL over granules: twice for the fill, half again for foam"),
        pytest.param(0.06, "bars", 120, 150, id="bars in 60 mL"),
        pytest.param(0.1, "foils", 300, 400, id="foils in 100 mL"),
        pytest.param(0.1, "fine", 600, 600, id="fine metal in 100 mL: exactly a size"),
        pytest.param(0.0, "bars", 0, 100, id="nothing: the smallest"),
    ],
)
def test_next_size_up(liquid_l, foam, needed_ml, size_ml):
    vessel = vessel_for(liquid_l, foam)
    assert vessel.needed_l * 1000 == pytest.approx(needed_ml, rel=1e-5)
    assert vessel.size_l * 1000 == pytest.approx(size_ml)
    assert vessel.count == 1


def test_pan_holds_the_liquor_and_a_tenth():
    assert vessel_for(2.0).pan_l == pytest.approx(2.2)


def test_more_than_the_largest_is_split():
    vessel = vessel_for(60.0, "bars")
    assert (vessel.count, vessel.size_l) == (3, 50)
    assert vessel.words == "3 of 50 L"


def test_a_sea_of_liquor_is_still_answered():
    assert vessel_for(1e300).size_l == 50


def test_the_most_of_a_run_decides():
    assert vessel_for(np.array([0.2, 0.1, 0.4]), 1).needed_l == pytest.approx(0.8)


@given(st.floats(0, 200), st.floats(1, 5), st.floats(0.05, 1))
def test_it_always_holds_liquor_and_foam(liquid_l, foam, fill):
    vessel = vessel_for(liquid_l, foam, fill=fill)
    assert vessel.count * vessel.size_l * fill >= liquid_l * foam * (1 - 1e-8)
    assert vessel.size_l in standard_sizes_l()


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: vessel_for(-1.0), OutOfRange, "-1 L is no volume of liquor"),
        (lambda: vessel_for(1.0, fill=1.5), OutOfRange, "filled to 1.5 of its volume cannot be"),
        (lambda: vessel_for(1.0, 0.5), OutOfRange, "less than the liquor"),
        (lambda: vessel_for(1.0, "foil"), UnknownName, "did you mean 'foils'"),
        (lambda: vessel_for(float("nan")), OutOfRange, "no volume of liquor"),
    ],
)
def test_what_cannot_be_is_said(call, error, words):
    with pytest.raises(error, match=words):
        call()


def test_a_step_says_its_vessel():
    work = Work("dissolve", place=Place())
    work.pour("acid", {"HCl": 1.0}, volume_l=0.1)
    stand(work, work.volume_l, "foils", how="on a tray, watch glass on")
    step = work.done("gold liquor")
    assert step.answer("vessel_needed").likely == pytest.approx(300)
    assert step.answer("vessel").likely == pytest.approx(400)
    assert ("vessel", "400 mL on a tray, watch glass on; the tray holds at least 110 mL") in step.says
    assert "practice/general.vessel.fill" in step.used_facts
