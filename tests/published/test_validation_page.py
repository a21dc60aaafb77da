"""The validation table of `refinekit check` as a page of the tests' output: build/validation.md."""

from contextlib import suppress
from pathlib import Path

import pytest

from refinekit import __version__
from refinekit.shop.check import Check, checks

PAGE = Path(__file__).resolve().parents[2] / "build" / "validation.md"
COLUMNS = ("what", "our value", "outside value", "difference", "at most", "unit", "holds", "source")


def row(one: Check) -> str:
    """A check as a line of a Markdown table."""
    figures = (f"{figure:.6g}" for figure in (one.ours, one.outside, one.difference, one.within))
    cells = (one.about, *figures, one.unit, "yes" if one.holds else "NO", one.source)
    return f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |"


def page(found: tuple[Check, ...]) -> str:
    """All checks as a page of Markdown."""
    said = f"{sum(one.holds for one in found)} of {len(found)} figures agree with their outside source within the tolerance."
    head = (f"# refinekit {__version__}: our figures beside outside ones", "", said, "")
    return "\n".join((*head, f"| {' | '.join(COLUMNS)} |", "|---" * len(COLUMNS) + "|", *map(row, found))) + "\n"


@pytest.fixture(scope="module")
def found() -> tuple[Check, ...]:
    """Every check, reckoned once."""
    return checks()


def test_every_figure_stands_on_the_page_with_its_source(found: tuple[Check, ...]) -> None:
    text = page(found)
    with suppress(OSError):  # a tree that may only be read has no page, and loses nothing else by it
        PAGE.parent.mkdir(exist_ok=True)
        PAGE.write_text(text, encoding="utf-8")
    lines = text.splitlines()[6:]
    assert len(lines) == len(found) > 50
    assert all(line.count("|") == len(COLUMNS) + 1 for line in lines)
    assert all(one.source for one in found)


def test_every_figure_agrees(found: tuple[Check, ...]) -> None:
    assert [row(one) for one in found if not one.holds] == []


def test_a_figure_too_far_off_is_seen_on_the_page() -> None:
    off = Check("x", "density | of water", 0.9, 0.99705, "g/mL", 0.001, "a handbook")
    text = page((off,))
    assert "0 of 1 figures agree" in text
    assert text.endswith("| density / of water | 0.9 | 0.99705 | -0.09705 | 0.001 | g/mL | NO | a handbook |\n")
