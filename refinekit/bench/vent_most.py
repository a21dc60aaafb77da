"""The other way round: how much of it may be done at once before a limit is reached."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.fields import METALS
from refinekit.bench.work import Work
from refinekit.errors import CannotFollow
from refinekit.ranges import Range

Array = NDArray[np.float64]
ROUNDS = 12
CLOSE = 1e-4
BEND = (0.5, 2.5)
"""Powers of the amount that a room's worst figure can go by: one, or two where nitric oxide turns brown."""
SCALED = (
    *((f"{word}_g", f"{word}_at_once", 1.0, "g") for word in METALS),
    ("smb_g", "metabisulfite_at_once", 1.0, "g"),
    ("bleach_volume_l", "bleach_at_once", 1000.0, "mL"),
    ("litres_l", "gas_at_once", 1.0, "L"),
    ("mol_mol", "gas_moles_at_once", 1.0, "mol"),
    ("acid_neutralised_mol", "acid_at_once", 1.0, "mol"),
)
"""What can be told of an amount: its name, its answer, that answer's figure in one of it, and unit."""


def most_at_once(times: Callable[[Array], Array | None], cases: int) -> Array:
    """The share of an amount at which the nearest limit is just reached, case by case.

    Args:
        times: how many times the nearest limit each case comes to, at a share of the amount each
        cases: how many there are
    Returns: shares (cases,) [-]; infinite where nothing comes
    Raises: CannotFollow, no limit is kept of any of it
    Source: the room's figure rises with the amount, so the limit is met once; found by the secant on both logarithms
    """
    share, bend, nothing = np.ones(cases), np.ones(cases), np.zeros(cases, dtype=bool)
    before: tuple[Array, Array] | None = None
    for _ in range(ROUNDS):
        reached = times(share)
        if reached is None:
            raise CannotFollow("no limit is kept of this gas, so no amount is the most", cure="leave --how-much out")
        nothing = reached <= 0
        if nothing.all():
            raise CannotFollow("nothing that gives gas is told, so no amount is the most", cure="tell it, as in --gold 8g")
        there = np.where(nothing, 1.0, reached)
        if before is not None:
            moved = np.log(share / before[0])
            steep = np.where(np.abs(moved) > 1e-9, np.log(there / before[1]) / np.where(moved == 0, 1.0, moved), bend)
            bend = np.clip(steep, *BEND)
        if (np.abs(there - 1) < CLOSE).all():
            break
        before = share, there
        share = share * there ** (-1 / bend)
    return np.where(nothing, np.inf, share * (1 - CLOSE))


def say_most(work: Work, told: Mapping[str, Any], share: Array) -> list[str]:
    """Answer with every amount told, at the share that stays under the limits; gives them in words."""
    words = []
    for arg, name, factor, unit in SCALED:
        if arg not in told:
            continue
        given = np.asarray(told[arg])
        spread = np.tile(given, len(share) // given.size) if given.ndim else np.broadcast_to(given, share.shape)
        amount = factor * np.where(np.isfinite(share), spread * np.where(np.isfinite(share), share, 0.0), np.inf)
        bounded = amount[np.isfinite(amount)]
        if not bounded.size:
            continue
        span = Range(float(bounded.min()), float(min(amount[0], bounded.max())), float(bounded.max()))
        work.answer(name, span, unit, sized_on="low: the worse gas, for lungs", because="done this way, the nearest limit is met")
        words.append(f"{span.low:.3g} {unit} {name.removesuffix('_at_once').replace('_', ' ')}")
    return words
