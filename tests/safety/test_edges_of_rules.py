"""Either side of what a rule turns on: peroxide or air in a bath, what slips a scrubber, iron in weak and strong nitric."""

from __future__ import annotations

from dataclasses import replace

import pytest

from refinekit.bench.fume import run as fume
from refinekit.bench.place import Place
from refinekit.ranges import Range
from refinekit.safety.engine import judge, review
from refinekit.safety.history import with_history
from refinekit.safety.keep_apart import contradictions
from refinekit.safety.outlook import end_acid, end_copper
from refinekit.safety.scene import Deed, Dose, Scene, Vessel
from refinekit.safety.substances import dose
from refinekit.safety.words import range_before


def vessel(name: str, volume_l: float, **mol: float) -> Vessel:
    spelt = {"H": "H+", "Cl": "Cl-", "NO3": "NO3-", "OH": "OH-", "ClO": "ClO-", "CuII": "Cu(II)", "FeIII": "Fe(III)"}
    return Vessel(name, {spelt.get(what, what): Range.point(amount) for what, amount in mol.items()}, volume_l)


def said(scene: Scene) -> set[tuple[str, str]]:
    return {(one.code, one.level) for one in judge(scene)}


@pytest.mark.parametrize(
    ("air_l_min", "peroxide_mol", "left_mol_per_l", "copper_g_per_l"),
    [
        # Cu + H2O2 + 2 H+ -> Cu2+ + 2 H2O, and Cu + 1/2 O2 + 2 H+ -> Cu2+ + H2O; 0.5 mol of copper, 63.546 g/mol, in 1 L
        pytest.param(0.0, 0.0, 2.0, 0.0, id="acid alone leaves copper be"),
        pytest.param(0.0, 0.25, 1.5, 15.89, id="peroxide for half of it"),
        pytest.param(0.0, 0.5, 1.0, 31.77, id="peroxide for all of it"),
        pytest.param(0.0, 0.9, 1.0, 31.77, id="more peroxide than copper"),
        pytest.param(2.0, 0.0, 1.0, 31.77, id="air takes all of it"),
        pytest.param(2.0, 0.5, 1.0, 31.77, id="peroxide beside air takes no acid twice"),
    ],
)
def test_a_bath_ends_with_the_acid_that_its_metal_leaves(
    air_l_min: float, peroxide_mol: float, left_mol_per_l: float, copper_g_per_l: float
) -> None:
    bath = vessel("bath", 1.0, H=2.0, Cl=2.0, Cu=0.5, H2O2=peroxide_mol)
    scene = Scene("leach", (bath,), air_l_min=air_l_min)
    assert end_acid(scene) == pytest.approx(left_mol_per_l)
    assert end_copper(scene) == pytest.approx(copper_g_per_l, rel=1e-3)


@pytest.mark.parametrize(
    ("oxidant", "copper_g_per_l"),
    [
        # Cu + Cu2+ -> 2 Cu+; Cu + 2 Fe3+; 2 NO3- + 3 Cu: 0.1 mol of each in 1 L over 1 mol of copper
        ({"CuII": 0.1}, 12.71),
        ({"FeIII": 0.1}, 3.177),
        ({"NO3": 0.1}, 9.532),
        ({"ClO": 0.1}, 6.355),
        ({"Cl2": 0.1}, 6.355),
    ],
)
def test_without_air_a_bath_takes_the_copper_its_oxidant_can(oxidant: dict[str, float], copper_g_per_l: float) -> None:
    assert end_copper(Scene("leach", (vessel("bath", 1.0, Cu=1.0, **oxidant),))) == pytest.approx(copper_g_per_l, rel=1e-3)


