"""The largest lot a shop can carry: against bisection on the plain plan, what binds, what doubling buys, what nothing meets."""

import math

import pytest

from refinekit.errors import CannotFollow, OutOfRange, RefinekitError
from refinekit.shop.batch import read_batch
from refinekit.shop.largest import Largest, largest, largest_under
from refinekit.shop.largest_step import down, largest_step
from refinekit.shop.limits import limits_of, uses
from refinekit.shop.plan import Heard, Plan, hear_all, reckon

LOT = """
route = "as written"
[lot]
kind = "edge tabs"
weight = "{weight:.9f} g"
area = "{low:.9f}/{area:.9f}/{high:.9f} cm2"
gold = {{ thickness = "20/30/50 uin" }}
nickel = {{ thickness = "3/4/5 micron" }}
copper = {{ thickness = "30/35/40 micron" }}
[shop]
room = "45 m3"
hood = true
[shelf.hydrochloric]
strength = "20 Be"
on-hand = "{acid}"
[[step]]
do = "leach"
volume = "3 L"
air = "2 L/min"
depth = "18 cm"
[[step]]
do = "dissolve"
[limits]
{limits}
"""


def batch(limits: str = 'days = "7 d"', times: float = 1.0, acid: str = "9 L") -> Heard:
    area = {"low": 1450 * times, "area": 1600 * times, "high": 1750 * times}
    return hear_all(read_batch(LOT.format(weight=420 * times, limits=limits, acid=acid, **area), "lot.toml"))


def found(heard: Heard) -> tuple[Largest, Plan]:
    plan = reckon(heard)
    return largest(heard, plan, limits_of(heard)), plan


def plain_fits(limits: str, times: float, acid: str) -> bool:
    """Whether the plain plan of a lot so many times as big keeps every limit."""
    heard = batch(limits, times, acid)
    steps = reckon(heard).done_steps()
    return all(use.share <= 1 for use in uses(steps, heard.place, limits_of(heard), heard.batch.shelf))


def by_bisection(limits: str, acid: str) -> float:
    """Largest times the lot, each time the whole file written anew and the plan run plainly."""
    low, high = 0.01, 8.0
    while high - low > 1e-3 * high:
        middle = (low + high) / 2
        low, high = (middle, high) if plain_fits(limits, middle, acid) else (low, middle)
    return low


CASES = [
    ('days = "7 d"', "9 L", "days of leach"),
    ('days = "2 d"', "9 L", "days of leach"),
    ("", "900 mL", "hydrochloric acid on the shelf"),
    ('vessel = "9.5 L"', "9 L", "hood of dissolve, NO2"),
]


@pytest.mark.parametrize(("limits", "acid", "binds"), CASES, ids=lambda word: word[:14])
def test_the_largest_lot_is_the_one_bisection_on_the_plain_plan_finds(limits: str, acid: str, binds: str) -> None:
    one, _ = found(batch(limits, acid=acid))
    assert one.bounds[0].use.name == binds
    assert one.share == pytest.approx(by_bisection(limits, acid), rel=5e-3)


def test_days_rise_with_the_lot_so_the_largest_is_the_limit_over_the_days() -> None:
    """Closed form: oxygen is in proportion to the metal and the pump is the same, so twice the lot takes twice the days."""
    one, plan = found(batch('days = "7 d"'))
    days = next(step for step in plan.done_steps() if step.name == "leach").answer("days").high
    assert one.share == pytest.approx(7 / days, rel=2e-3)
    assert one.share <= 7 / days
    assert one.doubled == pytest.approx(14 / days, rel=3e-3)


def test_doubling_buys_only_as_far_as_the_next_limit() -> None:
    one, _ = found(batch('days = "20 d"'))
    assert one.doubled == pytest.approx(one.bounds[1].share, rel=3e-3)
    assert one.doubled < 2 * one.share


