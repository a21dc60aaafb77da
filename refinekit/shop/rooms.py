"""The verbs of the bench and where each is kept; a room is imported when it is asked for."""

from __future__ import annotations

from importlib import import_module

from refinekit.bench.fields import Room
from refinekit.errors import UnknownName
from refinekit.nearest import did_you_mean

WHERE = {
    "lot": "lot",
    "leach": "leach",
    "air": "air",
    "rinse": "rinse",
    "dissolve": "dissolve",
    "denox": "denox",
    "drop": "drop",
    "cement": "cement",
    "neutralise": "neutralise",
    "sludge": "sludge",
    "melt": "melt",
    "fume": "fume",
    "vent": "vent",
    "scrub": "scrub",
    "titrate": "titrate",
    "inquart": "inquart",
    "part": "part",
    "silver": "silver",
    "fineness": "fineness",
    "account": "account",
}
"""Verb -> module of refinekit.bench that exports its ROOM."""


def room(verb: str) -> Room:
    """The room of a verb.

    Raises: UnknownName, with the nearest verb
    """
    if verb not in WHERE:
        raise UnknownName(f"{verb[:40]!r} is no step of this bench", cure=did_you_mean(verb, WHERE))
    found: Room = import_module(f"refinekit.bench.{WHERE[verb]}").ROOM
    return found
