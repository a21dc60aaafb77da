"""`refinekit new`: a batch file to start from."""

from __future__ import annotations

from typing import Annotated

import typer

from refinekit.cli.options import Force
from refinekit.shop.files import write_text
from refinekit.shop.starter import STARTER


def run(
    file: Annotated[str, typer.Argument(help="the file to write", metavar="FILE")] = "lot.toml",
    force: Force = False,
) -> int:
    """Write a commented batch file to start from.

    Example: refinekit new lot.toml
    """
    write_text(file, STARTER.format(name=file), force=force)
    typer.echo(f"wrote {file}: change what is yours, then: refinekit plan {file}")
    return 0
