"""Gold into solution: hydrochloric acid with the least nitric, or with peroxide, bleach or chlorine."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from refinekit.bench.dissolve_nitric import dissolve_nitric, nitric_reach
from refinekit.bench.dissolve_oxidant import dissolve_chlorine, dissolve_oxidant
from refinekit.bench.fields import METALS, Field, Place, Room, holding, metal_fields, one, pot_of_metals
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.bench.work import Work
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, Range, high, low

METHODS = ("nitric", "peroxide", "bleach", "chlorine")


def _share_by_heat(texts: Mapping[str, object]) -> str:
    if texts.get("method") not in (None, "nitric"):
        return ""
    return "practice/general.no_share.gold_cold" if texts.get("how") == "cold" else "practice/general.no_share.gold_hot"


def _ratio(texts: Mapping[str, object]) -> str:
    told = texts.get("nitric-added") is not None or texts.get("method") not in (None, "nitric")
    return "" if told else "practice/dissolve.nitric_ratio"


def _excess(texts: Mapping[str, object]) -> str:
    method = texts.get("method")
    told = texts.get("oxidant-added") is not None or method not in ("peroxide", "bleach")
    return "" if told else f"practice/dissolve.{method}_excess"


FIELDS = (
    Field("method", "choice", "", "what takes the gold up", choices=METHODS),
    *metal_fields(*METALS, what="in the foils, powder or scrap"),
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
    masses: dict[str, Number | None] = {metal: told.get(f"{metal}_g") for metal in METALS}
    told = {**told, "method": told.get("method") or "nitric"}
    if any(mass is not None for mass in masses.values()):
        pots = (*pots, pot_of_metals("metal told", **masses))
    if not pots and told["method"] == "nitric" and told.get("nitric_added_l") is not None:
        return nitric_reach(Work("dissolve", place=place), told)
    one(pots, "dissolve", "the metal, as in --gold 2.1 g")
    work = Work("dissolve", *pots, place=place)
    gold = Range.over(pots_gold(pots))
    if gold.high <= 0:
        raise CannotFollow("dissolve finds no gold metal in the pot", cure="give --gold, or the pot that holds the foils")
    {"nitric": dissolve_nitric, "chlorine": dissolve_chlorine}.get(told["method"], dissolve_oxidant)(work, told)
    return work.done("gold liquor", title=f"{told['method']} on {gold.low:.3g} / {gold.likely:.3g} / {gold.high:.3g} g gold")


def pots_gold(pots: Sequence[Pot]) -> Number:
    """Solid gold in a set of pots [g]."""
    grams: Number = 0.0
    for pot in pots:
        grams = grams + pot.solid_g("Au")
    return grams


ROOM = Room("dissolve", run, FIELDS, choose, 'refinekit dissolve --gold "1.6/2.1/2.6 g" --nitric "68 %"')
