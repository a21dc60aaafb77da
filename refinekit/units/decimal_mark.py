"""Which sign is the decimal mark of a text: a dot, or a comma where somebody said so. It is never gathered from the figure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any

MARKS = ("comma", "point")
TOLD: ContextVar[str] = ContextVar("decimal comma", default="")
"""Who said that a comma is the decimal mark, in words; "" where a dot is."""


class WithComma(str):
    """A text of a file that says its decimal mark is a comma; stays one through `str`."""

    __slots__ = ()
    told = 'decimal = "comma" in the file'

    def __str__(self) -> str:
        return self


class WithPoint(WithComma):
    """A text of a file that says its decimal mark is a dot."""

    __slots__ = ()
    told = ""


def told_of(text: str, decimal_comma: bool | None) -> str:
    """Who said that a comma is the decimal mark of a text, in words; "" for a dot.

    Args:
        text: as typed; one of a file with a mark of its own goes by that
        decimal_comma: what the reader was told; None for what the whole program was
    """
    if isinstance(text, WithComma):
        return text.told
    if decimal_comma is None:
        return TOLD.get()
    return "the caller" if decimal_comma else ""


@contextmanager
def comma_told_by(who: str) -> Iterator[None]:
    """Read a comma as the decimal mark for a while; a dot where `who` is empty."""
    token = TOLD.set(who)
    try:
        yield
    finally:
        TOLD.reset(token)


def marked(node: Any, mark: str) -> Any:
    """What a file says, its texts with the decimal mark the file names.

    Args:
        node: tables, lists, texts and figures
        mark: comma or point
    """
    if isinstance(node, Mapping):
        return {key: marked(inner, mark) for key, inner in node.items()}
    if isinstance(node, list):
        return [marked(inner, mark) for inner in node]
    if isinstance(node, str):
        return WithComma(node) if mark == "comma" else WithPoint(node)
    return node
