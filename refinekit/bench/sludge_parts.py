"""Sludge in figures: dry weight by phase, settled gel, cake, and what heating makes of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.work import ROUNDING_MOL, Work
from refinekit.chemistry.species import molar_mass
from refinekit.facts.load import table
from refinekit.ranges import Number, Range, high, likely, low

HEATED = "CuO2H2"
"""What turns to black oxide."""


def dry_g(solids_mol: Mapping[str, Number]) -> Number:
    """Dry weight of a set of solids [g]."""
    return sum((mol * molar_mass(solid) for solid, mol in solids_mol.items()), 0.0)


def name_of(solid: str) -> str:
    """A solid in words."""
    return next((str(row["name"]) for row in table("species")["species"] if row["formula"] == solid), solid)


def gel_l(work: Work, dry: Number, told: Mapping[str, Any]) -> Number:
    """Settled gel of so much dry solid, case by case, at the likely or the told share of solids [L]."""
    share = told.get("gel_solids", work.fact("practice/sludge.gel_solids").value)
    volume: Number = dry / 1000 / share / work.fact("practice/sludge.gel_density").value
    return volume


def say_solids(work: Work, solids_mol: Mapping[str, Number], told: Mapping[str, Any]) -> Range:
    """Answer with dry weight by phase, gel and cake.

    Args:
        work: the step
        solids_mol: what fell [mol]
        told: may hold `gel_solids` and `cake_solids` [-]
    Returns: gel, from the thickest to the thinnest it may be [L]
    """
    dry = dry_g(solids_mol)
    rows = [
        (name_of(solid), solid, Range.over(mol * molar_mass(solid)))
        for solid, mol in solids_mol.items()
        if high(mol) > ROUNDING_MOL
    ]
    if rows:
        work.table("sludge by phase", ("what", "formula", "dry g"), rows)
    work.answer("sludge_dry", dry, "g", sized_on="high for the drum", because="sum of what fell, dry")
    gel, cake = _span(work, dry, told, "gel_solids"), _span(work, dry, told, "cake_solids")
    density = work.fact("practice/sludge.gel_density").value
    work.answer(
        "gel", gel * (1 / density), "L", sized_on="high: thinnest gel", because="dry weight over the share of solids, settled"
    )
    work.answer(
        "cake", cake, "kg", sized_on="high: wettest cake", because="dry weight over the share of solids, drained or pressed"
    )
    share, pressed = _likely_share(work, told, "gel_solids"), _likely_share(work, told, "cake_solids")
    work.working(
        "sludge",
        "sum of (mol x g/mol); gel and cake: dry / share of solids",
        " + ".join(f"{likely(mol):.4g} x {molar_mass(solid):.5g}" for solid, mol in solids_mol.items() if high(mol) > 0)
        + f" = {likely(dry):.4g} g; / {share:g} / {density:g} kg/L; / {pressed:g}",
        f"{gel.likely / density:.4g} L gel, {cake.likely:.4g} kg cake",
        "practice/sludge.gel_solids",
        "practice/sludge.cake_solids",
    )
    return gel * (1 / density)


def _likely_share(work: Work, told: Mapping[str, Any], name: str) -> float:
    return likely(told[name]) if name in told else work.fact(f"practice/sludge.{name}").value


def _span(work: Work, dry: Number, told: Mapping[str, Any], name: str) -> Range:
    """Dry grams over a share of solids, thinnest to thickest [kg]."""
    if name in told:
        return Range.over(dry / 1000 / told[name])
    share = work.fact(f"practice/sludge.{name}").range
    return Range(low(dry) / share.high / 1000, likely(dry) / share.likely / 1000, high(dry) / share.low / 1000)


def heated(work: Work, solids_mol: Mapping[str, Number], gel: Number) -> None:
    """Answer with what heating makes of the copper hydroxide in it."""
    mol = solids_mol.get(HEATED, 0.0)
    if high(mol) <= 0:
        return
    after = dry_g({**solids_mol, HEATED: 0.0, "CuO": mol})
    shrink, hot = work.fact("practice/sludge.heated_shrink").range, work.fact("practice/sludge.heated_to").value
    work.answer("heated_dry", after, "g", because=f"copper hydroxide gone to black oxide at {hot:g} C")
    work.answer(
        "heated_gel",
        Range(low(gel) / shrink.high, likely(gel) / shrink.likely, high(gel) / shrink.low),
        "L",
        sized_on="high: least shrinking",
        because=f"{shrink.low:g} to {shrink.high:g} times less room once it is black",
    )


def say_room(work: Work, wet_l: Range, told: Mapping[str, Any], cure: str) -> None:
    """Answer with what a drum has no room for, and say what to do with it.

    Args:
        work: the step
        wet_l: what is to go in [L]
        told: may hold `drum_room_l` [L]
        cure: what makes it less, or where the rest goes [text]
    """
    if "drum_room_l" not in told:
        return
    room = told["drum_room_l"]
    over = Range(max(wet_l.low - high(room), 0.0), max(wet_l.likely - likely(room), 0.0), max(wet_l.high - low(room), 0.0))
    work.answer("over_drum", over, "L", sized_on="high", because="more than the drum has room for")
    if over.high > 0:
        work.say("watch for", f"the drum is too small by {'' if over.is_point else 'up to '}{over.high:.3g} L: {cure}")


def share_held(part: Number, whole: Number) -> Number:
    """What of a liquor a gel holds: all of it where the gel would fill more than there is [L]."""
    return np.minimum(part, whole)
