"""Which vessel: room for foam over the liquor, the next size a shop has, the pan under it."""

from __future__ import annotations

import math

import numpy as np

from refinekit.bench.work import Work
from refinekit.errors import OutOfRange, UnknownName
from refinekit.facts.load import fact, table
from refinekit.nearest import did_you_mean
from refinekit.ranges import Number, high, low
from refinekit.record import record

FOAMS = {
    "bars": "practice/general.vessel.foam_bars",
    "foils": "practice/general.vessel.foam_foils",
    "fine": "practice/general.vessel.foam_fine",
}
"""Room for foam, by what is in the liquor: bars and pieces; foils and powder; fine base metal, carbonate, oxalic, sulfamic."""

ROUNDING = 1e-9
"""Relative overstep of a vessel's size that is rounding."""


@record
class Vessel:
    """A vessel to stand a step in.

    Args:
        liquid_l: liquor it was sized on, the most of the run [L]
        foam: room for foam, times the liquor [-]
        fill: share of the vessel that liquor and foam may fill [-]
        needed_l: least size [L]
        size_l: next size a shop has [L]
        count: how many of that size [-]; over 1 where one is too small
        pan_l: least volume of the pan under it [L]
    """

    liquid_l: float
    foam: float
    fill: float
    needed_l: float
    size_l: float
    count: int
    pan_l: float

    @property
    def words(self) -> str:
        """The vessel as one would ask for it: "600 mL", "3 of 50 L"."""
        size = f"{self.size_l * 1000:g} mL" if self.size_l < 1 else f"{self.size_l:g} L"
        return size if self.count == 1 else f"{self.count} of {size}"


def vessel_for(liquid_l: Number, foam: float | str = "bars", *, fill: float | None = None) -> Vessel:
    """The vessel a step wants: liquor x foam / fill, next size up.

    Args:
        liquid_l: liquor [L]; 0 and up, float or array: the most of it counts
        foam: a key of FOAMS, or the factor itself [-]; 1 and up
        fill: share of the vessel that may be filled [-]; above 0 to 1; None for the usual half
    Returns: Vessel
    Raises: OutOfRange, UnknownName
    Source: common practice, in facts/practice/general.toml

    >>> vessel_for(0.5, 1.5).words
    '2 L'
    """
    factor, share = _foam(foam), fact("practice/general.vessel.fill").value if fill is None else fill
    if not 0 < share <= 1:
        raise OutOfRange(
            f"a vessel filled to {share:g} of its volume cannot be", cure="give a fill above 0 and up to 1, as in 0.5"
        )
    if low(liquid_l) < 0 or not np.all(np.isfinite(liquid_l)):
        raise OutOfRange(f"{low(liquid_l):.4g} L is no volume of liquor", cure="give litres, 0 or more")
    liquid = high(liquid_l)
    needed = liquid * factor / share
    sizes = standard_sizes_l()
    count = max(1, math.ceil(needed / sizes[-1] * (1 - ROUNDING)))
    size = next((size for size in sizes if size >= needed / count * (1 - ROUNDING)), sizes[-1])
    pan = liquid * fact("practice/general.vessel.catch_pan").value
    return Vessel(liquid, factor, share, needed, size, count, pan)


def standard_sizes_l() -> tuple[float, ...]:
    """Sizes of vessels a shop has, smallest first [L]. Source: facts/practice/general.toml."""
    return tuple(size / 1000 for size in table("practice/general")["vessel"]["sizes"]["values"])


def _foam(foam: float | str) -> float:
    if isinstance(foam, str):
        if foam not in FOAMS:
            raise UnknownName(f"{foam[:40]!r} is no kind of foam", cure=did_you_mean(foam, FOAMS))
        return fact(FOAMS[foam]).range.high
    if not foam >= 1:
        raise OutOfRange(f"room for foam of {foam:g} times the liquor is less than the liquor", cure="give 1 or more")
    return foam


def stand(work: Work, liquid_l: Number, foam: float | str, *, fill: float | None = None, how: str = "on a tray") -> Vessel:
    """Size the vessel of a step and say so.

    Args:
        work: the step
        liquid_l: liquor [L]
        foam: as `vessel_for`
        fill: as `vessel_for`
        how: how it stands [text], e.g. "on a tray, watch glass on"
    Returns: Vessel
    Source: common practice, in facts/practice/general.toml
    """
    vessel = vessel_for(liquid_l, foam, fill=fill)
    used = (FOAMS.get(str(foam), ""), "practice/general.vessel.fill", "practice/general.vessel.catch_pan")
    for id in filter(None, used):
        work.fact(id)
    up = "next size up" if vessel.count == 1 else f"the largest, {vessel.count} of them"
    because = f"liquor x {vessel.foam:g} for foam, filled to {vessel.fill:g}"
    work.answer("vessel_needed", 1000 * vessel.needed_l, "mL", sized_on="most liquor", because=because)
    work.answer("vessel", 1000 * vessel.size_l, "mL", sized_on="most liquor", because=up)
    work.answer("catch_pan", 1000 * vessel.pan_l, "mL", sized_on="most liquor", because="a pan that holds all of it and a tenth")
    tray = f"{vessel.pan_l:.3g} L" if vessel.pan_l >= 1 else f"{1000 * vessel.pan_l:.3g} mL"
    work.say("vessel", f"{vessel.words} {how}; the tray holds at least {tray}")
    work.working(
        "vessel",
        "liquor x foam / fill",
        f"{vessel.liquid_l:.4g} L x {vessel.foam:g} / {vessel.fill:g}",
        f"{vessel.needed_l:.4g} L, next size {vessel.words}",
        *filter(None, used),
    )
    return vessel
