"""Troy and United States measure. 31.1034768 g to the troy ounce, 20 dwt to it, 3.785411784 L to the gallon of 128 fl oz: NIST
Handbook 44, Appendix C."""

import pytest

from refinekit.bench.step import Table
from refinekit.ranges import Range
from refinekit.show.convert import measured_in, range_in, temperature_in
from refinekit.show.recast import sentence, table_in
from refinekit.show.rounding import figure


@pytest.mark.parametrize(
    ("span", "unit", "name", "units", "text"),
    [
        ((31.1034768, 62.2069536, 93.3104304), "g", "gold", "troy", "1–2–3 oz t"),
        ((1.55517384, 3.11034768, 4.66552152), "g", "gold_in_filters", "troy", "1–2–3 dwt"),
        ((0.0311034768, 0.0311034768, 0.0311034768), "kg", "fine silver", "us", "1 oz t"),
        ((10, 10, 10), "g", "copper", "troy", "10 g"),
        ((20, 20, 20), "g/g", "copper_per_gold", "troy", "20 g/g"),
        ((29.5735295625, 59.147059125, 88.7205886875), "mL", "hcl_pour", "us", "1–2–3 fl oz"),
        ((3.785411784, 7.570823568, 7.570823568), "L", "rinse_water", "us", "1–2–2 gal"),
        ((1, 2, 3), "L", "nitrogen_dioxide", "us", "1–2–3 L"),
        ((100, 100, 100), "degC", "boil", "us", "212 degF"),
        ((10, 20, 30), "K", "rise", "us", "18–36–54 °F"),  # a difference: times 9/5 and no more
        ((28.316846592, 28.316846592, 28.316846592), "L/min", "pump", "us", "1 cfm"),  # a cubic foot is 28.316846592 L, exactly
        ((28.3, 28.3, 28.3), "L/min", "nitrogen dioxide peak", "us", "28.3 L/min"),
        ((1.5, 1.5, 1.5), "L/min", "pump", "us", "1.5 L/min"),
        ((50, 50, 50), "mL", "hcl", "troy", "50 mL"),
        ((31.1034768, 31.1034768, 31.1034768), "g", "gold", "metric", "31.1 g"),
    ],
)
def test_figures_in_other_measure(span: tuple[float, float, float], unit: str, name: str, units: str, text: str) -> None:
    assert range_in(Range(*span), unit, name, units) == text


def test_a_pour_has_the_cylinders_figure_beside_it() -> None:
    assert measured_in(100, "mL", "hydrochloric acid", "us", rounding="nearest") == "3.38 fl oz (100 mL)"
    assert measured_in(100, "mL", "hydrochloric acid", "metric", rounding="nearest") == "100 mL"


def test_air_temperature() -> None:
    assert temperature_in(18.0, "metric", figure) == "18 °C"
    assert temperature_in(18.0, "us", figure) == "64.4 °F"


@pytest.mark.parametrize(
    ("metric", "us"),
    [
        (
            "the liquor warms: a rise of about 26 K, to 44 °C",
            "the liquor warms: a rise of about 26 K (46.8 °F), to 44 °C (111 °F)",
        ),
        ("how far over its melting point it is poured: 50 K", "how far over its melting point it is poured: 50 K (90 °F)"),
        ("50 g of 14 K; a stamp of 10 K", "50 g (1.76 oz av) of 14 K; a stamp of 10 K"),  # karats
        (
            "a mould such as 50.8 x 25.4 x 12.7 mm",
            "a mould such as 50.8 x 25.4 x 12.7 mm (2 x 1 x 0.5 in)",
        ),  # 25.4 mm to the inch
        ("for 2 x 100 mL of acid", "for 2 x 100 mL (3.38 fl oz) of acid"),
    ],
)
def test_figures_in_a_sentence_in_other_measure(metric: str, us: str) -> None:
    """Exact factors: NIST Handbook 44, Appendix C."""
    assert sentence(metric, "us") == us


def test_portions_of_one_thing_are_told_in_one_unit() -> None:
    """28.349523125 g to the ounce avoirdupois; 11 g alone would stay grams."""
    rows = (("1 pearls", 11.3398, "g"), ("2 pearls", 56.699, "g"), ("3 soda", 11.3398, "g"))
    told = table_in(Table("portions", ("portion", "gone in", "unit"), rows), "us").rows
    assert [(row[0], pytest.approx(row[1], rel=1e-4), row[2]) for row in told] == [
        ("1 pearls", 0.4, "oz av"),
        ("2 pearls", 2.0, "oz av"),
        ("3 soda", 11.3398, "g"),
    ]
