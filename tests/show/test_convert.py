"""Troy and United States measure. 31.1034768 g to the troy ounce, 20 dwt to it, 3.785411784 L to the gallon of 128 fl oz: NIST
Handbook 44, Appendix C."""

import pytest

from refinekit.ranges import Range
from refinekit.show.convert import measured_in, range_in, temperature_in
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
