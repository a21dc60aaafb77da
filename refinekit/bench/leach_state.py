"""A bath read: its strengths, its colour, and how many more lots it will take."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.leach_bath import ACID_PER_COPPER
from refinekit.bench.lot_metals import SPECK_G
from refinekit.bench.vessel import stand
from refinekit.bench.work import Work
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import OutOfRange
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, high, likely, low

NO_LIQUOR_L = 1e-12
"""Litres that stand for none, so that nothing is divided by it [L]."""
STRENGTHS = (
    ("copper", ("Cu^2+", "CuCl2^-"), "Cu"),
    ("cuprous", ("CuCl2^-",), "Cu"),
    ("nickel", ("Ni^2+",), "Ni"),
    ("iron", ("Fe^2+", "Fe^3+"), "Fe"),
    ("zinc", ("Zn^2+",), "Zn"),
    ("tin", ("Sn^2+", "Sn^4+"), "Sn"),
    ("lead", ("Pb^2+",), "Pb"),
    ("aluminium", ("Al^3+",), "Al"),
)
"""What a bath's strength is given of: word, the species that count, the element they are weighed as."""


def strength_g_per_l(work: Work, species: tuple[str, ...], element: str) -> Number:
    """Grams of an element in a litre of the work's liquor.

    Args:
        work: the step
        species: what counts, each with one atom of the element
        element: what they are weighed as
    Returns: strength [g/L]; 0 where there is no liquor
    """
    mol: Number = sum((work.dissolved.get(one, 0.0) for one in species), 0.0)
    return mol * molar_mass(element) / np.maximum(work.volume_l, NO_LIQUOR_L)


def read_bath(work: Work, when: str = "bath", title: str = "") -> None:
    """Answer with the strengths of the liquor as it stands, and at the end with the bucket it wants.

    Args:
        work: the step
        when: "start" before the goods react, "bath" at the end: how the answers' names begin [text]
        title: what the table is called; "" for the start or the end
    """
    title = title or ("bath at the start" if when == "start" else "bath at the end")
    free = work.dissolved.get("H^+", 0.0) / np.maximum(work.volume_l, NO_LIQUOR_L)
    work.answer(f"{when}_volume", work.volume_l, "L")
    rows: list[tuple[str | Range, ...]] = [("free HCl, mol/L", Range.over(free))]
    for word, species, element in STRENGTHS:
        strength = strength_g_per_l(work, species, element)
        if high(strength) > 0 or word == "copper":
            sized_on = "high for the ceiling" if word == "copper" else "likely"
            work.answer(f"{when}_{word}", strength, "g/L", sized_on=sized_on)
            rows.append((f"{word}, g/L", Range.over(strength)))
    work.answer(f"{when}_free_hcl", free, "mol/L", sized_on="low: the floor counts")
    work.table(title, ("what", "strength"), rows)
    work.say("watch for", f"{title}: {colour(work)}")
    if when != "start":
        stand(work, work.volume_l, "foils", how="bucket in a tray, vented lid, outdoors or in the hood")


def colour(work: Work) -> str:
    """What the work's bath looks like, and what that asks for."""
    copper = likely(strength_g_per_l(work, ("Cu^2+", "CuCl2^-"), "Cu"))
    cuprous = likely(strength_g_per_l(work, ("CuCl2^-",), "Cu"))
    free = likely(work.dissolved.get("H^+", 0.0)) / max(likely(work.volume_l), NO_LIQUOR_L)
    return colour_of(copper, cuprous, free)


def colour_of(copper: float, cuprous: float, free_mol_per_l: float) -> str:
    """What a bath of some strengths looks like, and what that asks for.

    Args:
        copper: all its copper [any unit of strength]; 0 and up
        cuprous: how much of that is cuprous [the same]
        free_mol_per_l: free acid [mol/L]
    Source: common practice, in facts/practice/leach.toml
    """
    if copper <= 0:
        return "no copper yet"
    if free_mol_per_l < fact("practice/leach.free_acid_spent").value:
        return "blue-green milk: out of acid"
    share = cuprous / copper
    if share > 1 - fact("practice/leach.stall").value:
        return "near water white or very dark, all cuprous: stalled, wants air"
    if share >= fact("practice/leach.olive_from").value:
        return "olive to brown-black: mixed, wants air"
    return "clear green: copper(II), acid plenty"


