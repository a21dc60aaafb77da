"""Every rule, in the order it is asked; what a rule says is put in order by the engine."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from refinekit.bench.step import Notice
from refinekit.safety import rules_explosive, rules_gas, rules_gold, rules_pairs, rules_vessel, rules_waste
from refinekit.safety.scene import Scene

Rule = Callable[[Scene], Iterable[Notice]]

RULES: tuple[Rule, ...] = (
    *rules_explosive.RULES,
    *rules_gas.RULES,
    *rules_vessel.RULES,
    *rules_gold.RULES,
    *rules_waste.RULES,
    *rules_pairs.RULES,
)
