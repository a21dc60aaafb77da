"""The shop's air and room, from what was told of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from refinekit.bench.fields import Field
from refinekit.bench.place import Place
from refinekit.chemistry.gas import pressure_at_altitude
from refinekit.ranges import likely
from refinekit.shop.ask import Told, listen


def place_of(fields: Sequence[Field], texts: Mapping[str, object], *, label: Callable[[str], str]) -> tuple[Place, Told]:
    """The place told of; what was not told stays as a bench at 25 degC and one atmosphere.

    Args:
        fields: what may be told of a place
        texts: by field name, as typed; None for not told
        label: how a field is called in messages
    Returns: the place, and what was read (its faults, its assumptions)
    """
    told = listen(fields, texts, label=label)
    usual = Place()
    figures = {arg: figure.likely for arg, figure in told.figures.items()}
    pressure_pa = figures.get("pressure_pa")
    if pressure_pa is None and "altitude_m" in figures:
        pressure_pa = likely(pressure_at_altitude(figures["altitude_m"]))
    if "temperature_k" not in figures:
        told.assumed.append("air at 25 degC")
    if pressure_pa is None:
        told.assumed.append("air at one atmosphere")
    place = Place(
        temperature_k=figures.get("temperature_k", usual.temperature_k),
        pressure_pa=usual.pressure_pa if pressure_pa is None else pressure_pa,
        room_m3=figures["room_l"] / 1000 if "room_l" in figures else None,
        fan_m3_per_min=figures.get("fan_l_per_min", 0.0) / 1000,
        hood=bool(told.plain.get("hood", False)),
        outdoors=bool(told.plain.get("outdoors", False)),
        law=str(told.plain.get("law", usual.law)),
        mixing=figures.get("mixing"),
    )
    return place, told
