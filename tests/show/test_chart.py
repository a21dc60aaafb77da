"""Charts: what a person sees in plain characters, and what the picture file holds."""

import io
import json
import xml.etree.ElementTree as tree
from dataclasses import replace
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.step import Chart, Step
from refinekit.bench.work import Work
from refinekit.errors import BadFile, CannotFollow, Leak
from refinekit.show import look as _look
from refinekit.show.as_json import to_data
from refinekit.show.chart import chart_lines, letters, tick_step, ticks, x_labels
from refinekit.show.chart_svg import svg_of
from refinekit.show.document import Document
from refinekit.show.look import present

SCHEMA = json.loads((Path(_look.__file__).parent / "schema.json").read_text(encoding="utf-8"))
JUMP = Chart(
    "pH against caustic",
    "caustic, mL",
    "pH",
    {"pH": ((0.0, 10.0, 10.0, 20.0), (1.0, 2.0, 12.0, 13.0))},
    "The pH jumps from 2 to 12 at 10 mL.",
    marks=(("end point", 10.0),),
)
FALL = Chart(
    "metals against pH",
    "pH",
    "dissolved, mg/L",
    {"copper": ((2.0, 8.0), (10000.0, 0.01)), "cadmium": ((2.0, 8.0), (10.0, 10.0)), "zinc": ((2.0, 8.0), (10000.0, 0.01))},
    "Copper and zinc fall together, cadmium stays.",
    log=True,
)
BOTH = Step("titrate", "5 mL of bath", charts=(JUMP, FALL))
SVG = "{http://www.w3.org/2000/svg}"


def screen(step: Step, *, width: int, encoding: str = "utf-8") -> str:
    out = io.TextIOWrapper(io.BytesIO(), encoding=encoding, newline="")
    present(Document.of("titrate", (step,)), stdout=out, stderr=io.StringIO(), width=width)
    out.seek(0)
    return out.read()


def drawing(chart: Chart, width: int) -> list[str]:
    """The rows between the axes, without the figures at the side."""
    return [line.partition("|")[2] for line in chart_lines(chart, width=width) if "|" in line]


@pytest.mark.parametrize("width", [20, 40, 80, 140])
def test_no_line_of_a_chart_is_wider_than_the_screen(width: int) -> None:
    text = screen(BOTH, width=width)
    assert max(map(len, text.splitlines())) <= width
    assert "The pH jumps from 2 to 12 at 10 mL." in " ".join(text.split())


@pytest.mark.parametrize("encoding", ["ascii", "latin-1"])
def test_a_plain_terminal_gets_plain_characters(encoding: str) -> None:
    text = screen(BOTH, width=80, encoding=encoding)
    assert text.isascii()
    assert "?" not in text
    assert "+---" in text


def test_a_terminal_that_can_gets_ruled_axes() -> None:
    assert "└───" in screen(BOTH, width=80)


@pytest.mark.parametrize("width", [40, 80, 140])
def test_a_jump_is_drawn_without_a_gap(width: int) -> None:
    rows = drawing(JUMP, width)
    touched = [number for number, row in enumerate(rows) if "*" in row]
    assert touched == list(range(touched[0], touched[-1] + 1))
    assert len(touched) >= 0.7 * len(rows)  # pH 1 to 13 on an axis of 0 to 15


def test_the_mark_stands_at_the_jump() -> None:
    bottom = next(line for line in chart_lines(JUMP, width=80) if "+-" in line)
    assert drawing(JUMP, 80)[0].index(":") == pytest.approx(bottom.count("-") / 2, abs=1)


def test_a_rising_curve_starts_low_at_the_left_and_ends_high_at_the_right() -> None:
    rows = drawing(JUMP, 80)
    assert rows[-1].lstrip(":").strip(" :").startswith("*") or rows[-2].startswith("*")
    high = next(row for row in rows if "*" in row)
    assert high.rindex("*") > 60


def test_curves_that_lie_on_one_another_are_both_seen() -> None:
    text = "\n".join(drawing(FALL, 80))
    assert text.count("C") > 10
    assert text.count("Z") > 10
    assert "C copper, A cadmium, Z zinc" in "\n".join(chart_lines(FALL, width=80))


def test_powers_of_ten_are_at_the_side() -> None:
    heads = [line.partition("|")[0].strip() for line in chart_lines(FALL, width=80) if "|" in line]
    assert [head for head in heads if head] == ["10000", "1000", "100", "10", "1", "0.1", "0.01"]


