"""The rinse: worked cases, a whole run's three rinses, silver chloride on dilution, targets, and what is refused."""

import json
from pathlib import Path

import numpy as np
import pytest

from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.rinse import ROOM, choose, run
from refinekit.bench.rinse_fields import FIELDS, RinseTold
from refinekit.bench.rinse_wash import fraction_left, washes_for
from refinekit.chemistry.solution import Solution
from refinekit.errors import BadQuantity, CannotFollow, OutOfRange
from refinekit.facts.load import cite, fact, rows, table
from refinekit.ranges import Range, spread
from refinekit.shop.ask import lay, listen
from refinekit.units import read_price

DATA = Path(__file__).parent.parent / "data"
WORKED = {case["id"]: case for case in json.loads((DATA / "worked/area6.json").read_text())["cases"]}
RUN = {step["do"]: step["answers"] for step in json.loads((DATA / "run_fingers.json").read_text())["steps"]}
AU, CU, NI, AGCL = 196.96657, 63.546, 58.6934, 107.8682 + 35.45  # CIAAW 2021

# ---- worked cases: how each is told to the rinse, and which answer of the rinse each of its figures is, times what
TOLD = {
    "6.01": {"held_l": 0.050, "wash_l": 0.450, "target": 0.0001},
    "6.02": {
        "what": "pulp",
        "weight_g": 6.0,
        "hold_ml_per_g": 3.0,
        "gold_strength_g_per_l": 5.0,
        "wash_l": 0.030,
        "target": 0.001,
    },
    "6.03": {"held_l": 0.018, "wash_l": 0.240, "washes": 1.0, "gold_strength_g_per_l": 5.0},
    "6.05": {
        "what": "foils",
        "weight_g": 500.0,
        "hold_ml_per_g": 0.06,
        "gold_strength_g_per_l": 0.020,
        "copper_strength_g_per_l": 60.0,
    },
}
ANSWERS = {
    "6.01": {"rinses": ("washes", 1)},
    "6.02": {"held": ("held", 1), "gold_at_stake": ("gold_held", 0.001), "washes": ("washes", 1)},
    "6.03": {"left": ("left", 1), "gold_left": ("gold_left", 1)},
    "6.05": {"gold": ("board_gold_held", 1), "copper": ("board_copper_held", 0.001)},
}


@pytest.mark.parametrize(
    ("case", "figure"),
    [pytest.param(case, figure, id=f"{case} {figure}: {WORKED[case]['source']}") for case in ANSWERS for figure in ANSWERS[case]],
)
def test_worked_cases(case, figure):
    name, times = ANSWERS[case][figure]
    wanted = WORKED[case]["answers"][figure]
    found = run(place=Place(), **TOLD[case]).answer(name).likely * times
    tolerance = 0 if wanted["tolerance"] == "exact" else wanted["tolerance"]["relative"]
    assert found == pytest.approx(wanted["value"], rel=tolerance)


def test_every_worked_case_is_told():
    assert {case: set(WORKED[case]["answers"]) for case in WORKED} == {case: set(figures) for case, figures in ANSWERS.items()}


# ---- a whole run's rinses, each from the pots the step before leaves (figures of that run, by hand from its table)
def bath(litres):
    """The bath that the run's leach leaves: 3.40721 mol/L free acid, 26.6905 g/L copper, 1.87558 g/L nickel."""
    acid, copper, nickel = 3.40721, 26.6905 / CU, 1.87558 / NI
    strength = {"H^+": acid, "Cl^-": acid + 2 * copper + 2 * nickel, "Cu^2+": copper, "Ni^2+": nickel, "H2O": 52.0}
    return {species: litres * mol for species, mol in strength.items()}


BOARDS_G = 361.558
BOARD_HELD_L = 0.08 * BOARDS_G / 1000
GOLD_ON_BOARDS_G = 0.0214422


