"""Option types that several plain commands share."""

from __future__ import annotations

from typing import Annotated

import typer

Json = Annotated[bool, typer.Option("--json", help="answer as JSON")]
Csv = Annotated[bool, typer.Option("--csv", help="answer as CSV")]
Working = Annotated[bool, typer.Option("--show-working", help="the sums as one would check them by hand")]
Units = Annotated[
    str | None, typer.Option("--units", help="metric, troy or us for what is shown", metavar="WORD", show_default=False)
]
