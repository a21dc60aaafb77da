"""The Tab key: what comes next, with its values, in each shell's own protocol, and without loading the program."""

import json
import os
import shlex
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from refinekit.cli import gather
from refinekit.cli.complete import complete, known
from refinekit.cli.shells import SCRIPTS, bash, listed, split
from refinekit.units import KINDS, read
from refinekit.units.strength import read_strength
from tests.command import Run

ROOT = Path(__file__).resolve().parents[2]
HEAVY = {"typer", "numpy", "sympy", "pint", "periodictable", "rich", "matplotlib", "jinja2", "pydantic", "sqlite3"}
HERE = [shell for shell in SCRIPTS if shutil.which(shell)]
"""Shells of this machine; bash is one of them wherever the tests can be prepared."""


def offered(line: str) -> list[str]:
    """What the Tab key offers behind a line typed in bash, without its quoting."""
    return [word.text for word in complete(split(line)[0][1:])]


def test_what_is_offered_was_gathered_from_the_commands_as_they_are() -> None:
    kept = gather.FILE.read_text(encoding="utf-8")
    assert kept == gather.text(), "renew it: python -m refinekit.cli.gather"


@pytest.mark.parametrize(
    ("line", "among"),
    [
        ("refinekit neu", ["neutralise"]),
        ("refinekit dissolve --no-s", ["--no-share"]),
        ("refinekit dissolve ", ["--gold", "--nitric", "--help"]),
        ("refinekit dissolve --method ", ["nitric", "peroxide", "bleach", "chlorine"]),
        ("refinekit dissolve --method=ni", ["--method=nitric"]),
        ("refinekit dissolve --law ", ["us", "eu", "uk", "none"]),
        ("refinekit dissolve --units ", ["metric", "troy", "us"]),
        ("refinekit dissolve --gold 2", ["2g", "2kg", "2ozt", "2dwt"]),
        ('refinekit dissolve --gold "1.6/2.1/2.6 m', ["1.6/2.1/2.6 mg"]),
        ("refinekit dissolve --nitric 68", ["68%", "68Be"]),
        ("refinekit leach --air 2", ["2L/min", "2cfm"]),
        ("refinekit lot --kind e", ["edge tabs"]),
        ("refinekit lot --make ster", ["sterling silver"]),
        ("refinekit fume --gas N", ["NOx", "NO2"]),
        ("refinekit strength hyd", ["hydrochloric"]),
        ("refinekit dilute sulf", ["sulfuric", "sulfamic"]),
        ("refinekit stock buy nit", ["nitric"]),
        ("refinekit keep-apart bleach amm", ["ammonia"]),
        ("refinekit report ", ["yields", "losses", "year"]),
        ("refinekit report yields --metal s", ["silver"]),
        ("refinekit bath bl", ["bleed"]),
        ("refinekit drum o", ["open"]),
        ("refinekit book ex", ["export"]),
        ("refinekit log lot.toml --step dr", ["drop"]),
        ("refinekit log lot.toml --used ni", ["nitric="]),
        ("refinekit log lot.toml --found f", ["filters="]),
        ("refinekit drop --override leaving", ["leaving-gold-in-waste="]),
        ("refinekit rehearse lot.toml --change lea", ["leach."]),
        ("refinekit rehearse lot.toml --change leach.ai", ["leach.air="]),
        ("refinekit rehearse lot.toml --change leach.air=4", ["leach.air=4L/min"]),
        ("refinekit rehearse lot.toml --change shelf.nitric.str", ["shelf.nitric.strength="]),
        ("refinekit rehearse lot.toml --change 'leach.air=4 L/min; shop.fa", ["leach.air=4 L/min; shop.fan="]),
        ("refinekit completion z", ["zsh"]),
        ("refinekit --v", ["--version"]),
    ],
)
def test_words_and_values_are_offered(line: str, among: list[str]) -> None:
    assert set(among) <= set(offered(line)), offered(line)


@pytest.mark.parametrize(
    "line",
    [
        "refinekit xyzzy ",
        "refinekit dissolve --gold ",
        "refinekit dissolve --no-share 0.5 --no-sh",
        "refinekit drop --pot nowhere/",
        "refinekit drop --pot nowhere.json --take ",
        "refinekit dissolve foo",
        "refinekit dissolve --gold x",
    ],
)
def test_nothing_is_guessed(line: str) -> None:
    assert offered(line) == []


