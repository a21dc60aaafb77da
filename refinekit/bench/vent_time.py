"""Gas in a room's air, minute by minute: it comes evenly or in bursts, the fan thins it, nitric oxide turns brown on the way.

Between two moments of the grid what comes and what the fan takes is exact (the room balance has a closed form for both shapes);
browning is split around it, half before and half after, which is good to the square of the step. The grid hangs on how the gas
comes, never on the fan, so that more fan can only lower a figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.fume_air import LITRES_PER_M3, PER_MILLION, TENTH
from refinekit.errors import OutOfRange
from refinekit.ranges import Number, count_of, high, low
from refinekit.record import record

Array = NDArray[np.float64]
SPENT = 1e-12
"""Share of a burst that is still to come when it counts as over; it is let go at once then, so that nothing is lost."""
FINEST = 100
"""Steps a burst's nine tenths, or an even flow, are walked in."""
MOST_STEPS = 4000
"""Steps the coming of the gas is walked in at most."""
WIDENS_AFTER = 60
"""Steps after which the grid widens by half once nothing more comes."""
WIDEST_MIN = 5.0


@record
class Piece:
    """Gas that comes together: evenly over some minutes, or as a burst that falls off as a first-order reaction.

    Args:
        gas: species [text]
        litres: all of it [L]; 0 and up
        start_min: when it begins [min]
        minutes: how long it comes evenly [min]; above 0, of no meaning for a burst
        t90_min: time in which nine tenths of a burst are off [min]; None where it comes evenly
    Raises: OutOfRange, no time
    Source: even, or V k exp(-k t) with k = ln 10 / t90
    """

    gas: str
    litres: Number
    start_min: float
    minutes: Number = 0.0
    t90_min: Number | None = None

    def __post_init__(self) -> None:
        time = self.minutes if self.t90_min is None else self.t90_min
        if not low(time) > 0:
            raise OutOfRange("gas takes some time to come", cure="give it, as in 20 min, or the time nine tenths take")

    def finest_min(self) -> float:
        """The step this wants [min]."""
        return low(self.minutes if self.t90_min is None else self.t90_min) / FINEST

    def over_min(self) -> float:
        """When it is as good as over [min]: three times nine tenths of a burst leave a thousandth."""
        return self.start_min + (high(self.minutes) if self.t90_min is None else 3 * high(self.t90_min))


@record
class Breath:
    """The air that gas comes into.

    Args:
        room_m3: room [m3]; above 0
        out_m3_per_min: what fan, hood and gaps take out [m3/min]; 0 and up
        browning: speed at which nitric oxide turns brown [1/(ppm min)]; 0 for never
    Raises: OutOfRange, no room, or a fan that blows backwards
    """

    room_m3: Number
    out_m3_per_min: Number = 0.0
    browning: Number = 0.0

    def __post_init__(self) -> None:
        if not low(self.room_m3) > 0:
            raise OutOfRange("a room has a volume", cure="give it, as in 40 m3")
        if not low(self.out_m3_per_min) >= 0:
            raise OutOfRange("a fan draws nothing negative", cure="give what it draws, as in 12 m3/min")

    @property
    def thins_per_min(self) -> Number:
        """Share of the air that goes out in a minute [1/min]."""
        return self.out_m3_per_min / np.asarray(self.room_m3)


@record
class Trace:
    """What the air held.

    Args:
        minutes: moments (moments,) [min]
        ppm: by gas, fully mixed (moments, cases) [ppm]
        dose: by gas, what was breathed by then (moments, cases) [ppm min]
        peak: by gas, the most of any step (cases,) [ppm]
        come_l: by gas, all that came (cases,) [L]
    """

    minutes: Array
    ppm: Mapping[str, Array]
    dose: Mapping[str, Array]
    peak: Mapping[str, Array]
    come_l: Mapping[str, Array]

    def peak_at_min(self, gas: str) -> Array:
        """When a gas was at its most (cases,) [min]."""
        at: Array = self.minutes[np.argmax(self.ppm[gas], axis=0)]
        return at

    def worst_mean(self, gas: str, window_min: float) -> Array:
        """The worst average over a window (cases,) [ppm]; a trace shorter than the window counts as clean before and after."""
        ends = np.union1d(self.minutes, np.minimum(self.minutes + window_min, self.minutes[-1]))
        dose = self.dose[gas]
        taken = _between(self.minutes, dose, ends) - _between(self.minutes, dose, ends - window_min)
        mean: Array = np.max(taken, axis=0) / window_min
        return mean

    def last_over_min(self, gas: str, line_ppm: float) -> Array:
        """When a gas last stood over a line (cases,) [min]: 0 where it never did, infinite where it does to the end."""
        over = self.ppm[gas] > line_ppm
        last = over.shape[0] - 1 - np.argmax(over[::-1], axis=0)
        after = np.minimum(last + 1, len(self.minutes) - 1)
        case = np.arange(over.shape[1])
        here, there = self.ppm[gas][last, case], self.ppm[gas][after, case]
        falls = here > there
        share = np.clip(np.divide(here - line_ppm, here - there, out=np.ones_like(here), where=falls), 0.0, 1.0)
        found = self.minutes[last] + share * (self.minutes[after] - self.minutes[last])
        return np.where(over[-1], np.inf, np.where(over.any(axis=0), found, 0.0))


