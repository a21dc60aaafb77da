"""What must hold of any rinse: more washes never leave more, nothing is lost, scale and split do not matter."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.rinse import run
from refinekit.bench.rinse_wash import Washes, fraction_left, held_after, washes_for

held = st.floats(1e-4, 1)
wash = st.floats(1e-3, 2)
count = st.integers(0, 12)


@given(held, wash, count)
def test_more_washes_never_leave_more(held_l, wash_l, washes):
    assert fraction_left(held_l, wash_l, washes + 1) <= fraction_left(held_l, wash_l, washes)


@given(held, wash, st.floats(1.001, 5), count)
def test_larger_washes_never_leave_more(held_l, wash_l, times, washes):
    assert fraction_left(held_l, times * wash_l, washes) <= fraction_left(held_l, wash_l, washes)


@given(held, wash, st.integers(2, 12))
def test_many_small_beat_one_large(held_l, wash_l, washes):
    assert fraction_left(held_l, wash_l, washes) < fraction_left(held_l, washes * wash_l, 1)


@given(st.floats(0.005, 0.2), st.floats(0.02, 1), st.floats(1e-6, 0.5))
def test_washes_for_a_share_leave_no_more_and_one_fewer_does(held_l, wash_l, share):
    washes = washes_for(held_l, wash_l, share)
    assert fraction_left(held_l, wash_l, washes) <= share * (1 + 1e-6)
    assert fraction_left(held_l, wash_l, max(washes - 1, 0)) > share * (1 - 1e-6) or washes == 0


@given(held, wash, count, st.floats(0.1, 100))
def test_scale_does_not_matter(held_l, wash_l, washes, times):
    assert fraction_left(times * held_l, times * wash_l, washes) == pytest.approx(fraction_left(held_l, wash_l, washes))


@given(st.floats(0.001, 0.1), st.floats(0.01, 0.5), st.integers(1, 5), st.integers(1, 5))
def test_washes_made_in_two_lots_are_the_same(held_l, wash_l, first, second):
    strength = {"Cl^-": 1.0}
    start = {"Cl^-": 0.3 * held_l, "Cu^2+": 2 * held_l}
    once = held_after(start, held_l, [Washes("acid", first + second, wash_l, strength)])
    twice = held_after(start, held_l, [Washes("acid", first, wash_l, strength), Washes("acid", second, wash_l, strength)])
    assert twice == pytest.approx(once)


@given(
    st.floats(0.005, 0.1),
    st.lists(st.floats(0.0, 5.0), min_size=3, max_size=3),
    st.floats(0.02, 0.3),
    st.integers(0, 6),
    st.integers(0, 6),
)
def test_what_the_foils_lose_is_in_the_rinses(held_l, mol_per_l, wash_l, acid_washes, washes):
    acid, copper, nickel = mol_per_l
    liquor = {"H^+": acid, "Cl^-": acid + 2 * copper + 2 * nickel, "Cu^2+": copper, "Ni^2+": nickel, "H2O": 52.0}
    foils = Pot("foils", held_l, {ion: strength * held_l for ion, strength in liquor.items()}, {"Au": 0.01})
    step = run((foils,), place=Place(), what="foils", wash_l=wash_l, acid_washes=float(acid_washes), washes=float(washes))
    for ion in ("Cu^2+", "Ni^2+"):
        assert sum(pot.mol(ion) for pot in step.pots) == pytest.approx(foils.mol(ion), abs=1e-12)
    assert sum(pot.volume_l for pot in step.pots) == pytest.approx(held_l + (acid_washes + washes) * wash_l)


@given(st.lists(st.floats(0.002, 0.05), min_size=2, max_size=6), st.floats(0.05, 0.5))
def test_cases_run_together_as_they_run_alone(held_l, wash_l):
    powder = Pot("gold powder", np.array(held_l), {"Cu^2+": 0.1 * np.array(held_l), "Cl^-": 0.2 * np.array(held_l)}, {"Au": 0.05})
    together = run((powder,), place=Place(), what="powder", held_l=np.array(held_l), wash_l=wash_l, washes=3.0).pots[0]
    for row, one in enumerate(held_l):
        alone_pot = Pot("gold powder", one, {"Cu^2+": 0.1 * one, "Cl^-": 0.2 * one}, {"Au": 0.05})
        alone = run((alone_pot,), place=Place(), what="powder", held_l=one, wash_l=wash_l, washes=3.0).pots[0]
        assert together.mol("Cu^2+")[row] == pytest.approx(alone.mol("Cu^2+"))
