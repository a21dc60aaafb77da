"""What a shop's records teach: runs that agree narrow, poor ones do not, contradictory ones widen; nine in ten are held."""

import math
import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from refinekit.ranges import Range
from refinekit.shop.batch import read_batch
from refinekit.shop.book.entry import Entry
from refinekit.shop.book.factors import factors_of, factors_table, records_of, with_factors
from refinekit.shop.book.learn import Record, learn, student_quantile
from refinekit.shop.book.opening import open_book
from refinekit.shop.book.store import Book
from refinekit.shop.plan import run_plan

PRIOR = Range(0.02, 0.03, 0.04)
EXAMPLE = (Path(__file__).parents[2] / "examples" / "edge-tabs.toml").read_text(encoding="utf-8")


def wide(span: Range) -> float:
    return math.log(span.high / span.low)


# ---- the update
@pytest.mark.parametrize(("degrees", "quantile"), [(4, 2.132), (6, 1.943), (10, 1.812), (30, 1.697)])
def test_students_quantile(degrees: float, quantile: float) -> None:
    """Printed tables of Student's t, 95 % one-sided."""
    assert student_quantile(degrees) == pytest.approx(quantile, abs=1e-3)


def test_without_records_what_is_usual_stays_as_it_is() -> None:
    assert learn(PRIOR, [], share=False).posterior == PRIOR


def test_runs_that_agree_narrow_and_go_where_the_shop_is() -> None:
    widths = [wide(learn(PRIOR, [Record(0.036, 0.02)] * count, share=False).posterior) for count in (0, 1, 3, 10, 30)]
    assert widths == sorted(widths, reverse=True)
    thirty = learn(PRIOR, [Record(0.036, 0.02)] * 30, share=False)
    assert thirty.posterior.likely == pytest.approx(0.036, rel=0.01)
    assert thirty.count == 30


def test_records_as_wide_as_what_was_known_do_not_count_and_do_not_narrow() -> None:
    told = learn(PRIOR, [Record(0.035, 0.5)] * 20, share=False)
    assert (told.posterior, told.count, told.poor) == (PRIOR, 0, 20)


def test_a_middling_record_narrows_less_than_a_good_one() -> None:
    good, middling = (learn(PRIOR, [Record(0.03, error)] * 5, share=False).posterior for error in (0.01, 0.15))
    assert wide(good) < wide(middling) < wide(PRIOR)


def test_runs_that_contradict_each_other_widen() -> None:
    torn = learn(PRIOR, [Record(0.012, 0.05), Record(0.07, 0.05)], share=False)
    assert wide(torn.posterior) > wide(PRIOR)
    more = learn(PRIOR, [Record(0.03, 0.05)] * 4 + [Record(0.09, 0.05)], share=False)
    assert wide(more.posterior) > wide(learn(PRIOR, [Record(0.03, 0.05)] * 5, share=False).posterior)


def test_a_share_stays_a_share_whatever_the_records() -> None:
    for value in (0.0, 1.0, 3.0):
        told = learn(Range(0.7, 0.8, 0.95), [Record(value, 0.01)] * 6, share=True).posterior
        assert 0 < told.low <= told.likely <= told.high < 1


def test_nine_ranges_in_ten_hold_the_next_run_over_a_thousand_shops() -> None:
    """Shops drawn about the usual range, each with a middle and a spread of its own, told by records with errors."""
    chance = random.Random(2026)
    middle, half = (math.log(0.02) + math.log(0.04)) / 2, math.log(0.04 / 0.02) / 2
    held = 0
    for _ in range(1000):
        spread = half / 1.943 / math.sqrt(3) / math.sqrt(chance.gammavariate(3, 1 / 3))  # two thirds of it between shops
        own = chance.gauss(middle, spread * math.sqrt(2))
        records = []
        for _ in range(chance.randrange(0, 16)):
            error = chance.uniform(0.01, 0.08)
            records.append(Record(math.exp(chance.gauss(own, spread) + chance.gauss(0, error)), error))
        told = learn(PRIOR, records, share=False).posterior
        held += told.low <= math.exp(chance.gauss(own, spread)) <= told.high
    assert 870 <= held <= 930


def test_shops_of_another_make_are_held_too() -> None:
    """Middles spread evenly over the usual range, one spread for all: not what the update assumes."""
    chance = random.Random(7)
    held = 0
    for _ in range(1000):
        own = chance.uniform(math.log(0.02), math.log(0.04))
        told = learn(PRIOR, [Record(math.exp(chance.gauss(own, 0.12)), 0.03) for _ in range(8)], share=False).posterior
        held += told.low <= math.exp(chance.gauss(own, 0.12)) <= told.high
    assert 870 <= held <= 960


