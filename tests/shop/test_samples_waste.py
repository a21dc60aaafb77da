"""Percentiles of what comes last in two runs: the metabisulfite of the second and the caustic of both, worked out elsewhere."""

import json
import re
from collections.abc import Callable, Mapping
from pathlib import Path

import numpy as np
import pytest

from refinekit.shop.batch import read_batch
from refinekit.shop.plan import hear_all, reckon
from refinekit.shop.samples import Sampled, sample
from tests.shop.second_lot import SECOND_LOT

DATA = Path(__file__).parents[1] / "data"
FIRST_ROWS = json.loads((DATA / "run_fingers.json").read_text(encoding="utf-8"))["ranges"]["outputs"]
SECOND_ROWS = json.loads((DATA / "run_second_lot_ranges.json").read_text(encoding="utf-8"))["outputs"]
FIRST_WASTE = """
[[step]]
do = "cement"
metal = "copper"
with-bath = "0.6 L"
[[step]]
do = "cement"
metal = "iron"
acid-share = "0.25"
copper-left = "30 mg/L"
[[step]]
do = "neutralise"
reagent = "caustic-liquor"
caustic-strength = "30 %"
"""
"""What the run of fingers does with its rinses, its barren and 0.6 L of its bath."""
SECOND = (
    SECOND_LOT
    + """
[[step]]
do = "leach"
bath-volume = "5.2 L"
bath-acid = "1.35942/1.43942/1.51942 mol/L"
bath-copper = "95 g/L"
bath-cuprous = "3/6/10 g/L"
bath-nickel = "12 g/L"
bath-iron = "1.5 g/L"
bleed = true
volume = "6 L"
aim = "2 mol/L"
air = "2.1 L/min"
depth = "0.22 m"
transfer = "0.02/0.03/0.04"
plain-acid = "8 %"
carry-times = "2"
copper-left = "0.005/0.01/0.02"
nickel-left = "0.01/0.02/0.04"
gold-on-boards = "0.008"
board-held = "0.07 mL/g"
foil-held = "40 mL"
filings = "0.05/0.1/0.25 g"
[[step]]
do = "rinse"
what = "foils"
wash = "120 mL"
washes = "3"
acid-washes = "2"
acid-strength = "1 mol/L"
board-wash = "500 mL"
board-washes = "2"
[[step]]
do = "dissolve"
hydrochloric-volume = "60 mL"
water = "40 mL"
nitric-ratio = "1.45/1.6/1.8"
no-share = "0.6/0.8/0.95"
minutes = "25 min"
nine-tenths = "8 min"
[[step]]
do = "denox"
method = "button"
[[step]]
do = "rinse"
what = "pulp"
dilute = "450 mL"
weight = "6 g"
hold = "3 mL/g"
wash = "30 mL"
washes = "6"
[[step]]
do = "drop"
reagent = "smb"
excess = "1.25"
goodness = "0.75/0.85/0.95"
dissolve-water = "50 mL"
barren-gold = "5 mg/L"
[[step]]
do = "rinse"
what = "powder"
wash = "90 mL"
washes = "4"
[[step]]
do = "cement"
metal = "copper"
[[step]]
do = "cement"
metal = "iron"
acid-share = "0.2"
copper-left = "20 mg/L"
[[step]]
do = "neutralise"
reagent = "caustic-liquor"
caustic-strength = "50 %"
"""
)
"""A lot through an old bath: bled, topped up, its leftover nitric fed with a hung button. The bath's free acid is what 7.2, 7.6
and 8 mL of 1 mol/L caustic tell in 5 mL of it, less three times its ferric iron."""
CAUSTIC = ("neutralise", "caustic liquor pure")
PERCENTS = ["P5", "P50", "P95"]


def sampled(text: str) -> Sampled:
    heard = hear_all(read_batch(text, "lot.toml"))
    return sample(heard, reckon(heard), 20_000)


@pytest.fixture(scope="module")
def first() -> Sampled:
    return sampled((DATA / "run_fingers.toml").read_text(encoding="utf-8") + FIRST_WASTE)


@pytest.fixture(scope="module")
def second() -> Sampled:
    return sampled(SECOND)


@pytest.mark.parametrize("percent", PERCENTS)
def test_the_caustic_of_the_run(first: Sampled, percent: str) -> None:
    """20 000 triangular samples of the same run, drawn and reckoned by other code."""
    row = FIRST_ROWS["naoh_g"]
    assert getattr(first.spread(*CAUSTIC), percent.lower()) == pytest.approx(row[percent], rel=row["tolerance_rel"][percent])
    # the tolerances are wider than the whole spread here: hold its width too, which 20 000 samples tell to a hundredth
    width = first.spread(*CAUSTIC).p95 - first.spread(*CAUSTIC).p5
    assert width == pytest.approx(row["P95"] - row["P5"], rel=0.05)


