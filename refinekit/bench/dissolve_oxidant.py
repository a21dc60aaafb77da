"""Gold by hydrochloric acid with peroxide, bleach or chlorine: no nitric to kill afterwards, but chlorine to breathe."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.chloride_silver import say_silver, settle_silver
from refinekit.bench.dissolve_common import (
    acid_reach,
    electrons_of,
    fume_times,
    metals_of,
    pour_hydrochloric,
    say_liquor,
    silver_share_of,
    take_up,
)
from refinekit.bench.pouring import bottle_of, label_of, pour_bottle
from refinekit.bench.step import Reagent
from refinekit.bench.work import Work
from refinekit.chemistry.equation import Equation
from refinekit.chemistry.gas import litres
from refinekit.chemistry.redox import taker
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely, low, times_bare
from refinekit.record import record

ACIDIFIED = Equation.parse("ClO^- + H^+ -> HClO")
TO_CHLORINE = Equation.parse("HClO + H^+ + Cl^- -> Cl2 + H2O")
DECAY = "R2.19"


@record
class Oxidant:
    """A bottled oxidant.

    Args:
        solute: formula in the bottle [text]
        taker: what takes the electrons in the pot [text]
        name, key: as on the shelf [text]
        spare_acid: acid that each mole not used on metal takes in the end [mol/mol]
    """

    solute: str
    taker: str
    name: str
    key: str
    spare_acid: float


OXIDANTS = {
    "peroxide": Oxidant("H2O2", "H2O2", "hydrogen peroxide", "peroxide", 0.0),
    "bleach": Oxidant("NaOCl", "HClO", "bleach", "bleach", 2.0),
}


IN_ALL = {"peroxide": "practice/general.excess.peroxide_total", "bleach": "practice/dissolve.bleach_in_all"}
"""Fact of how much is poured in all, over the bare need, by method."""


def dissolve_oxidant(work: Work, told: Mapping[str, Any]) -> None:
    """Dissolve the metals in the pot with hydrochloric and peroxide or bleach.

    Args:
        work: the step, metals in it
        told: figures of the room
    Source: 2 Au + 3 H2O2 + 8 HCl -> 2 HAuCl4 + 6 H2O, 2 Au + 3 NaOCl + 8 HCl -> 2 HAuCl4 + 3 NaCl + 3 H2O and their halves;
        excess by common practice
    """
    kind = OXIDANTS[told["method"]]
    metals = metals_of(work)
    silver_share = silver_share_of(metals)
    bottle = bottle_of(work, kind.solute, told.get(told["method"]), kind.name)
    electrons = electrons_of(metals)
    bare_mol = electrons / 2
    total_l = _total_l(work, told, kind, bare_mol / bottle.mol_per_l)
    spare_mol = np.maximum(total_l * bottle.mol_per_l - bare_mol, 0.0)
    beside = f"{kind.name} over the need"
    hydrochloric = pour_hydrochloric(work, metals, told, beside_mol=kind.spare_acid * spare_mol, beside=beside)
    _say_pours(work, kind, bottle, bare_mol, total_l, given=told.get("oxidant_added_l") is not None)
    _pour(work, kind, bottle, total_l)
    half = taker(kind.taker)
    per_electron = half.left["H^+"] / half.left["e^-"]
    reach = np.minimum(2 * work.dissolved.get(kind.taker, 0.0), acid_reach(work, metals, per_electron))
    take_up(work, kind.taker, metals, np.minimum(electrons, reach))
    {"H2O2": _peroxide_left, "HClO": _bleach_left}[kind.taker](work, told)
    settle_silver(work)
    say_silver(work, silver_share, told.get("dilute_water_l"))
    say_liquor(work, hydrochloric, told)


def _total_l(work: Work, told: Mapping[str, Any], kind: Oxidant, bare_l: Number) -> Number:
    """Oxidant poured in all [L]: as told, or the usual multiple of the bare need."""
    if told.get("oxidant_added_l") is not None:
        given: Number = told["oxidant_added_l"]
        return given
    return bare_l * work.default(told.get("excess"), IN_ALL[kind.key], f"{kind.name} in all, times the bare need")


def _say_pours(work: Work, kind: Oxidant, bottle: Solution, bare_mol: Number, total_l: Number, *, given: bool) -> None:
    bare, total = Range.over(1000 * bare_mol / bottle.mol_per_l), Range.over(1000 * total_l)
    label = label_of(bottle)
    when = "first, in sips, cold"
    work.reagent(
        Reagent(kind.name, bare, bare.low, "mL", "low metal", times_bare(1.0), label, when, kind.key, "down", counts=False)
    )
    on, when = ("as you said", "as you said, in all") if given else ("high metal", "then in sips, at most, in all")
    times = times_bare(total.high / bare.high) if bare.high > 0 else ""
    work.reagent(Reagent(kind.name, bare, total.high, "mL", on, times, label, when, kind.key, "down", to_sign=not given))
    work.answer("oxidant", 1000 * bare_mol, "mmol", because="half the electrons of the metals: 1.5 to a gold, 1 to copper")
    work.answer("oxidant_bare", bare, "mL", sized_on="low metal first", because="1.5 to a gold, 1 to copper and nickel")
    work.answer(
        "oxidant_total", total, "mL", because="as you said" if given else "some decomposes or is lost: the usual multiple"
    )
    electrons = Range.over(2000 * bare_mol)
    work.working(
        f"{kind.name}, bare",
        "electrons / 2 over mol/L",
        f"{electrons.likely:.5g} mmol / 2 / {likely(bottle.mol_per_l):.4g} mol/L",
        f"{bare.likely:.4g} mL (likely metal)",
    )


def _pour(work: Work, kind: Oxidant, bottle: Solution, total_l: Number) -> None:
    pour_bottle(work, kind.name, bottle, total_l)
    if kind.taker == "HClO":
        salt = work.fact("practice/dissolve.salt_in_bleach").value
        hypochlorite = work.dissolved.get("ClO^-", 0.0)
        work.pour("salt that comes with the bleach", {"NaCl": salt * hypochlorite})
        # each hypochlorite wants one acid to become hypochlorous and one more to be used
        work.react(ACIDIFIED, np.minimum(hypochlorite, work.dissolved.get("H^+", 0.0) / 2))


def _peroxide_left(work: Work, told: Mapping[str, Any]) -> None:
    """Peroxide not used falls apart when the liquor is warmed; strong acid may make chlorine of it."""
    minutes, tenths = fume_times(work, told)
    left = work.dissolved.get("H2O2", 0.0)
    work.answer("oxidant_left", 1000 * left, "mmol", because="poured less used, till it is warmed away")
    work.react(DECAY, left / 2)
    work.gas("O2", Range.over(left / 2), minutes=minutes, t90_min=tenths, sized_on="all left over falls apart")
    work.gas("Cl2", Range(0.0, 0.0, high(left)), minutes=minutes, t90_min=tenths, sized_on="all left over makes chlorine instead")
    _clear(work, "peroxide")
    work.say("watch for", "strong peroxide froths on metal and, in strong acid, makes chlorine: sips, cold, hood")


def _bleach_left(work: Work, told: Mapping[str, Any]) -> None:
    """Hypochlorite not used leaves as chlorine, as far as there is acid."""
    minutes, tenths = fume_times(work, told)
    left = work.dissolved.get("HClO", 0.0)
    work.answer("oxidant_left", 1000 * (left + work.dissolved.get("ClO^-", 0.0)), "mmol", because="poured less used")
    work.react(TO_CHLORINE, np.minimum(left, np.minimum(work.dissolved.get("H^+", 0.0), work.dissolved.get("Cl^-", 0.0))))
    chlorine = work.dissolved.get("Cl2", 0.0)
    work.escape("Cl2", chlorine)
    work.gas("Cl2", Range.over(chlorine), minutes=minutes, t90_min=tenths, sized_on="all excess leaves as chlorine")
    on = "all excess leaves as chlorine"
    work.answer("chlorine", 1000 * chlorine, "mmol", sized_on=on, because="one to a hypochlorite not used")
    volume_l = litres(chlorine, work.place.temperature_k, work.place.pressure_pa)
    work.answer("chlorine_gas", volume_l, "L", sized_on=on, because="at the shop's temperature and pressure")
    if work.place.room_m3:
        ppm = 1000 * volume_l / work.place.room_m3
        work.answer("room", ppm, "ppm", sized_on="closed room, fully mixed", because="litres over room litres; near the pot more")
    _clear(work, "chlorine")
    work.say(
        "watch for", "plain bleach only, no scent or thickener; sips, cold, thin foils; each millilitre too much is chlorine"
    )


def _clear(work: Work, oxidant: str) -> None:
    work.say("gear", "goggles, gloves, apron; hood or outdoors: a dust mask holds no chlorine")
    work.assume(f"the liquor is stood warm till its {oxidant} is gone")
    work.say(
        "done when",
        f"no foil is left; then stand it warm in the hood till no bubbles and no smell: {oxidant} left in it eats the"
        " reductant and bleaches the test. No nitric to kill",
    )


def dissolve_chlorine(work: Work, told: Mapping[str, Any]) -> None:
    """How much chlorine gas the metals take; cylinder work is not planned for a room, and stopped there.

    Source: 2 Au + 3 Cl2 + 2 HCl -> 2 HAuCl4 and its halves
    """
    if not work.place.outdoors:
        work.notice(
            "stop",
            "chlorine-cylinder",
            "a chlorine cylinder in a room is not planned here",
            "leave it to a licensed works, or take the nitric method; outdoors, say so: --outdoors",
            "practice",
        )
        return
    metals = metals_of(work)
    silver_share = silver_share_of(metals)
    hydrochloric = pour_hydrochloric(work, metals, told)
    electrons = electrons_of(metals)
    reach = np.minimum(electrons, acid_reach(work, metals, 0.0))
    grams = Range.over(electrons / 2 * molar_mass("Cl2"))
    on = "high metal, what slips through comes on top"
    work.reagent(
        Reagent("chlorine", grams, grams.high, "g", on, times_bare(1.0), "gas", "bubbled in, slowly", "chlorine", "down")
    )
    work.answer("chlorine_bare", grams, "g", because="half the electrons of the metals: 0.540 g to a gram of gold")
    work.pour("chlorine", {"Cl2": electrons / 2})
    take_up(work, "Cl2", metals, reach)
    left = work.dissolved.get("Cl2", 0.0)
    work.escape("Cl2", left)
    work.gas("Cl2", Range(low(left), likely(left), high(electrons) / 2), sized_on="all of it slips through")
    settle_silver(work)
    say_silver(work, silver_share, told.get("dilute_water_l"))
    say_liquor(work, hydrochloric, told)
    work.say("watch for", "a cylinder can empty itself into your lungs: outdoors, upwind, valve in reach, never alone")
    work.say("done when", "no foil is left; then draw air through it till no smell")
