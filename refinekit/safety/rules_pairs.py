"""The rows of the table of pairs that hold in every step too."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from refinekit.bench.step import Notice
from refinekit.facts.load import table
from refinekit.safety.scene import Scene


def pairs_that_always_hold(scene: Scene) -> Iterator[Notice]:
    """Pairs so bad that amounts and places do not matter."""
    rows: list[Mapping[str, Any]] = table("safety/matrix")["pair"]
    for row in rows:
        if row.get("always") and scene.most_of(*row["a"]) > 0 and scene.most_of(*row["b"]) > 0:
            yield Notice(row["level"], row["code"], row["text"], row["do"], row["source"])


RULES = (pairs_that_always_hold,)