def _between(moments: Array, rows: Array, at: Array) -> Array:
    """Rows at moments in between, straight from one to the next; the first before, the last after."""
    after = np.clip(np.searchsorted(moments, at), 1, len(moments) - 1)
    span = moments[after] - moments[after - 1]
    share = np.clip((at - moments[after - 1]) / span, 0.0, 1.0)[:, None]
    found: Array = rows[after - 1] + share * (rows[after] - rows[after - 1])
    return found


# ---- the grid
def grid(pieces: Sequence[Piece], until_min: float, step_min: float | None = None) -> list[tuple[float, float, int]]:
    """Moments to walk by, as blocks of even steps; every piece begins at the start of a block.

    Args:
        pieces: what comes
        until_min: end [min]
        step_min: one step throughout [min]; left out, fine while gas comes and wider after
    Returns: blocks of (start [min], step [min], steps)
    """
    over = max(piece.over_min() for piece in pieces)
    finest = min(piece.finest_min() for piece in pieces)
    fine = step_min or max(finest, over / MOST_STEPS)
    marks = sorted({0.0, *(piece.start_min for piece in pieces), min(over, until_min)})
    blocks = []
    for here, there in pairwise(marks):
        count = max(1, int(np.ceil((there - here) / fine - 1e-9)))
        blocks.append((here, (there - here) / count, count))
    at, wide = marks[-1], fine
    while at < until_min - 1e-9:
        wide = wide if step_min else min(1.5 * wide, WIDEST_MIN)
        left = int(np.ceil((until_min - at) / wide - 1e-9))
        count = left if step_min else min(WIDENS_AFTER, left)
        here = min(wide, (until_min - at) / count)
        blocks.append((at, here, count))
        at += here * count
    return blocks


# ---- the walk
class _Room:
    """The air while it is walked through: gas by row, case by column."""

    def __init__(self, pieces: Sequence[Piece], breath: Breath) -> None:
        self.gases = list(dict.fromkeys([piece.gas for piece in pieces]))
        self.browns = "NO" in self.gases and high(breath.browning) > 0
        if self.browns and "NO2" not in self.gases:
            self.gases.append("NO2")
        told = [breath.room_m3, breath.thins_per_min, breath.browning]
        told += [figure for piece in pieces for figure in (piece.litres, piece.minutes, piece.t90_min) if figure is not None]
        self.cases = max(count_of(*map(np.asarray, told)), 1)
        self.ppm = np.zeros((len(self.gases), self.cases))
        self.come = np.zeros_like(self.ppm)
        self.peak = np.zeros_like(self.ppm)
        self.dose = np.zeros_like(self.ppm)
        self.breath = breath
        self.per_litre = np.broadcast_to(PER_MILLION / (np.asarray(breath.room_m3) * LITRES_PER_M3), (self.cases,))
        self.waiting = sorted(pieces, key=lambda piece: piece.start_min)
        self.bursts: list[tuple[int, Piece, Array]] = []
        self.flows: list[tuple[int, Piece, Array]] = []

    def begin(self, at_min: float) -> None:
        """Take up the pieces that begin now and let go those that are over."""
        while self.waiting and self.waiting[0].start_min <= at_min + 1e-9:
            piece = self.waiting.pop(0)
            left = np.array(np.broadcast_to(piece.litres * self.per_litre, (self.cases,)))
            (self.flows if piece.t90_min is None else self.bursts).append((self.gases.index(piece.gas), piece, left))
        self.bursts = [one for one in self.bursts if not self._spent(*one)]
        self.flows = [one for one in self.flows if not self._spent(*one)]

    def _spent(self, row: int, piece: Piece, left: Array) -> bool:
        if (left > SPENT * piece.litres * self.per_litre).any():
            return False
        self.ppm[row] += left
        self.come[row] += left
        return True

    def walk(self, start_min: float, step_min: float, count: int, keep: int) -> Iterable[tuple[float, Array, Array]]:
        """Walk a block; gives moment, ppm and dose at every `keep`-th step and at its end."""
        thins = np.broadcast_to(np.asarray(self.breath.thins_per_min) * step_min, (self.cases,))
        turns = np.broadcast_to(np.asarray(self.breath.browning) * step_min / 2, (self.cases,))
        stays, evenly = np.exp(-thins), _mean_of_fall(thins)
        ppm, peak, total, first, base = self.ppm, self.peak, np.zeros_like(self.ppm), self.ppm.copy(), self.dose
        bursts = [(ppm[row], left, *_burst_step(piece, thins, step_min)) for row, piece, left in self.bursts]
        flows = [(ppm[row], left, self.per_litre * piece.litres * step_min / piece.minutes) for row, piece, left in self.flows]
        no, no2 = (ppm[self.gases.index(gas)] if self.browns else ppm[0] for gas in ("NO", "NO2"))
        some = np.empty(self.cases)
        for number in range(1, count + 1):
            if self.browns:
                _brown(no, no2, turns, some)
            ppm *= stays
            for air, left, share, reaches in bursts:
                np.multiply(left, reaches, out=some)
                air += some
                left *= share
            for air, left, each in flows:
                np.minimum(each, left, out=some)
                left -= some
                some *= evenly
                air += some
            if self.browns:
                _brown(no, no2, turns, some)
            np.maximum(peak, ppm, out=peak)
            total += ppm
            if number % keep == 0 or number == count:
                self.dose = base + step_min * (total + (first - ppm) / 2)
                yield start_min + number * step_min, ppm, self.dose


