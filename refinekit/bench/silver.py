"""Silver: thrown down as chloride, turned back to metal, cemented on copper; and the palladium in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from refinekit.bench import melt
from refinekit.bench.fields import Room, holding, refuse_strange
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.pouring import bottle_of, pour_bottle, pour_water
from refinekit.bench.rinse_wash import Rinse
from refinekit.bench.silver_chloride import throw_down
from refinekit.bench.silver_copper import on_copper, with_glyoxime
from refinekit.bench.silver_fields import EXCESS, FIELDS
from refinekit.bench.silver_reduce import by_caustic, by_metal
from refinekit.bench.step import Step
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.ranges import high

NEEDS = {
    "chloride": ("Ag^+", "silver nitrate liquor", "--silver 92.5g"),
    "copper": ("Ag^+", "silver nitrate liquor", "--silver 92.5g --free-nitric 20mL"),
    "iron": ("AgCl", "silver chloride", "--silver-chloride 400g"),
    "zinc": ("AgCl", "silver chloride", "--silver-chloride 400g"),
    "caustic": ("AgCl", "silver chloride", "--silver-chloride 400g"),
    "soda": ("AgCl", "silver chloride", "--silver-chloride 400g"),
}
"""What each way works on, in words, and how to tell it."""


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Any) -> Step:
    """Get silver out of a liquor, or out of its chloride.

    Args:
        pots: silver liquor and its rinses, or curd
        place: the shop
        told: what is done, and with what, see FIELDS
    Returns: Step with what to weigh, gas, and the pots: "silver chloride", "silver powder" or "palladium precipitate" first
    Raises: CannotFollow, no silver of that kind
    Source: R7.3 to R7.13, R8.1; habits, facts/practice/silver.toml
    """
    refuse_strange("silver", told, {field.arg for field in FIELDS})
    work = Rinse("silver", *pots, place=place)
    _put_in(work, told)
    how = told.get("how") or _guess(work, told)
    _need(work, how, told)
    if how == "soda":
        return _smelt(work, place)
    excess = work.default(told.get("excess"), EXCESS[how], "times the bare need")
    if how == "chloride":
        name = throw_down(work, told, excess)
    elif how == "copper":
        name = on_copper(work, told, excess)
    elif how == "caustic":
        name = by_caustic(work, told, excess)
    elif how == "palladium":
        name = with_glyoxime(work, told, excess)
    else:
        name = by_metal(work, told, how, excess)
    step = work.done(name, title=_title(how))
    if len(step.pots) < 2:
        return step
    *aside, products = step.pots[1:]
    return replace(step, pots=(products, *aside, step.pots[0]))


def _title(how: str) -> str:
    return {
        "chloride": "thrown down as chloride",
        "copper": "cemented on copper",
        "caustic": "chloride by caustic and sugar",
        "palladium": "palladium by dimethylglyoxime",
    }.get(how, f"chloride by {how}")


def _put_in(work: Rinse, told: Mapping[str, Any]) -> None:
    """Liquor and curd told by their weight."""
    if "silver_g" in told or "palladium_g" in told:
        amounts = {}
        grams = told.get("silver_g", 0.0)
        if high(grams) > 0:
            amounts["AgNO3"] = grams / molar_mass("Ag")
        if high(told.get("palladium_g", 0.0)) > 0:
            amounts["Pd(NO3)2" if amounts else "PdCl2"] = told["palladium_g"] / molar_mass("Pd")
        volume_l = told.get("volume_l")
        if volume_l is None:
            strength = work.default(None, "practice/silver.strength", "silver in the liquor")
            volume_l = (grams + told.get("palladium_g", 0.0)) / strength
        work.pour("liquor", amounts)
        pour_water(work, volume_l, "its water")
    if "free_nitric_l" in told:
        pour_bottle(work, "free nitric", bottle_of(work, "HNO3", told.get("nitric"), "nitric acid"), told["free_nitric_l"])
    if "silver_chloride_g" in told:
        work.pour("silver chloride", {"AgCl": told["silver_chloride_g"] / molar_mass("AgCl")})


def _guess(work: Rinse, told: Mapping[str, Any]) -> str:
    if "precipitate_g" in told or ("palladium_g" in told and "silver_g" not in told):
        return "palladium"
    how = "iron" if high(work.solids.get("AgCl", 0.0)) > high(work.dissolved.get("Ag^+", 0.0)) else "chloride"
    work.assume(f"how: {how}")
    return how


def _need(work: Rinse, how: str, told: Mapping[str, Any]) -> None:
    if how == "palladium":
        there = any(high(work.dissolved.get(species, 0.0)) > 0 for species in ("Pd^2+", "PdCl4^2-"))
        if not there and "precipitate_g" not in told:
            raise CannotFollow(
                "silver finds no palladium", cure="tell it, as in --palladium 2g, or a weighed --precipitate 0.85g"
            )
        return
    species, words, example = NEEDS[how]
    if not max(high(work.dissolved.get(species, 0.0)), high(work.solids.get(species, 0.0))) > 0:
        raise CannotFollow(
            f"silver --how {how} finds no {words}", cure=f"tell it, as in {example}, or give a pot with --pot FILE"
        )


def _smelt(work: Rinse, place: Place | None) -> Step:
    """The soda smelt is the melt's."""
    if work.before:
        return replace(melt.run(work.before, place=place, dirt="chloride"), name="silver")
    grams = work.solids["AgCl"] * molar_mass("AgCl")
    return replace(melt.run(place=place, dirt="chloride", silver_chloride_g=grams), name="silver")


def choose(pots: Sequence[Pot], how: str = "") -> tuple[Pot, ...]:
    """Which pots: all silver liquors without gold metal; or the curd.

    Args:
        pots: pots at hand
        how: what is done [text]
    """
    liquors = tuple(pot for pot in holding(pots, dissolved="Ag^+") if not high(pot.solid_mol("Au")) > 0)
    curds = tuple(pot for pot in pots if pot.name.startswith("silver chloride"))
    curds = curds or tuple(pot for pot in holding(pots, solid="AgCl") if not pot.name.startswith(("pulp", "nitrate")))[:1]
    if how == "palladium":
        return (*holding(pots, dissolved="Pd^2+"), *holding(pots, dissolved="PdCl4^2-"))[:1]
    if how in ("chloride", "copper"):
        return liquors
    if how:
        return curds
    return curds or liquors


ROOM = Room(
    "silver",
    run,
    FIELDS,
    choose,
    "refinekit silver --how copper --silver 92.5g --free-nitric 20mL",
    chooses_by=("how",),
)
"""The verb of silver."""
