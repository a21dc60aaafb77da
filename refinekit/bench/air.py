"""Air on a bath by itself: how long a pump takes, what pump a time wants, and what the air takes along."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Unpack

import numpy as np

from refinekit.bench.bubbles import AIR_FIELDS, AeratedTold, Air, air_of, answer_time, carry_off, oxygen_for, plain_percent
from refinekit.bench.fields import METALS, Field, Room, metal_fields
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, Range, high, likely, low

SEEN_METALS = ("copper", "nickel", "zinc", "lead", "tin", "iron", "silver")
"""Metals that take oxygen in an aerated bath."""


class AirTold(AeratedTold, total=False):
    """What may be told of air on a bath: one entry a field of the room, in base units."""

    oxygen_mol: Number
    copper_g: Number
    nickel_g: Number
    zinc_g: Number
    lead_g: Number
    tin_g: Number
    iron_g: Number
    silver_g: Number


FIELDS = (
    *AIR_FIELDS,
    Field("oxygen", "amount", "mol", "oxygen wanted, where it is known"),
    *metal_fields(*SEEN_METALS, what="to dissolve"),
)


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Unpack[AirTold]) -> Step:
    """Size the air on a bath.

    Args:
        pots: the bath whose cuprous copper is to be turned back, or dry goods whose metals are to be dissolved
        place: the shop: its air, its fan
        told: what is known of pump, tube, open top, acid and metals, see FIELDS
    Returns: Step with oxygen, days, the pump for a time, acid and water carried off; a bath comes back with its cuprous
        copper oxidised and its acid the poorer, other pots as they were
    Raises: CannotFollow, no air and no time to size it for; OutOfRange, acid outside the tables
    Source: oxygen transfer, facts/practice/air.toml; vapour pressures, facts/vapour.toml
    """
    strange = sorted(told.keys() - AirTold.__annotations__.keys())
    if strange:
        raise TypeError(f"air takes no {', '.join(strange)}")
    if "air_l_per_min" not in told and "surface_cm2" not in told and "within_s" not in told:
        raise CannotFollow(
            "air has no pump, no open top and no time to size a pump for", cure="--air 2L/min --depth 18cm, or --within 5d"
        )
    work = Work("air", *pots, place=place)
    air = air_of(work, told)
    demand = _demand(work, told)
    minutes = answer_time(work, demand, air, told)
    ran = told["running_s"] / 60 if "running_s" in told else minutes
    if ran is not None:
        work.minutes = Range.over(ran)
        _regenerate(work, air, ran)
        _carry(work, air, ran, told)
    return work.done(pots[0].name if pots else None, title=_title(air, demand))


def _demand(work: Work, told: Mapping[str, Any]) -> Number:
    """Oxygen wanted: as told, or for the metals told and those of the pots."""
    if "oxygen_mol" in told:
        given: Number = told["oxygen_mol"]
        return given
    metals: dict[str, Number] = {"Cu(I)": work.dissolved.get("CuCl2^-", 0.0), "Fe(II)": work.dissolved.get("Fe^2+", 0.0)}
    for word in SEEN_METALS:
        symbol = METALS[word]
        metals[symbol] = work.solids.get(symbol, 0.0) + told.get(f"{word}_g", 0.0) / molar_mass(symbol)
    return oxygen_for(metals)


def _regenerate(work: Work, air: Air, minutes: Number) -> None:
    """Turn cuprous copper back to cupric with the oxygen that came in, as far as there is acid for it."""
    cuprous, acid = work.dissolved.get("CuCl2^-", 0.0), work.dissolved.get("H^+", 0.0)
    if high(cuprous) <= 0:
        return
    oxygen = np.minimum(np.minimum(air.supply_mol_per_min * minutes, cuprous / 4), acid / 4)
    work.pour("oxygen of the air", {"O2": oxygen})
    work.react("R2.2", oxygen)
    work.answer("acid_eaten", 4 * oxygen, "mol", because="one to each cuprous turned back")
    work.answer("cuprous_left", (cuprous - 4 * oxygen) * molar_mass("Cu"), "g")
    work.did(f"aired for {likely(minutes) / 60:.3g} h")


def _carry(work: Work, air: Air, minutes: Number, told: Mapping[str, Any]) -> None:
    """What the air takes along, where the acid is known, and whether to dilute it first."""
    if high(air.l_per_min) <= 0:
        return
    percent: Number = told["plain_acid"].percent_ww if "plain_acid" in told else plain_percent(work)
    if high(percent) <= 0:
        return
    too_strong(work, percent)
    carry_off(work, air, minutes, percent, told)


def too_strong(work: Work, percent: Number) -> None:
    """Say how to thin acid that is too strong to blow air through.

    Args:
        work: the step
        percent: strength as plain acid [% w/w]
    Source: facts/practice/air.toml
    """
    most, wanted = work.fact("practice/air.strength_to_aerate"), work.fact("practice/air.strength_wanted")
    if high(percent) <= most.value:
        return
    water = high(percent) / wanted.value - 1
    work.answer(
        "water_to_dilute",
        1000 * water,
        "mL/kg",
        sized_on="strongest acid",
        because=f"to {wanted.value:g} % before the air goes on",
    )
    work.say(
        "watch for",
        f"dilute to under {most.value:g} % before the air goes on: {1000 * water:.3g} mL water to each kilogram of this acid",
    )


def _title(air: Air, demand: Number) -> str:
    pump = (
        f"{likely(air.l_per_min):.3g} L/min"
        if high(air.l_per_min) > 0
        else "open top"
        if low(air.supply_mol_per_min) > 0
        else "a pump to find"
    )
    return f"{pump}, {likely(demand):.3g} mol oxygen"


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """The bath with most copper in it; where there is none, the dry goods with most copper."""
    bath = [pot for pot in pots if high(pot.element_mol("Cu", solid=False)) > 0]
    if bath:
        return (max(bath, key=lambda pot: high(pot.element_mol("Cu", solid=False))),)
    goods = [pot for pot in pots if high(pot.solid_mol("Cu")) > 0]
    return (max(goods, key=lambda pot: high(pot.solid_mol("Cu"))),) if goods else ()


ROOM = Room("air", run, FIELDS, choose, 'refinekit air --copper 100g --air "2 L/min" --depth 25cm --plain-acid "13 %"')
"""The verb of air alone."""
