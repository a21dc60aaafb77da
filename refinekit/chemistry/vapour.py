"""What stands over hydrochloric acid and what air carries off: hydrogen chloride and water.

Perry's table (after Zeisberg) is the answer: it holds for every temperature at the bench, and at 25 C it lies within 10 % of the
other route, activity coefficients and a Henry constant, which `hcl_pressure_by_activity` gives for comparison. Both are for plain
acid; metal chlorides drive out more, one to three times as much (`beside_copper`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.gas import moles
from refinekit.chemistry.species import molar_mass
from refinekit.errors import OutOfRange
from refinekit.facts.load import fact, table
from refinekit.ranges import Number, Range, likely
from refinekit.record import record

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class _Surface:
    """ln of a partial pressure on a grid of strengths, each row a line of its own in 1/T."""

    percent: Array
    rows: tuple[tuple[Array, Array], ...]  # -1/T [1/K] and ln(p/Pa), rising

    def ln_at(self, percent: Number, temperature_k: Number) -> Number:
        """ln(p/Pa) at a strength and temperature; straight between rows and columns, each row's end slope beyond its columns."""
        strengths, kelvins = np.broadcast_arrays(percent, temperature_k)
        lines = np.stack([_line(x, y, -1 / kelvins.ravel()) for x, y in self.rows])
        row = np.clip(np.searchsorted(self.percent, strengths.ravel()) - 1, 0, len(self.percent) - 2)
        share = (strengths.ravel() - self.percent[row]) / np.diff(self.percent)[row]
        case = np.arange(strengths.size)
        between = lines[row, case] + share * (lines[row + 1, case] - lines[row, case])
        return cast(Number, between.reshape(strengths.shape))


def _line(x: Array, y: Array, at: Number) -> Number:
    """Straight lines between points; beyond them, the line through the ends (a mean heat of vaporisation)."""
    slope = (y[-1] - y[0]) / (x[-1] - x[0])
    inside = np.interp(at, x, y)
    return cast(Number, inside + slope * (np.minimum(at - x[0], 0) + np.maximum(at - x[-1], 0)))


def _rows(rows: Iterable[Mapping[str, Any]]) -> tuple[tuple[Array, Array], ...]:
    zero, mmhg = fact("constants.zero_celsius").value, fact("constants.mercury_mm").value
    return tuple((-1 / (np.array(row["celsius"]) + zero), np.log(np.array(row["mmhg"]) * mmhg)) for row in rows)


@cache
def _hcl_surface() -> _Surface:
    """ln of HCl's pressure over the square of the strength, which hardly bends where acid is weak."""
    raw = table("vapour")["hydrogen_chloride"]["rows"]
    percent = np.array([row["percent"] for row in raw], dtype=float)
    scaled = tuple((x, y - 2 * np.log(p)) for p, (x, y) in zip(percent, _rows(raw), strict=True))
    return _Surface(percent, scaled)


@cache
def _water_surface() -> _Surface:
    raw = [{"percent": 0, **table("vapour")["pure_water"]}, *table("vapour")["water"]["rows"]]
    return _Surface(np.array([row["percent"] for row in raw], dtype=float), _rows(raw))


def hcl_pressure_pa(percent: Number, temperature_k: Number) -> Number:
    """Partial pressure of hydrogen chloride over plain acid, by Perry's table.

    Args:
        percent: strength [% w/w]; 0 to 42, float or array
        temperature_k: temperature of the acid [K]; 273.15 to 383.15
    Returns: pressure [Pa]; within 5 % of the printed table. Under 2 % it falls with the square of the strength; where a
        printed row ends (strong acid, hot) its own line goes on
    Raises: OutOfRange, outside those
    Source: Perry, Partial Pressures of HCl over Aqueous Solutions of HCl, after Zeisberg 1925; facts/vapour.toml

    >>> hcl_pressure_pa(20.0, 298.15) / 133.322
    0.32
    """
    _refuse_outside(percent, temperature_k)
    # Under the first row the pressure keeps the row's ratio to the square of the strength.
    in_rows = np.maximum(percent, _hcl_surface().percent[0])
    return _plain(np.exp(_hcl_surface().ln_at(in_rows, temperature_k)) * np.asarray(percent) ** 2)


