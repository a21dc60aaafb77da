"""The sheet on paper, in black and white, by key, by ear, and in the colours its reader chose."""

import re
from itertools import pairwise

import pytest

from tests.show.sheets import EXAMPLES, Open, Sheets

PAPERS = {"A4": (186, 273), "Letter": (191.9, 255.4)}
"""Width and height of a page within margins of 12 mm [mm]: 210 x 297 and 215.9 x 279.4."""
UPRIGHT = ("rgb(85, 85, 85)", "rgb(176, 0, 0)")
"""Lines that point at a place, each with its words: no curves."""
PX_PER_MM = 96 / 25.4


def pages(pdf: bytes) -> int:
    """Pages of a PDF, by its own count of them."""
    return max(
        int(number)
        for number in re.findall(rb"/Type\s*/Pages[^>]*?/Count\s+(\d+)|/Count\s+(\d+)", pdf)
        for number in number
        if number
    )


@pytest.mark.parametrize("paper", PAPERS)
def test_a_step_is_never_cut_where_it_fits_a_page_and_its_name_stands_on_each_page_where_it_does_not(
    paper: str, opened: Open
) -> None:
    page, _ = opened("short")
    wide, tall = PAPERS[paper]
    page.set_viewport_size({"width": round(wide * PX_PER_MM), "height": 1000})
    page.emulate_media(media="print")
    steps = page.evaluate(
        """[...document.querySelectorAll('.step')].map(one => ({name: one.querySelector('h2').textContent,
        tall: one.getBoundingClientRect().height, inside: getComputedStyle(one).breakInside,
        head: getComputedStyle(one.querySelector('h2')).display}))"""
    )
    assert {one["inside"] for one in steps} == {"avoid"}
    assert {one["head"] for one in steps} == {"table-header-group"}  # what a browser puts at the head of every page
    long = [one["name"] for one in steps if one["tall"] > tall * PX_PER_MM]
    assert len(long) <= len(steps) / 2, long
    assert pages(page.pdf(format=paper)) <= 2 * len(steps) + 4


@pytest.mark.parametrize("block", [".caution", ".stop-if", ".ends", ".grid tr", "figure", "li", "dl"])
def test_no_caution_line_table_row_or_picture_is_cut_by_the_edge_of_a_page(block: str, opened: Open) -> None:
    """A long part of a step may go on overleaf between its lines: half a page left empty sends the reader there for nothing."""
    page, _ = opened("short")
    page.emulate_media(media="print")
    found = page.locator(block)
    assert found.count() > 1
    assert set(found.evaluate_all("all => all.map(one => getComputedStyle(one).breakInside)")) == {"avoid"}


@pytest.mark.parametrize("heading", ["h2", "h3", "dt", "caption", "thead", ".figure-title"])
def test_no_heading_is_left_at_the_foot_of_a_page(heading: str, opened: Open) -> None:
    page, _ = opened("short")
    page.emulate_media(media="print")
    found = page.locator(f"main {heading}:visible")
    assert found.count() > 1
    assert set(found.evaluate_all("all => all.map(one => getComputedStyle(one).breakAfter)")) == {"avoid"}


def test_on_paper_everything_is_black_and_what_only_a_screen_needs_is_gone(opened: Open) -> None:
    page, _ = opened("short")
    page.emulate_media(media="print")
    colours = page.evaluate("[...new Set([...document.querySelectorAll('body *')].filter(one => !one.closest('svg')).map("
                            "one => getComputedStyle(one).color))]")  # fmt: skip
    assert colours == ["rgb(0, 0, 0)"]
    for gone in ("nav", "#save", ".skip", "footer"):
        assert not page.locator(gone).is_visible()
    sizes = page.evaluate("[...document.querySelectorAll('.caution p, .take span:last-child, .stop-if li')].map("
                          "one => parseFloat(getComputedStyle(one).fontSize))")  # fmt: skip
    assert min(sizes) >= 11 * 96 / 72  # eleven points and up where it is read with a hand on the beaker


