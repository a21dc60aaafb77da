"""Reading a person's files: whatever is wrong with one is said in a sentence."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path
from typing import BinaryIO

from refinekit.errors import BadFile
from refinekit.nearest import did_you_mean

LARGEST_BYTES = 5_000_000
"""Largest text file read: batch files and pots are kilobytes."""

START = {".toml": "refinekit new lot.toml writes one to start from", ".json": "a step told --json > pots.json leaves its pots so"}
"""Where a file comes from, by its ending."""


def read_text(source: str | BinaryIO, name: str) -> str:
    """Text of a file or stream.

    Args:
        source: a path, or an open binary stream
        name: how it is called in messages
    Raises: BadFile, missing, a folder, too large, or not UTF-8 text
    """
    try:
        if isinstance(source, str):
            with Path(source).open("rb") as file:
                data = file.read(LARGEST_BYTES + 1)
        else:
            data = source.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        otherwise = f"check the name; {START.get(Path(name).suffix, START['.toml'])}"
        raise BadFile(
            f"there is no file {name[:80]!r}", cure=did_you_mean(os.path.basename(name), _beside(name), otherwise)
        ) from None
    except IsADirectoryError:
        raise BadFile(f"{name[:80]!r} is a folder", cure="name a file in it") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise BadFile(f"{name[:80]!r} cannot be read ({reason.lower()})", cure="check the name and who may read it") from None
    if len(data) > LARGEST_BYTES:
        raise BadFile(
            f"{name[:80]!r} is over {LARGEST_BYTES // 1_000_000} MB", cure="these files are kilobytes: is it the right one?"
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadFile(f"{name[:80]!r} is not UTF-8 text (byte {error.start})", cure="save it as UTF-8 plain text") from None


def _beside(name: str) -> list[str]:
    """Names of the files that stand in the same folder."""
    try:
        return [one.name for one in os.scandir(os.path.dirname(name) or ".") if one.is_file() and not one.name.startswith(".")]
    except (OSError, ValueError):
        return []


def write_text(path: str, text: str, *, force: bool = False) -> None:
    """Write a file whole or not at all: under a temporary name first, then moved.

    Args:
        path: where to
        text: what to write
        force: whether a file that is there may be written over
    Raises: BadFile, it is there already, is a folder, or cannot be written
    """
    try:
        refuse_target(path, force=force)
        target = Path(os.path.realpath(path))  # a link stays one: what it leads to is written
        handle, temporary = tempfile.mkstemp(dir=target.parent, prefix=".refinekit-")
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(text)
            os.chmod(temporary, 0o644)
            os.replace(temporary, target)
        except BaseException:
            Path(temporary).unlink(missing_ok=True)
            raise
    except (OSError, ValueError) as error:
        if isinstance(error, BadFile):
            raise
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise BadFile(f"{path[:80]!r} cannot be written ({reason.lower()})", cure="a folder you may write in") from None


def refuse_target(path: str, *, force: bool) -> None:
    """Refuse what cannot be written to, before anything is made to be written there.

    Args:
        path: where to
        force: whether a file that is there may be written over
    Raises: BadFile, it is there already, is a folder or a device, is in no folder, or cannot be looked at
    """
    target = Path(path)
    try:
        if target.is_dir():
            raise BadFile(f"{path[:80]!r} is a folder", cure="name a file in it")
        if target.exists() and not target.is_file():
            raise BadFile(f"{path[:80]!r} is no plain file", cure="another name")
        if os.path.lexists(path) and not force:
            raise BadFile(f"{path[:80]!r} is there already", cure="another name, or --force to write over it")
        folder = Path(os.path.realpath(path)).parent
        if not folder.is_dir():
            raise BadFile(f"{path[:80]!r} cannot be written (there is no such folder)", cure="a folder that is there")
        if not os.access(folder, os.W_OK):
            raise BadFile(f"{path[:80]!r} cannot be written (permission denied)", cure="a folder you may write in")
    except BadFile:
        raise
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise BadFile(f"{path[:80]!r} cannot be written ({reason.lower()})", cure="a folder you may write in") from None
