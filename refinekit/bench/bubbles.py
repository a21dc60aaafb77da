"""Air through a bath: oxygen it gives, time it takes, and what it takes along. Sums shared by the leach and by air alone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypedDict

import numpy as np

from refinekit.bench.fields import Field
from refinekit.bench.place import Place
from refinekit.bench.work import Work
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass, parse
from refinekit.chemistry.vapour import CarriedOff, beside_copper, carried_off, water_pressure_pa
from refinekit.errors import OutOfRange
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, high, likely, low
from refinekit.record import record

MINUTES_A_DAY = 24 * 60
CM2_PER_M2 = 1e4
LITRES_PER_M3 = 1000.0


class AeratedTold(TypedDict, total=False):
    """What may be told of the air on a bath, by any room that has one: one entry a field of AIR_FIELDS, in base units."""

    air_l_per_min: Number
    depth_m: Number
    stone: bool
    transfer: Number
    pump_share: Number
    surface_cm2: Number
    film_m_per_s: Number
    oxygen_held_g_per_l: Number
    within_s: Number
    plain_acid: Solution
    carry_times: Number
    water_activity: Number
    running_s: Number


# ---- oxygen
def oxygen_bubbled(air_l_per_min: Number, depth_m: Number, transfer: Number, place: Place) -> Number:
    """Oxygen a pump puts into a bath.

    Args:
        air_l_per_min: free air at the shop's temperature and pressure [L/min]; 0 and up
        depth_m: outlet under the surface [m]; 0 and up
        transfer: share of the oxygen taken up per metre [1/m]; 0 and up
        place: the shop's air
    Returns: supply [mol/min]
    Raises: OutOfRange, more taken up than is there
    Source: pump / molar volume x 0.2095 x transfer x depth; facts/constants.toml
    """
    share = transfer * depth_m
    if high(share) > 1:
        raise OutOfRange(
            f"{100 * high(share):.4g} % of the oxygen cannot be taken up",
            cure="depths of a bucket are 0.1 to 0.4 m, transfer 2 to 9 % per metre",
        )
    air_mol = air_l_per_min / molar_volume_l(place.temperature_k, place.pressure_pa)
    return air_mol * fact("constants.oxygen_in_air").value * share


def oxygen_held(pressure_pa: Number, temperature_k: Number) -> Number:
    """Share of what water holds of oxygen under one atmosphere that it holds under the shop's air.

    Args:
        pressure_pa: barometric pressure, no sea-level figure [Pa]; above that of water's vapour
        temperature_k: temperature of the water [K]
    Returns: share [-]; 1 under one atmosphere, a little less than the pressure's own share up a hill
    Source: Henry's law on dry air over water: (P - pw) / (P0 - pw), Standard Methods 4500-O; vapour, facts/vapour.toml

    >>> oxygen_held(101325.0, 298.15)
    1.0
    """
    vapour = water_pressure_pa(0.0, temperature_k)
    share: Number = (pressure_pa - vapour) / (fact("constants.standard_pressure").value - vapour)
    return share


def oxygen_by_surface(surface_cm2: Number, film_m_per_s: Number, place: Place, held_g_per_l: Number | None = None) -> Number:
    """Oxygen that goes in through the open top of a bath.

    A bath colder than 25 C holds more and takes it up slower, a warmer one the other way round, so that neither is followed.

    Args:
        surface_cm2: open surface [cm2]; 0 and up
        film_m_per_s: liquid film coefficient [m/s]
        place: the shop's air
        held_g_per_l: oxygen the bath holds under that air, where it is known [g/L]
    Returns: supply [mol/min]
    Source: kL x C* x area, C* by the pressure of the air; facts/practice/air.toml
    """
    if held_g_per_l is None:
        held = fact("practice/air.oxygen_solubility").value * oxygen_held(place.pressure_pa, place.temperature_k)
    else:
        held = held_g_per_l / molar_mass("O2") * LITRES_PER_M3
    return film_m_per_s * held * surface_cm2 / CM2_PER_M2 * 60


def oxygen_for(metals_mol: Mapping[str, Number]) -> Number:
    """Oxygen an aerated bath needs for the metals it dissolves, no hydrogen being made.

    Args:
        metals_mol: by symbol [mol]: Cu, Ni, Zn, Pb half a mole, Sn one, Fe three quarters, Ag and "Cu(I)" and "Fe(II)" a quarter
    Returns: oxygen [mol]
    Source: a quarter of the electrons: R2.3, R2.4, R2.10, R2.12, R2.14, R2.38, R2.39, R2.2, R2.8
    """
    return sum((OXYGEN_PER_MOL[metal] * mol for metal, mol in metals_mol.items()), 0.0)


OXYGEN_PER_MOL = {"Cu": 0.5, "Ni": 0.5, "Zn": 0.5, "Pb": 0.5, "Sn": 1.0, "Fe": 0.75, "Ag": 0.25, "Cu(I)": 0.25, "Fe(II)": 0.25}
"""Moles of oxygen to a mole of metal: a quarter of the electrons it gives."""


@record
class Air:
    """The air on a bath.

    Args:
        l_per_min: air the outlet gives [L/min]
        depth_m: of the outlet [m]
        transfer: share of the oxygen taken up per metre [1/m]
        bubbled_mol_per_min: oxygen by the pump [mol/min]
        surface_mol_per_min: oxygen by the open top [mol/min]
    """

    l_per_min: Number
    depth_m: Number
    transfer: Number
    bubbled_mol_per_min: Number
    surface_mol_per_min: Number

    @property
    def supply_mol_per_min(self) -> Number:
        """Oxygen in all [mol/min]."""
        return self.bubbled_mol_per_min + self.surface_mol_per_min


def air_of(work: Work, told: Mapping[str, Any]) -> Air:
    """The air that was told of: pump, depth, tube or stone, open top.

    Args:
        work: the step, for its place and what is assumed
        told: figures by the names of AIR_FIELDS
    Returns: Air; of nothing where neither pump nor surface was told
    """
    pump = told.get("air_l_per_min")
    depth: Number = 0.0
    transfer: Number = 0.0
    if pump is not None or told.get("within_s") is not None:
        depth = work.default(told.get("depth_m"), "practice/air.depth", "depth of the air outlet")
        kind = "fine_stone" if told.get("stone") else "open_tube"
        transfer = work.default(told.get("transfer"), f"practice/air.{kind}", "oxygen taken up per metre")
    flow: Number = 0.0 if pump is None else pump
    if pump is not None and told.get("pump_share") is None:
        work.assume("the pump gives the air its label says")
    flow = flow * told.get("pump_share", 1.0)
    surface = told.get("surface_cm2")
    through_top: Number = 0.0
    if surface is not None:
        film = work.default(told.get("film_m_per_s"), "practice/air.film", "oxygen film of the open surface")
        held = told.get("oxygen_held_g_per_l")
        if held is None:
            work.fact("practice/air.oxygen_solubility")
        through_top = oxygen_by_surface(surface, film, work.place, held)
    return Air(flow, depth, transfer, oxygen_bubbled(flow, depth, transfer, work.place), through_top)


def minutes_for(demand_mol: Number, air: Air) -> Number:
    """Time a supply of oxygen takes for a demand.

    Args:
        demand_mol: oxygen wanted [mol]; 0 and up
        air: the air on the bath, with some supply
    Returns: time [min]
    Source: demand over supply; good to a factor of two
    """
    return demand_mol / air.supply_mol_per_min


def pump_for(demand_mol: Number, minutes: Number, air: Air, place: Place) -> Number:
    """Pump that meets a demand in a time, open top counted.

    Args:
        demand_mol: oxygen wanted [mol]
        minutes: in this time [min]; above 0
        air: depth, transfer and open top
        place: the shop's air
    Returns: free air [L/min]; 0 where the open top is enough
    Raises: OutOfRange, an outlet that gives up no oxygen
    Source: the sum of `oxygen_bubbled` turned round
    """
    one = oxygen_bubbled(1.0, air.depth_m, air.transfer, place)
    if low(one) <= np.finfo(float).eps ** 2:
        raise OutOfRange(
            "air that gives up no oxygen can be pumped for ever", cure="--depth 18 cm, and 2 to 9 % taken up per metre"
        )
    return np.maximum(demand_mol / minutes - air.surface_mol_per_min, 0.0) / one


def answer_time(work: Work, demand_mol: Number, air: Air, told: Mapping[str, Any]) -> Number | None:
    """Answer with oxygen, days and pump.

    Args:
        work: the step
        demand_mol: oxygen wanted [mol]
        air: the air on the bath
        told: may hold `within_s`, the time wanted
    Returns: minutes it takes; None where there is no air
    """
    work.answer(
        "oxygen", demand_mol, "mol", sized_on="high metal for the days", because="a quarter of the electrons of the metals"
    )
    work.answer("oxygen_mass", demand_mol * molar_mass("O2"), "g")
    litres = molar_volume_l(work.place.temperature_k, work.place.pressure_pa)
    share = work.fact("constants.oxygen_in_air").value
    work.answer("air_if_all_used", demand_mol * litres / share, "L", because="if all its oxygen were taken up")
    if told.get("within_s") is not None:
        minutes = told["within_s"] / 60
        pump = pump_for(demand_mol, minutes, air, work.place) / told.get("pump_share", 1.0)
        work.answer("pump", pump, "L/min", sized_on="high metal, low transfer", because="by its label, for the time wanted")
    if low(air.supply_mol_per_min) <= 0:
        return None
    parts = {
        "bubbled": (air.bubbled_mol_per_min, "pump / molar volume x 0.2095 x transfer x depth"),
        "surface": (air.surface_mol_per_min, "film x solubility at the shop's pressure x open surface"),
    }
    for name, (supply, because) in parts.items():
        if high(supply) > 0:
            work.answer(f"oxygen_{name}", supply, "mol/min", because=because)
    work.answer("oxygen_supply", air.supply_mol_per_min, "mol/min")
    work.answer("oxygen_per_day", air.supply_mol_per_min * MINUTES_A_DAY, "mol/d")
    work.answer("copper_per_day", air.supply_mol_per_min * MINUTES_A_DAY / OXYGEN_PER_MOL["Cu"] * molar_mass("Cu"), "g/d")
    minutes = minutes_for(demand_mol, air)
    work.answer(
        "hours", minutes / 60, "h", sized_on="high metal, low transfer", because="demand over supply; good to a factor of two"
    )
    work.answer(
        "days",
        minutes / MINUTES_A_DAY,
        "d",
        sized_on="high metal, low transfer",
        because="demand over supply; good to a factor of two",
    )
    work.working(
        "days on the pump",
        "oxygen wanted / (pump / molar volume x 0.2095 x transfer x depth + open top)",
        f"{likely(demand_mol):.4g} mol / ({likely(air.l_per_min):.4g} / {likely(litres):.5g} x {share:g}"
        f" x {likely(air.transfer):.3g}/m x {likely(air.depth_m):.3g} m + {likely(air.surface_mol_per_min):.3g}) mol/min",
        f"{likely(minutes):.5g} min, {likely(minutes) / MINUTES_A_DAY:.4g} d",
        "constants.oxygen_in_air",
    )
    return minutes


# ---- what the air takes along
def plain_percent(work: Work) -> Number:
    """Strength of plain acid as strong as the pot's free acid: free HCl over the weight of the liquor.

    Args:
        work: the step, its liquor as it stands
    Returns: strength [% w/w]; 0 for no liquor
    Source: convention: metal chlorides raise the fume further, see `beside_copper`
    """
    liquor_g: Number = sum((mol * molar_mass(species) for species, mol in work.dissolved.items() if parse(species)), 0.0)
    free_g = np.minimum(work.dissolved.get("H^+", 0.0), work.dissolved.get("Cl^-", 0.0)) * molar_mass("HCl")
    return 100 * free_g / np.maximum(liquor_g, 1e-12)


@record
class Loss:
    """What leaves with the air over a time: plain acid, as likely beside metals, and at most."""

    least: CarriedOff
    usual: CarriedOff
    most: CarriedOff


def loss_with_air(work: Work, air: Air, minutes: Number, percent: Number, told: Mapping[str, Any]) -> Loss:
    """What the air takes along.

    Args:
        work: the step
        air: the air on the bath
        minutes: how long it runs [min]
        percent: strength as plain acid [% w/w]
        told: may hold `carry_times` and `water_activity`
    """
    if told.get("carry_times") is None:
        span = work.fact("vapour.beside_copper").range
        work.assume(f"metal chlorides raise the acid fume {span.low:g} / {span.likely:g} / {span.high:g} times")
    return _loss(work, air, minutes, percent, told)


def _loss(work: Work, air: Air, minutes: Number, percent: Number, told: Mapping[str, Any]) -> Loss:
    times = told.get("carry_times")
    span = beside_copper() if times is None else Range.over(times)
    middle: Number = span.likely if times is None else times

    def one(factor: Number) -> CarriedOff:
        where = (work.place.temperature_k, work.place.pressure_pa)
        return carried_off(air.l_per_min * minutes, percent, *where, factor, told.get("water_activity"))

    return Loss(one(span.low), one(middle), one(span.high))


def carry_off(work: Work, air: Air, minutes: Number, percent: Number, told: Mapping[str, Any]) -> None:
    """Let hydrogen chloride and water leave with the air, top the water up, and say how much that was.

    Args:
        work: the step; no more than its free acid leaves
        air: the air on the bath
        minutes: how long it runs [min]
        percent: strength as plain acid [% w/w]
        told: as `loss_with_air`
    """
    loss = loss_with_air(work, air, minutes, percent, told)
    if high(work.volume_l) > 0:
        free = np.minimum(work.dissolved.get("H^+", 0.0), work.dissolved.get("Cl^-", 0.0))
        work.escape("HCl", np.minimum(loss.usual.hcl_mol, free))
        work.pour("water to top up", {"H2O": loss.usual.water_mol}, volume_l=loss.usual.water_ml / 1000)
        work.boil_off(loss.usual.water_ml / 1000)
    mol = Range(low(loss.least.hcl_mol), likely(loss.usual.hcl_mol), high(loss.most.hcl_mol))
    ppm = Range(low(loss.least.hcl_ppm), likely(loss.usual.hcl_ppm), high(loss.most.hcl_ppm))
    why, over = "air leaves in balance with the acid", f"over {likely(minutes) / MINUTES_A_DAY:.3g} days"
    mercury = work.place.pressure_pa / fact("constants.mercury_mm").value
    work.gas("HCl", mol, minutes=high(minutes), sized_on="high: most metals, longest time")
    work.answer("exit_hcl", ppm, "ppm", sized_on="high for lungs", because=why)
    work.answer("hcl_pressure", ppm * (mercury / 1e6), "mmHg", because=why)
    work.answer("hcl_carried", mol, "mol", sized_on="high for rust and lungs", because=over)
    work.answer("hcl_carried_mass", mol * molar_mass("HCl"), "g", sized_on="high for rust and lungs", because=over)
    a_day = _loss(work, air, MINUTES_A_DAY, percent, told)  # by the day of the pump: a bath with nothing left to eat runs no time
    by_day = Range(low(a_day.least.hcl_g), likely(a_day.usual.hcl_g), high(a_day.most.hcl_g))
    work.answer("hcl_per_day", by_day, "g/d", sized_on="high for rust and lungs", because="with the air of the pump")
    work.answer("water_carried", loss.usual.water_ml, "mL", because="top up with water, not acid")
    work.answer("water_per_day", a_day.usual.water_ml, "mL/d", because="with the air of the pump")
    work.say(
        "watch for",
        f"{by_day.likely:.2g} to {by_day.high:.2g} g a day of hydrogen chloride: steel, hinges, motors, tools and electronics in"
        " the same air rust long before anyone coughs; plastic, glass and rubber do not",
    )
    _in_the_room(work, ppm, air)
    work.working(
        "acid carried off",
        "moles of air x p / (P - p)",
        f"{likely(air.l_per_min * minutes):.5g} L of air over {likely(percent):.3g} % acid, {likely(loss.usual.hcl_ppm):.3g} ppm",
        f"{likely(loss.usual.hcl_mol):.3g} mol HCl, {likely(loss.usual.water_ml):.4g} mL water",
        "vapour.beside_copper",
    )


def _in_the_room(work: Work, exit_ppm: Range, air: Air) -> None:
    """Acid fume in a room whose fan runs, fully mixed: the air of the pump thinned by the air of the fan."""
    fan_l_per_min = 1000 * work.place.fan_m3_per_min
    if fan_l_per_min and not work.place.outdoors:
        flow = Range.over(air.l_per_min)
        room = Range(exit_ppm.low * flow.low, exit_ppm.likely * flow.likely, exit_ppm.high * flow.high) * (1 / fan_l_per_min)
        work.answer("room_hcl", room, "ppm", sized_on="high for lungs", because="fan running, fully mixed")


def _transfer_from(texts: Mapping[str, object]) -> str:
    if texts.get("air") is None and texts.get("within") is None:
        return ""
    return "practice/air.fine_stone" if texts.get("stone") in (True, "yes", "true", "on") else "practice/air.open_tube"


def _film_from(texts: Mapping[str, object]) -> str:
    return "practice/air.film" if texts.get("surface") is not None else ""


AIR_FIELDS = (
    Field("air", "flow", "L/min", "air from the pump, free air by its label", above_zero=True),
    Field("depth", "length", "cm", "how deep the air comes out", above_zero=True),
    Field("stone", "flag", "", "a fine stone on the tube"),
    Field("transfer", "share", "", "share of the oxygen taken up per metre of depth", highest=1.0, default_from=_transfer_from),
    Field("pump-share", "share", "", "share of the label's air that comes out at depth", highest=1.0),
    Field("surface", "area", "cm2", "open surface of the bath"),
    Field("film", "speed", "m/s", "liquid film coefficient of that surface", default_from=_film_from),
    Field("oxygen-held", "mass_concentration", "mg/L", "oxygen the bath holds under the shop's air, measured", above_zero=True),
    Field("within", "time", "d", "time it should take: for the pump wanted", above_zero=True),
    Field("plain-acid", "strength:HCl", "", "plain acid the bath's fume is taken as", shelf=False),
    Field("carry-times", "count", "", "how many times plain acid's fume stands over this bath", above_zero=True),
    Field("water-activity", "share", "", "activity of the bath's water", highest=1.0),
    Field("running", "time", "d", "how long the air runs, where it is not till the metal is gone", above_zero=True),
)
"""What may be told of the air on a bath."""
