"""Starting loads nothing heavy, and what is told of the commands is true of them."""

import inspect
import re
import shlex
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

from refinekit.cli.cards import CARDS
from refinekit.shop.rooms import room
from refinekit.shop.verbs import ROOMS
from tests.command import Run

ROOT = Path(__file__).resolve().parents[2]
HEAVY = {"sympy", "pint", "numpy", "periodictable", "sqlite3", "rich", "matplotlib", "jinja2", "pydantic"}


LOADER = """
import contextlib, io, sys
from refinekit.cli.main import main
with contextlib.suppress(SystemExit), contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
    main(sys.argv[1:])
print(*sys.modules)
"""


def loaded_by(*words: str) -> set[str]:
    done = subprocess.run([sys.executable, "-c", LOADER, *words], capture_output=True, text=True, check=True)
    return {name.partition(".")[0] for name in done.stdout.split()}


def test_the_list_of_commands_loads_nothing_heavy() -> None:
    assert HEAVY.isdisjoint(loaded_by("--help"))


def test_a_sizing_as_json_keeps_the_slow_libraries_out() -> None:
    used = loaded_by("dissolve", "--gold", "2 g", "--outdoors", "--json")
    assert {"sympy", "pint", "rich", "sqlite3", "matplotlib", "pydantic"}.isdisjoint(used)


def test_the_rooms_of_the_list_are_the_rooms_of_the_shop() -> None:
    assert set(ROOMS) <= set(CARDS)


@pytest.mark.parametrize("verb", sorted(set(CARDS) - set(ROOMS)))
def test_a_card_is_the_first_line_of_the_help(verb: str) -> None:
    run = import_module(f"refinekit.cli.{verb.replace('-', '_')}").run
    assert (inspect.getdoc(run) or "").splitlines()[0] == CARDS[verb]


@pytest.mark.parametrize("verb", ROOMS)
def test_stand_ins_are_in_the_unit_their_field_is_read_in(verb: str) -> None:
    from refinekit.facts.load import fact
    from refinekit.units import KINDS

    for field in room(verb).fields:
        if field.default:
            assert fact(field.default).unit in (KINDS[field.kind].base, "")


def commands_of_the_readme() -> list[str]:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    tour = text.split("## A tour", 1)[1]
    blocks = re.findall(r"^```sh\n(.*?)^```", tour, re.S | re.M)
    return [line for block in blocks for line in block.splitlines() if line.startswith("refinekit ") and "|" not in line]


RECORD = ("bath", "drum", "manifest", "report")


def told_before(line: str) -> list[str]:
    """Commands of the record that the tour gives before this one, where it is of the record too."""
    lines = commands_of_the_readme()
    heads = ("refinekit bath start", "refinekit drum open", "refinekit log --lot")
    mine = [one for one in lines[: lines.index(line)] if one.startswith(heads)]
    return mine if line.split()[1] in RECORD or line.startswith(("refinekit account --lot", "refinekit book")) else []


@pytest.mark.parametrize("line", commands_of_the_readme())
def test_the_commands_of_the_readme_run(refinekit: Run, line: str) -> None:
    words = shlex.split(line)[1:]
    if words[0] in ("plan", "log") or "--plan" in words or (words[0] != "new" and "lot.toml" in words):
        assert refinekit("new", "lot.toml").returncode == 0
    for earlier in told_before(line):
        assert refinekit(*shlex.split(earlier)[1:]).returncode == 0
    done = refinekit(*words)
    assert done.returncode in (0, 3), done.stderr
    assert "fault of the program" not in done.stderr
