"""`refinekit check`: the program's own figures beside those of outside sources."""

from __future__ import annotations

from refinekit.bench.step import Table
from refinekit.cli.desk import desk_of_look
from refinekit.cli.options import Csv, Json
from refinekit.show.document import Document

APART = 1
"""Exit code where a figure lies further from its source than it may."""
COLUMNS = ("what", "unit", "ours", "outside", "difference", "at most", "holds", "source")


def run(json: Json = False, csv: Csv = False) -> int:
    """This program's figures beside outside ones: facts, equations, published cases.

    Exit code 1 where one lies further off than it may.

    Example: refinekit check
    """
    from refinekit.shop.check import checks

    desk = desk_of_look("check", json=json, csv=csv)
    found = checks()
    rows = tuple(
        (one.about, one.unit, one.ours, one.outside, one.difference, one.within, "yes" if one.holds else "NO", one.source)
        for one in found
    )
    apart = [one.about for one in found if not one.holds]
    said = f"{len(found) - len(apart)} of {len(found)} figures agree with their outside source within the tolerance beside them"
    lines = (("result", said), *(("further apart than they may", about) for about in apart))
    desk.show(Document.of("check", (), sections=(Table("Validation", COLUMNS, rows),), lines=lines, figures=6))
    return APART if apart else 0
