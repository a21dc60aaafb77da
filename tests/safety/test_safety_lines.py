"""Every line a rule draws, just under it and just over it. Lines are common practice, no source, where no other is named."""

import pytest

from refinekit.bench.place import Place
from refinekit.chemistry.species import molar_mass
from refinekit.facts.load import cite, table
from refinekit.ranges import Range
from refinekit.safety.engine import judge
from refinekit.safety.scene import Dose, Scene, Vessel

OUT = Place(outdoors=True)
HOOD = Place(room_m3=45, hood=True)


def r(**mol):
    return {what: Range.point(value) for what, value in mol.items()}


def mol(grams, formula):
    return grams / molar_mass(formula)


def pot(held, litres=1.0, **more):
    return Vessel("pot", {what: Range.point(value) for what, value in held.items()}, litres, **more)


def dose(name, held, litres=0.0, percent=None):
    return Dose(name, {what: Range.point(value) for what, value in held.items()}, litres, percent, substance=name)


def level(scene, code):
    return {one.code: one.level for one in reversed(judge(scene))}.get(code, "none")


def leach(held, litres=1.0, percent=None, air=1.0):
    return Scene("leach", (pot(held, litres, percent=percent or {}),), place=OUT, air_l_min=air)


def nitric_on_tin(share):
    lot = Vessel("lot", {"Cu": Range.point(1.0), "Sn": Range.point(mol(300 * share, "Sn"))}, lot_g=300)
    return Scene("dissolve", (lot,), (dose("nitric acid", {"H+": 5, "NO3-": 5}, 0.3, 68),), "in portions", HOOD)


def aqua_regia(silver_per_mille):
    scrap = Vessel(
        "scrap", {"Ag": Range.point(mol(silver_per_mille, "Ag")), "Au": Range.point(mol(1000 - silver_per_mille, "Au"))}
    )
    return Scene("dissolve", (scrap,), (dose("acids", {"H+": 30, "Cl-": 25, "NO3-": 5}),), place=HOOD)


def room(gas_litres, **place):
    gas = {place.pop("gas"): Range.point(gas_litres / 24.465)}
    return Scene("part", (pot({"H+": 1.0, "Zn": 0.1}),), place=Place(room_m3=100, mixing=1, **place), gases=gas)


def boiled_to(ml):
    return Scene("denox", (pot({"Au(III)": mol(10, "Au"), "H+": 1}, 0.2),), place=HOOD, end_l=ml / 1000)


def peroxide(share, percent, warm=15.0):
    bath = Vessel("bath", {"Cu(II)": Range.point(3.0), "Cu": Range.point(9.0), "H+": Range.point(20.0)}, 4.0, warm)
    return Scene("leach", (bath,), (dose("hydrogen peroxide", {"H2O2": 1.0}, 4.0 * share, percent),), "all at once", OUT)


def heated(rise, start=20.0):
    return Scene(
        "neutralise", (Vessel("pot", r(**{"H+": 1.0}), 1.0, start, causes={"gold-tested": "test"}),), place=OUT, rise_k=rise
    )


def treated(ph, metal):
    spent = Vessel("pot", {metal: Range.point(0.05), "H+": Range.point(0.1)}, 1.0, causes={"gold-tested": "test"})
    return Scene("neutralise", (spent,), (dose("caustic", {"OH-": 0.5}, 0.2),), place=OUT, target_ph=ph)


def sulfamic(times):
    liquor = pot({"Au(III)": 0.05, "H+": 1, "Cl-": 1, "NO3-": 0.1}, 0.3)
    return Scene("denox", (liquor,), (dose("sulfamic acid", {"sulfamic": 0.1 * times}),), "hot, in pinches", HOOD)


def bleach(times):
    foils = pot({"Au": 0.02, "H+": 1, "Cl-": 1}, 0.3)
    return Scene("dissolve", (foils,), (dose("bleach", {"ClO-": 0.03 * times}, 0.05),), "in sips", HOOD)


def frothing(cm_per_s):
    # 1 cm/s through 100 cm2 (11.28 cm across) is 6 L/min; carbonate counts double.
    pail = Vessel("pail", r(**{"H+": 1000.0}), 1.0, width_cm=11.283791670955125, causes={"gold-tested": "test"})
    return Scene("neutralise", (pail,), (dose("bicarbonate", {"HCO3": 3 * cm_per_s / 24.465}),), place=OUT, minutes=1)


