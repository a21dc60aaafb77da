"""A spent cupric bath four ways side by side, and what a person must be told before believing a plain rule."""

import json
from typing import Any

import numpy as np
import pytest

from refinekit.bench.cement import run as cement
from refinekit.bench.neutralise import run
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step, element_totals
from refinekit.errors import BadQuantity, CannotFollow, OutOfRange, RefinekitError
from tests.command import Run

BATH: dict[str, Any] = {
    "volume_l": 10.0,
    "copper_strength_g_per_l": 80.0,
    "nickel_strength_g_per_l": 6.0,
    "free_acid_mol_per_l": 1.2,
}
ACID, COPPER, NICKEL = 12.0, 800 / 63.546, 60 / 58.6934  # mol in ten litres; atomic weights, CIAAW 2021
PLAIN = ACID + 2 * COPPER + 2 * NICKEL
AS_BASIC_CHLORIDE = ACID + 1.5 * COPPER + 2 * NICKEL


@pytest.fixture(scope="module")
def four() -> dict[str, Step]:
    """The four ways."""
    ways = {reagent: run(**BATH, reagent=reagent) for reagent in ("caustic", "soda-ash", "lime")}
    (liquor,) = (pot for pot in cement(metal="iron", **BATH).pots if pot.name == "iron liquor")
    return {**ways, "after iron": run([liquor])}


# ---- four doses
def test_caustic_and_lime_meet_copper_as_basic_chloride(four: dict[str, Step]) -> None:
    # 12.0 + 1.5 x 12.589 + 2 x 1.022 = 32.93 mol
    assert four["caustic"].answer("alkali").likely == pytest.approx(AS_BASIC_CHLORIDE, rel=0.005)
    assert four["lime"].answer("alkali").likely == pytest.approx(AS_BASIC_CHLORIDE, rel=0.02)
    assert four["caustic"].answer("caustic").likely == pytest.approx(39.997 * AS_BASIC_CHLORIDE, rel=0.005)
    assert four["lime"].answer("lime").likely == pytest.approx(74.09 / 2 * AS_BASIC_CHLORIDE, rel=0.02)


def test_soda_ash_takes_more_for_what_falls_as_carbonate_and_less_than_the_plain_rule(four: dict[str, Step]) -> None:
    assert AS_BASIC_CHLORIDE < four["soda-ash"].answer("alkali").likely < PLAIN
    gas = four["soda-ash"].gases[0]
    # two alkali to a carbon dioxide: at 25 C and one atmosphere 24.47 L/mol, less what stays in carbonate
    assert gas.litres.likely < 24.47 * four["soda-ash"].answer("alkali").likely / 2
    assert gas.litres.likely > 24.47 * ACID / 2


def test_iron_takes_over_the_charge_of_what_it_brought_down(four: dict[str, Step]) -> None:
    # Fe + Cu^2+ -> Fe^2+ + Cu and Fe + 2 H^+ -> Fe^2+ + H2: as many charges as before, so the plain figure, 39.2 mol
    assert four["after iron"].answer("alkali").likely == pytest.approx(PLAIN, rel=0.002)
    assert abs(four["after iron"].answer("alkali_to_spare").likely) < 0.5


def test_portions_tell_the_ph_to_expect(four: dict[str, Step]) -> None:
    for way, step in four.items():
        rows = next(table for table in step.tables if table.title == "portions").rows
        reached = [float(row[-1]) for row in rows]  # type: ignore[arg-type]
        assert reached == sorted(reached), way
        assert reached[0] < 1.0
        title = next(table.title for table in step.tables if table.title.startswith("dissolved at pH"))
        assert reached[-1] == pytest.approx(float(title.rpartition(" ")[2]), abs=0.1), way


# ---- one table of all of them
def columns(**told: Any) -> dict[str, dict[str, Any]]:
    """The table of ways: figure by line, by way."""
    (table,) = (table for table in run(**{**BATH, **told}, side_by_side=True).tables if table.title == "side by side")
    return {head: {str(row[0]): row[place] for row in table.rows} for place, head in enumerate(table.columns) if head}


