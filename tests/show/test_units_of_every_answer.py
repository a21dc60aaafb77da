"""Every answer in troy and United States measure comes back to the metric one, read by the reader of what people type."""

import re

import pytest

from refinekit.bench.step import Chart, Table
from refinekit.cli.cards import CARDS
from refinekit.cli.commands import load
from refinekit.errors import RefinekitError
from refinekit.ranges import Range
from refinekit.show.convert import conversion
from refinekit.show.document import Document
from refinekit.show.recast import HEADING, NUMBER, SAID_AS, chart_in, in_units, sentence, table_in
from refinekit.units import read
from tests.show.every_answer import every_answer

SYSTEMS = ("troy", "us")
KINDS = ("mass", "volume", "length", "area", "flow", "speed", "temperature")
WITHOUT = ("new", "sources", "check", "manual", "completion")
"""Commands that take no --units: a file is written, or figures are shown as their source prints them."""
PAIR = re.compile(rf"({NUMBER}) ?(\S+) \(({NUMBER}) ((?:oz t|dwt|gr|lb|oz av|gal|fl oz|cu ft|ft|in|sq in|sq ft|cfm|ft/min|°F))\)")

UNIT = re.compile(r"(?<![\w/])(oz t|dwt|gr|lb|oz av|gal|fl oz|cu ft|ft|in$|sq in|sq ft|cfm|ft/min|°F)(?!\w)")


def base(value: float, unit: str) -> float:
    """A figure in the base unit of its kind; a gap may be below nothing."""
    kind = kind_of(unit)
    if value < 0 and kind != "temperature":
        return -base(-value, unit)
    return read(f"{value!r} {unit}", kind, name=unit).range.likely


def kind_of(unit: str) -> str:
    for kind in KINDS:
        try:
            read(f"1 {unit}", kind, name=unit)
        except RefinekitError:
            continue
        return kind
    raise AssertionError(unit)


def tables(document: Document) -> list[Table]:
    return [*document.sections, *(one for step in document.steps for one in step.tables)]


def sentences(document: Document) -> list[str]:
    said = [line for _, line in document.lines] + [one.notice.text for one in document.notices]
    said += [document.title, *document.assumed, *(step.title for step in document.steps)]
    return said + [line for step in document.steps for _, line in step.says]


@pytest.mark.parametrize("verb", [verb for verb in CARDS if verb not in WITHOUT])
def test_every_command_takes_units(verb: str) -> None:
    assert "units" in {parameter.name for parameter in load(verb).params}


@pytest.mark.parametrize("units", SYSTEMS)
def test_a_figure_or_pour_in_other_units_comes_back_to_the_metric_one(units: str) -> None:
    changed = 0
    for asked in every_answer():
        for step in asked.document.steps:
            figures = [(one.range, one.unit, one.name) for one in step.answers]
            figures += [(Range.point(float(one.to_take)), one.unit, one.name) for one in step.reagents]
            for span, unit, name in figures:
                change = conversion(span.likely or span.high, unit, name, units)
                if change is not None and unit != "K":
                    changed += 1
                    for end in (span.low, span.likely, span.high):
                        wanted = pytest.approx(base(end, unit), rel=1e-9, abs=1e-12)
                        assert base(change.of(end), change.unit) == wanted, (asked.line, name)
    assert changed > 50


@pytest.mark.parametrize("units", SYSTEMS)
def test_a_table_in_other_units_comes_back_to_the_metric_one(units: str) -> None:
    changed = 0
    for asked in every_answer():
        for before, after in zip(tables(asked.document), tables(in_units(asked.document, units)), strict=True):
            changed += compared(before, after)
    assert changed > 20