def caustic_into(acid):
    return Scene(
        "neutralise",
        (Vessel("pot", r(**{"H+": acid}), 1.0, causes={"gold-tested": "t"}),),
        (dose("caustic", {"OH-": 1e-3}),),
        place=OUT,
    )


def stannous(share):
    return Scene("mix", (pot({"Au(III)": 1.0, "H+": 1.0}),), (dose("tin", {"Sn(II)": share}),), place=HOOD)


LINES = [
    pytest.param(
        lambda x: leach({"H+": 2 + x, "Cl-": 9, "Cu": 1.0, "Cu(II)": 0.5}),
        "acid-spent",
        0.29,
        "stop",
        0.31,
        "warn",
        id="free acid 0.3",
    ),
    pytest.param(
        lambda x: leach({"H+": 2 + x, "Cl-": 9, "Cu": 1.0, "Cu(II)": 0.5}),
        "acid-spent",
        0.99,
        "warn",
        1.01,
        "none",
        id="free acid 1",
    ),
    pytest.param(
        lambda x: leach({"H+": 9, "Cl-": 9, "Cu(II)": mol(x, "Cu")}), "over-copper", 149, "none", 151, "warn", id="copper 150"
    ),
    pytest.param(
        lambda x: leach({"H+": 9, "Cl-": 9, "Cu(II)": mol(x, "Cu")}), "over-copper", 179, "warn", 181, "stop", id="copper 180"
    ),
    pytest.param(
        lambda x: leach({"H+": 6, "Cl-": 6}, percent={"H+": x}), "strong-acid-aerated", 19.9, "none", 20.1, "warn", id="acid 20 %"
    ),
    pytest.param(
        lambda x: leach({"H+": 6, "Cl-": 6}, percent={"H+": x}), "strong-acid-aerated", 27.9, "warn", 28.1, "stop", id="acid 28 %"
    ),
    pytest.param(
        lambda x: leach({"H+": 6, "Cl-": 9, "Cu(II)": x, "Cu(I)": 1 - x}),
        "oxygen-poor-bath",
        0.099,
        "note",
        0.101,
        "none",
        id="cupric",
    ),
    pytest.param(
        lambda x: leach({"H+": 6, "Cl-": 9, "Sn(IV)": mol(x, "Sn")}), "tin-paste", 1.9, "none", 2.1, "warn", id="tin in a bath"
    ),
    pytest.param(nitric_on_tin, "tin-paste", 0.0099, "warn", 0.0101, "stop", id="tin 1 % of the lot"),
    pytest.param(aqua_regia, "silver-crust", 79, "note", 81, "warn", id="silver 80 (Rose)"),
    pytest.param(aqua_regia, "silver-crust", 150, "warn", 151, "stop", id="silver 150"),
    pytest.param(
        lambda x: room(x, gas="H2"),
        "hydrogen-flammable",
        990,
        "none",
        1010,
        "stop",
        id="hydrogen 1 %, a quarter of 4 % (NFPA, DOE)",
    ),
    pytest.param(
        lambda x: room(x, gas="NO2"), "gas-above-limit", 0.0099, "none", 0.0101, "warn", id="NO2 a tenth of 1 ppm (NIOSH)"
    ),
    pytest.param(lambda x: room(x, gas="NO2"), "gas-above-limit", 0.099, "warn", 0.101, "stop", id="NO2 1 ppm (NIOSH)"),
    pytest.param(lambda x: room(x, gas="Cl2"), "gas-above-limit", 0.049, "warn", 0.051, "stop", id="Cl2 0.5 ppm (NIOSH)"),
    pytest.param(lambda x: room(x, gas="SO2"), "gas-above-limit", 0.49, "warn", 0.51, "stop", id="SO2 5 ppm (NIOSH)"),
    pytest.param(lambda x: room(x, gas="SO2", law="eu"), "gas-above-limit", 0.099, "warn", 0.101, "stop", id="SO2 1 ppm (EU)"),
    pytest.param(
        lambda x: room(x, gas="HCl"), "gas-above-limit", 0.49, "warn", 0.51, "stop", id="HCl 5 ppm ceiling (OSHA 1910.1000)"
    ),
    pytest.param(lambda x: room(x, gas="NH3"), "gas-above-limit", 3.4, "warn", 3.6, "stop", id="NH3 35 ppm (NIOSH)"),
    pytest.param(boiled_to, "baked-dry", 51, "none", 49, "warn", id="5 mL a gram"),
    pytest.param(boiled_to, "baked-dry", 5.1, "warn", 4.9, "stop", id="dry"),
    pytest.param(lambda x: peroxide(x, 30), "peroxide-runaway", 0.049, "warn", 0.051, "stop", id="peroxide 5 % of the bath"),
    pytest.param(lambda x: peroxide(0.02, x), "peroxide-runaway", 9.9, "none", 10.1, "warn", id="peroxide 10 % strong"),
    pytest.param(heated, "boil-over", 39, "note", 41, "warn", id="rise 40 K"),
    pytest.param(lambda x: heated(x, 30.0), "boil-over", 69, "warn", 71, "stop", id="the boil"),
    pytest.param(lambda x: treated(x, "Ni(II)"), "metal-left-in-water", 10.1, "none", 9.9, "warn", id="nickel pH 10"),
    pytest.param(lambda x: treated(x, "Zn(II)"), "metal-left-in-water", 10.9, "none", 11.1, "warn", id="zinc pH 11"),
    pytest.param(sulfamic, "ammonium-carried", 1.19, "none", 1.21, "warn", id="sulfamic 1.2 times"),
    pytest.param(frothing, "froth-over", 0.49, "none", 0.51, "note", id="froth 0.5"),
    pytest.param(frothing, "froth-over", 0.99, "note", 1.01, "warn", id="froth 1"),
    pytest.param(frothing, "froth-over", 2.9, "warn", 3.1, "stop", id="froth 3"),
    pytest.param(caustic_into, "acid-spit", 2.9, "none", 3.1, "warn", id="pearls into 3 mol/L"),
    pytest.param(caustic_into, "acid-spit", 5.9, "warn", 6.1, "stop", id="pearls into 6 mol/L"),
    # 2 AuCl4- + 3 Sn(II): 1.5 mmol of tin to a mole of gold takes one part in a thousand, 7.5 mmol half a per cent.
    pytest.param(stannous, "colloid", 0.0074, "warn", 0.0076, "stop", id="stannous for half a per cent of the gold"),
    pytest.param(stannous, "colloid", 0.0014, "note", 0.0016, "warn", id="stannous for a part in a thousand of the gold"),
    pytest.param(stannous, "colloid", 0.0, "none", 0.0001, "note", id="any stannous at all"),
]


