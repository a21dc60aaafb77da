"""A facts file as read before: kept in `__pycache__` beside it, as Python keeps its own modules, and good for that text alone.

Reading TOML takes a tenth of the time of a plan. What is kept carries the hash of the text it was read from, and the text is
hashed each time, so a changed facts file is always read anew. Where nothing may be written, every file is read every time.
"""

from __future__ import annotations

import contextlib
import marshal
import os
import sys
import tomllib
from collections.abc import Callable
from importlib.util import MAGIC_NUMBER, cache_from_source, source_hash
from pathlib import Path
from typing import Any


def read(path: Path) -> dict[str, Any]:
    """What a TOML file says, from what was kept of the same text where there is such.

    Raises: OSError, the file cannot be read; TOMLDecodeError, it is no TOML
    """
    return made_of(path, lambda text: tomllib.loads(text.decode()), kept_as=path)


def made_of(source: Path, make: Callable[[bytes], dict[str, Any]], *, kept_as: Path) -> dict[str, Any]:
    """What is made of a text, from what was kept of the same text where there is such.

    Args:
        source: file of the text
        make: makes it, of the text's bytes; plain figures, texts, lists and tables
        kept_as: name it is kept under; the folder `__pycache__` beside it is used
    Raises: OSError, the text cannot be read; what `make` raises
    """
    text = source.read_bytes()
    stamp = MAGIC_NUMBER + source_hash(text)
    try:
        kept = Path(cache_from_source(f"{kept_as}.py"))
    except NotImplementedError:  # a Python that keeps nothing
        return make(text)
    found = _taken(kept, stamp)
    if found is None:
        found = make(text)
        _put(kept, stamp, found)
    return found


def _taken(kept: Path, stamp: bytes) -> dict[str, Any] | None:
    """What was kept, if it was read from a text of this hash."""
    try:
        data = kept.read_bytes()
        return dict(marshal.loads(data[len(stamp) :])) if data.startswith(stamp) else None
    except (OSError, ValueError, EOFError, TypeError):  # not there, or cut short
        return None


def _put(kept: Path, stamp: bytes, found: dict[str, Any]) -> None:
    """Keep it, whole or not at all; nothing is said where it cannot be."""
    if sys.dont_write_bytecode:
        return
    whole = kept.with_name(f"{kept.name}.{os.getpid()}")
    with contextlib.suppress(OSError, ValueError):  # a folder that may not be written, a date in the file
        kept.parent.mkdir(exist_ok=True)
        whole.write_bytes(stamp + marshal.dumps(found))
        whole.replace(kept)
    with contextlib.suppress(OSError):
        whole.unlink(missing_ok=True)
