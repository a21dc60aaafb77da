"""What a figure is of, going by the words beside it: precious metals have weights of their own, and nobody pours a gas."""

from __future__ import annotations

import re
from functools import cache

from refinekit.facts.load import table

PRECIOUS = ("gold", "silver", "platinum", "palladium", "rhodium")
BASE = ("copper", "nickel", "tin", "lead", "zinc", "iron", "aluminium", "brass")
COMPOUND = re.compile(r"(chloride|nitrate|nitrite|sulfate|oxide|sulfide|cyanide|oxalate)s?$")
FINE = (
    "fine",
    "expected",
    "found",
    "streams",
    "gap",
    "sigma",
    "button",
    "sponge",
    "loss",
    "usually",
    "grams",
    "sterling",
    "untested",
)
"""Words of an account and of a melt: what they speak of is the metal itself, whichever it is."""
JOINS = re.compile(r"\b(?:for|by|per|on|from|in|with|to|against|if)\b")
"""Words after which comes what the figure serves, not what it is of: copper for silver is copper."""
WORD = re.compile(r"[a-z]+")
ALWAYS_GAS = ("gas", "fume", "air", "headspace", "chlorine", "sulfur dioxide", "hydrogen chloride", "hydrogen sulfide")
"""What goes into a room, beside the gases of the table of species."""
FORMULAS = ("SO2", "Cl2", "H2S", "NH3")
"""Gases written by their formula that the table of species has in water."""
POURED = (
    "acid",
    "nitric",
    "hydrochloric",
    "hcl",
    "sulfuric",
    "peroxide",
    "water",
    "bath",
    "liquor",
    "filtrate",
    "rinse",
    "wash",
    "gel",
    "sludge",
    "drum",
    "vessel",
    "beaker",
    "bucket",
    "tray",
    "crucible",
    "liquid",
    "solution",
)
"""What is poured, and what it is poured into, beside the liquors of the table of reagents."""
NAME = re.compile(r"[a-z0-9_]+")
"""A name as a program writes it, in which a formula stands in small letters."""
ASIDE = re.compile(r"\([^()]*\)")


def is_precious(name: str) -> bool:
    """Whether what is weighed is a precious metal, going by its name.

    >>> is_precious("gold_in_slag"), is_precious("copper_for_silver"), is_precious("silver_chloride")
    (True, False, False)
    """
    words = WORD.findall(JOINS.split(name.replace("_", " ").lower().removeprefix("in "))[0])
    if any(COMPOUND.match(word) for word in words):
        return False
    metals = [word for word in words if word in PRECIOUS or word in BASE]
    return metals[-1] in PRECIOUS if metals else any(word in FINE for word in words)


def is_gas(name: str) -> bool:
    """Whether what is measured is a gas, going by what its name says first.

    >>> is_gas("nitrogen_dioxide_at_most"), is_gas("nitric, all NO"), is_gas("hydrogen peroxide"), is_gas("HCl fume")
    (True, False, False, True)
    """
    found = mentions(name)
    return bool(found) and found[0]


def is_air(name: str) -> bool:
    """Whether what flows is the air of a pump or a fan, which has a label of its own, and no gas that a pot gives off.

    >>> is_air("hydrogen_air"), is_air("pump"), is_air("hydrogen_rate")
    (True, True, False)
    """
    return any(word in ("air", "pump", "fan") for word in WORD.findall(name.replace("_", " ").lower()))


def is_gas_between(before: str, behind: str, of: str = "") -> bool:
    """Whether a figure within a sentence is of a gas: by what stands next behind it, else by what was named last before it.

    >>> is_gas_between("metal in acid makes hydrogen: about ", ""), is_gas_between("over the acid, up to ", " of brown fume")
    (True, True)

    Args:
        before: the sentence up to the figure [text]
        behind: the words next behind its unit [text]
        of: what the sentence is about, where neither says it [text]
    """
    found = mentions(behind)
    if found:
        return found[0]
    named = mentions(ASIDE.sub("", before))
    return named[-1] if named else is_gas(of)


def mentions(text: str) -> list[bool]:
    """Whatever a text names that has a volume, in its order: True for a gas, False for what is poured or holds it."""
    every = _in_names() if NAME.fullmatch(text) else _in_sentences()
    return [found["gas"] is not None for found in every.finditer(text.replace("_", " "))]


@cache
def _in_sentences() -> re.Pattern[str]:
    return _pattern(rf"(?-i:{'|'.join(_formulas())})")  # NO is nitric oxide, no is none


@cache
def _in_names() -> re.Pattern[str]:
    return _pattern("|".join(_formulas()))


def _formulas() -> list[str]:
    return [*FORMULAS, *(row["formula"] for row in table("species")["species"] if row["phase"] == "gas")]


def _pattern(formulas: str) -> re.Pattern[str]:
    """What is poured and what is a gas; the longest name counts: nitric oxide is no nitric, hydrogen peroxide no hydrogen."""
    gases = [*ALWAYS_GAS, *(row["name"] for row in table("species")["species"] if row["phase"] == "gas")]
    poured = {*POURED, *(row["name"] for row in table("reagents")["reagent"] if row["form"] == "liquor")}
    plain = "|".join(map(re.escape, sorted(poured, key=len, reverse=True)))
    names = "|".join(map(re.escape, sorted(gases, key=len, reverse=True)))
    longer = "|".join(re.escape(one) for one in poured if any(one.startswith(f"{gas} ") for gas in gases))
    gas = rf"(?!(?:{longer})\b)(?:(?:{plain}|{formulas}) (?:gas|fume)|{names}|{formulas})"
    return re.compile(rf"\b(?:(?P<gas>{gas})|{plain})(?:e?s)?\b", re.IGNORECASE)