def _brown(no: Array, no2: Array, turns: Array, gone: Array) -> None:
    """Half a step of browning in still air, exact; `gone` is scratch."""
    np.multiply(turns, no, out=gone)
    np.divide(no, 1 + gone, out=gone)  # what is left
    no2 += no
    no2 -= gone
    no[:] = gone


def _mean_of_fall(x: Number) -> Array:
    """(1 - exp(-x)) / x, 1 at nothing."""
    x = np.asarray(x, dtype=float)
    safe = np.where(np.abs(x) < 1e-12, 1.0, x)
    return np.where(np.abs(x) < 1e-12, 1.0, -np.expm1(-safe) / safe)


def _burst_step(piece: Piece, thins: Array, step_min: float) -> tuple[Array, Array]:
    """Share of a burst still to come after a step, and how much of what was to come stands in the air then."""
    falls = TENTH / np.asarray(piece.t90_min) * step_min
    slower = np.exp(-np.minimum(falls, thins))  # of the two, so that the other's head start is never raised to a power
    return np.exp(-falls), falls * slower * _mean_of_fall(np.abs(falls - thins))


def room_air(pieces: Sequence[Piece], breath: Breath, until_min: float, *, step_min: float | None = None, keep: int = 1) -> Trace:
    """Walk through the air of a room.

    Args:
        pieces: gas that comes; at least one; NO turns to NO2 on the way, one for one
        breath: the room, what goes out of it, how fast nitric oxide turns
        until_min: end [min]; above 0
        step_min: one step throughout [min]; left out, as the gas comes
        keep: every how many steps are kept [-]; the peak is of all of them
    Returns: the trace, fully mixed
    Raises: OutOfRange, nothing comes, or no time
    Source: room balance dC/dt = G/V - (Q/V) C; browning by `nitric_oxide.browning_per_ppm_min`
    """
    if not pieces or not until_min > 0:
        raise OutOfRange("nothing comes, or in no time", cure="give a gas, and how long it comes")
    room = _Room(pieces, breath)
    moments, ppm, dose = [0.0], [room.ppm.copy()], [room.dose.copy()]
    for start, step, count in grid(pieces, until_min, step_min):
        room.begin(start)
        before = [left.copy() for _, _, left in (*room.bursts, *room.flows)]
        for at, air, breathed in room.walk(start, step, count, keep):
            moments.append(at)
            ppm.append(air.copy())
            dose.append(breathed)
        for (row, _, left), was in zip((*room.bursts, *room.flows), before, strict=True):
            room.come[row] += was - left
    every, breathed_all = np.stack(ppm), np.stack(dose)
    of = {gas: row for row, gas in enumerate(room.gases)}
    return Trace(
        np.array(moments),
        {gas: every[:, row] for gas, row in of.items()},
        {gas: breathed_all[:, row] for gas, row in of.items()},
        {gas: room.peak[row] for gas, row in of.items()},
        {gas: room.come[row] / room.per_litre for gas, row in of.items()},
    )


def portions(
    gas: str, litres: Number, *, t90_min: Number, count: int, apart_min: float, start_min: float = 0.0
) -> tuple[Piece, ...]:
    """A gas in portions, each a burst of its own.

    Args:
        gas: species [text]
        litres: all of it [L]
        t90_min: time in which nine tenths of a portion are off [min]
        count: portions [-]; 1 and up
        apart_min: from one to the next [min]; above 0 where there are several
        start_min: when the first begins [min]
    """
    each = litres / count
    return tuple(Piece(gas, each, start_min + number * apart_min, t90_min=t90_min) for number in range(count))
