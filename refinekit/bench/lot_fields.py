"""What the lot may be told, and what stands in by the kind of goods."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from refinekit.bench.fields import Field, MetalsTold, metal_fields
from refinekit.errors import UnknownName
from refinekit.facts.load import table
from refinekit.nearest import did_you_mean
from refinekit.ranges import Number, Range

KINDS = ("edge tabs", "memory tabs", "boards", "pins", "plated", "karat", "filled", "flatware", "sterling")
"""Kinds of goods, as facts/practice/lot.toml has them."""


class LotTold(MetalsTold, total=False):
    """What the lot may be told: one entry a field of FIELDS, in base units."""

    kind: str
    weight_g: Number
    area_cm2: Number
    strips: Number
    tabs: Number
    length_m: Number
    width_m: Number
    counted: str
    area_factor: Number
    gold_thickness_um: Number
    nickel_thickness_um: Number
    copper_thickness_um: Number
    silver_thickness_um: Number
    deposit: str
    gold_density_g_per_ml: Number
    gold_fineness: Number
    area_error: Number
    thickness_error: Number
    density_error: Number
    grade_g_per_kg: Number
    copper_per_gold: Number
    silver_grade_g_per_kg: Number
    karat: Number
    fineness: Number
    make: str
    white: str
    white_share: Number
    silver_in_balance: Number
    silver_fineness: Number
    copper_fineness: Number
    zinc_fineness: Number
    nickel_fineness: Number
    palladium_fineness: Number
    platinum_fineness: Number
    unsoldered: bool
    items: str
    stones_g: Number
    solder_share: Number
    filled: str
    wear: Number
    base: str
    solder_g: Number
    tags: str


def kind_row(kind: str | None) -> Mapping[str, Any]:
    """What is usual for a kind of goods; an empty row where no kind was told.

    Raises: UnknownName, with the nearest kind
    """
    if kind is None:
        return {}
    rows = {row["word"]: row for row in table("practice/lot")["kind"]}
    if kind not in rows:
        raise UnknownName(f"{kind[:40]!r} is no kind of lot", cure=did_you_mean(kind, rows))
    found: Mapping[str, Any] = rows[kind]
    return found


def facts_at(path: str) -> Mapping[str, Any]:
    """The table of facts at file.section.section; empty for an empty path."""
    name, _, rest = path.partition(".")
    node: Mapping[str, Any] = table(name) if name else {}
    for part in filter(None, rest.split(".")):
        node = node[part]
    return node


def area_told(told: Mapping[str, Any]) -> bool:
    """Whether there is an area to put layers on."""
    return "area_cm2" in told or "tabs" in told


# ---- stand-ins that hang on what else was told
def gold_known(told: Mapping[str, object], *, otherwise: tuple[str, ...] = ()) -> bool:
    """Whether the gold is told some other way than by its layer or its kind's grade.

    Args:
        told: by argument or field name
        otherwise: further names that tell it
    """
    ways = ("gold_g", "gold", "karat", "fineness", "make", "filled", "items", *otherwise)
    return any(told.get(way) is not None for way in ways)


def _row_of(texts: Mapping[str, object]) -> Mapping[str, Any]:
    kind = str(texts.get("kind") or "").strip().lower()
    return kind_row(kind) if kind in KINDS else {}


def _has_area(texts: Mapping[str, object]) -> bool:
    return texts.get("area") is not None or texts.get("tabs") is not None


def _layer_from(metal: str) -> Callable[[Mapping[str, object]], str]:
    """Stand-in for a layer: the usual stack of the kind, where there is an area and the metal is not told otherwise."""

    def stand_in(texts: Mapping[str, object]) -> str:
        stack = _row_of(texts).get("stack", "")
        told = gold_known(texts, otherwise=("grade",)) if metal == "gold" else texts.get(metal) is not None
        return f"{stack}.{metal}" if _has_area(texts) and not told and metal in facts_at(stack) else ""

    return stand_in


def _grade_from(texts: Mapping[str, object]) -> str:
    """Stand-in for the grade: that of the kind, where there is a weight and nothing else to go on."""
    wanted = texts.get("weight") is not None and not _has_area(texts) and not gold_known(texts)
    return str(_row_of(texts).get("grade", "")) if wanted else ""


def _plate_from(texts: Mapping[str, object]) -> str:
    """Stand-in for the silver of plated goods, where there is a weight and nothing else tells it."""
    wanted = texts.get("weight") is not None and not _has_area(texts) and texts.get("silver") is None
    return str(_row_of(texts).get("plate", "")) if wanted else ""


def _copper_per_gold_from(texts: Mapping[str, object]) -> str:
    row = _row_of(texts)
    wanted = (
        row.get("laminate") and not _has_area(texts) and texts.get("copper") is None and not gold_known({**texts, "gold": None})
    )
    return "practice/lot.copper_per_gold" if wanted else ""


def _balance_from(texts: Mapping[str, object]) -> str:
    some = re.search(
        r"\bof\s+([\d.]+\s*|[\d./\s]+(?=[%kf]))(%|k|kt|karat|fine)?\s*(;|from\b|$)",
        str(texts.get("items") or ""),
        re.IGNORECASE,
    )
    alloyed = bool(some) or any(texts.get(word) is not None for word in ("karat", "fineness"))
    said = any(texts.get(word) is not None for word in ("white", "silver-fineness", "copper-fineness", "filled", "make"))
    return "practice/lot.silver_in_balance" if alloyed and not said else ""


def balance_of_items(texts: Mapping[str, object]) -> str:
    """The same for items alone: only where silver is counted does it matter what an unknown balance is."""
    return _balance_from({"items": texts.get("items")}) if texts.get("metal") == "silver" else ""


def _white_from(texts: Mapping[str, object]) -> str:
    return f"practice/lot.white_{texts['white']}" if texts.get("white") in ("nickel", "palladium") else ""


def _items_within(text: str) -> Mapping[str, Range]:
    """Masses with a range among the items of a lot."""
    from refinekit.bench.lot_items import ranges_within

    return ranges_within(text)


def _wear_from(texts: Mapping[str, object]) -> str:
    """Stand-in for the wear: where there is a filled mark, on the lot or on an item of it."""
    from refinekit.bench.lot_items import is_filled

    whats = [part.partition(" of ")[2].partition(" from ")[0].strip() for part in str(texts.get("items") or "").split(";")]
    return "materials.filled.wear" if texts.get("filled") is not None or any(map(is_filled, whats)) else ""


def _with(name: str, id: str) -> Callable[[Mapping[str, object]], str]:
    """A fact that stands in only where some other field is told."""
    return lambda texts: id if texts.get(name) is not None else ""


BALANCE_FIELD = Field(
    "silver-in-balance",
    "share",
    "",
    "share of an unknown balance that is silver, the rest copper",
    highest=1.0,
    default_from=_balance_from,
)
"""How an unknown balance is split: every room that meets one asks so."""

ITEMS_FIELDS = (
    Field(
        "items",
        "text",
        "",
        'several kinds in one lot: "50 g of 14 karat yellow; 30/35/38 g of 10K from tray 2"',
        within=_items_within,
    ),
    BALANCE_FIELD,
    Field(
        "wear",
        "share",
        "",
        "share of a filled layer worn away",
        highest=1.0,
        default_from=_wear_from,
    ),
)
"""What several kinds in one lot are told by, and what stands in for what an item does not say."""
FIELDS = (
    Field("kind", "choice", "", "what kind of goods it is", choices=KINDS),
    Field("weight", "mass", "g", "weight of the whole lot", above_zero=True),
    # by area and layers
    Field("area", "area", "cm2", "plated area, both faces", above_zero=True),
    Field("strips", "count", "", "strips or boards counted", above_zero=True),
    Field("tabs", "count", "", "tabs on one of them", above_zero=True),
    Field("length", "length", "mm", "length of a tab", above_zero=True),
    Field("width", "length", "mm", "width of a tab", above_zero=True),
    Field("counted", "choice", "", "whether the tabs were counted on both faces or on one", choices=("both faces", "one face")),
    Field(
        "area-factor",
        "count",
        "",
        "true area over the area counted, as 0.9/1/1.1",
        above_zero=True,
        default_from=_with("tabs", "practice/lot.area_factor"),
    ),
    Field("gold-thickness", "thickness", "micron", "gold layer", default_from=_layer_from("gold")),
    Field("nickel-thickness", "thickness", "micron", "nickel under it", default_from=_layer_from("nickel")),
    Field("copper-thickness", "thickness", "micron", "copper under that", default_from=_layer_from("copper")),
    Field("silver-thickness", "thickness", "micron", "silver plate", default_from=_layer_from("silver")),
    Field("deposit", "choice", "", "hard (cobalt or nickel hardened) or soft gold", choices=("hard", "soft")),
    Field("gold-density", "density", "g/mL", "density of the gold deposit", above_zero=True),
    Field("gold-fineness", "fineness", "", "gold share of the deposit", highest=1.0),
    Field("area-error", "share", "", "one standard error of the area"),
    Field("thickness-error", "share", "", "one standard error of the gold's thickness"),
    Field("density-error", "share", "", "one standard error of the deposit's density"),
    # by grade
    Field("grade", "grade", "g/kg", "gold in a kilogram of the lot", highest=1000.0, default_from=_grade_from),
    Field(
        "copper-per-gold",
        "count",
        "",
        "grams of copper to etch per gram of gold, where only the grade is known",
        default_from=_copper_per_gold_from,
    ),
    Field("silver-grade", "grade", "g/kg", "silver in a kilogram of plated goods", highest=1000.0, default_from=_plate_from),
    # by karat or make
    Field("karat", "fineness", "karat", "stamp or test, as 14 K", highest=1.0),
    Field("fineness", "fineness", "", "gold share by assay, as 585", highest=1.0),
    Field("make", "text", "", 'known make, as "14 karat yellow" or "sterling silver"'),
    Field("white", "choice", "", "white gold: what whitens it", choices=("nickel", "palladium")),
    Field("white-share", "share", "", "share of the whole that whitens it", highest=1.0, default_from=_white_from),
    *ITEMS_FIELDS[1:2],
    *(
        Field(f"{metal}-fineness", "fineness", "", f"{metal} share of the alloy", highest=1.0)
        for metal in ("silver", "copper", "zinc")
    ),
    *(
        Field(f"{metal}-fineness", "fineness", "", f"{metal} share of the alloy", highest=1.0)
        for metal in ("nickel", "palladium", "platinum")
    ),
    Field("unsoldered", "flag", "", "there is no solder in the goods"),
    *ITEMS_FIELDS[:1],
    Field("stones", "mass", "g", "stones, steel springs and other dead weight among the goods"),
    Field("solder-share", "share", "", "share of karat goods that is gold solder of less fineness", highest=1.0),
    # gold-filled, base, solder, tags
    Field("filled", "text", "", 'gold-filled mark, as "1/20 12K"'),
    *ITEMS_FIELDS[2:],
    Field("base", "text", "", 'what the rest of the weight is, as "cartridge brass", "kovar", "steel"; left out for board'),
    Field("solder", "mass", "g", "tin-lead solder on the goods"),
    Field("tags", "text", "", "what else is known of it, as: solder tails, steel, silver plate, beryllium, mercury, cyanide"),
    *metal_fields(
        "gold",
        "silver",
        "copper",
        "nickel",
        "tin",
        "lead",
        "zinc",
        "iron",
        "aluminium",
        "palladium",
        "platinum",
        what="in the lot, by mass",
    ),
)
"""The fields of the lot."""
