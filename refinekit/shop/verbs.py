"""The verbs of the bench as text, so that listing them loads nothing: each is a module of refinekit.bench with a ROOM."""

ROOMS = (
    "lot",
    "leach",
    "air",
    "rinse",
    "dissolve",
    "denox",
    "drop",
    "cement",
    "neutralise",
    "sludge",
    "melt",
    "fume",
    "vent",
    "scrub",
    "titrate",
    "inquart",
    "part",
    "silver",
    "fineness",
    "account",
)
"""Verbs that are a room of the bench, in the order of a run: their options and keys come from the room's fields."""
