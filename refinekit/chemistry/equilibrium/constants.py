"""The constants of the equilibrium: complexes, solids and carbon dioxide, likely or leaning to either side.

A set is one choice out of the sources: `Constants.default()` the likely one, `Constants.low()` the figure of each that leaves
least in solution, `Constants.high()` the most. They are shifted from 25 degC where the enthalpy is known; the rest is named.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass, field, replace
from functools import cache
from math import log
from typing import Any, Literal

from refinekit.chemistry.equilibrium.names import ACID, WATER, charge, charged
from refinekit.errors import OutOfRange, UnknownName
from refinekit.facts.load import fact, table
from refinekit.record import record

Lean = Literal["low", "likely", "high"]
Activity = Literal["davies", "ext_dh", "none"]
GROUPS = ("hydroxo", "chloro", "sulfato", "carbonato", "ammine", "acids")


@record
class Complex:
    """Something dissolved that is made of components.

    Args:
        formula: what it is [text]
        charge: charge number [-]
        of: components, H^+ and H2O in one of it [-]; negative on the other side
        log_k: log10 of its formation constant [-]
    """

    formula: str
    charge: int
    of: Mapping[str, float]
    log_k: float


@record
class Solid:
    """A solid that falls when its product passes its constant.

    Args:
        key: its name here [text], e.g. "atacamite"
        formula: what it is [text]
        name: what the bench calls it [text]
        to: components, H^+ and H2O one of it dissolves to [-]
        log_k: log10 of the product of activities at saturation [-]
    """

    key: str
    formula: str
    name: str
    to: Mapping[str, float]
    log_k: float


@dataclass(frozen=True, eq=False)
class Constants:
    """One set of constants.

    Args:
        complexes: everything dissolved beside the components
        solids: solids that may fall
        left_over: solids of bases that dissolve no more, only looked at to see how far a base gets
        carbon_dioxide: the gas, with log10 of its pressure in atm as minus log_k at unit product
        activity: "davies", "ext_dh" (extended Debye-Hueckel with a linear term) or "none" (ideal)
        temperature_k: what the constants stand at [K]
        not_corrected: what was left at its 25 degC figure for want of an enthalpy
        lean: "low", "likely" or "high"
    """

    complexes: tuple[Complex, ...]
    solids: tuple[Solid, ...]
    left_over: tuple[Solid, ...]
    carbon_dioxide: Solid
    activity: Activity = "davies"
    temperature_k: float = field(default_factory=lambda: standard_k())
    not_corrected: tuple[str, ...] = ()
    lean: Lean = "likely"

    @classmethod
    def default(
        cls, *, aged: bool = False, temperature_k: float | None = None, activity: Activity = "davies", also: Iterable[str] = ()
    ) -> Constants:
        """The likely figure of every constant, fresh solids.

        Args:
            aged: whether solids had days or heat to turn into their less soluble forms
            temperature_k: temperature of the liquor [K], that of ice to that of boiling water; 25 degC if left out
            activity: activity equation
            also: keys of solids kept "on request" in the facts, e.g. "Zn5(OH)8Cl2"
        Raises: OutOfRange, colder than ice or hotter than boiling; UnknownName, no such solid
        Source: facts/equilibrium
        """
        return _set("likely", aged, _or_standard(temperature_k), activity, tuple(also))

    @classmethod
    def low(
        cls, *, aged: bool = False, temperature_k: float | None = None, activity: Activity = "davies", also: Iterable[str] = ()
    ) -> Constants:
        """Of every constant the source that leaves least in solution; see `default`."""
        return _set("low", aged, _or_standard(temperature_k), activity, tuple(also))

    @classmethod
    def high(
        cls, *, aged: bool = False, temperature_k: float | None = None, activity: Activity = "davies", also: Iterable[str] = ()
    ) -> Constants:
        """Of every constant the source that leaves most in solution; see `default`."""
        return _set("high", aged, _or_standard(temperature_k), activity, tuple(also))

    @classmethod
    def from_table(cls, rows: Mapping[str, Any], *, activity: Activity = "davies", also: Iterable[str] = ()) -> Constants:
        """A set written out by hand or by another program.

        Args:
            rows: `species` (name, of, log_k), `phases` and `optional_phases` (name, formula, dissolves_to, log_k), `gas`
            activity: activity equation
            also: names out of `optional_phases` that may form as well
        """
        wanted = set(also)
        solids = [*rows["phases"], *(row for row in rows.get("optional_phases", []) if row["name"] in wanted)]
        made = [
            Complex(charged(row["name"]), charge(charged(row["name"])), _renamed(row["of"]), float(row["log_k"]))
            for row in rows["species"]
        ]
        return cls(
            complexes=tuple(made),
            solids=tuple(_solid_from_table(row) for row in solids),
            left_over=_set("likely", False, standard_k(), activity, ()).left_over,
            carbon_dioxide=_solid_from_table(rows["gas"]),
            activity=activity,
        )

    def without(self, *keys: str) -> Constants:
        """The same set with some solids held back, as where a basic salt is slow to form.

        Args:
            keys: keys of the solids
        """
        return replace(self, solids=tuple(solid for solid in self.solids if solid.key not in keys))


def standard_k() -> float:
    """Temperature the constants are read at [K]."""
    return fact("equilibrium/limits.standard_temperature").value


def _or_standard(temperature_k: float | None) -> float:
    return standard_k() if temperature_k is None else float(temperature_k)


def _renamed(of: Mapping[str, float]) -> dict[str, float]:
    return {charged(name): float(count) for name, count in of.items()}


def _solid_from_table(row: Mapping[str, Any]) -> Solid:
    return Solid(row["name"], row.get("formula", row["name"]), row["name"], _renamed(row["dissolves_to"]), float(row["log_k"]))


@cache
def _set(lean: Lean, aged: bool, temperature_k: float, activity: Activity, also: tuple[str, ...]) -> Constants:
    ice_k, boiling_k = fact("constants.zero_celsius").value, fact("enthalpy.water_boils").value
    if not ice_k <= temperature_k <= boiling_k:
        raise OutOfRange(
            f"{temperature_k - ice_k:g} degC is outside 0 to {boiling_k - ice_k:g} degC",
            cure="give the temperature of a liquor that is water",
        )
    phases = table("equilibrium/phases")["phase"]
    known = {row["key"] for row in phases}
    for key in also:
        if key not in known:
            raise UnknownName(f"there is no solid {key!r}", cure=f"known are {', '.join(sorted(known))}")
    states = {"fresh", "aged"} if aged else {"fresh"}
    complexes, stuck = _complexes(lean, temperature_k)
    solids = [_solid(key, lean, temperature_k) for key in _keys(states, also)]
    return Constants(
        complexes=complexes,
        solids=tuple(solid for solid, _ in solids),
        left_over=tuple(_solid(key, "likely", temperature_k)[0] for key in _keys({"fresh", "reagent"})),
        carbon_dioxide=_gas(temperature_k),
        activity=activity,
        temperature_k=temperature_k,
        not_corrected=(*stuck, *(solid.name for solid, at_25 in solids if at_25)),
        lean=lean,
    )


def _keys(states: Set[str], also: Iterable[str] = ()) -> tuple[str, ...]:
    """Keys of the solids of some states, and of those asked for."""
    return tuple(row["key"] for row in table("equilibrium/phases")["phase"] if row["state"] in states or row["key"] in also)


@cache
def _complexes(lean: Lean, temperature_k: float) -> tuple[tuple[Complex, ...], tuple[str, ...]]:
    """Every complex at a temperature, and the formulas of those left at 25 degC: the same for every activity equation."""
    rows = [row for group in GROUPS for row in table("equilibrium/complexes")[group]]
    made = tuple(Complex(row["formula"], charge(row["formula"]), row["of"], _log_k(row, lean, temperature_k)) for row in rows)
    return made, tuple(row["formula"] for row in rows if _left_at_25(row, temperature_k))


@cache
def _solid(key: str, lean: Lean, temperature_k: float) -> tuple[Solid, bool]:
    """A solid at a temperature, and whether it was left at 25 degC."""
    row = next(row for row in table("equilibrium/phases")["phase"] if row["key"] == key)
    log_k = _log_k(row, lean, temperature_k)
    return Solid(key, row["formula"], row["name"], row["dissolves_to"], log_k), _left_at_25(row, temperature_k)


def _gas(temperature_k: float) -> Solid:
    row = table("equilibrium/phases")["carbon_dioxide"]
    return Solid("CO2(g)", "CO2", "carbon dioxide", row["dissolves_to"], _log_k(row, "likely", temperature_k))


def _left_at_25(row: Mapping[str, Any], temperature_k: float) -> bool:
    return temperature_k != standard_k() and "enthalpy_kj_per_mol" not in row


def _log_k(row: Mapping[str, Any], lean: Lean, temperature_k: float) -> float:
    """A constant at a temperature, by van 't Hoff from 25 degC with the enthalpy taken as constant; without one, as it is."""
    at_25 = float(row["value"] if "value" in row else row[lean])
    if temperature_k == standard_k() or _left_at_25(row, temperature_k):
        return at_25
    joule = 1000 * float(row["enthalpy_kj_per_mol"])
    return at_25 - joule / (_gas_constant() * log(10)) * (1 / temperature_k - 1 / standard_k())


def _gas_constant() -> float:
    return fact("constants.gas_constant").value


def taken_apart(of: Mapping[str, float]) -> tuple[dict[str, float], float, float]:
    """A reaction as its components, its H^+ and its water."""
    rest = {name: count for name, count in of.items() if name not in (ACID, WATER)}
    return rest, of.get(ACID, 0.0), of.get(WATER, 0.0)
