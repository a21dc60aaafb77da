"""The validation table: every outside figure stands beside ours, and one that is too far off is told and counts."""

import json
from math import nan

import pytest

from refinekit.chemistry.equation import Equation
from refinekit.shop import check
from tests.command import Run


def test_all_agree_and_each_names_its_source(refinekit: Run) -> None:
    done = refinekit("check", "--json")
    assert done.returncode == 0, done.stdout
    table = json.loads(done.stdout)["tables"][0]
    at = {name: number for number, name in enumerate(table["columns"])}
    assert len(table["rows"]) > 100
    assert all(row[at["holds"]] == "yes" and len(row[at["source"]]) > 20 for row in table["rows"])


def test_a_figure_too_far_off_is_told_and_ends_with_one(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture) -> None:
    from refinekit.cli.check import run

    rows = [{**row, "value": row["value"] * 1.5 + 1} if row["id"] == "weight-Au" else row for row in check.cases()]
    monkeypatch.setattr(check, "cases", lambda: rows)
    assert run(csv=True) == 1
    assert "atomic weight of Au" in capsys.readouterr().out


def test_every_way_of_asking_is_used_and_known() -> None:
    assert {row["kind"] for row in check.cases()} == set(check.OURS)


def test_a_figure_that_is_no_number_does_not_agree() -> None:
    assert not check.Check("a", "a", nan, 1.0, "g", 1.0, "a").holds


@pytest.mark.parametrize(("text", "left"), [("H2 + O2 -> H2O", 1.0), ("Cu -> Cu^2+", 2.0), ("2 H2 + O2 -> 2 H2O", 0.0)])
def test_atoms_and_charge_left_over_are_counted(text: str, left: float) -> None:
    assert check.left_over(Equation.parse(text)) == left


def test_an_equation_written_in_other_numbers_is_seen() -> None:
    assert check.same_again(Equation.parse("2 H2 + O2 -> 2 H2O"))
    assert not check.same_again(Equation.parse("H2 + O2 -> H2O"))
