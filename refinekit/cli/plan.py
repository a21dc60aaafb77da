"""`refinekit plan`: the whole run from a batch file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import typer

from refinekit.bench.pot import Pot
from refinekit.cli.desk import desk_of_look, open_text, write_charts
from refinekit.cli.options import Chart, Csv, Force, Json, Units, Working
from refinekit.shop.batch import read_batch
from refinekit.shop.outcome import summary
from refinekit.shop.plan import run_plan
from refinekit.show.document import Document


def run(
    file: Annotated[str, typer.Argument(help="a batch file, or - for the pipe", metavar="FILE")],
    pot: Annotated[
        list[str] | None,
        typer.Option(
            "--pot", help="what stands on the bench before: a JSON file, or book:bath", metavar="FILE", show_default=False
        ),
    ] = None,
    json: Json = False,
    csv: Csv = False,
    full: Annotated[bool, typer.Option("--full", help="every figure and table of every step")] = False,
    show_working: Working = False,
    units: Units = None,
    chart: Chart = None,
    force: Force = False,
) -> int:
    """The whole run from a batch file: every step, gas, vessel, shopping, drum and gold.

    Example: refinekit plan examples/edge-tabs.toml
    """
    desk = desk_of_look("plan", json=json, csv=csv, working=show_working, units=units)
    plan = run_plan(read_batch(*open_text(file)), standing(pot or ()))
    document = Document.of(
        "plan",
        plan.done_steps(),
        title=plan.batch.title or plan.batch.name,
        notices=plan.notices(),
        inputs={"file": plan.batch.name},
        place=plan.place,
        sections=summary(plan),
        assumed=plan.assumed,
        used_facts=plan.used_facts,
        short=not full,
    )
    if chart is not None and not document.stopped:
        write_charts(document, chart, force=force)
    return desk.show(document)


def standing(paths: Sequence[str]) -> tuple[Pot, ...]:
    """Pots that stand on the bench before a plan, at their likely case."""
    from refinekit.shop.book.vessels import at_likely
    from refinekit.shop.potfile import read_pots

    return tuple(at_likely(one) for path in paths for one in read_pots(*open_text(path)))