def test_figures_under_the_axis_stand_where_they_hold() -> None:
    labels = x_labels(0.0, 20.0, 41)
    for text, at in (("0", 0), ("10", 20), ("20", 40)):
        assert abs(labels.index(text) + (len(text) - 1) // 2 - at) <= 1


@pytest.mark.parametrize(
    ("low", "high", "most", "step"), [(0, 14, 8, 2.0), (0, 0.3, 5, 0.1), (0, 1, 10, 0.1), (3, 3, 5, 1.0), (0, 0, 5, 0.2)]
)
def test_steps_are_round(low: float, high: float, most: int, step: float) -> None:
    assert tick_step(low, high, most) == pytest.approx(step)


@given(low=st.floats(-1e6, 1e6), span=st.floats(1e-3, 1e6), most=st.integers(2, 12))
def test_ticks_lie_inside_and_are_not_too_many(low: float, span: float, most: int) -> None:
    found = ticks(low, low + span, most)
    assert len(found) <= most + 1
    assert all(low - 1e-6 * span <= at <= low + span * (1 + 1e-6) for at in found)


@given(
    xs=st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=30),
    seed=st.integers(0, 999),
    width=st.integers(20, 140),
    log=st.booleans(),
)
def test_any_curve_can_be_drawn(xs: list[float], seed: int, width: int, log: bool) -> None:
    ys = np.random.default_rng(seed).uniform(1e-6 if log else -1e5, 1e5, len(xs))
    chart = Chart("any", "x", "y", {"one": (tuple(sorted(xs)), tuple(ys.tolist()))}, "Anything.", log=log)
    lines = chart_lines(chart, width=width)
    assert max(map(len, lines)) <= width
    assert any("*" in line for line in lines)


@pytest.mark.parametrize("xs", [(5e-324,), (0.0, 5e-324), (1e-308, 3e-308)], ids=str)
def test_points_nearer_than_floats_can_part_are_drawn_on_one_spot(xs: tuple[float, ...]) -> None:
    chart = Chart("any", "x", "y", {"one": (xs, tuple(1.0 for _ in xs))}, "Anything.")
    assert any("*" in line for line in chart_lines(chart, width=40))


def test_every_curve_has_a_letter_of_its_own() -> None:
    names = ["copper", "cobalt", "cadmium", "chromium", "o", "oo", "x"]
    assert len(set(letters(names).values())) == len(names)


@pytest.mark.parametrize(
    ("across", "up", "log"),
    [
        ((1.0, 0.0), (1.0, 2.0), False),
        ((0.0, 1.0), (1.0,), False),
        ((), (), False),
        ((0.0, 1.0), (0.0, 1.0), True),
        ((0.0, float("nan")), (1.0, 1.0), False),
    ],
)
def test_a_curve_that_is_none_is_a_fault_of_the_program(across: tuple[float, ...], up: tuple[float, ...], log: bool) -> None:
    with pytest.raises(Leak, match="cannot be drawn"):
        Chart("bad", "x", "y", {"one": (across, up)}, "Nothing.", log=log)


def test_points_without_a_figure_are_left_out_and_a_curve_of_none_is_no_chart() -> None:
    work = Work("titrate")
    work.chart("one", "x", "y", {"a": (np.arange(3.0), np.array([1.0, np.nan, 3.0]))}, finding="A gap.")
    work.chart("none", "x", "y", {"a": (np.arange(2.0), np.zeros(2))}, finding="Nothing.", log=True)
    (chart,) = work.done(None).charts
    assert chart.series == {"a": ((0.0, 2.0), (1.0, 3.0))}


def test_json_carries_every_point() -> None:
    data = to_data(Document.of("titrate", (BOTH,)))
    jsonschema.validate(data, SCHEMA)
    jump = data["charts"][0]
    assert jump["series"] == [{"name": "pH", "x": [0.0, 10.0, 10.0, 20.0], "y": [1.0, 2.0, 12.0, 13.0]}]
    assert jump["finding"] == JUMP.finding
    assert data["steps"][0]["charts"] == data["charts"]


def test_a_stopped_step_shows_no_curve() -> None:
    from tests.show.show_samples import CHLORINE

    document = Document.of("titrate", (BOTH,), notices=(CHLORINE,))
    assert document.exit_code == 3
    assert to_data(document)["charts"] == []


def test_a_run_of_many_steps_tells_each_curve_in_a_line_and_keeps_the_drawing_for_the_file() -> None:
    document = Document.of("plan", (BOTH, replace(BOTH, name="neutralise")))
    out = io.StringIO()
    present(document, stdout=out, stderr=io.StringIO(), width=80)
    assert JUMP.finding in out.getvalue()
    assert "└" not in out.getvalue()
    assert [len(step["charts"]) for step in to_data(document)["steps"]] == [2, 2]


