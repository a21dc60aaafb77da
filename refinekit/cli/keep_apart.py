"""`refinekit keep-apart`: may these two meet?"""

from __future__ import annotations

from typing import Annotated

import typer

from refinekit.bench.step import Table
from refinekit.cli.desk import desk_of_look, open_text
from refinekit.cli.options import Csv, Json, Units, Working
from refinekit.errors import BadQuantity
from refinekit.show.document import Document


def run(
    things: Annotated[
        list[str] | None,
        typer.Argument(help='two names, formulas or plain words, as in "spent scrubber" acid', metavar="A B", show_default=False),
    ] = None,
    pot: Annotated[
        list[str] | None,
        typer.Option("--pot", help="pots to hold together, or to name as A or B: a JSON file, or -", show_default=False),
    ] = None,
    json: Json = False,
    csv: Csv = False,
    show_working: Working = False,
    units: Units = None,
) -> int:
    """May these two meet? What forms, and what to do instead.

    An answer of "stop" is an answer: the command ends with 0. A name nobody knows ends with 2, and is never called safe.

    Example: refinekit keep-apart bleach ammonia
    """
    from refinekit.safety.from_step import vessel
    from refinekit.safety.keep_apart import as_vessel, meet_pots, meet_words, refusals_of
    from refinekit.safety.substances import find
    from refinekit.shop.potfile import read_pots
    from refinekit.shop.worlds import together

    desk = desk_of_look("keep-apart", json=json, csv=csv, working=show_working, units=units)
    words = list(things or ())
    vessels = [vessel(one) for one in together(*(read_pots(*open_text(path)) for path in pot or ()))]
    by_name = {one.name: one for one in vessels}
    if not words and len(vessels) == 2:
        words = list(by_name)
    elif len(words) == 1 and len(vessels) == 1:
        words.append(vessels[0].name)
    if len(words) != 2:
        raise BadQuantity(
            f"keep-apart holds two things together, {len(words)} were given", cure='refinekit keep-apart "spent scrubber" acid'
        )
    first, second = words
    if first in by_name or second in by_name:
        held = [by_name[word] if word in by_name else as_vessel(find(word)) for word in words]
        asked_for = [find(word) for word in words if word not in by_name]
        meeting = meet_pots(held[0], held[1], [by_name[word] for word in words if word in by_name])
        meeting = meeting.refusing(refusals_of(asked_for))
    else:
        meeting = meet_words(first, second)
    rows = tuple((one.level, one.code, one.text, one.do) for one in meeting.notices)
    table = Table("What forms", ("level", "code", "what happens", "do instead"), rows)
    lines = [("answer", meeting.answer)]
    for word, taken in ((first, meeting.first), (second, meeting.second)):
        if word not in by_name and taken.lower() != word.lower():
            lines.append(("read as", f"{word}: {taken}"))
    document = Document.of(
        "keep-apart",
        title=f"{meeting.first} and {meeting.second}",
        notices=meeting.notices,
        inputs={"first": first, "second": second},
        sections=(table,) if rows and (json or csv) else (),
        lines=lines,
    )
    return desk.show(document)
