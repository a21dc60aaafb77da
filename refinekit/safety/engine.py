"""The door to the safety rules: a step is looked at before anything of it is shown."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from refinekit.bench.place import Place
from refinekit.bench.step import LEVELS, Notice, Step
from refinekit.safety.from_step import scene_of
from refinekit.safety.lift import idle
from refinekit.safety.rules import RULES
from refinekit.safety.scene import Scene


def review(step: Step, place: Place, *, overrides: Mapping[str, str]) -> tuple[Notice, ...]:
    """Everything to be said of a step, worst first.

    Args:
        step: the step as reckoned
        place: the shop
        overrides: reasons typed, by code; they lift only a stop that may be lifted, and are printed with it
    Returns: the step's own notices and those of the rules, each once
    """
    said = in_order([*step.notices, *found(scene_of(step, place))], overrides)
    return (*said, *idle(said, overrides))


def judge(scene: Scene, *, overrides: Mapping[str, str] | None = None) -> tuple[Notice, ...]:
    """Everything the rules say of a scene, worst first.

    Args:
        scene: pots, what goes in, how and where
        overrides: as `review`
    """
    return in_order(found(scene), overrides or {})


def found(scene: Scene) -> list[Notice]:
    """What every rule says of a scene, in the order of the rules."""
    return [notice for rule in RULES for notice in rule(scene)]


def in_order(notices: Iterable[Notice], overrides: Mapping[str, str]) -> tuple[Notice, ...]:
    """Notices once each, lifted where a reason was typed and may be, stops before warnings before notes.

    Of a code that comes at several levels the worse one speaks; a lesser one with the same words is left out.
    """
    best: dict[tuple[str, str], Notice] = {}
    for notice in notices:
        key = (notice.code, notice.text)
        if key not in best or rank(notice) > rank(best[key]):
            best[key] = lifted(notice, overrides)
    return tuple(sorted(best.values(), key=rank, reverse=True))


def rank(notice: Notice) -> int:
    """How bad a notice is: a stop that stands before a lifted one, before warnings, before notes."""
    return 2 * LEVELS.index(notice.level) + (notice.level != "stop" or not notice.reason)


def lifted(notice: Notice, overrides: Mapping[str, str]) -> Notice:
    """The notice with the typed reason on it, where it is a stop that a reason may lift."""
    if notice.level == "stop" and notice.may_override and overrides.get(notice.code, "").strip():
        return replace(notice, reason=overrides[notice.code].strip())
    return notice


def level_of(notices: Iterable[Notice]) -> str:
    """The highest level raised: none, note, warn or stop; a lifted stop no longer stops and counts as a note."""
    levels = ["note" if notice.reason else notice.level for notice in notices]
    return max(levels, key=LEVELS.index, default="none")
