"""Doing it: one or two alkalis go in, acid and metals take them up, solids fall, iron(II) browns in air."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from refinekit.bench.neutralise_bases import Base, base_of
from refinekit.bench.neutralise_need import Fate, Want, by_ph, total
from refinekit.bench.work import Work
from refinekit.errors import OutOfRange
from refinekit.ranges import Number, high, likely

BASIC_COPPER = "R10.19"


@dataclass(frozen=True, slots=True)
class Stage:
    """One alkali and how much of it goes in.

    Args:
        base: what it is
        alkali_mol: alkali it brings [mol]
        acid_mol: of that, what free acid takes up [mol]
        when: at what moment [text]
    """

    base: Base
    alkali_mol: Number
    acid_mol: Number
    when: str


def stages_of(
    work: Work, told: Mapping[str, Any], some: tuple[Want, ...], target: float, over_mol: Number = 0.0
) -> tuple[Stage, ...]:
    """The alkalis, one after the other or mixed.

    Args:
        work: the step
        told: reagents and how they share the work
        some: what takes alkali
        target: pH it ends at [-]
        over_mol: alkali beyond what is taken up [mol]
    Raises: OutOfRange, the first pH is past the target
    """
    first = base_of(work, str(told.get("reagent") or "caustic"), told)
    whole = total(some) + over_mol
    acid: Number = sum((want.alkali_mol for want in some if want.taker.species == "H^+"), 0.0)
    if not told.get("second_reagent"):
        return (Stage(first, whole, acid, f"to pH {target:g}"),)
    second = base_of(work, str(told["second_reagent"]), told, "second ")
    if "second_share" in told:
        share = told["second_share"]
        return (
            Stage(first, (1 - share) * whole, (1 - share) * acid, "mixed"),
            Stage(second, share * whole, share * acid, f"mixed with it, to pH {target:g}"),
        )
    change = likely(work.default(told.get("first_ph"), "practice/neutralise.change", "pH at which the second alkali takes over"))
    if change >= target:
        raise OutOfRange(f"the first alkali goes to pH {change:g}, past the target {target:g}", cure="give --first-ph below --ph")
    part = np.minimum(by_ph(some, change), whole)
    acid_first = np.minimum(acid, part)
    return (
        Stage(first, part, acid_first, f"first, to pH {change:g}"),
        Stage(second, whole - part, acid - acid_first, f"then, to pH {target:g}"),
    )


def put_in(work: Work, stages: tuple[Stage, ...]) -> None:
    """Put the alkalis in, as dissolved alkali; carbonates give off their gas."""
    for stage in stages:
        if high(stage.alkali_mol) > 0:
            stage.base.into(work, stage.alkali_mol)


def fall(work: Work, some: tuple[Want, ...], fate: Fate) -> None:
    """Let what takes alkali take it: acid becomes water, metals fall, iron(II) browns, gypsum and silver chloride fall."""
    _silver(work)
    for want in some:
        if want.taker.species == "Cu^2+" and fate.basic_copper > 0:
            basic = np.minimum(want.mol * fate.basic_copper, 2 * work.dissolved.get("Cl^-", 0.0))
            work.react(BASIC_COPPER, basic / 2)
            work.react(want.taker.reaction, want.taker.runs(want.mol - basic))
        else:
            work.react(want.taker.reaction, want.taker.runs(want.mol))
    ferrous = work.solids.get("FeO2H2", 0.0)
    if high(ferrous) > 0:
        work.pour("oxygen of the air", {"O2": ferrous / 4})
        work.react("R10.25", ferrous / 4)
    _gypsum(work)


def _silver(work: Work) -> None:
    silver = np.minimum(work.dissolved.get("Ag^+", 0.0), work.dissolved.get("Cl^-", 0.0))
    if high(silver) > 0:
        work.react("R10.40", silver)


def _gypsum(work: Work) -> None:
    """Calcium and sulfate beyond what water holds fall as gypsum."""
    calcium, sulfate = work.dissolved.get("Ca^2+", 0.0), work.dissolved.get("SO4^2-", 0.0)
    if high(np.minimum(calcium, sulfate)) <= 0:
        return
    held = work.fact("practice/neutralise.gypsum_left").value * work.volume_l
    fallen = np.maximum(np.minimum(calcium, sulfate) - held, 0.0)
    if high(fallen) > 0:
        work.react("R10.49", fallen)