@pytest.mark.parametrize(
    ("slips", "spent"), [({"NO2": 0.01}, True), ({"Cl2": 0.01}, True), ({"SO2": 0.01}, True), ({"NO": 0.01}, False), ({}, False)]
)
def test_what_slips_a_scrubber_is_told_by_its_kind(slips: dict[str, float], spent: bool) -> None:
    """Caustic holds nitrogen dioxide, chlorine and sulfur dioxide as long as there is some; nitric oxide alone it never holds."""
    gases = {gas: Range.point(mol) for gas, mol in slips.items()}
    texts = [one.text for one in judge(Scene("scrub", (vessel("scrubber", 1.0, OH=0.1),), gases=gases))]
    assert any("caustic is less than what comes" in text for text in texts) is spent
    assert any("NO alone passes" in text for text in texts) is ("NO" in slips)


@pytest.mark.parametrize(("other", "warned"), [({"SO2": 0.1}, True), ({"H": 0.1}, True), ({}, False)])
def test_chlorine_and_sulfite_or_acid_share_no_scrubber(other: dict[str, float], warned: bool) -> None:
    """HOCl + HCl -> Cl2 + H2O: an acidified hypochlorite liquor gives its chlorine back."""
    scene = Scene("scrub", (vessel("scrubber", 1.0, ClO=0.1, **other),), gases={})
    assert (("chlorine", "warn") in said(scene)) is warned


@pytest.mark.parametrize(("nitric_mol", "level"), [(0.05, "note"), (0.14, "note"), (0.16, "warn"), (1.0, "warn")])
def test_iron_in_weak_nitric_gives_its_brown_fume_slowly(nitric_mol: float, level: str) -> None:
    """Under 0.15 mol/L the gas comes slowly, over it in a burst: common practice, no source."""
    liquor = vessel("liquor", 1.0, H=nitric_mol, NO3=nitric_mol)
    iron = Dose("iron", {"Fe": Range.point(0.5)})
    assert ("nox", level) in said(Scene("cement", (liquor,), (iron,), place=Place(hood=True)))


def test_sulfite_beside_the_iron_makes_no_weak_nitric_of_it() -> None:
    liquor = vessel("liquor", 1.0, H=0.05, NO3=0.05)
    both = Dose("iron and sulfite", {"Fe": Range.point(0.5), "SO2": Range.point(0.1)})
    assert ("nox", "warn") in said(Scene("cement", (liquor,), (both,), place=Place(hood=True)))


def test_air_through_acid_of_no_known_volume_is_still_judged() -> None:
    scene = Scene("leach", (vessel("bath", 0.0, H=2.0, Cl=2.0),), air_l_min=2.0, place=Place(room_m3=40.0))
    assert ("strong-acid-aerated", "stop") in said(scene)


def test_nitric_oxide_past_its_equal_of_nitrogen_dioxide_slips() -> None:
    """NO + NO2 + 2 OH-: of one mole with nine tenths NO, 0.8 mol finds no partner; 24.47 L a mole at 25 C, one atmosphere."""
    nitric = Dose("nitric", {"NO3-": Range.point(1.0), "H+": Range.point(1.0)}, 0.1)
    caustic = vessel("scrubber", 1.0, OH=5.0)
    slips = [one.text for one in judge(Scene("scrub", (caustic,), (nitric,), how="mostly NO")) if one.code == "scrubber-slip"]
    assert any("about 20 L" in text for text in slips), slips
    halved = judge(Scene("scrub", (caustic,), (nitric,), how="half is nitrogen dioxide"))
    assert not any("NO alone" in one.text for one in halved)


@pytest.mark.parametrize(("tin_mol", "level"), [(0.0015, "note"), (0.0018, "warn")])
def test_tin_falls_with_the_gold_as_paste(tin_mol: float, level: str) -> None:
    """A hundredth of the gold's weight, common practice, no source: 19.7 g of gold, 0.197 g of tin (118.71) are 0.00166 mol."""
    liquor = vessel("liquor", 1.0, H=1.0, Cl=2.0, **{"Au(III)": 0.1, "Sn(IV)": tin_mol})
    assert ("tin-paste", level) in said(Scene("drop", (liquor,)))


