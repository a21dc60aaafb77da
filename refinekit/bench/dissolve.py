"""Gold into solution: hydrochloric acid with the least nitric, or with peroxide, bleach or chlorine."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from refinekit.bench.chloride_silver import STEADY
from refinekit.bench.dissolve_common import metals_of
from refinekit.bench.dissolve_nitric import dissolve_nitric, nitric_reach
from refinekit.bench.dissolve_oxidant import IN_ALL, dissolve_chlorine, dissolve_oxidant
from refinekit.bench.fields import METALS, Field, Place, Room, holding, metal_fields, one, pot_of_metals, refuse_strange
from refinekit.bench.lot_metals import alloy, shares
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass
from refinekit.errors import BadQuantity, CannotFollow
from refinekit.facts.load import fact
from refinekit.ranges import Number, high, in_words, low

METHODS = ("nitric", "peroxide", "bleach", "chlorine")
MAKE_METALS = ("gold", "silver", "copper", "zinc")
"""What the figures of a make stand for, as in 583/104/313."""


def _share_by_heat(texts: Mapping[str, object]) -> str:
    if texts.get("method") not in (None, "nitric"):
        return ""
    return "practice/general.no_share.gold_cold" if texts.get("how") == "cold" else "practice/general.no_share.gold_hot"


def _ratio(texts: Mapping[str, object]) -> str:
    told = texts.get("nitric-added") is not None or texts.get("method") not in (None, "nitric")
    return "" if told else "practice/dissolve.nitric_ratio"


def _excess(texts: Mapping[str, object]) -> str:
    method = texts.get("method")
    return IN_ALL.get(str(method), "") if texts.get("oxidant-added") is None else ""


FIELDS = (
    Field("method", "choice", "", "what takes the gold up", choices=METHODS),
    *metal_fields(*METALS, what="in the foils, powder or scrap"),
    Field("weight", "mass", "g", "scrap told by its make"),
    Field("make", "text", "", "parts per thousand gold/silver/copper, as in 583/104/313, or a name, as in 14 karat yellow"),
    Field("hydrochloric", "strength:HCl", "", "strength of the hydrochloric acid"),
    Field("nitric", "strength:HNO3", "", "strength of the nitric acid"),
    Field("peroxide", "strength:H2O2", "", "strength of the peroxide"),
    Field("bleach", "strength:NaOCl", "", "strength of the bleach"),
    Field("hydrochloric-volume", "volume", "mL", "hydrochloric you pour; left out, what is advised"),
    Field("water", "volume", "mL", "water you pour; left out, as much as hydrochloric"),
    Field("nitric-added", "volume", "mL", "nitric you pour in all; left out, what it takes"),
    Field("nitric-ratio", "count", "", "nitric in all, times the nitric oxide need", default_from=_ratio, above_zero=True),
    Field("no-share", "share", "", "share of nitrogen leaving as nitric oxide", default_from=_share_by_heat, highest=1.0),
    Field("how", "choice", "", "hot with nitric by drops, or cold with all at once", choices=("hot", "cold")),
    Field("oxidant-added", "volume", "mL", "peroxide or bleach you pour in all"),
    Field("excess", "count", "", "peroxide or bleach in all, times the bare need", default_from=_excess, above_zero=True),
    Field("paper", "count", "", "filter papers in the beaker"),
    Field("form", "choice", "", "foils, powder, or bars and shot", choices=("foils", "fine", "bars")),
    Field("dilute-water", "volume", "mL", "water it will be diluted with, to see what silver stays dissolved"),
    Field("minutes", "time", "min", "time over which the fume comes", above_zero=True),
    Field("nine-tenths", "time", "min", "time in which nine tenths of it comes", above_zero=True),
)


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """The pot of foils, else the one richest in solid gold."""
    named = tuple(pot for pot in pots if pot.name.startswith("foils") and high(pot.solid_mol("Au")) > 0)
    return (named or holding((pot for pot in pots if low(pot.inert_g) <= 0 or len(pots) == 1), solid="Au"))[:1]


def run(pots: Sequence[Pot], *, place: Place, **told: Any) -> Step:
    """Size a dissolution of gold.

    Args:
        pots: the foils, or nothing where masses are told
        place: the shop
        told: figures of FIELDS, by argument name
    Raises: CannotFollow, there is no metal and no nitric to ask about
    """
    refuse_strange("a dissolution", told, {field.arg for field in FIELDS})
    masses = masses_told(told)
    told = {**told, "method": told.get("method") or "nitric"}
    if masses:
        pots = (*pots, pot_of_metals("metal told", **masses))
    if not pots and told["method"] == "nitric" and told.get("nitric_added_l") is not None:
        return nitric_reach(Work("dissolve", place=place), told)
    one(pots, "dissolve", "the metal, as in --gold 2.1 g")
    work = Work("dissolve", *pots, place=place)
    if not metals_of(work) and high(work.solids.get("AgCl", 0.0)) <= STEADY:
        raise CannotFollow("dissolve finds no metal in the pot", cure="give --gold, or the pot that holds the foils")
    gold = in_words(work.solids.get("Au", 0.0) * molar_mass("Au"), "g")
    {"nitric": dissolve_nitric, "chlorine": dissolve_chlorine}.get(told["method"], dissolve_oxidant)(work, told)
    return work.done("gold liquor", title=f"{told['method']} on {gold} gold")


def masses_told(told: Mapping[str, Any]) -> dict[str, Number | None]:
    """Grams of each metal told, by its own figure and by weight and make together; empty where none is.

    Raises: BadQuantity, a make without a weight, or one that cannot be read; UnknownName, no such alloy
    """
    masses: dict[str, Number | None] = {metal: told[f"{metal}_g"] for metal in METALS if told.get(f"{metal}_g") is not None}
    make, weight_g = told.get("make"), told.get("weight_g")
    if (make is None) != (weight_g is None):
        raise BadQuantity("a make and a weight go together", cure='as in --weight "20 g" --make 583/104/313')
    if make is None or weight_g is None:
        return masses
    for metal, share in make_shares(str(make)).items():
        masses[metal] = (masses.get(metal) or 0.0) + share * weight_g
    return masses


def make_shares(make: str) -> dict[str, float]:
    """Share of each metal in a make.

    Args:
        make: parts per thousand of gold, silver, copper and zinc with strokes between, or the name of an alloy [text]
    Returns: shares by metal word [-]; what is missing of a thousand parts counts as copper, which takes as much acid as zinc
    Raises: BadQuantity, over a thousand parts or far under; UnknownName, no such alloy

    >>> make_shares("583/104/313")
    {'gold': 0.583, 'silver': 0.104, 'copper': 0.313}
    """
    if not re.fullmatch(r"\s*\d+(\.\d+)?(\s*/\s*\d+(\.\d+)?){1,3}\s*", make):
        return shares(alloy(make))[0]
    parts = [float(part) / 1000 for part in make.split("/")]
    if not 0 < sum(parts) <= 1 + STEADY:
        raise BadQuantity(
            f"the make {make[:40]!r} adds up to {1000 * sum(parts):g} parts per thousand",
            cure="gold/silver/copper of a thousand, as in 583/104/313",
        )
    if sum(parts) < fact("practice/lot.make_least").value:
        raise BadQuantity(
            f"the make {make[:40]!r} adds up to only {1000 * sum(parts):g} parts per thousand",
            cure="a make is in parts per thousand, as in 583/104/313; karats take a K, as in 13.5/14/14 K",
        )
    made = dict(zip(MAKE_METALS, parts, strict=False))
    rest = 1 - sum(parts)
    return made if rest < STEADY else {**made, "copper": made.get("copper", 0.0) + rest}


ROOM = Room("dissolve", run, FIELDS, choose, 'refinekit dissolve --gold "1.6/2.1/2.6 g" --nitric "68 %"')
