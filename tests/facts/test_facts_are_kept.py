"""A facts file is never read as it was before it was changed."""

import os
import sys
import tomllib
from pathlib import Path

import pytest

from refinekit.facts.kept import read
from refinekit.facts.load import FOLDER, files, table


@pytest.fixture
def figure(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(sys, "pycache_prefix", None)
    file = tmp_path / "figure.toml"
    file.write_text("dose_g = 1.5\n")
    return file


def kept_beside(file: Path) -> list[Path]:
    return list((file.parent / "__pycache__").glob("*"))


@pytest.mark.parametrize("name", files())
def test_what_is_kept_is_what_the_file_says(name: str) -> None:
    assert table(name) == read(FOLDER / f"{name}.toml") == tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))


def test_it_is_kept_once_and_taken_again(figure: Path) -> None:
    assert read(figure) == {"dose_g": 1.5}
    assert len(kept_beside(figure)) == 1
    assert read(figure) == {"dose_g": 1.5}


def test_a_changed_figure_is_read_even_with_the_time_and_size_of_the_old(figure: Path) -> None:
    assert read(figure) == {"dose_g": 1.5}
    before = figure.stat()
    figure.write_text("dose_g = 2.5\n")
    os.utime(figure, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert read(figure) == {"dose_g": 2.5}


@pytest.mark.parametrize("left", [0, 3, 12, 20, 30])
def test_a_kept_file_cut_short_is_made_anew(figure: Path, left: int) -> None:
    read(figure)
    (kept,) = kept_beside(figure)
    whole = kept.read_bytes()
    kept.write_bytes(whole[:left])
    assert read(figure) == {"dose_g": 1.5}
    assert kept.read_bytes() == whole


def test_nothing_is_written_where_python_keeps_nothing(figure: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert read(figure) == {"dose_g": 1.5}
    assert kept_beside(figure) == []


def test_a_folder_that_cannot_be_written_is_read_all_the_same(figure: Path) -> None:
    (figure.parent / "__pycache__").write_text("a file where the folder would be")
    assert read(figure) == {"dose_g": 1.5}


def test_a_file_with_a_date_is_read_and_not_kept(figure: Path) -> None:
    figure.write_text("read_on = 2024-05-01\n")
    assert str(read(figure)["read_on"]) == str(read(figure)["read_on"]) == "2024-05-01"
    assert kept_beside(figure) == []


def test_a_file_that_is_no_toml_says_so(figure: Path) -> None:
    figure.write_text("dose_g = ")
    with pytest.raises(tomllib.TOMLDecodeError):
        read(figure)