def leached():
    kept = 3.0 - BOARD_HELD_L - 0.025
    return (
        Pot("bath", kept, bath(kept)),
        Pot("foils", 0.025, bath(0.025), {"Au": 2.12277 / AU, "Cu": 0.505774 / CU}),
        Pot("boards", BOARD_HELD_L, bath(BOARD_HELD_L), {"Au": GOLD_ON_BOARDS_G / AU}, BOARDS_G - GOLD_ON_BOARDS_G),
    )


def rinsed_foils():
    told = {"wash_l": 0.075, "acid_washes": 2.0, "acid_strength_mol_per_l": 1.0, "washes": 3.0}
    return run(leached(), place=Place(), what="foils", board_wash_l=0.4, board_washes=2.0, **told)


def filtered():
    gold = 2.12277 / AU
    liquor = Pot("gold liquor", 0.0924, {"AuCl4^-": gold, "H^+": gold + 0.2, "Cl^-": 0.2, "H2O": 5.0})
    return run((liquor,), place=Place(), what="pulp", dilute_l=0.320, weight_g=4.0, hold_ml_per_g=3.0, wash_l=0.025, washes=5.0)


def rinsed_powder():
    # barren in the powder: copper 63.546 x 4.347e-6 mol in 4 mL, so that (4/64)^4 of it is the run's 0.0663309 ug
    copper = 0.0663309e-6 / 1.52588e-5 / CU
    powder = Pot("gold powder", 0.004, {"Cu^2+": copper, "Cl^-": 2 * copper, "H2O": 0.2}, {"Au": 2.12017 / AU})
    return run((powder,), place=Place(), what="powder", held_l=0.004, wash_l=0.060, washes=4.0)


RINSES = {"rinse foils": rinsed_foils, "filter": filtered, "rinse powder": rinsed_powder}
OF_THE_RUN = {
    ("rinse foils", "stripped_boards_g"): ("boards", 1),
    ("rinse foils", "board_held_mL"): ("board_held", 1),
    ("rinse foils", "bath_kept_L"): ("bath_kept", 1),
    ("rinse foils", "copper_left_on_boards_mg"): ("board_copper_left", 1),
    ("rinse foils", "foil_fraction_left"): ("left", 0.01),
    ("rinse foils", "copper_in_held_mg"): ("copper_left", 1),
    ("rinse foils", "acid_in_held_mmol"): ("acid_left", 1),
    ("rinse foils", "rinse_made_L"): ("rinse_made", 1),
    ("filter", "gold_g_L_before_filter"): ("gold_strength", 1),
    ("filter", "pulp_held_mL"): ("held", 1),
    ("filter", "pulp_fraction_left"): ("left", 0.01),
    ("filter", "pulp_gold_left_mg"): ("gold_left", 1),
    ("filter", "washes_for_99p9"): ("washes", 1),
    ("filter", "filtrate_mL"): ("filtrate", 1),
    ("rinse powder", "fraction_left"): ("left", 0.01),
    ("rinse powder", "copper_left_on_powder_ug"): ("copper_left", 1000),
    ("rinse powder", "rinse_made_mL"): ("rinse_made", 1000),
}


@pytest.mark.parametrize(("step", "figure"), OF_THE_RUN, ids=lambda text: text)
def test_the_rinses_of_a_whole_run(step, figure):
    name, times = OF_THE_RUN[step, figure]
    wanted = RUN[step][figure]
    assert RINSES[step]().answer(name).likely * times == pytest.approx(wanted["value"], rel=wanted["tolerance_rel"] or 1e-9)


def test_every_rinse_figure_of_the_run_is_looked_at():
    assert {(step, figure) for step in RINSES for figure in RUN[step]} == set(OF_THE_RUN)


def test_pots_come_out_washed_first():
    assert [pot.name for pot in rinsed_foils().pots] == ["foils", "boards", "rinses", "bath"]
    assert [pot.name for pot in filtered().pots] == ["gold liquor", "pulp"]
    assert [pot.name for pot in rinsed_powder().pots] == ["gold powder", "powder rinses"]