@pytest.mark.parametrize(("how", "warned"), [("tap water", True), ("distilled water", False)])
def test_tap_water_brings_chloride_into_a_parting(how: str, warned: bool) -> None:
    nitric = Dose("nitric", {"NO3-": Range.point(1.0), "H+": Range.point(1.0)}, 0.1)
    flake = vessel("flake", 0.0, Ag=0.3, Au=0.1)
    assert (("chloride-in-nitric", "warn") in said(Scene("part", (flake,), (nitric,), how=how))) is warned


@pytest.mark.parametrize(
    ("gold_mol", "sulfite_mol", "warned"),
    [
        # 2 Au(III) take 3 of sulfur dioxide
        pytest.param(0.1, 0.14, False, id="the gold eats it all"),
        pytest.param(0.1, 0.2, True, id="more than the gold eats"),
    ],
)
def test_sulfite_past_the_gold_makes_white_curd_of_much_copper(gold_mol: float, sulfite_mol: float, warned: bool) -> None:
    liquor = vessel("liquor", 1.0, H=1.0, Cl=3.0, CuII=1.0, **{"Au(III)": gold_mol})
    smb = Dose("smb", {"SO2": Range.point(sulfite_mol)})
    assert (("cuprous-curd", "warn") in said(Scene("drop", (liquor,), (smb,)))) is warned


@pytest.mark.parametrize(
    ("pot", "words"),
    [
        pytest.param(Vessel("jar", {}, 1.0), "nobody", id="a full jar of which nothing is known"),
        pytest.param(vessel("brine", 1.0, Cl=70.0), "mol", id="more in a litre than dissolves"),
        pytest.param(Vessel("rain water", {}, 1.0), "", id="water"),
        pytest.param(vessel("acid", 1.0, H=2.0, Cl=2.0), "", id="plain acid"),
    ],
)
def test_a_pot_that_cannot_be_as_told_is_asked_about(pot: Vessel, words: str) -> None:
    texts = [one.text for one in contradictions(pot)]
    assert bool(texts) == bool(words), texts


@pytest.mark.parametrize(
    ("sulfite_mol", "gone"), [(0.05, False), (0.1, True), (0.2, True)], ids=["half of it", "as much", "twice as much"]
)
def test_hypochlorite_is_gone_when_as_much_sulfite_went_in(sulfite_mol: float, gone: bool) -> None:
    """ClO- + SO3^2- -> Cl- + SO4^2-, one for one."""
    went_in = (("scrub", "Cl2", 0.1), ("mix", "SO2", sulfite_mol))
    deeds = tuple(Deed(did, "", (Dose(what, {what: Range.point(mol)}),)) for did, what, mol in went_in)
    pot = with_history(Vessel("scrubber", {}, 1.0, history=deeds))
    assert (pot.most("ClO-") == 0) is gone


@pytest.mark.parametrize(("tin_mol", "share"), [(0.15, "100 %"), (0.015, "10 %"), (0.0015, "1 %")])
def test_tin_takes_gold_to_colloid_three_for_two_the_metal_too(tin_mol: float, share: str) -> None:
    """2 AuCl4- + 3 Sn2+ -> 2 Au + 3 Sn4+: of 0.1 mol of gold about to dissolve, 0.15 mol of tin can take all."""
    foils = vessel("foils", 1.0, H=1.0, Cl=3.0, Au=0.1, **{"Sn(II)": tin_mol})
    (text,) = (one.text for one in judge(Scene("dissolve", (foils,))) if one.code == "colloid")
    assert f"up to {share} of the gold" in text


