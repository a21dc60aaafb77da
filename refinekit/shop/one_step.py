"""One step from a Python program: told as the command is, answered as typed figures, with the same safety rules over it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field

from refinekit.bench.pot import Pot
from refinekit.bench.step import Answer, Gas, Notice, Reagent
from refinekit.errors import UnknownName, raise_all
from refinekit.nearest import nearest
from refinekit.record import record
from refinekit.safety.engine import level_of
from refinekit.shop.ask import listen
from refinekit.shop.doing import do
from refinekit.shop.place import place_of
from refinekit.shop.place_fields import PLACE_FIELDS
from refinekit.shop.rooms import room


@record
class Result:
    """What a step answers.

    Args:
        stopped: whether the rules stop it and no typed reason lifts that; there are no figures, reagents or pots then, as on
            every other look, but for a room's air, whose figures say why
        notices: cautions, worst first
        answers: figures by name, each with its range and unit
        reagents: what to weigh or pour
        gases: what comes off
        pots: what is left, the working pot first; hand them to the next step
        assumed: what was taken as given without being told
    """

    stopped: bool
    notices: tuple[Notice, ...]
    answers: Mapping[str, Answer] = field(default_factory=dict)
    reagents: tuple[Reagent, ...] = ()
    gases: tuple[Gas, ...] = ()
    pots: tuple[Pot, ...] = ()
    assumed: tuple[str, ...] = ()


def step(verb: str, *, pots: Sequence[Pot] = (), overrides: Mapping[str, str] | None = None, **told: str | bool) -> Result:
    """One step of the bench.

    Args:
        verb: as the command is called, e.g. "dissolve"
        pots: pots at hand, as a step before left them
        overrides: typed reasons by code of a stop that may be lifted
        told: options of the command as texts with their units, flags as True; "-" is written "_": gold="1.6/2.1/2.6 g"
    Returns: Result; nothing to weigh or pour where the rules stop it
    Raises: RefinekitError, something told is not known or cannot be read: every text that cannot be read at once
    """
    the_room = room(verb)
    texts = {name.rstrip("_").replace("_", "-"): text for name, text in told.items()}
    known = [one.name for one in (*the_room.fields, *PLACE_FIELDS)]
    for name in texts:
        if name not in known:
            close = nearest(name, known)
            raise UnknownName(
                f"{verb} is told no {name[:40]!r}", cure=f"did you mean {close!r}?" if close else f"one of: {', '.join(known)}"
            )
    place, placed = place_of(PLACE_FIELDS, texts, label=str)
    heard = listen(the_room.fields, texts, label=str)
    raise_all((*placed.faults, *heard.faults))
    done = do(the_room, heard, pots, place, overrides=overrides)
    stopped = level_of(done.notices) == "stop"
    if stopped and not done.step.of_air:
        return Result(stopped, done.notices)
    return Result(
        stopped,
        done.notices,
        {one.name: one for one in done.step.answers},
        done.step.reagents,
        done.step.gases,
        (*done.step.pots, *done.passed_by),
        (*placed.assumed, *heard.assumed, *done.step.assumed),
    )
