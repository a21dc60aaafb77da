"""The page for man: every command, option and example of the help is in it, and it is roff that every formatter reads."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from refinekit.cli.cards import CARDS, PANELS
from refinekit.cli.commands import example_of, load
from refinekit.cli.roff import page, plain
from tests.command import Run

ORDERS = {"TH", "SH", "SS", "PP", "TP", "B", "I", "nf", "fi"}
"""Orders the page may use: those every man macro set has."""
ESCAPES = re.compile(r"\\(?:[e&-]|\((?:aq|ga|ha|ti|dq)|\[u[0-9A-F]{4,6}\])")
CHECKERS = [
    command
    for command in (["groff", "-ww", "-man", "-Tutf8", "-z"], ["mandoc", "-T", "lint", "-W", "error"])
    if shutil.which(command[0])
]


def read(roff: str) -> str:
    """The page's words as a reader sees them, a space between lines."""
    found = roff
    for escape, char in {"aq": "'", "ga": "`", "ha": "^", "ti": "~", "dq": '"'}.items():
        found = found.replace(f"\\({escape}", char)
    found = re.sub(r"\\\[u([0-9A-F]+)\]", lambda match: chr(int(match[1], 16)), found)
    bare = found.replace("\\-", "-").replace("\\&", "").split("\n")
    lines = [re.sub(r'^\.(?:SS|SH|B|I) "?(.*?)"?$', r"\1", line) for line in bare]
    return " ".join(" ".join(lines).replace("\\e", "\\").replace(" \\ ", " ").split())


@pytest.fixture(scope="module")
def roff() -> str:
    return page()


def test_the_command_writes_the_page(refinekit: Run, roff: str) -> None:
    done = refinekit("manual")
    assert (done.returncode, done.stdout, done.stderr) == (0, roff, "")
    assert done.stdout.startswith(".TH REFINEKIT 1 ")


@pytest.mark.parametrize("verb", CARDS)
def test_every_command_with_its_words_options_and_example_is_in_it(roff: str, verb: str) -> None:
    head = f'\n.SS "refinekit {plain(verb)}'
    start = next(match.start() for match in re.finditer(re.escape(head) + r'[ "]', roff))
    part = read(roff[start : re.compile(r"\n\.S[SH] ").search(roff, start + 4).start()])
    command = load(verb)
    told = [*command.params]
    assert len(told) > 0 or verb == "manual"
    for one in told:
        for name in one.opts if one.param_type_name == "option" else (one.metavar,):
            assert name in part
        assert " ".join((one.help or "").split()) in part, one.name
    assert CARDS[verb] in part
    assert example_of(command).startswith(f"refinekit {verb}")
    assert example_of(command) in part


def test_every_panel_stands_in_the_order_of_a_run(roff: str) -> None:
    heads = [read(line) for line in re.findall(r"^\.SH .*", roff, re.M)]
    assert [head for head in heads if head in {panel.upper() for panel in PANELS}] == [panel.upper() for panel in PANELS]
    assert heads[:2] == ["NAME", "SYNOPSIS"]


def test_every_line_is_an_order_that_is_known_or_text_without_one(roff: str) -> None:
    indents = 0
    for line in roff.splitlines():
        assert line.isascii()
        assert not line.startswith("'")
        assert "\\" not in ESCAPES.sub("", line), line
        if line.startswith("."):
            order, _, rest = line[1:].partition(" ")
            assert order in ORDERS, line
            assert rest.count('"') % 2 == 0, line
            indents += {"nf": 1, "fi": -1}.get(order, 0)
        else:
            assert line.strip(), "an empty line"
            assert indents or len(ESCAPES.sub("-", line)) <= 80, line
    assert indents == 0
    assert not re.search(r"^\.TP\n(?:\.B .*|[^.].*)\n\.", roff, re.M), "a name with nothing said of it"


@pytest.mark.parametrize("checker", [*CHECKERS, ["cat"]], ids=lambda command: command[0])
def test_a_formatter_finds_no_fault_in_it(roff: str, tmp_path: Path, checker: list[str]) -> None:
    file = tmp_path / "refinekit.1"
    file.write_text(roff, encoding="utf-8")
    done = subprocess.run([*checker, str(file)], capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stderr) == (0, "")
    assert "ERROR" not in done.stdout
