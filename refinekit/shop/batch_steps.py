"""The steps of a batch file: as they are written, and the usual route round them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Any

from refinekit.facts.load import table
from refinekit.nearest import did_you_mean
from refinekit.record import record
from refinekit.shop.batch_reader import Reader, by_name
from refinekit.shop.rooms import room
from refinekit.shop.toml_lines import line_at
from refinekit.shop.verbs import ROOMS

INSTEAD = {"copper": "chloride", "zinc": "iron", "caustic": "iron", "soda": "iron"}
"""Ways with silver that take the place of another: a bar of copper for the chloride, the rest for iron on that."""
MOST_STEPS = 60
"""Steps in one file: a run has about a dozen, more is a mistake or an attack."""
STEP_KEYS = ("do", "take", "override")
"""Keys of a step beside its room's own."""


@record
class StepAsk:
    """One step as asked.

    Args:
        verb: the room
        texts: what is told to it, by field name
        take: pots to work on, by name; empty for the room's own choice
        overrides: typed reasons by code of a stop
        label: how it is called in messages, e.g. "lot.toml line 31, step 2 (drop)"
        usual: whether it was filled in from the usual route
    """

    verb: str
    texts: Mapping[str, object]
    take: tuple[str, ...] = ()
    overrides: Mapping[str, str] = field(default_factory=dict)
    label: str = ""
    usual: bool = False


def read_steps(reader: Reader, data: Mapping[str, Any]) -> tuple[StepAsk, ...]:
    """Steps as asked."""
    listed = data.get("step", [])
    if not isinstance(listed, list) or not all(isinstance(one, Mapping) for one in listed):
        reader.fault(f"{reader.where('step')} is not a list of steps", 'write [[step]] on a line of its own, then do = "leach"')
        return ()
    if len(listed) > MOST_STEPS:
        reader.fault(
            f"{reader.name} has {len(listed)} steps", f"a run has about a dozen; {MOST_STEPS} are the most that are read"
        )
        return ()
    return tuple(ask for number, one in enumerate(listed) if (ask := read_step(reader, one, number)) is not None)


def read_step(reader: Reader, one: Mapping[str, Any], number: int) -> StepAsk | None:
    """One step as asked; None where its verb is not known."""
    verb = one.get("do")
    at = ("step", number)
    if not isinstance(verb, str) or verb not in ROOMS or verb == "lot":
        if isinstance(verb, str):
            reader.fault(
                f"{reader.where(*at, 'do')} {verb[:40]!r} is no step",
                did_you_mean(verb, ROOMS),
            )
        else:
            reader.fault(
                f"{reader.name} line {line_at(reader.lines, at)}, step {number + 1} does not say what to do", 'do = "leach"'
            )
        return None
    texts = reader.fields(one, at, by_name(room(verb).fields), also=STEP_KEYS)
    take = one.get("take", [])
    names = (take,) if isinstance(take, str) else tuple(take) if isinstance(take, list) else ()
    if not all(isinstance(name, str) for name in names) or not isinstance(take, str | list):
        reader.fault(f"{reader.where(*at, 'take')} is no name of a pot", 'take = "bath", or take = ["bath", "rinses"]')
        names = ()
    overrides = one.get("override", {})
    if not isinstance(overrides, Mapping) or not all(isinstance(reason, str) and reason.strip() for reason in overrides.values()):
        reader.fault(f"{reader.where(*at, 'override')} has no reason", 'override = { chlorine = "hood running, two people" }')
        overrides = {}
    label = f"{reader.name} line {line_at(reader.lines, at)}, step {number + 1} ({verb})"
    return StepAsk(verb, texts, names, dict(overrides), label)


def fill_in(asked: tuple[StepAsk, ...], kind: str, name: str) -> tuple[StepAsk, ...]:
    """The usual route for a kind of lot, with the steps asked for in their places.

    A step asked for stands in for the next step of its verb in the route; one the route has no more of stands where it was
    written, after the step before it.
    """
    routes = table("practice/routes")["route"]
    route = next((one for one in routes if kind in one["kinds"]), routes[0])["steps"]
    waiting = list(asked)
    filled: list[StepAsk] = []
    for position, usual in enumerate(route):
        texts = {key: value for key, value in usual.items() if key != "do"}
        matching = [one for one in waiting if one.verb == usual["do"] and _same_part(one.texts, texts)]
        to_come = sum(later["do"] == usual["do"] and _same_part(later, texts) for later in route[position:])
        if not matching:
            filled.append(StepAsk(usual["do"], texts, label=f"{name}, usual route ({usual['do']})", usual=True))
            continue
        # asked for more often than the route has it (solder stripped before the bath): the first ones stand by themselves
        match = matching[max(len(matching) - to_come, 0)]
        while waiting[0] is not match:
            filled.append(waiting.pop(0))
        waiting.pop(0)
        filled.append(StepAsk(match.verb, {**texts, **match.texts}, match.take, match.overrides, match.label))
    return (*filled, *waiting)


def _same_part(asked: Mapping[str, object], usual: Mapping[str, object]) -> bool:
    """Whether a step asked for is that step of the route: which part is rinsed, which metal is used, or how, does not differ.

    Caustic is for spent liquor: a denox of the gold liquor, by whichever method, is another step.
    """
    if "caustic" in (usual.get("method"), asked.get("method")) and usual.get("method") != asked.get("method"):
        return False
    told = {**asked, "how": INSTEAD[how]} if (how := asked.get("how")) in INSTEAD and usual.get("how") != how else asked
    return all(told.get(key, value) == value for key, value in usual.items() if key in ("what", "metal", "how"))
