"""The rules, in the order they are asked."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from refinekit.bench.step import Notice
from refinekit.safety.scene import Scene

Rule = Callable[[Scene], Iterable[Notice]]

RULES: tuple[Rule, ...] = ()
