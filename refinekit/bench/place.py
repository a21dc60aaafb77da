"""Where the work is done: the air, the room, and what carries fume away."""

from __future__ import annotations

from dataclasses import field

from refinekit.facts.load import fact
from refinekit.record import record

LAWS = ("us", "eu", "uk", "none")


def shop_temperature_k() -> float:
    """Temperature of a shop where none was told [K]."""
    return fact("constants.shop_temperature").value


def standard_pressure_pa() -> float:
    """Air pressure where neither altitude nor barometer was told [Pa]."""
    return fact("constants.standard_pressure").value


@record
class Place:
    """The shop as gas and lungs see it.

    Args:
        temperature_k: air temperature [K]
        pressure_pa: air pressure [Pa]
        room_m3: volume of the room [m3]; None where it was not told
        fan_m3_per_min: what the room's fan draws out [m3/min]; 0 for none
        hood: whether there is a working hood with its sash down
        outdoors: whether the work is done in the open air
        law: which limits are shown: us, eu, uk or none
        mixing: how much worse the air near the pot is than a fully mixed room [-]; None for the usual figure
    """

    temperature_k: float = field(default_factory=shop_temperature_k)
    pressure_pa: float = field(default_factory=standard_pressure_pa)
    room_m3: float | None = None
    fan_m3_per_min: float = 0.0
    hood: bool = False
    outdoors: bool = False
    law: str = "us"
    mixing: float | None = None

    @property
    def indoors_without_exhaust(self) -> bool:
        """Whether fume would stay where people breathe: a room told of, no hood, no fan."""
        return not self.outdoors and not self.hood and not self.fan_m3_per_min
