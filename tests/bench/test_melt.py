"""The melt: worked cases, a whole run's button, flux by dirt, silver and its chloride, and what must always hold."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.melt import ROOM, choose, run
from refinekit.bench.melt_fields import FIELDS, MeltTold
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.errors import CannotFollow, OutOfRange
from refinekit.facts.load import cite, fact, rows, table
from refinekit.ranges import Range, spread
from refinekit.shop.ask import lay, listen

DATA = Path(__file__).parent.parent / "data"
WORKED = {case["id"]: case for case in json.loads((DATA / "worked/area8.json").read_text())["cases"]}
RUN = {step["do"]: step["answers"] for step in json.loads((DATA / "run_fingers.json").read_text())["steps"]}["melt"]
AU, CU, AG, CL, NA2CO3 = 196.96657, 63.546, 107.8682, 35.45, 105.98753856  # CIAAW 2021

# ---- worked cases: how each is told to the melt, and which answer of the melt each of its figures is, times what
TOLD = {
    "8.01": {"gold_g": 50.0, "pour_at_k": 1373.15, "power_w": 1500.0, "heat_share": 0.10},
    "8.02": {"gold_g": 50.0, "bulk_g_per_ml": 4.0, "borax": 0.0},
    "8.07": {"gold_g": 40.0, "dirt": "dirty"},
    "8.08": {"gold_g": 10.0, "slag_share": 0.0},
}
ANSWERS = {
    "8.01": {"heat": ("heat", "likely", 1), "time": ("minutes", "likely", 60)},
    "8.02": {"liquid": ("liquid", "likely", 1), "powder": ("powder_volume", "likely", 1), "crucible": ("crucible", "likely", 1)},
    "8.07": {f"{flux}_{end}": (flux, end, 1) for flux in ("borax", "soda", "silica") for end in ("low", "high")},
    "8.08": {"volume": ("button_volume", "likely", 1), "cube_side": ("cube_side", "likely", 1)},
}


@pytest.mark.parametrize(
    ("case", "figure"),
    [pytest.param(case, figure, id=f"{case} {figure}: {WORKED[case]['source']}") for case in ANSWERS for figure in ANSWERS[case]],
)
def test_worked_cases(case, figure):
    name, end, times = ANSWERS[case][figure]
    wanted = WORKED[case]["answers"][figure]
    found = getattr(run(place=Place(), **TOLD[case]).answer(name), end) * times
    assert found == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


def test_all_figures_of_these_cases_are_looked_at():
    assert all(set(WORKED[case]["answers"]) == set(ANSWERS[case]) for case in ANSWERS)


# ---- the button of a whole run: 2.12017 g gold powder with 1.5 per thousand copper
def button_of_the_run():
    powder = Pot("gold powder", solids_mol={"Au": 2.12017 / AU, "Cu": 0.00318504 / CU})
    told = {"borax": 0.02, "bulk_g_per_ml": 4.0, "slag_share": 0.003, "pour_at_k": 1393.15, "power_w": 1200.0, "heat_share": 0.08}
    return run((powder,), place=Place(), **told)


OF_THE_RUN = {
    "powder_g": "powder",
    "borax_g": "borax",
    "crucible_mL": "crucible",
    "heat_kJ": "heat",
    "minutes": "minutes",
    "button_g": "button",
    "button_fine_g": "gold_in_button",
    "button_fineness": "fineness",
    "button_volume_mL": "button_volume",
    "slag_mg": "gold_in_slag",
}


@pytest.mark.parametrize("figure", RUN)
def test_the_melt_of_a_whole_run(figure):
    found = button_of_the_run().answer(OF_THE_RUN[figure]).likely
    assert found == pytest.approx(RUN[figure]["value"], rel=RUN[figure]["tolerance_rel"])


def test_copper_that_came_down_may_be_told():
    step = run(place=Place(), gold_g=2.12017, button_copper=0.0015, slag_share=0.003)
    assert step.answer("powder").likely == pytest.approx(2.12336, rel=1e-5)  # 2.12017 / 0.9985
    assert step.answer("fineness").likely == pytest.approx(998.495, abs=0.001)
    known = Pot("gold powder", solids_mol={"Au": 2.12017 / AU, "Cu": 0.5 / CU})
    assert run((known,), place=Place(), button_copper=0.0015).pots[0].solid_g("Cu") == pytest.approx(0.5)


# ---- flux and crucible
@pytest.mark.parametrize(
    ("told", "keys"),
    [
        ({"gold_g": 40.0}, ["borax-glass"]),
        ({"gold_g": 40.0, "dirt": "dirty"}, ["borax-glass", "soda-ash", "silica"]),
        ({"silver_chloride_g": 40.0}, ["soda-ash"]),
        ({"silver_chloride_g": 40.0, "borax": 0.05}, ["borax-glass", "soda-ash"]),
        ({"gold_g": 40.0, "silver_chloride_g": 1.0}, ["borax-glass"]),
        ({"gold_g": 40.0, "borax": 0.0}, []),
    ],
)
def test_flux_goes_by_the_dirt(told, keys):
    assert [one.key for one in run(place=Place(), **told).reagents] == keys


def test_clean_sponge_takes_one_to_three_percent_borax():
    # common practice, no source
    assert run(place=Place(), gold_g=100.0).answer("borax") == Range(1.0, 2.0, 3.0)


def test_silver_chloride_gives_its_silver_salt_and_gas():
    chloride = 100 / (AG + CL)
    step = run(place=Place(), silver_chloride_g=100.0, slag_share=0.0)
    button, slag = step.pots
    # R8.1 by hand: half a soda ash, a silver, a salt, half a carbon dioxide and a quarter of oxygen to a silver chloride
    assert step.answer("soda_ash").likely == pytest.approx(chloride / 2 * NA2CO3)
    assert step.answer("soda_ash").likely == pytest.approx(37, rel=0.01)  # common practice, no source: 0.37 g/g
    assert step.reagents[0].to_take == pytest.approx(1.4 * chloride / 2 * NA2CO3)
    assert button.solid_g("Ag") == pytest.approx(100 * AG / (AG + CL))
    assert slag.mol("Cl^-") == pytest.approx(chloride)
    assert {gas.formula: gas.mol.high for gas in step.gases} == pytest.approx({"CO2": chloride / 2, "O2": chloride / 4})


def test_a_button_is_sold_by_its_gold():
    poor = run(place=Place(), gold_g=3.0, copper_g=5.0, slag_share=0.0)
    assert poor.answer("fineness").likely == pytest.approx(375)
    traces = run(place=Place(), gold_g=0.05, silver_g=100.0, slag_share=0.0)
    assert traces.answer("fineness").likely == pytest.approx(999.5, abs=0.01)


def test_too_little_soda_leaves_chloride_in_the_slag():
    step = run(place=Place(), silver_chloride_g=100.0, soda_times=0.5)
    assert step.pots[1].solid_g("AgCl") == pytest.approx(50)


def test_crucible_is_for_the_loosest_powder():
    told = spread({"gold_g": 50.0, "bulk_g_per_ml": Range(3.0, 4.0, 5.0)})
    size = run(place=Place(), borax=0.0, **told).answer("crucible")
    assert (size.low, size.likely, size.high) == pytest.approx((50 / 5 * 1.5, 50 / 4 * 1.5, 50 / 3 * 1.5))


# ---- heat
@pytest.mark.parametrize(
    ("metal", "cs", "fusion", "cl", "melts_c"),
    # handbook figures from memory, to be verified
    [("gold", 0.138, 63.7, 0.157, 1064.18), ("silver", 0.27, 105, 0.31, 961.78), ("copper", 0.45, 209, 0.5, 1084.62)],
)
def test_heat_by_hand(metal, cs, fusion, cl, melts_c):
    step = run(place=Place(), pour_at_k=melts_c + 273.15 + 40, start_at_k=293.15, **{f"{metal}_g": 20.0})
    assert step.answer("heat").likely == pytest.approx(20 * (cs * (melts_c - 20) + fusion + cl * 40) / 1000, rel=1e-4)


def test_an_alloy_melts_together():
    # sterling poured at 1012 degC, under copper's own melting point: its copper counts as warmed to that and melted
    step = run(place=Place(), silver_g=925.0, copper_g=75.0, pour_at_k=1285.0)
    silver = 925 * (0.27 * (1234.93 - 298.15) + 105 + 0.31 * (1285 - 1234.93))
    copper = 75 * (0.45 * (1357.77 - 298.15) + 209)
    assert step.answer("heat").likely == pytest.approx((silver + copper) / 1000, rel=1e-4)
    assert step.answer("fineness").likely == pytest.approx(1000 * 925 * 0.997 / (925 * 0.997 + 75))


def test_crucible_has_its_own_heat_and_a_torch_gives_less():
    # 200 g at 1 J/(g K) (memory) from 25 to 1100 degC: 215 kJ, against 10.6 kJ of the gold
    told = {"gold_g": 50.0, "pour_at_k": 1373.15, "power_w": 1500.0}
    step = run(place=Place(), crucible_g=200.0, heat_share=0.5, **told)
    assert step.answer("crucible_heat").likely == pytest.approx(215)
    assert step.answer("minutes").likely == pytest.approx((215 + 10.6365) * 1000 / (1500 * 0.5) / 60, rel=1e-4)
    torch, furnace = (run(place=Place(), heater=heater, **told).answer("minutes").likely for heater in ("torch", "furnace"))
    assert torch > furnace


def test_a_pour_under_the_melting_point_is_refused():
    with pytest.raises(OutOfRange, match="Au does not pour at 900 C\n  Try: "):
        run(place=Place(), gold_g=50.0, pour_at_k=1173.15)


# ---- pots
def test_button_first_and_all_of_it_somewhere():
    powder = Pot("gold powder", solids_mol={"Au": 0.05, "Cu": 0.001, "PbSO4": 0.0005, "AgCl": 0.0002}, inert_g=0.3)
    button, slag = run((powder,), place=Place(), borax=0.02, slag_share=0.01).pots
    assert (button.name, slag.name) == ("button", "slag")
    assert set(button.solids_mol) == {"Au", "Cu"}
    assert slag.solid_mol("PbSO4") == 0.0005
    assert button.solid_mol("Au") + slag.solid_mol("Au") == pytest.approx(0.05)
    assert slag.solid_mol("Au") == pytest.approx(0.0005)


def test_wet_powder_is_dried_first_and_said_to_spit():
    liquor = {"Cu^2+": 0.0001, "H^+": 0.002, "Cl^-": 0.0022, "H2O": 0.2}
    step = run((Pot("gold powder", 0.004, liquor, {"Au": 0.05}),), place=Place())
    slag = step.pots[1]
    assert step.answer("dried_off").likely == pytest.approx(0.2 * 18.015, rel=1e-4)
    assert slag.volume_l == 0
    assert (slag.mol("H2O"), slag.mol("H^+"), slag.mol("Cu^2+")) == (0, 0, 0.0001)
    said = " ".join(line for _, line in step.says)
    assert "damp powder spits" in said
    assert "damp mould" in said


def test_the_powder_is_taken_not_the_foils():
    foils, pulp = Pot("foils", 0.02, {"H2O": 1.0}, {"Au": 0.5}), Pot("pulp", 0.01, {"H2O": 0.5}, {"Au": 0.01}, 4.0)
    powder, silver = Pot("gold powder", 0.004, {"H2O": 0.2}, {"Au": 0.1}), Pot("cement silver", solids_mol={"Ag": 0.4})
    assert choose((foils, pulp, powder, silver)) == (powder,)
    assert choose((foils, silver)) == (silver,)
    assert choose((foils, pulp)) == ()


def test_nothing_to_melt_is_refused():
    with pytest.raises(CannotFollow, match="there is no metal to melt\n  Try: "):
        run(place=Place(), grit_g=3.0)


# ---- the table of fields, and what must always hold
def test_every_field_is_an_argument_of_the_room():
    assert {one.arg for one in FIELDS} == set(MeltTold.__annotations__)
    assert ROOM.name == "melt"


def test_typed_as_a_person_types():
    told = listen(FIELDS, {"gold": "50 g", "power": "1500 W", "pour-at": "1100 C"}, label=lambda name: f"--{name}")
    assert told.faults == []
    figures, _ = lay(told, 1)
    minutes = run(place=Place(), **figures).answer("minutes")
    # 10.6365 kJ at 1500 W, a tenth to three tenths into the metal
    wanted = [10636.5 / (1500 * share) / 60 for share in (0.3, 0.2, 0.1)]
    assert [minutes.low, minutes.likely, minutes.high] == pytest.approx(wanted, rel=1e-4)
    assert set(told.facts) == {"practice/melt.bulk.gold", "practice/melt.heat.furnace", "practice/melt.slag.gold"}


@pytest.mark.parametrize(
    ("word", "fact_id"), [("silver", "bulk.silver"), ("silver-chloride", "bulk.chloride"), ("gold", "bulk.gold")]
)
def test_bulk_stands_in_by_what_is_melted(word, fact_id):
    assert f"practice/melt.{fact_id}" in listen(FIELDS, {word: "10 g"}, label=str).facts


def test_facts_of_the_melt_say_where_they_are_from():
    for _, row in rows(table("practice/melt")):
        assert row["about"]
        assert cite(row["source"])
    # published: MacFarren's charges, quoted by Rose, The Metallurgy of Gold
    assert fact("practice/melt.borax.dirty").range == Range(0.12, 0.21, 0.30)


@pytest.mark.parametrize(
    "told", [{"gold_g": 2.1}, {"silver_chloride_g": 50.0}, {"gold_g": 40.0, "dirt": "dirty", "power_w": 900.0}]
)
def test_every_answer_says_which_end_and_why(told):
    step = run(place=Place(), **told)
    assert all(one.sized_on and one.because for one in step.answers)
    assert all(one.key and one.excess and one.when for one in step.reagents)
    assert {"vessel", "watch for", "done when", "gear", "next", "left over"} <= {heading for heading, _ in step.says}


@given(st.floats(0.1, 500), st.floats(0, 20), st.floats(1, 5), st.floats(0, 0.05))
def test_twice_the_powder_is_twice_the_melt(gold, copper, times, slag):
    one, more = (run(place=Place(), gold_g=n * gold, copper_g=n * gold * copper, slag_share=slag) for n in (1, times))
    for name in ("heat", "crucible", "borax", "button", "gold_in_slag"):
        assert more.answer(name).likely == pytest.approx(times * one.answer(name).likely)
    assert more.answer("sphere").likely == pytest.approx(times ** (1 / 3) * one.answer("sphere").likely)
    assert more.answer("fineness").likely == pytest.approx(one.answer("fineness").likely)


@given(st.floats(0.5, 100))
def test_ball_and_cube_hold_the_same(gold):
    step = run(place=Place(), gold_g=gold)
    volume = step.answer("button_volume").likely
    assert step.answer("cube_side").likely ** 3 == pytest.approx(1000 * volume)
    assert math.pi / 6 * step.answer("sphere").likely ** 3 == pytest.approx(1000 * volume)


@given(st.lists(st.floats(0.5, 50), min_size=2, max_size=5))
def test_cases_run_together_as_they_run_alone(gold):
    together = run(place=Place(), gold_g=np.array(gold), borax=0.0)
    alone = [run(place=Place(), gold_g=one, borax=0.0).answer("button").likely for one in gold]
    assert together.pots[0].solid_g("Au") == pytest.approx(alone)


def test_silver_chloride_without_its_soda_is_no_metal():
    with pytest.raises(CannotFollow, match="no metal without soda"):
        run(silver_chloride_g=1.0, dirt="dirty")
