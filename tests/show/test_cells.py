"""Cells of tables as a person reads them: a figure with its unit, a pH as paper tells it."""

import json
import re

import pytest

from refinekit.bench.step import Table
from refinekit.ranges import Range
from refinekit.show.cells import as_ph, laid
from tests.command import Run

PORTIONS = Table("portions", ("portion", "gone in", "unit", "pH to expect"), (("1 pearls", 0.00636, "g", 0.0409),))
CHECKED = Table("check", ("what", "unit", "ours"), (("mass", "g", 196.97),))


def test_a_unit_stands_beside_the_figure_of_its_row() -> None:
    told = laid(PORTIONS)
    assert told.columns == ("portion", "gone in", "pH to expect")
    assert told.rows == (("1 pearls", "6.36 mg", "0"),)


def test_a_column_without_a_cell_is_left_out() -> None:
    told = laid(Table("where", ("stream", "grams", "fine, g"), (("bar", "", 0.431), ("slag", "", ""))))
    assert (told.columns, told.figures) == (("stream", "fine, g"), (False, False))


def test_a_column_of_units_stays_where_no_amount_is_meant() -> None:
    assert laid(CHECKED).columns == CHECKED.columns
    assert laid(CHECKED).rows == (("mass", "g", "197"),)


@pytest.mark.parametrize(("value", "text"), [(7.83, "7.8"), (10.0, "10"), (0.96, "1"), (-0.31, "-0.3"), (11.96, "12")])
def test_a_ph_is_told_in_tenths(value: float, text: str) -> None:
    """Tenths are what a pocket meter shows: common practice, no source."""
    assert as_ph(value) == text


def test_a_range_of_ph_and_a_metal_at_a_ph_keep_their_figures() -> None:
    told = laid(Table("x", ("pH", "copper mg/L"), ((Range(7.8, 8.15, 8.4), 0.00241),)))
    assert told.rows == (("7.8–8.15–8.4", "0.00241"),)


def test_portions_and_the_chart_reach_the_ph_with_the_same_weight(refinekit: Run) -> None:
    """Both weigh pearls as they come, 0.95 to 1 of them good; the bare need is of the pure alkali."""
    told = refinekit(
        "neutralise", "--volume", "2L", "--free-acid", "1.2mol/L", "--copper-strength", "5g/L", "--outdoors", "--json"
    )
    step = json.loads(told.stdout)["steps"][0]
    last = next(one for one in step["tables"] if one["title"] == "portions")["rows"][-1]
    said = json.dumps(step["charts"])
    reached = float(re.search(r"pH 10 is reached at ([\d.]+) g", said)[1])  # type: ignore[index]
    assert last[1] == pytest.approx(reached, rel=0.005)
    assert last[4] == pytest.approx(10)
