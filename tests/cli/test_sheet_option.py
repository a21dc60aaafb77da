"""The run sheet from the command line: written whole or not at all, never over a file unasked; slow to load, so only then."""

from pathlib import Path

import pytest

from tests.cli.test_start_up import loaded_by
from tests.command import Run

ROOT = Path(__file__).resolve().parents[2]
PLAN = ["plan", str(ROOT / "examples" / "edge-tabs.toml")]
ACCOUNT = ["account", "--expected", "2.1 g", "--bar", "2.05 g", "--fineness", "996"]


def test_a_plan_without_a_sheet_loads_neither_templates_nor_pictures() -> None:
    assert {"jinja2", "matplotlib"}.isdisjoint(loaded_by(*PLAN))


def test_a_sheet_that_is_there_is_written_over_only_when_told(refinekit: Run, tmp_path: Path) -> None:
    (tmp_path / "run.html").write_text("mine")
    done = refinekit(*PLAN, "--sheet", "run.html")
    assert done.returncode == 2
    assert done.stderr == "refinekit: 'run.html' is there already\n  Try: another name, or --force to write over it\n"
    assert (tmp_path / "run.html").read_text() == "mine"
    assert refinekit(*PLAN, "--sheet", "run.html", "--force").returncode == 0
    assert (tmp_path / "run.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


@pytest.mark.parametrize(
    ("file", "said"),
    [
        ("run.pdf", "does not end in .html"),
        ("nowhere/run.html", "cannot be written"),
        ("dir.html", "is a folder"),
        ("", "does not end"),
    ],
)
def test_a_sheet_that_cannot_be_written_is_one_line_and_its_cure(refinekit: Run, tmp_path: Path, file: str, said: str) -> None:
    (tmp_path / "dir.html").mkdir()
    done = refinekit(*PLAN, "--sheet", file)
    assert done.returncode == 2
    assert said in done.stderr
    assert "\n  Try: " in done.stderr
    assert done.stdout == ""
    assert [one.name for one in tmp_path.iterdir()] == ["dir.html"]


def test_a_full_disk_leaves_nothing_half_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import errno
    import os

    from refinekit.errors import BadFile
    from refinekit.shop.files import write_text

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(BadFile, match="no space left on device"):
        write_text(str(tmp_path / "run.html"), "page")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "words",
    [ACCOUNT, ["bath", "start", "--bath-volume", "5.2L", "--bath-copper", "95g/L", "--bath-acid", "1.4mol/L"],
     ["log", str(ROOT / "examples" / "edge-tabs.toml"), "--lot", "12", "--step", "drop"]],
)  # fmt: skip
def test_other_answers_go_to_a_page_too(refinekit: Run, tmp_path: Path, words: list[str]) -> None:
    done = refinekit(*words, "--sheet", "page.html")
    assert done.returncode == 0, done.stderr
    assert "</html>" in (tmp_path / "page.html").read_text(encoding="utf-8")