def test_the_picture_says_what_it_shows_and_keeps_its_words() -> None:
    text = svg_of((JUMP, FALL))
    root = tree.fromstring(text)
    assert root.find(f"{SVG}desc").text == f"{JUMP.finding} {FALL.finding}"  # type: ignore[union-attr]
    words = {"".join(element.itertext()).strip() for element in root.iter(f"{SVG}text")}
    assert {"pH against caustic", "caustic, mL", "dissolved, mg/L", "copper", "cadmium", "zinc", "end point", "0.01"} <= words


def test_the_same_figures_give_the_same_picture() -> None:
    assert svg_of((JUMP,)) == svg_of((JUMP,))


def test_signs_in_a_title_are_no_markup() -> None:
    odd = replace(JUMP, title="a < b & $c$", finding="<script>")
    root = tree.fromstring(svg_of((odd,)))
    assert root.find(f"{SVG}title").text == "a < b & $c$"  # type: ignore[union-attr]
    assert not [element for element in root.iter() if "script" in str(element.tag)]


def test_a_picture_is_written_once_and_over_an_old_one_only_by_force(tmp_path: Path) -> None:
    from refinekit.cli.papers import write_charts

    document, file = Document.of("titrate", (BOTH,)), tmp_path / "curve.svg"
    write_charts(document, str(file), force=False, units="metric")
    file.write_text("mine")
    with pytest.raises(BadFile, match="there already\n  Try: another name, or --force"):
        write_charts(document, str(file), force=False, units="metric")
    assert file.read_text() == "mine"
    write_charts(document, str(file), force=True, units="metric")
    assert file.read_text().startswith("<svg")


def test_a_picture_has_degrees_with_their_sign_and_is_in_the_units_asked_for(tmp_path: Path) -> None:
    from refinekit.cli.papers import write_charts

    warm = Chart("pot", "minutes", "degC", {"at once": ((0.0, 5.0), (20.0, 60.0))}, "60 C", levels=(("60 C, pause", 60.0),))
    document = Document.of("heat", (Step("heat", charts=(warm,)),))
    for units, words in (("metric", ("°C", "60 °C, pause", "60 °C")), ("us", ("°F", "60 °C (140 °F), pause", "60 °C (140 °F)"))):
        write_charts(document, str(tmp_path / f"{units}.svg"), force=False, units=units)
        told = [
            "".join(one.itertext())
            for one in tree.parse(tmp_path / f"{units}.svg").iter()
            if one.tag in (f"{SVG}text", f"{SVG}desc")
        ]
        assert set(words) <= set(told), told


def test_what_cannot_be_written_says_so(tmp_path: Path) -> None:
    from refinekit.cli.papers import write_charts

    with pytest.raises(BadFile, match=r"does not end in \.svg"):
        write_charts(Document.of("titrate", (BOTH,)), str(tmp_path / "curve.png"), force=False, units="metric")
    with pytest.raises(CannotFollow, match="no chart"):
        write_charts(Document.of("titrate", (Step("titrate"),)), str(tmp_path / "curve.svg"), force=False, units="metric")
    assert list(tmp_path.iterdir()) == []


# ---- lines that are not to be passed


def air(levels, log=True):
    curve = {"NO2": ((0.0, 5.0, 10.0), (2.0, 8.0, 3.0))}
    return Chart("air", "minutes", "ppm", curve, "over it at 5 min", log=log, levels=levels)


def test_a_line_not_to_be_passed_is_drawn_across_with_its_figure_and_words():
    lines = chart_lines(air((("1 ppm, 15 min", 1.0), ("13 ppm, at once", 13.0))), width=60)
    dashed = [line for line in lines if "|---" in line]
    assert [line.split()[0] for line in dashed] == ["13", "1"]
    assert any("- 13 ppm, at once" in line for line in lines)
    assert any("- 1 ppm, 15 min" in line for line in lines)


def test_the_drawing_reaches_up_to_a_line_far_over_the_curve():
    lines = chart_lines(air((("500 ppm", 500.0),), log=False), width=60)
    assert next(line for line in lines if "|---" in line).split()[0] == "500"


def test_lines_stand_in_the_picture_with_their_words():
    picture = svg_of([air((("1 ppm, 15 min", 1.0),))])
    assert "1 ppm, 15 min" in picture


@pytest.mark.parametrize("at", [0.0, -1.0, float("nan")])
def test_a_line_that_cannot_be_drawn_is_a_fault(at):
    with pytest.raises(Leak, match="cannot be drawn"):
        air((("nothing", at),))
