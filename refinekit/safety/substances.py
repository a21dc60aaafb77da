"""What a thing is to its neighbours: names, formulas and plain words, down to the constituents the rules know."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import Any

from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import BadQuantity, UnknownName
from refinekit.facts.load import fact, table
from refinekit.nearest import SHORTEST, did_you_mean, letters_apart, slips_allowed
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.safety.salts import salt
from refinekit.safety.scene import Dose

_STRENGTH = re.compile(r"\d+(?:\.\d+)? ?(?:%|percent|vol)")


@record
class Substance:
    """A thing of the shelf or the bench.

    Args:
        key: what it is called [text]
        parts: constituents in a mole of it, or in a gram where `gram`
        formula: formula a gram is reckoned by [text]; "" where there is none
        gram: whether its amounts stay in grams
        worst: whether the name is loose and stands for the worst it may be
        harmless: whether nothing is set off by it
        refused: key of the refusal, "" where this bench takes it [text]
        names: what people call it
    """

    key: str
    parts: Mapping[str, float]
    formula: str = ""
    gram: bool = False
    worst: bool = False
    harmless: bool = False
    refused: str = ""
    names: tuple[str, ...] = ()


@cache
def substances() -> tuple[Substance, ...]:
    """Every thing the rules know. Source: facts/safety/substances.toml."""
    return tuple(_read(row) for row in table("safety/substances")["substance"])


def _read(row: Mapping[str, Any]) -> Substance:
    own = {row.get("symbol", row["key"]): 1.0}
    return Substance(
        row["key"],
        row.get("parts", own),
        row.get("formula", ""),
        row.get("gram", False),
        row.get("worst", False),
        row.get("harmless", False),
        row.get("refused", ""),
        tuple(row["names"]),
    )


@cache
def by_name() -> Mapping[str, Substance]:
    """Things by every name they go by, lower case; symbols as written too."""
    found: dict[str, Substance] = {}
    for row, one in zip(table("safety/substances")["substance"], substances(), strict=True):
        for name in (row.get("symbol", ""), one.key, *one.names):
            if name:
                found.setdefault(name, one)
                found.setdefault(name.lower(), one)
    return found


def find(word: str) -> Substance:
    """The thing a word stands for: symbol, name, formula or a near misspelling.

    Args:
        word: as typed [text]
    Raises: UnknownName, nobody has heard of it: nothing is then said to be safe

    >>> find("muriatic acid").key
    'hydrochloric acid'
    """
    wanted = " ".join(word.strip().split())
    names = by_name()
    for candidate in _ways_to_write(wanted):
        if candidate in names:
            return names[candidate]
    made_of = salt(wanted)
    if made_of is not None:
        return Substance(wanted, made_of.parts or {"salt": 1.0}, refused=made_of.refused)
    meant = misspelt(wanted)
    # A misspelling is taken for what it is near to, but never for something harmless.
    if meant is not None and not meant.harmless:
        return meant
    long_names = [name for name in names if len(name) > SHORTEST] if len(wanted) > SHORTEST else ()
    raise UnknownName(
        f"{wanted[:40]!r} is not known here, so nothing is known of what it does: do not mix it",
        cure=did_you_mean(wanted, long_names, "the name on the label or its formula, as in: bleach, NH3, muriatic"),
    )


def _ways_to_write(wanted: str) -> tuple[str, ...]:
    """A name as written, in small letters, as one of many, and without words that say how strong, old or fine it is."""
    lower = wanted.lower()
    unstrong = _STRENGTH.sub(" ", lower)
    bare = " ".join(word for word in unstrong.split() if word not in table("safety/substances")["qualifiers"])
    one = f"{lower.removesuffix('ies')}y" if lower.endswith("ies") else lower
    return (wanted, lower, lower.removesuffix("s"), lower.removesuffix("es"), one, bare, bare.removesuffix("s"))


def misspelt(wanted: str) -> Substance | None:
    """The one thing a misspelling can mean; None where nothing is near, or two different things are.

    Args:
        wanted: as typed [text]
    """
    typed = wanted.lower().split()
    best: dict[int, dict[str, Substance]] = {}
    for name, one in by_name().items():
        words = name.lower().split()
        if len(words) != len(typed) or len(name) <= SHORTEST or any(a[0] != b[0] for a, b in zip(typed, words, strict=True)):
            continue
        slips = [letters_apart(a, b) for a, b in zip(typed, words, strict=True)]
        if all(slip <= slips_allowed(word) for slip, word in zip(slips, words, strict=True)):
            best.setdefault(sum(slips), {})[one.key] = one
    nearest_ones = best[min(best)] if best else {}
    return next(iter(nearest_ones.values())) if len(nearest_ones) == 1 else None


def dose(word: str, amount: Range, unit: str, strength: tuple[str, float] | None = None, *, solid: bool = False) -> Dose:
    """An amount of a thing as constituents.

    Args:
        word: name or symbol [text]
        amount: how much [in `unit`]
        unit: g, kg, mg, mL, L, mol, mmol [text]
        strength: form and figure of a liquor, as Solution.of takes them; None for the usual bottle
        solid: whether it goes in as powder, pearls or metal
    Raises: UnknownName, BadQuantity a unit that fits no such thing
    """
    one = find(word)
    scale = {"kg": 1000.0, "mg": 1e-3, "mmol": 1e-3, "mL": 1e-3}.get(unit, 1.0)
    volume_l = percent = None
    if unit in ("mL", "L"):
        volume = amount * scale
        volume_l = volume.high
        per_l, percent = _per_litre(one, strength)
        count = volume * per_l
    elif unit in ("mol", "mmol"):
        count = amount * scale
    elif unit in ("g", "kg", "mg"):
        count = amount * scale * (1.0 if one.gram or not one.formula else 1 / molar_mass(one.formula))
    else:
        raise BadQuantity(f"{amount.likely:g} {unit} of {word} cannot be reckoned", cure="give g, mL with its strength, or mol")
    mol = {part: count * times for part, times in one.parts.items()}
    return Dose(one.key, mol, volume_l or 0.0, percent, solid, one.key)


def _per_litre(one: Substance, strength: tuple[str, float] | None) -> tuple[float, float | None]:
    """Count in a litre of the liquor, and its strength by weight."""
    if one.gram:
        return fact("safety/lines.organics_weigh").value, None
    if one.formula == "H2O" or not one.formula:
        return 1000 / molar_mass("H2O"), None
    solution = Solution.of(one.formula, *strength) if strength else Solution.usual(one.formula)
    return float(solution.mol_per_l), float(solution.percent_ww)
