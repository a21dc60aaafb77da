"""Spent nitrate liquor part-neutralised: the caustic, what is left on purpose, and that iron goes in quietly afterwards."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench import cement
from refinekit.bench.denox import ROOM, run
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.chemistry.solution import Solution
from refinekit.errors import CannotFollow
from refinekit.safety.engine import review

DATA = Path(__file__).parent.parent / "data"
RUN = {step["do"]: step["answers"] for step in json.loads((DATA / "run_karat.json").read_text())["steps"]}
STEP = RUN["nitrate liquor: part neutralise, copper on iron"]
NITRIC = Solution("HNO3", 0.68, 1.4048, "68 %")
LITRES = 2.941
"""Nitrate liquor of that run: (free nitric - caustic / 40.0 g/mol) / 0.15 mol/L."""
LIQUOR = Pot(
    "nitrate liquor",
    LITRES,
    {
        "H^+": STEP["free_nitric_mol"]["value"],
        "NO3^-": STEP["free_nitric_mol"]["value"] + 2 * STEP["copper_in_liquor_g"]["value"] / 63.546,
        "Cu^2+": STEP["copper_in_liquor_g"]["value"] / 63.546,
        "H2O": 150.0,
    },
)


def test_caustic_and_then_iron_as_in_a_whole_run():
    step = run((LIQUOR,), place=Place(), method="caustic", acid_left_mol_per_l=0.15, nitric=NITRIC)
    assert step.answer("free_acid").likely == pytest.approx(STEP["free_nitric_mol"]["value"])
    assert step.answer("caustic").likely == pytest.approx(STEP["naoh_first_g"]["value"], rel=0.01)
    weak = step.pots[0]
    assert weak.name == "weak nitrate liquor"
    iron = cement.run((weak,), place=Place(), metal="iron")
    assert iron.answer("iron_for_copper").likely == pytest.approx(STEP["iron_for_copper_g"]["value"], rel=0.01)
    assert iron.answer("iron_for_others").likely == pytest.approx(STEP["iron_for_acid_g"]["value"], rel=0.02)
    assert iron.answer("copper_recovered").likely == pytest.approx(STEP["copper_recovered_g"]["value"], rel=0.01)
    no_l = next(gas for gas in iron.gases if gas.formula == "NO").litres.likely
    run_l = STEP["no_from_iron_L"]["value"]  # at that run's 18 degC and 0.85 atm: 28.11 L a mole, here 24.465
    assert no_l == pytest.approx(run_l * 24.465 / 28.11, rel=0.02)
    assert step.answer("no_if_on_iron").likely == pytest.approx(no_l, rel=1e-6)


def test_told_in_figures_it_needs_litres_and_takes_no_hydrochloric_for_granted():
    step = run((), place=Place(), method="caustic", nitric_left_l=0.05, volume_l=3.0, nitric=NITRIC)
    # 0.05 L x 15.16 mol/L - 0.02 mol/L x 3 L, x 39.997 g/mol
    assert step.answer("caustic").likely == pytest.approx((0.758 - 0.06) * 39.997, rel=1e-3)
    with pytest.raises(CannotFollow, match="litres"):
        run((), place=Place(), method="caustic", nitric_left_l=0.05)


def test_a_gold_liquor_is_refused():
    with pytest.raises(CannotFollow, match="gold liquor"):
        run((), place=Place(), method="caustic", nitric_left_l=0.005, volume_l=0.1, dissolved_gold_g=2.0)


def test_it_chooses_spent_nitrate_and_nothing_that_holds_gold():
    gold = Pot("gold liquor", 0.2, {"H^+": 1.0, "NO3^-": 0.5, "Cl^-": 0.6, "AuCl4^-": 0.1})
    barren = Pot("barren", 0.2, {"H^+": 1.0, "NO3^-": 0.01, "Cl^-": 0.99})
    assert ROOM.choose((gold, LIQUOR, barren), method="caustic") == (LIQUOR,)


@pytest.mark.parametrize(("part", "level"), [(False, "warn"), (True, "note")])
def test_iron_on_weak_nitric_is_noted_and_on_free_nitric_warned_of(part, level):
    place = Place()
    pot = run((LIQUOR,), place=place, method="caustic", nitric=NITRIC).pots[0] if part else LIQUOR
    codes = {notice.code: notice.level for notice in review(cement.run((pot,), place=place, metal="iron"), place, overrides={})}
    assert codes["nox"] == level


@given(acid=st.floats(0.0, 5.0), litres=st.floats(0.1, 20.0), leave=st.floats(0.0, 1.0))
def test_never_more_caustic_than_acid_and_never_less_left_than_asked(acid, litres, leave):
    pot = Pot("nitrate liquor", litres, {"H^+": acid, "NO3^-": acid + 0.2, "Cu^2+": 0.1, "H2O": 55.0 * litres})
    step = run((pot,), place=Place(), method="caustic", acid_left_mol_per_l=leave)
    poured = step.answer("caustic").likely / 39.997
    assert poured == pytest.approx(max(acid - leave * litres, 0.0), abs=1e-6, rel=1e-3)
    assert step.answer("acid_left").likely == pytest.approx(min(acid, leave * litres), abs=1e-6)
