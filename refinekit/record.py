"""Records: dataclasses that do not change, made in half the time, of which a command makes a hundred before its first figure.

A dataclass compiles six functions for each class. Three of them are the same for all and are written once here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeVar, dataclass_transform

Kind = TypeVar("Kind")


@dataclass_transform(frozen_default=True)
def record(kind: type[Kind]) -> type[Kind]:
    """The class as a frozen dataclass with slots, in all else as `dataclasses.dataclass` makes it.

    >>> @record
    ... class Pour:
    ...     litres: float
    >>> Pour(0.5), Pour(0.5) == Pour(0.5), Pour(0.5) == 0.5
    (Pour(litres=0.5), True, False)
    """
    made: Any = dataclass(frozen=True, slots=True, eq=False, repr=False)(kind)
    for name, function in (("__repr__", _repr), ("__eq__", _eq), ("__hash__", _hash)):
        if name not in kind.__dict__:
            setattr(made, name, function)
    return made  # type: ignore[no-any-return]


def _figures(one: Any) -> tuple[Any, ...]:
    """Every field that counts in a comparison, in order."""
    return tuple(getattr(one, name) for name, field in one.__dataclass_fields__.items() if field.compare)


def _repr(self: Any) -> str:
    shown = (name for name, field in self.__dataclass_fields__.items() if field.repr)
    return f"{type(self).__qualname__}({', '.join(f'{name}={getattr(self, name)!r}' for name in shown)})"


def _eq(self: Any, other: object) -> Any:
    return _figures(self) == _figures(other) if type(other) is type(self) else NotImplemented


def _hash(self: Any) -> int:
    return hash(_figures(self))
