"""The air of a plan's whole day, as `refinekit fume --plan` asks for it."""

from __future__ import annotations

from collections.abc import Mapping

from refinekit.cli.desk import Desk, open_text
from refinekit.errors import CannotFollow
from refinekit.show.document import Document


def day_answer(verb: str, desk: Desk, texts: Mapping[str, object], path: str) -> Document:
    """What a plan's whole day holds in the room.

    Args:
        verb: the command [text]
        desk: what it was told of the shop, which stands before the file's
        texts: options of a step by name, None where not told
        path: the batch file
    Raises: CannotFollow, a step was told of beside the plan
    """
    from refinekit.shop.batch import read_batch
    from refinekit.shop.day import day_of

    beside = [f"--{name}" for name, text in texts.items() if text is not None]
    beside += [f"--{name}" for name in ("pot", "take", "override") if getattr(desk, "pots" if name == "pot" else name)]
    if beside:
        raise CannotFollow(f"{verb} has a plan and was told {', '.join(beside)} beside it", cure="leave those out, or the plan")
    plan, step, notices = day_of(read_batch(*open_text(path)), desk.texts)
    lines = [("stopped at", f"{plan.stopped_at}: what comes after it is not in this day")] if plan.stopped_at else []
    return Document.of(
        verb,
        (step,),
        notices=notices,
        inputs={"plan": plan.batch.name, **{key: str(text) for key, text in desk.texts.items() if text is not None}},
        place=plan.place,
        lines=lines,
        assumed=plan.assumed,
        used_facts=plan.used_facts,
    )
