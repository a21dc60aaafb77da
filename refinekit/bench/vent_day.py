"""A day of steps in one room: every step's gas where it begins, and what the air holds by and by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from refinekit.bench.fume_air import TENTH
from refinekit.bench.fume_gas import Source
from refinekit.bench.fume_limits import alarm_line
from refinekit.bench.place import Place
from refinekit.bench.step import Gas, Step
from refinekit.bench.vent_come import Coming, ends, through_hood
from refinekit.bench.vent_read import DAY_MIN, Breathed, breathed, range_of
from refinekit.bench.vent_say import amounts, draw, say_after, say_air, say_limits, say_verdict, told_of
from refinekit.bench.vent_shop import Shop, shop_of
from refinekit.bench.vent_time import Trace, room_air
from refinekit.bench.vent_wind import outdoors
from refinekit.bench.work import Work
from refinekit.errors import CannotFollow
from refinekit.ranges import Range, likely
from refinekit.record import record

SPECK_MOL = 1e-7
"""Gas under which a step counts as making none of it: rounding."""


@record
class Laid:
    """A step's gases laid into the day.

    Args:
        name: the step [text]
        start_min: when it begins [min]
        long: whether it runs longer than a day, and so all day beside the others
        gases: its gases as they come
    """

    name: str
    start_min: float
    long: bool
    gases: tuple[Coming, ...]


def run(steps: Sequence[Step], *, place: Place) -> Step:
    """Reckon what a day of steps, one after the other, holds in the room.

    Args:
        steps: the steps, with their gases, in order
        place: the shop
    Returns: Step of the air alone: every step's worst moment, figures by gas, the limits and the curve
    Raises: CannotFollow, no step makes gas
    Source: as vent; a step that runs for days gives its gas evenly beside the others
    """
    work = Work("fume", place=place)
    laid, whole_min = _laid(work, steps)
    found = [one for each in laid for one in each.gases]
    if not found:
        raise CannotFollow("no step of this plan makes gas", cure="refinekit plan FILE shows the gases of each step")
    _say_gases(work, found)
    shop = shop_of(work, {})
    title = f"a day of {len(steps)} steps, {whole_min / 60:.3g} h"
    if place.outdoors:
        worst = {one.gas: max((each for each in found if each.gas == one.gas), key=_peak) for one in found}
        say_after(work, outdoors(work, {}, list(worst.values())))
        return replace(work.done(None, title=f"{title}, outdoors"), of_air=True)
    inside = [replace(each, gases=tuple(through_hood(each.gases, shop.lets_out))) for each in laid]
    pieces = [piece for each in inside for one in each.gases for piece in one.pieces(each.start_min)]
    trace = room_air(pieces, shop.breath, max(piece.over_min() for piece in pieces) + DAY_MIN)
    air = breathed(trace, shop, place.law)
    say_verdict(work, air, shop)
    _table(work, inside, trace, air, shop)
    chief = told_of(air, work.fact("practice/vent.day.told_from").value)
    say_air(work, chief, trace, shop)
    say_limits(work, air, place.law)
    say_after(work, trace.ppm)
    draw(work, trace, chief, shop, whole_min, [(each.name, each.start_min) for each in laid if not each.long])
    where = f"{shop.room_m3:g} m3, {likely(shop.out):.3g} m3/min out" if likely(shop.out) > 0 else f"closed {shop.room_m3:g} m3"
    return replace(work.done(None, title=f"{title}, in {where}{', hood' if shop.hooded else ''}"), of_air=True)


def _peak(one: Coming) -> float:
    return float(one.peak_l_per_min().max())


def _laid(work: Work, steps: Sequence[Step]) -> tuple[list[Laid], float]:
    """Every step with gas at its beginning, one after the other; gives the day's length too [min]."""
    usual = work.fact("practice/vent.time.comes_over").value
    laid, at, guessed = [], 0.0, []
    for step in steps:
        gases = [gas for gas in step.gases if gas.mol.high > SPECK_MOL and not step.of_air]  # what only reckons makes none
        told = step.minutes.likely if step.minutes else max((gas.minutes or 0.0 for gas in gases), default=0.0)
        if gases and not told:
            guessed.append(step.name)
        minutes = told or (usual if gases else 0.0)
        long = minutes > DAY_MIN
        if gases:
            laid.append(Laid(step.name, 0.0 if long else at, long, tuple(_come(gases, minutes))))
        at += 0.0 if long else minutes
    whole = at or DAY_MIN
    beside = [each.name for each in laid if each.long]
    if beside:
        work.assume(f"{', '.join(beside)} runs for days: its gas comes evenly beside the others")
    if guessed:
        work.assume(f"{', '.join(guessed)}: gas comes over {usual:g} min")
    work.assume("the steps follow one another without a pause")
    return [_cut(each, whole) if each.long else each for each in laid], whole


def _cut(each: Laid, whole_min: float) -> Laid:
    """What of a step of several days falls into this one."""

    def cut(one: Coming) -> Coming:
        share = min(whole_min / likely(one.minutes), 1.0)
        return replace(one.times(share), minutes=whole_min, t90_min=None)

    return replace(each, gases=tuple(map(cut, each.gases)))


def _come(gases: Sequence[Gas], minutes: float) -> list[Coming]:
    """Gases of a step as they come: the mix expected, then the least and the most of each; a peak told is a burst's."""
    sources = [Source(gas.formula, gas.mol.low, gas.mol.likely, gas.mol.high, "") for gas in gases]
    mol = ends(sources, 1)
    found = []
    for formula in mol:
        gas = next(one for one in gases if one.formula == formula)
        rows = np.resize(mol[formula], 3)
        litre = gas.litres.high / gas.mol.high
        t90 = TENTH * gas.litres.high / gas.peak_l_per_min if gas.peak_l_per_min else None
        found.append(Coming(formula, rows, rows * litre, gas.minutes or minutes, t90, 1, 0.0))
    return found


def _say_gases(work: Work, found: Sequence[Coming]) -> None:
    """All of each gas over the day."""
    for gas in dict.fromkeys(one.gas for one in found):
        each = [amounts([one])[gas] for one in found if one.gas == gas]
        low, usual, high = (sum(getattr(mol, end) for mol in each) for end in ("low", "likely", "high"))
        work.gas(gas, Range(low, usual, high), sized_on="all steps together, the route that makes most of it")


def _table(work: Work, laid: Sequence[Laid], trace: Trace, air: Sequence[Breathed], shop: Shop) -> None:
    """Each step's gases: when it begins, and the worst near the pot while it runs."""
    starts = sorted({each.start_min for each in laid if not each.long} | {float(trace.minutes[-1])})
    browned = {gas for gas in trace.ppm if gas == "NO2" and "NO" in trace.ppm}
    rows: list[tuple[str | float | Range, ...]] = []
    for each in laid:
        until = float(trace.minutes[-1]) if each.long else next(at for at in starts if at > each.start_min)
        during = (trace.minutes >= each.start_min) & (trace.minutes <= until)
        own = dict.fromkeys([one.gas for one in each.gases])
        if "NO" in own:
            own |= dict.fromkeys(browned)
        for gas in own:
            litres = next((range_of(one.litres) for one in each.gases if one.gas == gas), Range.point(0.0))
            line = alarm_line(gas, work.place.law)
            near = range_of(shop.mixing * trace.ppm[gas][during].max(axis=0))
            begins = "all day" if each.long else f"{each.start_min / 60:.2g} h"
            rows.append((each.name, begins, gas, litres, near, line[0] if line else "-"))
    work.table("The day", ("step", "begins", "gas", "into the room L", "worst near the pot ppm", "line ppm"), rows)
