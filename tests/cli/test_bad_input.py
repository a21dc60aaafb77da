"""Bad input gets one clear message with the cure and exit code 2; never a traceback."""

import contextlib
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.command import Run

MORE_THAN_A_PIPE_HOLDS = 1_000_000

BAD: list[tuple[str, list[str], str]] = [
    ("an unknown command", ["leech"], "did you mean 'leach'"),
    ("an unknown option", ["drop", "--golf", "2 g"], "--golf"),
    ("a unit that is none", ["drop", "--gold", "2 gg"], "gg is not a unit of mass"),
    ("the wrong dimension", ["drop", "--gold", "2 L"], "is a volume"),
    ("a negative mass", ["drop", "--gold", "-2 g"], "below zero"),
    ("not a number", ["drop", "--gold", "nan g"], "not a finite number"),
    ("a range out of order", ["drop", "--gold", "3/2/1 g"], "out of order"),
    ("two values", ["drop", "--gold", "1/2 g"], "low/likely/high"),
    ("a strength that does not exist", ["dissolve", "--gold", "2 g", "--nitric", "101 %"], "101"),
    ("nothing to work on", ["drop"], "nothing to work on"),
    ("a missing pots file", ["drop", "--pot", "none.json"], "there is no file"),
    ("two looks at once", ["drop", "--gold", "2 g", "--json", "--csv"], "both asked for"),
    ("an unknown choice", ["drop", "--gold", "2 g", "--reagent", "smbb"], "did you mean 'smb'?"),
    ("an unknown system of units", ["drop", "--gold", "2 g", "--units", "stone"], "metric, troy, us"),
    ("an override without a reason", ["drop", "--gold", "2 g", "--override", "nox"], "has no reason"),
    ("an unknown element", ["molar", "Xx9"], "Xx"),
    ("an equation that cannot be", ["balance", "Cu -> Ag"], "Try:"),
    ("a plan without a file", ["plan", "none.toml"], "refinekit new lot.toml"),
    ("an unknown reagent", ["strength", "unobtainium"], "Try:"),
    ("water into acid", ["dilute", "sulfuric", "--target", "10 %", "--volume", "1 L", "--order", "water"], "acid-to-water"),
    ("a word no fact speaks of", ["sources", "xyzzy"], "no fact and no source"),
]


@pytest.mark.parametrize(("words", "says"), [pytest.param(words, says, id=name) for name, words, says in BAD])
def test_bad_input_is_one_message_with_its_cure(refinekit: Run, words: list[str], says: str) -> None:
    done = refinekit(*words)
    assert done.returncode == 2
    assert says in done.stderr
    assert "Try:" in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


@pytest.mark.parametrize(
    "content",
    [
        pytest.param(b"", id="empty"),
        pytest.param(bytes(range(256)) * 40, id="binary"),
        pytest.param(b"[lot\nweight = ", id="broken"),
        pytest.param(b"a = " + b"[" * 3000 + b"]" * 3000, id="nested without end"),
        pytest.param(b"[lot]\x00\n", id="a null byte"),
        pytest.param(b"[lot]\nkind='" + b"x" * 200_000 + b"'\n", id="a word without end"),
        pytest.param(b"lot = [1,2,3]\nstep = 'leach'\n", id="lists for sections"),
    ],
)
def test_a_bad_batch_file_is_told_and_nothing_is_written(refinekit: Run, tmp_path: Path, content: bytes) -> None:
    (tmp_path / "lot.toml").write_bytes(content)
    done = refinekit("plan", "lot.toml")
    assert done.returncode == 2
    assert "Try:" in done.stderr
    assert "Traceback" not in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["lot.toml"]


@pytest.mark.parametrize(
    "stdin", ["", "{", "null", "[" * 5000, '{"pots": []}', '{"pots": [{"volume_l": -1}]}', '{"pots": [{"name": 3}]}']
)
def test_a_bad_pot_on_the_pipe_is_told(refinekit: Run, stdin: str) -> None:
    done = refinekit("drop", "--pot", "-", stdin=stdin)
    assert done.returncode == 2
    assert "Try:" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_closed_pipe_is_quiet(tmp_path: Path) -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "refinekit", "sources", "--json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=tmp_path
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait(timeout=60) == 0


def hears_ctrl_c() -> None:
    """A run started in the background inherits an interrupt that is ignored; a person's terminal does not ignore it."""
    signal.signal(signal.SIGINT, signal.default_int_handler)


def test_ctrl_c_ends_with_130_and_no_noise(tmp_path: Path) -> None:
    pipe = subprocess.PIPE
    with subprocess.Popen(
        [sys.executable, "-m", "refinekit", "drop", "--pot", "-"],
        stdin=pipe,
        stdout=pipe,
        stderr=pipe,
        cwd=tmp_path,
        preexec_fn=hears_ctrl_c,
    ) as process:
        assert process.stdin is not None
        process.stdin.write(b" " * MORE_THAN_A_PIPE_HOLDS)  # taken only once the command reads: by now it waits for the rest
        process.stdin.flush()
        for _ in range(60):  # pressed again where it fell between two reads
            process.send_signal(signal.SIGINT)
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(timeout=1)
                break
        assert process.returncode == 130
        assert process.stdout is not None
        assert process.stderr is not None
        assert (process.stdout.read(), process.stderr.read()) == (b"", b"")


@pytest.mark.parametrize(
    "words",
    [
        ("vent", "--gold", "8 g", "--t90", "5/10/20 min", "--room", "45 m3", "--hood"),
        ("vent", "--gold", "1 g", "--hood", "--room", "40/45/50 m3", "--air-changes", "1/2/3"),
        ("lot", "--weight", "80/100/120 g"),
        ("neutralise", "--copper", "20 g"),
        ("melt", "--silver-chloride", "20 g", "--soda", "0 g"),
    ],
)
def test_a_range_or_a_thing_left_out_is_no_fault_of_the_program(refinekit: Run, words: tuple[str, ...]) -> None:
    answer = refinekit(*words)
    assert answer.returncode in (0, 2, 3), answer.stderr
    assert "fault" not in answer.stderr