def test_the_table_side_by_side_says_what_each_way_says_alone(four: dict[str, Step]) -> None:
    table = columns()
    assert list(table) == ["caustic", "soda ash", "lime", "mag hydroxide", "iron first"]
    for head, way in (("caustic", "caustic"), ("soda ash", "soda-ash"), ("lime", "lime"), ("iron first", "after iron")):
        alone = four[way]
        assert table[head]["alkali, mol"] == pytest.approx(alone.answer("alkali").likely)
        assert table[head]["gel at most, L"] == pytest.approx(alone.answer("gel").high)
        assert table[head]["heat, kJ"] == pytest.approx(alone.answer("heat").likely)
        assert table[head]["weigh at most, g"] == pytest.approx(sum(one.to_take for one in alone.reagents if one.counts))
    # 800 g of copper on iron: 0.879 g to a gram, and 1.2 mol/L x 10 L of acid at 27.9 g of iron each, if it all gets at it
    assert table["iron first"]["iron scrap, g"] == pytest.approx(0.879 * 800 + 12 * 55.845 / 2, rel=0.01)
    assert table["soda ash"]["CO2 at most, L"] > 300
    assert table["caustic"]["CO2 at most, L"] == "-"


def test_an_alkali_that_does_not_get_there_is_named_with_where_it_stops() -> None:
    step = run(**BATH, ph=11.0, side_by_side=True)
    (table,) = (table for table in step.tables if table.title == "side by side")
    assert "mag hydroxide" not in table.columns
    assert any(
        line.startswith("mag hydroxide: Mg(OH)2 does not bring this liquor to pH 11: it stops at 8") for _, line in step.says
    )


def test_without_copper_nothing_is_set_down_for_iron() -> None:
    step = run(volume_l=2.0, free_acid_mol_per_l=1.0, zinc_g=10.0, side_by_side=True)
    assert "iron first: there is no copper in it to bring down" in [line for _, line in step.says]


# ---- four sludges
def test_four_sludges_side_by_side(four: dict[str, Step]) -> None:
    solids = {way: {solid for pot in step.pots for solid in pot.solids_mol} for way, step in four.items()}
    assert solids["caustic"] == solids["lime"] == {"Cu2ClO3H3", "NiO2H2"}
    assert solids["soda-ash"] >= {"Cu2ClO3H3", "Cu2CO5H2"}
    assert solids["after iron"] >= {"FeO3H3", "NiO2H2"}
    # basic copper chloride 213.57 g for two coppers, nickel hydroxide 92.71: by hand 1344 + 95 g
    assert four["caustic"].answer("sludge_dry").likely == pytest.approx(COPPER / 2 * 213.57 + NICKEL * 92.71, rel=0.002)
    # iron for copper and for half of the acid, as ferric hydroxide 106.87, the nickel beside it
    iron = COPPER + ACID / 4
    assert four["after iron"].answer("sludge_dry").likely == pytest.approx(iron * 106.87 + NICKEL * 92.71, rel=0.005)


def test_every_way_is_heavier_in_the_drum_than_its_dry_sludge(four: dict[str, Step]) -> None:
    for step in four.values():
        cake, dry = step.answer("cake"), step.answer("sludge_dry")
        assert cake.low > dry.likely / 1000
        assert step.answer("gel").likely > cake.likely


def test_nothing_is_lost_on_any_way(four: dict[str, Step]) -> None:
    for way, step in four.items():
        there, here = element_totals(step.ins), element_totals(step.outs)
        for what in there.keys() - {"scale", "charge"}:
            assert here.get(what, 0.0) == pytest.approx(there[what], rel=1e-9, abs=1e-9), f"{way}: {what}"
        assert abs(float(np.max(np.abs(here["charge"] - there["charge"])))) <= 1e-9 * float(np.max(there["scale"]))


# ---- what it must say
def says(step: Step, words: str) -> bool:
    return any(words in line for _, line in step.says)