def hcl_pressure_by_activity(percent: Number) -> Number:
    """Partial pressure of hydrogen chloride over plain acid at 25 C, by activity coefficients: p = (m gamma)^2/K.

    Args:
        percent: strength [% w/w]; 0 to 36.8 (16 mol/kg), float or array
    Returns: pressure [Pa]
    Raises: OutOfRange, stronger than the coefficients reach
    Source: gamma of Robinson and Stokes, K of Clegg and Brimblecombe, both from memory; facts/vapour.toml
    """
    rows = table("vapour")["activity"]
    molality = 1000 * np.asarray(percent) / (100 - np.asarray(percent)) / molar_mass("HCl")
    if not np.all((molality >= 0) & (molality <= rows["mol_per_kg"][-1])):
        raise OutOfRange(
            f"no activity coefficient is known of {likely(percent):.4g} % hydrochloric acid",
            cure="give 0 to 36.8 %, or use the table",
        )
    gamma = np.exp(np.interp(molality, rows["mol_per_kg"], np.log(rows["gamma"])))
    return _plain((molality * gamma) ** 2 / fact("vapour.henry").value * fact("constants.standard_pressure").value)


def water_pressure_pa(percent: Number, temperature_k: Number) -> Number:
    """Partial pressure of water over plain hydrochloric acid, by Perry's table.

    Args:
        percent: strength [% w/w]; 0 (water) to 42, float or array
        temperature_k: temperature of the acid [K]; 273.15 to 383.15
    Returns: pressure [Pa]
    Raises: OutOfRange, outside those
    Source: Perry, Partial Pressures of H2O over Aqueous Solutions of HCl; facts/vapour.toml

    >>> water_pressure_pa(10.0, 298.15) / 133.322
    20.0
    """
    _refuse_outside(percent, temperature_k)
    return _plain(np.exp(_water_surface().ln_at(percent, temperature_k)))


def water_activity(percent: Number, temperature_k: Number | None = None) -> Number:
    """Share of plain water's vapour pressure that acid leaves.

    Args:
        percent: strength [% w/w]; 0 to 42, float or array
        temperature_k: temperature [K]; 273.15 to 383.15; left out, 25 C
    Returns: activity [-]
    Raises: OutOfRange, outside those
    Source: as `water_pressure_pa`

    >>> water_activity(10.0)
    0.842
    """
    kelvin = _or_shop(temperature_k)
    return water_pressure_pa(percent, kelvin) / water_pressure_pa(0.0, kelvin)


def hcl_ppm_over(percent: Number, temperature_k: Number | None = None, pressure_pa: Number | None = None) -> Number:
    """Hydrogen chloride in air that has come to rest over plain acid.

    Args:
        percent: strength [% w/w]; 0 to 42, float or array
        temperature_k: temperature of the acid [K]; 273.15 to 383.15; left out, 25 C
        pressure_pa: air pressure [Pa]; above 0; left out, one atmosphere
    Returns: parts per million by volume [ppm]; 1 000 000 where the acid boils
    Raises: OutOfRange, outside those
    Source: as `hcl_pressure_pa`

    >>> hcl_ppm_over(10.0)
    8.8
    """
    pascal = fact("constants.standard_pressure").value if pressure_pa is None else pressure_pa
    return _plain(1e6 * np.minimum(hcl_pressure_pa(percent, _or_shop(temperature_k)) / pascal, 1))


def beside_copper() -> Range:
    """How many times plain acid's hydrogen chloride stands over a bath of metal chlorides [-]: common practice, no source."""
    return fact("vapour.beside_copper").range


