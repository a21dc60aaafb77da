"""What the leach may be told, and what stands in by its method."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypedDict

from refinekit.bench.bubbles import AIR_FIELDS, AeratedTold
from refinekit.bench.fields import Field, MetalsTold, metal_fields
from refinekit.chemistry.solution import Solution
from refinekit.ranges import Number

METHODS = ("cupric", "still", "peroxide", "ferric", "nitric", "strip")
"""Ways to free the gold: aerated cupric chloride, the same without air, hydrochloric and peroxide, ferric chloride, nitric, and
hot hydrochloric on solder."""
GOODS = ("gold", "silver", "copper", "nickel", "tin", "lead", "zinc", "iron", "aluminium", "palladium", "platinum")


class FreshTold(TypedDict, total=False):
    """What may be told of goods and of the bath made for them, by any room that makes or takes for granted one: FRESH_FIELDS."""

    weight_g: Number
    acid: Solution
    volume_l: Number
    free_acid_mol_per_l: Number
    aim_mol_per_l: Number
    start_copper_g_per_l: Number


class LeachTold(AeratedTold, FreshTold, MetalsTold, total=False):
    """What the leach may be told: one entry a field of FIELDS, in base units."""

    method: str
    start_with: str
    as_it_is: bool
    bleed: bool
    ceiling_g_per_l: Number
    vessel_l: Number
    bath_volume_l: Number
    bath_acid_mol_per_l: Number
    bath_copper_g_per_l: Number
    bath_cuprous_g_per_l: Number
    bath_nickel_g_per_l: Number
    bath_iron_g_per_l: Number
    bath_zinc_g_per_l: Number
    bath_tin_g_per_l: Number
    hydrogen_share: Number
    copper_left: Number
    nickel_left: Number
    gold_on_boards: Number
    board_held_ml_per_g: Number
    foil_held_l: Number
    filings_g: Number
    peroxide: Solution
    peroxide_volume_l: Number
    peroxide_times: Number
    ferric: Solution
    ferric_used: Number
    nitric: Solution
    nitric_water: Number
    no_share: Number
    time_s: Number


def _in_chloride(id: str) -> Callable[[Mapping[str, object]], str]:
    """A share left with the foils, of the slow chloride leaches only: nitric takes all it can reach."""
    return lambda texts: id if (texts.get("method") or "cupric") in ("cupric", "peroxide", "ferric") else ""


WEIGHT = Field("weight", "mass", "g", "goods as they go in, boards and all")
BATH_TO_MAKE = (
    Field("acid", "strength:HCl", "", "hydrochloric acid in hand"),
    Field("volume", "volume", "L", "bath to work with", above_zero=True),
    Field("free-acid", "concentration", "mol/L", "free hydrochloric a fresh bath starts with"),
    Field("aim", "concentration", "mol/L", "free hydrochloric wanted at the end"),
    Field("start-copper", "mass_concentration", "g/L", "copper(II) a fresh bath starts with"),
)
FRESH_FIELDS = (WEIGHT, *BATH_TO_MAKE)
"""Goods by weight, and the bath that is made for them."""
FIELDS = (
    Field("method", "choice", "", "how the base metal is taken off", choices=METHODS),
    # the goods, where they are not a pot
    WEIGHT,
    *metal_fields(*GOODS, what="in the goods"),
    # a bath to make, or to work at
    *BATH_TO_MAKE,
    Field("start-with", "choice", "", "what starts a fresh bath", choices=("salt", "peroxide")),
    Field("as-it-is", "flag", "", "add nothing to the bath"),
    Field("bleed", "flag", "", "bleed as much copper as the lot will bring, before it goes in"),
    Field("ceiling", "mass_concentration", "g/L", "copper the bath is worked up to", above_zero=True),
    Field("vessel", "volume", "L", "most the bucket may hold: for the lots left", above_zero=True),
    # a bath that is there
    Field("bath-volume", "volume", "L", "bath that is there", above_zero=True),
    Field("bath-acid", "concentration", "mol/L", "its free hydrochloric"),
    Field("bath-copper", "mass_concentration", "g/L", "its copper, cuprous and cupric"),
    Field("bath-cuprous", "mass_concentration", "g/L", "how much of that is cuprous"),
    Field("bath-nickel", "mass_concentration", "g/L", "its nickel"),
    Field("bath-iron", "mass_concentration", "g/L", "its iron, taken as ferric"),
    Field("bath-zinc", "mass_concentration", "g/L", "its zinc"),
    Field("bath-tin", "mass_concentration", "g/L", "its tin, taken as stannic"),
    *AIR_FIELDS,
    Field("hydrogen-share", "share", "", "share of zinc and iron that makes hydrogen under air", highest=1.0),
    # what stays
    Field(
        "copper-left",
        "share",
        "",
        "share of the copper that stays on the foils",
        highest=1.0,
        default_from=_in_chloride("practice/leach.copper_left"),
    ),
    Field(
        "nickel-left",
        "share",
        "",
        "share of the nickel that stays on the foils",
        highest=1.0,
        default_from=_in_chloride("practice/leach.nickel_left"),
    ),
    Field("gold-on-boards", "share", "", "share of the gold that stays on the stripped boards", highest=1.0),
    Field("board-held", "hold", "mL/g", "liquor the shaken boards carry along"),
    Field("foil-held", "volume", "mL", "liquor the settled foils sit in"),
    Field("filings", "mass", "g", "iron filings and splinters that come along with the foils"),
    # peroxide, ferric, nitric
    Field("peroxide", "strength:H2O2", "", "peroxide in hand"),
    Field("peroxide-volume", "volume", "mL", "peroxide to be poured, where that is settled"),
    Field("peroxide-times", "count", "", "peroxide in all, times the bare need", above_zero=True),
    Field("ferric", "strength:FeCl3", "", "ferric chloride in hand"),
    Field("ferric-used", "share", "", "share of the ferric iron to be used", above_zero=True, highest=1.0),
    Field("nitric", "strength:HNO3", "", "nitric acid in hand"),
    Field("nitric-water", "count", "", "volumes of water to one of nitric"),
    Field("no-share", "share", "", "share of the nitrogen that leaves as nitric oxide", highest=1.0),
    Field("time", "time", "min", "time the acid is added over", above_zero=True),
)
"""The fields of the leach."""
