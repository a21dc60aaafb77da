"""The shelf of a batch file against its plan: what is left, bottles to buy, ageing, expiry, the law."""

from datetime import date
from pathlib import Path

import pytest

from refinekit.errors import RefinekitError
from refinekit.shop.batch import read_batch
from refinekit.shop.plan import Plan, run_plan
from refinekit.shop.shelf import Need, aged, needs, notes, shelf_step
from tests.command import Run

LOT = """
route = "as written"
[lot]
kind = "edge tabs"
weight = "420 g"
area = "1600 cm2"
gold = {{ thickness = "30 uin" }}
nickel = {{ thickness = "4 micron" }}
copper = {{ thickness = "35 micron" }}
[shop]
law = "{law}"
[shelf.hydrochloric]
strength = "20 Be"
{shelf}
[[step]]
do = "leach"
volume = "3 L"
free-acid = "4 mol/L"
as-it-is = true
air = "2 L/min"
depth = "18 cm"
"""
TODAY = date(2026, 6, 1)


def plan_of(shelf: str, law: str = "us") -> Plan:
    return run_plan(read_batch(LOT.format(shelf=shelf, law=law), "lot.toml"))


def acid(shelf: str) -> Need:
    return next(one for one in needs(plan_of(shelf)) if one.line.key == "hydrochloric")


def test_what_is_left_is_what_there_was_less_what_is_measured_out() -> None:
    """3 L of 4 mol/L out of 20 Be (10.0 mol/L) is 1.2 L of it."""
    one = acid('on-hand = "9 L"')
    assert one.line.wanted == pytest.approx(1.2, rel=5e-3)
    assert one.left == pytest.approx(9 - 1.2, rel=5e-3)
    assert one.bottles == 0


@pytest.mark.parametrize(
    ("shelf", "bottles"),
    [
        ('on-hand = "1 L"\nbottle = "2.5 L"', 1),  # 0.2 L short
        ('on-hand = "0 L"\nbottle = "500 mL"', 3),  # 1.2 L short, in half litres
        ('on-hand = "0 L"', 2),  # in the litre bottles of the trade
        ('on-hand = "2 L"\nbottle = "1 L"\nreorder = "500 mL"', 0),  # 0.8 L is left, over the line
        ('on-hand = "1.5 L"\nbottle = "1 L"\nreorder = "500 mL"', 1),  # 0.3 L is left, under it
        ('on-hand = "1 L"\nbottle = "1 L"\nreorder = "900 mL"', 2),  # 0.2 L short, and 0.9 L to be over the line
    ],
)
def test_bottles_to_buy_cover_what_is_short_and_the_line_to_reorder_at(shelf: str, bottles: int) -> None:
    assert acid(shelf).bottles == bottles


def test_a_shelf_nobody_counted_asks_to_be_looked_at() -> None:
    rows = {row[0]: row for row in shelf_step(plan_of(""), TODAY).tables[0].rows}
    assert rows["hydrochloric acid"][1:2] + rows["hydrochloric acid"][4:] == ("not told", "see the shelf")


def test_metabisulfite_loses_5_to_10_percent_a_year_compounded() -> None:
    """Common practice, no source: 5 to 10 % a year opened; two years leave 0.95 and 0.9 squared."""
    gone = aged("smb", 2 * 365)
    assert gone is not None
    assert (gone.low, gone.high) == pytest.approx((1 - 0.95**2, 1 - 0.9**2), rel=2e-3)


def test_bleach_loses_a_fifth_in_three_to_six_months() -> None:
    """Common practice, no source: 20 % in 3 to 6 months, warm."""
    quick, slow = aged("bleach", 91), aged("bleach", 183)
    assert quick is not None
    assert slow is not None
    assert quick.high == pytest.approx(0.2, abs=0.02)
    assert slow.low == pytest.approx(0.2, abs=0.02)