def test_the_rinses_carry_what_the_foils_lost():
    step = rinsed_foils()
    rinses = step.pots[2]
    # by hand: 26.6905 g/L in 25 and 28.925 mL, less the 0.65 and 3.51 mg that stay
    assert rinses.element_g("Cu", solid=False) == pytest.approx(26.6905 * (0.025 + BOARD_HELD_L) - 0.00416, rel=1e-4)
    assert rinses.volume_l == pytest.approx(1.175)


def test_acid_for_the_first_washes_comes_from_the_bottle():
    # 2 x 75 mL of 1 mol/L: 0.15 mol, at 12 mol/L 12.5 mL and the rest water
    acid = Solution.of("HCl", "mol_per_l", 12.0)
    told = {"wash_l": 0.075, "acid_washes": 2.0, "acid_strength_mol_per_l": 1.0, "washes": 3.0, "acid": acid}
    pours = [(one.key, one.to_take) for one in run(leached()[1:2], place=Place(), what="foils", **told).reagents]
    assert pours == [("hydrochloric", pytest.approx(12.5)), ("water", pytest.approx(137.5)), ("water", pytest.approx(225))]


def test_table_goes_wash_by_wash():
    (one,) = run(place=Place(), **TOLD["6.02"]).tables
    assert one.columns == ("wash", "mL", "left %", "left mg gold")
    assert [row[2].likely for row in one.rows[:2]] == pytest.approx([100 * 18 / 48, 100 * (18 / 48) ** 2])
    assert len(one.rows) == 8


# ---- targets
@pytest.mark.parametrize(("times", "washes"), [(1.5, 8), (3, 5), (10, 3)], ids="common practice, no source: {}".format)
def test_washes_for_99_9_percent(times, washes):
    assert washes_for(0.012, 0.012 * times, 0.001) == washes


def test_target_by_the_metal_that_may_stay():
    # 18 mL of 5 g/L hold 90 mg; 0.09 mg may stay: a thousandth, 8 washes of 30 mL
    told = {"what": "pulp", "held_l": 0.018, "gold_strength_g_per_l": 5.0, "wash_l": 0.030}
    assert run(place=Place(), allowed_g=0.00009, **told).answer("washes").likely == 8


def test_target_by_money():
    told = {"what": "pulp", "held_l": 0.018, "gold_strength_g_per_l": 5.0, "wash_l": 0.240, "washes": 1.0}
    step = run(place=Place(), gold_price=read_price("60 EUR/g", name="--gold-price"), **told)
    assert step.answer("money_left").likely == pytest.approx(0.09 * 18 / 258 * 60, rel=1e-6)


def test_washes_are_made_for_the_most_liquor_held():
    told = spread({"weight_g": 6.0, "hold_ml_per_g": Range(2.0, 3.0, 4.0), "wash_l": 0.030, "gold_strength_g_per_l": 5.0})
    step = run(place=Place(), what="pulp", target=0.001, **told)
    # by hand: ln 1000 / ln((24 + 30) / 24) = 8.52, for 12 mL 5.51
    assert step.answer("washes") == Range(6, 8, 9)
    assert step.answer("washes_made") == Range.point(9)
    assert step.answer("left").high == pytest.approx(100 * (24 / 54) ** 9)


def test_usual_wash_is_three_times_the_liquor_but_enough_to_stir():
    big, small = (run(place=Place(), held_l=held).tables[0].rows[0][1] for held in (0.100, 0.002))
    assert (big, small) == (pytest.approx(300), pytest.approx(25))


