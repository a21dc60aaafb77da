"""What a person weighs and pours. Expected texts are written out by hand: common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.ranges import Range
from refinekit.show.rounding import figure, measured, range_text


@pytest.mark.parametrize(
    ("value", "unit", "rounding", "text"),
    [
        (1.234, "g", "nearest", "1.23 g"),
        (1.231, "g", "up", "1.24 g"),
        (1.239, "g", "down", "1.23 g"),
        (1.23, "g", "up", "1.23 g"),
        (0.1 + 0.2, "g", "up", "0.30 g"),
        (12.31, "g", "up", "12.4 g"),
        (12.39, "g", "down", "12.3 g"),
        (9.996, "g", "up", "10.0 g"),
        (123.4, "g", "up", "124 g"),
        (123.9, "g", "down", "123 g"),
        (999.6, "g", "up", "1 kg"),
        (1231, "g", "up", "1.24 kg"),
        (0.04, "kg", "nearest", "40.0 g"),
        (0.004, "g", "down", "4 mg"),
        (0.0000004, "g", "nearest", "0.4 ug"),
        (0.404, "mL", "down", "0.40 mL"),
        (0.409, "mL", "down", "0.40 mL"),
        (2.66, "mL", "down", "2.6 mL"),
        (12.3, "mL", "up", "12.5 mL"),
        (12.3, "mL", "down", "12.0 mL"),
        (52, "mL", "nearest", "50 mL"),
        (53, "mL", "nearest", "55 mL"),
        (51, "mL", "up", "55 mL"),
        (64, "mL", "down", "60 mL"),
        (0.3, "L", "up", "300 mL"),
        (1234, "mL", "up", "1.24 L"),
        (1.234, "L", "down", "1.23 L"),
        (0.004, "mL", "down", "4 uL"),
        (7, "drops", "nearest", "7 drops"),
        (0.0, "g", "up", "0 g"),
    ],
)
def test_what_to_measure_out(value: float, unit: str, rounding: str, text: str) -> None:
    assert measured(value, unit, rounding=rounding).text == text


def test_a_scale_of_ones_own() -> None:
    assert measured(1.234, "g", rounding="up", scale_step_g=0.5).text == "1.5 g"
    assert measured(1.234, "g", rounding="nearest", scale_step_g=0.001).text == "1.23 g"


@given(st.floats(1e-9, 1e6), st.sampled_from(["g", "mL", "L", "kg"]), st.sampled_from(["up", "down", "nearest"]))
def test_something_is_never_shown_as_nothing_and_never_with_four_figures(value: float, unit: str, rounding: str) -> None:
    text = measured(value, unit, rounding=rounding).text.split()[0]
    digits = text.partition("e")[0].replace(".", "").strip("0")
    assert digits
    assert len(digits) <= 3


SIZES = {"kg": 1e3, "g": 1.0, "mg": 1e-3, "ug": 1e-6, "L": 1e3, "mL": 1.0, "uL": 1e-3, "nL": 1e-6}


@given(st.floats(1e-6, 1e5), st.sampled_from(["g", "mL"]))
def test_up_never_falls_short_and_down_never_goes_over(value: float, unit: str) -> None:
    more, less = measured(value, unit, rounding="up"), measured(value, unit, rounding="down")
    assert more.value * SIZES[more.unit] >= value * (1 - 1e-6)
    assert less.value * SIZES[less.unit] <= value * (1 + 1e-6)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"),
        (2.10449, "2.1"),
        (2.105, "2.11"),
        (0.00012345, "0.000123"),
        (234567.0, "235000"),
        (1.2e-9, "1.2e-9"),
        (12345678.0, "1.23e7"),
        (-0.5, "-0.5"),
        (999.9, "1000"),
    ],
)
def test_three_figures(value: float, text: str) -> None:
    assert figure(value) == text


@pytest.mark.parametrize(
    ("span", "unit", "text"),
    [
        ((1.6, 2.1, 2.6), "g", "1.6–2.1–2.6 g"),
        ((5, 5, 5), "d", "5 d"),
        ((0, 0, 2.13), "mL", "0–0–2.13 mL"),
        ((1200, 1500, 1900), "g", "1.2–1.5–1.9 kg"),
        ((0.0005, 0.002, 0.003), "g", "0.5–2–3 mg"),
        ((0.33, 0.7, 0.99), "L", "0.33–0.7–0.99 L"),
        ((-1, 0, 2), "", "-1/0/2"),
        ((0.004, 0.005, 0.006), "mol", "4–5–6 mmol"),
        ((3.06e-5, 16.5, 51.4), "mL", "<0.1–16.5–51.4 mL"),
        ((0.05, 16.5, 51.4), "mL", "<0.1–16.5–51.4 mL"),  # under a thousandth of the high end
        ((0.052, 16.5, 51.4), "mL", "0.052–16.5–51.4 mL"),
        ((0, 16.5, 51.4), "mL", "0–16.5–51.4 mL"),
        ((2e-7, 3e-5, 940), "g/L", "<1–<1–940 g/L"),
        ((5.87e-6, 4.3e-5, 1.53e-4), "mol/L", "<0.0001–<0.0001–0.000153 mol/L"),
        ((0.004, 0.02, 0.03), "ug", "<0.01–0.02–0.03 ug"),
        ((0.0115, 0.0999, 2.74), "L", "0.0115–0.0999–2.74 L"),  # no thousands beside a likely figure in a smaller unit
        ((0.0115, 0.0999, 0.274), "L", "11.5–99.9–274 mL"),
        ((11.5, 99.9, 2740), "mL", "0.0115–0.0999–2.74 L"),
        ((1e-6, 0.002, 0.005), "mol/L", "<0.0001–0.002–0.005 mol/L"),
    ],
)
def test_ranges(span: tuple[float, float, float], unit: str, text: str) -> None:
    assert range_text(Range(*span), unit) == text


def test_a_slash_where_no_dash_can_be_printed() -> None:
    assert range_text(Range(1.6, 2.1, 2.6), "g", dash="/") == "1.6/2.1/2.6 g"


def test_a_trace_is_acted_on_as_any_end_is_and_written_out_where_more_figures_are_asked_for() -> None:
    assert range_text(Range(3.06e-5, 16.5, 51.4), "mL", end="low") == "<0.1*–16.5–51.4 mL"
    assert range_text(Range(0.0306, 16.5, 51.4), "mL", figures=6) == "0.0306–16.5–51.4 mL"
