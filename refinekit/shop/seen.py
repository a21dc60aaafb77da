"""What was seen at the bench, laid on the samples: ranges narrow by observation, never by wish.

"Foil gone after 2.1 mL" says what the gold needed, between the pour before and this one. Every sample of the unknowns is weighed
by how likely it makes what was seen (Bayes' rule: prior samples, times the chance of the sight), and the step is run again over
samples drawn by those weights. A sight that no sample can give says that what was told and what was seen cannot both be true.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.fields import Room
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Table
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range
from refinekit.record import record
from refinekit.shop.ask import Told
from refinekit.shop.doing import Done
from refinekit.shop.narrow import left_by, weighted_percentiles
from refinekit.shop.samples import CHUNK, SEED
from refinekit.shop.seen_bench import Bench, mixed, pots_assumed
from refinekit.shop.seen_wrong import contradiction
from refinekit.shop.sights import KINDS, Sight, Values, chance, read_sights, reading_assumed, shown_unit

GIVEN = {"dissolve": "nitric_added_l", "denox": "sulfamic_g", "drop": "weigh_g"}
"""Figure of a verb that says how much went in."""
KEPT = 400
"""Samples the step is run again over."""
MOST_CHUNKS = 20
"""Chunks drawn while too few samples fit."""


@record
class Seen:
    """A step after what was seen.

    Args:
        done: the step over the samples that fit
        tables: what it narrowed
        says: what to do now
        assumed: what was taken as given
    """

    done: Done
    tables: tuple[Table, ...]
    says: tuple[tuple[str, str], ...]
    assumed: tuple[str, ...]


def see(
    room: Room,
    told: Told,
    pots: Sequence[Pot],
    place: Place,
    texts: Sequence[str],
    *,
    names: Sequence[str] = (),
    overrides: Mapping[str, str] | None = None,
    seed: int = SEED,
) -> Seen:
    """A step after what was seen.

    Args:
        room: the verb
        told: what was told, without faults
        pots: pots at hand
        place: the shop
        texts: what was seen, as typed
        names: pots to take, by name
        overrides: typed reasons by code of a stop
        seed: what the samples are drawn from
    Raises: BadQuantity, a sight that cannot be read; CannotFollow, what was told and what was seen cannot both be true
    """
    from refinekit.safety.engine import review
    from refinekit.safety.gear import with_gear

    sights = read_sights(room.name, texts)
    bench = Bench(room, told, pots, place, names)
    values, world, toward, need = fitting(bench, sights, seed)
    weights = chance(need, sights)
    least = fact("practice/unknowns.seen.least_chance").value
    if weights.mean() < least:
        raise contradiction(bench, need, sights)
    rows = kept_rows(need, weights, seed)
    given: dict[str, Number] = {}
    gone = next((one for one in sights if one.gone), None)
    if gone is not None:
        # the end was seen, so in every sample that is kept it was reached: a reading a little low is the reading's error
        amount = np.maximum(gone.amount, need[rows])
        given[GIVEN[room.name]] = amount / KINDS[room.name][2]
    step = with_gear(bench.run({name: column[rows] for name, column in values.items()}, world[rows], toward[rows], **given))
    worlds = world[rows].astype(int)
    passed = tuple(mixed(pot, worlds, toward[rows]) for pot in pots if all(pot is not one for one in bench.taken))
    narrowed = narrowed_table(bench, values, need, weights)
    return Seen(
        Done(step, review(step, place, overrides=overrides or {}), passed),
        (narrowed,),
        tuple(next_lines(room.name, need, weights, sights)),
        (
            f"{left_by(weights):.0f} of {len(need)} samples fit what was seen, seed {seed}",
            *reading_assumed(sights),
            *pots_assumed(bench),
        ),
    )


def fitting(bench: Bench, sights: Sequence[Sight], seed: int) -> tuple[dict[str, Values], Values, Values, Values]:
    """Samples with what each takes, chunk after chunk until enough of them fit what was seen."""
    parts = []
    fit = 0.0
    for number in range(MOST_CHUNKS):
        values, world, toward = bench.drawn(CHUNK, seed + number)
        need = bench.need(values, world, toward)
        parts.append((values, world, toward, need))
        fit += left_by(chance(need, sights))
        if fit >= KEPT or not fit:
            break
    names = parts[0][0]
    together = {name: np.concatenate([part[0][name] for part in parts]) for name in names}
    world, toward, need = (np.concatenate([part[at] for part in parts]) for at in (1, 2, 3))
    return together, world, toward, need


def kept_rows(need: Values, weights: Values, seed: int) -> NDArray[np.intp]:
    """Samples to go on with: the one nearest the middle first, then drawn by weight, evenly spaced along the need."""
    order = np.argsort(need, kind="stable")
    below = np.cumsum(weights[order]) / weights.sum()
    offset = np.random.default_rng([seed, 3]).random()
    drawn = order[np.searchsorted(below, (np.arange(KEPT) + offset) / KEPT).clip(max=len(order) - 1)]
    fitting = np.flatnonzero(weights > 0)
    middle = weighted_percentiles(need, weights, (50.0,))[0]
    near = fitting[np.argsort(np.abs(need[fitting] - middle))[:1]]
    return np.concatenate([near, drawn])


def narrowed_table(bench: Bench, values: Mapping[str, Values], need: Values, weights: Values) -> Table:
    """The unknowns before and after."""
    unit = KINDS[bench.room.name][1]
    rows: list[tuple[str | float | Range, ...]] = [("what it takes", *before_after(need, weights), unit)]
    for arg, axis in bench.told.axes.items():
        if axis in values:
            field = next(one for one in bench.room.fields if one.arg == arg)
            scale, shown = shown_unit(field.kind, field.unit)
            rows.append((field.name.replace("-", " "), *before_after(values[axis] * scale, weights), shown))
    return Table("What was seen says (P5, P50, P95)", ("figure", "before", "after", "unit"), tuple(rows))


def before_after(cases: Values, weights: Values) -> tuple[Range, Range]:
    """P5, P50 and P95 of samples as they were, and weighted."""
    plain = weighted_percentiles(cases, np.ones_like(weights), (5.0, 50.0, 95.0))
    kept = weighted_percentiles(cases, weights, (5.0, 50.0, 95.0))
    return Range(plain[0], plain[1], plain[2]), Range(kept[0], kept[1], kept[2])


def next_lines(verb: str, need: Values, weights: Values, sights: Sequence[Sight]) -> list[tuple[str, str]]:
    """What to do now."""
    unit = KINDS[verb][1]
    gone = next((one for one in sights if one.gone), None)
    if gone is not None:
        after = {
            "dissolve": "stop pouring; the nitric left below is all that denox has to take",
            "denox": "stop; no more sulfamic, and never boil on with some left over",
            "drop": "stop; let it settle overnight and test once more before it is poured off",
        }
        return [("now", after[verb])]
    poured = max(one.amount for one in sights)
    low, middle, high = (max(part - poured, 0.0) for part in weighted_percentiles(need, weights, (5.0, 50.0, 95.0)))
    first = fact("practice/general.excess.nitric_gold_first").value if verb == "dissolve" else 1.0
    portion = max(first * low, fact("practice/unknowns.seen.portion").value * poured)
    look = {"dissolve": "fume stopped and foil still there", "denox": "a pinch still fizzes", "drop": "stannous still dark"}[verb]
    pour = min(portion, high) if high else portion
    still = f"low end of what is still wanted, {low:.2g} / {middle:.2g} / {high:.2g} {unit}"
    return [
        ("next charge", f"{pour:.2g} {unit}: {still}"),
        ("look at", f"{look}: tell --seen again with all that went in by then"),
    ]