@pytest.mark.parametrize(("made", "code", "one", "its_level", "other", "other_level"), LINES)
def test_each_side_of_a_line(made, code, one, its_level, other, other_level):
    assert (level(made(one), code), level(made(other), code)) == (its_level, other_level)


def test_bleach_over_three_times_the_need_is_warned_of_beside_the_stop():
    assert [one.text for one in judge(bleach(2.9)) if one.level == "warn"] == []
    assert "3.1 times what the gold takes" in next(one.text for one in judge(bleach(3.1)) if one.level == "warn")


@pytest.mark.parametrize(
    ("source", "words"),
    [
        pytest.param("steinhauser-2008", "Gold Bull. 41, 305", id="fulminating gold"),
        pytest.param("atsdr-nox", "ATSDR", id="delayed lung injury, 3 to 30 h"),
        pytest.param("doe-hdbk-1015", "DOE-HDBK-1015", id="hydrogen"),
        pytest.param("niosh-pocket-guide", "Pocket Guide", id="exposure limits"),
        pytest.param("40cfr261", "261.22", id="D002"),
        pytest.param("sulfamic-hydrolysis", "ammonium bisulphate", id="sulfamic boiled"),
    ],
)
def test_what_is_published_is_cited(source, words):
    assert words in cite(source)
    rows = [row for cases in table("safety/says").values() for row in cases.values()]
    used = {row["source"] for row in rows} | {row["source"] for row in table("safety/lines").values() if "source" in row}
    assert source in used


def test_every_word_of_the_rules_is_used_and_every_word_used_is_there():
    from pathlib import Path

    import refinekit.safety

    code = "".join(path.read_text(encoding="utf-8") for path in Path(refinekit.safety.__file__).parent.glob("*.py"))
    keys = [f"{one}.{case}" for one, rows in table("safety/says").items() for case in rows if one != "refused"]
    assert [key for key in keys if key not in code and not _by_pattern(key, code)] == []


def _by_pattern(key, code):
    """Keys put together in the code from a code and a case: f"poison.{case}"."""
    one, case = key.split(".")
    return (f'f"{one}.{{' in code and f'"{case}"' in code) or (f"'{case}'" in code and f'f"{one}.{{' in code)
