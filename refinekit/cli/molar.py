"""`refinekit molar`: what a mole weighs and is made of."""

from __future__ import annotations

from typing import Annotated

import typer

from refinekit.bench.work import Work
from refinekit.cli.desk import desk_of_look
from refinekit.cli.options import Csv, Json, Text, Units, typed
from refinekit.cli.options import Working as ShowWorking
from refinekit.show.document import Document


def run(
    formula: Annotated[list[str], typer.Argument(help="a formula or a name, as in FeSO4.7H2O or copperas", metavar="FORMULA")],
    grams: Annotated[Text, typed("grams", "a mass to turn into moles", "G")] = None,
    mol: Annotated[Text, typed("mol", "an amount to turn into grams", "MOL")] = None,
    json: Json = False,
    csv: Csv = False,
    show_working: ShowWorking = False,
    units: Units = None,
) -> int:
    """Molar mass, make-up by mass, and moles to grams.

    Example: refinekit molar FeSO4.7H2O --grams "42.3 g"
    """
    from refinekit.chemistry.molar import molar
    from refinekit.units import read

    desk = desk_of_look("molar", json=json, csv=csv, working=show_working, units=units)
    found = molar(" ".join(formula))
    work = Work("molar")
    work.answer("molar_mass", found.g_per_mol, "g/mol", sized_on="atomic weights", because=found.name or found.formula)
    inputs = {"formula": found.formula}
    for text, kind, unit, name in ((grams, "mass", "g", "--grams"), (mol, "amount", "mol", "--mol")):
        if text is None:
            continue
        reading = read(text, kind, name=name, unit=unit, lowest=0.0)
        inputs[name.strip("-")] = text
        if reading.assumed:
            work.assume(reading.assumed)
        other = "mol" if kind == "mass" else "g"
        factor = 1 / found.g_per_mol if kind == "mass" else found.g_per_mol
        sign = "/" if kind == "mass" else "x"
        answer = reading.range * factor
        work.answer("amount" if kind == "mass" else "mass", answer, other, because=f"{text} {sign} molar mass")
        work.working(
            f"{unit} to {other}",
            f"{unit} {sign} g/mol",
            f"{reading.range.likely:g} {unit} {sign} {found.g_per_mol:.5g} g/mol",
            f"{answer.likely:.5g} {other}",
        )
    parts = [(part.element, part.atoms, part.g_per_mol, part.percent) for part in found.parts]
    work.table("Make-up", ("element", "atoms", "g/mol", "% by mass"), parts)
    sums = " + ".join(f"{part.atoms:g} x {part.g_per_mol / part.atoms:.6g}" for part in found.parts)
    work.working("molar mass", "atoms x atomic weight, added", sums, f"{found.g_per_mol:.6g} g/mol")
    for other_formula in found.also:
        work.say("also called so", other_formula)
    title = f"{found.formula} ({found.name})" if found.name and found.name != found.formula else found.formula
    return desk.show(Document.of("molar", (work.done(None, title=title),), inputs=inputs, figures=5))
