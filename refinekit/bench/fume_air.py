"""Air as sums: rooms closed and with a fan, bursts, dilution air, hoods, airing out.

Litres and minutes for gas, cubic metres for rooms and fans. A room is taken as fully mixed; near the pot it is worse.
"""

from __future__ import annotations

import numpy as np

from refinekit.errors import OutOfRange
from refinekit.ranges import Number, likely, low

LITRES_PER_M3 = 1000
PER_MILLION = 1e6
TENTH = float(np.log(10))
"""Rate constant of a burst times the time in which nine tenths of it are off."""


def peak_l_per_min(gas_l: Number, t90_min: Number) -> Number:
    """Most gas at once of a burst that falls off as a first-order reaction.

    Args:
        gas_l: all its gas [L]; 0 and up
        t90_min: time in which nine tenths are off [min]; above 0
    Returns: rate at its start [L/min]
    Raises: OutOfRange, no time

    >>> peak_l_per_min(1.242, 10)
    0.286
    """
    _above_zero(t90_min, "a burst takes some time", "give the time nine tenths take, as in 10 min")
    peak: Number = TENTH * gas_l / t90_min
    return peak


def closed_room_ppm(gas_l: Number, room_m3: Number) -> Number:
    """Gas in a closed room, fully mixed.

    Args:
        gas_l: gas [L]; 0 and up
        room_m3: room [m3]; above 0
    Returns: parts per million by volume [ppm]
    Raises: OutOfRange, no room

    >>> closed_room_ppm(3.72633, 40)
    93.16
    """
    _above_zero(room_m3, "a room has a volume", "give it, as in 40 m3")
    return gas_l / (room_m3 * LITRES_PER_M3) * PER_MILLION


def fanned_room_ppm(
    gas_l_per_min: Number, fan_m3_per_min: Number, room_m3: Number | None = None, minutes: Number = np.inf
) -> Number:
    """Gas in a room whose fan runs, fully mixed, after it has come evenly for some time.

    Args:
        gas_l_per_min: gas [L/min]; 0 and up
        fan_m3_per_min: what the fan draws [m3/min]; above 0
        room_m3: room [m3]; None where only the steady figure is wanted
        minutes: how long the gas has come [min]; left out, for ever
    Returns: parts per million by volume [ppm]
    Raises: OutOfRange, no fan
    Source: room balance, C = G/Q (1 - exp(-Q t/V))

    >>> fanned_room_ppm(0.0736665, 12, 35, 20)
    6.132
    """
    _above_zero(fan_m3_per_min, "the fan draws nothing", "give what it draws, as in 12 m3/min, or leave it out")
    steady = gas_l_per_min / (fan_m3_per_min * LITRES_PER_M3) * PER_MILLION
    if room_m3 is None:
        return steady
    return steady * -np.expm1(-fan_m3_per_min * minutes / room_m3)


def burst_in_fanned_room_ppm(gas_l: Number, t90_min: Number, fan_m3_per_min: Number, room_m3: Number) -> Number:
    """Most gas that a burst makes in a room whose fan runs, fully mixed.

    Args:
        gas_l: all its gas [L]; 0 and up
        t90_min: time in which nine tenths are off [min]; above 0
        fan_m3_per_min: what the fan draws [m3/min]; above 0
        room_m3: room [m3]; above 0
    Returns: parts per million by volume at the worst moment [ppm]
    Raises: OutOfRange, no time, fan or room
    Source: room balance with a source falling off as exp(-k t)
    """
    for value, fault, cure in (
        (t90_min, "a burst takes some time", "give the time nine tenths take"),
        (fan_m3_per_min, "the fan draws nothing", "give what it draws"),
        (room_m3, "a room has a volume", "give it, as in 40 m3"),
    ):
        _above_zero(value, fault, cure)
    comes, goes = TENTH / np.asarray(t90_min), fan_m3_per_min / np.asarray(room_m3)
    ratio = comes / goes
    alike = np.abs(ratio - 1) < 1e-6
    safe = np.where(alike, 2.0, ratio)
    # A source exp(-k t) in a room that clears as exp(-q t) peaks at (k/q)^(-q/(k-q)) of the closed room's figure; 1/e for k = q.
    share = np.where(alike, np.exp(-1.0), safe ** (-1 / (safe - 1)))
    most = closed_room_ppm(gas_l, room_m3) * share
    return most if np.ndim(most) else float(most)


