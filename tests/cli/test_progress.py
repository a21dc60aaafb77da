"""What takes over a second says so where a person looks, and nowhere else; what was drawn is gone when the answer comes."""

import io
import os
import pty
import subprocess
import sys
import time
from pathlib import Path

import pytest

from refinekit import how_far
from refinekit.cli import progress
from refinekit.how_far import counted, tell

TABS = str(Path(__file__).parents[2] / "examples" / "edge-tabs.toml")

AT_ONCE = """
import sys
from refinekit.cli import progress
from refinekit.cli.main import main
progress.AFTER_S = 0.0
main(sys.argv[1:])
"""
"""The program with a bar that needs no second to show, so that no machine is too fast for it."""


class Screen(io.StringIO):
    def isatty(self) -> bool:
        return True


def terminals(monkeypatch: pytest.MonkeyPatch) -> Screen:
    """Two terminals, and a bar that needs no second to show."""
    drawn = Screen()
    monkeypatch.setattr("sys.stderr", drawn)
    monkeypatch.setattr("sys.stdout", Screen())
    monkeypatch.setattr(progress, "AFTER_S", 0.0)
    monkeypatch.setattr(progress, "TICK_S", 0.0)
    return drawn


def work() -> None:
    for _ in counted(range(4), "lots", 4):
        time.sleep(0.01)


def test_what_is_counted_is_drawn_and_wiped_off(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = terminals(monkeypatch)
    with progress.watched(["plan", "lot.toml"]):
        work()
    assert "2 of 4 lots" in screen.getvalue()
    assert screen.getvalue().endswith("\r\x1b[K")


def test_what_nobody_knows_the_end_of_is_counted_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = terminals(monkeypatch)
    with progress.watched(["book", "check"]):
        tell(12, 0, "events")
    assert "12 events" in screen.getvalue()
    assert "of" not in screen.getvalue()


def test_what_tells_nothing_shows_the_seconds_it_takes(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = terminals(monkeypatch)
    monkeypatch.setattr(progress, "TICK_S", 0.001)
    with progress.watched(["neutralise"]):
        for _ in range(1000):
            if "reckoning" in screen.getvalue():
                break
            time.sleep(0.01)
    assert "reckoning, " in screen.getvalue()
    assert screen.getvalue().endswith("\r\x1b[K")


def test_nothing_is_drawn_once_the_answer_comes(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = terminals(monkeypatch)
    with progress.watched(["plan", "lot.toml"]):
        work()
        progress.finish()
        before = screen.getvalue()
        tell(3, 4, "lots")
        time.sleep(0.02)
        assert screen.getvalue() == before


@pytest.mark.parametrize("words", [["plan", "lot.toml", "--json"], ["plan", "lot.toml", "--csv"]])
def test_an_answer_for_a_script_has_no_bar(monkeypatch: pytest.MonkeyPatch, words: list[str]) -> None:
    screen = terminals(monkeypatch)
    with progress.watched(words):
        work()
    assert screen.getvalue() == ""


def test_a_pipe_has_no_bar(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = terminals(monkeypatch)
    monkeypatch.setattr("sys.stdout", io.StringIO())
    with progress.watched(["plan", "lot.toml"]):
        work()
    assert screen.getvalue() == ""
    assert how_far.LISTENER.get() is None


@pytest.mark.parametrize(("words", "drawn"), [((), True), (("--json",), False)])
def test_a_plan_of_many_samples_on_a_terminal(words: tuple[str, ...], drawn: bool, tmp_path: Path) -> None:
    """On a real terminal: the bar is on the error stream alone, and wiped off before the answer."""
    ours, theirs = pty.openpty()
    answer, answer_theirs = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-c", AT_ONCE, "plan", TABS, "--samples", "30000", *words],
        stdout=answer_theirs,
        stderr=theirs,
        cwd=tmp_path,
        env={**os.environ, "TERM": "xterm"},
    ) as process:
        os.close(theirs)
        os.close(answer_theirs)
        said, shown = read_both(ours, answer)
    assert process.returncode == 0
    assert (b"samples" in said and b"\r\x1b[K" in said) is drawn
    assert b" of 30000 samples" not in shown


def read_both(first: int, second: int) -> tuple[bytes, bytes]:
    """All that two terminals show until both are closed."""
    import select

    texts = {first: b"", second: b""}
    open_ends = set(texts)
    while open_ends:
        for end in select.select(list(open_ends), [], [], 60)[0]:
            try:
                data = os.read(end, 65536)
            except OSError:
                data = b""
            if not data:
                open_ends.discard(end)
            texts[end] += data
    return texts[first], texts[second]
