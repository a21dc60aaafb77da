"""`refinekit plan`: the whole run from a batch file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import typer

from refinekit.bench.pot import Pot
from refinekit.cli.desk import desk_of_look, open_text
from refinekit.cli.options import BookFile, Chart, Csv, Force, Json, Sheet, Text, Units, Working, typed, whole_number
from refinekit.cli.papers import write_charts
from refinekit.shop.batch import Batch, read_batch
from refinekit.shop.outcome import summary
from refinekit.shop.plan import Heard, Plan, hear_all, reckon
from refinekit.show.document import Document

Samples = Annotated[Text, typed("samples", "run so many samples: P5, P50, P95 and what to measure next", "NUMBER")]
Seed = Annotated[
    str | None, typer.Option("--seed", help="what the samples are drawn from: the same seed, the same answer", metavar="NUMBER")
]


def run(
    file: Annotated[str, typer.Argument(help="a batch file, or - for the pipe", metavar="FILE")],
    pot: Annotated[
        list[str] | None,
        typer.Option(
            "--pot", help="what stands on the bench before: a JSON file, or book:bath", metavar="FILE", show_default=False
        ),
    ] = None,
    largest: Annotated[
        bool, typer.Option("--largest", help="the biggest lot of this kind that vessel, hood, days, shelf, drum and month allow")
    ] = False,
    samples: Samples = None,
    seed: Seed = None,
    shop_factors: Annotated[
        bool, typer.Option("--shop-factors", help="this shop's own factors from the book, where the file tells nothing itself")
    ] = False,
    source: Annotated[Text, typed("source", "where the lot comes from, for its thickness", "NAME")] = None,
    book: BookFile = None,
    json: Json = False,
    csv: Csv = False,
    full: Annotated[bool, typer.Option("--full", help="every figure and table of every step")] = False,
    show_working: Working = False,
    units: Units = None,
    chart: Chart = None,
    sheet: Sheet = None,
    force: Force = False,
) -> int:
    """The whole run from a batch file: every step, gas, vessel, shopping, drum and gold.

    Example: refinekit plan examples/edge-tabs.toml
    """
    desk = desk_of_look("plan", json=json, csv=csv, working=show_working, units=units, sheet=sheet, force=force)
    drawn = sampling(samples, seed)
    batch, taught = (
        of_this_shop(read_batch(*open_text(file)), source, book) if shop_factors else (read_batch(*open_text(file)), ())
    )
    heard = hear_all(batch, standing(pot or ()))
    plan = reckon(heard)
    if largest:
        return desk.show(largest_of(heard, plan, drawn))
    steps = plan.done_steps()
    if drawn is not None:
        from refinekit.cli.progress import Progress
        from refinekit.shop.sampled_step import sampled_step

        steps = (*steps, sampled_step(heard, plan, drawn[0], seed=drawn[1], tell=Progress("samples")))
    document = Document.of(
        "plan",
        steps,
        title=plan.batch.title or plan.batch.name,
        notices=plan.notices(),
        inputs={"file": plan.batch.name} | ({"samples": str(drawn[0]), "seed": str(drawn[1])} if drawn else {}),
        place=plan.place,
        sections=summary(plan),
        pots=plan.done_steps()[-1].pots,
        assumed=(*taught, *plan.assumed),
        used_facts=plan.used_facts,
        short=not full,
    )
    if chart is not None and not document.stopped:
        write_charts(document, chart, force=force, units=desk.units)
    return desk.show(document)


def of_this_shop(batch: Batch, source: str | None, book: str | None) -> tuple[Batch, tuple[str, ...]]:
    """A batch with the shop's own factors, and the lines that say so."""
    from refinekit.shop.book.factors import factors_of, with_factors
    from refinekit.shop.book.opening import open_book

    with open_book(book) as opened:
        changed, lines = with_factors(batch, factors_of(opened), source or "")
    return changed, lines or ("shop factors: the book has no record yet that the file leaves room for",)


def standing(paths: Sequence[str]) -> tuple[Pot, ...]:
    """Pots that stand on the bench before a plan, at their likely case."""
    if not paths:
        return ()
    from refinekit.shop.book.vessels import at_likely
    from refinekit.shop.potfile import read_pots

    return tuple(at_likely(one) for path in paths for one in read_pots(*open_text(path)))


def largest_of(heard: Heard, plan: Plan, drawn: tuple[int, int] | None) -> Document:
    """The largest lot instead of the run. Raises: BadQuantity, samples asked for as well."""
    from refinekit.errors import BadQuantity
    from refinekit.shop.largest_step import largest_step

    if drawn is not None:
        raise BadQuantity("--largest and --samples were both asked for", cure="ask for one: --largest sizes on the corners")
    step = largest_step(heard, plan)
    title = f"{plan.batch.title or plan.batch.name}: {step.title}"
    return Document.of("plan", (step,), title=title, inputs={"file": plan.batch.name}, place=plan.place, assumed=plan.assumed)


def sampling(samples: str | None, seed: str | None) -> tuple[int, int] | None:
    """How many samples, and from what seed; None where none are asked for. Raises: BadQuantity."""
    if samples is None:
        if seed is not None:
            from refinekit.errors import BadQuantity

            raise BadQuantity("--seed is told without --samples", cure="--samples 10000 --seed 7")
        return None
    from refinekit.shop.samples import SEED, checked

    return checked(whole_number(samples, "--samples")), SEED if seed is None else whole_number(seed, "--seed")
