"""`refinekit balance`: an equation balanced in atoms and charge."""

from __future__ import annotations

from typing import Annotated

import typer

from refinekit.bench.step import Step, Table, Working
from refinekit.cli.desk import desk_of_look
from refinekit.cli.options import Csv, Json, Units
from refinekit.cli.options import Working as ShowWorking
from refinekit.show.document import Document


def run(
    equation: Annotated[
        list[str], typer.Argument(help='an equation, as in "Cu + HCl + H2O2 -> CuCl2 + H2O"', metavar="EQUATION")
    ],
    json: Json = False,
    csv: Csv = False,
    units: Units = None,
    show_working: ShowWorking = False,
) -> int:
    """Balance an equation in atoms and charge, with its half-reactions.

    Example: refinekit balance "Cu + HCl + H2O2 -> CuCl2 + H2O"
    """
    from refinekit.chemistry.balance import balance, working
    from refinekit.chemistry.equation_halves import Halves, half_reactions
    from refinekit.chemistry.equation_ions import ionic
    from refinekit.chemistry.species import molar_mass

    text = " ".join(equation)
    desk = desk_of_look("balance", json=json, csv=csv, working=show_working, units=units)
    done = balance(text)
    ions = ionic(done)
    halves = half_reactions(done)
    forms = [("balanced", str(done))]
    if str(ions.full) != str(done):
        forms.append(("in ions", str(ions.full)))
    if ions.net.left and str(ions.net) not in (str(ions.full), str(done)):
        forms.append(("net", str(ions.net)))
    if isinstance(halves, Halves):
        forms += [("oxidation", str(halves.oxidation)), ("reduction", str(halves.reduction))]
        forms.append(("electrons", f"{halves.electrons:g} ({', '.join(map(str, halves.changes))})"))
    else:
        forms.append(("half-reactions", f"none: {halves.because}"))
    spectators = ", ".join(ions.spectators)
    if spectators:
        forms.append(("take no part", spectators))
    rows = tuple(
        (name, abs(count), "in" if count < 0 else "out", molar_mass(name), abs(count) * molar_mass(name))
        for name, count in done.net.items()
    )
    tables = (
        Table("Equation", ("form", "equation"), tuple(forms)),
        Table("What it takes and gives", ("species", "mol", "way", "g/mol", "g"), rows),
    )
    lines = tuple(Working("balancing", line, "", "") for line in working(done)) if show_working else ()
    step = Step("balance", text[:120], reactions=(str(done),), tables=tables, workings=lines)
    return desk.show(Document.of("balance", (step,), inputs={"equation": text}, figures=5))
