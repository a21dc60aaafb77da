"""What a lot holds: the sums from area and layers, from marks and alloys, and how far they can be off."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from refinekit.bench.fields import METALS
from refinekit.errors import BadQuantity, OutOfRange, UnknownName
from refinekit.facts.load import fact, table
from refinekit.nearest import did_you_mean
from refinekit.ranges import Number, high, likely, low

SPECK_G = 1e-6
"""What is under this is nothing to divide by [g]: a thousandth of what the finest scale shows."""
CM_PER_MICRON = 1e-4
COUNTED_AS = {"Co": "Ni"}
"""Elements of alloys reckoned as their neighbour, which they follow at the bench and nearly weigh."""

_WORDS = {symbol: word for word, symbol in METALS.items()}
_FILLED = re.compile(
    r"\s*(?:(?P<one>\d+(?:\.\d+)?)\s*/\s*(?P<of>\d+(?:\.\d+)?)|(?P<share>\d*\.?\d+)\s*(?P<percent>%)?)(?!\s*[kK])\s*"
)
_KARAT = re.compile(r"\s*(?P<karat>\d+(?:\.\d+)?)\s*(?:karat|kt|k)\b\s*", re.IGNORECASE)


# ---- plating
def counted_area_cm2(strips: Number, tabs: Number, length_m: Number, width_m: Number, faces: float = 1.0) -> Number:
    """Plated area of counted tabs.

    Args:
        strips: strips or boards [-]; 0 and up
        tabs: tabs on one of them [-]; 0 and up
        length_m: length of a tab [m]
        width_m: width of a tab [m]
        faces: 2 where the tabs were counted on one face only, 1 where both faces are in the count [-]
    Returns: area [cm2]
    Source: geometry
    """
    return strips * tabs * (100 * length_m) * (100 * width_m) * faces


def layer_g(area_cm2: Number, thickness_um: Number, density_g_per_ml: Number, fineness: Number = 1.0) -> Number:
    """Metal of an even layer.

    Args:
        area_cm2: area it covers [cm2]; 0 and up
        thickness_um: its thickness [micron]; 0 and up
        density_g_per_ml: density of the deposit [g/cm3]
        fineness: share of the deposit that is the metal [-]; 0 to 1
    Returns: mass of the metal [g], shaped as the arguments
    Source: area x thickness x density x fineness

    >>> round(layer_g(100, 0.76, 19.3), 5)
    0.14668
    """
    return area_cm2 * thickness_um * CM_PER_MICRON * density_g_per_ml * fineness


# ---- karat and alloys
def karat_parts() -> float:
    """Parts of a karat [-]. Source: 16 CFR 23, in facts/materials.toml."""
    return fact("materials.stamp.karat_parts").value


def karat_of(fineness: Number) -> Number:
    """Karat of a fineness.

    Args:
        fineness: share of gold [-]; 0 to 1
    Returns: karat [parts in 24]
    Source: 16 CFR 23, in facts/materials.toml

    >>> karat_of(0.585)
    14.04
    """
    return fineness * karat_parts()


def lowest_lawful_fineness(stamp: Number, *, soldered: bool = True) -> Number:
    """Least gold that goods of a stamp may have in the United States, assayed whole.

    Args:
        stamp: fineness the stamp stands for [-]; 14/24 for 14 K
        soldered: whether there is solder in the goods
    Returns: fineness [-]
    Source: 15 USC 295, in facts/materials.toml
    """
    under = fact("materials.stamp.soldered_under" if soldered else "materials.stamp.unsoldered_under")
    return np.maximum(stamp - under.value / 1000, 0.0)


def alloy(name: str) -> Mapping[str, Any]:
    """The row of an alloy or base metal, by its name or key.

    Args:
        name: as in "14 karat yellow", "14K yellow", "cartridge brass" [text]
    Returns: row of the facts, with `parts` per thousand
    Raises: UnknownName, with the nearest names
    """
    known: dict[str, Mapping[str, Any]] = {}
    for key, row in table("materials")["alloy"].items():
        known[_plain(row["name"])] = known[_plain(key)] = row
    for row in table("practice/lot")["base"]:
        known[_plain(row["name"])] = row
    found = known.get(_plain(name))
    if found is None:
        names = list(dict.fromkeys(str(row["name"]) for row in known.values()))
        raise UnknownName(f"{name[:40]!r} is no alloy known here", cure=did_you_mean(name, names, n=3))
    return found


def _plain(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "", name.lower().replace("karat", "k"))


def shares(row: Mapping[str, Any]) -> tuple[dict[str, float], float]:
    """Metals of an alloy.

    Args:
        row: of `alloy`
    Returns: share by metal word [-], and the share that is none of the metals kept here (phosphorus, beryllium) [-]
    """
    parts: dict[str, float] = {}
    rest = 0.0
    for symbol, per_thousand in row["parts"].items():
        word = _WORDS.get(COUNTED_AS.get(symbol, symbol))
        if word:
            parts[word] = parts.get(word, 0.0) + per_thousand / 1000
        else:
            rest += per_thousand / 1000
    return parts, rest


# ---- gold-filled
def read_filled(text: str) -> tuple[float, float | None]:
    """A gold-filled or rolled mark.

    Args:
        text: "1/20 12K GF", "12 kt 1/20", "1/10", "5 %" [text]
    Returns: share of the weight that is the gold layer [-], fineness of the layer [-] or None where it is not in the mark
    Raises: BadQuantity, no such mark

    >>> read_filled("1/20 12K GF")
    (0.05, 0.5)
    """
    karat = _KARAT.search(text[:80])
    rest = text[:80].replace(karat[0], " ", 1) if karat else text[:80]
    share = _FILLED.match(rest)
    cure = 'write the mark, as in "1/20 12K" or "5 %"'
    if not share:
        raise BadQuantity(f"{text[:40]!r} is no gold-filled mark", cure=cure)
    if share["of"] and float(share["of"]) == 0:
        raise BadQuantity(f"{text[:40]!r} divides by nothing", cure=cure)
    part = float(share["one"]) / float(share["of"]) if share["of"] else float(share["share"]) / (100 if share["percent"] else 1)
    fineness = float(karat["karat"]) / karat_parts() if karat else None
    if not 0 < part < 1 or (fineness is not None and not 0 < fineness <= 1):
        raise BadQuantity(f"{text[:40]!r} is more gold than there can be", cure=cure)
    return part, fineness


def filled_gold_g(weight_g: Number, layer: Number, fineness: Number, wear: Number = 0.0) -> Number:
    """Gold in gold-filled or rolled goods.

    Args:
        weight_g: the goods as they are [g]
        layer: share of the weight that the gold layer was when new [-]; 1/20 for a twentieth
        fineness: of that layer [-]
        wear: share of the layer worn away [-]; 0 to 1
    Returns: gold [g]
    Source: weight x share x fineness, less the wear

    >>> round(filled_gold_g(250, 1 / 20, 12 / 24, 0.15), 4)
    5.3125
    """
    return weight_g * layer * fineness * (1 - wear)


# ---- how far it can be off
def triangular_error(value: Number) -> float:
    """One standard error of a figure given as low/likely/high, taken as a triangle.

    Args:
        value: the figure over its cases
    Returns: relative to the likely figure [-]; 0 for a figure taken as known
    Source: variance of the triangular distribution
    """
    a, c, b = low(value), likely(value), high(value)
    variance = ((b - a) ** 2 + (c - a) * (c - b)) / 18
    return float(np.sqrt(max(variance, 0.0)) / c) if c else 0.0


def combined_error(errors: Iterable[float]) -> float:
    """Independent relative errors put together.

    Args:
        errors: each one standard error [-]; 0 and up
    Returns: sqrt of the sum of squares [-]
    Raises: OutOfRange, an error below nothing

    >>> round(combined_error([0.05, 0.2, 0.03]), 4)
    0.2083
    """
    squares = 0.0
    for one in errors:
        if not one >= 0:
            raise OutOfRange(f"an error of {one:g} cannot be", cure="give each error as a share, as in 0.2 or 20 %")
        squares += one * one
    return float(np.sqrt(squares))
