"""The flow of the gold through a run: the trunk it goes down, and what leaves it at which step, every width to scale."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any

from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.ranges import Range, likely
from refinekit.record import record
from refinekit.show.convert import range_in
from refinekit.show.document import Document
from refinekit.show.sheet_picture import HATCH, INK, PALE, WIDE_IN, Picture, picture
from refinekit.show.text import on_page

METALS = (("Au", "gold"), ("Ag", "silver"))
"""What is followed: the first of which there is any to speak of."""
SPECK_G = 1e-6
"""Grams under which nothing is drawn."""
SAME = 1e-6
"""Relative difference under which two amounts are the same metal under two names."""
ROW = 0.75
"""Height of a row of the drawing, the whole trunk being 1 wide: no two losses of a third each touch."""
LEFT, RIGHT, HEAD, FOOT = -1.4, 5.4, 0.7, 0.7
"""Room for words around the trunk, in the same units."""


@record
class Leaf:
    """Where some of the metal ends up.

    Args:
        pot: its pot [text]
        grams: how much [g]
        at: the step at which it left the trunk; for the trunk's own end, the last step that made it [text]
    """

    pot: str
    grams: Range
    at: str


def leaves(document: Document, element: str) -> tuple[Leaf, ...]:
    """Where the metal ends up, in the order it leaves the trunk; the trunk's own end last.

    Args:
        document: the answer of a plan
        element: Au or Ag
    Returns: none where it cannot be followed, or there is none
    """
    steps = [step for step in document.steps if step.pots and step.name.split(" ")[0] != "account"]
    ends = [(pot, Range.over(pot.element_g(element))) for pot in document.pots]
    ends = [(pot, grams) for pot, grams in ends if grams.likely > SPECK_G]
    if not ends or not steps:
        return ()
    trunk_end = max(ends, key=lambda pair: pair[1].likely)
    trunk = line_of(steps, trunk_end[0], element)
    found = [Leaf(pot.name, grams, parted(steps, pot, trunk, element)) for pot, grams in ends if pot is not trunk_end[0]]
    order = [step.name for step in steps]
    found.sort(key=lambda leaf: order.index(leaf.at))
    return (*found, Leaf(trunk_end[0].name, trunk_end[1], trunk[0].name))


def line_of(steps: Sequence[Step], pot: Pot, element: str) -> list[Step]:
    """The steps a pot's metal came through, last first: at each, into the pot that brought most of it."""
    at = made_at(steps, pot.name, pot, element)
    line: list[Step] = []
    while at is not None:
        step = steps[at]
        line.append(step)
        brought = max(step.before, key=lambda one: likely(one.element_g(element)), default=None)
        at = made_at(steps[:at], brought.name, brought, element) if brought is not None else None
    return line


def made_at(steps: Sequence[Step], name: str, pot: Pot, element: str) -> int | None:
    """The last step that left this pot: by its name, with a number where two were called alike, and by what is in it."""
    base, _, number = name.rpartition(" ")
    names = {name, base} if number.isdigit() else {name}
    grams = likely(pot.element_g(element))
    for at in reversed(range(len(steps))):
        for one in steps[at].pots:
            if one.name in names and abs(likely(one.element_g(element)) - grams) <= SAME * max(grams, SPECK_G):
                return at
    return None


def parted(steps: Sequence[Step], pot: Pot, trunk: Sequence[Step], element: str) -> str:
    """The step at which a pot's metal left the trunk."""
    on_trunk = {step.name for step in trunk}
    return next((step.name for step in line_of(steps, pot, element) if step.name in on_trunk), steps[0].name)


def flow(document: Document, units: str) -> Picture | None:
    """The picture; None where there is nothing to follow."""
    if document.stopped or len(document.steps) < 2:
        return None
    for element, metal in METALS:
        found = leaves(document, element)
        if found:
            title = f"Where the {metal} goes, widths to scale"
            tall = (HEAD + FOOT - bottom_of(found)) * WIDE_IN / (RIGHT - LEFT)  # as high for a unit as it is wide
            return picture("flow", title, said(metal, found, units), tall, partial(paint, metal=metal, found=found, units=units))
    return None


def said(metal: str, found: Sequence[Leaf], units: str) -> str:
    """What the picture says."""
    end = found[-1]
    lost = "; ".join(f"{leaf.pot} {range_in(leaf.grams, 'g', metal, units)}, at {leaf.at}" for leaf in found[:-1])
    line = f"{end.pot} ends with {range_in(end.grams, 'g', metal, units)} of {metal}."
    return on_page(f"{line} What leaves on the way: {lost}." if lost else line)


def bottom_of(found: Sequence[Leaf]) -> float:
    """Where the trunk ends, in its own widths below its top."""
    return -ROW * (len(found) + 0.6)


def paint(axes: Any, metal: str, found: Sequence[Leaf], units: str) -> None:
    """The trunk from the top down, each loss to the right of it at its own row."""
    total = sum(leaf.grams.likely for leaf in found)
    widths = [leaf.grams.likely / total for leaf in found]
    left, bottom = 0.0, bottom_of(found)
    axes.text(left, 0.12, f"{metal} of the lot", va="bottom", ha="left", weight="bold")
    edge, top = 1.0, 0.0
    for number, (leaf, width) in enumerate(zip(found[:-1], widths[:-1], strict=True), start=1):
        row = -ROW * number
        trunk_piece(axes, left, edge, top, row - width / 2)
        axes.fill(
            [edge - width, 1.5, 1.5, edge - width],
            [row - width / 2, row - width / 2, row + width / 2, row + width / 2],
            facecolor=PALE,
            edgecolor=INK,
            linewidth=1.0,
            hatch=HATCH,
        )
        axes.text(1.6, row, on_page(f"{leaf.pot}  {range_in(leaf.grams, 'g', metal, units)}"), va="center", ha="left")
        axes.text(-0.1, row, on_page(leaf.at), va="center", ha="right")
        edge, top = edge - width, row - width / 2
    trunk_piece(axes, left, edge, top, bottom)
    end = found[-1]
    axes.text(
        left, bottom - 0.12, on_page(f"{end.pot}  {range_in(end.grams, 'g', metal, units)}"), va="top", ha="left", weight="bold"
    )
    axes.text(-0.1, bottom + 0.15, on_page(end.at), va="bottom", ha="right")
    axes.set(xlim=(LEFT, RIGHT), ylim=(bottom - FOOT, HEAD), aspect="equal")  # a branch as thick as the trunk it was part of
    axes.set_axis_off()


def trunk_piece(axes: Any, left: float, right: float, top: float, bottom: float) -> None:
    """A length of the trunk."""
    axes.fill([left, right, right, left], [top, top, bottom, bottom], facecolor=PALE, edgecolor=INK, linewidth=1.0)
