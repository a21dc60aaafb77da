"""The bath over its lots: made fresh or topped up, bled, read, and how much more it will take."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.leach_goods import as_number, goods_weight_g
from refinekit.bench.pouring import bottle_of, label_of, pour_bottle, pour_water
from refinekit.bench.step import Reagent
from refinekit.bench.work import Work
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow, OutOfRange
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, high, likely, low

ACID_PER_COPPER = 2.0
"""Moles of hydrochloric acid to a mole of copper taken into a bath (R2.3)."""


# ---- a bath that is there
def pour_bath(work: Work, told: Mapping[str, Any]) -> None:
    """Put in a bath told by its figures, where one is told.

    Args:
        work: the step
        told: `bath_volume_l` and the strengths beside it; acid not told is taken as the usual aim
    Raises: OutOfRange, more cuprous copper than copper; CannotFollow, strengths without litres
    Source: charge balance: chloride makes up for acid and metals
    """
    strengths = [name for name in told if name.startswith("bath_") and name != "bath_volume_l"]
    if "bath_volume_l" not in told:
        if strengths:
            raise CannotFollow("a bath told by its strengths needs its litres", cure="--bath-volume 4 L")
        return
    litres = told["bath_volume_l"]
    acid = work.default(
        told.get("bath_acid_mol_per_l"), "practice/general.excess.hydrochloric_bath_free", "free acid of the bath"
    )
    cuprous = told.get("bath_cuprous_g_per_l", 0.0) / molar_mass("Cu")
    copper = told.get("bath_copper_g_per_l", 0.0) / molar_mass("Cu") - cuprous
    if low(copper) < 0:
        raise OutOfRange(
            "the bath has more cuprous copper than copper", cure="--bath-copper is all the copper, cuprous and cupric"
        )
    metals: dict[str, tuple[Number, int]] = {"Cu^2+": (copper, 2)}
    for word, ion, charge in (("nickel", "Ni^2+", 2), ("iron", "Fe^3+", 3), ("zinc", "Zn^2+", 2), ("tin", "Sn^4+", 4)):
        metals[ion] = (told.get(f"bath_{word}_g_per_l", 0.0) / molar_mass(ion.partition("^")[0]), charge)
    amounts: dict[str, Number] = {ion: strength * litres for ion, (strength, _) in metals.items() if high(strength) > 0}
    charge = acid - cuprous + sum((count * strength for strength, count in metals.values()), 0.0)
    if low(charge) < 0:
        raise OutOfRange(
            "so much cuprous copper wants more chloride than the bath has", cure="check --bath-cuprous and --bath-acid"
        )
    amounts |= {"H^+": acid * litres, "Cl^-": charge * litres, "CuCl2^-": cuprous * litres}
    work.pour("bath as it stands", {**amounts, "H2O": _water_of(acid) * litres}, volume_l=litres)


def _water_of(acid_mol_per_l: Number) -> Number:
    """Water in a litre of plain acid of a strength [mol/L]; dissolved salts take no room."""
    one = np.maximum(acid_mol_per_l, 1e-9)
    plain = Solution.of("HCl", "mol_per_l", one)
    return 1000 * plain.density_g_per_ml * (1 - plain.mass_fraction) / molar_mass("H2O")


# ---- made fresh, or topped up
def make_ready(
    work: Work, told: Mapping[str, Any], eaten_mol: Number, copper_mol: Number, *, start_acid: str = "", starter: bool = True
) -> Solution:
    """Make the bath ready for a lot: a fresh one, or one that is there topped up.

    Args:
        work: the step, goods in it, the bath in it where there is one
        told: volume, free acid, aim, start copper, acid, as_it_is
        eaten_mol: acid the lot will eat [mol]
        copper_mol: copper it will bring [mol]
        start_acid: fact of the free acid a fresh bath starts with, where that is the habit; "" to size it on the aim
        starter: whether a fresh bath wants copper(II) to start on
    Returns: the acid in hand
    Raises: CannotFollow, nothing to size the bath on; OutOfRange, an aim the acid cannot reach
    Source: facts/practice/leach.toml
    """
    acid = bottle_of(work, "HCl", told.get("acid"), "hydrochloric acid")
    if high(work.volume_l) > 0:
        if not told.get("as_it_is"):
            _top_up(work, told, acid, eaten_mol)
    else:
        _fresh(work, told, acid, eaten_mol, copper_mol, start_acid=start_acid, starter=starter)
    return acid


def _fresh(
    work: Work, told: Mapping[str, Any], acid: Solution, eaten_mol: Number, copper_mol: Number, *, start_acid: str, starter: bool
) -> None:
    start: Number = 0.0
    if starter:
        start = work.default(
            told.get("start_copper_g_per_l"), "practice/leach.start_copper", "copper(II) the fresh bath starts with"
        )
    volume = _volume(work, told, copper_mol, start)
    given = told.get("free_acid_mol_per_l")
    if given is not None:
        strength: Number = given
        why = f"{likely(given):.3g} mol/L free acid as told"
    elif start_acid:
        strength = work.default(None, start_acid, "free acid the bath starts with")
        why = "the usual start"
    else:
        aim = _aim(work, told, acid)
        strength = aim + high(eaten_mol) / volume
        why = f"what the metals eat and {likely(aim):.3g} mol/L left"
    bottle_l = strength * volume / acid.mol_per_l
    if high(bottle_l - volume) > 1e-9 * high(volume):
        raise OutOfRange(
            f"{likely(strength):.3g} mol/L free acid is more than the bottle has ({likely(acid.mol_per_l):.3g} mol/L)",
            cure="more bath (--volume), or a stronger acid",
        )
    work.answer(
        "bath_to_make",
        volume,
        "L",
        because="covers the goods and stays under the copper ceiling" if "volume_l" not in told else "",
    )
    work.answer("hcl_to_make_bath", 1000 * bottle_l, "mL", sized_on="high metal: excess acid does no harm", because=why)
    water = np.maximum(volume - bottle_l, 0.0)
    _water_reagent(work, water, "what the acid leaves of the bath", "first, the acid into it")
    _acid_reagent(work, acid, eaten_mol / acid.mol_per_l, high(bottle_l), why, "before the goods, into the water")
    pour_bottle(work, "hydrochloric acid", acid, bottle_l)
    work.answer("water_to_make_bath", 1000 * water, "mL", because="water first, acid into it")
    pour_water(work, water)
    if starter and high(start) > 0:
        _start(work, told, start * volume)
    work.working(
        "bath to make",
        "litres x free acid / bottle",
        f"{likely(volume):.4g} L x {likely(strength):.4g} mol/L / {likely(acid.mol_per_l):.5g} mol/L",
        f"{1000 * likely(bottle_l):.5g} mL acid, {1000 * likely(water):.5g} mL water",
    )


def _volume(work: Work, told: Mapping[str, Any], copper_mol: Number, start_g_per_l: Number) -> Number:
    """Litres of a fresh bath: as told, or enough to cover the goods and to stay under the copper ceiling."""
    if "volume_l" in told:
        given: Number = told["volume_l"]
        return given
    ceiling = work.default(told.get("ceiling_g_per_l"), "practice/leach.copper_ceiling", "copper the bath is worked up to")
    cover = fact("practice/leach.cover").value * high(goods_weight_g(work)) / 1000
    if low(ceiling - start_g_per_l) <= 0:
        raise OutOfRange(
            f"a bath started at {high(start_g_per_l):.3g} g/L copper is over its ceiling of {low(ceiling):.3g} already",
            cure="a higher --ceiling, or less --start-copper",
        )
    room = high(copper_mol) * molar_mass("Cu") / (ceiling - start_g_per_l)
    volume: Number = np.maximum(cover, room)
    if high(volume) <= 0:
        raise CannotFollow("there is nothing to size a bath on", cure="--volume 3 L, or tell the goods")
    work.default(None, "practice/leach.cover", "bath that covers the goods")
    return volume


def _aim(work: Work, told: Mapping[str, Any], acid: Solution) -> Number:
    aim = work.default(told.get("aim_mol_per_l"), "practice/general.excess.hydrochloric_bath_free", "free acid wanted at the end")
    if high(aim) >= low(acid.mol_per_l):
        raise OutOfRange(
            f"{high(aim):.3g} mol/L cannot be had with acid of {low(acid.mol_per_l):.3g} mol/L",
            cure="a lower --aim, or stronger acid",
        )
    return aim


def _water_reagent(work: Work, water_l: Number, on: str, when: str) -> None:
    """Water of a bath, where there is any to pour."""
    if likely(water_l) > 0:
        millilitres = 1000 * water_l
        work.reagent(
            Reagent("water", Range.over(millilitres), likely(millilitres), "mL", f"likely: {on}", when=when, key="water")
        )


def _acid_reagent(work: Work, acid: Solution, bare_l: Number, take_l: float, why: str, when: str) -> None:
    """Acid of a bath, fresh or topped up."""
    work.reagent(
        Reagent(
            "hydrochloric acid",
            Range.over(1000 * bare_l),
            1000 * take_l,
            "mL",
            "high metal: excess does no harm and keeps copper, tin and lead in solution",
            excess=why,
            bottle=label_of(acid),
            when=when,
            key="hydrochloric",
            rounding="up",
        )
    )


def _start(work: Work, told: Mapping[str, Any], copper_g: Number) -> None:
    """Copper(II) to start on: the dihydrate, or a splash of weak peroxide that makes it from the goods."""
    if told.get("start_with") == "peroxide":
        splash = work.fact("practice/leach.start_peroxide").value / 1000 * work.volume_l
        weak = Solution.of("H2O2", "percent_ww", work.fact("practice/leach.start_peroxide_strength").value)
        pour_bottle(work, "peroxide to start", weak, splash)
        made = np.minimum(np.minimum(work.dissolved["H2O2"], work.solids.get("Cu", 0.0)), work.dissolved["H^+"] / 2)
        work.react("R2.17", made)
        work.answer("peroxide_to_start", 1000 * splash, "mL", because=f"{weak.label}, once, cold")
        words, key, bottle = "peroxide to start the bath", "peroxide", weak.label
        work.reagent(
            Reagent(
                words, Range.over(1000 * splash), 1000 * likely(splash), "mL", "likely", bottle=bottle, when="once, cold", key=key
            )
        )
        return
    mol = copper_g / molar_mass("Cu")
    salt = mol * molar_mass("CuCl2.2H2O")
    work.pour("copper chloride dihydrate", {"CuCl2.2H2O": mol})
    work.answer("copper_salt", salt, "g", because="day one does nothing without copper(II)")
    name, when = "copper(II) chloride dihydrate", "to start; a heel of old bath does as well"
    work.reagent(Reagent(name, Range.over(salt), likely(salt), "g", "likely", when=when, key="copper-chloride"))
    work.working(
        "start-up copper",
        "litres x g/L, as CuCl2.2H2O",
        f"{likely(copper_g):.4g} g copper x {molar_mass('CuCl2.2H2O'):.5g} / {molar_mass('Cu'):.5g}",
        f"{likely(salt):.4g} g",
    )


def bleed(work: Work, copper_mol: Number) -> None:
    """Draw off as much copper as the lot will bring, at the present strength, before it goes in.

    Args:
        work: the step, the bath in it
        copper_mol: copper the lot will bring [mol]
    Raises: CannotFollow, no copper in the bath
    Source: copper of the lot over the bath's copper
    """
    there = work.dissolved.get("Cu^2+", 0.0) + work.dissolved.get("CuCl2^-", 0.0)
    if low(there) <= 0:
        raise CannotFollow("there is no copper in the bath to bleed", cure="leave --bleed out")
    share = copper_mol / there
    volume = np.minimum(share, 1.0) * work.volume_l
    work.answer(
        "bleed",
        1000 * volume,
        "mL",
        sized_on="likely copper of the lot",
        because="copper it brings over the bath's g/L, before the lot",
    )
    work.say("watch for", "test the bleed for gold (stannous) and silver before it goes to the drum")
    work.working(
        "bleed",
        "copper of the lot / copper of the bath",
        f"{likely(copper_mol) * molar_mass('Cu'):.4g} g / {likely(there * molar_mass('Cu') / work.volume_l):.4g} g/L",
        f"{1000 * likely(volume):.4g} mL",
    )
    work.draw_off("bleed", likely(volume), note="bled before the lot")


def _top_up(work: Work, told: Mapping[str, Any], acid: Solution, eaten_mol: Number) -> None:
    """Acid so that the aim is left when the lot is done, and water up to the working volume."""
    aim = _aim(work, told, acid)
    have, volume, wanted = work.dissolved.get("H^+", 0.0), work.volume_l, told.get("volume_l", 0.0)
    within = np.maximum((aim * wanted + eaten_mol - have) / acid.mol_per_l, 0.0)
    grown = np.maximum((aim * volume + eaten_mol - have) / (acid.mol_per_l - aim), 0.0)
    bare: Number = as_number(np.where(volume + within <= wanted, within, grown))
    take = high(bare)
    water = np.maximum(wanted - volume - take, 0.0)
    why = f"so that {likely(aim):.3g} mol/L is left when the lot is done"
    work.answer("acid_to_add", 1000 * bare, "mL", sized_on="high metal: pour the high figure", because=why)
    work.answer(
        "water_to_add", 1000 * water, "mL", because="up to the working volume" if likely(wanted) else "the acid is the growth"
    )
    work.working(
        "acid to add",
        "(aim x litres + eaten - there) / bottle",
        f"({likely(aim):.3g} mol/L x {max(likely(wanted), likely(volume + bare)):.4g} L + {likely(eaten_mol):.4g} mol"
        f" - {likely(have):.4g} mol) / {likely(acid.mol_per_l):.5g} mol/L",
        f"{1000 * likely(bare):.5g} mL",
    )
    if take > 0:
        _acid_reagent(work, acid, bare, take, why, "before the goods")
        pour_bottle(work, "hydrochloric acid", acid, take)
    _water_reagent(work, water, "up to the working volume", "then, before the goods")
    pour_water(work, water)