# ---- chemistry on the way
def test_silver_chloride_falls_on_dilution():
    # Forbes 1911, from memory: 300 mL at 5.5 mol/L hold 106.225 mg AgCl, 1500 mL at 1.1 mol/L 19.6024 mg; silver is 0.75263 of it
    silver = 0.106225 / AGCL
    liquor = Pot("gold liquor", 0.300, {"AgCl2^-": silver, "H^+": 1.65 + silver, "Cl^-": 1.65, "H2O": 14.0})
    step = run((liquor,), place=Place(), what="pulp", dilute_l=1.5, weight_g=4.0, washes=5.0, wash_l=0.025)
    assert step.answer("silver_carried").likely == pytest.approx(19.6024 * 0.75263, rel=0.02)
    assert step.answer("silver_fallen").likely == pytest.approx((106.225 - 19.6024) * 0.75263, rel=0.02)
    assert step.pots[1].solid_mol("AgCl") == pytest.approx((0.106225 - 0.0196) / AGCL, rel=0.02)
    warm = run((liquor,), place=Place(), what="pulp", dilute_l=1.5, weight_g=4.0, washes=5.0, wash_l=0.025, warm=True)
    assert warm.pots[1].solid_mol("AgCl") == 0


def test_solids_of_the_liquor_stay_on_the_pulp():
    liquor = Pot("gold liquor", 0.1, {"AuCl4^-": 0.01, "H^+": 0.01, "H2O": 5.0}, {"PbSO4": 0.002, "AgCl": 0.001}, 1.5)
    filtrate, pulp = run((liquor,), place=Place(), what="pulp", weight_g=4.0).pots
    assert (pulp.solid_mol("PbSO4"), pulp.inert_g) == (pytest.approx(0.002), pytest.approx(5.5))
    assert filtrate.solid_mol("PbSO4") == 0


def test_usual_dilution_is_four_times():
    liquor = Pot("gold liquor", 0.1, {"AuCl4^-": 0.01, "H^+": 0.01, "H2O": 5.0})
    step = run((liquor,), place=Place(), what="pulp", weight_g=4.0, hold_ml_per_g=3.0, washes=4.0, wash_l=0.025)
    assert step.answer("filtrate").likely == pytest.approx(400 + 100 - 12)


def test_plain_water_on_cuprous_liquor_is_noted():
    foils = Pot("foils", 0.025, {"CuCl2^-": 0.001, "H^+": 0.02, "Cl^-": 0.019, "H2O": 1.3}, {"Au": 0.01})
    water, acid = (run((foils,), place=Place(), what="foils", acid_washes=washes) for washes in (0.0, 2.0))
    assert [one.code for one in water.notices] == ["cuprous-curd"]
    assert acid.notices == ()


def test_liquor_over_the_powder_is_poured_off_as_barren():
    copper = 0.01
    powder = Pot("gold powder", 0.5, {"Cu^2+": copper, "Cl^-": 2 * copper, "H2O": 27.0}, {"Au": 0.05})
    step = run((powder,), place=Place(), what="powder", held_l=0.005, wash_l=0.060, washes=3.0)
    by_name = {pot.name: pot for pot in step.pots}
    assert by_name["barren"].volume_l == pytest.approx(0.495)
    assert by_name["barren"].mol("Cu^2+") == pytest.approx(0.99 * copper)
    assert by_name["gold powder"].mol("Cu^2+") == pytest.approx(0.01 * copper * (5 / 65) ** 3)
    assert by_name["gold powder"].solid_mol("Au") == 0.05


def test_rinse_beyond_the_drum_is_noted():
    full, roomy = (run(place=Place(), drum_room_l=room, **TOLD["6.01"]).notices for room in (1.0, 2.0))
    assert [one.code for one in full] == ["rinse-over-drum"]
    assert roomy == ()


def test_ammonia_stays_in_the_pots_for_the_rules_to_see():
    silver, gold = Pot("gold powder", 0.01, {"H2O": 0.55}, {"Au": 0.1, "AgCl": 0.004}), "gold powder"
    step = run((silver,), place=Place(), what="powder", held_l=0.01, liquid="ammonia", wash_l=0.05, washes=2.0)
    assert {pot.name for pot in step.pots if pot.mol("NH3") > 0} == {gold, "powder rinses"}
    assert [one.key for one in step.reagents] == ["ammonia", "water"]


