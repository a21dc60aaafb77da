"""The sums, in the order a person checks them."""

import pytest
from show_samples import CHLORINE, dissolving, planning

from refinekit.show.working import fact_line, working_text


def text_of(document: object, width: int = 100) -> str:
    return working_text(document, width=width, clean=str, dash="–")  # type: ignore[arg-type]


def test_equations_then_moles_then_sums_then_facts() -> None:
    text = text_of(dissolving())
    order = [
        "R3.1: Au + HNO3 + 4 HCl -> HAuCl4 + NO + 2 H2O",
        "foils: Au 0.0081–0.0107–0.0132 mol",
        "1. nitric for the gold",
        "2.1 g / 197.0 g/mol x 1 = 10.7 mmol",
        "constants.troy_ounce = 31.1034768 g (NIST",
        "2. as acid of 68 %",
        "10.7 mmol / 15.2 mol/L = 0.70 mL",
        "practice/show.scale.fine_step = 0.01 g (common practice, no source)",
    ]
    places = [text.find(line) for line in order]
    assert -1 not in places
    assert places == sorted(places)


def test_a_stopped_step_has_no_sums() -> None:
    assert text_of(dissolving(CHLORINE)) == ""
    plan = text_of(planning(("dissolve", CHLORINE)))
    assert "Working: drop" in plan
    assert "dissolve" not in plan


@pytest.mark.parametrize("width", [40, 80, 140])
def test_lines_keep_to_the_width(width: int) -> None:
    assert max(map(len, text_of(planning(), width).splitlines())) <= width


@pytest.mark.parametrize(
    ("id", "line"),
    [
        ("reactions.R2.3", "reactions.R2.3 (a balanced equation"),
        ("no-such.fact", "no-such.fact"),
        ("practice/show.most_figures", "practice/show.most_figures = 3 (common practice, no source)"),
    ],
)
def test_a_fact_is_told_with_what_is_known_of_it(id: str, line: str) -> None:
    assert fact_line(id).startswith(line)
