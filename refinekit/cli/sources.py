"""`refinekit sources`: where a number comes from."""

from __future__ import annotations

from typing import Annotated

import typer

from refinekit.bench.step import Table
from refinekit.cli.desk import desk_of_look
from refinekit.cli.options import Csv, Json
from refinekit.errors import UnknownName
from refinekit.facts.search import find, quantity, words
from refinekit.nearest import did_you_mean
from refinekit.show.document import Document

MOST_SHOWN = 40
"""Hits shown on a screen; JSON and CSV give them all."""


def run(
    word: Annotated[
        list[str] | None,
        typer.Argument(
            help="a word, a formula, a figure with its unit as it is shown, or a source's key; none for all", metavar="WORD"
        ),
    ] = None,
    json: Json = False,
    csv: Csv = False,
) -> int:
    """Where a number comes from.

    Example: refinekit sources "free acid"
    """
    phrase = " ".join(word or [])[:100]
    hits = find(phrase)
    if not hits:
        if quantity(phrase) or phrase[:1].isdigit():
            cure = "a figure of an answer is reckoned: its command with --show-working names the facts under it"
            raise UnknownName(f"no fact has the figure {phrase!r}", cure=cure)
        raise UnknownName(
            f"no fact and no source speaks of {phrase!r}",
            cure=did_you_mean(phrase, words(), "one plain word, as in: refinekit sources nitric"),
        )
    desk = desk_of_look("sources", json=json, csv=csv)
    shown = hits if json or csv else hits[:MOST_SHOWN]
    rows = tuple((hit.id, hit.text, hit.about, hit.confidence, f"{hit.citation} {hit.where}".strip()) for hit in shown)
    more = () if len(shown) == len(hits) else (("more", f"{len(hits) - len(shown)} further hits: add a word, or --json for all"),)
    table = Table("Facts and sources", ("fact", "figure", "what it is", "how it is known", "source"), rows)
    return desk.show(Document.of("sources", (), inputs={"word": phrase}, sections=(table,), lines=more))