# ---- which pots
def test_the_right_pots_are_taken():
    gold = Pot("gold liquor", 0.1, {"AuCl4^-": 0.01, "H^+": 0.01})
    barren = Pot("barren", 0.5, {"AuCl4^-": 1e-6, "H^+": 1e-6})
    powder = Pot("gold powder", 0.004, {"H2O": 0.2}, {"Au": 0.01})
    bench = (*leached(), gold, barren, powder)
    assert [pot.name for pot in choose(bench, what="foils")] == ["foils", "boards"]
    assert choose(bench, what="pulp") == (gold,)
    assert choose(bench, what="powder") == (powder,)
    assert choose((barren,), what="pulp") == ()
    assert choose((gold, powder)) == (powder,)
    assert ROOM.chooses_by == ("what",)


# ---- refused
@pytest.mark.parametrize(
    ("told", "fault", "text"),
    [
        ({}, CannotFollow, "nothing to rinse"),
        ({"held_l": 0.05, "wash_l": 0.0}, OutOfRange, "a wash of nothing"),
        ({"held_l": 0.05, "washes": 2.5}, BadQuantity, "no count of washes"),
        ({"held_l": 0.05, "wash_l": 0.001, "target": 1e-6}, OutOfRange, "would take 698 of them"),
        ({"held_l": 0.05, "allowed_g": 0.001}, BadQuantity, "nothing is known of the metal"),
        ({"held_l": 0.05, "liquid": "acid", "acid_strength_mol_per_l": 30.0}, OutOfRange, "cannot be made of a bottle"),
        ({"held_l": 0.05, "target": 0.0}, OutOfRange, "leaves nothing at all"),
    ],
)
def test_what_cannot_be_is_refused_with_a_cure(told, fault, text):
    with pytest.raises(fault, match=f"(?s){text}.*\n  Try: "):
        run(place=Place(), **told)


def test_dry_powder_is_refused():
    with pytest.raises(CannotFollow, match="the powder is dry"):
        run((Pot("gold powder", solids_mol={"Au": 0.01}),), place=Place(), what="powder")


# ---- the table of fields
def test_every_field_is_an_argument_of_the_room():
    assert {one.arg for one in FIELDS} == set(RinseTold.__annotations__)
    assert ROOM.name == "rinse"


def test_typed_as_a_person_types():
    told = listen(
        FIELDS,
        {"what": "pulp", "weight": "6 g", "hold": "3 mL/g", "gold-strength": "5 g/L", "wash": "30 mL", "target": "0.1 %"},
        label=lambda name: f"--{name}",
    )
    assert told.faults == []
    figures, _ = lay(told, 1)
    assert run(place=Place(), **figures).answer("washes").likely == 8


def test_what_holds_how_much_stands_in_by_what_it_is():
    for words, id in (
        ({"what": "pulp", "weight": "6 g"}, "practice/rinse.hold.pulp"),
        ({"what": "powder", "stuff": "silver chloride", "weight": "6 g"}, "practice/rinse.hold.silver_chloride"),
        ({"weight": "6 g"}, "practice/rinse.hold.gold"),
    ):
        assert listen(FIELDS, words, label=str).facts == [id]
    assert listen(FIELDS, {"held": "50 mL"}, label=str).facts == []


def test_facts_of_the_rinse_say_where_they_are_from():
    for _, row in rows(table("practice/rinse")):
        assert row["about"]
        assert row["unit"] is not None
        assert cite(row["source"])
    assert fact("practice/rinse.target.pulp").value == 0.001


def test_every_answer_says_which_end_and_why():
    for step in (rinsed_foils(), filtered(), rinsed_powder()):
        assert all(one.sized_on and one.because for one in step.answers)
        assert all(one.key and one.excess and one.when for one in step.reagents)
        assert step.workings


def test_one_wash_undoes_the_fraction():
    held = np.array([0.01, 0.02])
    assert fraction_left(held, 0.03, 1) == pytest.approx([0.25, 0.4])
