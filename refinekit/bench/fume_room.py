"""One gas against the room: how fast it comes, what the room, the fan and the limit make of it, and the verdict."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from refinekit.bench.foam import say_foam
from refinekit.bench.fume_air import (
    LITRES_PER_M3,
    PER_MILLION,
    TENTH,
    airing_minutes,
    burst_in_fanned_room_ppm,
    closed_room_ppm,
    dilution_air_m3_per_min,
    fanned_room_ppm,
    peak_l_per_min,
    room_m3,
)
from refinekit.bench.fume_gas import Source, litres
from refinekit.bench.fume_limits import alarm_line, short_limit, word_of
from refinekit.bench.hydrogen import say_thinning
from refinekit.bench.work import Work
from refinekit.ranges import Number, Range, high, likely, low
from refinekit.record import record

NITROGEN_OXIDES = ("NO", "NO2")
LEVELS = ("", "note", "warn", "stop")


@record
class Pace:
    """How fast a step's gas comes.

    Args:
        minutes: time over which it comes [min]; None where it was not told
        t90: time in which nine tenths of a burst are off [min]; None where it comes evenly
        portions: bursts it comes in [-]
        overlap: how much higher a burst stands on the tails of those before it [-]; 1 and up
    """

    minutes: Number | None
    t90: Number | None
    portions: float
    overlap: float

    def rate(self, volume_l: Range) -> Range | None:
        """Average gas [L/min]: least in the longest time, most in the shortest."""
        if self.minutes is None:
            return None
        return Range(volume_l.low / high(self.minutes), volume_l.likely / likely(self.minutes), volume_l.high / low(self.minutes))

    def peak(self, volume_l: Range) -> float | None:
        """Most gas at once [L/min], of the most gas in the shortest time."""
        if self.t90 is not None:
            return float(peak_l_per_min(volume_l.high / self.portions, low(self.t90))) * self.overlap
        even = self.rate(volume_l)
        return even.high if even else None


def pace(work: Work, told: Mapping[str, Any], formula: str) -> Pace:
    """The pace of a gas: bursts for nitrogen oxides or where a time is told for nine tenths, else even."""
    minutes = told["time_s"] / 60 if "time_s" in told else None
    t90 = told["t90_s"] / 60 if "t90_s" in told else None
    portions = likely(told.get("portions", 1.0))
    if t90 is None and minutes is not None and formula in NITROGEN_OXIDES:
        share = work.default(None, "practice/fume.burst.t90_share", "share of the time in which nine tenths of the fume come")
        t90 = share * minutes / portions
    overlap = 1.0
    if t90 is not None and "between_s" in told and portions > 1:
        kept = 10 ** -(low(told["between_s"]) / 60 / high(t90))
        overlap = (1 - kept**portions) / (1 - kept)
    if minutes is None and t90 is not None:
        gap = told["between_s"] / 60 if "between_s" in told else work.fact("practice/fume.burst.next_after").value * t90
        minutes = gap * portions
    return Pace(minutes, t90, portions, overlap)


@record
class Room:
    """The room a gas gets into.

    Args:
        volume_m3: its volume [m3]; None where it was not told
        fan: what its fan draws [m3/min]; 0 for none
        mixing: how much worse the air near the pot is [-]
    """

    volume_m3: float | None
    fan: float
    mixing: float


def room_of(work: Work, told: Mapping[str, Any]) -> Room:
    """The room: by the tape, or as the shop is told."""
    sides = [told.get(f"room_{side}_m") for side in ("length", "width", "height")]
    volume = work.place.room_m3
    if all(side is not None for side in sides):
        tape = room_m3(*(low(side) for side in sides if side is not None))
        volume = float(tape)
        work.answer("room", volume, "m3", sized_on="low: less air is worse", because="length x width x height")
    mixing = likely(work.default(work.place.mixing, "practice/general.mixing.k", "how much worse the air near the pot is"))
    return Room(volume, work.place.fan_m3_per_min, mixing)


@record
class Reading:
    """What came of one gas.

    Args:
        formula: species [text]
        litres: gas [L]
        peak: most at once [L/min]; None where no time was told
        ppm: worst figure of the room, fully mixed [ppm]; None where no room was told
        limit: line it is held against [ppm]; None where there is none
        line: that line in words [text]
        air: fresh air for that line [m3/min]; None where no time was told
    """

    formula: str
    litres: Range
    peak: float | None
    ppm: float | None
    limit: float | None
    line: str
    air: float | None


def in_words(name: str) -> str:
    """A gas's name as written."""
    return name.replace("_", " ")


