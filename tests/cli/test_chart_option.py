"""Charts from the command line: on the screen, in the JSON, and in a file that is never written over unasked."""

import json
from pathlib import Path

import jsonschema
import pytest

from refinekit.show import look as _look
from tests.cli.test_start_up import loaded_by
from tests.command import Run

SCHEMA = json.loads((Path(_look.__file__).parent / "schema.json").read_text(encoding="utf-8"))
CURVE = ["titrate", "--free-acid", "1.2 mol/L", "--copper-strength", "80 g/L", "--outdoors"]
READING = ["titrate", "--used", "11.2 mL", "--sample", "5 mL", "--outdoors"]


@pytest.mark.parametrize("width", ["40", "80", "140"])
def test_a_curve_is_drawn_at_any_width_in_plain_characters(refinekit: Run, width: str) -> None:
    done = refinekit(*CURVE, COLUMNS=width, PYTHONIOENCODING="ascii", NO_COLOR="1")
    assert done.returncode == 0, done.stderr
    assert done.stdout.isascii()
    assert max(map(len, done.stdout.splitlines())) <= int(width)
    assert sum("*" in line for line in done.stdout.splitlines()) > 8
    assert "the first lasting cloud comes at" in " ".join(done.stdout.split())


def test_json_holds_the_curve(refinekit: Run) -> None:
    data = json.loads(refinekit(*CURVE, "--json").stdout)
    jsonschema.validate(data, SCHEMA)
    (series,) = data["charts"][0]["series"]
    assert len(series["x"]) == len(series["y"]) > 100


def test_the_picture_is_written_and_never_written_over_unasked(refinekit: Run, tmp_path: Path) -> None:
    done = refinekit(*CURVE, "--chart", "curve.svg")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "curve.svg").read_text(encoding="utf-8").startswith("<svg")
    again = refinekit(*CURVE, "--chart", "curve.svg")
    assert again.returncode == 2
    assert again.stderr == "refinekit: 'curve.svg' is there already\n  Try: another name, or --force to write over it\n"
    (tmp_path / "curve.svg").write_text("mine")
    assert refinekit(*CURVE, "--chart", "curve.svg", "--force").returncode == 0
    assert (tmp_path / "curve.svg").read_text(encoding="utf-8").startswith("<svg")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([*READING, "--chart", "curve.svg"], "this answer has no chart"),
        ([*CURVE, "--chart", "curve.png"], "does not end in .svg"),
        ([*CURVE, "--chart", "nowhere/curve.svg"], "cannot be written"),
        ([*CURVE, "--chart", ""], "does not end in .svg"),
    ],
)
def test_a_chart_that_cannot_be_written_is_one_line_and_its_cure(
    refinekit: Run, tmp_path: Path, words: list[str], said: str
) -> None:
    done = refinekit(*words)
    assert done.returncode == 2
    assert said in done.stderr
    assert "\n  Try: " in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_the_drawing_library_is_loaded_only_for_a_picture() -> None:
    assert "matplotlib" not in loaded_by(*CURVE)


def test_a_room_without_curves_has_no_such_option(refinekit: Run) -> None:
    done = refinekit("melt", "--gold", "2 g", "--chart", "curve.svg")
    assert done.returncode == 2
    assert "--chart" in done.stderr


def test_a_plan_tells_each_curve_in_a_line_and_draws_them_all_to_the_file(refinekit: Run, tmp_path: Path) -> None:
    batch = 'title = "spent"\nroute = "as written"\n[lot]\ngold = "1 g"\n' + 2 * (
        '[[step]]\ndo = "neutralise"\nvolume = "4 L"\nfree-acid = "1 mol/L"\ncopper = "20 g"\nreagent = "caustic"\n'
    )
    (tmp_path / "spent.toml").write_text(batch)
    done = refinekit("plan", "spent.toml", "--chart", "curves.svg")
    assert done.returncode == 0, done.stderr
    assert "pH 10 is reached at" in " ".join(done.stdout.split())
    picture = (tmp_path / "curves.svg").read_text(encoding="utf-8")
    assert "neutralise: pH against sodium hydroxide pearls" in picture
    assert "neutralise 2: metals against pH" in picture
