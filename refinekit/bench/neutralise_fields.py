"""What neutralising may be told."""

from __future__ import annotations

from collections.abc import Mapping

from refinekit.bench.fields import Field
from refinekit.bench.neutralise_bases import REAGENTS
from refinekit.bench.neutralise_liquor import LIQUOR_FIELDS

LIMITS = ("pses_433", "psns_433", "tclp", "stlc")
"""Tables of facts/discharge.toml a water can be held against."""


def _first(texts: Mapping[str, object]) -> str:
    return str(texts.get("reagent") or "caustic").lower()


def _second(texts: Mapping[str, object]) -> str:
    return str(texts.get("second-reagent") or "").lower()


FIELDS = (
    Field(
        "by",
        "choice",
        "",
        "by balances of what dissolves and falls, or by the plain rule of charges",
        choices=("equilibrium", "charge"),
    ),
    Field("reagent", "choice", "", "what neutralises", choices=REAGENTS),
    Field(
        "alkali-goodness",
        "share",
        "",
        "share of the dry alkali that is the compound",
        above_zero=True,
        highest=1.0,
        bottle_from=_first,
    ),
    Field("caustic-strength", "strength:NaOH", "", "strength of caustic liquor"),
    Field("ph", "count", "", "pH it is taken to", highest=14.0),
    Field("best", "flag", "", "taken to the pH with least metal over its yardsticks"),
    Field("aged", "flag", "", "solids had days or heat to turn less soluble"),
    Field("open", "flag", "", "left open for days, so that it takes up the air's carbon dioxide"),
    Field("second-reagent", "choice", "", "what finishes it, or goes in with the first", choices=REAGENTS),
    Field(
        "second-goodness",
        "share",
        "",
        "share of the second dry alkali that is the compound",
        above_zero=True,
        highest=1.0,
        bottle_from=_second,
    ),
    Field("first-ph", "count", "", "pH at which the second reagent takes over", highest=14.0),
    Field("second-share", "share", "", "share of the alkali the second reagent brings, both mixed", highest=1.0),
    Field("side-by-side", "flag", "", "every alkali beside the others, and caustic after the copper is on iron"),
    Field("vessel", "volume", "L", "vessel it is done in", above_zero=True),
    Field("portions", "count", "", "how many portions the alkali goes in by", above_zero=True, highest=50.0),
    Field("minutes", "time", "min", "time over which it goes in", above_zero=True),
    Field("limits", "choice", "", "table the water is held against", choices=LIMITS),
    Field("gel-solids", "share", "", "solids in settled gel", above_zero=True, highest=1.0),
    Field("cake-solids", "share", "", "solids in drained cake", above_zero=True, highest=1.0),
    Field("drum-room", "volume", "L", "room left in the drum"),
    Field("drum-density", "density", "g/mL", "weight of a litre for the drum", above_zero=True),
    *LIQUOR_FIELDS,
)
"""Fields of neutralising."""