def test_age_and_day_of_a_bottle_are_told() -> None:
    said = notes("bleach", {"opened": "2025-06-01", "expires": "2026-05-01"}, TODAY, "us")
    assert any(line.startswith("opened 365 days: 36 to 60 % of it is gone") for line in said)
    assert any(line.startswith("31 days past its day") for line in said)
    assert any("good for 30 days more" in line for line in notes("bleach", {"expires": "2026-07-01"}, TODAY, "us"))


@pytest.mark.parametrize(
    ("key", "strength", "word"),
    [
        ("nitric", "68 %", "may not buy"),
        ("nitric", "2 %", "may buy"),
        ("peroxide", "30 %", "may not buy"),
        ("peroxide", "3 %", "may buy"),
    ],
)
def test_what_a_private_person_may_buy_in_the_european_union(key: str, strength: str, word: str) -> None:
    """Regulation (EU) 2019/1148, Annex I (from memory): nitric over 3 %, peroxide over 12 % are restricted."""
    said = [line for line in notes(key, {"strength": strength}, TODAY, "eu") if line.startswith("law")]
    assert len(said) == 1
    assert word in said[0]
    assert not [line for line in notes(key, {"strength": strength}, TODAY, "none") if line.startswith("law")]


def law_of(key: str, law: str, strength: str = "") -> list[str]:
    bottle = {"strength": strength} if strength else {}
    return [line for line in notes(key, bottle, TODAY, law) if line.startswith("law")]


@pytest.mark.parametrize(
    ("key", "strength", "wanted"),
    [
        # The Control of Explosives Precursors and Poisons Regulations 2023 (SI 2023/63), regulation 8(2)(a): 10 % w/w
        ("hydrochloric", "31.45 %", "needs a licence"),
        ("hydrochloric", "9 %", "no licence"),
        # SI 2018/451, explanatory note: 15 % w/w
        ("sulfuric", "93 %", "needs a licence"),
        ("sulfuric", "10 %", "no licence"),
        # Poisons Act 1972, Schedule 1A (from memory): nitric 3 %, peroxide 12 %
        ("nitric", "68 %", "needs a licence"),
        ("peroxide", "3 %", "no licence"),
        # SI 2023/63: 16 % nitrogen; it is sold as it is
        ("ammonium-nitrate", "", "needs a licence"),
    ],
)
def test_what_needs_a_licence_in_the_united_kingdom(key: str, strength: str, wanted: str) -> None:
    (line,) = law_of(key, "uk", strength)
    assert wanted in line


def test_the_united_states_limit_no_private_buyer_but_list_what_is_sent_abroad() -> None:
    """The old rule's authority ended on 28 July 2023 (CRS, 5 September 2023); 65 FR 47309: its exports are regulated."""
    first, second = law_of("hydrochloric", "us", "31.45 %")
    assert "no federal limit" in first
    assert "2023-07-28" in first
    assert "export" in second
    assert "from memory" in second


def test_salt_is_limited_nowhere() -> None:
    assert [law_of("salt", law) for law in ("us", "eu", "uk", "none")] == [[], [], [], []]


@pytest.mark.parametrize(
    ("shelf", "said"),
    [
        ('opened = "last week"', "is no day"),
        ('opened = "2027-01-01"', "has not come yet"),
        ('bottle = "2 kg"', "bottle"),
        ('reorder = "-1 L"', "reorder"),
        ('on-hand = "9 apples"', "on-hand"),
        ('botle = "1 L"', "did you mean 'bottle'"),
    ],
)
def test_a_bottle_told_wrong_is_one_sentence(shelf: str, said: str) -> None:
    with pytest.raises(RefinekitError) as caught:
        shelf_step(plan_of(shelf), TODAY)
    assert said in str(caught.value)


def test_the_command_takes_a_batch_file_as_well_as_the_book(refinekit: Run) -> None:
    file = str(Path(__file__).parents[2] / "examples" / "edge-tabs.toml")
    said = refinekit("stock", file)
    assert said.returncode == 0, said.stderr
    assert "The shelf and the plan" in said.stdout
    assert "skin corrosion" in said.stdout
