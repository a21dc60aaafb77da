"""The commands as Typer runs them: the list from the cards alone, a command itself loaded when it is called."""

from __future__ import annotations

import re
import shutil
from collections.abc import Mapping
from importlib import import_module
from itertools import pairwise
from typing import Annotated, Any

import typer
from typer.core import TyperArgument, TyperCommand, TyperGroup, TyperOption

from refinekit import __version__
from refinekit.cli.cards import CARDS, PANELS
from refinekit.errors import BadQuantity, RefinekitError, UnknownName
from refinekit.shop.verbs import ROOMS

EXAMPLE = re.compile(r"^Example: (refinekit .*(?:\n.+)*)", re.M)
"""How a command says a line that runs, at the end of its help."""
SHOWN = re.compile(r"\x08\nExample:\n((?:  .+\n?)+)")
"""How the help shows it: as it is, for a shell to take."""


class Commands(TyperGroup):
    """The list of commands: cards alone for the list, the real thing for a call."""

    def list_commands(self, ctx: Any) -> list[str]:
        """Every verb, in the order of the panels."""
        return list(CARDS)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """A card that stands for the command in lists."""
        return TyperCommand(cmd_name, help=CARDS[cmd_name]) if cmd_name in CARDS else None

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """The command called, loaded now."""
        if args[0] not in CARDS:
            from refinekit.nearest import did_you_mean

            cure = did_you_mean(args[0], CARDS, "refinekit --help lists the commands")
            raise UnknownName(f"there is no command {args[0][:40]!r}", cure=cure)
        return args[0], load(args[0]), args[1:]

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """The cards under the questions they answer."""
        for panel, cards in PANELS.items():
            formatter.write_paragraph()
            formatter.write(f"{panel}\n")
            with formatter.indentation():
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
    command = typer.main.get_command(one)
    width = min(shutil.get_terminal_size().columns, WIDEST) - 2 * len(INDENT)
    command.help = EXAMPLE.sub(lambda found: f"\b\nExample:\n{folded(found[1], width)}", command.help or "")
    return command


def example_of(command: Any) -> str:
    """The line that runs of a command's help, on one line; "" where it has none."""
    found = SHOWN.search(command.help or "")
    return " ".join(found[1].replace("\\\n", " ").split()) if found else ""


def folded(line: str, width: int) -> str:
    """A command line set in, broken before an option as a shell takes it: what is copied runs.

    >>> print(folded('refinekit cost lot.toml --gold-price "60 /g"', 30))
      refinekit cost lot.toml \\
        --gold-price "60 /g"
    """
    lines: list[str] = []
    for part in re.split(r" (?=--)", " ".join(line.split())):
        if lines and len(lines[-1]) + len(part) + len(INDENT) < width:
            lines[-1] += f" {part}"
        else:
            lines.append(f"{INDENT * (2 if lines else 1)}{part}")
    return " \\\n".join(lines)


INDENT = "  "
WIDEST = 80
"""Columns help is at most written in."""


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
    add_completion=False,
    no_args_is_help=False,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)


@app.callback(
    epilog="Begin: refinekit new lot.toml, then refinekit plan lot.toml. Local codes, permits and licensed practice come first."
)
def start(
    version: Annotated[bool, typer.Option("--version", help="Print the version and end.")] = False,
) -> None:
    """The reckoning around small-shop gold and silver recovery: what to weigh and pour, what gas, which vessel, what is left."""
    if version:
        typer.echo(__version__)
        raise typer.Exit


def run(words: list[str]) -> int:
    """Run what was typed; returns the exit code.

    Raises: RefinekitError, what was typed cannot be taken; KeyboardInterrupt
    """
    try:
        code = typer.main.get_command(app).main(words, prog_name="refinekit", standalone_mode=False)
    except typer.Abort:
        raise KeyboardInterrupt from None
    except Exception as error:
        if not hasattr(error, "format_message"):
            raise
        raise mistyped(error, words) from None
    return code if isinstance(code, int) else 0