# ---- records of the book
@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with open_book(str(tmp_path / "book.sqlite"), write=True) as opened:
        for number in range(1, 5):
            opened.add(lot(str(number)))
        yield opened


def lot(number: str) -> list[Entry]:
    """A lot that held a tenth more gold than guessed, used 1.3 times the NO need of nitric, and took half as long again."""
    at = f"2026-03-0{number}"
    weighed = {"did": "tabs", "source": "A", "weight_g": 400.0, "metals_g": {"Au": [2.0, 1.0, 4.0]}}
    nitric = {"key": "nitric", "name": "nitric acid", "used": 1.3 * 1.1 * 0.0012, "unit": "L", "bare": [0.003] * 3, "told": True}
    dissolve = {"verb": "dissolve", "step": "dissolve", "used": [nitric], "figures": {"nitric_no_route": 1.2}}
    leach = {"verb": "leach", "step": "leach", "figures": {"hours": [60.0, 40.0, 90.0]}, "minutes": 90 * 60.0}
    drop = {
        "verb": "drop",
        "step": "drop",
        "used": [{"key": "smb", "name": "smb", "used": 1.76, "bare": [1.44] * 3, "unit": "g", "told": True}],
    }
    found = {"stream": "bar", "metal": "gold", "grams": 2.2, "fine_g": 2.2}
    return [
        Entry("lot", number, at, weighed),
        Entry("step", number, at, leach),
        Entry("step", number, at, dissolve),
        Entry("step", number, at, {**drop, "test": "stannous clear", "foam": 1.8}),
        Entry("yield", number, at, found),
    ]


def test_the_book_is_read_for_every_factor(book: Book) -> None:
    said = {name: records[0].value for name, records in records_of(book).items()}
    assert said["NO share"] == pytest.approx((3 / 1.3 - 1) / 2)
    assert said["oxygen transfer"] == pytest.approx(0.03 * 60 / 90)
    assert said["thickness, A"] == pytest.approx(1.1)
    assert said["metabisulfite goodness"] == pytest.approx(1.44 * 1.1 / 1.76)
    assert said["foam"] == 1.8


def test_nitric_that_was_not_measured_teaches_nothing(book: Book) -> None:
    untold = [
        Entry(one.kind, "9", one.at, {**one.data, "used": [{**row, "told": False} for row in one.data.get("used", ())]})
        for one in lot("4")
    ]
    before = len(records_of(book)["NO share"])
    book.add(untold)
    assert len(records_of(book)["NO share"]) == before


def test_factors_show_prior_records_posterior_and_what_they_change(book: Book) -> None:
    table = factors_table(factors_of(book))
    row = {str(cells[0]): cells for cells in table.rows}
    assert row["NO share"][2] == 4.0
    prior, posterior = row["NO share"][1], row["NO share"][4]
    assert isinstance(prior, Range)
    assert isinstance(posterior, Range)
    assert posterior.likely < prior.likely  # the records made more nitrogen dioxide than is usual
    assert row["wash"][4] == "as it is"
    assert "nitric" in str(row["NO share"][5])


def test_the_next_plan_takes_them_only_where_the_file_is_silent_and_says_so(book: Book) -> None:
    batch = read_batch(EXAMPLE, "lot.toml")
    changed, lines = with_factors(batch, factors_of(book), "A")
    assert any("shop factor, NO share" in line and "4 records" in line for line in lines)
    assert any("shop factor, thickness, A" in line for line in lines)
    assert not any("goodness" in line for line in lines)  # the shelf of the file tells it
    steps = {ask.verb: ask.texts for ask in changed.steps}
    assert "no-share" in steps["dissolve"]
    assert "transfer" in steps["leach"]
    plain, own = run_plan(batch), run_plan(changed)
    hours = [next(one for one in plan.done_steps() if one.name == "leach").answer("hours").likely for plan in (plain, own)]
    assert hours[1] > hours[0]
    told = read_batch(EXAMPLE.replace('air    = "2 L/min"', 'air = "2 L/min"\ntransfer = "3 %"'), "lot.toml")
    assert not any("oxygen" in line for line in with_factors(told, factors_of(book))[1])


def test_a_plan_not_asked_for_them_is_as_it_was(book: Book) -> None:
    batch = read_batch(EXAMPLE, "lot.toml")
    assert with_factors(batch, {})[0].steps == batch.steps
