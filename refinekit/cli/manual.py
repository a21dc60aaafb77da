"""`refinekit manual`: all of the help as one page for man."""

from __future__ import annotations

import typer

from refinekit.cli.roff import page


def run() -> int:
    """All of the help as one page for man: every command, option and example.

    To read it: refinekit manual > refinekit.1, then man ./refinekit.1

    Example: refinekit manual
    """
    typer.echo(page(), nl=False)
    return 0
