"""Every example runs as it is shown: in the help of each command, in the README, and the batch files beside it."""

import re
import shlex
import shutil
import subprocess
from pathlib import Path

import pytest

from refinekit.cli.cards import CARDS
from tests.command import Run

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
STOPPED = {"ammonia-drop.toml"}
"""Examples that show a stop."""
ENDS_STOPPED = {"plan": 3, "cost": 2, "stock": 2}
"""How a stopped plan ends, and what cannot be asked of one."""
BEFORE = {
    "pot": ["lot --kind 'edge tabs' --weight 420g --area 1600cm2 --json"],
    "bath": ["bath start --bath-volume 5.2L --bath-copper 95g/L --bath-nickel 12g/L --bath-acid 1.4mol/L"],
    "drum": ["drum open 'drum 1' --for 'acid liquor'"],
    "manifest": ["drum open 'drum 1' --for 'acid liquor'", "drum add 'drum 1' --what 'spent bath' --volume 4.6L --density 1.18"],
    "report": ["log --lot 12 --bar 2.05g --fineness 996"],
    "book": ["log --lot 12 --bar 2.05g --fineness 996"],
}
"""What must have been done before an example of the record, or of a pot, can be asked."""


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A folder with the examples in it."""
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    return tmp_path


@pytest.mark.parametrize("verb", CARDS)
def test_the_example_in_the_help_runs_as_it_is_shown(refinekit: Run, shop: Path, verb: str) -> None:
    shown = refinekit(verb, "--help", COLUMNS="80")
    assert shown.returncode == 0, shown.stderr
    assert max(map(len, shown.stdout.splitlines())) <= 80
    (block,) = re.findall(r"^ *Example:\n((?:.+\n)+)", shown.stdout, re.M)
    words = shlex.split(re.sub(r"\\\n", " ", block))  # as a shell takes what is copied
    assert words[:2] == ["refinekit", verb]
    for line in BEFORE.get(verb, ()):
        done = refinekit(*shlex.split(line))
        assert done.returncode == 0, done.stderr
        if verb == "pot":
            (shop / words[2]).write_text(done.stdout, encoding="utf-8")
    done = refinekit(*words[1:])
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip()
    assert "Traceback" not in done.stderr


def test_there_are_six_examples_and_each_says_what_it_shows() -> None:
    firsts = [path.read_text(encoding="utf-8").splitlines()[0] for path in EXAMPLES]
    assert len(EXAMPLES) == 6
    assert all(line.startswith("# Shows: ") and len(line) > 40 for line in firsts), firsts


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name)
@pytest.mark.parametrize("verb", ["plan", "cost", "stock"])
def test_every_example_runs(refinekit: Run, path: Path, verb: str) -> None:
    done = refinekit(verb, str(path))
    assert done.returncode == (ENDS_STOPPED[verb] if path.name in STOPPED else 0), done.stderr
    assert "Traceback" not in done.stderr
    assert "fault of the program" not in done.stderr


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name)
def test_the_readme_names_every_example(path: Path) -> None:
    assert f"examples/{path.name}" in (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_readme_pipe_runs_as_it_is_shown(refinekit: Run, shop: Path) -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line.startswith("refinekit ") and " | " in line]
    assert lines
    for line in lines:
        piped = ""
        for part in line.split(" | "):
            done = refinekit(*shlex.split(part)[1:], stdin=piped)
            assert done.returncode == 0, done.stderr
            piped = done.stdout


def test_every_command_is_told_of_in_the_readme() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert [verb for verb in CARDS if f"refinekit {verb}" not in text] == []


def test_the_quick_start_is_one_line_that_names_an_example() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    first = re.search(r"^```sh\n(.*?)^```", text, re.S | re.M)
    assert first is not None
    parsed = subprocess.run(["bash", "-n", "-c", first[1]], capture_output=True, text=True)
    assert (parsed.returncode, parsed.stderr) == (0, "")
    assert (ROOT / first[1].split()[-1]).is_file()
