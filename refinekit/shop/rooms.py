"""The rooms of the bench; each is imported when it is asked for."""

from __future__ import annotations

from importlib import import_module

from refinekit.bench.fields import Room
from refinekit.errors import UnknownName
from refinekit.nearest import did_you_mean
from refinekit.shop.verbs import ROOMS


def room(verb: str) -> Room:
    """The room of a verb.

    Raises: UnknownName, with the nearest verb
    """
    if verb not in ROOMS:
        raise UnknownName(f"{verb[:40]!r} is no step of this bench", cure=did_you_mean(verb, ROOMS))
    found: Room = import_module(f"refinekit.bench.{verb}").ROOM
    return found
