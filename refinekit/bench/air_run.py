"""An aerated bath in time: oxygen in, cuprous copper turned back, metal dissolved, acid and water carried off, hour by hour.

Metal goes as fast as there is copper(II) to take it: what the goods expose is not known, so it is not taken to limit. While
there is metal, copper(II) falls no further than the share at which a bath stalls: from there on the metal waits for the air. Each
step is exact for a steady supply; only the acid carried off makes it an approximation, and that loss is small.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from itertools import pairwise
from math import ceil

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.bubbles import Air
from refinekit.bench.place import Place
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.species import molar_mass
from refinekit.chemistry.vapour import hcl_pressure_pa, water_pressure_pa
from refinekit.errors import OutOfRange
from refinekit.facts.load import fact, table
from refinekit.ranges import Number, high
from refinekit.record import record

Array = NDArray[np.float64]
MINUTES_AN_HOUR = 60.0
STEPS_MOST = 336
"""Steps a run takes at most: an hour each up to a fortnight, longer ones from there on."""
ELECTRONS_PER_OXYGEN = 4.0


@record
class Begin:
    """A bath as the air goes on.

    Args:
        volume_l: liquor, held by topping up with water [L]; above 0
        liquor_g: its weight [g]; above 0
        cupric_mol: copper(II) [mol]
        cuprous_mol: copper(I) [mol]
        ferrous_mol: iron(II), turned up last [mol]
        acid_mol: free acid [mol]
        chloride_mol: chloride in all, that of cuprous copper too [mol]
        electrons_mol: what the metal on the goods gives [mol of electrons]
        copper_per_electron: copper that comes with each of them [mol]
    """

    volume_l: Number
    liquor_g: Number
    cupric_mol: Number
    cuprous_mol: Number
    ferrous_mol: Number
    acid_mol: Number
    chloride_mol: Number
    electrons_mol: Number
    copper_per_electron: Number


@record
class Draught:
    """What the air takes along out of each litre.

    Args:
        l_per_min: air through the bath [L/min]
        metal_factor: times plain acid's hydrogen chloride [-]
        percent: strength as plain acid where it was told [% w/w]; None to follow the free acid
        water_activity: activity of the water where it was told [-]; None for plain acid's
    """

    l_per_min: Number
    metal_factor: Number
    percent: Number | None = None
    water_activity: Number | None = None


@dataclass(slots=True, eq=False)
class Levels:
    """A bath at one time or at many.

    Args:
        electrons_mol: metal left, by the electrons it gives [mol]
        cupric_mol, cuprous_mol, ferrous_mol, acid_mol, chloride_mol: the bath [mol]
        oxygen_mol: taken up since the start [mol]
        hcl_mol, water_mol: carried off since the start [mol]
    """

    electrons_mol: Array
    cupric_mol: Array
    cuprous_mol: Array
    ferrous_mol: Array
    acid_mol: Array
    chloride_mol: Array
    oxygen_mol: Array
    hcl_mol: Array
    water_mol: Array

    def row(self) -> list[Array]:
        """The figures as they stand, in the order of the fields."""
        return [getattr(self, one.name).copy() for one in fields(Levels)]


@dataclass(slots=True, eq=False)
class AirRun(Levels):
    """A bath hour by hour; levels are (hours, cases).

    Args:
        minutes: when [min], from 0 (hours,)
        metal_gone_min: when no metal is left, at the soonest [min] (cases,); inf where some stays
        green_min: when all copper is copper(II) again and the metal gone [min]; inf where it is not
        low_acid_min: when the free acid comes under its floor [min]; inf where it does not
    """

    minutes: Array
    metal_gone_min: Array
    green_min: Array
    low_acid_min: Array

    def likely(self, name: str, minutes: Number) -> Array:
        """A figure of the likely case at a time [its unit]; straight between steps."""
        return np.asarray(np.interp(minutes, self.minutes, getattr(self, name)[:, 0]))


def hours_of(minutes: float) -> Array:
    """When a run is looked at [min]: every hour, or every few where it is long, and the end."""
    step = MINUTES_AN_HOUR * max(1, ceil(minutes / MINUTES_AN_HOUR / STEPS_MOST))
    inner = np.arange(0.0, minutes, step)
    return np.append(inner, minutes)


def aired(begin: Begin, air: Air, minutes: float, draught: Draught, place: Place) -> AirRun:
    """Run the air on a bath.

    Args:
        begin: the bath as the air goes on
        air: oxygen it gets
        minutes: how long [min]; above 0
        draught: what the air takes along
        place: the shop's air
    Returns: AirRun; copper, chloride and electrons come out as they went in
    Raises: OutOfRange, no bath or no time
    Source: R2.1, R2.5, R2.2, R2.8; stall and floor in facts/practice/leach.toml; vapour pressures, facts/vapour.toml
    """
    if not np.all(np.greater(begin.volume_l, 0)):
        raise OutOfRange("there is no bath to blow air through", cure="--volume 3 L, or a bath with --pot FILE")
    if not minutes > 0:
        raise OutOfRange(f"{minutes:.4g} minutes of air are none", cure="--running 5d, or leave it out")
    columns = np.broadcast_arrays(*(np.atleast_1d(getattr(begin, one.name)) for one in fields(begin)), *_of(air, draught))
    volume, liquor_g, cupric, cuprous, ferrous, acid, chloride, electrons, copper, supply, litres, factor = (
        column.astype(float) for column in columns
    )
    nothing = np.zeros_like(supply)
    state = Levels(electrons, cupric, cuprous, ferrous, acid, chloride, nothing, nothing.copy(), nothing.copy())
    lines = _Lines(fact("practice/leach.stall").value, copper, fact("practice/leach.free_acid_spent").value * volume)
    vapour = _Vapour(liquor_g, litres, factor, draught, place)
    at = hours_of(minutes)
    rows = [state.row()]
    gone, green, floor = (np.full(supply.shape, np.inf) for _ in range(3))
    gone[electrons <= 0] = 0.0
    least = fact("practice/leach.free_acid_floor").value * volume
    floor[acid < least] = 0.0
    for begins, ends in pairwise(at):
        before = state.acid_mol
        metal, all_done = _step(state, lines, supply * (ends - begins))
        vapour.leaves(state, ends - begins)
        gone = np.minimum(gone, begins + metal * (ends - begins))
        green = np.minimum(green, begins + all_done * (ends - begins))
        crossed = (before >= least) & (state.acid_mol < least)
        share = np.where(crossed, (before - least) / np.where(crossed, before - state.acid_mol, 1.0), np.inf)
        floor = np.minimum(floor, begins + share * (ends - begins))
        rows.append(state.row())
    history = {one.name: np.array([row[column] for row in rows]) for column, one in enumerate(fields(Levels))}
    return AirRun(minutes=at, metal_gone_min=gone, green_min=green, low_acid_min=floor, **history)


def _of(air: Air, draught: Draught) -> tuple[Array, ...]:
    return tuple(np.atleast_1d(one) for one in (air.supply_mol_per_min, draught.l_per_min, draught.metal_factor))


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """What a step is held to: the stalling share of the copper, copper that comes with an electron, acid left unused [mol]."""

    stall: float
    copper_per_electron: Array
    spent_mol: Array


def _step(state: Levels, lines: _Lines, oxygen_mol: Array) -> tuple[Array, Array]:
    """Do one step in place.

    Returns: share of the step after which the metal, and all there was to oxidise, were gone; inf where some was left or
        nothing was there when it began
    """
    stall, copper = lines.stall, lines.copper_per_electron
    acid = np.maximum(state.acid_mol - lines.spent_mol, 0.0)
    most = np.minimum(ELECTRONS_PER_OXYGEN * oxygen_mol, acid)
    there = state.cupric_mol + state.cuprous_mol
    # Cupric copper may fall to the stalling share of all the copper, that of the metal dissolved with it.
    room = np.maximum(state.cupric_mol + most - stall * there, 0.0) / (1 - copper * (1 - stall))
    room = np.where(there > 0, room, 0.0)
    metal = np.minimum(state.electrons_mol, room)
    pool = state.cuprous_mol + metal
    turned = np.minimum(most, pool)
    iron = np.minimum(most - turned, state.ferrous_mol)
    wanted = pool + state.ferrous_mol
    gone = (state.electrons_mol > 0) & (room >= state.electrons_mol)
    metal_share = np.where(gone, metal / np.where(gone, room, 1.0), np.inf)
    finished = (wanted > 0) & (most >= wanted) & (metal >= state.electrons_mol)
    all_share = np.where(finished, wanted / np.where(finished, most, 1.0), np.inf)
    state.electrons_mol = state.electrons_mol - metal
    state.cuprous_mol = pool - turned
    state.cupric_mol = state.cupric_mol + turned - metal + copper * metal
    state.ferrous_mol = state.ferrous_mol - iron
    state.acid_mol = state.acid_mol - turned - iron
    state.oxygen_mol = state.oxygen_mol + (turned + iron) / ELECTRONS_PER_OXYGEN
    return metal_share, all_share


class _Vapour:
    """Hydrogen chloride and water that leave with the air, from the strength of each moment."""

    def __init__(self, liquor_g: Array, litres_per_min: Array, factor: Array, draught: Draught, place: Place) -> None:
        self.per_mol = 100 * molar_mass("HCl") / liquor_g
        self.air_mol_per_min = litres_per_min / molar_volume_l(place.temperature_k, place.pressure_pa)
        self.factor, self.told, self.pascal = factor, draught, place.pressure_pa
        # The table's own rows, so that nothing is lost by reading between ours.
        self.percent = np.array([row["percent"] for row in table("vapour")["hydrogen_chloride"]["rows"]], dtype=float)
        self.percent = self.percent[self.percent <= fact("vapour.strongest").value]
        self.scaled = np.log(hcl_pressure_pa(self.percent, place.temperature_k) / self.percent**2)
        self.wet = np.append(0.0, self.percent)
        self.steam = np.log(water_pressure_pa(self.wet, place.temperature_k))

    def leaves(self, state: Levels, minutes: float) -> None:
        """Take it out of the state in place; no more acid than there is."""
        percent = self.per_mol * state.acid_mol if self.told.percent is None else np.asarray(self.told.percent)
        percent = np.clip(percent, 0.0, self.percent[-1])
        hcl = np.exp(np.interp(percent, self.percent, self.scaled)) * percent**2 * self.factor
        if self.told.water_activity is None:
            steam = np.exp(np.interp(percent, self.wet, self.steam))
        else:
            steam = self.told.water_activity * np.exp(self.steam[0])
        air = self.air_mol_per_min * minutes
        lost = np.minimum(air * hcl / np.maximum(self.pascal - hcl, 1.0), state.acid_mol)
        state.acid_mol = state.acid_mol - lost
        state.chloride_mol = state.chloride_mol - lost
        state.hcl_mol = state.hcl_mol + lost
        state.water_mol = state.water_mol + air * steam / np.maximum(self.pascal - steam, 1.0)


def least_chloride_over(run: AirRun, per_cuprous: float) -> float:
    """Chloride short of what the cuprous copper of any moment needs to stay dissolved, worst case [mol]; 0 where it is enough."""
    return max(high(per_cuprous * run.cuprous_mol - run.chloride_mol), 0.0)
