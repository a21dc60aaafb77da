"""`refinekit cost`: what a run costs and brings."""

from __future__ import annotations

from typing import Annotated

import typer

from refinekit.cli.desk import desk_of_look, open_text
from refinekit.cli.options import Csv, Json, Text, Units, Working, typed
from refinekit.show.document import Document


def run(
    file: Annotated[str, typer.Argument(help="a batch file, or - for the pipe", metavar="FILE")],
    gold_price: Annotated[Text, typed("gold-price", "price of fine gold; left out, the file's gold-price", "MONEY")] = None,
    silver_price: Annotated[Text, typed("silver-price", "price of fine silver, the same way", "MONEY")] = None,
    palladium_price: Annotated[Text, typed("palladium-price", "price of fine palladium, the same way", "MONEY")] = None,
    platinum_price: Annotated[Text, typed("platinum-price", "price of fine platinum, the same way", "MONEY")] = None,
    json: Json = False,
    csv: Csv = False,
    show_working: Working = False,
    units: Units = None,
) -> int:
    """What a run costs, to the gram of gold; break-even grade; what to pay for a lot at a wanted margin.

    Example: refinekit cost examples/edge-tabs.toml --gold-price "60 /g"
    """
    from refinekit.shop.batch import read_batch
    from refinekit.shop.cost import cost_step
    from refinekit.shop.plan import run_plan

    desk = desk_of_look("cost", json=json, csv=csv, working=show_working, units=units)
    plan = run_plan(read_batch(*open_text(file)))
    told = {"gold": gold_price, "silver": silver_price, "palladium": palladium_price, "platinum": platinum_price}
    others = {metal: text for metal, text in told.items() if metal != "gold"}
    step = cost_step(plan, gold_price, **others)
    inputs = {"file": plan.batch.name} | {f"{metal}-price": text for metal, text in told.items() if text}
    title = f"{plan.batch.title or plan.batch.name}: {step.title}"
    return desk.show(Document.of("cost", (step,), title=title, inputs=inputs, place=plan.place, assumed=plan.assumed))
