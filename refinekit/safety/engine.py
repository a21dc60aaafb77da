"""The door to the safety rules: a step is looked at before anything of it is shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from refinekit.bench.place import Place
from refinekit.bench.step import LEVELS, Notice, Step
from refinekit.safety.rules import RULES
from refinekit.safety.scene import scene_of


def review(step: Step, place: Place, *, overrides: Mapping[str, str]) -> tuple[Notice, ...]:
    """Everything to be said of a step, worst first.

    Args:
        step: the step as reckoned
        place: the shop
        overrides: reasons typed, by code; they lift only a stop that may be lifted, and are printed with it
    Returns: the step's own notices and those of the rules, each once
    """
    scene = scene_of(step, place)
    found = [*step.notices, *(notice for rule in RULES for notice in rule(scene))]
    return tuple(worst_first(_lifted(notice, overrides) for notice in found))


def _lifted(notice: Notice, overrides: Mapping[str, str]) -> Notice:
    if notice.level == "stop" and notice.may_override and notice.code in overrides:
        return replace(notice, reason=overrides[notice.code])
    return notice


def worst_first(notices: object) -> list[Notice]:
    """Notices once each, the highest level of a code kept, stops before warnings before notes."""
    best: dict[tuple[str, str], Notice] = {}
    for notice in notices:  # type: ignore[attr-defined]
        key = (notice.code, notice.text)
        if key not in best or LEVELS.index(notice.level) > LEVELS.index(best[key].level):
            best[key] = notice
    return sorted(best.values(), key=lambda notice: -LEVELS.index(notice.level))