@pytest.mark.parametrize("end", ["low", "likely", "high"])
def test_the_corners_bound_the_caustic_of_the_run(first: Sampled, end: str) -> None:
    row = FIRST_ROWS["naoh_g"]
    assert getattr(first.spread(*CAUSTIC).corners, end) == pytest.approx(row[end], rel=row["tolerance_rel"][end])


@pytest.mark.parametrize("percent", PERCENTS)
def test_the_metabisulfite_of_the_second_run(second: Sampled, percent: str) -> None:
    row, spread = SECOND_ROWS["smb_to_weigh_g"], second.spread("drop", "to weigh")
    assert getattr(spread, percent.lower()) == pytest.approx(row[percent], rel=row["tolerance_rel"][percent])
    assert spread.mean == pytest.approx(row["mean"], rel=0.02)


@pytest.mark.parametrize("end", ["low", "likely", "high"])
def test_the_corners_bound_the_metabisulfite_of_the_second_run(second: Sampled, end: str) -> None:
    row, spread = SECOND_ROWS["smb_to_weigh_g"], second.spread("drop", "to weigh")
    assert getattr(spread.corners, end) == pytest.approx(row[end], rel=row["tolerance_rel"][end])


# ---- caustic of the second run. There every sample bleeds as much copper as that sample's lot brings; a plan bleeds once, on the
# likely copper, and pours acid once, on the most. By hand below both ways: the first is held to the rows, the second to the plan.
UNKNOWNS: Mapping[str, tuple[float, float, float]] = {
    "area": (0.92, 1.0, 1.08),
    "gold_uin": (15.0, 30.0, 40.0),
    "nickel_um": (2.5, 4.0, 5.0),
    "copper_um": (32.0, 35.0, 38.0),
    "cuprous": (3.0, 6.0, 10.0),
    "titrated_ml": (7.2, 7.6, 8.0),
    "copper_left": (0.005, 0.01, 0.02),
    "nickel_left": (0.01, 0.02, 0.04),
    "iron_g": (0.05, 0.1, 0.25),
    "no_share": (0.6, 0.8, 0.95),
    "nitric_ratio": (1.45, 1.6, 1.8),
}
CU, NI, FE, AU, BOTTLE = 63.546, 58.6934, 55.845, 196.96657, 10.0059
"""Grams to a mole (CIAAW, abridged), and mol/L of 31.45 % hydrochloric (1.160 g/mL)."""
Draw = Mapping[str, float]


def metals(draw: Draw) -> tuple[float, float, float]:
    """Grams of gold, nickel and copper in the lot: area x thickness x density."""
    area_cm2 = 210 * 104 * 0.8 * 0.15 * draw["area"]
    gold = area_cm2 * draw["gold_uin"] * 2.54e-6 * 17.5 * 0.997
    return gold, area_cm2 * draw["nickel_um"] * 1e-4 * 8.908, area_cm2 * draw["copper_um"] * 1e-4 * 8.96


def bath(draw: Draw) -> tuple[float, float]:
    """Litres bled and litres of acid added for a draw: the lot's copper out, 2 mol/L free left in 6 L."""
    _, nickel, copper = metals(draw)
    copper_in, nickel_in = copper * (1 - draw["copper_left"]), nickel * (1 - draw["nickel_left"])
    bled = copper_in / 95
    eaten = 2 * copper_in / CU + 2 * nickel_in / NI + draw["cuprous"] * (5.2 - bled) / CU
    return bled, (2 * 6 + eaten - free_acid(draw) * (5.2 - bled)) / BOTTLE


def free_acid(draw: Draw) -> float:
    """mol/L of the old bath: caustic over sample, less three times the ferric iron."""
    return draw["titrated_ml"] / 5 - 3 * 1.5 / FE


