"""Air on a bath by itself: how long a pump takes, what pump a time wants, and what the air takes along."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Unpack

import numpy as np

from refinekit.bench.air_days import begin_of, followed, say_days
from refinekit.bench.bubbles import AIR_FIELDS, AeratedTold, Air, air_of, answer_time, carry_off, oxygen_for, plain_percent
from refinekit.bench.fields import METALS, Field, Room, metal_fields, refuse_strange
from refinekit.bench.leach_bath import make_ready
from refinekit.bench.leach_fields import BATH_TO_MAKE, FRESH_FIELDS, FreshTold
from refinekit.bench.lot_metals import SPECK_G
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.bench.work import Work
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import BadQuantity, CannotFollow, OutOfRange
from refinekit.ranges import Number, Range, high, likely, low

SEEN_METALS = ("copper", "nickel", "zinc", "lead", "tin", "iron", "silver")
"""Metals that take oxygen in an aerated bath."""


class AirTold(AeratedTold, FreshTold, total=False):
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
    *FRESH_FIELDS,
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
    refuse_strange("air", told, AirTold.__annotations__.keys())
    if "air_l_per_min" not in told and "surface_cm2" not in told and "within_s" not in told:
        raise CannotFollow(
            "air has no pump, no open top and no time to size a pump for", cure="--air 2L/min --depth 18cm, or --within 5d"
        )
    work = Work("air", *pots, place=place)
    air = air_of(work, told)
    metals = _metals(work, told)
    demand = told["oxygen_mol"] if "oxygen_mol" in told else oxygen_for(metals)
    minutes = answer_time(work, demand, air, told)
    ran = told["running_s"] / 60 if "running_s" in told else minutes
    if ran is not None:
        work.minutes = Range.over(ran)
        bath = _bath(work, told, metals)
        if bath is not None and minutes is not None and high(minutes) > 0:
            _days(work, bath, air, followed(told, ran), metals, told)
        _regenerate(work, air, ran)
        _carry(work, air, ran, plain_percent(bath or work), told)
    return work.done(pots[0].name if pots else None, title=_title(air, demand))


def _metals(work: Work, told: Mapping[str, Any]) -> dict[str, Number]:
    """What takes oxygen, by symbol [mol]: the metals told and those of the pots, and what of a bath the air turns up."""
    metals: dict[str, Number] = {"Cu(I)": work.dissolved.get("CuCl2^-", 0.0), "Fe(II)": work.dissolved.get("Fe^2+", 0.0)}
    for word in SEEN_METALS:
        symbol = METALS[word]
        metals[symbol] = work.solids.get(symbol, 0.0) + told.get(f"{word}_g", 0.0) / molar_mass(symbol)
    return metals


def _bath(work: Work, told: Mapping[str, Any], metals: Mapping[str, Number]) -> Work | None:
    """The bath the air goes through: the pot's, or such a one as the leach would make for the goods; None where there is none.

    Raises: OutOfRange, CannotFollow, a bath told that cannot be made
    """
    if high(work.volume_l) > 0:
        return work
    goods = {metal: mol for metal, mol in metals.items() if metal in METALS.values() and high(mol) > 0}
    if "oxygen_mol" in told or not goods:
        return None
    bath = Work("air", place=work.place)
    weight = told.get("weight_g", work.inert_g + sum((mol * molar_mass(metal) for metal, mol in goods.items()), 0.0))
    metal_g = sum((mol * molar_mass(metal) for metal, mol in goods.items()), 0.0)
    if low(weight - metal_g) < -SPECK_G:
        raise BadQuantity(
            f"the metals outweigh the goods by {high(metal_g - weight):.4g} g", cure="check --weight and the metals"
        )
    bath.pour("goods", goods, inert_g=np.maximum(weight - metal_g, 0.0))
    try:
        make_ready(bath, told, 4 * oxygen_for(goods), goods.get("Cu", 0.0))
    except OutOfRange:
        if told.keys() & {field.arg for field in BATH_TO_MAKE}:
            raise
        work.assume("no bath was told and the usual one would not hold the acid: give --volume to have it day by day")
        return None
    work.take_over(bath)
    return bath


def _days(work: Work, bath: Work, air: Air, minutes: float, metals: Mapping[str, Number], told: Mapping[str, Any]) -> None:
    """The bath day by day."""
    goods = {metal: mol for metal, mol in metals.items() if metal in METALS.values()}
    if bath is not work:
        work.answer("bath", bath.volume_l, "L", because="as the leach would make it for these goods")
        work.answer("bath_acid", bath.dissolved["H^+"] / bath.volume_l, "mol/L", because="free acid as the air goes on")
    acid = told.get("acid") or Solution.usual("HCl")
    aim = told.get("aim_mol_per_l", work.fact("practice/general.excess.hydrochloric_bath_free").value)
    begin = begin_of(bath, 4 * oxygen_for(goods), goods["Cu"])
    say_days(work, begin, air, minutes, acid, aim, told)


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


def _carry(work: Work, air: Air, minutes: Number, percent_there: Number, told: Mapping[str, Any]) -> None:
    """What the air takes along, where the acid is known, and whether to dilute it first."""
    if high(air.l_per_min) <= 0:
        return
    percent: Number = told["plain_acid"].percent_ww if "plain_acid" in told else percent_there
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


ROOM = Room(
    "air",
    run,
    FIELDS,
    choose,
    'refinekit air --weight 500g --copper 62.7g --nickel 7.1g --air "1.5 L/min" --depth 15cm',
    draws=True,
)
"""The verb of air alone."""
