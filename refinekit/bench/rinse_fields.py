"""What a rinse may be told, and what stands in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypedDict

from refinekit.bench.fields import Field
from refinekit.chemistry.solution import Solution
from refinekit.ranges import Number
from refinekit.units.price import PriceReading

WHAT = ("foils", "pulp", "powder")
"""What is rinsed: foils and boards out of the bath, the pulp gold liquor was filtered on, settled powder."""
STUFF = ("gold", "silver", "silver chloride", "hydroxide")
"""Powders that settle, by how much liquor they hold."""
METALS_HELD = ("gold", "silver", "copper", "nickel", "iron", "zinc")
"""Metals of the liquor a target may be set by."""


class RinseTold(TypedDict, total=False):
    """What a rinse may be told: one entry a field of FIELDS, in base units."""

    what: str
    weight_g: Number
    stuff: str
    held_l: Number
    hold_ml_per_g: Number
    wash_l: Number
    washes: Number
    target: Number
    metal: str
    allowed_g: Number
    liquid: str
    acid: Solution
    acid_strength_mol_per_l: Number
    acid_washes: Number
    board_wash_l: Number
    board_washes: Number
    dilute_l: Number
    warm: bool
    gold_strength_g_per_l: Number
    silver_strength_g_per_l: Number
    copper_strength_g_per_l: Number
    nickel_strength_g_per_l: Number
    zinc_strength_g_per_l: Number
    drum_room_l: Number
    gold_price: PriceReading


def hold_fact(what: str, stuff: str) -> str:
    """The fact for what holds the liquor.

    Args:
        what: one of WHAT [text]
        stuff: one of STUFF, for powder [text]
    """
    if what == "foils":
        return "practice/leach.board_held"
    return "practice/rinse.hold." + ("pulp" if what == "pulp" else stuff.replace(" ", "_"))


def _hold_from(texts: Mapping[str, object]) -> str:
    """Liquor held stands in where neither it nor the millilitres are told; boards and foils bring theirs from the leach."""
    what = str(texts.get("what") or "powder")
    if texts.get("held") is not None or what == "foils":
        return ""
    return hold_fact(what, str(texts.get("stuff") or "gold"))


FIELDS = (
    Field("what", "choice", "", "what is rinsed", choices=WHAT),
    Field("weight", "mass", "g", "dry weight of the powder, pulp or boards", above_zero=True),
    Field("stuff", "choice", "", "what the powder is", choices=STUFF),
    Field("held", "volume", "mL", "liquor it holds when settled and poured off"),
    Field("hold", "hold", "mL/g", "liquor it holds, per gram", default_from=_hold_from),
    Field("wash", "volume", "mL", "size of one wash", above_zero=True),
    Field("washes", "count", "", "how many washes"),
    Field("target", "share", "", "share of the liquor that may stay", above_zero=True, highest=1.0),
    Field("metal", "choice", "", "metal the target is set by", choices=METALS_HELD),
    Field("allowed", "mass", "mg", "how much of that metal may stay", above_zero=True),
    Field("liquid", "choice", "", "what it is washed with", choices=("water", "acid", "ammonia")),
    Field("acid", "strength:HCl", "", "hydrochloric acid in hand, for weak acid"),
    Field("acid-strength", "concentration", "mol/L", "how strong the weak acid is", above_zero=True),
    Field("acid-washes", "count", "", "first washes of foils in weak acid"),
    Field("board-wash", "volume", "mL", "size of one rinse of the boards", above_zero=True),
    Field("board-washes", "count", "", "rinses of the boards"),
    Field("dilute", "volume", "mL", "volume the gold liquor is made up to before the filter", above_zero=True),
    Field("warm", "flag", "", "filtered warm: silver chloride is not let fall first"),
    Field("gold-strength", "mass_concentration", "g/L", "gold in the liquor held"),
    Field("silver-strength", "mass_concentration", "g/L", "silver in the liquor held"),
    Field("copper-strength", "mass_concentration", "g/L", "copper in the liquor held"),
    Field("nickel-strength", "mass_concentration", "g/L", "nickel in the liquor held"),
    Field("zinc-strength", "mass_concentration", "g/L", "zinc in the liquor held"),
    Field("drum-room", "volume", "L", "room left in the drum the rinses go to"),
    Field("gold-price", "price", "g", "what gold is worth, to set beside what stays"),
)
"""The fields of a rinse."""
