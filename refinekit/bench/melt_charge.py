"""What goes into the crucible beside flux: a collector for beads; and what must not: nitrate, bare silver chloride."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from refinekit.bench.fields import METALS
from refinekit.bench.step import Reagent
from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass
from refinekit.errors import BadQuantity
from refinekit.ranges import Number, Range, high, likely

COLLECTORS = ("silver", "copper")
"""Metals that gather the beads of a poor powder: silver is parted off, copper leached off."""


def collect(work: Work, told: Mapping[str, Any]) -> Number:
    """Put in a collector, as told or as many times the fine metal as is usual.

    Args:
        work: the step, powder and flux in it
        told: may hold `collector`, `collector_weight_g`
    Returns: its weight [g]
    Raises: BadQuantity, a weight of a collector that was not named
    """
    word = told.get("collector")
    if word is None:
        if "collector_weight_g" in told:
            raise BadQuantity("the collector has a weight but no metal", cure="name it, as in --collector silver")
        return 0.0
    own = METALS[word]
    grams = told.get("collector_weight_g")
    fine: Number = sum(
        (work.solids.get(symbol, 0.0) * molar_mass(symbol) for symbol in ("Au", "Ag", "Pd", "Pt") if symbol != own), 0.0
    )
    if grams is None:
        grams = high(fine) * work.default(None, f"practice/melt.collector.{word}", "collector, times the fine metal")
    take = high(grams)
    if take <= 0:
        return 0.0
    on = "high fine metal" if "collector_weight_g" not in told else "as you said"
    work.answer("collector", grams, "g", sized_on=on, because="gathers beads too small to sink through the slag")
    work.reagent(Reagent(f"clean {word}, to collect", Range.over(grams), take, "g", on, "", "", "mixed in", word, "up"))
    work.pour(f"{word} to collect", {own: take / molar_mass(own)})
    work.say(
        "next",
        "part the button: the silver goes into nitric, the gold stays"
        if word == "silver"
        else "leach the button's copper off, or inquart and part it",
    )
    return take


def refuse_nitrate(work: Work, powder_g: Number) -> None:
    """Stop where nitrate was left in the powder: it throws the charge out and burns with carbon.

    Args:
        work: the step, the powder dried
        powder_g: weight of the powder [g]
    """
    nitrate = (work.dissolved.get("NO3^-", 0.0) + work.solids.get("AgNO3", 0.0)) * molar_mass("NO3^-")
    line = work.fact("practice/melt.nitrate_most")
    if high(nitrate - line.value * powder_g) > 0:
        work.notice(
            "stop",
            "nitrate-in-melt",
            f"up to {high(nitrate):.3g} g of nitrate is left in {likely(powder_g):.3g} g of powder: in the crucible it lets go"
            " at once, in brown fume, and throws the charge out; with carbon it burns like powder",
            "wash the powder with hot water until no nitrate is left (rinse), dry it, then melt",
            line.source,
            cause=work.marks.get("nitrate", ""),
        )


def note_chloride(work: Work) -> None:
    """Say what silver chloride does that no soda was given for."""
    grams = work.solids.get("AgCl", 0.0) * molar_mass("AgCl")
    least = work.fact("practice/melt.chloride_least").value
    if high(grams) > least:
        work.notice(
            "note",
            "chloride-in-melt",
            f"up to {high(grams):.3g} g of silver chloride in the charge without soda for it: it flies off from 450 degC",
            "smelt it with soda ash, as in --dirt chloride, or reduce it first (silver)",
            "practice",
        )
