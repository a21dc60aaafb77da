"""What the silver room may be told, and what stands in."""

from __future__ import annotations

from collections.abc import Mapping

from refinekit.bench.fields import Field

HOW = ("chloride", "iron", "zinc", "caustic", "soda", "copper", "palladium")
"""Thrown down as chloride; the chloride turned to silver by a metal, by caustic and sugar, by a soda smelt; silver nitrate
cemented on copper; palladium out with dimethylglyoxime."""
EXCESS = {
    "chloride": "practice/general.excess.salt_silver_total",
    "iron": "practice/general.excess.metal_silver_chloride_total",
    "zinc": "practice/general.excess.metal_silver_chloride_total",
    "caustic": "practice/silver.caustic.times",
    "copper": "practice/general.excess.copper_silver_total",
    "palladium": "practice/silver.palladium.dmg_times",
}
"""How much over the bare need, by what is done."""


def _hold_from(texts: Mapping[str, object]) -> str:
    how = str(texts.get("how") or "")
    return hold_fact(how) if how and how not in ("soda", "palladium") else ""


def hold_fact(how: str) -> str:
    """The fact for how much liquor what falls holds, by what is done."""
    return f"practice/rinse.hold.{'silver_chloride' if how == 'chloride' else 'silver'}"


FIELDS = (
    Field("how", "choice", "", "what is done with the silver", choices=HOW),
    Field("silver", "mass", "g", "silver in the liquor, as nitrate", above_zero=True),
    Field("silver-chloride", "mass", "g", "silver chloride, dry weight", above_zero=True),
    Field("palladium", "mass", "g", "palladium in the liquor"),
    Field("precipitate", "mass", "g", "yellow palladium precipitate weighed, dry", above_zero=True),
    Field("volume", "volume", "L", "liquor the silver is in", above_zero=True),
    Field("free-nitric", "volume", "mL", "free nitric acid left in the liquor, as your bottle"),
    Field("nitric", "strength:HNO3", "", "that bottle of nitric acid"),
    Field("salt", "choice", "", "what throws the chloride down", choices=("salt", "hydrochloric")),
    Field("excess", "count", "", "salt, metal, caustic or copper, times the bare need", above_zero=True),
    Field("sugar", "count", "", "sugar as glucose, times the bare need", above_zero=True),
    Field("acid", "choice", "", "acid with iron or zinc", choices=("hydrochloric", "sulfuric")),
    Field("hydrochloric", "strength:HCl", "", "hydrochloric acid in hand"),
    Field("sulfuric", "strength:H2SO4", "", "sulfuric acid in hand"),
    Field("acid-volume", "volume", "mL", "how much of the acid"),
    Field("water", "volume", "mL", "water with it"),
    Field(
        "acid-share",
        "share",
        "",
        "share of that acid that eats the metal",
        highest=1.0,
        default_from=lambda texts: "practice/silver.acid.share" if texts.get("how") in ("iron", "zinc") else "",
    ),
    Field("hold", "hold", "mL/g", "liquor that curd or silver holds, per gram", default_from=_hold_from),
    Field("wash", "volume", "mL", "size of one wash", above_zero=True),
    Field("washes", "count", "", "how many washes"),
    Field(
        "fines",
        "share",
        "",
        "share of the silver chloride carried off as fines",
        highest=1.0,
        default_from=lambda texts: "practice/silver.fines" if texts.get("how") == "chloride" else "",
    ),
    Field(
        "copper-stays",
        "share",
        "",
        "copper that stays in the silver, share of it",
        highest=0.5,
        default_from=lambda texts: "practice/silver.copper.stays" if texts.get("how") == "copper" else "",
    ),
    Field("minutes", "time", "min", "time over which the gas comes", above_zero=True),
)
"""The fields of the silver room."""
