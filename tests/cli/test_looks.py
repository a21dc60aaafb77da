"""Every look of the commands that are there: JSON keeps its schema, pipes flow, narrow and plain terminals work."""

import csv
import io
import json
from pathlib import Path

import jsonschema
import pytest

from refinekit import __version__
from refinekit.show import look as _look
from tests.command import Run

SCHEMA = json.loads((Path(_look.__file__).parent / "schema.json").read_text(encoding="utf-8"))
TABS = str(Path(__file__).parents[2] / "examples" / "edge-tabs.toml")
DISSOLVE = ["dissolve", "--gold", "1.6/2.1/2.6 g", "--nitric", "68 %"]


def test_the_version_is_printed_alone(refinekit: Run) -> None:
    assert refinekit("--version").stdout == f"{__version__}\n"


@pytest.mark.parametrize(
    "words",
    [
        DISSOLVE,
        ["lot", "--kind", "edge tabs", "--weight", "420 g", "--area", "1600 cm2"],
        ["molar", "copperas", "--grams", "42.3 g"],
        ["balance", "Cu + HNO3 -> Cu(NO3)2 + NO + H2O"],
        ["strength", "nitric", "42 Be"],
        ["dilute", "hydrochloric", "--target", "3 mol/L", "--volume", "1 L"],
        ["sources", "platinum"],
        [*DISSOLVE, "--outdoors", "--seen", "foil gone after 0.9 mL"],
        ["cost", TABS],
        ["stock", TABS],
        ["rehearse", TABS, "--change", "leach.air=4 L/min"],
        ["plan", TABS, "--largest"],
        ["plan", TABS, "--samples", "200"],
    ],
    ids=lambda words: " ".join(word for word in words if not word.startswith(("/", "1.")))[:30],
)
def test_json_keeps_its_schema(refinekit: Run, words: list[str]) -> None:
    done = refinekit(*words, "--json")
    assert done.returncode == 0, done.stderr
    jsonschema.validate(json.loads(done.stdout), SCHEMA)


def test_csv_has_a_row_for_each_pour(refinekit: Run) -> None:
    rows = list(csv.DictReader(io.StringIO(refinekit(*DISSOLVE, "--csv").stdout)))
    assert any("nitric" in " ".join(str(cell) for cell in row.values()) for row in rows)


def test_steps_pipe_into_one_another(refinekit: Run) -> None:
    lot = refinekit("lot", "--kind", "edge tabs", "--weight", "420 g", "--area", "1450/1600/1750 cm2", "--json")
    leach = refinekit("leach", "--pot", "-", "--air", "2 L/min", "--json", "--outdoors", stdin=lot.stdout)
    dissolve = refinekit("dissolve", "--pot", "-", "--json", "--outdoors", stdin=leach.stdout)
    assert [done.returncode for done in (lot, leach, dissolve)] == [0, 0, 0], dissolve.stderr
    gold_in = json.loads(lot.stdout)["answers"]["gold"]["likely"]
    pots = json.loads(dissolve.stdout)["pots"]
    liquor = next(pot for pot in pots if pot["name"] == "gold liquor")
    dissolved_g = liquor["dissolved_mol"]["AuCl4^-"]["likely"] * 196.96657  # CIAAW 2021
    assert 0.97 * gold_in < dissolved_g < gold_in


@pytest.mark.parametrize("width", ["40", "80", "140"])
def test_no_line_is_wider_than_the_terminal(refinekit: Run, width: str) -> None:
    done = refinekit(*DISSOLVE, "--outdoors", COLUMNS=width)
    assert done.returncode == 0
    assert max(len(line) for line in done.stdout.splitlines()) <= int(width)
    assert "MEASURE" in done.stdout.upper()
    assert "…" not in done.stdout


def test_a_plain_ascii_terminal_can_show_it(refinekit: Run) -> None:
    done = refinekit(*DISSOLVE, "--outdoors", PYTHONIOENCODING="ascii", NO_COLOR="1")
    assert done.returncode == 0
    assert done.stdout.isascii()
    assert "\x1b[" not in done.stdout


def test_working_is_shown_in_order(refinekit: Run) -> None:
    done = refinekit(*DISSOLVE, "--outdoors", "--show-working")
    assert "first share x low-end NO need" in done.stdout
