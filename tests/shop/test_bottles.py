"""Bottles asked about and mixed down: worked figures, the label against the hydrometer, the order of pouring, the heat."""

import json
from pathlib import Path

import pytest

from refinekit.bench.step import Step
from refinekit.errors import UnknownName
from refinekit.shop.bottles import dilute_step, strength_step

DATA = json.loads((Path(__file__).parents[1] / "data/worked/area11.json").read_text(encoding="utf-8"))
CASES = {case["id"]: case for case in DATA["cases"]}


def wanted(case: str, answer: str) -> object:
    """The printed figure of a worked case, with its own tolerance."""
    row = CASES[case]["answers"][answer]
    return pytest.approx(row["value"], rel=row["tolerance"]["relative"])


def taken(step: Step, key: str) -> float:
    """What a step says to weigh or pour of a reagent."""
    return next(reagent.to_take for reagent in step.reagents if reagent.key == key)


WORKED = [
    ("11.01", "acid", lambda: taken(dilute_step("hydrochloric", "3 mol/L", "1 L", strength="20 Be"), "hydrochloric")),
    ("11.03", "acid", lambda: taken(dilute_step("sulfuric", "10 %", "2 L", strength="96 %"), "sulfuric")),
    ("11.03", "heat", lambda: dilute_step("sulfuric", "10 %", "2 L", strength="96 %").answer("heat").likely),
    ("11.03", "rise", lambda: dilute_step("sulfuric", "10 %", "2 L", strength="96 %").answer("rise").likely),
    ("11.04", "sg20", lambda: strength_step("hydrochloric", "20 Be").answer("specific_gravity").likely),
    ("11.04", "sg42", lambda: strength_step("nitric", "42 Be").answer("specific_gravity").likely),
    ("11.05", "at_1_1800", lambda: strength_step("nitric", "1.1800 g/mL").answer("percent_by_weight").likely),
    ("11.05", "at_1_4048", lambda: strength_step("nitric", "1.4048 g/mL").answer("percent_by_weight").likely),
    ("11.08", "molarity", lambda: strength_step("bleach", "12.5 % trade").answer("molarity").likely),
    ("11.08", "naocl_g_l", lambda: strength_step("bleach", "12.5 % trade").answer("grams_per_litre").likely),
    ("11.09", "liquor", lambda: taken(dilute_step("caustic-liquor", "1 mol/L", "1 L", strength="50 %"), "caustic-liquor")),
    ("11.09", "pearls", lambda: taken(dilute_step("caustic", "1 mol/L", "1 L"), "caustic")),
    ("11.10", "molarity", lambda: strength_step("peroxide", "100 volumes").answer("molarity").likely),
]


@pytest.mark.parametrize(("case", "answer", "found"), [pytest.param(*row, id=f"{row[0]} {row[1]}") for row in WORKED])
def test_the_worked_figure_comes_out(case: str, answer: str, found: object) -> None:
    assert found() == wanted(case, answer)  # type: ignore[operator]


def test_the_parts_of_a_dilution_make_its_weight() -> None:
    step = dilute_step("sulfuric", "10 %", "2 L", strength="96 %")
    acid_g = taken(step, "sulfuric") * 1.8355  # CRC Handbook, 102nd ed., 96 % at 20 C
    water_g = taken(step, "water") * 0.9982  # CRC Handbook, water at 20 C
    assert acid_g + water_g == pytest.approx(2000 * 1.0661, rel=1e-3)  # CRC Handbook, 10 % at 20 C
    assert 0.96 * acid_g == pytest.approx(0.10 * 2000 * 1.0661, rel=1e-3)


def test_twenty_baume_is_31_45_percent() -> None:
    """Ferguson's tables as printed on data sheets of muriatic acid: 20 Be, 31.45 %."""
    assert strength_step("muriatic acid", "20 Be").answer("percent_by_weight").likely == pytest.approx(31.45)


def test_a_label_the_hydrometer_denies_is_told() -> None:
    step = strength_step("hydrochloric", "31.45 %", measured="1.40 g/mL")
    assert [notice.code for notice in step.notices] == ["wrong-bottle"]
    assert "HNO3" in step.notices[0].text


def test_a_label_the_hydrometer_bears_out_is_quiet() -> None:
    assert strength_step("hydrochloric", "31.45 %", measured="1.157 g/mL").notices == ()


def test_a_missing_strength_takes_the_usual_span() -> None:
    step = strength_step("hydrochloric", None)
    span = step.answer("percent_by_weight")
    assert (span.low, span.high) == (pytest.approx(28), pytest.approx(37))
    assert any("no strength told" in line for line in step.assumed)


def test_water_into_acid_is_stopped() -> None:
    step = dilute_step("sulfuric", "50 %", "1 L", order="water-to-acid")
    (notice,) = step.notices
    assert (notice.level, notice.code) == ("stop", "acid-spit")
    assert "put the water in the vessel first" in notice.do
    assert not step.reagents
    assert not step.answers


def test_a_dilution_that_spits_is_stopped() -> None:
    step = dilute_step("sulfuric", "60 %", "1 L", strength="96 %")
    assert [(notice.level, notice.code) for notice in step.notices] == [("stop", "boil-over")]


def test_water_stands_before_acid_in_the_pours() -> None:
    assert [reagent.key for reagent in dilute_step("sulfuric", "10 %", "2 L").reagents] == ["water", "sulfuric"]


def test_a_name_nobody_knows_is_told() -> None:
    with pytest.raises(UnknownName):
        strength_step("unobtainium", None)


def test_a_reading_of_strong_sulfuric_leaves_four_points_open():
    """95 % is 1.8337 and 99 % 1.8342 g/mL at 20 C, handbook from memory: a small division does not tell them apart."""
    step = strength_step("sulfuric", "96 %", measured="1.835 g/mL")
    open_to = next(one.range for one in step.answers if one.name == "percent_measured")
    assert open_to.low < 95
    assert open_to.high > 99


def test_a_density_no_strength_has_leaves_none_open_and_is_another_bottle():
    step = strength_step("sulfuric", "96 %", measured="1.95 g/mL")
    assert "percent_measured" not in {one.name for one in step.answers}
    assert {one.code for one in step.notices} == {"wrong-bottle"}
