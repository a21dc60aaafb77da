"""What is being weighed in: grams by metal, from the grade, from masses told, and from the base the rest of the weight is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np

from refinekit.bench.fields import METALS
from refinekit.bench.lot_fields import gold_known, kind_row
from refinekit.bench.lot_metals import alloy, shares, triangular_error
from refinekit.bench.work import Work
from refinekit.errors import BadQuantity, CannotFollow
from refinekit.ranges import Number, high, likely, low

if TYPE_CHECKING:
    from refinekit.bench.lot_items import Held

NOTHING = 1e-9
"""Share of a lot that is rounding."""


class Parcel:
    """What is being weighed in: grams by metal word, and the independent errors of its gold."""

    def __init__(self, work: Work, told: Mapping[str, Any]) -> None:
        self.work = work
        self.told = told
        self.row = kind_row(told.get("kind"))
        self.weight_g: Number | None = told.get("weight_g")
        self.grams: dict[str, Number] = {}
        self.errors: dict[str, float] = {}
        self.inert_g: Number = 0.0
        self.stones_g: Number = told.get("stones_g", 0.0)
        self.stamp: Number | None = None
        self.held: list[Held] = []

    def add(self, metal: str, grams: Number) -> None:
        """Put some of a metal in."""
        self.grams[metal] = self.grams[metal] + grams if metal in self.grams else grams

    def add_alloy(self, name: str, grams: Number) -> None:
        """Put some of an alloy in, metal by metal; what is none of the metals kept here goes to the inert weight."""
        row = alloy(name)
        parts, rest = shares(row)
        for metal, share in parts.items():
            self.add(metal, share * grams)
        self.inert_g = self.inert_g + rest * grams
        if "Be" in row["parts"]:
            self.work.mark("beryllium")
        if "Co" in row["parts"]:
            self.work.assume("cobalt is counted as nickel, which it follows and nearly weighs")

    def weighed(self, why: str) -> Number:
        """The weight of the lot without its stones. Raises: CannotFollow, it was not told; BadQuantity, nothing but stones."""
        if self.weight_g is None:
            raise CannotFollow(f"a lot by {why} needs its weight", cure="--weight 420 g")
        net: Number = self.weight_g - self.stones_g
        if low(net) <= 0:
            raise BadQuantity(
                f"stones of {high(self.stones_g):.4g} g leave nothing of {low(self.weight_g):.4g} g",
                cure="weigh the stones again",
            )
        return net

    def metals_g(self) -> Number:
        """All metals together [g]."""
        return sum(self.grams.values(), 0.0)


def by_grade(parcel: Parcel) -> None:
    """Put in the gold of a grade: the one told, or the usual one of the kind where nothing else is known.

    Raises: CannotFollow, no weight
    """
    told, work = parcel.told, parcel.work
    grade = told.get("grade_g_per_kg")
    stand_in = parcel.row.get("grade", "")
    if grade is None and (not stand_in or parcel.weight_g is None or parcel.grams or gold_known(told)):
        return
    grade = work.default(grade, stand_in, "gold in this kind of lot")
    gold = parcel.weighed("grade") * grade / 1000
    parcel.add("gold", gold)
    parcel.errors["grade"] = triangular_error(grade)
    work.working(
        "gold by grade",
        "weight x g/kg",
        f"{likely(parcel.weighed('grade')) / 1000:.5g} kg x {likely(grade):.4g} g/kg",
        f"{likely(gold):.5g} g",
    )
    if parcel.row.get("stack") and parcel.row.get("laminate") and "copper_g" not in told and "copper" not in parcel.grams:
        _copper_by_gold(parcel, gold)


def by_plate(parcel: Parcel) -> None:
    """Put in the silver of plated goods by their weight.

    Raises: CannotFollow, no weight; BadQuantity, the silver told twice
    """
    told, work = parcel.told, parcel.work
    grade = told.get("silver_grade_g_per_kg")
    stand_in = parcel.row.get("plate", "")
    known = "silver" in parcel.grams or "silver_g" in told
    if grade is not None and known:
        raise BadQuantity("the silver is told by its grade and by its layer or mass", cure="tell it one way")
    if known or (grade is None and (not stand_in or parcel.weight_g is None)):
        return
    grade = work.default(grade, stand_in, "silver in this kind of lot")
    silver = parcel.weighed("silver grade") * grade / 1000
    parcel.add("silver", silver)
    work.working(
        "silver by grade",
        "weight x g/kg",
        f"{likely(parcel.weighed('silver grade')) / 1000:.5g} kg x {likely(grade):.4g} g/kg",
        f"{likely(silver):.5g} g",
    )


def _copper_by_gold(parcel: Parcel, gold: Number) -> None:
    """Copper and nickel of tabs known by their grade only."""
    work = parcel.work
    ratio = work.default(parcel.told.get("copper_per_gold"), "practice/lot.copper_per_gold", "copper per gram of gold")
    nickel = work.default(None, "practice/lot.nickel_per_gold", "nickel per gram of gold")
    parcel.add("copper", ratio * gold)
    if "nickel_g" not in parcel.told:
        parcel.add("nickel", nickel * gold)
    work.working(
        "copper by the gold",
        "gold x g/g",
        f"{likely(gold):.5g} g x {likely(ratio):.4g}",
        f"{likely(ratio * gold):.5g} g",
        "practice/lot.copper_per_gold",
    )


def by_mass(parcel: Parcel) -> None:
    """Put in the metals told by their mass, and the solder."""
    for metal in METALS:
        grams = parcel.told.get(f"{metal}_g")
        if grams is not None:
            parcel.add(metal, grams)
            if metal == "gold":
                parcel.errors["mass"] = triangular_error(grams)
    if "solder_g" in parcel.told:
        solder = "tin-lead solder"
        parcel.add_alloy(solder, parcel.told["solder_g"])
        tin, lead = (100 * shares(alloy(solder))[0][metal] for metal in ("tin", "lead"))
        parcel.work.assume(f"solder is tin-lead, {tin:.0f} to {lead:.0f}")


def base_and_rest(parcel: Parcel) -> None:
    """Make the rest of the weight the base alloy where one is known, inert stuff otherwise.

    Raises: BadQuantity, the metals outweigh the lot
    """
    if parcel.weight_g is None:
        return
    rest = parcel.weight_g - parcel.metals_g() - parcel.inert_g - parcel.stones_g
    slack = -1000 * NOTHING * high(parcel.weight_g)
    if likely(rest) < slack and not parcel.grams:
        raise BadQuantity(
            f"what is no metal outweighs the lot: {likely(parcel.inert_g + parcel.stones_g):.4g} g in"
            f" {likely(parcel.weight_g):.4g} g",
            cure="check the inert stuff, the stones and the weight",
        )
    if likely(rest) < slack:
        most = max(parcel.grams, key=lambda metal: likely(parcel.grams[metal]))
        raise BadQuantity(
            f"the metals outweigh the lot: {likely(parcel.metals_g()):.4g} g in {likely(parcel.weight_g):.4g} g,"
            f" most of it {most} ({likely(parcel.grams[most]):.4g} g)",
            cure="check the area, the thickness (micron or microinch?) and the weight",
        )
    if low(rest) < slack:
        parcel.work.notice(
            "note",
            "metals-outweigh-lot",
            "with every range at its high end the metals outweigh the lot",
            "the highest figures cannot all be true: weigh the area or the thickness again",
            "practice",
        )
    rest = np.maximum(rest, 0.0)
    base = parcel.told.get("base") or ("" if parcel.grams.keys() - {"gold", "silver"} else parcel.row.get("base", ""))
    if base and high(rest) > 0:
        if "base" not in parcel.told:
            parcel.work.assume(f"the base is {base}")
        parcel.add_alloy(base, rest)
    else:
        parcel.inert_g = parcel.inert_g + rest
    parcel.inert_g = parcel.inert_g + parcel.stones_g
