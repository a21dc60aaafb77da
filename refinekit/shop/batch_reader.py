"""Reads the keys of a batch file: each fault is noted with its line, so that all are told in one go."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from refinekit.bench.fields import Field
from refinekit.errors import BadFile, RefinekitError, raise_all
from refinekit.nearest import did_you_mean
from refinekit.shop.toml_lines import line_at, lines_of

MOST_FAULTS = 200
"""Faults looked into in one file; a file with more is no batch file."""


class Reader:
    """Reads one file, gathering faults."""

    def __init__(self, text: str, name: str) -> None:
        self.name = name
        self.lines = lines_of(text)
        self.faults: list[RefinekitError] = []

    def where(self, *path: str | int) -> str:
        """File and line of a path, with its last word."""
        return f"{self.name} line {line_at(self.lines, path)}, {path[-1]}"

    def fault(self, what: str, cure: str) -> None:
        """Note a fault, as long as they can be counted."""
        if len(self.faults) >= MOST_FAULTS:
            raise_all(self.faults)
        self.faults.append(BadFile(what, cure=cure))

    def unknown(self, path: tuple[str | int, ...], known: Iterable[str], kind: str) -> None:
        """Note a word that is not known, with the nearest that is."""
        names = list(known)
        cure = did_you_mean(str(path[-1]), names)
        self.fault(f"{self.name} line {line_at(self.lines, path)}: {str(path[-1])[:40]!r} is no {kind}", cure)

    def table_at(self, data: Mapping[str, Any], key: str) -> Mapping[str, Any]:
        """A section that must be a table; an empty one where it is missing or something else."""
        value = data.get(key, {})
        if isinstance(value, Mapping):
            return value
        self.fault(f"{self.where(key)} is not a section", f"write [{key}] on a line of its own, then its keys")
        return {}

    def fields(
        self, value: Mapping[str, Any], path: tuple[str | int, ...], known: Mapping[str, Field], also: Iterable[str] = ()
    ) -> dict[str, object]:
        """Texts of a section by field name, faults noted; `gold = {thickness = ...}` is gold-thickness."""
        texts: dict[str, object] = {}
        for key, inner in value.items():
            at = (*path, key)
            if key in also:
                continue
            if isinstance(inner, Mapping):
                nested = {f"{key}-{name}": one for name, one in inner.items()}
                for name, one in nested.items():
                    self._field(texts, name, one, (*at, name.removeprefix(f"{key}-")), known, shown=name)
            else:
                self._field(texts, key, inner, at, known, shown=key)
        return texts

    def _field(
        self,
        texts: dict[str, object],
        name: str,
        value: Any,
        at: tuple[str | int, ...],
        known: Mapping[str, Field],
        *,
        shown: str,
    ) -> None:
        if name not in known:
            self.unknown((*at[:-1], shown) if at[-1] != shown else at, known, f"key of [{at[0]}]")
        elif isinstance(value, bool) and known[name].kind != "flag":
            self.fault(
                f"{self.where(*at)} is {str(value).lower()}, which is no quantity",
                f'write it as text with its unit, as in "{example(known[name])}"',
            )
        elif isinstance(value, bool | str) or (isinstance(value, int | float) and known[name].kind != "flag"):
            texts[name] = value if isinstance(value, bool | str) else repr(value)
        else:
            self.fault(f"{self.where(*at)} is of the wrong kind", f'write it as "{example(known[name])}"')


def example(one: Field) -> str:
    """A right example for a field."""
    return one.choices[0] if one.choices else {"flag": "true", "text": "text"}.get(one.kind, f"2.5/4/6 {one.unit}".rstrip())


def by_name(fields: Iterable[Field]) -> dict[str, Field]:
    """Fields by their names."""
    return {one.name: one for one in fields}
