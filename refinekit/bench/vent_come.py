"""What gas comes into the air and how fast: the mix expected and both ends of it, in one burst, in portions, or evenly."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.fume_air import TENTH
from refinekit.bench.fume_gas import Source
from refinekit.bench.fume_room import NITROGEN_OXIDES
from refinekit.bench.vent_time import Piece, portions
from refinekit.bench.work import Work
from refinekit.chemistry.gas import molar_volume_l
from refinekit.errors import OutOfRange
from refinekit.ranges import Number, Range, count_of, high, likely, low
from refinekit.record import record

Array = NDArray[np.float64]
MOST_PORTIONS = 200


@record
class Coming:
    """A gas on its way into the air.

    Args:
        gas: species [text]
        mol: all of it, the likely case first, then the cases of every end (cases,) [mol]
        litres: the same [L]
        minutes: over which it comes in all [min]
        t90_min: time in which nine tenths of a portion are off [min]; None where it comes evenly
        count: portions [-]
        apart_min: from one portion to the next [min]
    """

    gas: str
    mol: Array
    litres: Array
    minutes: Number
    t90_min: Number | None
    count: int
    apart_min: float

    def pieces(self, start_min: float = 0.0) -> tuple[Piece, ...]:
        """What the air is told of it."""
        if self.t90_min is None:
            return (Piece(self.gas, self.litres, start_min, minutes=self.minutes),)
        return portions(
            self.gas, self.litres, t90_min=self.t90_min, count=self.count, apart_min=self.apart_min, start_min=start_min
        )

    def peak_l_per_min(self) -> Array:
        """Most at once (cases,) [L/min]; a portion stands on the tails of those before it."""
        if self.t90_min is None:
            return np.asarray(self.litres / self.minutes)
        kept = 10 ** (-self.apart_min / np.asarray(self.t90_min)) if self.count > 1 else 0.0
        return np.asarray(TENTH * self.litres / self.count / self.t90_min * (1 - kept**self.count) / (1 - kept))

    def times(self, share: Number) -> Coming:
        """So much of it."""
        return replace(self, mol=self.mol * share, litres=self.litres * share)


def coming(work: Work, told: Mapping[str, Any], sources: Sequence[Source]) -> list[Coming]:
    """Every gas on its way into the air: the mix expected, the least, and the most, case by case.

    Nitric that gives its nitrogen as both oxides gives all of it as one or the other at the ends, never both whole.

    Args:
        work: the step
        told: may hold `time_s`, `t90_s`, `portions`, `between_s`, `hot`
        sources: the gases, with their ends
    Raises: OutOfRange, more portions than anybody pours
    """
    time = told["time_s"] / 60 if "time_s" in told else None
    if time is None and "t90_s" not in told:
        time = work.default(None, "practice/vent.time.comes_over", "the gas comes over")
    count = portions_told(told)
    cases = count_of(*told.values(), *(np.asarray(x) for one in sources for x in (one.least, one.usual, one.most)))
    litre = likely(molar_volume_l(work.place.temperature_k, work.place.pressure_pa))
    found = []
    for gas, mol in ends(sources, cases).items():
        t90 = _t90(work, told, gas, time, count)
        apart = _apart(work, told, time, t90, count)
        minutes = time if time is not None else apart * count
        found.append(Coming(gas, mol, mol * litre, _on(minutes, mol, cases), _on(t90, mol, cases), count, apart))
    return found


def portions_told(told: Mapping[str, Any]) -> int:
    """Portions told of, one where none were. Raises: OutOfRange, no whole number of them, or more than anybody pours."""
    given = told.get("portions", 1.0)
    if low(given) != high(given) or low(given) != round(low(given)) or not 1 <= low(given) <= MOST_PORTIONS:
        ends = f"{low(given):.4g}" if low(given) == high(given) else f"{low(given):.4g} to {high(given):.4g}"
        raise OutOfRange(
            f"{ends} portions cannot be poured", cure=f"a whole number from 1 to {MOST_PORTIONS}, as in --portions 4"
        )
    return round(low(given))


def through_hood(found: Sequence[Coming], lets_out: Range) -> list[Coming]:
    """What of it gets into the room: as the hood lets out most likely, least and most, each against every case.

    Args:
        found: the gases as they come
        lets_out: share that a hood lets out [-]
    """
    if lets_out.is_point:
        return [one.times(lets_out.likely) for one in found]
    three = (lets_out.likely, lets_out.low, lets_out.high)

    def over(one: Coming) -> Coming:
        share = np.repeat(three, len(one.mol))
        wide = replace(one, mol=np.tile(one.mol, 3), litres=np.tile(one.litres, 3))
        wide = replace(wide, minutes=_on(one.minutes, wide.mol, len(one.mol)), t90_min=_on(one.t90_min, wide.mol, len(one.mol)))
        return wide.times(share)

    return [over(one) for one in found]


def ends(sources: Sequence[Source], cases: int) -> dict[str, Array]:
    """Moles by gas: the mix expected, then the least, then the most of each, case by case [mol]."""
    formulas = {one.formula for one in sources}
    shared = set(NITROGEN_OXIDES) <= formulas and any(low(one.usual) < high(one.most) for one in sources)

    def rows(one: Source) -> tuple[Number, Number, Number]:
        if shared and one.formula in NITROGEN_OXIDES:
            return (one.usual, one.most, 0.0) if one.formula == "NO" else (one.usual, 0.0, one.most)
        return one.usual, one.least, one.most

    laid: dict[str, Array] = {}
    for one in sources:
        three = np.stack([np.broadcast_to(np.asarray(row, dtype=float), (cases,)) for row in rows(one)])
        laid[one.formula] = laid[one.formula] + three if one.formula in laid else three
    alike = all((three == three[0]).all() for three in laid.values())
    return {gas: three[0] if alike else three.ravel() for gas, three in laid.items()}


def _on(figure: Number | None, mol: Array, cases: int) -> Any:
    """A figure of the cases as told, repeated for every end."""
    if not isinstance(figure, np.ndarray) or not figure.ndim:
        return figure
    return np.tile(np.broadcast_to(figure, (cases,)), len(mol) // cases)


def _t90(work: Work, told: Mapping[str, Any], gas: str, time: Number | None, count: int) -> Number | None:
    """Time in which nine tenths of a portion are off: told, or a share of its time where nitric makes it."""
    if "t90_s" in told:
        told_min: Number = told["t90_s"] / 60
        return told_min
    if gas not in NITROGEN_OXIDES or time is None:
        return None
    if told.get("hot", False):
        share = work.default(None, "practice/vent.time.hot_share", "hot: share of the time in which nine tenths of the fume come")
    else:
        share = work.default(None, "practice/fume.burst.t90_share", "share of the time in which nine tenths of the fume come")
    return share * time / count


def _apart(work: Work, told: Mapping[str, Any], time: Number | None, t90: Number | None, count: int) -> float:
    """From one portion to the next [min]: told, or the time shared out, or twice nine tenths."""
    if "between_s" in told:
        return likely(told["between_s"]) / 60
    if time is not None:
        return likely(time) / count
    return work.fact("practice/fume.burst.next_after").value * likely(0.0 if t90 is None else t90)
