"""The one door: what needs no command is answered at once, and every failure is one sentence and an exit code."""

from __future__ import annotations

import gc
import os
import sys
from contextlib import AbstractContextManager, nullcontext
from typing import NoReturn

from refinekit import __version__
from refinekit.errors import RefinekitError

FAULT = 1
"""Exit code of a fault of the program itself; REFINEKIT_DEBUG=1 shows where."""
INTERRUPTED = 130
"""Exit code after Ctrl-C, as shells count it."""

NEW_OBJECTS = 100_000
"""Objects made before cycles among them are looked for: a command makes few cycles and is over in half a second."""


def main(arguments: list[str] | None = None) -> None:
    """Run refinekit; ends by SystemExit with 0, 2 (bad input), 3 (stopped for safety) or 130 (Ctrl-C)."""
    words = sys.argv[1:] if arguments is None else arguments
    try:
        code = at_once(words)
        if code is None:
            gc.set_threshold(NEW_OBJECTS)
            from refinekit.cli.commands import run
            from refinekit.cli.progress import watched

            with _decimal_mark(), watched(words):
                code = run(words)
        sys.stdout.flush()
    except SystemExit:  # Typer's own end: the reader of a pipe has gone away
        _leave_the_pipe()
    except BrokenPipeError:
        _leave_the_pipe()
    except RefinekitError as error:
        complain(str(error))
        raise SystemExit(error.exit_code) from None
    except KeyboardInterrupt:
        raise SystemExit(INTERRUPTED) from None
    except Exception as error:
        if os.environ.get("REFINEKIT_DEBUG"):
            raise
        complain(f"a fault of the program: {type(error).__name__}: {str(error)[:200]}\n  Try: report the command you typed")
        raise SystemExit(FAULT) from None
    raise SystemExit(code)


def at_once(words: list[str]) -> int | None:
    """What is answered before anything is loaded, as scripts and shells ask for it often: exit code; None for all else."""
    if words == ["--version"]:
        print(__version__)
        return 0
    if not words and os.environ.get("REFINEKIT_COMPLETE"):  # a shell asks what may stand at its Tab key
        from refinekit.cli.shells import answer, asked

        told = asked()
        return answer(*told) if told else 0
    if not words:
        from refinekit.cli.begin import begin

        print(begin())
        return 0
    return None


def _decimal_mark() -> AbstractContextManager[None]:
    """Reads commas as decimal marks where the shell says so. Raises: BadQuantity, it says neither comma nor point."""
    from refinekit.cli.decimal_mark import comma_told

    who = comma_told(os.environ)
    if not who:
        return nullcontext()
    from refinekit.units.decimal_mark import comma_told_by

    return comma_told_by(who)


def _leave_the_pipe() -> NoReturn:
    """End quietly: nobody reads any more, and what is still in the buffer must not complain at exit."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    raise SystemExit(0) from None


def complain(message: str) -> None:
    """Say what is wrong on stderr, whatever the terminal can print."""
    from refinekit.units.typed import prefixed

    encoding = sys.stderr.encoding or "ascii"
    lines = message.split("\n")
    # only the first fault stands behind the program's name, so only its caret moves along
    first, rest = "\n".join(lines[:2]), "".join(f"\n{line}" for line in lines[2:])
    plain = "".join(c if c == "\n" or c.isprintable() else "?" for c in f"{prefixed('refinekit: ', first)}{rest}\n")
    sys.stderr.write(plain.encode(encoding, "replace").decode(encoding))
