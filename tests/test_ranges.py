"""Low, likely, high: laid out over cases, and bounded exactly."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.errors import BadQuantity
from refinekit.ranges import MOST_CORNERS, Range, case_rows, corners, high, leading, likely, low, spread


def test_a_range_out_of_order_is_refused_with_its_cure() -> None:
    with pytest.raises(BadQuantity, match="out of order\n  Try: write low/likely/high"):
        Range(2, 1, 3)
    with pytest.raises(BadQuantity, match="not finite"):
        Range(1, 2, float("nan"))


def test_a_figure_of_a_run_gives_back_its_ends() -> None:
    span = Range.over(np.array([2.0, 1.0, 5.0]))
    assert (span.low, span.likely, span.high) == (1, 2, 5)
    assert Range.over(3.0).is_point


def test_a_range_times_a_negative_number_stays_in_order() -> None:
    assert Range(1, 2, 3) * -1 == Range(-3, -2, -1)


@pytest.mark.parametrize("count", [0, 1, 3])
def test_every_corner_of_few_inputs_is_there(count: int) -> None:
    ends = corners(count)
    assert (ends[0] == 0.5).all()
    assert len({tuple(row) for row in ends[1:]}) == (2**count if count else 0)


def test_likely_stands_first_and_corners_bound_a_product() -> None:
    laid = spread({"a": Range(1, 2, 3), "b": Range(10, 20, 40), "c": 5.0})
    figure = laid["a"] * laid["b"] * laid["c"]
    assert (low(figure), likely(figure), high(figure)) == (50, 200, 600)


def test_a_known_figure_stays_a_plain_number() -> None:
    assert spread({"a": 2.0, "b": Range.point(3.0)}) == {"a": 2.0, "b": 3.0}


def test_pots_with_cases_meet_every_corner_once() -> None:
    pots, inputs = case_rows(3, 5)
    assert (pots[0], inputs[0]) == (0, 0)
    assert {(int(a), int(b)) for a, b in zip(pots[1:], inputs[1:], strict=True)} == {(a, b) for a in (1, 2) for b in (1, 2, 3, 4)}


SIGNS = st.lists(st.sampled_from([-1.0, 1.0]), min_size=MOST_CORNERS + 1, max_size=MOST_CORNERS + 6)


@given(SIGNS)
def test_many_inputs_are_still_bounded_exactly_where_each_pulls_one_way(signs: list[float]) -> None:
    """The bound of a sum is known without running it: every rising input high, every falling one low."""
    inputs = {f"x{number}": Range(0.5, 1.0, 2.0 + number) for number in range(len(signs))}
    first = corners(len(signs))
    total = sum(sign * figure for sign, figure in zip(signs, spread(inputs, ends=first).values(), strict=True))
    ends = leading(first, [total])
    again = sum(sign * figure for sign, figure in zip(signs, spread(inputs, ends=ends).values(), strict=True))
    most = sum(sign * (one.high if sign > 0 else one.low) for sign, one in zip(signs, inputs.values(), strict=True))
    least = sum(sign * (one.low if sign > 0 else one.high) for sign, one in zip(signs, inputs.values(), strict=True))
    assert high(again) == pytest.approx(most)
    assert low(again) == pytest.approx(least)
