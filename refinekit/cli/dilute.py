"""`refinekit dilute`: a reagent mixed down."""

from __future__ import annotations

from typing import Annotated

import typer

from refinekit.cli.desk import desk_of_look
from refinekit.cli.options import Chart, Csv, Force, Json, Text, Units, typed
from refinekit.cli.options import Working as ShowWorking
from refinekit.cli.papers import write_charts
from refinekit.shop.bottles import dilute_step
from refinekit.show.document import Document


def run(
    reagent: Annotated[str, typer.Argument(help="what is in the bottle, as in sulfuric or H2SO4", metavar="REAGENT")],
    target: Annotated[str, typer.Option("--target", help='strength wanted, as in "10 %" or "3 mol/L"', metavar="STRENGTH")],
    volume: Annotated[str, typer.Option("--volume", help="how much of it is wanted", metavar="L")],
    strength: Annotated[Text, typed("strength", "strength on the label; left out, the usual bottle", "STRENGTH")] = None,
    order: Annotated[Text, typed("order", "acid-to-water, as it must be, or water-to-acid, which is refused", "WORD")] = None,
    temperature: Annotated[Text, typed("temperature", "temperature of bottle and water", "DEGC")] = None,
    chart: Chart = None,
    force: Force = False,
    json: Json = False,
    csv: Csv = False,
    show_working: ShowWorking = False,
    units: Units = None,
) -> int:
    """Mix a reagent down: what to measure, what order, how hot.

    Example: refinekit dilute sulfuric --target "10 %" --volume "2 L"
    """
    desk = desk_of_look("dilute", json=json, csv=csv, working=show_working, units=units)
    step = dilute_step(reagent, target, volume, strength=strength, order=order, temperature=temperature)
    told = {
        "reagent": reagent,
        "target": target,
        "volume": volume,
        "strength": strength,
        "order": order,
        "temperature": temperature,
    }
    inputs = {name: text for name, text in told.items() if text is not None}
    document = Document.of("dilute", (step,), notices=step.notices, inputs=inputs)
    if chart is not None and not document.stopped:
        write_charts(document, chart, force=force, units=desk.units)
    return desk.show(document)