def read_gas(work: Work, told: Mapping[str, Any], source: Source, room: Room) -> Reading:
    """Answer with one gas: moles, litres, rate, peak, room and air.

    Args:
        work: the step
        told: may hold times, portions and a headspace
        source: the gas
        room: the room
    """
    name, volume_l, speed = word_of(source.formula), litres(work, source.mol), pace(work, told, source.formula)
    even, peak = speed.rate(volume_l), speed.peak(volume_l)
    equal = None if peak is None else TENTH * volume_l.high / peak if peak else None  # a burst with the same peak
    minutes = None if speed.minutes is None else high(speed.minutes)
    work.gas(source.formula, source.mol, minutes=minutes, t90_min=equal, sized_on=source.routes)
    work.answer(f"{name}_mol", source.mol, "mol", sized_on=source.routes, because=source.because)
    work.answer(f"{name}_litres", volume_l, "L", sized_on=source.routes, because="at the shop's temperature and pressure")
    if speed.portions > 1:
        work.answer(f"{name}_portion", volume_l * (1 / speed.portions), "L", sized_on=source.routes, because="one portion")
    if even is not None and peak is not None:
        _say_pace(work, name, volume_l, speed, even, peak)
    ppm = _in_the_room(work, name, volume_l, even, speed, room)
    limit = alarm_line(source.formula, work.place.law)
    air = _fresh_air(work, name, even, limit, room) if even is not None and limit else None
    if source.formula == "H2" and even is not None and even.high > 0:
        say_thinning(work, even, told.get("headspace_l"))
    if limit:
        work.answer(f"{name}_limit", limit[0], "ppm", sized_on="the law of the shop", because=limit[1])
        if ppm is not None and room.volume_m3 and room.fan and ppm > limit[0]:
            wait = float(airing_minutes(room.volume_m3, room.fan, limit[0] / ppm))
            work.answer(f"{name}_wait", wait, "min", sized_on="high", because="to air the room out to the limit once it is over")
    words = f"{source.formula} {'short' if short_limit(source.formula, work.place.law) is not None else ''}".strip()
    return Reading(source.formula, volume_l, peak, ppm, limit[0] if limit else None, words, air)


def _say_pace(work: Work, name: str, volume_l: Range, speed: Pace, even: Range, peak: float) -> None:
    work.answer(f"{name}_average", even, "L/min", sized_on="high: most gas, shortest time", because="litres over minutes")
    work.answer(
        f"{name}_peak", peak, "L/min", sized_on="high: most gas, shortest time", because="what the lungs and the hood meet"
    )
    if even.high:
        work.answer(f"{name}_peak_over_average", peak / even.high, "", sized_on="high", because="peak over average")
    if speed.t90 is not None:
        work.working(
            f"peak of {in_words(name)}",
            "V ln10 / t90",
            f"{volume_l.high / speed.portions:.4g} L x {TENTH:.4g} / {low(speed.t90):.4g} min",
            f"{peak:.4g} L/min",
            "practice/fume.burst.t90_share",
        )


def _in_the_room(work: Work, name: str, volume_l: Range, even: Range | None, speed: Pace, room: Room) -> float | None:
    """Figures of the room, fully mixed and near the pot. Returns the worst fully mixed one that holds [ppm]."""
    worst = None
    if room.volume_m3:
        closed = volume_l * float(closed_room_ppm(1.0, room.volume_m3))
        worst = closed.high
        work.answer(
            f"{name}_room_closed", closed, "ppm", sized_on="high for lungs", because="all of it in the closed room, fully mixed"
        )
        work.answer(
            f"{name}_room_closed_near",
            closed * room.mixing,
            "ppm",
            sized_on="high for lungs",
            because=f"near the pot, x {room.mixing:g}",
        )
        work.working(
            f"closed room, {in_words(name)}",
            "litres of gas / litres of room",
            f"{volume_l.high:.4g} L / {room.volume_m3 * LITRES_PER_M3:.5g} L x 1e6",
            f"{closed.high:.4g} ppm",
        )
    if room.fan and even is not None:
        minutes = np.inf if speed.minutes is None else high(speed.minutes)
        end = even * float(fanned_room_ppm(1.0, room.fan, room.volume_m3, minutes))
        steady = even * float(fanned_room_ppm(1.0, room.fan))
        worst = end.high
        work.answer(f"{name}_room_steady", steady, "ppm", sized_on="high for lungs", because="fan running for ever, fully mixed")
        work.answer(f"{name}_room_fan", end, "ppm", sized_on="high for lungs", because="fan running, at the end, fully mixed")
        work.answer(
            f"{name}_room_fan_near",
            end * room.mixing,
            "ppm",
            sized_on="high for lungs",
            because=f"near the pot, x {room.mixing:g}",
        )
        work.working(
            f"room with the fan, {in_words(name)}",
            "G / Q (1 - exp(-Q t / V))",
            f"{even.high:.4g} L/min / {room.fan * LITRES_PER_M3:.5g} L/min x 1e6"
            + (f" x (1 - exp(-{room.fan:g} x {minutes:.4g} / {room.volume_m3:g}))" if room.volume_m3 else ""),
            f"{end.high:.4g} ppm",
        )
        if room.volume_m3 and speed.t90 is not None:
            burst = burst_in_fanned_room_ppm(
                volume_l.high / speed.portions * speed.overlap, low(speed.t90), room.fan, room.volume_m3
            )
            worst = max(worst, float(burst))
            work.answer(
                f"{name}_room_burst", float(burst), "ppm", sized_on="high", because="worst moment of a burst, fan running"
            )
    return worst