def test_files_and_pots_of_the_folder_are_offered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    (tmp_path / "lot 12.toml").write_text("# twelve\n", encoding="utf-8")
    (tmp_path / "pots.json").write_text(json.dumps({"pots": [{"name": "gold liquor"}, {"name": "filters"}]}), encoding="utf-8")
    assert offered("refinekit plan ") == ["lot 12.toml", "examples/"]
    assert "examples/edge-tabs.toml" in offered("refinekit plan examples/")
    assert len(offered("refinekit cost examples/")) == 6
    assert offered("refinekit drop --pot ") == ["pots.json", "examples/", "-", "book:"]
    assert offered("refinekit drop --pot pots.json --take g") == ["gold liquor"]
    assert bash("refinekit plan lot") == [r"lot\ 12.toml"]
    assert bash('refinekit plan "lot') == ["lot 12.toml"]
    assert bash("refinekit plan lot\\ 1") == [r"lot\ 12.toml"]
    assert any(line.startswith("examples/edge-tabs.toml\tShows: ") for line in listed(["plan", "examples/"]))


def test_vessels_lots_and_drums_of_the_book_are_offered(refinekit: Run, tmp_path: Path) -> None:
    def tab(line: str) -> list[str]:
        return refinekit(REFINEKIT_COMPLETE="bash", REFINEKIT_TYPED=line).stdout.splitlines()

    assert tab("refinekit drop --pot book:") == []
    for words in (
        "bath start --bath-volume 5L --bath-copper 90g/L",
        "drum open 'drum 1'",
        "log --lot 12 --bar 2g --fineness 990",
    ):
        assert refinekit(*shlex.split(words)).returncode == 0, words
    assert tab("refinekit drop --pot book:") == ["bath"]
    assert tab('refinekit drop --pot "book:') == ["book:bath"]
    assert tab("refinekit drum show ") == [r"drum\ 1"]
    assert tab("refinekit account --lot ") == ["12"]
    assert tab("refinekit bath show ba") == ["bath"]
    (tmp_path / "book.sqlite").write_bytes(b"no book")
    assert tab("refinekit drop --pot book:") == []


def test_every_unit_that_is_offered_is_read() -> None:
    for kind, units in known()["units"].items():
        for unit in units:
            if kind == "strength":
                read_strength(f"2{unit}", name="--strength")
            else:
                read(f"2{unit}", kind, name="--it", unit=KINDS[kind].base)


def test_every_place_is_of_a_kind_that_is_known() -> None:
    from refinekit.cli.complete import WAYS

    for verb, command in known()["commands"].items():
        for told in (*command["words"], *command["options"].values()):
            for one in filter(None, told.get("takes", "").split(", ")):
                assert one in WAYS or one.split(" ")[0] in WAYS, (verb, one)
                if one.startswith("list "):
                    assert known()["lists"][one.removeprefix("list ")], one


@pytest.mark.parametrize("line", ["refinekit ", "refinekit dissolve --gold 2", "refinekit plan ", "refinekit fume --gas N"])
def test_the_tab_key_loads_nothing_heavy(line: str) -> None:
    code = "import sys\nfrom refinekit.cli.main import main\ntry:\n    main([])\nexcept SystemExit:\n    print(*sys.modules)"
    told = {**os.environ, "REFINEKIT_COMPLETE": "bash", "REFINEKIT_TYPED": line}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env=told, timeout=60)
    assert HEAVY.isdisjoint({name.partition(".")[0] for name in done.stdout.splitlines()[-1].split()})


@pytest.fixture
def on_the_path(tmp_path: Path, refinekit: Run) -> dict[str, str]:
    """An environment in which `refinekit` is a command, with a book that has a bath."""
    assert refinekit("bath", "start", "--bath-volume", "5L", "--bath-copper", "90g/L").returncode == 0
    command = tmp_path / "bin" / "refinekit"
    command.parent.mkdir()
    command.write_text(f'#!/bin/sh\nexec {shlex.quote(sys.executable)} -m refinekit "$@"\n', encoding="utf-8")
    command.chmod(command.stat().st_mode | stat.S_IXUSR)
    return {
        **os.environ,
        "PATH": f"{command.parent}{os.pathsep}{os.environ['PATH']}",
        "PYTHONPATH": str(ROOT),
        "REFINEKIT_BOOK": str(tmp_path / "book.sqlite"),
        "HOME": str(tmp_path),
        "XDG_CONFIG_HOME": str(tmp_path / ".config"),
    }


