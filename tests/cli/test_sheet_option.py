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


def test_nothing_is_logged_where_the_page_cannot_be_written(refinekit: Run, tmp_path: Path) -> None:
    log = ["log", str(ROOT / "examples" / "edge-tabs.toml"), "--lot", "12", "--at", "2026-03-05", "--sheet", "page.html"]
    (tmp_path / "page.html").write_text("mine")
    assert refinekit(*log).returncode == 2
    done = refinekit(*log, "--force")
    assert done.returncode == 0, done.stderr


def test_a_link_is_never_written_over_unasked_and_stays_a_link_when_told(tmp_path: Path) -> None:
    from refinekit.errors import BadFile
    from refinekit.shop.files import write_text

    (tmp_path / "own").mkdir()
    (tmp_path / "run.html").symlink_to(tmp_path / "own" / "kept.html")  # leads to nothing yet
    with pytest.raises(BadFile, match="is there already"):
        write_text(str(tmp_path / "run.html"), "page")
    write_text(str(tmp_path / "run.html"), "page", force=True)
    assert (tmp_path / "run.html").is_symlink()
    assert (tmp_path / "own" / "kept.html").read_text() == "page"
    assert sorted(one.name for one in tmp_path.rglob("*")) == ["kept.html", "own", "run.html"]


def test_a_device_is_not_written_over_even_when_told(tmp_path: Path) -> None:
    from refinekit.errors import BadFile
    from refinekit.shop.files import write_text

    (tmp_path / "run.html").symlink_to("/dev/full")
    with pytest.raises(BadFile, match="is no plain file"):
        write_text(str(tmp_path / "run.html"), "page", force=True)
    assert Path("/dev/full").is_char_device()


def test_a_folder_nobody_may_write_in_is_said_before_anything_is_reckoned(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import os

    from refinekit.cli.papers import page_name
    from refinekit.errors import BadFile

    monkeypatch.setattr(os, "access", lambda *_: False)  # root may write anywhere
    with pytest.raises(BadFile, match="permission denied"):
        page_name(str(tmp_path / "run.html"), force=False)


def test_a_disk_that_fills_up_leaves_the_old_page_and_no_half_of_a_new_one(tmp_path: Path) -> None:
    import resource
    import signal
    import subprocess
    import sys

    (tmp_path / "run.html").write_text("old")
    code = "import sys; from refinekit.errors import BadFile; from refinekit.shop.files import write_text\n" + (
        "try: write_text('run.html', 'x' * 100_000, force=True)\nexcept BadFile as error: sys.exit(str(error))"
    )

    def small() -> None:  # no file of this process may grow over 4 kB, as on a disk that is full
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))

    done = subprocess.run([sys.executable, "-B", "-c", code], cwd=tmp_path, capture_output=True, text=True, preexec_fn=small)
    assert "'run.html' cannot be written (" in done.stderr
    assert [(one.name, one.read_text()) for one in tmp_path.iterdir()] == [("run.html", "old")]


def test_a_page_that_fails_after_the_book_was_written_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    import errno
    import os

    from refinekit.cli.main import main

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setenv("REFINEKIT_BOOK", str(tmp_path / "book.sqlite"))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(SystemExit) as end:
        main(["log", "--lot", "12", "--bar", "5 g", "--sheet", "page.html"])
    said = capsys.readouterr().err
    assert end.value.code == 2
    assert "no space left on device); only the page is missing" in said
    assert "book events" in said
    assert not (tmp_path / "page.html").exists()
