"""On which line of a TOML text a key stands, so that a fault can be shown where it is. The text itself is read by tomllib."""

from __future__ import annotations

import re

_HEADER = re.compile(r"^\s*(\[\[?)\s*([^\]]+?)\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(r"""^\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*'))*)\s*=""")


def _words(dotted: str) -> tuple[str, ...]:
    return tuple(word.strip().strip("\"'") for word in dotted.split("."))


def lines_of(text: str) -> dict[tuple[str | int, ...], int]:
    """Line of every header and key.

    Args:
        text: a TOML text
    Returns: by path, e.g. ("lot", "weight") or ("step", 1, "do") with list items counted from 0; lines counted from 1. Keys
        inside an inline table stand on the line of the key that holds it.
    """
    found: dict[tuple[str | int, ...], int] = {}
    section: tuple[str | int, ...] = ()
    count: dict[tuple[str, ...], int] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        header = _HEADER.match(line)
        key = _KEY.match(line)
        if header:
            words = _words(header[2])
            section = words
            if header[1] == "[[":
                count[words] = count.get(words, -1) + 1
                section = (*words, count[words])
            found.setdefault(section, number)
        elif key:
            found.setdefault((*section, *_words(key[1])), number)
    return found


def line_at(lines: dict[tuple[str | int, ...], int], path: tuple[str | int, ...]) -> int:
    """Line of a path, or of the nearest thing that holds it; 1 where nothing is known."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return 1
