"""What is said of a room's air: figures, the limits it is held against, the curve, the verdict, and when to go in again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.fume_air import dilution_air_m3_per_min
from refinekit.bench.fume_limits import Limit, counted, word_of
from refinekit.bench.fume_room import NITROGEN_OXIDES, in_words
from refinekit.bench.vent_come import Coming
from refinekit.bench.vent_read import Breathed, range_of, together, worst
from refinekit.bench.vent_shop import Shop
from refinekit.bench.vent_time import Trace
from refinekit.bench.work import Work
from refinekit.ranges import Range, high

LUNGS = "high for lungs"
POINTS = 240
LONG_MIN = 300.0
ALIKE = 1.3
"""Two curves closer than this many times are drawn as one, the worse."""
CROWD = 3
"""Gases from which only the worst case of each is drawn."""
SHOWN_UNDER = 0.05
"""Share of the lowest limit drawn that the curve is shown down to."""


def told_of(air: Sequence[Breathed], least: float) -> list[Breathed]:
    """The gases that come to so much of their line that they are told by figures of their own [-]."""
    return [one for one in air if one.line is None or high(one.peak) >= least * one.line[0]]


def say_air(work: Work, air: Sequence[Breathed], trace: Trace, shop: Shop) -> None:
    """Answer with every gas: mixed, near the pot, over its windows, and when it is fit to enter again."""
    for one in air:
        name, near = word_of(one.gas), f"near the pot, x {shop.mixing:g}"
        work.answer(f"{name}_peak", range_of(trace.peak[one.gas]), "ppm", sized_on=LUNGS, because="worst moment, fully mixed")
        why = f"{near}, at {_clock(float(one.at_min[int(np.argmax(one.peak))]))}"
        work.answer(f"{name}_peak_near", range_of(one.peak), "ppm", sized_on=LUNGS, because=why)
        why = f"worst quarter of an hour, {near}"
        work.answer(f"{name}_15_min_near", range_of(one.short), "ppm", sized_on=LUNGS, because=why)
        why = f"worst eight hours, {near}"
        work.answer(f"{name}_8_h_near", range_of(one.eight), "ppm", sized_on=LUNGS, because=why)
        if one.line and np.isfinite(one.fit_min).all() and one.fit_min.max() > 0:
            why = f"from its beginning until it stays under {one.line[0]:g} ppm near the pot"
            work.answer(f"{name}_fit_again", range_of(one.fit_min), "min", sized_on=LUNGS, because=why)
    summed = together(air)
    if summed is not None:
        why = "each gas's worst quarter of an hour over its limit, added up; over 1 is over the limit together"
        work.answer("all_together", summed, "", sized_on=LUNGS, because=why)
    _enter(work, air, shop)


def _clock(minutes: float) -> str:
    return f"{minutes / 60:.3g} h" if minutes > LONG_MIN else f"{minutes:.3g} min"


def _enter(work: Work, air: Sequence[Breathed], shop: Shop) -> None:
    """When the room is fit to enter again."""
    waits = [float(one.fit_min.max()) for one in air if one.line]
    if not waits:
        return
    longest = max(waits)
    if np.isinf(longest):
        line = "never by itself: nothing carries it off; open doors and windows from outside, fan on, before anybody goes in"
    elif longest <= 0:
        line = "it stays under its limits near the pot, if it mixes as told"
    else:
        line = f"out of the room until {_clock(longest)} after the beginning, fan running; longer where the mixing is worse"
    work.say("enter again", line)


def say_now(work: Work, trace: Trace, shop: Shop, since_min: float) -> None:
    """Answer with what the room holds some time after the beginning."""
    for gas, rows in trace.ppm.items():
        now = np.array([np.interp(since_min, trace.minutes, rows[:, case]) for case in range(rows.shape[1])])
        why = f"{_clock(since_min)} after the beginning, near the pot"
        work.answer(f"{word_of(gas)}_now", range_of(shop.mixing * now), "ppm", sized_on=LUNGS, because=why)


def say_limits(work: Work, air: Sequence[Breathed], law: str) -> None:
    """Every limit, whose and of when, how it is counted, and what stands against it."""
    rows: list[tuple[str | float | Range, ...]] = []
    for one in air:
        for limit, counts in counted(one.gas, law):
            figure = one.against(limit)
            over = float(figure.max()) / limit.ppm
            level = "over" if over > 1 else "over a tenth" if over > work.fact("exposure.reading.warn_share").value else "under"
            rows.append(
                (
                    one.gas,
                    limit.ppm,
                    limit.kind,
                    f"{_whose(limit)}{'' if counts else ', beside'}",
                    str(limit.year or "-"),
                    range_of(figure),
                    level,
                )
            )
    work.table(
        f"Against the limits, law {law}", ("gas", "limit ppm", "counted", "whose", "of", "near the pot ppm", "it is"), rows
    )


def _whose(limit: Limit) -> str:
    return {"idlh": "NIOSH", "lel": "flammable"}.get(limit.row) or limit.row.partition("_")[0].upper()


def say_dilution(work: Work, found: Iterable[Coming], air: Iterable[Breathed], shop: Shop) -> None:
    """Answer with the fresh air that would keep each gas at its line, on its average and at its worst moment."""
    lines, asked = {one.gas: one.line for one in air}, 0.0
    for one in found:
        line = lines.get(one.gas)
        if not line or not one.litres.max() > 0:
            continue
        name, even = word_of(one.gas), one.litres / one.minutes
        for ending, rate, how in (("", even, "on average"), ("_at_peak", one.peak_l_per_min(), "at its worst moment")):
            air_in = dilution_air_m3_per_min(rate, line[0], shop.mixing)
            why = f"Q = G K / C {how}, K {shop.mixing:g}, C {line[0]:g} ppm"
            work.answer(f"{name}_dilution_air{ending}", range_of(np.asarray(air_in)), "m3/min", sized_on=LUNGS, because=why)
            asked = max(asked, high(air_in))
    most = work.fact("practice/fume.fan.largest").value
    if asked > most:
        fresh = float(f"{asked:.3g}")
        work.say("do instead", f"{fresh:g} m3/min is no room fan: hood, closed pot with a scrubber, or outdoors upwind")


def say_verdict(work: Work, air: Sequence[Breathed], shop: Shop) -> None:
    """The worst of it in one line, and what is heavy or kills late."""
    found = worst(air, work.place.law)
    if found is None:
        work.say("verdict", "note: no limit is kept of this gas under this law")
        return
    times, one, limit = found
    tenth = work.fact("exposure.reading.warn_share").value
    level = ("warn" if shop.hooded else "stop") if times > 1 else "warn" if times > tenth else "note"
    figure = float(one.against(limit).max())
    where = "beside the hood, " if shop.hooded else ""
    over = f"over {limit.kind}" if limit.window_min else "at its worst"
    held = f"{times:.3g} times the {limit.ppm:g} ppm of {_whose(limit)}"
    work.say("verdict", f"{level}: {where}{figure:.3g} ppm {in_words(word_of(one.gas))} {over}, {held}")


def say_after(work: Work, gases: Iterable[str]) -> None:
    """Delayed injury after nitrogen oxides; what lies low."""
    gases = set(gases)
    if gases & set(NITROGEN_OXIDES):
        first, last = (work.fact(f"exposure.reading.nox_{end}_sign").value for end in ("first", "last"))
        work.say(
            "after a breath",
            f"brown fume: lungs fill {first:g} to {last:g} h later, without warning. Tell somebody who stays with you for "
            f"{last:g} h, sit still, see a doctor the same day even if well, and say nitrogen dioxide",
        )
    if gases & {"NO2", "Cl2", "SO2", "CO2", "HCl", "N2O"}:
        work.say("watch for", "heavier than air: it pools in pits and low corners, where a mixed figure says too little")


# ---- the curve
def draw(
    work: Work,
    trace: Trace,
    air: Sequence[Breathed],
    shop: Shop,
    over_min: float,
    marks: Iterable[tuple[str, float]] = (),
) -> None:
    """Parts per million near the pot against time, with the limits of the gas that is worst drawn in."""
    found = worst(air, work.place.law)
    if found is None:
        return
    times, chief, _ = found
    levels = [limit for limit, counts in counted(chief.gas, work.place.law) if counts]
    floor = SHOWN_UNDER * min(limit.ppm for limit in levels)
    finite = [float(one.fit_min.max()) for one in air if one.line and np.isfinite(one.fit_min).all()]
    until = min(max([1.5 * over_min, *(1.1 * wait for wait in finite)]), float(trace.minutes[-1]))
    hours = until > LONG_MIN
    at = np.linspace(0, until, POINTS)
    series: dict[str, tuple[Any, Any]] = {}
    for one in air:
        rows = shop.mixing * trace.ppm[one.gas]
        for words, case in _cases(one) if len(air) < CROWD else [("", int(np.argmax(one.peak)))]:
            ppm = np.interp(at, trace.minutes, rows[:, case])
            series[f"{words}{one.gas}"] = (at / (60 if hours else 1), np.where(ppm > floor, ppm, 0.0))
    name, figure = in_words(word_of(chief.gas)), float(chief.peak.max())
    work.chart(
        "Air near the pot",
        "hours" if hours else "minutes",
        "ppm, by powers of ten",
        series,
        finding=f"{name} near the pot reaches {figure:.3g} ppm; against its nearest limit {times:.3g} times",
        log=True,
        marks=[(words, minutes / (60 if hours else 1)) for words, minutes in marks],
        levels=[(f"{limit.ppm:g} ppm {chief.gas}, {limit.kind} ({_whose(limit)})", limit.ppm) for limit in levels],
    )


def _cases(one: Breathed) -> list[tuple[str, int]]:
    """The likely case, and the one that is worst where that is another."""
    most = int(np.argmax(one.peak))
    if one.peak[most] < ALIKE * one.peak[0]:
        return [("", most)]
    return [("likely ", 0), ("most ", most)]


def amounts(found: Iterable[Coming]) -> Mapping[str, Range]:
    """Moles by gas over the cases [mol]."""
    return {one.gas: range_of(one.mol) for one in found}