BASH_TRIES = r"""
eval "$(refinekit completion bash)"
complete -p refinekit
tab() {
    COMP_LINE="$1" COMP_POINT=${#1}
    _refinekit refinekit "" ""
    printf '%s => ' "$1"
    printf '[%s]' "${COMPREPLY[@]}"
    printf '\n'
}
tab 'refinekit neu'
tab 'refinekit drop --pot book:b'
tab 'refinekit lot --kind e'
tab 'refinekit lot --kind "e'
tab 'refinekit log f --used nit'
tab 'refinekit dissolve --gold 2k'
"""


def test_bash_itself_gets_words_and_values(on_the_path: dict[str, str], tmp_path: Path) -> None:
    tried = ["bash", "--norc", "-c", BASH_TRIES]
    done = subprocess.run(tried, capture_output=True, text=True, env=on_the_path, cwd=tmp_path, timeout=120)
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines() == [
        "complete -F _refinekit refinekit",
        "refinekit neu => [neutralise]",
        "refinekit drop --pot book:b => [bath]",  # bash puts it behind the colon
        r"refinekit lot --kind e => [edge\ tabs]",
        'refinekit lot --kind "e => [edge tabs]',
        "refinekit log f --used nit => [nitric=]",
        "refinekit dissolve --gold 2k => [2kg]",
    ]
    assert done.stderr == ""


@pytest.mark.parametrize("shell", HERE)
def test_the_script_is_read_by_its_shell(on_the_path: dict[str, str], shell: str, tmp_path: Path) -> None:
    script = tmp_path / f"completion.{shell}"
    script.write_text(SCRIPTS[shell], encoding="utf-8")
    done = subprocess.run([shell, "-n", str(script)], capture_output=True, text=True, env=on_the_path, timeout=60)
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.parametrize("shell", ["zsh", "fish"])
def test_zsh_and_fish_ask_a_word_a_line_and_get_what_it_is_behind_a_tab(refinekit: Run, shell: str) -> None:
    done = refinekit(REFINEKIT_COMPLETE=shell, REFINEKIT_TYPED="neu")
    assert done.stdout == "neutralise\tAlkali for spent acid: dose, heat, froth and what is left.\n"
    assert refinekit(REFINEKIT_COMPLETE=shell, REFINEKIT_TYPED="lot\n--kind\ned").stdout == "edge tabs\n"


@pytest.mark.parametrize("shell", SCRIPTS)
def test_installing_writes_the_script_and_one_line_once(on_the_path: dict[str, str], tmp_path: Path, shell: str) -> None:
    start = tmp_path / {"bash": ".bashrc", "zsh": ".zshrc", "fish": ".config/fish/config.fish"}[shell]
    start.parent.mkdir(parents=True, exist_ok=True)
    start.write_text("# mine", encoding="utf-8")
    on_the_path.pop("ZDOTDIR", None)
    for _ in range(2):
        words = [sys.executable, "-m", "refinekit", "completion", shell, "--install"]
        done = subprocess.run(words, capture_output=True, text=True, env=on_the_path, timeout=60)
        assert done.returncode == 0, done.stderr
        assert "wrote " in done.stdout
    written = list((tmp_path / ".config").rglob("*refinekit*.fish" if shell == "fish" else f"completion.{shell}"))
    assert [path.read_text(encoding="utf-8") for path in written] == [SCRIPTS[shell]]
    lines = start.read_text(encoding="utf-8").splitlines()
    assert lines[0] == "# mine"
    assert len(lines) == (1 if shell == "fish" else 2)


def test_a_shell_nobody_made_it_for_is_told(refinekit: Run) -> None:
    done = refinekit("completion", "bsh")
    assert done.returncode == 2
    assert "did you mean 'bash'?" in done.stderr
    assert refinekit(REFINEKIT_COMPLETE="tcsh", REFINEKIT_TYPED="neu").stdout == ""
