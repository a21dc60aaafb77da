"""Every figure on the page is the JSON's: pours, needs, gases, figures, tables, and the lengths and widths that are drawn."""

import math
import re
from typing import Any

import periodictable
import pytest
from playwright.sync_api import Page

from tests.show.sheets import EXAMPLES, Open, Sheets

PLANS = (*EXAMPLES, "hostile")
SIZES = {"ug": 1e-6, "mg": 1e-3, "g": 1.0, "kg": 1e3, "nL": 1e-6, "uL": 1e-3, "mL": 1.0, "L": 1e3, "umol": 1e-6, "mmol": 1e-3,
         "mol": 1.0}  # fmt: skip
ENDS = ("low", "likely", "high")
AMOUNTS = ("gone in",)
"""Columns of these pages whose unit stands in a column of its own in the JSON."""
LEAST = 0.01
"""More than any figure that is told as less than can be read, in its own unit [-]."""
CLOSE = 0.006
"""Three figures: at most half of one in a hundred off, and a little for the rounding of binary figures [-]."""


def signed(text: str) -> str:
    """A sentence with the sign of a degree, as everything a person reads has it."""
    return re.sub(r"degC\b|(?<=\d )C\b", "°C", text)


def same_range(text: str, told: dict[str, Any], unit: str = "") -> None:
    """A range as printed is the range of the JSON, to three figures and to the size of its unit."""
    want = unit or told.get("unit", "")
    number, _, shown = text.replace("*", "").removeprefix("under ").partition(" ")
    (size, _, per), (told_size, _, told_per) = shown.partition("/"), want.partition("/")
    assert per == told_per, text
    assert size in SIZES or size == {"C": "°C", "degC": "°C", "money": "", "pH": ""}.get(told_size, told_size), text
    factor = SIZES[size] / SIZES[told_size] if told_size in SIZES else 1.0
    parts = re.split("(?<=[0-9])[–/]", number)
    if text.startswith("under"):
        assert 0 < told["high"] < float(parts[0]) * factor, text
        return
    for part, end in zip(parts * (3 // len(parts)), ENDS, strict=True):
        if part.startswith("<"):  # a trace: less than the last place of the high end, or than what can be read at all
            assert 0 < told[end] < float(part[1:]) * factor <= max(told["high"] / 100, LEAST * factor), text
        else:
            assert float(part) * factor == pytest.approx(told[end], rel=CLOSE), text


def same_cell(text: str, told: Any, head: str = "", unit: str = "") -> None:
    """A cell of a table: text as it is, a figure to three figures, with its unit where its row has one; a pH to a tenth."""
    if unit and head in AMOUNTS:
        same_range(text, dict.fromkeys(ENDS, told), unit)
    elif isinstance(told, str):
        assert text.split() == signed(told).split()
    elif isinstance(told, dict):
        same_range(text, told)
    elif text.startswith("under"):
        assert 0 < told < float(text.split()[1])
    elif "pH" in head.split():
        assert float(text) == pytest.approx(told, abs=0.05001)
    else:
        assert float(text) == pytest.approx(told, rel=CLOSE)


def rows(page: Page, where: str) -> list[list[str]]:
    """The rows of the tables found, each cell without the heading a narrow screen puts before it."""
    return page.evaluate(
        """where => [...document.querySelectorAll(where)].flatMap(table => [...table.tBodies[0].rows]).map(row =>
        [...row.cells].map(cell => { const own = cell.cloneNode(true); own.querySelectorAll('.head').forEach(one => one.remove());
            return own.textContent.trim() }))""",
        where,
    )


@pytest.mark.parametrize("name", PLANS)
def test_every_pour_is_the_one_of_the_json(name: str, opened: Open, sheets: Sheets) -> None:
    page, _ = opened(name)
    for number, step in enumerate(sheets[name][1]["steps"], start=1):
        shown = rows(page, f"#step-{number} .pour table")
        assert len(shown) == len(step["reagents"])
        for (what, take, _, bare, excess, because), one in zip(shown, step["reagents"], strict=True):
            assert what.startswith(one["name"])
            assert one["when"] in what
            figure, unit = take.split()
            assert (float(figure), unit) == (pytest.approx(one["measure_out"]["figure"]), one["measure_out"]["unit"])
            assert excess == (one["excess"] or "none")
            assert because == one["sized_on"]
            if one["bare"]["high"]:
                same_range(bare, one["bare"], one["unit"])
            else:
                assert bare == "none"


@pytest.mark.parametrize("name", PLANS)
def test_every_gas_is_the_one_of_the_json_with_what_the_room_holds_of_it_and_its_limit(
    name: str, opened: Open, sheets: Sheets
) -> None:
    page, _ = opened(name)
    data = sheets[name][1]
    fume = {(row[0], row[1]): row for one in data["tables"] if one["title"] == "Fume by step" for row in one["rows"]}
    for number, step in enumerate(data["steps"], start=1):
        shown = rows(page, f'#step-{number} section[aria-label$=": gas"] table')
        assert len(shown) == len(step["gases"])
        for (gas, litres, how_fast, ppm, limit, because), one in zip(shown, step["gases"], strict=True):
            assert gas.endswith(f", {one['formula']}")
            same_range(litres, one["litres"], "L")
            assert because == one["sized_on"]
            if one["peak_l_per_min"]:
                assert float(how_fast.split()[0]) == pytest.approx(one["peak_l_per_min"], rel=CLOSE)
            room = fume[step["name"], one["formula"]]
            same_cell(ppm, room[4])
            same_cell(limit, room[5])


@pytest.mark.parametrize("name", PLANS)
def test_every_figure_of_every_step_is_the_one_of_the_json(name: str, opened: Open, sheets: Sheets) -> None:
    page, _ = opened(name)
    for number, step in enumerate(sheets[name][1]["steps"], start=1):
        shown = rows(page, f'#step-{number} section[aria-label$=": figures"] table')
        names = [key.replace("_", " ").replace("smb", "metabisulfite") for key in step["answers"]]
        assert [row[0].lower() for row in shown] == names
        for (_, text, _), one in zip(shown, step["answers"].values(), strict=True):
            same_range(text, one)


def filled(table: dict[str, Any], row: list[Any]) -> tuple[list[str], list[Any]]:
    """Headings and cells of a row, without columns in which no row has anything."""
    kept = [at for at in range(len(row)) if any(one[at] != "" for one in table["rows"])]
    return [table["columns"][at] for at in kept], [row[at] for at in kept]


@pytest.mark.parametrize("name", PLANS)
def test_every_table_is_the_one_of_the_json(name: str, opened: Open, sheets: Sheets) -> None:
    page, _ = opened(name)
    data = sheets[name][1]
    of_steps = [one for step in data["steps"] for one in step["tables"]]
    own = [one for one in data["tables"] if one not in of_steps]
    for where, tables in (("article > .grid table", of_steps), (".whole > .grid table", own)):
        told = [one for one in tables if one["rows"]]
        captions = page.locator(where).locator("caption").all_inner_texts()
        assert captions == [signed(one["title"]) for one in told]
        shown = rows(page, where)
        want = [filled(one, row) for one in told for row in one["rows"]]
        assert len(shown) == len(want)
        for texts, (columns, cells) in zip(shown, want, strict=True):
            units = [cell for head, cell in zip(columns, cells, strict=True) if head == "unit"]
            others = [(head, cell) for head, cell in zip(columns, cells, strict=True) if head != "unit"]
            for text, (head, cell) in zip(texts, others, strict=True):
                same_cell(text, cell, head, *units)


# ---- what is drawn
def box(path: str) -> tuple[float, float, float, float]:
    """Left, right, top and bottom of a path of straight lines."""
    points = [(float(x), float(y)) for x, y in re.findall(r"[ML] (-?[\d.]+) (-?[\d.]+)", path)]
    across, down = zip(*points, strict=True)
    return min(across), max(across), min(down), max(down)


def drawn(page: Page, title: str) -> list[tuple[float, float, float, float]]:
    """The filled shapes of a picture, in the order they were drawn, without its ground."""
    paths = page.locator("figure", has=page.get_by_text(title, exact=False)).locator("svg g[id*=axes_] > g[id*=patch_] > path")
    filled = paths.evaluate_all("all => all.filter(one => one.style.fill !== 'none').map(one => one.getAttribute('d'))")
    return [box(path) for path in filled]


def words(page: Page, title: str) -> list[str]:
    """The words of a picture."""
    return page.locator("figure", has=page.get_by_text(title, exact=False)).locator("svg text").all_text_contents()


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_bar_of_each_gas_is_as_long_as_its_figure_by_powers_of_ten(name: str, opened: Open, sheets: Sheets) -> None:
    page, _ = opened(name)
    fume = next(one["rows"] for one in sheets[name][1]["tables"] if one["title"] == "Fume by step")
    fume = [row for row in fume if isinstance(row[2], dict)]
    in_room = any(not isinstance(row[4], str) and row[4] for row in fume)
    values = [row[4] if in_room else row[2]["high"] for row in fume]
    texts = words(page, "Gas of each step")
    names = [f"{row[0]}  {row[1]}" for row in fume]
    assert [one for one in texts if one in names] == names
    numbers = [float(one) for one in texts[-len(fume) :]]
    assert numbers == [pytest.approx(value, rel=CLOSE) for value in values]
    bars = [one for one in drawn(page, "Gas of each step") if one[1] > one[0]][-len(fume) :]
    ends = [right for _, right, _, _ in bars]
    (low, near), (high, far) = min(zip(values, ends, strict=True)), max(zip(values, ends, strict=True))
    for value, end in zip(values, ends, strict=True):
        share = math.log(value / low) / math.log(high / low) if high > low else 0.0
        assert end == pytest.approx(near + share * (far - near), abs=0.01)
    if in_room:
        told = page.locator("figure", has_text="Gas of each step").locator("figcaption").inner_text()
        for row in fume:
            if not isinstance(row[5], str):
                over = told.split("Under it:")[0]
                assert (f"{row[1]} of {row[0]}:" in over) == (row[4] > row[5])


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_bar_of_each_input_is_as_long_as_it_moves_the_answer(name: str, opened: Open, sheets: Sheets) -> None:
    page, _ = opened(name)
    told = [row for one in sheets[name][1]["tables"] if one["title"] == "What it hangs on most" for row in one["rows"]]
    assert bool(told) == (page.get_by_text("What the answer hangs on").count() > 0)
    if not told:
        return
    texts = words(page, "What the answer hangs on")
    assert [one for one in texts if one in [row[2] for row in told]] == [row[2] for row in told]
    bars = [right - left for left, right, _, _ in drawn(page, "What the answer hangs on")][-len(told) :]
    most: dict[str, float] = {}
    for row in told:
        most[row[0]] = max(most.get(row[0], 0.0), abs(float(row[2].split()[0])))
    longest = max(bars)
    for row, length in zip(told, bars, strict=True):
        assert length / longest == pytest.approx(abs(float(row[2].split()[0])) / most[row[0]], rel=1e-3)


def grams_of(element: str, pot: dict[str, Any]) -> float:
    """Grams of an element in a pot of the JSON, by the formulas and masses of another library."""
    grams = 0.0
    for species, amount in (*pot["dissolved_mol"].items(), *pot["solids_mol"].items()):
        mol = amount["likely"] if isinstance(amount, dict) else amount
        atoms = periodictable.formula(species.partition("^")[0].partition("(aq)")[0]).atoms
        grams += mol * sum(count * atom.mass for atom, count in atoms.items() if str(atom) == element)
    return grams


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_metal_flows_as_wide_as_its_grams_and_every_loss_is_named(name: str, opened: Open, sheets: Sheets) -> None:
    page, _ = opened(name)
    data = sheets[name][1]
    if data["stopped"]:
        assert page.get_by_text("widths to scale").count() == 0
        return
    told = {pot["name"]: grams_of("Au", pot) for pot in data["pots"]}
    metal = "gold" if max(told.values()) > 1e-6 else "silver"
    if metal == "silver":
        told = {pot["name"]: grams_of("Ag", pot) for pot in data["pots"]}
    told = {pot: grams for pot, grams in told.items() if grams > 1e-6}
    finding = page.locator("figure", has_text="widths to scale").locator("figcaption").inner_text()
    assert f" of {metal}." in finding
    shown = {}
    for text in words(page, "widths to scale"):
        if found := re.fullmatch(r"(.+)  ([\d.e-]+)(?:–([\d.e-]+)–[\d.e-]+)? ([mu]?g|kg)", text):
            shown[found[1]] = float(found[3] or found[2]) * SIZES[found[4]]
            assert found[1] in finding
    assert shown == {pot: pytest.approx(grams, rel=CLOSE) for pot, grams in told.items()}
    shapes = drawn(page, "widths to scale")
    whole = max(right - left for left, right, _, _ in shapes[:1])
    branches = [bottom - top for left, right, top, bottom in shapes[1:-1:2]]
    *losses, end = [told[pot] for pot in shown]
    assert [one / whole for one in branches] == [pytest.approx(grams / sum(told.values()), abs=1e-4) for grams in losses]
    left, right, *_ = shapes[-1]
    assert (right - left) / whole == pytest.approx(end / sum(told.values()), abs=1e-4)


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_each_curve_says_is_what_the_json_says_of_it(name: str, opened: Open, sheets: Sheets) -> None:
    page, _ = opened(name)
    told = [(step["name"], one) for step in sheets[name][1]["steps"] for one in step["charts"]]
    for step, one in told:
        figure = page.locator("figure", has=page.get_by_text(f"{step}: {one['title']}", exact=True))
        assert figure.locator("figcaption").inner_text().split() == signed(one["finding"]).split()
        assert {line["name"] for line in one["series"]} <= set(figure.locator("svg text").all_text_contents()) or len(
            one["series"]
        ) == 1


def test_the_pictures_of_a_page_are_told_in_the_units_of_its_tables(opened: Open) -> None:
    for name, degree, weight, caustic in (("us", "°F", "oz t", "oz av"), ("karat", "°C", "g", "g")):
        page, _ = opened(name)
        warm = page.locator("figure", has_text="part: temperature of the pot against time").locator("svg")
        assert f"temperature, {degree}" in warm.text_content()
        flow = page.locator("figure", has_text="Where the gold goes").locator("figcaption").inner_text()
        assert re.match(rf"button ends with [\d.–]+ {weight} of gold\.", flow), flow
        dosed = page.locator("figure", has_text="neutralise: pH against sodium hydroxide pearls").locator("svg").first
        assert f"sodium hydroxide pearls, {caustic}" in dosed.text_content()


def test_a_gas_is_in_litres_whatever_the_units_of_the_page(opened: Open) -> None:
    page, _ = opened("us")
    said = page.locator("main > section").first.inner_text()
    assert re.search(r"hydrogen: about [\d.]+ L \[", said), said
    assert not re.search(r"L \([\d.]+ (?:fl oz|gal)\) of (?:nitrogen|sulfur)", said)
