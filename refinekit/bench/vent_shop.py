"""The air the gas comes into: the room as told or stood in for, what fan, hood and gaps take out, what the hood lets in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from refinekit.bench.fume_room import room_of
from refinekit.bench.vent_hood import duct, hood
from refinekit.bench.vent_time import Breath
from refinekit.bench.work import Work
from refinekit.chemistry.nitric_oxide import browning_per_ppm_min
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, Range, high, likely, low
from refinekit.record import record

MINUTES_PER_HOUR = 60
SIDES = ("room_length_m", "room_width_m", "room_height_m")


@record
class Shop:
    """The air of a shop.

    Args:
        room_m3: room [m3]
        out: what goes out of it over the cases as told [m3/min]
        mixing: how much worse the air near the pot is [-]
        lets_out: share of the gas that gets into the room: least, likely, most [-]; all of it where there is no hood
        hooded: whether there is a hood
        browning: how fast nitric oxide turns [1/(ppm min)]
    """

    room_m3: float
    out: Number
    mixing: float
    lets_out: Range
    hooded: bool
    browning: float

    @property
    def breath(self) -> Breath:
        """The air as it is walked through, at the least that is drawn."""
        return Breath(self.room_m3, low(self.out), self.browning)


def refuse_half_told(told: Mapping[str, Any], *, outdoors: bool) -> None:
    """Refuse an opening or a room with a side missing, and wind indoors. Raises: CannotFollow."""
    for what, sides in (("a hood's opening", ("hood_width_m", "hood_height_m")), ("a room by the tape", SIDES)):
        missing = [f"--{side.removesuffix('_m').replace('_', '-')}" for side in sides if side not in told]
        if 0 < len(missing) < len(sides):
            raise CannotFollow(
                f"{what} has all its sides, and {' and '.join(missing)} was not told", cure=f"give {missing[0]} 0.6m"
            )
    if "wind_m_per_s" in told and not outdoors:
        raise CannotFollow("wind was told, but not that it is done outdoors", cure="add --outdoors, or tell --fan for a room")


def shop_of(work: Work, told: Mapping[str, Any]) -> Shop:
    """The air of the shop; says what was not told and what it stands at then.

    Args:
        work: the step
        told: may hold the room by the tape, `air_changes`, the hood, `hood_lets_out`
    """
    refuse_half_told(told, outdoors=work.place.outdoors)
    room = room_of(work, told)
    volume = room.volume_m3
    if volume is None and not work.place.outdoors:
        volume = likely(work.default(None, "practice/vent.room.stands_in", "room, as none was told"))
        work.say("the room", f"none was told: these figures are for {volume:g} m3; measure it and tell --room")
    flow = hood(work, told)
    if flow is not None:
        duct(work, flow)
    hooded = work.place.hood or flow is not None
    gaps = low(told.get("air_changes", 0.0)) * (0.0 if volume is None else volume) / MINUTES_PER_HOUR
    out = room.fan + gaps + (low(flow) if flow is not None else 0.0)
    if not out and not work.place.outdoors:
        work.say("the room", "no fan, hood or draught was told: these figures are for it closed, where nothing carries gas off")
    speed = likely(browning_per_ppm_min(work.place.temperature_k, work.place.pressure_pa))
    return Shop(volume or 0.0, out, room.mixing, _lets_out(work, told, hooded), hooded, speed)


def _lets_out(work: Work, told: Mapping[str, Any], hooded: bool) -> Range:
    """What a hood lets out; without a hood, all of it."""
    if not hooded:
        return Range.point(1.0)
    given = told.get("hood_lets_out")
    if given is not None:
        return Range(low(given), likely(given), high(given))
    span = work.fact("practice/vent.hood.lets_out").range
    work.assume(f"the hood lets {100 * span.low:g}/{100 * span.likely:g}/{100 * span.high:g} % of the fume out into the room")
    return span
