"""Cementing: the last precious metal of a spent liquor onto copper, then its copper onto iron or aluminium."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from refinekit.bench.cement_base import onto_iron
from refinekit.bench.cement_noble import NOBLE, onto_copper
from refinekit.bench.fields import Field, Room, refuse_strange
from refinekit.bench.neutralise_liquor import LIQUOR_FIELDS, bath_apart, pour_told, spent
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.bench.work import Work
from refinekit.errors import CannotFollow
from refinekit.ranges import high, likely

METALS = ("copper", "iron", "aluminium")


def _share_of_acid(texts: Mapping[str, object]) -> str:
    return "practice/cement.acid_share" if texts.get("metal") in ("iron", "aluminium") else ""


FIELDS = (
    Field("metal", "choice", "", "copper for precious metal, then iron or aluminium for copper", choices=METALS),
    Field("tested", "flag", "", "stannous shows no gold any more, and it is written down"),
    Field("with-bath", "volume", "L", "how much of the working bath goes along"),
    Field(
        "acid-share", "share", "", "share of the free acid that eats iron or aluminium", default_from=_share_of_acid, highest=1.0
    ),
    Field("copper-left", "mass_concentration", "mg/L", "copper that stays dissolved after iron or aluminium"),
    Field("bar-left", "share", "", "share of the cupric copper that eats a copper bar left in", highest=1.0),
    Field("minutes", "time", "min", "time over which the copper comes down", above_zero=True),
    Field("gold-price", "price", "g", "what gold is worth, to set beside what is at stake"),
    *LIQUOR_FIELDS,
)


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Any) -> Step:
    """Hang a metal in spent liquor.

    Args:
        pots: spent liquors, put together; a pot called "bath" among others is kept back but for --with-bath
        place: the shop
        told: metal and what is known of the liquor, see FIELDS
    Returns: Step with the metal eaten, what comes down, hydrogen, heat; pots "cement gold" and "stock pot", or
        "cement copper" and "iron liquor" (with aluminium, "aluminium liquor"), and the rest of the bath
    Raises: CannotFollow, there is no liquor
    Source: facts/reactions.toml; habits, facts/practice/cement.toml
    """
    refuse_strange("cement", told, {field.arg for field in FIELDS})
    taken, kept = bath_apart(pots, told.get("with_bath_l"))
    work = Work("cement", *taken, place=place)
    if not pour_told(work, told) and not taken:
        raise CannotFollow(
            "cement has no liquor to work on", cure="give --volume 6L --gold-strength 15mg/L, or a pot with --pot FILE"
        )
    metal = told.get("metal") or _guess(work)
    step = onto_copper(work, told) if metal == "copper" else onto_iron(work, metal, told)
    return replace(step, pots=(*step.pots, *kept))


def _guess(work: Work) -> str:
    """Copper while there is precious metal to bring down, else iron."""
    forms = (form for found, _ in NOBLE.values() for form in found)
    noble = any(high(work.dissolved.get(species, 0.0)) > 0 for species in forms)
    return "copper" if noble else "iron"


def choose(pots: Sequence[Pot], metal: str = "") -> tuple[Pot, ...]:
    """Which pots are cemented.

    Args:
        pots: pots at hand
        metal: copper takes all spent liquors; iron and aluminium the stock pot if there is one, else the nitrate liquors, whose
            free acid was taken down and which no hydrochloric may meet, else all spent liquors
    Returns: the pots, and the working baths beside them, of which only --with-bath goes along
    """
    liquors = spent(pots)
    if metal in ("iron", "aluminium"):
        stock = tuple(pot for pot in liquors if pot.name.startswith("stock pot"))
        liquors = stock or tuple(pot for pot in liquors if "nitrate liquor" in pot.name) or liquors
    baths = tuple(pot for pot in pots if pot.name.startswith("bath") and likely(pot.volume_l) > 0)
    return (*(pot for pot in liquors if not pot.name.startswith("bath")), *baths)


ROOM = Room(
    "cement",
    run,
    FIELDS,
    choose,
    "refinekit cement --metal iron --volume 4L --copper 66g --free-acid 0.5mol/L",
    chooses_by=("metal",),
    draws=True,
)
"""The verb of cementing."""
