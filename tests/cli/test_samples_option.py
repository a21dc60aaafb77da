"""plan --samples as a person runs it: the same seed twice, a bad number, Ctrl-C, and the chart."""

import io
import json
from pathlib import Path

import pytest

from refinekit.cli.main import main
from refinekit.cli.progress import Progress
from tests.command import Run

TABS = str(Path(__file__).parents[2] / "examples" / "edge-tabs.toml")


def test_the_same_seed_prints_the_same_answer(refinekit: Run) -> None:
    first, again = (refinekit("plan", TABS, "--samples", "400", "--seed", "5") for _ in range(2))
    assert first.returncode == 0
    assert first.stdout == again.stdout
    assert "400 samples of 16 unknowns, seed 5" in first.stdout


def test_the_plan_itself_is_the_same_with_and_without_samples(refinekit: Run) -> None:
    plain = json.loads(refinekit("plan", TABS, "--json").stdout)
    sampled = json.loads(refinekit("plan", TABS, "--json", "--samples", "400").stdout)
    assert sampled["reagents"] == plain["reagents"]
    assert sampled["steps"][:-1] == plain["steps"]
    assert sampled["steps"][-1]["name"] == "samples"
    assert sampled["pots"] == plain["pots"]


@pytest.mark.parametrize("number", ["0", "99", "-5", "1e4", "ten", "", str(2**40), "9" * 400])
def test_a_number_of_samples_that_cannot_be_is_one_sentence(refinekit: Run, number: str) -> None:
    said = refinekit("plan", TABS, "--samples", number)
    assert said.returncode == 2
    assert said.stdout == ""
    assert "sample" in said.stderr
    assert "Try:" in said.stderr


def test_a_seed_without_samples_says_so(refinekit: Run) -> None:
    said = refinekit("plan", TABS, "--seed", "3")
    assert said.returncode == 2
    assert "--samples 10000 --seed 3" not in said.stderr
    assert "without --samples" in said.stderr


def test_bars_can_be_written_to_a_file(refinekit: Run, tmp_path: Path) -> None:
    said = refinekit("plan", TABS, "--samples", "400", "--chart", "bars.svg")
    assert said.returncode == 0
    assert "what moves" in (tmp_path / "bars.svg").read_text(encoding="utf-8")


def test_ctrl_c_among_the_samples_leaves_nothing_half_done(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def ctrl_c(self: Progress, done: int, of: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Progress, "__call__", ctrl_c)
    with pytest.raises(SystemExit) as ended:
        main(["plan", TABS, "--samples", "400", "--chart", str(tmp_path / "bars.svg")])
    assert ended.value.code == 130
    assert capsys.readouterr() == ("", "")
    assert list(tmp_path.iterdir()) == []


class Screen(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_what_takes_over_a_second_shows_how_far_it_is_and_wipes_it_off(monkeypatch: pytest.MonkeyPatch) -> None:
    screen, clock = Screen(), iter([0.0, 0.5, 1.5])
    monkeypatch.setattr("sys.stderr", screen)
    monkeypatch.setattr("refinekit.cli.progress.time.monotonic", lambda: next(clock))
    progress = Progress("samples")
    progress(1000, 4000)
    assert screen.getvalue() == ""
    progress(2000, 4000)
    assert "2000 of 4000 samples" in screen.getvalue()
    assert screen.getvalue().count("#") == screen.getvalue().count(".")
    progress(4000, 4000)
    assert screen.getvalue().endswith("\r\x1b[K")
