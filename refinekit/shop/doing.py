"""One step done: the room's sum, then the safety rules over what went in and what came out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from refinekit.bench.fields import Room
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Notice, Step
from refinekit.errors import UnknownName
from refinekit.nearest import did_you_mean
from refinekit.record import record
from refinekit.shop.ask import Told, lay


@record
class Done:
    """A step with its cautions.

    Args:
        step: the step
        notices: the room's own and those of the safety rules, worst first
        passed_by: pots at hand that the step did not touch
    """

    step: Step
    notices: tuple[Notice, ...]
    passed_by: tuple[Pot, ...]


def take(pots: Sequence[Pot], room: Room, names: Sequence[str], plain: Mapping[str, object]) -> tuple[Pot, ...]:
    """The pots a step works on: those named, or those the room chooses.

    Args:
        pots: pots at hand
        room: the verb
        names: pots asked for by name; none for the room's choice
        plain: texts told to the room, by argument name
    Raises: UnknownName, no pot of that name is at hand
    """
    if not names:
        return room.choose(pots, **{name: plain[name] for name in room.chooses_by if name in plain})
    by_name = {pot.name: pot for pot in pots}
    for name in names:
        if name not in by_name:
            raise UnknownName(
                f"there is no pot {name[:40]!r} at hand",
                cure=did_you_mean(name, by_name, "" if by_name else "give one with --pot"),
            )
    return tuple(by_name[name] for name in names)


def do(
    room: Room,
    told: Told,
    pots: Sequence[Pot],
    place: Place,
    *,
    names: Sequence[str] = (),
    overrides: Mapping[str, str] | None = None,
) -> Done:
    """Do one step by itself: its ranges are laid out here.

    Args:
        room: the verb
        told: what was told, without faults
        pots: pots at hand
        place: the shop
        names: pots to take, by name; none for the room's own choice
        overrides: typed reasons by code of a stop
    """
    from refinekit.safety.engine import review
    from refinekit.safety.gear import with_gear
    from refinekit.safety.lift import remembered

    taken = take(pots, room, names, told.plain)
    figures, own = lay(told, max((pot.cases for pot in pots), default=1))
    step = with_gear(room.run(tuple(pot.widened(own) for pot in taken), place=place, **figures))
    passed_by = tuple(pot.widened(own) for pot in pots if all(pot is not one for one in taken))
    notices = review(step, place, overrides=overrides or {})
    return Done(remembered(step, notices), notices, passed_by)