@pytest.mark.parametrize("grams_per_l", [20.0, 40.0, 60.0, 80.0])
def test_two_to_a_copper_is_13_to_21_percent_more_than_will_be_used(grams_per_l: float) -> None:
    acid = {20.0: 0.5, 40.0: 1.0, 60.0: 2.0, 80.0: 1.2}[grams_per_l]
    step = run(volume_l=10.0, copper_strength_g_per_l=grams_per_l, free_acid_mol_per_l=acid, ph=9.5)
    copper = grams_per_l / 63.546
    by_hand = 100 * ((acid + 2 * copper) / (acid + 1.5 * copper) - 1)
    assert 13 <= step.answer("alkali_to_spare").likely <= 21
    assert step.answer("alkali_to_spare").likely == pytest.approx(by_hand, abs=0.3)
    assert says(step, "two alkali to a copper is the safe figure")


@pytest.mark.parametrize(("ph", "each"), [(8.0, 1.5), (9.5, 1.5), (12.0, 2.0)])
def test_copper_falls_as_basic_chloride_up_to_about_ph_10(ph: float, each: float) -> None:
    table = next(table for table in run(**BATH, ph=ph).tables if table.title == "what takes the alkali")
    (row,) = (row for row in table.rows if row[0] == "copper")
    assert row[2] == pytest.approx(each, abs=0.01)


@pytest.mark.parametrize("ph", [8.0, 9.5, 10.0, 11.0, 12.0])
def test_lead_never_meets_its_yardstick_by_hydroxide(ph: float) -> None:
    step = run(volume_l=10.0, lead_strength_g_per_l=1.0, free_acid_mol_per_l=0.5, ph=ph)
    assert step.answer("lead_dissolved").likely > 0.69  # 40 CFR 433.15, daily maximum, mg/L
    assert says(step, "no pH at all brings lead under the yardstick")
    assert says(step, "lead: never promised from hydroxide alone")


def test_cadmium_and_zinc_have_no_common_ph_in_strong_brine() -> None:
    metals = {"cadmium_strength_g_per_l": 1.0, "zinc_strength_g_per_l": 5.0}
    brine = run(volume_l=10.0, free_acid_mol_per_l=3.0, **metals)
    assert says(brine, "no one pH brings all metals under their yardsticks") or says(brine, "no pH at all brings cadmium")
    assert says(brine, "cadmium: never promised from hydroxide alone")


def test_ammonium_holds_half_a_gram_of_copper_per_litre() -> None:
    # PHREEQC: 530 and 567 mg/L by two activity equations
    step = run(
        volume_l=0.75,
        copper_strength_g_per_l=1.0,
        free_acid_mol_per_l=0.4,
        ammonium_mol_per_l=0.2,
        sulfate_mol_per_l=0.1,
        ph=9.5,
    )
    assert step.answer("copper_dissolved").likely == pytest.approx(540, rel=0.06)
    assert says(step, "ammonium is in it and holds copper and nickel; a blue liquor above pH 9")
    (row,) = (row for table in step.tables if table.title.startswith("dissolved at") for row in table.rows)
    assert row[0] == "copper"
    assert row[-1] == "over"


def test_bicarbonate_in_a_still_pot_takes_many_times_the_plain_rule() -> None:
    # 0.1 mol/L of acid to pH 7.5: bicarbonate has to outweigh the carbonic acid that a still pot keeps
    step = run(volume_l=10.0, free_acid_mol_per_l=0.1, reagent="bicarbonate", ph=7.0)
    assert step.answer("alkali").likely > 3 * step.answer("alkali_safe").likely
    assert says(step, "the plain rule falls")
    assert says(step, "stirred or blown out it takes up to")


@pytest.mark.parametrize("acid", [1.0, 1.5])
def test_lime_stops_near_eleven_and_a_half(acid: float) -> None:
    with pytest.raises(CannotFollow, match=r"stops at 11\.[3-8]"):
        run(volume_l=10.0, free_acid_mol_per_l=acid, reagent="lime", ph=12.2)


# ---- what cannot be
@pytest.mark.parametrize(
    ("told", "words", "cure"),
    [
        ({"reagent": "bicarbonate", "ph": 11.0}, "does not bring this liquor to pH 11: it stops at", "take caustic"),
        ({"free_acid_mol_per_l": 0.01, "ph": 1.0}, "past pH 1 before any NaOH", "give a higher pH"),
        ({"reagent": "lime", "ph": 13.5}, "does not bring this liquor to pH 13.5", "take caustic"),
    ],
    ids=["bicarbonate to pH 11", "a target below the liquor's pH", "lime to pH 13.5"],
)
def test_a_ph_out_of_reach_is_one_line_with_its_cure(told: dict[str, Any], words: str, cure: str) -> None:
    with pytest.raises(CannotFollow) as raised:
        run(**{**BATH, "copper_strength_g_per_l": 5.0, "nickel_strength_g_per_l": 1.0, **told})
    said, _, tried = str(raised.value).partition("\n  Try: ")
    assert words in said
    assert "\n" not in said
    assert cure in tried


