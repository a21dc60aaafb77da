"""Reads the facts: TOML files beside this module, each figure with its unit, source and confidence.

A fact is a TOML table. A single figure has `value`, or `low`, `likely` and `high`, with `unit`. Every fact names a `source`
(a key of sources.toml) and a `confidence`: read, derived, practice or memory. Files are read when first asked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from refinekit.errors import UnknownName
from refinekit.facts.kept import read
from refinekit.ranges import Range
from refinekit.record import record

FOLDER = Path(__file__).parent
CONFIDENCES = ("read", "derived", "practice", "memory")


@record
class Fact:
    """One sourced figure.

    Args:
        id: where it stands, as file.key [text], e.g. practice/leach.free_acid_floor
        range: the figure [in `unit`]; a point where it is taken as known
        unit: unit of the figure [text]; empty for a pure number
        source: key of sources.toml [text]
        confidence: read, derived, practice or memory [text]
        where: page, table or row in the source [text]
        about: what the figure is, in one line [text]
    """

    id: str
    range: Range
    unit: str
    source: str
    confidence: str
    where: str
    about: str

    @property
    def value(self) -> float:
        """The likely figure [in `unit`]."""
        return self.range.likely


@cache
def table(name: str) -> Mapping[str, Any]:
    """A whole facts file.

    Args:
        name: path below the facts folder without .toml [text], e.g. "reactions" or "practice/leach"
    Raises: UnknownName, there is no such file
    """
    path = FOLDER / f"{name}.toml"
    if not path.is_file():
        raise UnknownName(f"there is no facts file {name!r}", cure="see the files in refinekit/facts")
    return read(path)


@cache
def fact(id: str) -> Fact:
    """One figure by its id, file.key or file.section.key.

    Raises: UnknownName, no such fact
    """
    name, _, key = id.partition(".")
    row: Any = table(name)
    known: dict[str, Any] = {}
    for part in key.split("."):
        row = _inside(row, part)
        if row is None:
            raise UnknownName(f"there is no fact {id!r}", cure=f"see refinekit/facts/{name}.toml")
        if isinstance(row, Mapping):
            known |= {word: row[word] for word in ("source", "confidence", "where") if word in row}
    return as_fact(id, {**known, **row})


def _inside(row: Any, part: str) -> Any:
    """What stands under a word: a key of a table, or the row of a list with it as id, key or formula; None for nothing."""
    if isinstance(row, Mapping):
        return row.get(part)
    if isinstance(row, list):
        return next((one for one in row if part in (one.get("id"), one.get("key"), one.get("formula"))), None)
    return None


def as_fact(id: str, row: Mapping[str, Any]) -> Fact:
    """A row of a facts file as a Fact."""
    if "value" in row:
        span = Range.point(float(row["value"]))
    else:
        span = Range(float(row["low"]), float(row["likely"]), float(row["high"]))
    return Fact(id, span, row.get("unit", ""), row["source"], row["confidence"], row.get("where", ""), row.get("about", ""))


def cite(source: str) -> str:
    """The full citation of a source key.

    Raises: UnknownName, sources.toml does not know it
    """
    sources = table("sources")
    if source not in sources:
        raise UnknownName(f"there is no source {source!r}", cure="add it to refinekit/facts/sources.toml")
    return str(sources[source]["cite"])


@cache
def files() -> tuple[str, ...]:
    """Names of all facts files, as `table` takes them."""
    return tuple(sorted(str(path.relative_to(FOLDER).with_suffix("")) for path in FOLDER.rglob("*.toml")))


def rows(node: Any, path: str = "") -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Every table below a node that claims to be a fact (it has a source or a confidence), with its path."""
    if isinstance(node, Mapping):
        if "source" in node or "confidence" in node:
            yield path, node
        for key, inner in node.items():
            yield from rows(inner, f"{path}.{key}" if path else key)
    elif isinstance(node, list):
        for number, inner in enumerate(node):
            label = str(number)
            if isinstance(inner, Mapping):
                label = str(inner.get("id", inner.get("key", inner.get("formula", number))))
            yield from rows(inner, f"{path}.{label}" if path else label)