def copper_room(
    volume_l: Number, copper_g_per_l: Number, ceiling_g_per_l: Number, acid: Solution
) -> tuple[Number, Number, Number]:
    """Copper a bath will still take to its ceiling, without and with the growth by the acid that feeds it.

    Args:
        volume_l: bath [L]; above 0
        copper_g_per_l: its copper [g/L]
        ceiling_g_per_l: copper it is worked up to [g/L]
        acid: acid in hand, two moles to a mole of copper
    Returns: grams without growth, grams with growth, litres at the end; without growth again where acid is so weak that the
        bath never gets there
    Raises: OutOfRange, no bath
    Source: (V c + m)/(V + m k) = ceiling, with k = 2 / 63.546 / acid strength
    """
    if low(volume_l) <= 0:
        raise OutOfRange("there is no bath to take copper", cure="give its litres")
    per_gram = ACID_PER_COPPER / molar_mass("Cu") / acid.mol_per_l
    still = np.maximum(volume_l * (ceiling_g_per_l - copper_g_per_l), 0.0)
    reached = 1 - ceiling_g_per_l * per_gram
    grown = np.where(reached > 0, still / np.where(reached > 0, reached, 1.0), still)
    return still, grown, volume_l + grown * per_gram


def lots_left(work: Work, told: Mapping[str, Any], acid: Solution, copper_g: Number, nickel_g: Number) -> None:
    """Answer with how much more the bath takes, in grams and in lots like this one.

    Args:
        work: the step, its liquor as it stands at the end
        told: may hold `ceiling_g_per_l` and `vessel_l`
        acid: acid in hand
        copper_g: copper the lot brought [g]
        nickel_g: nickel it brought [g]
    Source: facts/practice/leach.toml
    """
    if low(work.volume_l) <= 0:
        return
    ceiling = work.default(told.get("ceiling_g_per_l"), "practice/leach.copper_ceiling", "copper the bath is worked up to")
    copper = strength_g_per_l(work, ("Cu^2+", "CuCl2^-"), "Cu")
    still, grown, volume = copper_room(work.volume_l, copper, ceiling, acid)
    work.answer(
        "copper_room_no_growth", still, "g", sized_on="low", because=f"to {likely(ceiling):.3g} g/L, the bath not growing"
    )
    work.answer("copper_room", grown, "g", sized_on="low", because="the acid poured in to feed it grows the bath")
    work.answer("volume_at_ceiling", volume, "L", sized_on="high for the bucket")
    per_gram = ACID_PER_COPPER / molar_mass("Cu") / acid.mol_per_l
    work.working(
        "copper the bath will still take",
        "litres x (ceiling - copper) / (1 - ceiling x litres of acid to a gram)",
        f"{likely(work.volume_l):.4g} L x ({likely(ceiling):.4g} - {likely(copper):.4g}) g/L"
        f" / (1 - {likely(ceiling):.4g} x {likely(per_gram):.4g})",
        f"{likely(grown):.5g} g, {likely(volume):.4g} L",
    )
    if low(copper_g) > SPECK_G:
        work.answer("lots_to_ceiling", grown / copper_g, "lots", sized_on="low", because="of this size, no bleed")
        if "vessel_l" in told:
            growth = per_gram * copper_g
            room = np.maximum(told["vessel_l"] - work.volume_l, 0.0)
            work.answer("lots_to_overflow", room / growth, "lots", sized_on="low", because="baths never wear out, they overflow")
    if low(nickel_g) > SPECK_G:
        limit = work.fact("practice/leach.nickel_retire").range.low
        room = np.maximum(limit * work.volume_l - work.dissolved.get("Ni^2+", 0.0) * molar_mass("Ni"), 0.0)
        work.answer("lots_to_nickel_limit", room / nickel_g, "lots", sized_on="low", because=f"to {limit:g} g/L nickel, no bleed")