def test_nitric_oxide_is_counted_as_the_nitrogen_dioxide_it_turns_to_and_no_other_gas_is() -> None:
    """0.1 mol, 2.45 L at 25 C, in 40 m3 is 61 ppm, five times that near the pot: 306 ppm; with as much nitric oxide 612."""
    gases = {gas: Range.point(0.1) for gas in ("NO", "NO2", "Cl2")}
    room = Place(room_m3=40.0)
    both = [one.text for one in judge(Scene("fume", (Vessel("gas", {}),), gases=gases, place=room))]
    alone = [one.text for one in judge(Scene("fume", (Vessel("gas", {}),), gases={"NO2": gases["NO2"]}, place=room))]
    assert any("nitrogen dioxide (nitric oxide counted" in text and "about 612 ppm" in text for text in both)
    assert any(text.startswith("chlorine would reach about 306 ppm") for text in both)
    assert any(text.startswith("nitrogen dioxide would reach about 306 ppm") for text in alone)


def test_a_speck_of_permanganate_in_hydrochloric_is_chlorine() -> None:
    assert ("chlorine", "stop") in said(Scene("mix", (vessel("liquor", 1.0, H=1.0, Cl=1.0, **{"MnO4-": 0.01}),)))


def test_metal_in_nitric_gives_the_oxides_its_electrons_allow() -> None:
    """0.5 mol of copper gives 1 mol of electrons; NO takes 3, NO2 1: 0.357 mol at nine tenths NO, 0.286 of it alone, 7.0 L."""
    nitric = Dose("nitric", {"NO3-": Range.point(3.0), "H+": Range.point(3.0)}, 0.3)
    scene = Scene("scrub", (vessel("scrubber", 1.0, OH=5.0), vessel("copper", 0.0, Cu=0.5)), (nitric,), how="mostly NO")
    assert any("about 7 L" in one.text for one in judge(scene) if one.code == "scrubber-slip")


def test_gold_in_a_liquor_is_no_matter_of_pulp() -> None:
    liquor = vessel("liquor", 1.0, H=1.0, Cl=1.0, **{"Au(III)": 0.001})
    texts = [one.text for one in judge(Scene("discard", (liquor,), to="drain")) if one.code == "leaving-gold-in-waste"]
    assert texts == ["there is gold in it"]


@pytest.mark.parametrize(("limits", "named"), [({}, "no lab figure for its metals"), ({"Cu": 100.0}, "no lab figure for Cu")])
def test_a_permit_asks_for_the_lab_s_figures_of_its_metals(limits: dict[str, float], named: str) -> None:
    rinse = vessel("rinse", 1.0, CuII=0.001)
    assert any(named in one.text for one in judge(Scene("discard", (rinse,), to="sewer", permit="7", limits=limits)))


@pytest.mark.parametrize(
    ("note", "told"),
    [
        ("leftover nitric was 3 to 5 mL", (3.0, 5.0)),
        ("leftover nitric 2 mL", (2.0, 2.0)),
        ("leftover nitric 1.5-4 mL of 6 mL", (1.5, 4.0)),
        ("leftover nitric unknown", None),
    ],
)
def test_a_figure_or_a_range_is_read_out_of_a_note(note: str, told: tuple[float, float] | None) -> None:
    assert range_before(note, "nitric", unit="ml") == told


@pytest.mark.parametrize(
    ("held", "dosed", "words"),
    [
        # Zn + 2 H+ -> H2 and CO3 2- + 2 H+ -> CO2 + H2O; 24.47 L a mole at 25 C, one atmosphere, in 12 s
        pytest.param({"H": 2.0}, {"Zn": 0.1}, "2.45 L of hydrogen comes", id="zinc in acid"),
        pytest.param({"H": 2.0}, {"CO3": 0.02}, "0.489 L of carbon dioxide comes", id="soda ash in acid"),
        # H3NSO3 + HNO3 -> N2O + H2SO4 + H2O; the sulfamic is the less
        pytest.param({"H": 2.0, "NO3": 0.5}, {"sulfamic": 0.1}, "2.45 L of nitrous oxide comes", id="sulfamic in nitric"),
        pytest.param({"H": 2.0}, {"Zn": 0.1, "CO3": 0.02}, "2.94 L of carbon dioxide and hydrogen comes", id="both"),
    ],
)
def test_froth_is_told_with_the_gas_that_makes_it_and_how_much(
    held: dict[str, float], dosed: dict[str, float], words: str
) -> None:
    pot = replace(vessel("pot", 1.0, Cl=2.0, **held), width_cm=10.0)
    dose = Dose("powder", {what: Range.point(mol) for what, mol in dosed.items()})
    scene = Scene("mix", (pot,), (dose,), minutes=0.2, place=Place(outdoors=True, temperature_k=298.15))
    texts = [one.text for one in judge(scene) if one.code == "froth-over"]
    assert any(text.startswith(words) for text in texts), texts


