"""`refinekit stock FILE.toml`: the shelf of a batch file against its plan."""

from __future__ import annotations

from datetime import date

from refinekit.cli.desk import Desk, open_text
from refinekit.show.document import Document


def is_batch(what: str) -> bool:
    """Whether a word names a batch file, and not something to do."""
    return what == "-" or what.lower().endswith(".toml")


def shelf_of_plan(desk: Desk, file: str, at: str) -> int:
    """Show the shelf of a batch file against its plan, as on a day."""
    from refinekit.shop.batch import read_batch
    from refinekit.shop.plan import run_plan
    from refinekit.shop.shelf import shelf_step

    plan = run_plan(read_batch(*open_text(file)))
    step = shelf_step(plan, date.fromisoformat(at))
    title = f"{plan.batch.title or plan.batch.name}: {step.title}"
    inputs = {"file": plan.batch.name}
    return desk.show(Document.of("stock", (step,), title=title, inputs=inputs, place=plan.place))