@record
class CarriedOff:
    """What air bubbled through acid takes along, at most: it leaves in balance with the acid.

    Args:
        hcl_mol: hydrogen chloride [mol]
        water_mol: water [mol]
        hcl_ppm: hydrogen chloride in the air that leaves [ppm]
    """

    hcl_mol: Number
    water_mol: Number
    hcl_ppm: Number

    @property
    def hcl_g(self) -> Number:
        """Hydrogen chloride [g]."""
        return self.hcl_mol * molar_mass("HCl")

    @property
    def water_ml(self) -> Number:
        """Water to top up [mL], a gram to the millilitre."""
        return self.water_mol * molar_mass("H2O")


def carried_off(
    air_l: Number,
    percent: Number,
    temperature_k: Number | None = None,
    pressure_pa: Number | None = None,
    metal_factor: Number = 1.0,
    activity_of_water: Number | None = None,
) -> CarriedOff:
    """Hydrogen chloride and water that air takes along out of acid whose strength stays as it is.

    Args:
        air_l: air through the acid, at its temperature and pressure [L]; 0 and up, float or array
        percent: strength as plain acid [% w/w]; 0 to 42, float or array
        temperature_k: temperature of the acid [K]; 273.15 to 383.15; left out, 25 C
        pressure_pa: air pressure [Pa]; above 0; left out, one atmosphere
        metal_factor: times plain acid's hydrogen chloride, for metal chlorides beside it [-]; see `beside_copper`
        activity_of_water: activity of the water [-]; 0 to 1; left out, that of plain acid
    Returns: CarriedOff [mol, mol, ppm]; moles = moles of air x p/(P - p), for each
    Raises: OutOfRange, outside those, or acid that boils at that pressure
    Source: as `hcl_pressure_pa` and `water_pressure_pa`
    """
    pascal = fact("constants.standard_pressure").value if pressure_pa is None else pressure_pa
    kelvin = _or_shop(temperature_k)
    hcl = hcl_pressure_pa(percent, kelvin) * metal_factor
    activity = water_activity(percent, kelvin) if activity_of_water is None else activity_of_water
    steam = activity * water_pressure_pa(0.0, kelvin)
    if np.any(np.greater_equal(hcl + steam, pascal)):
        zero = fact("constants.zero_celsius").value
        raise OutOfRange(
            f"{likely(percent):.4g} % hydrochloric acid boils at {likely(kelvin) - zero:.4g} C: no air carries it off",
            cure="cool it or dilute it to under 20 % before the air goes on",
        )
    air_mol = moles(air_l, kelvin, pascal)
    return CarriedOff(air_mol * hcl / (pascal - hcl), air_mol * steam / (pascal - steam), 1e6 * hcl / pascal)


def _or_shop(temperature_k: Number | None) -> Number:
    """The temperature given, or that of the shop [K]."""
    return fact("constants.shop_temperature").value if temperature_k is None else temperature_k


def _refuse_outside(percent: Number, temperature_k: Number) -> None:
    """Refuse acid the tables do not hold."""
    most = fact("vapour.strongest").value
    if not np.all((np.asarray(percent) >= 0) & (np.asarray(percent) <= most)):
        raise OutOfRange(
            f"no vapour pressure is known of {likely(percent):.4g} % hydrochloric acid",
            cure=f"give 0 to {most:g} %; shops sell up to 38 %",
        )
    cold, hot = fact("vapour.coldest").value, fact("vapour.hottest").value
    if not np.all((np.asarray(temperature_k) >= cold) & (np.asarray(temperature_k) <= hot)):
        zero = fact("constants.zero_celsius").value
        raise OutOfRange(
            f"no vapour pressure is known of acid at {likely(temperature_k) - zero:.4g} C",
            cure=f"give {cold - zero:g} to {hot - zero:g} C",
        )


def _plain(value: Any) -> Number:
    """A float from a figure without cases."""
    return float(value) if np.ndim(value) == 0 else cast(Number, value)
