"""What was told and what was seen cannot both be true: which figure is most likely wrong, and by how much."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from refinekit.errors import CannotFollow, RefinekitError
from refinekit.facts.load import fact
from refinekit.shop.samples import SEED
from refinekit.shop.seen_bench import Bench
from refinekit.shop.sights import KINDS, Sight, Values, chance, shown_unit

STRETCHES = np.geomspace(1.0, 12.0, 100)
"""Times its half range a figure may be off before nothing is said of it any more."""
OTHERS = 20
"""Samples of the other figures looked at beside each."""


def contradiction(bench: Bench, need: Values, sights: Sequence[Sight]) -> CannotFollow:
    """The error that says so, with what is most likely wrong."""
    unit = KINDS[bench.room.name][1]
    seen = "; ".join(one.text for one in sights)
    suspects = sorted(filter(None, (suspect(bench, arg, sights) for arg in bench.told.figures)), key=lambda pair: pair[0])
    blame = (
        f"most likely wrong: {suspects[0][1]}" if suspects else "no single figure told explains it: look at the reading itself"
    )
    return CannotFollow(
        f"what was told and what was seen ({seen}) cannot both be true: by what was told it takes"
        f" {need.min():.3g} to {need.max():.3g} {unit}; {blame}",
        cure="check that figure and the reading (unit, what was already in the dropper), then tell it with a wider range",
    )


def suspect(bench: Bench, arg: str, sights: Sequence[Sight]) -> tuple[float, str] | None:
    """How many times its half range a figure must be off to explain what was seen, and the figure in words; None if it cannot."""
    span = bench.told.figures[arg]
    field = next(one for one in bench.room.fields if one.arg == arg)
    half = max(span.high - span.low, 2 * fact("practice/unknowns.narrow.any").value * abs(span.likely)) / 2
    if not half:
        return None
    offs = span.likely + half * np.concatenate([STRETCHES, -STRETCHES])
    offs = offs[(offs > 0) & (offs <= (np.inf if field.highest is None else field.highest))]
    values, world, toward = bench.drawn(OTHERS, SEED)
    axis = bench.told.axes[arg]
    many = {name: np.tile(column, len(offs)) for name, column in values.items()}
    many[axis] = np.repeat(offs, OTHERS)
    try:
        need = bench.need(many, np.tile(world, len(offs)), np.tile(toward, len(offs)))
    except RefinekitError:
        return None
    likely = chance(need, sights) > fact("practice/unknowns.narrow.least_share").value
    explains = np.abs(many[axis] - span.likely)[likely]
    if not explains.size:
        return None
    times = float(explains.min()) / half
    off = float(many[axis][likely][np.argmin(explains)])
    scale, unit = shown_unit(field.kind, field.unit)
    ends = "/".join(f"{end * scale:g}" for end in dict.fromkeys((span.low, span.likely, span.high)))
    told = f"{field.name.replace('-', ' ')} {ends} {unit}".rstrip()
    return (
        times,
        f"{told}, it would have to be {'more' if off > span.likely else 'less'}, about {off * scale:.2g} {unit}".rstrip(),
    )
