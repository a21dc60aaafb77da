"""`refinekit strength`: one bottle in every form its strength is written."""

from __future__ import annotations

from typing import Annotated

import typer

from refinekit.cli.desk import desk_of_look
from refinekit.cli.options import Csv, Json, Text, Units, Working, typed
from refinekit.shop.bottles import strength_step
from refinekit.show.document import Document


def run(
    reagent: Annotated[str, typer.Argument(help="what is in the bottle, as in hydrochloric or HCl", metavar="REAGENT")],
    strength: Annotated[
        str | None,
        typer.Argument(
            help='what the label says, as in "20 Be", "68 %", "100 volumes"; left out, the usual bottle', metavar="STRENGTH"
        ),
    ] = None,
    temperature: Annotated[Text, typed("temperature", "temperature of the reading", "DEGC")] = None,
    measured: Annotated[Text, typed("measured", "density your hydrometer reads, to check the label", "G/ML")] = None,
    json: Json = False,
    csv: Csv = False,
    units: Units = None,
    show_working: Working = False,
) -> int:
    """One strength in every form: percent, Baume, density, mol/L, volumes.

    Example: refinekit strength hydrochloric "20 Be"
    """
    desk = desk_of_look("strength", json=json, csv=csv, working=show_working, units=units)
    told = {"reagent": reagent, "strength": strength, "temperature": temperature, "measured": measured}
    step = strength_step(reagent, strength, temperature=temperature, measured=measured)
    inputs = {name: text for name, text in told.items() if text is not None}
    return desk.show(Document.of("strength", (step,), notices=step.notices, inputs=inputs, figures=5))