def compared(before: Table, after: Table) -> int:
    """Hold each column with a unit of its own to the metric one it comes from; returns how many figures were held."""
    held = 0
    metric = {}
    for at, head in enumerate(before.columns):
        if found := HEADING.search(head):
            unit = SAID_AS.get(found[1], found[1])
            metric[stem(head, HEADING), kind_of(unit)] = at, unit
    for place, head in enumerate(after.columns):
        ours = UNIT.search(head)
        if ours is None or head in before.columns:
            continue
        at, unit = metric[stem(head, UNIT), kind_of(ours[1])]
        for row, told in zip(before.rows, after.rows, strict=True):
            if not isinstance(told[place], str):
                held += 1
                for one, other in zip(ends(row[at]), ends(told[place]), strict=True):
                    assert base(other, ours[1]) == pytest.approx(base(one, unit), rel=1e-9, abs=1e-12), (before.title, head)
    return held


def stem(head: str, unit: re.Pattern[str]) -> str:
    """A heading without its unit."""
    return unit.sub("", head, count=1)


def ends(cell: str | float | Range) -> tuple[float, ...]:
    assert not isinstance(cell, str)
    return (cell.low, cell.likely, cell.high) if isinstance(cell, Range) else (float(cell),)


@pytest.mark.parametrize("units", SYSTEMS)
def test_a_sentence_in_other_units_says_the_same(units: str) -> None:
    told = [
        pair for asked in every_answer() for said in sentences(in_units(asked.document, units)) for pair in PAIR.findall(said)
    ]
    assert len(told) > 5
    for number, unit, other, theirs in told:
        if unit == "K":  # a difference: nine fifths of it, and no offset
            assert float(other) == pytest.approx(1.8 * float(number), rel=6e-3)
            continue
        # three figures are shown of either: less than one in two hundred off
        assert base(float(other), theirs) == pytest.approx(base(float(number), unit), rel=6e-3)


COLUMNS = (
    (
        "metal",
        "g",
        (("gold", 31.1034768), ("copper", 453.59237)),
        "troy",
        ("metal", "g", "oz t"),
        ((31.1034768, 1.0), (453.59237, "")),
    ),
    ("metal", "g", (("gold", 31.1034768), ("copper", 453.59237)), "us", None, None),
    ("drum", "litres", (("drum 1", 37.85411784),), "us", ("drum", "gal"), ((10.0,),)),
    ("drum", "kg", (("drum 1", 0.45359237),), "us", ("drum", "lb"), ((1.0,),)),
    ("gas", "hood m3/min", (("NO2", 0.028316846592),), "us", ("gas", "hood cfm"), ((1.0,),)),
    ("gas", "high L", (("NO2", 1.0),), "us", ("gas", "high L"), ((1.0,),)),
    ("melted in", "nitric, all NO, mL", (("silver", 29.5735295625),), "us", ("melted in", "nitric, all NO, fl oz"), ((1.0,),)),
    ("lot", "found, g", (("12", 3.11034768),), "troy", ("lot", "found, dwt"), ((2.0,),)),
    ("stream", "copper mg/L", (("bath", 5.0),), "us", ("stream", "copper mg/L"), ((5.0,),)),
)
"""NIST Handbook 44, Appendix C: troy ounce 31.1034768 g, pound 453.59237 g, gallon 3.785411784 L, cubic foot 28.316846592 L."""


@pytest.mark.parametrize(("first", "head", "rows", "units", "heads", "cells"), [one for one in COLUMNS if one[4]])
def test_a_column_is_told_in_other_units(
    first: str,
    head: str,
    rows: tuple[tuple[str, float], ...],
    units: str,
    heads: tuple[str, ...],
    cells: tuple[tuple[float | str, ...], ...],
) -> None:
    found = table_in(Table("a table", (first, head), rows), units)
    assert found.columns == heads
    for row, wanted in zip(found.rows, cells, strict=True):
        assert [cell if isinstance(cell, str) else pytest.approx(cell, rel=1e-12) for cell in row[1:]] == list(wanted)