@pytest.mark.parametrize("name", ["short", "ammonia-drop"])
def test_a_level_of_caution_and_a_gas_over_its_limit_are_told_apart_without_colour(name: str, opened: Open) -> None:
    page, _ = opened(name)
    looks = page.evaluate(
        """[...document.querySelectorAll('main > section .caution')].map(one => [one.querySelector('.word').textContent,
        getComputedStyle(one).borderLeftWidth + getComputedStyle(one).borderTopStyle])"""
    )
    by_level = {level: {look for word, look in looks if word == level} for level, _ in looks}
    assert len(by_level) > 1
    assert all(len(found) == 1 for found in by_level.values())
    assert len(set.union(*by_level.values())) == len(by_level)
    bars = page.locator("figure", has_text="Gas of each step").locator("svg")
    assert bars.locator("pattern").count() > 0  # hatched where it is over its limit
    for curve in page.locator("figure svg").all():
        drawn = curve.locator("g[id*=line2d_] > path[clip-path]").evaluate_all(
            "all => all.map(one => [one.style.stroke, one.style.strokeDasharray])"
        )
        seen = {(colour, dashes) for colour, dashes in drawn if colour not in UPRIGHT}
        assert len({dashes for _, dashes in seen}) == len(seen)  # each curve with a stroke of its own


def test_the_colours_a_reader_chose_are_kept(opened: Open) -> None:
    page, _ = opened("short", forced_colors="active", color_scheme="dark")
    back, ink = page.evaluate("(() => { const style = getComputedStyle(document.querySelector('.step h2'));"
                              "return [getComputedStyle(document.body).backgroundColor, style.color] })()")  # fmt: skip
    assert ink == "rgb(255, 255, 255)"
    assert back in ("rgb(0, 0, 0)", "rgba(0, 0, 0, 0)")
    box = page.locator("input[type=checkbox]").first
    assert box.evaluate("box => getComputedStyle(box).borderTopColor") == "rgb(255, 255, 255)"
    figure = page.locator("figure").first
    assert figure.evaluate("one => getComputedStyle(one).backgroundColor") == "rgb(255, 255, 255)"  # dark curves stay on white


def test_every_tick_box_and_blank_is_reached_by_key_in_the_order_of_the_page(opened: Open) -> None:
    page, _ = opened("short")
    boxes = page.locator("input")
    boxes.first.focus()
    for number in range(30):  # the head, the list of checks, and a step with its pours
        at = boxes.nth(number)
        if number == 4:  # the links to the steps stand between the head and the first box
            at.focus()
        assert at.evaluate("one => one === document.activeElement"), number
        assert at.evaluate("one => getComputedStyle(one).outlineStyle") == "solid"
        if at.get_attribute("type") == "checkbox":
            page.keyboard.press("Space")
            assert at.is_checked()
        page.keyboard.press("Tab")


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_page_is_found_through_by_landmark_heading_and_table_header(name: str, opened: Open, sheets: Sheets) -> None:
    page, _ = opened(name)
    assert [page.locator(one).count() for one in ("header", "nav", "main", "footer", "h1")] == [1, 1, 1, 1, 1]
    assert page.locator("article").count() == len(sheets[name][1]["steps"])
    levels = page.evaluate("[...document.querySelectorAll('h1, h2, h3')].map(one => Number(one.tagName[1]))")
    assert all(after - before <= 1 for before, after in pairwise(levels))
    tables = page.evaluate(
        """[...document.querySelectorAll('table')].map(one => [one.caption.textContent, one.tHead.rows[0].cells.length,
        [...one.tBodies[0].rows].every(row => row.cells.length === one.tHead.rows[0].cells.length
            && row.cells[0].scope === 'row'), [...one.tHead.rows[0].cells].every(cell => cell.scope === 'col')])"""
    )
    assert all(caption.strip() and columns and rows and heads for caption, columns, rows, heads in tables)
    labels = page.evaluate(
        "[...document.querySelectorAll('input')].map(one => one.ariaLabel || one.labels[0]?.textContent.trim())"
    )
    assert all(labels)
    written = page.evaluate("[...document.querySelectorAll('input.blank')].map(one => one.ariaLabel)")
    assert len(set(written)) == len(written)  # no two blanks sound the same
