"""`refinekit completion`: words and values on the Tab key."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Annotated

import typer

from refinekit.cli.shells import SCRIPTS
from refinekit.errors import BadQuantity
from refinekit.nearest import did_you_mean


def run(
    shell: Annotated[
        str | None, typer.Argument(help="bash, zsh or fish; left out, the one you work in", metavar="SHELL", show_default=False)
    ] = None,
    install: Annotated[bool, typer.Option("--install", help="put it where the shell reads it at its start")] = False,
) -> int:
    """Words and values on the Tab key, for bash, zsh and fish.

    Without --install the script is printed: eval "$(refinekit completion bash)" tries it in this shell alone.

    Example: refinekit completion bash
    """
    name = shell or Path(os.environ.get("SHELL", "bash")).name
    if name not in SCRIPTS:
        raise BadQuantity(f"{name[:40]!r} is no shell this is made for", cure=did_you_mean(name, SCRIPTS))
    if not install:
        typer.echo(SCRIPTS[name], nl=False)
        return 0
    for line in installed(name):
        typer.echo(line)
    return 0


def installed(shell: str) -> list[str]:
    """Put the script where the shell reads it; the lines that say what was done.

    Raises: BadFile, it cannot be written
    """
    from refinekit.shop.files import write_text

    home = Path.home()
    config = Path(os.environ.get("XDG_CONFIG_HOME") or home / ".config")
    script = (
        config / "fish" / "completions" / "refinekit.fish" if shell == "fish" else config / "refinekit" / f"completion.{shell}"
    )
    try:
        script.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise cannot(script, error) from None
    write_text(str(script), SCRIPTS[shell], force=True)
    if shell == "fish":
        return [f"wrote {script}", "it holds from the next shell on"]
    start = (Path(os.environ.get("ZDOTDIR") or home) / ".zshrc") if shell == "zsh" else home / ".bashrc"
    line = f'source "{script}"'
    try:
        there = start.read_text(encoding="utf-8") if start.exists() else ""
        if line in there:
            return [f"wrote {script}", f"{start} reads it already"]
        with start.open("a", encoding="utf-8") as file:
            file.write(f"{'' if not there or there.endswith(chr(10)) else chr(10)}{line}\n")
    except (OSError, UnicodeDecodeError) as error:
        raise cannot(start, error) from None
    return [f"wrote {script}", f"added to {start}: {line}", "it holds from the next shell on"]


def cannot(path: Path, error: Exception) -> BadQuantity:
    """That a file of the shell's cannot be read or written."""
    reason = error.strerror if isinstance(error, OSError) and error.strerror else "it is not UTF-8 text"
    return BadQuantity(
        f"{str(path)!r} cannot be written ({reason.lower()})", cure="refinekit completion bash > FILE, and source it"
    )
