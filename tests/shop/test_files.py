"""A file that cannot be read or written is told in one sentence, and nothing is left half written."""

from pathlib import Path

import pytest

from refinekit.errors import BadFile
from refinekit.shop.files import LARGEST_BYTES, read_text, write_text


def test_a_file_with_a_byte_order_mark_is_read(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_bytes(b"\xef\xbb\xbf[lot]\n")
    assert read_text(str(tmp_path / "a.toml"), "a.toml") == "[lot]\n"


@pytest.mark.parametrize(
    ("content", "says"),
    [
        pytest.param(b"\xff\xfe\x00", "is not UTF-8 text", id="binary"),
        pytest.param("caf\xe9".encode("latin-1"), "is not UTF-8 text", id="latin-1"),
        pytest.param(b"x" * (LARGEST_BYTES + 1), "is over 5 MB", id="too large"),
    ],
)
def test_a_file_that_is_no_text_is_refused(tmp_path: Path, content: bytes, says: str) -> None:
    (tmp_path / "a.toml").write_bytes(content)
    with pytest.raises(BadFile, match=says):
        read_text(str(tmp_path / "a.toml"), "a.toml")


def test_a_missing_file_and_a_folder_are_told_apart(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="there is no file"):
        read_text(str(tmp_path / "missing.toml"), "missing.toml")
    with pytest.raises(BadFile, match="is a folder"):
        read_text(str(tmp_path), "here")


def test_a_name_no_system_can_hold_is_refused() -> None:
    with pytest.raises(BadFile):
        read_text("a\0b", "odd")


def test_writing_keeps_a_file_that_is_there(tmp_path: Path) -> None:
    target = tmp_path / "lot.toml"
    write_text(str(target), "one")
    with pytest.raises(BadFile, match="is there already\n  Try: another name, or --force"):
        write_text(str(target), "two")
    assert target.read_text() == "one"
    write_text(str(target), "two", force=True)
    assert target.read_text() == "two"
    assert [path.name for path in tmp_path.iterdir()] == ["lot.toml"]


def test_writing_where_there_is_no_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="cannot be written"):
        write_text(str(tmp_path / "none" / "lot.toml"), "one")
    with pytest.raises(BadFile, match="is a folder"):
        write_text(str(tmp_path), "one")
