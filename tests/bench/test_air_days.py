"""The bath by days as it is told: rows, colours, charts, where it stalls and what to add."""

from itertools import pairwise

import pytest

from refinekit.bench.air import run
from refinekit.bench.leach import run as leach
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.errors import BadQuantity, OutOfRange
from refinekit.ranges import Range, spread

FINGERS = {"weight_g": 500.0, "copper_g": 62.72, "nickel_g": 7.12, "air_l_per_min": 1.5, "depth_m": 0.15, "transfer": 0.03}


def days(step):
    (table,) = (one for one in step.tables if one.title.startswith("bath: metal left"))
    return table


def said(step, heading):
    return [line for where, line in step.says if where == heading]


def test_half_a_kilo_of_fingers_day_by_day():
    # common practice, no source: about a week; clear green before and after, olive to brown between
    step = run(place=Place(), **FINGERS)
    table = days(step)
    assert table.columns[0] == "day"
    looks = [row[-1] for row in table.rows]
    assert looks[0] == looks[-1] == "clear green"
    assert set(looks[1:7]) == {"olive to brown-black"}
    assert step.answer("metal_gone").likely < step.answer("days").likely == pytest.approx(6.66, rel=0.005)
    assert step.answer("bath").likely == pytest.approx(2.5)  # 5 mL to a gram of goods, common practice
    assert any("no sum here follows" in line for line in said(step, "watch for"))


def test_copper_in_the_table_is_the_copper_of_goods_and_bath():
    last = days(run(place=Place(), **FINGERS)).rows[-1]
    assert last[1] == pytest.approx(0, abs=1e-9)
    assert last[2] == pytest.approx(10 + 62.72 / 2.5)  # g/L: start-up copper and that of the goods, by hand


def test_charts_of_copper_and_of_acid():
    copper, acid = run(place=Place(), **FINGERS).charts
    assert set(copper.series) == {"copper(II)", "cuprous copper", "copper on the goods"}
    assert [word for word, _ in copper.marks] == ["metal gone", "green"]
    assert copper.finding == "The metal is gone after 2.9 days at the soonest; all the copper is copper(II) after 6.7 days."
    falling = acid.series["free HCl, mol/L"][1]
    assert all(later <= sooner for sooner, later in pairwise(falling))
    assert "2 mol/L free HCl is left" in acid.finding


def test_short_runs_go_by_hours():
    assert days(run(place=Place(), running_s=36000.0, **FINGERS)).columns[0] == "hour"


def test_no_start_copper_stalls_at_once_and_says_what_to_add():
    # 10 g/L in 3 L as CuCl2.2H2O: 80.5 g; 30 mL of 3 % peroxide a litre: common practice
    step = run(place=Place(), start_copper_g_per_l=0.0, volume_l=3.0, **{**FINGERS, "weight_g": 600.0})
    (line,) = said(step, "stalls")
    assert "80.5 g copper chloride dihydrate" in line
    assert "90 mL of 3 % peroxide" in line


def test_short_acid_stalls_and_says_when_and_how_much():
    step = run(place=Place(), free_acid_mol_per_l=1.5, **FINGERS)
    assert any("free acid under 1 mol/L" in line and "from hour" in line for line in said(step, "stalls"))
    # at 1 mol/L in 2.5 L; from 1.5 mol/L 1.25 mol were eaten of 2.2166; (2 x 2.5 + 2.2166 - 1.25 - 2.5)/(10.0066 - 2)
    assert step.answer("acid_to_add_then").likely == pytest.approx(1000 * (5 + 2.2166 - 1.25 - 2.5) / 8.0066, rel=0.02)
    assert not said(run(place=Place(), **FINGERS), "stalls")


def test_a_range_of_air_gives_a_range_of_days():
    step = run(place=Place(), **spread({**FINGERS, "transfer": Range(0.02, 0.03, 0.04)}))
    gone = step.answer("metal_gone")
    assert gone.low == pytest.approx(gone.likely * 3 / 4)
    assert gone.high == pytest.approx(gone.likely * 3 / 2)


def test_a_bath_of_its_own_is_followed_and_goods_are_not():
    bath = Pot("bath", 2.0, {"CuCl2^-": 0.4, "Cu^2+": 1.0, "H^+": 6.0, "Cl^-": 7.6, "H2O": 110.0})
    step = run([bath], place=Place(), air_l_per_min=2.0, depth_m=0.25, transfer=0.03)
    assert days(step).rows[0][-1] == "olive to brown-black"
    assert days(step).rows[-1][-1] == "clear green"
    assert not run(place=Place(), oxygen_mol=0.5, air_l_per_min=2.0, transfer=0.03).charts


def test_the_leach_has_the_same_days():
    air = {"air_l_per_min": 1.5, "depth_m": 0.15, "transfer": 0.03}
    goods = {"copper_g": 62.72, "nickel_g": 7.12, "weight_g": 500.0, "copper_left": 0.0, "nickel_left": 0.0}
    step = leach(place=Place(), method="cupric", **goods, **air)
    alone = run(place=Place(), **FINGERS)
    assert step.answer("metal_gone").likely == pytest.approx(alone.answer("metal_gone").likely)
    assert days(step).rows == days(alone).rows
    assert len(step.charts) == 2
    assert not leach(place=Place(), method="cupric", **goods).charts  # no air told: no days


def test_hydrogen_chloride_by_the_day_and_what_rusts():
    step = run(place=Place(), air_l_per_min=2.0, running_s=7 * 86400.0, copper_g=100.0)
    grams, per_day = step.answer("hcl_carried_mass"), step.answer("hcl_per_day")
    assert per_day.high * 7 == pytest.approx(grams.high)
    assert step.answer("water_per_day").likely * 7 == pytest.approx(step.answer("water_carried").likely)
    assert any("rust" in line for line in said(step, "watch for"))


@pytest.mark.parametrize(
    ("told", "error", "words"),
    [
        ({"weight_g": 50.0}, BadQuantity, "the metals outweigh the goods by 19.84 g"),
        ({"volume_l": 0.05}, OutOfRange, "more than the bottle has"),
        ({"aim_mol_per_l": 11.0}, OutOfRange, "cannot be had"),
    ],
)
def test_a_bath_that_cannot_be_is_said(told, error, words):
    with pytest.raises(error, match=words):
        run(place=Place(), **{**FINGERS, **told})


def test_a_bath_nobody_told_of_is_left_out_where_it_would_not_hold():
    step = run(place=Place(), iron_g=5000.0, air_l_per_min=2.0, transfer=0.03)
    assert not step.charts
    assert any("give --volume" in line for line in step.assumed)