def test_an_absurd_strength_is_refused() -> None:
    with pytest.raises((OutOfRange, BadQuantity), match="more than the strongest hydrochloric acid has"):
        run(volume_l=1.0, free_acid_mol_per_l=90.0)


def test_a_metal_without_constants_is_named() -> None:
    pot = Pot("rinses", 1.0, {"H^+": 1.2, "PdCl4^2-": 0.1, "Cl^-": 1.0, "H2O": 55.0})
    assert any("PdCl4^2-" in line and "no balance is known" in line for line in run([pot], ph=8.0).assumed)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--volume", "10L", "--copper-strength=-5g/L", "--free-acid", "1mol/L"], "below zero"),
        (["--volume", "10L", "--free-acid", "1mol/L", "--ph", "99"], "14"),
        (["--volume", "10L", "--free-acid", "90mol/L"], "more than the strongest hydrochloric acid has"),
        (["--volume", "10L", "--free-acid", "1mol/L", "--reagent", "bicarbonate", "--ph", "11"], "stops at"),
    ],
    ids=["negative strength", "pH 99", "absurd strength", "out of reach"],
)
def test_bad_input_at_the_command_is_one_line_and_a_cure(refinekit: Run, words: list[str], said: str) -> None:
    done = refinekit("neutralise", *words, "--outdoors")
    assert done.returncode == RefinekitError.exit_code
    assert said in done.stderr
    assert "\n  Try: " in done.stderr
    assert done.stdout == ""


def test_four_doses_from_the_command(refinekit: Run) -> None:
    told = ["--volume", "10L", "--copper-strength", "80g/L", "--nickel-strength", "6g/L", "--free-acid", "1.2mol/L", "--outdoors"]
    tested = ["--override", "leaving-gold-in-waste=tested, no gold"]
    doses = {}
    for reagent in ("caustic", "soda-ash", "lime"):
        done = refinekit("neutralise", *told, *tested, "--reagent", reagent, "--json")
        assert done.returncode == 0, done.stderr
        doses[reagent] = json.loads(done.stdout)["answers"]["alkali"]["likely"]
    iron = refinekit("cement", "--metal", "iron", *told, "--json")
    done = refinekit("neutralise", "--pot", "-", "--take", "iron liquor", "--outdoors", *tested, "--json", stdin=iron.stdout)
    assert done.returncode == 0, done.stderr
    doses["after iron"] = json.loads(done.stdout)["answers"]["alkali"]["likely"]
    assert sorted(doses, key=doses.__getitem__) == ["caustic", "lime", "soda-ash", "after iron"]


@pytest.mark.parametrize(
    ("told", "strongest"),
    [
        # strongest rows of the density tables: 40 % HCl of 1.198 g/mL, 100 % HNO3 of 1.513, H2SO4 counted by two protons
        ({"free_acid_mol_per_l": 13.3}, "13.1"),
        ({"acid_mol": 30.0, "volume_l": 1.0, "acid_kind": "nitric"}, "24"),
    ],
)
def test_an_acid_stronger_than_any_bottle_is_a_slip_of_the_unit(told: dict[str, Any], strongest: str) -> None:
    with pytest.raises(OutOfRange, match=f"more than the strongest .* acid has, {strongest}"):
        run(**{"volume_l": 2.0, **told})


def test_a_drum_too_small_for_the_liquor_is_said() -> None:
    step = run(volume_l=10.0, free_acid_mol_per_l=0.1, copper_g=30.0, drum_room_l=5.0)
    assert step.answer("over_drum").likely == pytest.approx(5.0, abs=0.01)
    assert any("the drum is too small by 5 L" in line for heading, line in step.says if heading == "watch for")
