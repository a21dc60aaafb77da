"""What was seen at the bench: read as typed, and how likely samples make it.

"Foil gone after 2.1 mL" says what the gold needed, between the pour before and this one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from refinekit.errors import BadQuantity
from refinekit.facts.load import fact, table
from refinekit.record import record
from refinekit.shop.draws import normal_share
from refinekit.units import read

Values = NDArray[np.float64]

KINDS = {"dissolve": ("volume", "mL", 1000.0), "denox": ("mass", "g", 1.0), "drop": ("mass", "g", 1.0)}
"""Kind of the amount, the unit it is said in, and what a base unit is in it."""


@record
class Sight:
    """One thing seen.

    Args:
        gone: whether the end was seen, or that it was not there yet
        amount: what had gone in by then [mL or g]
        text: as typed
    """

    gone: bool
    amount: float
    text: str


def read_sights(verb: str, texts: Sequence[str]) -> tuple[Sight, ...]:
    """What was seen, as typed.

    Args:
        verb: dissolve, denox or drop
        texts: as "foil gone after 2.1 mL", "fizz left after 0.8 g"
    Raises: BadQuantity, not written so, or the end seen before it was still not there
    """
    what = next(row["what"] for row in table("practice/unknowns")["sight"] if row["verb"] == verb)
    kind, unit, times = KINDS[verb]
    found = []
    for text in texts:
        match = re.fullmatch(rf"\s*{what}\s+(gone|left)\s+after\s+(.+?)\s*", text, re.IGNORECASE)
        if not match:
            raise BadQuantity(
                f"--seen {text[:60]!r} is not what {verb} can be told",
                cure=f'--seen "{what} gone after 2.1 {unit}", or "{what} left after 1.2 {unit}"',
            )
        reading = read(match[2], kind, name="--seen", unit=unit, above_zero=True)
        found.append(Sight(match[1].lower() == "gone", times * reading.range.likely, text.strip()))
    gone = [one.amount for one in found if one.gone]
    left = [one.amount for one in found if not one.gone]
    if len(gone) > 1:
        raise BadQuantity(f"the {what} went twice", cure="tell --seen once of what is gone, and of what was left before")
    if gone and left and max(left) >= gone[0]:
        raise BadQuantity(
            f"the {what} was gone after {gone[0]:g} {unit} and still there after {max(left):g}",
            cure="the larger amount is the later one",
        )
    return tuple(found)


def chance(need: Values, sights: Sequence[Sight]) -> Values:
    """How likely each sample makes what was seen.

    Args:
        need: what a sample takes till the end is seen [mL or g]
        sights: what was seen
    Returns: chance of the sights, sample by sample [-]
    """
    error = fact("practice/unknowns.seen.error").value
    gone = next((one.amount for one in sights if one.gone), None)
    left = max((one.amount for one in sights if not one.gone), default=None)
    if gone is not None and left is None:
        left = gone * (1 - fact("practice/unknowns.seen.portion").value)
    chances = np.ones_like(need)
    if gone is not None:
        chances = normal_share((gone - need) / (error * gone))
    if left is not None:
        chances = np.minimum(chances, normal_share((need - left) / (error * left)))
    return chances


def reading_assumed(sights: Sequence[Sight]) -> list[str]:
    """What was taken as given of the reading."""
    error = fact("practice/unknowns.seen.error").value
    lines = [f"amounts poured are read to {100 * error:g} %"]
    if any(one.gone for one in sights) and all(one.gone for one in sights):
        portion = fact("practice/unknowns.seen.portion").value
        lines.append(f'the last portion was {100 * portion:g} % of it; tell --seen "... left after ..." for the pour before')
    return lines


def shown_unit(kind: str, unit: str) -> tuple[float, str]:
    """What a base unit is in the unit a field takes, and that unit."""
    if not unit or kind.startswith("strength"):
        return 1.0, unit
    one = read(f"1 {unit}", kind, name=unit).range.likely
    return 1 / one, unit
