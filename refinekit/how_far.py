"""How far a long piece of work is, told to whoever listens; nobody does unless the command line has a terminal to show it on."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextvars import ContextVar
from typing import TypeVar

Thing = TypeVar("Thing")
LISTENER: ContextVar[Callable[[int, int, str], None] | None] = ContextVar("how far", default=None)


def tell(done: int, of: int, what: str) -> None:
    """Say how far it is.

    Args:
        done: what is done [-]
        of: what is wanted [-]; 0 where nobody knows yet
        what: what is counted [text]
    """
    listener = LISTENER.get()
    if listener is not None:
        listener(done, of, what)


def counted(things: Iterable[Thing], what: str, of: int = 0) -> Iterator[Thing]:
    """The things one by one, each told of once it is done.

    >>> list(counted("ab", "letters"))
    ['a', 'b']

    Args:
        things: any
        what: what they are [text]
        of: how many they are [-]; 0 where nobody knows yet
    """
    for done, thing in enumerate(things, start=1):
        yield thing
        tell(done, of, what)
