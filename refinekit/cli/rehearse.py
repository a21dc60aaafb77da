"""`refinekit rehearse`: the same plan with what-if changes, side by side."""

from __future__ import annotations

from typing import Annotated

import typer

from refinekit.cli.desk import desk_of_look, open_text
from refinekit.cli.options import Csv, Json, Units, Working
from refinekit.show.document import Document


def run(
    file: Annotated[str, typer.Argument(help="a batch file, or - for the pipe", metavar="FILE")],
    change: Annotated[
        list[str] | None,
        typer.Option(
            "--change",
            help='what becomes what, as shelf.nitric.strength="65 %"; a step as leach.air; ; between those that go together',
            metavar="PATH=VALUE",
            show_default=False,
        ),
    ] = None,
    full: Annotated[bool, typer.Option("--full", help="every figure that differs")] = False,
    json: Json = False,
    csv: Csv = False,
    show_working: Working = False,
    units: Units = None,
) -> int:
    """The same plan with what-if changes, side by side: only what differs.

    Example: refinekit rehearse examples/edge-tabs.toml --change "shelf.nitric.strength=65 %" --change "leach.air=4 L/min"
    """
    from refinekit.shop.rehearse import read_change, rehearse_step

    desk = desk_of_look("rehearse", json=json, csv=csv, working=show_working, units=units)
    changes = [read_change(text) for text in change or ()]
    plan, step = rehearse_step(*open_text(file), changes)
    inputs = {"file": plan.batch.name, **{f"change {number}": one.text for number, one in enumerate(changes, start=1)}}
    title = f"{plan.batch.title or plan.batch.name}: {step.title}"
    document = Document.of("rehearse", (step,), title=title, inputs=inputs, place=plan.place, short=not full)
    return desk.show(document)
