"""What a rule sees: the pots before, what went in, the pots after, the gases and the place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Gas, Step, Stream


@dataclass(frozen=True, slots=True)
class Scene:
    """A step as the rules see it.

    Args:
        do: the verb [text]
        before: pots it starts from
        added: what went in from outside, by name
        after: pots it leaves, the working pot first
        gases: what it gives off
        place: the shop
    """

    do: str
    before: tuple[Pot, ...]
    added: Mapping[str, Stream]
    after: tuple[Pot, ...]
    gases: tuple[Gas, ...]
    place: Place


def scene_of(step: Step, place: Place) -> Scene:
    """The scene of a step of the bench."""
    names = {pot.name for pot in step.before}
    added = {stream.name: stream for stream in step.ins if stream.name not in names}
    return Scene(step.name.split(" ")[0], step.before, added, step.pots, step.gases, place)
