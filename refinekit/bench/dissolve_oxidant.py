"""Gold by hydrochloric acid with peroxide, bleach or chlorine: no nitric to kill afterwards, but chlorine to breathe."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from refinekit.bench.chloride_silver import say_silver, settle_silver
from refinekit.bench.dissolve_common import electrons_of, fume_times, metals_of, pour_hydrochloric, say_liquid, take_up
from refinekit.bench.pouring import bottle_of, label_of, pour_bottle
from refinekit.bench.step import Reagent
from refinekit.bench.work import Work
from refinekit.chemistry.equation import Equation
from refinekit.chemistry.species import molar_mass
from refinekit.errors import Stopped
from refinekit.ranges import Range, high, low

ACIDIFIED = "NaOCl + H^+ -> Na^+ + HClO"
TO_CHLORINE = "HClO + H^+ + Cl^- -> Cl2 + H2O"
DECAY = "R2.19"


@dataclass(frozen=True, slots=True)
class Oxidant:
    """A bottled oxidant.

    Args:
        solute: formula in the bottle [text]
        taker: what takes the electrons in the pot [text]
        name, key: as on the shelf [text]
    """

    solute: str
    taker: str
    name: str
    key: str


OXIDANTS = {
    "peroxide": Oxidant("H2O2", "H2O2", "hydrogen peroxide", "peroxide"),
    "bleach": Oxidant("NaOCl", "HClO", "bleach", "bleach"),
}


def dissolve_oxidant(work: Work, told: Mapping[str, Any]) -> None:
    """Dissolve the metals in the pot with hydrochloric and peroxide or bleach.

    Args:
        work: the step, metals in it
        told: figures of the room
    Source: R3.6, R3.7 and their halves; excess by common practice
    """
    kind = OXIDANTS[told["method"]]
    metals = metals_of(work)
    bottle = bottle_of(work, kind.solute, told.get(told["method"]), kind.name)
    pour_hydrochloric(work, metals, told)
    electrons = electrons_of(metals)
    bare_mol = electrons / 2
    bare_l = bare_mol / bottle.mol_per_l
    excess = told.get("excess")
    if told.get("oxidant_added_l") is not None:
        total_l = told["oxidant_added_l"]
    else:
        total_l = bare_l * work.default(excess, f"practice/dissolve.{told['method']}_excess", f"{kind.name} over the bare need")
    bare, total = Range.over(1000 * bare_l), Range.over(1000 * total_l)
    label = label_of(bottle)
    first_ml = 1000 * low(bare_l)
    work.reagent(
        Reagent(
            kind.name, bare, first_ml, "mL", "low metal", "x 1", label, "first, in sips, cold", kind.key, "down", counts=False
        )
    )
    work.reagent(Reagent(kind.name, bare, total.high, "mL", "high metal", "in all", label, "at most, in all", kind.key, "up"))
    work.answer("oxidant", 1000 * bare_mol, "mmol", because="half the electrons of the metals")
    work.answer("oxidant_bare", bare, "mL", sized_on="bare need", because="1.5 to a gold, 1 to copper and nickel")
    work.answer("oxidant_total", total, "mL", because="it decomposes or is lost: the usual multiple")
    work.working(
        f"{kind.name}, bare",
        "electrons / 2 over mol/L",
        f"{1000 * high(electrons):.4g} mmol / 2 / {high(bottle.mol_per_l):.4g} mol/L",
        f"{bare.high:.4g} mL",
    )
    pour_bottle(work, kind.name, bottle, total_l)
    if kind.taker == "HClO":
        work.react(Equation.parse("ClO^- + H^+ -> HClO"), work.dissolved.get("ClO^-", 0.0))
    there = work.dissolved.get(kind.taker, 0.0)
    done = np.minimum(np.divide(there, bare_mol), 1.0)
    take_up(work, kind.taker, metals, done)
    _leftover(work, kind, told)
    settle_silver(work)
    say_silver(work)
    say_liquid(work, told)
    work.say(
        "done when", "no foil is left; then warm it in the hood until no smell of chlorine and no bubbles, no nitric to kill"
    )


def _leftover(work: Work, kind: Oxidant, told: Mapping[str, Any]) -> None:
    """What the metal did not need: peroxide decays to oxygen when warmed, hypochlorite leaves as chlorine."""
    minutes, tenths = fume_times(work, told)
    left = work.dissolved.get(kind.taker, 0.0)
    work.answer("oxidant_left", 1000 * left, "mmol", because="poured less used")
    if kind.taker == "H2O2":
        work.gas("O2", Range.over(left / 2), minutes=minutes, t90_min=tenths, sized_on="all left over falls apart")
        work.say("watch for", "warm, strong acid with leftover peroxide also gives chlorine: clear it in the hood")
        return
    work.react(Equation.parse(TO_CHLORINE), left)
    chlorine = work.dissolved.get("Cl2", 0.0)
    work.escape("Cl2", chlorine)
    work.gas("Cl2", Range.over(chlorine), minutes=minutes, t90_min=tenths, sized_on="all excess leaves as chlorine")
    work.answer(
        "chlorine", 1000 * chlorine, "mmol", sized_on="all excess leaves as chlorine", because="one to a hypochlorite not used"
    )
    if work.place.room_m3:
        from refinekit.chemistry.gas import litres

        ppm = 1000 * litres(chlorine, work.place.temperature_k, work.place.pressure_pa) / work.place.room_m3
        work.answer("room", ppm, "ppm", sized_on="closed room, fully mixed", because="litres over room litres")


def dissolve_chlorine(work: Work, told: Mapping[str, Any]) -> None:
    """How much chlorine gas the gold would need; cylinder work is not planned for a room.

    Raises: Stopped, asked for in a room
    """
    if not work.place.outdoors and not work.place.hood:
        raise Stopped(
            "a chlorine cylinder in a room is not planned here", cure="leave it to a licensed works, or take the least-nitric way"
        )
    metals = metals_of(work)
    pour_hydrochloric(work, metals, told)
    bare_mol = electrons_of(metals) / 2
    grams = Range.over(bare_mol * molar_mass("Cl2"))
    work.reagent(Reagent("chlorine", grams, grams.high, "g", "high metal", "x 1", "gas", "bubbled in", "chlorine", "up"))
    work.answer("chlorine_bare", grams, "g", because="half the electrons of the metals")
    work.pour("chlorine", {"Cl2": bare_mol})
    take_up(work, "Cl2", metals, 1.0)
    settle_silver(work)
    say_silver(work)
    say_liquid(work, told)
