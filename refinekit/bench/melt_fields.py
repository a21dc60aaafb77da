"""What a melt may be told, and what stands in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypedDict

from refinekit.bench.fields import Field, metal_fields
from refinekit.bench.melt_charge import COLLECTORS
from refinekit.ranges import Number

METALS_MELTED = {"gold": "Au", "silver": "Ag", "copper": "Cu"}
"""Metals that are melted for themselves."""
DIRT = ("clean", "dirty", "chloride")
"""What the powder is: washed sponge; with base metal, oxide and grit; silver chloride to be smelted."""


class MeltTold(TypedDict, total=False):
    """What a melt may be told: one entry a field of FIELDS, in base units."""

    gold_g: Number
    silver_g: Number
    copper_g: Number
    silver_chloride_g: Number
    grit_g: Number
    dirt: str
    button_copper: Number
    borax: Number
    soda: Number
    silica: Number
    soda_times: Number
    bulk_g_per_ml: Number
    fill: Number
    heater: str
    power_w: Number
    heat_share: Number
    pour_at_k: Number
    start_at_k: Number
    crucible_g: Number
    slag_share: Number
    collector: str
    collector_weight_g: Number


def _heat_share_from(texts: Mapping[str, object]) -> str:
    """How much heat arrives stands in only where there is a power to share out."""
    wanted = texts.get("power") is not None or texts.get("heater") is not None
    return f"practice/melt.heat.{texts.get('heater') or 'furnace'}" if wanted else ""


def _power_from(texts: Mapping[str, object]) -> str:
    """A power stands in where only the heater was told."""
    return f"practice/melt.power.{texts['heater']}" if texts.get("heater") in ("torch", "furnace") else ""


def main_word(texts: Mapping[str, object]) -> str:
    """What is melted, by what was told: gold before silver chloride, silver and copper."""
    told = [word for word in ("gold", "silver-chloride", "silver", "copper") if texts.get(word) is not None]
    return {"silver-chloride": "chloride"}.get(told[0], told[0]) if told else "gold"


FIELDS = (
    *metal_fields("gold", "silver", "copper", what="in the dry powder"),
    Field("silver-chloride", "mass", "g", "dry silver chloride to be smelted with soda"),
    Field("grit", "mass", "g", "dirt in the powder that is no metal"),
    Field("dirt", "choice", "", "what the powder is", choices=DIRT),
    Field("button-copper", "share", "", "copper that came down with the gold, of the powder", highest=1.0),
    Field("borax", "share", "", "borax glass, of the powder's weight", highest=10.0),
    Field("soda", "share", "", "soda ash, of the powder's weight", highest=10.0),
    Field("silica", "share", "", "silica, of the powder's weight", highest=10.0),
    Field("soda-times", "count", "", "soda ash on silver chloride, times the bare need", above_zero=True),
    Field(
        "bulk",
        "density",
        "g/mL",
        "powder as it lies",
        above_zero=True,
        default_from=lambda texts: f"practice/melt.bulk.{main_word(texts)}",
    ),
    Field("fill", "share", "", "share of the crucible that the charge may fill", above_zero=True, highest=1.0),
    Field("heater", "choice", "", "what melts it", choices=("furnace", "torch")),
    Field("power", "power", "W", "heat the torch or furnace gives", above_zero=True, default_from=_power_from),
    Field(
        "heat-share",
        "share",
        "",
        "share of the heat that gets into the metal",
        above_zero=True,
        highest=1.0,
        default_from=_heat_share_from,
    ),
    Field("pour-at", "temperature", "degC", "temperature of the pour", above_zero=True),
    Field("start-at", "temperature", "degC", "temperature it starts at", above_zero=True),
    Field("crucible", "mass", "g", "weight of the crucible, for its own heat", above_zero=True),
    Field("collector", "choice", "", "metal put in to gather the beads of a poor powder", choices=COLLECTORS),
    Field("collector-weight", "mass", "g", "how much of it; left out, so many times the fine metal", above_zero=True),
    Field("slag-share", "share", "", "share of the metal that stays in the slag", highest=1.0, default="practice/melt.slag.gold"),
)
"""The fields of a melt."""
