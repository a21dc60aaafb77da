"""What a lot leaves standing about goes to the shop's own vessels: boards, filters, slag, waste, as the bench does it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.pot import Pot
from refinekit.shop.book.vessels import as_data

GATHERED = {
    "boards": "stripped boards",
    "pulp": "filters",
    "slag": "slag",
    "cement gold": "cement gold",
    "cement copper": "cement copper",
    "cake": "sludge",
    "neutral liquor": "waste liquor",
    "filtrate": "waste liquor",
    "rinses": "stock pot",
    "barren": "stock pot",
    "powder rinses": "stock pot",
    "stock pot": "stock pot",
    "iron liquor": "waste liquor",
    "bleed": "spent bath",
    "sludge": "sludge",
}
"""What a plan's pot is called -> the vessel of the shop it goes to. Source: common practice, no source."""
METAL = ("button", "bar", "gold powder", "silver")
"""What is kept by its lot: the metal itself."""


def gathered(pots: Mapping[str, Pot], into: Mapping[str, str] = GATHERED) -> list[dict[str, Any]]:
    """The ops that take what is left of a lot over to the shop's vessels.

    Args:
        pots: by the book's name, "12: pulp"
        into: vessel of the shop by the plan's name
    Returns: an op for what goes out of each, and one for what comes in
    """
    ops = []
    for name, pot in pots.items():
        plain = name.partition(": ")[2]
        if plain not in into or pot.is_empty:
            continue
        for vessel, sign in ((name, -1.0), (into[plain], 1.0)):
            ops.append(_moved(vessel, pot, sign))
        ops[-1]["did"] = [["log", f"took in {name}"]]
        ops[-1]["marks"] = dict(pot.marks)
    return ops


def _moved(vessel: str, pot: Pot, sign: float) -> dict[str, Any]:
    op: dict[str, Any] = {"v": vessel}
    for key, amounts in (("mol", pot.dissolved_mol), ("solid", pot.solids_mol)):
        found = {species: as_data(np.multiply(sign, amount)) for species, amount in amounts.items()}
        if found:
            op[key] = found
    for key, amount in (("l", pot.volume_l), ("g", pot.inert_g)):
        if np.any(np.asarray(amount) != 0):
            op[key] = as_data(np.multiply(sign, amount))
    return op


def emptied(pot: Pot) -> list[dict[str, Any]]:
    """The ops that take all out of a vessel, to no other: a bar that is weighed and sold, a drum that is fetched."""
    return [] if pot.is_empty else [_moved(pot.name, pot, -1.0)]
