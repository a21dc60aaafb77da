"""The reagents by every word they go by, and which of a few keys such a word means."""

from __future__ import annotations

from collections.abc import Collection
from functools import cache

from refinekit.facts.load import table
from refinekit.nearest import nearest


@cache
def reagent_names() -> dict[str, str]:
    """Reagent key by every word it goes by."""
    return {
        word.lower(): row["key"]
        for row in table("reagents")["reagent"]
        for word in (row["key"], row["name"], *row.get("aliases", []))
    }


def key_meant(word: str, keys: Collection[str]) -> str | None:
    """The key, of a few, of a reagent that was called by another of its names.

    Args:
        word: as typed, rightly or nearly so [text]
        keys: those that may be meant
    Returns: the key; None where the word is no name of theirs

    >>> key_meant("sodium metabisulphite", ("smb", "oxalic"))
    'smb'
    """
    names = {name: key for name, key in reagent_names().items() if key in keys}
    return names.get(word.lower()) or names.get(nearest(word, names) or "")
