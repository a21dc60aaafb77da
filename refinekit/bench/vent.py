"""Vent: what the air of a room holds in time, when it is fit to enter again, and how much at once a room bears."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from refinekit.bench.fields import Field, Room, refuse_strange
from refinekit.bench.fume import choose
from refinekit.bench.fume_fields import GIVES, HOOD, PACE, TAPE
from refinekit.bench.fume_gas import sources
from refinekit.bench.fume_limits import gas_called
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.bench.vent_come import Coming, coming, through_hood
from refinekit.bench.vent_most import most_at_once, say_most
from refinekit.bench.vent_read import breathed, times_of_limits, walked
from refinekit.bench.vent_say import amounts, draw, say_after, say_air, say_dilution, say_limits, say_now, say_verdict
from refinekit.bench.vent_shop import Shop, shop_of
from refinekit.bench.vent_wind import outdoors, times_downwind
from refinekit.bench.work import Work
from refinekit.ranges import likely, low

FIELDS = (
    *GIVES,
    *PACE,
    Field("hot", "flag", "", "hot acid on fine metal: the fume comes in a quarter of the time"),
    Field("how-much", "flag", "", "the other way round: how much of it at once the air bears"),
    Field("since", "time", "min", "time since it began, for what the room holds now"),
    *TAPE,
    Field("air-changes", "count", "", "times an hour the air changes by itself, through gaps", highest=100.0),
    *HOOD,
    Field("hood-lets-out", "share", "", "share of the fume that the hood lets out into the room", highest=1.0),
    Field("wind", "speed", "m/s", "wind, where it is done outdoors", above_zero=True),
)
"""The fields of vent."""
ARGUMENTS = {field.arg for field in FIELDS}


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Any) -> Step:
    """Reckon the air of a room minute by minute.

    Args:
        pots: pots whose dissolved gas may leave, where nothing else is told
        place: the shop: its air, room, fan, mixing, hood and law
        told: what gives the gas and how fast, the hood, and what is asked, see FIELDS
    Returns: Step with gases, figures by gas (`nitrogen_dioxide_peak_near`, ...), the limits, the curve and the verdict; the pots
        as they were, since this only reckons
    Raises: CannotFollow, nothing that gives gas; UnknownName, a gas nobody keeps limits of
    Source: room balance in time, refinekit.bench.vent_time; browning of nitric oxide, facts/nitric_oxide.toml
    """
    refuse_strange("vent", told, ARGUMENTS)
    if "gas" in told:
        told["gas"] = gas_called(told["gas"])
    work = Work("vent", place=place)
    found = coming(work, told, sources(work, told, tuple(pots)))
    shop = shop_of(work, told)
    title = _outdoors(work, told, found) if work.place.outdoors else _in_a_room(work, told, found, shop)
    return replace(work.done(None, title=title), pots=tuple(pots), of_air=True)


def _in_a_room(work: Work, told: Mapping[str, Any], found: list[Coming], shop: Shop) -> str:
    """The room in time; gives the title."""
    law, done = work.place.law, ""
    into = through_hood(found, shop.lets_out)
    if told.get("how_much", False):
        share = most_at_once(
            lambda share: times_of_limits(breathed(walked([one.times(share) for one in into], shop), shop, law), law),
            len(into[0].mol),
        )
        done = f"at most {' and '.join(say_most(work, told, share))} at once: "
        found, into = ([one.times(low(share)) for one in each] for each in (found, into))
    _gases(work, found)
    since = likely(told["since_s"]) / 60 if "since_s" in told else None
    trace = walked(into, shop, since)
    air = breathed(trace, shop, law)
    say_verdict(work, air, shop)
    say_air(work, air, trace, shop)
    if since is not None:
        say_now(work, trace, shop, since)
    if not shop.hooded:
        say_dilution(work, found, air, shop)
    say_limits(work, air, law)
    say_after(work, trace.ppm)
    draw(work, trace, air, shop, max(piece.over_min() for one in into for piece in one.pieces()))
    where = f"{shop.room_m3:g} m3, {shop.out:.3g} m3/min out" if low(shop.out) > 0 else f"closed {shop.room_m3:g} m3"
    return f"{done}{_title(found)} in {where}{', hood' if shop.hooded else ''}"


def _outdoors(work: Work, told: Mapping[str, Any], found: list[Coming]) -> str:
    """Downwind bounds; gives the title."""
    done = ""
    if told.get("how_much", False):
        share = most_at_once(lambda share: times_downwind(work, told, [one.times(share) for one in found]), len(found[0].mol))
        done = f"at most {' and '.join(say_most(work, told, share))} at once: "
        found = [one.times(low(share)) for one in found]
    _gases(work, found)
    say_after(work, outdoors(work, told, found))
    return f"{done}{_title(found)} outdoors"


def _title(found: Sequence[Coming]) -> str:
    return ", ".join(f"{one.gas} up to {float(np.max(one.litres)):.3g} L" for one in found)


def _gases(work: Work, found: Sequence[Coming]) -> None:
    """The gases, with their time and the burst that has the same peak."""
    for one in found:
        mol, peak = amounts([one])[one.gas], float(one.peak_l_per_min().max())
        equal = np.log(10) * float(one.litres.max()) / peak if peak > 0 else None
        work.gas(one.gas, mol, minutes=float(np.max(one.minutes)), t90_min=equal, sized_on="the route that makes most of it")


ROOM = Room(
    "vent",
    run,
    FIELDS,
    choose,
    "refinekit vent --gold 8g --hot --time 20min --room 45m3 --hood-width 0.9m --hood-height 0.5m",
    draws=True,
)
"""The verb of vent."""