def dilution_air_m3_per_min(gas_l_per_min: Number, limit_ppm: Number, mixing: Number = 1.0, outside_ppm: Number = 0.0) -> Number:
    """Air that keeps gas at a limit.

    Args:
        gas_l_per_min: gas [L/min]; 0 and up
        limit_ppm: limit [ppm]; above what the air brings along
        mixing: how much worse the air near the pot is than a fully mixed room [-]; 1 to 10
        outside_ppm: the same gas in the air that comes in [ppm]
    Returns: air [m3/min]
    Raises: OutOfRange, the air that comes in is at the limit already
    Source: Q = G K / C, ACGIH Industrial Ventilation

    >>> dilution_air_m3_per_min(0.0621055, 25, 5)
    12.42
    """
    spare = np.asarray(limit_ppm) - outside_ppm
    _above_zero(spare, "air that brings the limit along dilutes nothing", "give a limit above what is outside")
    air: Number = gas_l_per_min * mixing / limit_room(limit_ppm, outside_ppm) / LITRES_PER_M3
    return air


def limit_room(limit_ppm: Number, outside_ppm: Number = 0.0) -> Number:
    """Share of the air that the gas may still take up [-]."""
    return (limit_ppm - outside_ppm) / PER_MILLION


def minutes_to_ppm(target_ppm: Number, gas_l_per_min: Number, room_m3: Number, fan_m3_per_min: Number = 0.0) -> Number:
    """Minutes until gas that comes evenly reaches a figure, fully mixed.

    Args:
        target_ppm: the figure [ppm]; above 0
        gas_l_per_min: gas [L/min]; above 0
        room_m3: room or headspace [m3]; above 0
        fan_m3_per_min: what is drawn out [m3/min]; 0 for closed
    Returns: time [min]; infinite where the fan keeps it under
    Raises: OutOfRange, no gas or no room
    Source: room balance solved for the time

    >>> minutes_to_ppm(40000, 0.5, 0.1)
    8.0
    """
    _above_zero(gas_l_per_min, "no gas comes", "give the gas and its minutes")
    _above_zero(room_m3, "a room has a volume", "give it, as in 40 m3")
    room_l, drawn = np.asarray(room_m3) * LITRES_PER_M3, np.asarray(fan_m3_per_min) * LITRES_PER_M3
    part = target_ppm / PER_MILLION
    reached = part * drawn / gas_l_per_min
    kept_under = reached >= 1
    safe = np.where(kept_under | (drawn <= 0), 0.5, reached)
    fanned = -room_l / np.where(drawn > 0, drawn, 1.0) * np.log1p(-safe)
    found = np.where(drawn > 0, np.where(kept_under, np.inf, fanned), part * room_l / gas_l_per_min)
    return found if np.ndim(found) else float(found)


def airing_minutes(room_m3: Number, fan_m3_per_min: Number, share_left: Number) -> Number:
    """Minutes to air a room out, once nothing more comes, fully mixed.

    Args:
        room_m3: room [m3]; above 0
        fan_m3_per_min: what is drawn out [m3/min]; above 0
        share_left: share of the gas that may stay [-]; above 0 to 1
    Returns: time [min]
    Raises: OutOfRange, no fan or no share
    Source: purge equation, t = V/Q ln(C0/C)

    >>> airing_minutes(20000, 600, 0.1)
    76.75
    """
    _above_zero(fan_m3_per_min, "the fan draws nothing", "give what it draws, as in 12 m3/min")
    _above_zero(share_left, "no fan airs a room out to nothing", "give a share that may stay, as in 0.01")
    minutes: Number = room_m3 / fan_m3_per_min * np.log(1 / np.minimum(share_left, 1.0))
    return minutes


def fan_by_airing(room_m3: Number, minutes: Number, share_left: Number) -> Number:
    """What a fan really draws, by how long smoke takes to thin: `airing_minutes` solved for the fan.

    Args:
        room_m3: room [m3]; above 0
        minutes: time taken [min]; above 0
        share_left: share left then [-]; above 0, under 1
    Returns: flow [m3/min]
    Raises: OutOfRange, no time
    Source: purge equation, Q = V/t ln(C0/C)

    >>> fan_by_airing(20, 84, 0.5)
    0.165
    """
    _above_zero(minutes, "airing takes some time", "give it, as in 15 min")
    return airing_minutes(room_m3, minutes, share_left)


def hood_m3_per_min(width_m: Number, height_m: Number, face_m_per_s: Number) -> Number:
    """Air a hood draws: opening times speed.

    Args:
        width_m: opening [m]; above 0
        height_m: opening [m]; above 0
        face_m_per_s: speed of the air in it [m/s]; above 0
    Returns: flow [m3/min]

    >>> hood_m3_per_min(0.9, 0.6, 0.5)
    16.2
    """
    return width_m * height_m * face_m_per_s * 60


def room_m3(length_m: Number, width_m: Number, height_m: Number) -> Number:
    """Volume of a room by the tape [m3]; a tape is good to 5 % of it.

    Args:
        length_m, width_m, height_m: its sides [m]; above 0

    >>> room_m3(4.0, 3.0, 2.5)
    30.0
    """
    return length_m * width_m * height_m


def _above_zero(value: Number, fault: str, cure: str) -> None:
    if not low(value) > 0:
        raise OutOfRange(f"{fault}: {likely(value):.4g} was given", cure=cure)