def _fresh_air(work: Work, name: str, even: Range, limit: tuple[float, str], room: Room) -> float:
    air = even * float(dilution_air_m3_per_min(1.0, limit[0], room.mixing))
    work.answer(
        f"{name}_dilution_air",
        air,
        "m3/min",
        sized_on="high for lungs",
        because=f"Q = G K / C, K {room.mixing:g}, C {limit[0]:g} ppm",
    )
    work.working(
        f"fresh air for {in_words(name)}",
        "Q = G K / C",
        f"{even.high:.4g} L/min x {room.mixing:g} / {limit[0]:g} ppm",
        f"{air.high:.4g} m3/min",
        "practice/general.mixing.k",
    )
    return air.high


def foam(work: Work, told: Mapping[str, Any], readings: list[Reading]) -> None:
    """Gas through the surface of the liquor, against the lines from which a pot foams over.

    Args:
        work: the step
        told: may hold `surface_cm2`, `pot_at_k`, `frothing`
        readings: every gas; of nitrogen oxides only the worse route comes
    Source: common practice, in facts/practice/general.toml
    """
    if "surface_cm2" not in told:
        return
    peaks = {one.formula: one.peak or 0.0 for one in readings}
    brown = max((peaks.pop(gas, 0.0) for gas in NITROGEN_OXIDES), default=0.0)
    gas = brown + sum(peaks.values())
    say_foam(work, gas, told["surface_cm2"], pot_k=told.get("pot_at_k"), frothing=bool(told.get("frothing", False)))


def verdict(work: Work, readings: list[Reading]) -> str:
    """The worst of it in one line.

    Args:
        work: the step
        readings: every gas
    Returns: text that begins with stop, warn or note
    """
    judged = (_judged(work, one) for one in (*readings, *_browned(work, readings)))
    worst = max(judged, key=lambda pair: (LEVELS.index(pair[0]), pair[1]), default=("", 0.0, ""))
    if worst[0]:
        return f"{worst[0]}: {worst[2]}"
    if work.place.law == "none":
        return "note: law none counts no limit; vent still holds it against what is dangerous at once"
    return "note: no limit is kept of this gas"


def _browned(work: Work, readings: Iterable[Reading]) -> Iterator[Reading]:
    """Nitric oxide once more, all of it turned to nitrogen dioxide: against that one's limit."""
    line = alarm_line("NO2", work.place.law)
    for one in readings:
        if one.formula == "NO" and one.ppm is not None and line:
            word = "NO2 (of NO) short" if short_limit("NO2", work.place.law) is not None else "NO2 (of NO)"
            yield replace(one, formula="NO2", limit=line[0], line=word)


def _judged(work: Work, one: Reading) -> tuple[str, float, str]:
    """Level, how bad, and words."""
    if one.limit is None:
        return "", 0.0, ""
    line = "1 % hydrogen line" if one.formula == "H2" else f"{one.limit:g} ppm {one.line} limit"
    if one.ppm is not None:
        over = one.ppm / one.limit
        if over > 1:
            return "stop", over, f"over the {line} in the room"
        share = work.fact("exposure.reading.warn_share").value
        if over > share:
            return "warn", over, f"over a tenth of the {line} in the room"
        return "note", over, f"{one.ppm:.2g} ppm {one.formula} in the room, under a tenth of the limit, if it mixes"
    if one.air is None:
        return "note", 0.0, "tell the minutes and the room to set it against the limit"
    if one.air > work.fact("practice/fume.fan.largest").value:
        return "stop", one.air, "no room fan does this; hood or outdoors with a scrubber"
    return "warn", one.air, f"{one.air:.3g} m3/min of fresh air for {one.formula}; better a hood or outdoors"


__all__ = ["PER_MILLION", "Pace", "Reading", "Room", "foam", "pace", "read_gas", "room_of", "verdict"]