def mistyped(error: Any, words: list[str]) -> RefinekitError:
    """What Typer cannot take, in the words every other fault is told in.

    Args:
        error: a usage error of Typer's
        words: what was typed
    """
    from refinekit.nearest import did_you_mean, nearest

    verb = words[0] if words and words[0] in CARDS else ""
    command = load(verb) if verb else typer.main.get_command(app)
    called = " ".join(filter(None, ("refinekit", verb)))
    parameter, option = getattr(error, "param", None), getattr(error, "option_name", None)
    if option and hasattr(error, "possibilities"):
        if not option.startswith("--"):  # one stroke too few: Typer has read a letter of it
            option = next((word for word in words if word.startswith(option)), option)
        typed = option.split("=")[0].lstrip("-")
        known = {one.removeprefix("--"): one for each in command.params for one in each.opts if one.startswith("--")}
        parts = [name for name in known if len(typed) >= SHORTEST and typed.lower() in name]
        close = reagent_option(typed, known) or nearest(typed, known) or nearest(typed, parts) or next(iter(parts), None)
        cure = did_you_mean(known[close], [known[close]]) if close else chosen(verb, typed) or f"{called} --help"
        if not verb and any(word in CARDS for word in words):
            cure = "options stand behind the command: refinekit dissolve --gold 2g"
        return UnknownName(f"{verb or called} has no option {option.split('=')[0][:40]}", cure=cure)
    cure = (example_of(command) if verb else "") or f"{called} --help"
    if parameter is not None:
        name = parameter.metavar if parameter.param_type_name == "argument" else parameter.opts[0]
        return BadQuantity(f"{verb} wants {name}: {parameter.help}", cure=cure)
    what = error.format_message().rstrip(".")
    if option:
        fault = "takes nothing behind it" if "not take" in what else "wants something behind it"
        return BadQuantity(f"{option} {fault}", cure=cure)
    return loose_unit(what, words) or BadQuantity(what[:1].lower() + what[1:], cure=cure)


def reagent_option(typed: str, known: Mapping[str, str]) -> str | None:
    """The option that is called after a reagent, which was called by another of its names: hydrochloric for hcl."""
    from refinekit.shop.reagent_names import reagent_names

    key = reagent_names().get(typed.replace("-", " ").lower())
    return key if key in known else None


def chosen(verb: str, typed: str) -> str | None:
    """What to type where an option is no option but a choice of one: --reagent smb for --smb."""
    from refinekit.shop.reagent_names import reagent_names
    from refinekit.shop.rooms import room

    fields = room(verb).fields if verb in ROOMS else ()
    key = reagent_names().get(typed.replace("-", " ").lower(), typed)
    return next((f"did you mean '--{field.name} {key}'?" for field in fields if key in field.choices), None)


def loose_unit(what: str, words: list[str]) -> RefinekitError | None:
    """The fault of a unit that stands apart from its figure, as in --copper 12 g; None where it is another."""
    if "unexpected extra argument" not in what:
        return None
    stray = what.partition(") (")[2].removesuffix(")").split(" ")[0]
    for flag, word in pairwise(words):
        if word == stray and flag.startswith("--") and "=" not in flag:
            return BadQuantity(f"{flag} takes nothing behind it, and {word[:40]!r} stands there", cure=f"{flag} by itself")
    pairs = [(words[at - 1], word, words[at - 2]) for at, word in enumerate(words) if at > 1]
    for figure, unit, option in pairs:
        if option.startswith("--") and FIGURE.fullmatch(figure) and UNIT.fullmatch(unit):
            cure = f'{option} {figure}{unit}, or in quotes: {option} "{figure} {unit}"'
            return BadQuantity(f"{option} {figure}: its unit {unit[:20]!r} stands apart from it", cure=cure)
    return None


FIGURE = re.compile(r"[\d./,]+")
"""A figure or a range without its unit."""
UNIT = re.compile(r"%|[a-zA-Z°µ][a-zA-Z0-9°µ/%]{0,7}")
"""What may be the unit of one; the name of a file has a dot."""
SHORTEST = 4
"""Letters of an option that are looked for inside longer ones."""
