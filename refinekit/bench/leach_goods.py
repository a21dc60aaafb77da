"""The goods of a leach: what of them dissolves, and how foils, boards and liquor part afterwards."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.fields import METALS
from refinekit.bench.leach_fields import GOODS
from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass
from refinekit.errors import BadQuantity
from refinekit.ranges import Number, Range, high, likely

NOBLE = ("Au", "Ag", "AgCl", "Pd", "Pt")
"""Solids for which foils are kept apart."""
WORDS = {symbol: word for word, symbol in METALS.items()}


def put_in(work: Work, told: Mapping[str, Any]) -> None:
    """Put in the goods told by their metals and weight, where any are.

    Args:
        work: the step
        told: may hold `weight_g` and a mass for each metal
    Raises: BadQuantity, the metals outweigh the goods
    """
    grams: dict[str, Number] = {metal: told[f"{metal}_g"] for metal in GOODS if f"{metal}_g" in told}
    weight = told.get("weight_g")
    if not grams and weight is None:
        return
    inert: Number = 0.0 if weight is None else weight - sum(grams.values(), 0.0)
    if likely(inert) < 0:
        raise BadQuantity(f"the metals outweigh the goods by {-likely(inert):.4g} g", cure="check --weight and the metals")
    amounts = {METALS[metal]: mass / molar_mass(METALS[metal]) for metal, mass in grams.items()}
    work.pour("goods", amounts, inert_g=np.maximum(inert, 0.0))


def goods_weight_g(work: Work) -> Number:
    """Weight of all that lies in the pot as solids [g]."""
    return sum((mol * molar_mass(solid) for solid, mol in work.solids.items()), 0.0) + work.inert_g


def metal_mol(work: Work, *symbols: str) -> dict[str, Number]:
    """Solid metals in the pot.

    Args:
        work: the step
        symbols: the metals asked for
    Returns: by symbol [mol]; zero where there is none
    """
    return {symbol: work.solids.get(symbol, 0.0) for symbol in symbols}


def reachable(work: Work, told: Mapping[str, Any], *symbols: str) -> dict[str, Number]:
    """Metals that a chloride leach will dissolve: all of each, less what stays under the foils.

    Args:
        work: the step
        told: may hold `copper_left` and `nickel_left`
        symbols: metals the method dissolves
    Returns: by symbol [mol]
    Source: shares left, common practice, in facts/practice/leach.toml
    """
    metals = metal_mol(work, *symbols)
    for symbol, word in (("Cu", "copper"), ("Ni", "nickel")):
        if symbol in metals and high(metals[symbol]) > 0:
            left = work.default(
                told.get(f"{word}_left"), f"practice/leach.{word}_left", f"share of the {word} that stays on the foils"
            )
            metals[symbol] = metals[symbol] * (1 - left)
    return metals


def metals_table(
    work: Work, metals: Mapping[str, Number], acid_per: Mapping[str, float], molar: Number, **more: Mapping[str, float]
) -> None:
    """Answer with each metal's own need, as a table.

    Args:
        work: the step
        metals: dissolved, by symbol [mol]
        acid_per: moles of acid to a mole of each
        molar: strength of the acid in hand [mol/L]
        more: further columns by title, moles to a mole of each
    """
    rows: list[tuple[str | Range, ...]] = []
    for symbol, mol in metals.items():
        if high(mol) > 0:
            acid = acid_per.get(symbol, 0.0) * mol
            extra = [Range.over(ratios.get(symbol, 0.0) * mol) for ratios in more.values()]
            word = WORDS.get(symbol, symbol)
            grams = mol * molar_mass(symbol.partition("(")[0])
            rows.append((word, Range.over(grams), Range.over(mol), Range.over(acid), Range.over(1000 * acid / molar), *extra))
    titles = ("metal", "g", "mol", "acid mol", "acid mL", *(title.replace("_", " ") for title in more))
    work.table("metals dissolved", titles, rows)


def part_pots(work: Work, told: Mapping[str, Any]) -> None:
    """Take the boards and the foils out of the liquor, each with the liquor it carries along.

    Args:
        work: the step, metals dissolved
        told: may hold `gold_on_boards`, `board_held_ml_per_g`, `foil_held_l` and `filings_g`
    Source: drag-out and shares, common practice, in facts/practice/leach.toml
    """
    if "filings_g" in told:
        work.pour("iron filings", {"Fe": told["filings_g"] / molar_mass("Fe")})
    if high(work.inert_g) > 0:
        _boards(work, told)
    if any(high(work.solids.get(solid, 0.0)) > 0 for solid in NOBLE):
        _foils(work, told)


def _boards(work: Work, told: Mapping[str, Any]) -> None:
    gold = work.solids.get("Au", 0.0)
    share: Number = 0.0
    if high(gold) > 0:
        share = work.default(
            told.get("gold_on_boards"), "practice/leach.gold_on_boards", "share of the gold that stays on the boards"
        )
    held = work.default(told.get("board_held_ml_per_g"), "practice/leach.board_held", "liquor the boards carry along")
    weight = work.inert_g + share * gold * molar_mass("Au")
    liquor = np.minimum(held * weight / 1000, work.volume_l)
    work.answer("boards", weight, "g", because="stripped, dry weight")
    work.answer("board_held", 1000 * liquor, "mL", because="liquor they carry along: rinse it off")
    work.draw_off(
        "boards", liquor, {"Au": share * gold} if high(gold) > 0 else (), inert_g=work.inert_g, note="lifted out and shaken"
    )


def _foils(work: Work, told: Mapping[str, Any]) -> None:
    gold_g = work.solids.get("Au", 0.0) * molar_mass("Au")
    liquor = told.get("foil_held_l")
    if liquor is None:
        liquor = work.default(None, "practice/leach.foil_held", "liquor the foils sit in") * gold_g / 1000
    liquor = np.minimum(liquor, work.volume_l)
    work.answer("foil_held", 1000 * liquor, "mL", because="liquor the settled foils sit in")
    if high(gold_g) > 0:
        work.answer("gold_in_foils", gold_g, "g", sized_on="low for nitric, high for hydrochloric and reductant")
    solids = [solid for solid, mol in work.solids.items() if high(mol) > 0]
    work.draw_off("foils", liquor, solids, note="settled and decanted")


def dissolved_share(need: Number, there: Number) -> Number:
    """How much of a need can be met: 1, or less where there is not enough.

    Args:
        need: wanted [any unit]; 0 and up
        there: at hand [the same]; 0 and up
    """
    most = np.maximum(need, there)
    return as_number(np.where(most > 0, there / np.where(most > 0, most, 1.0), 1.0))


def as_number(value: Any) -> Number:
    """An array of cases as it is, an array of no shape as the float it holds."""
    number: Number = value if np.ndim(value) else float(value)
    return number
