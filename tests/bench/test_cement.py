"""Cementing: worked cases, the waste pot of a run of fingers, what eats the bar, which pots it takes, what closes."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.cement import FIELDS, ROOM, choose, run
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.errors import CannotFollow
from refinekit.ranges import Range, spread
from refinekit.shop.ask import lay, listen

DATA = Path(__file__).parent.parent / "data"
WORKED = {case["id"]: case for case in json.loads((DATA / "worked/area10.json").read_text())["cases"]}
FINGERS = {step["do"]: step["answers"] for step in json.loads((DATA / "run_fingers.json").read_text())["steps"]}

# ---- worked cases: how each is told, and which answer of the step each figure is
TOLD = {
    "10.01": {"metal": "iron", "copper_g": 66.0, "acid_mol": 2.0, "acid_share": 1.0},
    "10.10": {"metal": "copper", "volume_l": 6.0, "gold_strength_g_per_l": 0.015, "copper_strength_g_per_l": 40.0},
    "10.11": {"metal": "aluminium", "volume_l": 4.0, "copper_g": 66.0, "acid_share": 0.0, "copper_left_g_per_l": 0.0},
}
ANSWERS = {
    "10.01": {
        "iron_for_copper": "iron_for_copper",
        "iron_for_acid": "iron_for_acid",
        "iron_total": "iron",
        "hydrogen": "hydrogen",
    },
    "10.10": {"gold": "gold", "copper_consumed_by_gold": "copper_by_gold"},
    "10.11": {"aluminium": "aluminium", "heat": "heat", "rise": "rise"},
}


@pytest.mark.parametrize(
    ("case", "figure"),
    [pytest.param(c, f, id=f"{c} {f}: {WORKED[c]['source'][:60]}") for c in ANSWERS for f in ANSWERS[c]],
)
def test_worked_cases(case, figure):
    wanted = WORKED[case]["answers"][figure]
    found = run(place=Place(), **TOLD[case]).answer(ANSWERS[case][figure]).likely
    assert found == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


# ---- the waste of a run of fingers
def barren():
    """Barren and powder rinses of the run: 5 mg/L gold in the liquor over the powder, nothing else the bar minds."""
    gold_mol = FINGERS["cement gold"]["gold_on_the_copper_mg"]["value"] / 1000 / 196.96657
    return Pot("barren", 0.7, {"AuCl4^-": gold_mol, "H^+": gold_mol + 0.2, "Cl^-": 0.2, "H2O": 38.0})


def test_the_last_gold_of_a_run_of_fingers_on_copper():
    step = run([barren()], metal="copper")
    for figure, name in (("gold_on_the_copper_mg", "gold"), ("copper_eaten_mg", "copper_eaten")):
        wanted = FINGERS["cement gold"][figure]
        assert step.answer(name).likely == pytest.approx(wanted["value"], rel=wanted["tolerance_rel"])
    black = next(pot for pot in step.pots if pot.name == "cement gold")
    assert 1000 * black.solid_g("Au") == pytest.approx(2.315, rel=0.02)


IRON = {
    "waste_L": "liquor",
    "copper_in_waste_g": "copper",
    "free_acid_before_iron_mol": "free_acid",
    "iron_for_copper_g": "iron_for_copper",
    "iron_for_acid_g": "iron_for_acid",
    "iron_most_g": "iron_most",
    "hydrogen_L": "hydrogen",
    "hydrogen_most_L": "hydrogen_most",
    "copper_recovered_g": "copper_recovered",
}


@pytest.mark.parametrize("figure", IRON)
def test_the_copper_of_a_run_of_fingers_on_iron(figure):
    answers = FINGERS["copper on iron"]
    told = {
        "volume_l": answers["waste_L"]["value"],
        "copper_g": answers["copper_in_waste_g"]["value"],
        "acid_mol": answers["free_acid_before_iron_mol"]["value"],
        "acid_share": 0.25,
        "copper_left_g_per_l": 0.030,
    }
    found = run(metal="iron", **told).answer(IRON[figure]).likely
    assert found == pytest.approx(answers[figure]["value"], rel=answers[figure]["tolerance_rel"])


# ---- what eats a copper bar, mole by mole: each from its equation
@pytest.mark.parametrize(
    ("dissolved", "per_mol"),
    [
        pytest.param({"AuCl4^-": 0.01, "H^+": 0.01}, 1.5, id="gold 1.5"),
        pytest.param({"AgCl2^-": 0.01, "H^+": 0.01}, 0.5, id="silver 0.5"),
        pytest.param({"Ag^+": 0.01, "NO3^-": 0.01}, 0.5, id="silver nitrate 0.5"),
        pytest.param({"PdCl4^2-": 0.01, "H^+": 0.02}, 1.0, id="palladium 1"),
        pytest.param({"PtCl6^2-": 0.01, "H^+": 0.02}, 2.0, id="platinum 2"),
        pytest.param({"Fe^3+": 0.01, "Cl^-": 0.03}, 0.5, id="iron(III) 0.5"),
        pytest.param({"NO3^-": 0.01, "H^+": 0.01}, 0.375, id="nitric, the only acid, 3/8"),
        pytest.param({"NO3^-": 0.01, "H^+": 0.5, "Cl^-": 0.49}, 1.5, id="nitric with plenty of hydrochloric 1.5"),
        pytest.param({"H2O2": 0.01, "H^+": 0.5, "Cl^-": 0.5}, 1.0, id="peroxide 1"),
    ],
)
def test_what_eats_the_bar(dissolved, per_mol):
    step = run([Pot("rinses", 1.0, dissolved)], metal="copper")
    assert step.answer("copper_eaten").likely == pytest.approx(1000 * 63.546 * 0.01 * per_mol, rel=1e-4)


def test_a_bar_forgotten_in_cupric_liquor_is_eaten_too():
    told = {"metal": "copper", "volume_l": 2.0, "gold_strength_g_per_l": 0.01, "copper_strength_g_per_l": 10.0, "acid_mol": 4.0}
    lifted, left = run(**told), run(**told, bar_left=1.0)
    # one copper to each cupric copper: 20 g again, beside the 29 mg the gold takes
    assert lifted.answer("copper_if_left").likely == pytest.approx(20.03, rel=0.01)
    assert left.answer("copper_eaten").likely / 1000 == pytest.approx(20.03, rel=0.01)
    assert lifted.answer("copper_eaten").likely < 20


@pytest.mark.parametrize(
    ("dissolved", "iron_mol"),
    [
        pytest.param({"Fe^3+": 0.1, "Cl^-": 0.3}, 0.05, id="iron(III): half"),
        pytest.param({"CuCl2^-": 0.1, "Cl^-": 0.1, "Na^+": 0.2}, 0.05, id="cuprous: half"),
        pytest.param({"NO3^-": 0.1, "H^+": 0.1}, 0.0375, id="nitric: 3/8 an acid"),
    ],
)
def test_what_eats_iron_beside_copper(dissolved, iron_mol):
    step = run([Pot("rinses", 1.0, dissolved)], metal="iron", acid_share=0.0)
    assert step.answer("iron").likely == pytest.approx(55.845 * iron_mol, rel=1e-4)


@given(st.lists(st.floats(0.01, 100.0), min_size=3, max_size=3).map(sorted), st.floats(0.0, 5.0))
def test_where_copper_and_acid_are_all_nothing_is_taken_for_others(coppers, acid):
    step = run(metal="iron", **spread({"copper_g": Range(*coppers)}), acid_mol=acid, volume_l=1.0, acid_share=0.5)
    assert "iron_for_others" not in {one.name for one in step.answers}


def test_aluminium_is_told_to_go_in_by_parts():
    step = run(metal="aluminium", volume_l=3.0, copper_strength_g_per_l=120.0, free_acid_mol_per_l=1.0, acid_share=0.5)
    assert step.answer("temperature").high > 100
    assert any("boils over; in" in line and "portions" in line for heading, line in step.says if heading == "heat")


# ---- which pots
def pots():
    return (
        Pot("bath", 3.0, {"H^+": 9.0, "Cl^-": 11.0, "Cu^2+": 1.0}),
        Pot("boards", 0.03, {"H^+": 0.01, "Cl^-": 0.01}, inert_g=360.0),
        Pot("rinses", 1.2, {"H^+": 0.4, "Cl^-": 0.42, "Cu^2+": 0.01}),
        Pot("gold liquor", 0.3, {"AuCl4^-": 0.01, "H^+": 0.5, "Cl^-": 0.49}),
        barren(),
        Pot("gold powder", 0.004, {"H^+": 0.001, "Cl^-": 0.001}, {"Au": 0.01}),
    )


def test_copper_takes_the_spent_liquors_and_keeps_the_bath_apart():
    chosen = choose(pots(), metal="copper")
    assert [pot.name for pot in chosen] == ["rinses", "barren", "bath"]
    step = run(chosen, metal="copper")
    assert [pot.name for pot in step.pots] == ["stock pot", "cement gold", "bath"]
    assert step.pots[2] is chosen[2]
    assert step.pots[0].volume_l == pytest.approx(1.9)


def test_iron_takes_the_stock_pot_and_as_much_bath_as_told():
    stock = run(choose(pots(), metal="copper"), metal="copper").pots
    step = run(choose(stock, metal="iron"), metal="iron", with_bath_l=0.6, acid_share=0.25)
    names = {pot.name: pot for pot in step.pots}
    assert names["iron liquor"].volume_l == pytest.approx(2.5)
    assert names["bath"].volume_l == pytest.approx(2.4)
    assert names["bath"].mol("Cu^2+") == pytest.approx(0.8)
    assert names["cement copper"].solid_mol("Cu") == pytest.approx(0.2 + 0.01, abs=0.002)


def test_a_bath_alone_is_cemented_itself():
    step = run(choose(pots()[:1], metal="iron"), metal="iron", acid_share=0.5)
    assert [pot.name for pot in step.pots] == ["iron liquor", "cement copper"]


def test_no_bath_to_take_from_says_so():
    with pytest.raises(CannotFollow, match="there is no pot called bath"):
        run([barren()], metal="iron", with_bath_l=0.5)


def test_nothing_at_all_says_what_to_give():
    with pytest.raises(CannotFollow, match=r"no liquor.*\n.*--volume 6L"):
        run(metal="iron")


def test_a_strength_without_a_volume_says_so():
    with pytest.raises(CannotFollow, match="no volume is told"):
        run(metal="copper", gold_strength_g_per_l=0.01)


# ---- marks, notices, ranges
def test_only_a_test_told_of_is_recorded():
    assert "gold-tested" not in run([barren()], metal="copper").pots[0].marks
    assert "gold-tested" in run([barren()], metal="copper", tested=True).pots[0].marks


def test_gold_on_the_way_to_the_copper_is_pointed_out():
    assert [notice.code for notice in run([barren()], metal="iron", acid_share=0.5).notices] == ["gold-goes-with-copper"]


def test_the_share_of_acid_stands_in_as_a_range():
    told = listen(FIELDS, {"metal": "iron", "volume": "4 L", "copper": "66 g", "free-acid": "0.5 mol/L"}, label=str)
    figures, _ = lay(told, 1)
    step = run(**figures)
    assert step.answer("hydrogen").low < step.answer("hydrogen").likely < step.answer("hydrogen").high
    assert step.answer("hydrogen").high == pytest.approx(24.465, rel=0.001)  # 2 mol acid, one mole of hydrogen
    assert step.reagents[0].to_take == pytest.approx(step.answer("iron_most").high)


def test_every_answer_says_what_it_was_sized_on():
    for step in (run([barren()], metal="copper"), run(place=Place(), **TOLD["10.01"])):
        assert all(answer.sized_on and answer.because for answer in step.answers)
        assert step.workings


def test_what_is_not_known_is_refused():
    with pytest.raises(TypeError, match="cement takes no sugar"):
        run([barren()], sugar=1)


def test_the_example_can_be_read():
    assert ROOM.example.startswith("refinekit cement ")


# ---- properties
AMOUNT = st.floats(0.0, 2.0)


@st.composite
def liquors(draw):
    """A liquor whose charges come out: cations, and chloride and nitrate for them."""
    ions = {ion: draw(AMOUNT) for ion in ("H^+", "Cu^2+", "Ni^2+", "Fe^3+", "Fe^2+", "NO3^-")}
    noble = draw(st.floats(0.0, 0.01))
    cuprous = draw(st.floats(0.0, 0.5))
    charge = ions["H^+"] + 2 * ions["Cu^2+"] + 2 * ions["Ni^2+"] + 3 * ions["Fe^3+"] + 2 * ions["Fe^2+"]
    ions["NO3^-"] = min(ions["NO3^-"], charge)
    ions["Cl^-"] = charge - ions["NO3^-"] + 2 * cuprous
    return Pot("rinses", 1.0, {**ions, "AuCl4^-": noble, "CuCl2^-": cuprous, "Na^+": noble + 3 * cuprous, "H2O": 50.0})


@given(liquors(), st.sampled_from(["copper", "iron", "aluminium"]), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_nothing_is_lost_whatever_the_liquor(pot, metal, share, bar):
    step = run([pot], metal=metal, acid_share=share, bar_left=bar)
    noble = next((one for one in step.pots if one.name in ("cement gold", "cement copper")), None)
    gold = 0.0 if noble is None else noble.solid_mol("Au")
    assert gold == pytest.approx(pot.mol("AuCl4^-"), abs=1e-12)
    assert all(np.all(np.asarray(mol) >= 0) for one in step.pots for mol in one.dissolved_mol.values())


@given(st.floats(0.1, 100.0), st.floats(0.1, 5.0), st.floats(2, 50))
def test_twice_the_liquor_takes_twice_the_iron(copper, acid, times):
    one = run(metal="iron", copper_g=copper, acid_mol=acid, volume_l=1.0, acid_share=0.5)
    many = run(metal="iron", copper_g=times * copper, acid_mol=times * acid, volume_l=times, acid_share=0.5)
    assert many.answer("iron").likely == pytest.approx(times * one.answer("iron").likely)
    assert many.answer("hydrogen").likely == pytest.approx(times * one.answer("hydrogen").likely)


@given(st.floats(0.1, 50.0), st.floats(0.0, 50.0))
def test_more_copper_never_takes_less_iron(copper, more):
    def iron(grams):
        return run(metal="iron", copper_g=grams, acid_mol=1.0, volume_l=1.0, acid_share=0.5).answer("iron").likely

    assert iron(copper + more) >= iron(copper) - 1e-9


def test_ranges_bound_their_corners():
    told = {
        "metal": "iron",
        "volume_l": 2.0,
        **spread({"copper_g": Range(20, 30, 45), "acid_mol": Range(0.5, 1, 2), "acid_share": Range(0.25, 0.5, 1)}),
    }
    iron = run(**told).answer("iron")
    ends = [
        run(metal="iron", volume_l=2.0, copper_g=copper, acid_mol=acid, acid_share=share).answer("iron").likely
        for copper, acid, share in ((20.0, 0.5, 0.25), (30.0, 1.0, 0.5), (45.0, 2.0, 1.0))
    ]
    assert [iron.low, iron.likely, iron.high] == pytest.approx(ends)