def test_a_lot_too_large_is_split_into_equal_runs_that_each_fit() -> None:
    one, plan = found(batch('days = "2 d"'))
    days = next(step for step in plan.done_steps() if step.name == "leach").answer("days").high
    assert one.runs == math.ceil(days / 2)
    assert all(use.share <= 1 for use in one.at_run.values())
    assert plain_fits('days = "2 d"', 1 / one.runs, "9 L")
    assert not plain_fits('days = "2 d"', 1 / (one.runs - 1), "9 L")


def test_a_limit_that_no_lot_meets_is_named_with_by_how_much() -> None:
    """3 L of bath want 3 x 1.5 / 0.5 = 9 L however small the lot."""
    with pytest.raises(OutOfRange) as caught:
        found(batch('vessel = "5 L"'))
    assert "vessel of leach asks 9 L however small the lot" in caught.value.what
    assert "4 L too little" in caught.value.what


def test_the_limit_told_in_ranges_counts_at_its_low_end_and_the_month_at_its_high() -> None:
    limits = limits_of(batch('days = "5/6/7 d"\nmonth = "100 kg"\nmonth-so-far = "10/20/30 kg"'))
    assert (limits.days, limits.month_kg) == (5.0, 70.0)


def test_without_limits_the_law_and_the_bath_still_hold() -> None:
    one, _ = found(batch(""))
    assert one.bounds[0].use.name == "hood of dissolve, NO2"
    assert "very small generator" in " ".join(limits_of(batch("")).assumed)
    assert limits_of(batch("")).untold == ("days", "drum")


@pytest.mark.parametrize("line", ['days = "-2 d"', 'days = "5 L"', 'vessel = "0 L"', 'wessel = "5 L"'])
def test_a_limit_that_cannot_be_read_is_told_with_its_line(line: str) -> None:
    with pytest.raises(RefinekitError, match=r"line 2[0-9]") as caught:
        found(batch(line))
    assert "vessel" in str(caught.value) or "days" in str(caught.value)


def test_a_stopped_plan_has_no_largest_lot() -> None:
    text = LOT.format(weight=420, low=1450, area=1600, high=1750, acid="9 L", limits="") + '\n[[step]]\ndo = "neutralise"\n'
    heard = hear_all(read_batch(text, "lot.toml"))
    with pytest.raises(CannotFollow, match="is stopped at"):
        found(heard)


def test_what_is_told_names_what_binds_and_what_comes_next() -> None:
    heard = batch('days = "2 d"')
    step = largest_step(heard, reckon(heard))
    said = dict(step.says)
    assert said["what binds"].startswith("days of leach")
    assert said["what comes next"].startswith("hood of dissolve, NO2")
    assert "twice the days of leach" in said["what doubling buys"]
    assert step.answer("largest_lot").likely == pytest.approx(420 * step.answer("largest_share").likely, rel=1e-2)


def test_what_fits_is_never_rounded_up() -> None:
    assert [down(figure) for figure in (1.08999, 454.9, 0.0123999, 2.0, 1999.0)] == [1.08, 454.0, 0.0123, 2.0, 1990.0]


@pytest.mark.parametrize("power", [0.3, 1.0, 2.5])
def test_the_search_finds_where_any_rising_use_reaches_one(power: float) -> None:
    asked = []

    def use(share: float) -> float:
        asked.append(share)
        return (share / 3.7) ** power

    assert largest_under(use, [1.0]) == pytest.approx(3.7, rel=3e-3)
    assert largest_under(use, [1.0]) <= 3.7
    assert len(set(asked)) < 20


def test_a_use_that_never_rises_limits_nothing_and_one_that_never_fits_allows_none() -> None:
    assert largest_under(lambda share: 0.5, [1.0]) == math.inf
    assert largest_under(lambda share: 1.5, [1.0]) == 0.0
    assert largest_under(lambda share: math.inf if share > 2 else 0.2, [1.0]) == pytest.approx(2.0, rel=3e-3)
