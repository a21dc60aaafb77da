"""Fume: what gas a step gives, how fast, and what the room, the fan or the hood makes of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Unpack

from refinekit.bench.fields import Room, refuse_strange
from refinekit.bench.fume_fields import FIELDS, FumeTold
from refinekit.bench.fume_gas import LEAVES, sources
from refinekit.bench.fume_limits import Limit, alarm_line, gas_called, known_gases, limits, short_limit
from refinekit.bench.fume_room import NITROGEN_OXIDES, Reading, foam, read_gas, room_of, verdict
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.bench.vent_hood import hood
from refinekit.bench.work import Work
from refinekit.ranges import Number, Range, high


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Unpack[FumeTold]) -> Step:
    """Set a gas against the air.

    Args:
        pots: pots whose dissolved gas may leave, where nothing else is told
        place: the shop: its air, room, fan, mixing and law
        told: what gives the gas, how fast, the hood, see FIELDS
    Returns: Step with gases, and answers by gas (`nitrogen_dioxide_litres`, `..._peak`, `..._room_closed`) and the
        hood; the verdict under its heading; the pots as they were, since this only reckons
    Raises: CannotFollow, nothing that gives gas; UnknownName, a gas nobody keeps limits of
    Source: room balances of refinekit.bench.fume_air; limits of facts/exposure.toml
    """
    refuse_strange("fume", told, FumeTold.__annotations__.keys())
    if "gas" in told:
        told["gas"] = gas_called(told["gas"])
    work = Work("fume", place=place)
    found = sources(work, told, tuple(pots))
    room = room_of(work, told)
    readings = [read_gas(work, told, one, room) for one in found]
    foam(work, told, readings)
    hood_flow = hood(work, told)
    _table(work, readings, hood_flow)
    _say(work, readings)
    title = ", ".join(f"{one.formula} up to {one.litres.high:.3g} L" for one in readings)
    return replace(work.done(None, title=title), pots=tuple(pots), of_air=True)


def _table(work: Work, readings: Sequence[Reading], hood_flow: Number | None) -> None:
    drawn: float | str = "-" if hood_flow is None else high(hood_flow)
    rows: list[tuple[str | float | Range, ...]] = [
        (one.formula, one.litres.low, one.litres.high, *(_shown(x) for x in (one.peak, one.ppm, one.limit)), drawn)
        for one in readings
    ]
    work.table("fume", ("gas", "low L", "high L", "peak L/min", "room ppm", "limit ppm", "hood m3/min"), rows)


def _shown(figure: float | None) -> str | float:
    return "-" if figure is None else figure


def _say(work: Work, readings: list[Reading]) -> None:
    line = verdict(work, readings)
    where = "in the hood" if work.place.hood else "outdoors" if work.place.outdoors else ""
    work.say("verdict", f"{where}; in a room it would be {line}" if where else line)
    if line.startswith("stop"):
        work.say("do instead", "hood, or outdoors and upwind, with a scrubber; smaller portions; never alone")
    own, brown = (alarm_line(gas, work.place.law) for gas in NITROGEN_OXIDES)
    if any(one.formula == "NO" for one in readings) and own and brown:
        work.say(
            "limits",
            f"nitric oxide by itself against {own[0]:g} ppm ({own[1]}); it turns to nitrogen dioxide in the air: that against"
            f" {brown[0]:g} ppm ({brown[1]})",
        )
    if any(one.formula in NITROGEN_OXIDES for one in readings):
        first, last = (work.fact(f"exposure.reading.nox_{end}_sign").value for end in ("first", "last"))
        work.say(
            "watch for",
            f"lungs fill {first:g} to {last:g} h after brown fume, without warning: a doctor the same day, even if well",
        )
    if any(one.formula in ("NO2", "Cl2", "SO2", "HCl") for one in readings):
        work.say("watch for", "heavier than air: it pools in pits and low corners")


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """The pots whose dissolved gas may leave; they come back as they were."""
    return tuple(pot for pot in pots if any(high(pot.mol(gas)) > 0 for gas in LEAVES))


ROOM = Room(
    "fume",
    run,
    FIELDS,
    choose,
    'refinekit fume --gold 10g --time 20min --room 40m3 --fan "12 m3/min" --hood-width 0.9m --hood-height 0.6m',
    draws=True,
    days=True,
)
"""The verb of fume."""

__all__ = ["LEAVES", "ROOM", "Limit", "alarm_line", "choose", "known_gases", "limits", "run", "short_limit"]