def caustic_g(draw: Draw, bled: float, acid_l: float) -> float:
    """Pure caustic for bleed, rinses and barren after copper and iron: one to each acid, two to each metal ion."""
    gold, nickel, copper = metals(draw)
    copper_in, nickel_in = copper * (1 - draw["copper_left"]), nickel * (1 - draw["nickel_left"])
    stays = 5.2 - bled
    eaten = 2 * copper_in / CU + 2 * nickel_in / NI + draw["cuprous"] * stays / CU
    ends = (free_acid(draw) * stays + acid_l * BOTTLE - eaten) / 6
    held_l = ((650 - copper_in - nickel_in - 0.992 * gold) * 0.07 + 40) / 1000
    # the barren: acid left by charge, with the gold of foils and button, its sulfate, and the sodium of the metabisulfite
    foil_copper, foil_nickel, iron = copper * draw["copper_left"] / CU, nickel * draw["nickel_left"] / NI, draw["iron_g"] / FE
    electrons = 3 * 0.992 * gold / AU + 2 * foil_copper + 2 * foil_nickel + 3 * iron
    button = draw["nitric_ratio"] * electrons / 3 - electrons / (1 + 2 * draw["no_share"])
    sulfur = 1.5 * (0.992 * gold / AU + button)
    sodium = 1.25 * sulfur + 0.5 * iron  # one to each SO2 that is weighed in
    barren_acid = 0.06 * BOTTLE + 2 * (sulfur + 0.5 * iron) - 2 * (foil_copper + foil_nickel + iron) - sodium
    acid = free_acid(draw) * bled + ends * held_l + 0.24 + barren_acid
    nickel_mol = (12 * bled + held_l * (12 * stays + nickel_in) / 6) / NI + foil_nickel
    ferric = (1.5 * bled + held_l * 1.5 * stays / 6) / FE
    cuprous = draw["cuprous"] * bled / CU
    copper_mol = (95 * bled + held_l * (95 * stays + copper_in) / 6) / CU + foil_copper + ferric / 2
    copper_stays = 0.02 * (bled + 1.6 + 0.612 + 0.05 + 0.36) / CU
    iron_mol = ferric + iron + (copper_mol - cuprous - copper_stays) + cuprous / 2 + 0.2 * acid / 2
    return 39.997 * (0.8 * acid + 2 * (copper_stays + nickel_mol + iron_mol))


def percentiles(reckon_one: Callable[[Draw], float]) -> dict[str, float]:
    rng = np.random.default_rng(8)
    columns = {name: rng.triangular(*span, size=20_000) for name, span in UNKNOWNS.items()}
    found = [reckon_one(dict(zip(columns, row, strict=True))) for row in zip(*columns.values(), strict=True)]
    return dict(zip(PERCENTS, np.percentile(found, [5, 50, 95]), strict=True))


@pytest.fixture(scope="module")
def by_hand() -> tuple[dict[str, float], dict[str, float]]:
    """Caustic by hand where bleed and acid follow each draw, and where both are poured once."""
    likely = {name: span[1] for name, span in UNKNOWNS.items()}
    # the pour of acid is the one at the corner that asks most: thick plate, all of it off, much cuprous, a low titration
    most = {name: span[2] for name, span in UNKNOWNS.items()} | {"titrated_ml": 7.2, "copper_left": 0.005, "nickel_left": 0.01}
    bled = bath(likely)[0]
    _, nickel, copper = metals(most)
    eaten = 2 * copper * 0.995 / CU + 2 * nickel * 0.99 / NI + 10 * (5.2 - bled) / CU
    acid_l = (2 * 6 + eaten - free_acid(most) * (5.2 - bled)) / BOTTLE
    return percentiles(lambda draw: caustic_g(draw, *bath(draw))), percentiles(lambda draw: caustic_g(draw, bled, acid_l))


@pytest.mark.parametrize("percent", PERCENTS)
def test_the_caustic_of_the_second_run(second: Sampled, by_hand: tuple[dict[str, float], ...], percent: str) -> None:
    row, (follows, once) = SECOND_ROWS["naoh_g"], by_hand
    assert follows[percent] == pytest.approx(row[percent], rel=0.005)
    spread = second.spread(*CAUSTIC)
    assert getattr(spread, percent.lower()) == pytest.approx(once[percent], rel=0.005)
    assert spread.p95 - spread.p5 == pytest.approx(once["P95"] - once["P5"], rel=0.05)


def test_the_likely_caustic_of_the_second_run() -> None:
    text = re.sub(r'"([\d.]+)/([\d.]+)/([\d.]+)( [^"]*)?"', lambda found: f'"{found[2]}{found[4] or ""}"', SECOND)
    step = next(one for one in reckon(hear_all(read_batch(text, "lot.toml"))).done_steps() if one.name == "neutralise")
    row = SECOND_ROWS["naoh_g"]
    assert step.answer("caustic_liquor_pure").likely == pytest.approx(row["likely"], rel=row["tolerance_rel"]["likely"])


def test_a_bleed_that_follows_the_lot_moves_the_caustic_as_theirs() -> None:
    """The plan at the lot's least and most copper, each as a file without ranges, against the rows' own arithmetic by hand."""
    for end in (0, 2):
        likely = {name: span[1] for name, span in UNKNOWNS.items()}
        draw = likely | {"area": UNKNOWNS["area"][end], "copper_um": UNKNOWNS["copper_um"][end]}
        text = SECOND.replace('"0.92/1/1.08"', f'"{draw["area"]}"').replace('"32/35/38 micron"', f'"{draw["copper_um"]} micron"')
        text = re.sub(r'"([\d.]+)/([\d.]+)/([\d.]+)( [^"]*)?"', lambda found: f'"{found[2]}{found[4] or ""}"', text)
        step = next(one for one in reckon(hear_all(read_batch(text, "lot.toml"))).done_steps() if one.name == "neutralise")
        assert step.answer("caustic_liquor_pure").likely == pytest.approx(caustic_g(draw, *bath(draw)), rel=0.005)
