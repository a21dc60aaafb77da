"""Base metal off the gold: the verb, its methods, and what they have in common."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Unpack

from refinekit.bench.fields import Room, refuse_strange
from refinekit.bench.leach_bath import pour_bath
from refinekit.bench.leach_cupric import leach_aerated, leach_still
from refinekit.bench.leach_fields import FIELDS, LeachTold
from refinekit.bench.leach_goods import put_in
from refinekit.bench.leach_nitric import leach_nitric
from refinekit.bench.leach_other import leach_ferric, leach_peroxide, strip_solder
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow, UnknownName
from refinekit.nearest import did_you_mean
from refinekit.ranges import high, in_words

BY_METHOD: Mapping[str, tuple[Callable[[Work, Mapping[str, Any]], None], str]] = {
    "cupric": (leach_aerated, "bath"),
    "still": (leach_still, "bath"),
    "peroxide": (leach_peroxide, "bath"),
    "ferric": (leach_ferric, "bath"),
    "nitric": (leach_nitric, "nitrate liquor"),
    "strip": (strip_solder, "strip"),
}
"""Each method, and what the liquor it leaves is called."""
BASE_METALS = ("Cu", "Ni", "Zn", "Pb", "Sn", "Fe", "Al")
BATH_G_PER_L = 1.0
"""Copper or iron in a litre from which a liquor is taken for a bath [g/L]."""


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, glance: bool = False, **told: Unpack[LeachTold]) -> Step:
    """Take base metal off gold.

    Args:
        pots: the goods, and the bath where there is one
        place: the shop: its air, its fan
        glance: whether only figures case by case are wanted: the same fate of the pots, no bath followed hour by hour
        told: method, goods, bath, air, acids, see FIELDS
    Returns: Step with the acid, oxygen, days, gas and what to pour, and pots: the liquor, then foils and boards
    Raises: CannotFollow, UnknownName, OutOfRange
    Source: reactions R2.1 to R2.43; facts/practice/leach.toml, as each line of working says
    """
    refuse_strange("the leach", told, LeachTold.__annotations__.keys())
    method = told.get("method", "cupric")
    if method not in BY_METHOD:
        raise UnknownName(f"{method[:40]!r} is no way to leach", cure=did_you_mean(method, BY_METHOD))
    work = Work("leach", *pots, place=place)
    put_in(work, told)
    pour_bath(work, told)
    if not work.solids and high(work.volume_l) <= 0:
        raise CannotFollow(
            "there are no goods and no bath to leach in", cure="give --copper 50 g, or a pot from the lot with --pot FILE"
        )
    title = _title(work, method)
    leach, liquor = BY_METHOD[method]
    leach(work, {**told, "glance": glance})
    return work.done(liquor, title=title)


def _title(work: Work, method: str) -> str:
    parts = []
    for symbol, word in (("Cu", "copper"), ("Ni", "nickel"), ("Sn", "tin"), ("Au", "gold")):
        grams = work.solids.get(symbol, 0.0) * molar_mass(symbol)
        if high(grams) > 0:
            parts.append(in_words(grams, f"g {word}"))
    return ", ".join([method, *parts])


def choose(pots: Sequence[Pot], method: str = "cupric") -> tuple[Pot, ...]:
    """The goods with base metal in them, and the bath they go into.

    Args:
        pots: pots at hand
        method: nitric takes no bath, a solder strip only one so called
    Returns: goods, then the pot called bath, or the liquor with most copper or ferric iron
    """
    metallic = [pot for pot in pots if any(high(pot.solid_mol(metal)) > 0 for metal in BASE_METALS)]
    goods = tuple(pot for pot in metallic if not high(pot.volume_l) or pot.name.startswith("goods"))
    liquors = [pot for pot in pots if high(pot.volume_l) and not high(pot.mol("NO3^-"))]
    if method == "nitric":
        return goods
    if method == "strip":
        return (*goods, *(pot for pot in liquors if pot.name.startswith("strip")))
    baths = [pot for pot in liquors if not pot.name.startswith("strip") and _is_bath(pot)]
    named = [pot for pot in baths if pot.name.startswith("bath")]
    return (*goods, *sorted(named or baths, key=_richness, reverse=True)[:1])


def _richness(pot: Pot) -> float:
    return high((pot.element_g("Cu", solid=False) + pot.element_g("Fe", solid=False)) / pot.volume_l)


def _is_bath(pot: Pot) -> bool:
    gold = high(pot.mol("AuCl4^-")) > high(pot.element_mol("Cu", solid=False))
    return not gold and (pot.name.startswith("bath") or _richness(pot) >= BATH_G_PER_L)


ROOM = Room(
    "leach",
    run,
    FIELDS,
    choose,
    'refinekit leach --copper 50.6g --nickel 5.7g --gold 2.1g --volume 3L --air "2 L/min" --depth 18cm',
    ("method",),
    draws=True,
    glances=True,
)
"""The verb of the leach."""
