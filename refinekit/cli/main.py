"""The one door: finds the command, runs it, and turns every failure into one sentence and an exit code."""

from __future__ import annotations

import os
import sys
from importlib import import_module
from typing import Annotated, Any, NoReturn

import typer
from typer.core import TyperArgument, TyperCommand, TyperGroup, TyperOption

from refinekit import __version__
from refinekit.cli.cards import CARDS, PANELS, ROOMS
from refinekit.cli.progress import watched
from refinekit.errors import RefinekitError

FAULT = 1
"""Exit code of a fault of the program itself; REFINEKIT_DEBUG=1 shows where."""
INTERRUPTED = 130
"""Exit code after Ctrl-C, as shells count it."""


class Commands(TyperGroup):
    """The list of commands: cards alone for the list, the real thing for a call."""

    def list_commands(self, ctx: Any) -> list[str]:
        """Every verb, in the order of the panels."""
        return list(CARDS)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """A card that stands for the command in lists and completion."""
        return TyperCommand(cmd_name, help=CARDS[cmd_name]) if cmd_name in CARDS else None

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """The command called, loaded now."""
        if args[0] not in CARDS:
            from refinekit.errors import UnknownName
            from refinekit.nearest import nearest

            close = nearest(args[0], CARDS)
            cure = f"refinekit {close}" if close else "refinekit --help lists the commands"
            raise UnknownName(f"there is no command {args[0][:40]!r}", cure=cure)
        return args[0], load(args[0]), args[1:]

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """The cards under the questions they answer."""
        for panel, cards in PANELS.items():
            with formatter.section(panel):
                formatter.write_dl(list(cards.items()))


def load(verb: str) -> Any:
    """The command of a verb, as Typer calls it."""
    if verb in ROOMS:
        from refinekit.cli.desk import room_command

        function = room_command(verb)
    else:
        function = import_module(f"refinekit.cli.{verb.replace('-', '_')}").run
    one = typer.Typer(add_completion=False, rich_markup_mode=None)
    one.command(verb)(function)
    return typer.main.get_command(one)


class AsTyped:
    """Hands on what was typed: every option here is text, a list of texts or a flag, and is read by `units`, not by Typer.

    Typer would load pydantic to turn text into text, a fifth of the time of a whole sizing.
    """

    def coerce(self, value: Any, **_: Any) -> Any:
        """The value as typed; several of one option as a list."""
        return list(value) if isinstance(value, tuple) else value


for parameter in (TyperOption, TyperArgument):
    parameter.get_runtime_param = lambda self: AsTyped()  # type: ignore[method-assign,assignment,return-value]


app = typer.Typer(
    cls=Commands,
    rich_markup_mode=None,
    no_args_is_help=False,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)


@app.callback(
    epilog="Begin: refinekit new lot.toml, then refinekit plan lot.toml. Local codes, permits and licensed practice come first."
)
def start(
    ctx: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version and end.")] = False,
) -> None:
    """The reckoning around small-shop gold and silver recovery: what to weigh and pour, what gas, which vessel, what is left."""
    if version:
        typer.echo(__version__)
        raise typer.Exit
    if ctx.invoked_subcommand is None:
        typer.echo(ctx.get_help())


def main(arguments: list[str] | None = None) -> None:
    """Run refinekit; ends by SystemExit with 0, 2 (bad input), 3 (stopped for safety) or 130 (Ctrl-C)."""
    words = sys.argv[1:] if arguments is None else arguments
    if words == ["--version"]:  # answered before Typer builds anything: it is asked by scripts
        print(__version__)
        raise SystemExit(0)
    try:
        _take_decimal_mark()
        with watched(words):
            code = typer.main.get_command(app).main(words, prog_name="refinekit", standalone_mode=False)
        sys.stdout.flush()
    except SystemExit:  # Typer's own end: the reader of a pipe has gone away
        _leave_the_pipe()
    except BrokenPipeError:
        _leave_the_pipe()
    except RefinekitError as error:
        complain(str(error))
        raise SystemExit(error.exit_code) from None
    except (KeyboardInterrupt, typer.Abort):
        raise SystemExit(INTERRUPTED) from None
    except Exception as error:
        if not hasattr(error, "format_message"):
            if os.environ.get("REFINEKIT_DEBUG"):
                raise
            complain(f"a fault of the program: {type(error).__name__}: {str(error)[:200]}\n  Try: report the command you typed")
            raise SystemExit(FAULT) from None
        complain(f"{error.format_message()}\n  Try: {_help_line(error)}")
        raise SystemExit(2) from None
    finally:
        _forget_decimal_mark()
    raise SystemExit(code if isinstance(code, int) else 0)


def _take_decimal_mark() -> None:
    """Read commas as decimal marks where the shell says so. Raises: BadQuantity, it says neither comma nor point."""
    from refinekit.cli.decimal_mark import comma_told

    if who := comma_told(os.environ):
        from refinekit.units.decimal_mark import TOLD

        TOLD.set(who)


def _forget_decimal_mark() -> None:
    """What the shell said holds for one command: a program that goes on after it reads dots again."""
    if told := sys.modules.get("refinekit.units.decimal_mark"):
        told.TOLD.set("")


def _leave_the_pipe() -> NoReturn:
    """End quietly: nobody reads any more, and what is still in the buffer must not complain at exit."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    raise SystemExit(0) from None


def _help_line(error: Any) -> str:
    context = getattr(error, "ctx", None)
    return f"{context.command_path if context else 'refinekit'} --help"


def complain(message: str) -> None:
    """Say what is wrong on stderr, whatever the terminal can print."""
    from refinekit.units.typed import prefixed

    encoding = sys.stderr.encoding or "ascii"
    lines = message.split("\n")
    # only the first fault stands behind the program's name, so only its caret moves along
    first, rest = "\n".join(lines[:2]), "".join(f"\n{line}" for line in lines[2:])
    plain = "".join(c if c == "\n" or c.isprintable() else "?" for c in f"{prefixed('refinekit: ', first)}{rest}\n")
    sys.stderr.write(plain.encode(encoding, "replace").decode(encoding))
