"""The bath over its lots against figures worked out independently: an old bath bled, topped up, aired; its forecast."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from refinekit.bench.place import Place
from refinekit.bench.step import Step
from refinekit.ranges import likely
from refinekit.shop.ask import listen
from refinekit.shop.book import bath
from refinekit.shop.book.bath_shown import history, lots_of, shown
from refinekit.shop.book.opening import open_book
from refinekit.shop.book.vessels import Held, Shelfful, vessel_of

DATA = Path(__file__).parents[1] / "data"
OLD = json.loads((DATA / "run_old_bath.json").read_text(encoding="utf-8"))
STEPS = {step["do"]: step["answers"] for step in OLD["steps"]}
CASES = {case["id"]: case for case in json.loads((DATA / "worked" / "area2.json").read_text(encoding="utf-8"))["cases"]}
DAY = "2026-03-05"
HOT = Place(temperature_k=301.15, pressure_pa=0.93 * 101325, outdoors=True)


def asked(what: str, place: Place = HOT, lot: str = "", **texts: str) -> bath.Asked:
    own: Mapping[str, object] = {key.replace("_", "-"): text for key, text in texts.items()}
    told = listen(bath.fields(), own, label=str)
    assert told.faults == []
    return bath.Asked(what, "bath", told, place, lot, at=DAY)


def do(shelf: Shelfful, what: str, lot: str = "", **texts: str) -> Step | None:
    outcome = bath.do(asked(what, lot=lot, **texts), shelf.of("bath"))
    if outcome.entry:
        shelf.follow(DAY, outcome.entry.ops)
    return outcome.step


def expected(step: str, name: str) -> Any:
    row = STEPS[step][name]
    return pytest.approx(row["value"], rel=row["tolerance_rel"])


GOODS = {"copper": "82.1883 g", "nickel": "9.33005 g"}
AIR = {"air": "3 L/min", "pump_share": "70 %", "depth": "22 cm", "transfer": "3 %", "surface": "700 cm2", "film": "2e-5 m/s"}


def old_bath(**more: str) -> Shelfful:
    """The bath after four lots, as titrated and as the laboratory found."""
    shelf = Shelfful()
    strengths = {"bath_copper": "95 g/L", "bath_cuprous": "3/6/10 g/L", "bath_nickel": "12 g/L", "bath_iron": "1.5 g/L", **more}
    do(shelf, "start", bath_volume="5.2 L", bath_acid="1.43942 mol/L", gold="0.4 mg/L", **strengths)
    return shelf


@pytest.fixture
def old() -> Shelfful:
    return old_bath()


NEXT = [
    ("bleed", "bleed and top up", "bleed_mL"),
    ("acid_to_add", "bleed and top up", "acid_to_add_mL"),
    ("water_to_add", "bleed and top up", "water_to_add_mL"),
    ("hcl_eaten", "bleed and top up", "hcl_eaten_mol"),
    ("start_copper", "bleed and top up", "start_copper_g_L"),
    ("start_free_hcl", "bleed and top up", "start_free_hcl_mol_L"),
    ("oxygen", "leach", "oxygen_mol"),
    ("oxygen_bubbled", "leach", "oxygen_bubbled_mol_min"),
    ("bath_free_hcl", "leach", "bath_free_hcl_mol_L"),
    ("bath_copper", "leach", "bath_copper_g_L"),
    ("bath_nickel", "leach", "bath_nickel_g_L"),
    ("bath_iron", "leach", "bath_iron_g_L"),
    ("lots_to_nickel_limit", "leach", "nickel_room_lots_to_20_g_L"),
]


@pytest.mark.parametrize(("name", "step", "theirs"), NEXT, ids=lambda word: word)
def test_the_next_lots_fit_in_an_old_bath(name: str, step: str, theirs: str) -> None:
    """With the likely cuprous alone: where it is a range, acid is poured for its high end."""
    shelf = old_bath(bath_cuprous="6 g/L")
    fit = do(shelf, "next", bleed="yes", volume="6 L", aim="2 mol/L", acid="31.45 %", **GOODS, **AIR)
    assert fit is not None
    assert fit.answer(name).likely == expected(step, theirs)


def test_the_old_bath_bled_topped_up_and_worked_stands_as_worked_out(old: Shelfful) -> None:
    """The share of copper and nickel left on the foils, 1 and 2 %, is that of the story: common practice, no source."""
    held = old.of("bath")
    assert likely(held.element_g("Cu")) == expected("read the bath", "copper_held_g")
    assert likely(held.element_g("Ni")) == expected("read the bath", "nickel_held_g")
    do(old, "bleed", copper=f"{0.99 * 82.1883} g")
    assert 1000 * likely(old.of("spent bath").l) == expected("bleed and top up", "bleed_mL")
    assert likely(held.l) == expected("bleed and top up", "bath_after_bleed_L")
    top = {name: STEPS["bleed and top up"][f"{name}_to_add_mL"]["value"] for name in ("acid", "water")}
    do(old, "top-up", acid_volume=f"{top['acid']} mL", water=f"{top['water']} mL", acid="31.45 %")
    assert likely(held.l) == pytest.approx(6.0, rel=1e-3)
    do(old, "lot", lot="5", **GOODS)
    litres = likely(held.l)
    assert likely(held.element_g("Cu")) / litres == expected("leach", "bath_copper_g_L")
    assert likely(held.element_g("Ni")) / litres == expected("leach", "bath_nickel_g_L")
    assert likely(held.element_g("Fe")) / litres == expected("leach", "bath_iron_g_L")
    assert likely(held.pot().mol("H^+")) / litres == expected("leach", "bath_free_hcl_mol_L")
    assert likely(held.pot().mol("CuCl2^-")) == pytest.approx(0.0, abs=1e-9)
    gold_mg = 1000 * likely(old.of("spent bath").element_g("Au"))
    assert gold_mg == pytest.approx(0.4 * STEPS["bleed and top up"]["bleed_mL"]["value"] / 1000, rel=1e-2)  # 0.4 mg/L, laboratory


def test_cuprous_told_as_a_range_stays_a_range(old: Shelfful) -> None:
    cuprous = old.of("bath").pot().mol("CuCl2^-") * 63.546 / 5.2
    assert [round(float(one), 6) for one in cuprous] == [6.0, 3.0, 10.0]


def answer(case: str, name: str) -> Any:
    row = CASES[case]["answers"][name]
    tolerance = row["tolerance"]
    return pytest.approx(row["value"], rel=1e-6 if tolerance == "exact" else tolerance["relative"])


def test_how_much_more_copper_a_bath_takes() -> None:
    """Case 2.05: 3 L at 30 g/L, ceiling 150 g/L, acid 31.45 %."""
    shelf = Shelfful()
    do(shelf, "start", bath_volume="3 L", bath_copper="30 g/L", bath_acid="2 mol/L")
    step = shown(shelf.of("bath"), [{"Cu": 68.1545, "Ni": 0.0}], Place())
    assert step.answer("copper_room").likely == answer("2.05", "copper_with_growth")
    assert step.answer("lots_to_ceiling").likely == pytest.approx(10.0, rel=1e-2)


def test_free_acid_left_after_a_lot() -> None:
    """Case 2.06: 4 L at 3 mol/L, 120 g copper and 12 g nickel."""
    shelf = Shelfful()
    do(shelf, "start", bath_volume="4 L", bath_copper="20 g/L", bath_acid="3 mol/L")
    do(shelf, "lot", lot="1", copper="120 g", nickel="12 g", copper_left="0", nickel_left="0")
    assert likely(shelf.of("bath").pot().mol("H^+")) / 4 == answer("2.06", "free_hcl_end")


def test_bleed_that_holds_the_copper() -> None:
    """Case 2.19: 66 g copper a lot, bath held at 150 g/L."""
    shelf = Shelfful()
    do(shelf, "start", bath_volume="4 L", bath_copper="150 g/L", bath_acid="2 mol/L")
    do(shelf, "bleed", copper="66 g")
    assert 1000 * likely(shelf.of("spent bath").l) == answer("2.19", "bleed")
    step = shown(shelf.of("bath"), [{"Cu": 66.0}], Place())
    assert step.answer("bleed_a_lot").likely == answer("2.19", "bleed")


def test_copper_salt_to_start_a_fresh_bath() -> None:
    """Case 2.21: 3 L to 10 g/L."""
    outcome = bath.do(asked("start", volume="3 L", start_copper="10 g/L", free_acid="4 mol/L"), Held("bath"))
    assert outcome.entry is not None
    used = {row["key"]: row["used"] for row in outcome.entry.data["used"]}
    assert used["copper-chloride"] == answer("2.21", "salt")


def test_air_turns_the_cuprous_back_a_quarter_of_oxygen_and_one_of_acid_each(old: Shelfful) -> None:
    """Cu(I) / 4 oxygen and one acid to each: R2.2, by hand."""
    before = old.of("bath").pot()
    cuprous, acid = likely(before.mol("CuCl2^-")), likely(before.mol("H^+"))
    assert shown(old.of("bath"), [], Place()).answer("oxygen_to_clear").likely == pytest.approx(cuprous / 4)
    do(old, "regenerate", air="3 L/min", depth="22 cm", transfer="3 %")
    after = old.of("bath").pot()
    assert likely(after.mol("CuCl2^-")) == pytest.approx(0.0, abs=1e-9)
    assert likely(after.mol("H^+")) == pytest.approx(acid - cuprous, rel=1e-2)  # less what the air carries off


def test_the_forecast_says_why_baths_overflow(old: Shelfful) -> None:
    import numpy as np

    lots = [{"Cu": 80.0, "Ni": 9.0}, {"Cu": 84.0, "Ni": 9.0}]
    step = shown(old.of("bath"), lots, Place(), vessel_l=np.float64(8.0))
    growth_ml = 2 * 82.0 / 63.546 / 10.0066 * 1000  # two moles of acid to a mole of copper, of 31.45 % (10.0066 mol/L)
    assert step.answer("growth_a_lot").likely == pytest.approx(growth_ml, rel=1e-3)
    assert step.answer("lots_to_overflow").likely == pytest.approx(2800 / growth_ml, rel=1e-3)
    assert step.answer("lots_to_nickel_limit").likely == pytest.approx((20 - 12) * 5.2 / 9.0)
    assert any("overflow" in line for heading, line in step.says if heading == "how")


def test_the_history_of_a_bath_has_a_line_an_event_and_its_lots_are_known(old: Shelfful, tmp_path: Path) -> None:
    with open_book(str(tmp_path / "book.sqlite"), write=True) as book:
        running = Shelfful()
        for what, lot, texts in (
            ("start", "", {"bath_volume": "5 L", "bath_copper": "60 g/L", "bath_acid": "3 mol/L"}),
            ("lot", "1", {"copper": "50 g", "nickel": "5 g", "copper_left": "0", "nickel_left": "0"}),
            ("bleed", "", {"volume": "1 L"}),
            ("measure", "", {"free_acid": "2.2 mol/L", "volume": "3.9 L"}),
        ):
            outcome = bath.do(asked(what, lot=lot, **texts), running.of("bath"))
            assert outcome.entry is not None
            running.follow(DAY, outcome.entry.ops)
            book.add([outcome.entry])
        rows = history(book, "bath").rows
        assert [row[2] for row in rows] == ["started", "lot 1 through it", "bled 1000 mL to spent bath", "measured"]
        assert lots_of(book, "bath") == [{"Cu": pytest.approx(50.0), "Ni": pytest.approx(5.0)}]
        assert vessel_of(book, "bath").pot().volume_l == pytest.approx(3.9)