@pytest.mark.parametrize(
    ("text", "units", "told"),
    [
        ("on 62.2 g gold", "troy", "on 62.2 g (2 oz t) gold"),
        ("on 1.6 / 2.1 / 2.6 g gold, 50 g copper", "troy", "on 1.6 / 2.1 / 2.6 g (1.03 / 1.35 / 1.67 dwt) gold, 50 g copper"),
        ("gold, 2.14 g expected", "troy", "gold, 2.14 g (1.38 dwt) expected"),
        ("5 g copper for the gold", "troy", "5 g copper for the gold"),
        ("12 g silver chloride", "troy", "12 g silver chloride"),
        ("a beaker of 500 mL, 60 °C at most", "us", "a beaker of 500 mL (16.9 fl oz), 60 °C (140 °F) at most"),
        ("up to 0.99 L of nitrogen dioxide", "us", "up to 0.99 L of nitrogen dioxide"),
        ("metal in acid makes hydrogen: about 9.1 L", "us", "metal in acid makes hydrogen: about 9.1 L"),
        (
            "sulfite in acid gives off sulfur dioxide, up to 0.15 L",
            "us",
            "sulfite in acid gives off sulfur dioxide, up to 0.15 L",
        ),
        ("100 mL of hydrogen peroxide", "us", "100 mL (3.38 fl oz) of hydrogen peroxide"),
        ("10 g/L and 3 mL/g", "us", "10 g/L and 3 mL/g"),
        ("a fan of 12 m3/min", "us", "a fan of 12 m3/min (424 cfm)"),
        ("42 to 43 C", "us", "42 to 43 C (108 to 109 °F)"),
        ("a pail of 20 L", "metric", "a pail of 20 L"),
    ],
)
def test_a_sentence_has_the_other_figure_behind_its_own(text: str, units: str, told: str) -> None:
    assert sentence(text, units) == told


def test_the_axes_of_a_chart_are_told_in_other_units_and_its_words_with_them() -> None:
    warm = Chart("pot", "minutes", "degC", {"at once": ((0.0, 5.0), (20.0, 60.0))}, "60 C", levels=(("60 C, pause", 60.0),))
    told = chart_in(warm, "us")
    assert (told.y, told.series["at once"][1]) == ("°F", (pytest.approx(68.0), pytest.approx(140.0)))
    assert told.levels == (("60 C (140 °F), pause", pytest.approx(140.0)),)
    assert told.finding == "60 C (140 °F)"
    dosed = Chart("pH", "caustic, g", "pH", {"pH": ((0.0, 907.18474), (1.0, 9.0))}, "", marks=(("pH 9", 453.59237),))
    told = chart_in(dosed, "us")
    assert (told.x, told.series["pH"][0], told.marks) == ("caustic, lb", (0.0, 2.0), (("pH 9", 1.0),))
    assert chart_in(dosed, "troy").x == "caustic, g"


def test_an_axis_with_two_units_has_each_curve_in_its_own() -> None:
    curves = {"free HCl, mol/L": ((0.0, 1.0), (3.0, 2.0)), "water carried off, L": ((0.0, 1.0), (0.0, 3.785411784))}
    told = chart_in(Chart("acid and water of the bath", "days of air", "mol/L; L", curves, ""), "us")
    assert told.y == "mol/L; gal"
    assert told.series == {"free HCl, mol/L": curves["free HCl, mol/L"], "water carried off, gal": ((0.0, 1.0), (0.0, 1.0))}


def test_the_unit_of_an_axis_is_the_one_that_stands_last() -> None:
    drawn = Chart(
        "pH against caustic", "caustic of 1 mol/L into 25 mL of liquor, mL", "pH", {"pH": ((0.0, 59.147059125), (1.0, 9.0))}, ""
    )
    told = chart_in(drawn, "us")
    assert told.x == "caustic of 1 mol/L into 25 mL of liquor, fl oz"
    assert told.series["pH"][0] == (0.0, pytest.approx(2.0))