def test_froth_that_stands_is_counted_double() -> None:
    """0.1 mol through 78.5 cm2 in 2 minutes is 0.26 cm/s, under the half that is noted: common practice, no source."""
    pot = replace(vessel("pot", 1.0, H=2.0, Cl=2.0), width_cm=10.0)
    for what, mol, noted in (("Zn", 0.1, False), ("CO3", 0.1, True)):
        dose = Dose("powder", {what: Range.point(mol)})
        scene = Scene("mix", (pot,), (dose,), minutes=2.0, place=Place(outdoors=True))
        assert (("froth-over", "note") in said(scene)) is noted, what


@pytest.mark.parametrize(("mol", "stopped"), [(2.44, False), (2.46, True)])
def test_hydrogen_stops_at_a_hundredth_of_the_air(mol: float, stopped: bool) -> None:
    """24.47 L a mole at 25 C in 6 m3, mixed whole: 0.995 % and 1.003 % of the air; the line is a quarter of what burns."""
    room = Place(room_m3=6.0, mixing=1.0, temperature_k=298.15)
    scene = Scene("fume", (Vessel("gas", {}),), gases={"H2": Range.point(mol)}, place=room)
    assert (("hydrogen-flammable", "stop") in said(scene)) is stopped


def test_hydrogen_in_the_open_air_is_a_note() -> None:
    pot = vessel("pot", 1.0, H=2.0, Cl=2.0)
    scene = Scene("cement", (pot,), (Dose("zinc", {"Zn": Range.point(1.0)}),), place=Place(outdoors=True))
    assert ("hydrogen", "note") in said(scene)


@pytest.mark.parametrize(("hood", "level"), [({}, "warn"), ({"hood_width_m": 0.9, "hood_height_m": 0.5}, "note")])
def test_a_hood_told_by_its_opening_is_a_hood(hood: dict[str, float], level: str) -> None:
    place = Place(room_m3=45.0, fan_m3_per_min=12.0)
    found = review(fume(place=place, gold_g=8.0, time_s=1200.0, **hood), place, overrides={})
    assert {one.level for one in found if one.code == "nox"} == {level}


def test_sulfamic_over_the_most_nitric_there_was_stays_as_ammonium() -> None:
    """68 % nitric is 15.16 mol/L: 2 to 4 mL are 30.3 to 60.6 mmol, and what 100 mmol of sulfamic has over them stays."""
    deed = Deed("denox", "nitric left 2 to 4 mL", (Dose("sulfamic acid", {"sulfamic": Range.point(0.1)}),))
    stays = with_history(Vessel("gold liquor", {}, 0.4, history=(deed,))).mol["NH4+"]
    assert (stays.low, stays.likely, stays.high) == pytest.approx((0.0394, 0.0545, 0.0697), rel=0.005)


@pytest.mark.parametrize(
    ("word", "part", "counted"), [("acetone", "acetone", 58.0), ("ascorbic acid", "ascorbic", 58.0 / 176.124)]
)
def test_a_solvent_is_counted_in_grams_and_the_rest_in_moles(word: str, part: str, counted: float) -> None:
    """176.124 g/mol by hand: 6 x 12.011 + 8 x 1.008 + 6 x 15.999 (CIAAW)."""
    assert dose(word, Range.point(58.0), "g").mol[part].likely == pytest.approx(counted, rel=1e-4)
