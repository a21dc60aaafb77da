"""Typed reasons: what they lifted goes along with the pots; what they could not lift is said."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from refinekit.bench.pot import Event, Pot
from refinekit.bench.step import Notice, Step
from refinekit.safety.speak import notice

LIFTED = "stop lifted by hand"
"""Begins the line of a pot's history that keeps a typed reason; what was typed is no fact of the pot."""


def remembered(step: Step, notices: Sequence[Notice]) -> Step:
    """The step with each typed reason in the history of the pots it leaves, so that every later look of them shows it.

    Args:
        step: the step as reckoned
        notices: what `engine.review` said of it
    """
    lines = [f"{LIFTED}: {one.code}; reason typed: {one.reason}" for one in notices if one.level == "stop" and one.reason]
    if not lines:
        return step

    def kept(pot: Pot) -> Pot:
        return replace(pot, history=(*pot.history, *(Event(step.name, line) for line in lines)))

    return replace(step, pots=tuple(kept(pot) for pot in step.pots))


def idle(notices: Sequence[Notice], overrides: Mapping[str, str]) -> Iterator[Notice]:
    """A note for each reason that lifted nothing: no such stop there, or one that no reason lifts.

    Args:
        notices: what the rules said, typed reasons applied
        overrides: reasons typed, by code
    """
    stops = {one.code for one in notices if one.level == "stop"}
    standing = {one.code for one in notices if one.level == "stop" and not one.reason}
    for code in overrides:
        if code in standing:
            yield notice("note", "override-idle.firm", what=code)
        elif code not in stops:
            yield notice("note", "override-idle.none", what=code)
