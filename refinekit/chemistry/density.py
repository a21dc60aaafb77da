"""Density of aqueous solutions, both ways: strength to density and density to strength, at 20 C or any other temperature.

The tables stand at 20 C (facts/densities); between their rows the line is straight, which the rows are close enough for.
Away from 20 C a density moves as the Laliberte model of that solute says; the table itself stays the anchor.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from refinekit.errors import OutOfRange, UnknownName
from refinekit.facts import load
from refinekit.ranges import Number, Range

Array = NDArray[np.float64]
ROUNDS = 100
"""Rounds at most in which a density read warm or cold is taken back to a strength; a dozen do, but for hot ammonia."""
ROOM = 1e-9
"""Relative room left at the ends of a table, so that an end read and written again is still inside."""


@dataclass(frozen=True, slots=True, eq=False)
class DensityTable:
    """What is known of one solute's solutions.

    Args:
        solute: formula [text], e.g. "HCl"
        name: what the trade calls the liquor [text]
        percent: strengths of the rows [% w/w], rising
        g_per_ml: density of each row [g/mL] at `temperature_k`
        temperature_k: temperature of the rows [K]
        sold: strengths that are sold, for a cure [text]
        trade: trade grades (baume, percent, sg) [list of tables]
        expansion: Laliberte coefficients c0 to c4 [kg/m3, C], or none of them
        expansion_to_percent: strength up to which the model was fitted [% w/w]
        fact: where the rows come from
    """

    solute: str
    name: str
    percent: Array
    g_per_ml: Array
    temperature_k: float
    sold: str
    trade: tuple[Mapping[str, Any], ...]
    expansion: tuple[float, ...]
    expansion_to_percent: float
    fact: Mapping[str, Any]


@cache
def density_table(solute: str) -> DensityTable:
    """The rows and the model of one solute, the handbook's rows first and those that continue them behind.

    Args:
        solute: formula, name or other name [text]: "HCl", "muriatic acid", "H2C2O4"
    Raises: UnknownName, no density is known
    """
    raw = load.table(f"densities/{_file(solute)}")
    parts = [raw] + [row for row in raw.get("series", ()) if row["role"] == "continues"]
    expansion = raw.get("expansion", {})
    return DensityTable(
        solute=raw["solute"],
        name=raw["name"],
        percent=np.array([x for part in parts for x in part["percent"]], dtype=float),
        g_per_ml=np.array([x for part in parts for x in part["g_per_ml"]], dtype=float),
        temperature_k=float(raw["temperature_c"]) + load.fact("constants.zero_celsius").value,
        sold=raw["sold"]["about"],
        trade=tuple(raw.get("trade", ())),
        expansion=tuple(expansion.get("c", ())),
        expansion_to_percent=float(expansion.get("to_percent", 0)),
        fact=raw,
    )


@cache
def solutes() -> tuple[str, ...]:
    """Formulas of every solute whose density is known."""
    return tuple(name.removeprefix("densities/") for name in load.files() if name.startswith("densities/"))


@cache
def _file(solute: str) -> str:
    """Name of the facts file of a solute by its formula or any of its names."""
    known = solutes()
    if solute in known:
        return solute
    wanted = solute.strip().lower()
    for formula in known:
        raw = load.table(f"densities/{formula}")
        if wanted in {name.lower() for name in (formula, raw["name"], *raw["aliases"])}:
            return formula
    raise UnknownName(f"no densities are known for {solute!r}", cure=f"one of {', '.join(known)}")


def water_g_per_ml(temperature_k: Number) -> Number:
    """Density of water.

    Args:
        temperature_k: temperature [K]; 273.15 to 373.15, float or array
    Returns: density [g/mL]
    Raises: OutOfRange, ice or steam
    Source: Kell, J. Chem. Eng. Data 20 (1975) 97; coefficients in facts/practice/solution.toml

    >>> float(water_g_per_ml(298.15))
    0.99704
    """
    celsius = _celsius(temperature_k)
    row = load.table("practice/solution")["water_density"]
    numerator = np.polynomial.polynomial.polyval(celsius, row["numerator"])
    return cast(Number, numerator / (1 + row["denominator"] * celsius) / 1000)


def g_per_ml(solute: str, percent: Number, temperature_k: Number | None = None) -> Number:
    """Density of a solution of known strength.

    Args:
        solute: formula or name [text]
        percent: strength [% w/w]; within the table, float or array
        temperature_k: temperature [K]; 273.15 to 373.15; left out, that of the table (20 C)
    Returns: density [g/mL]
    Raises: OutOfRange, no such strength in the table; UnknownName
    Source: facts/densities

    >>> float(g_per_ml("HNO3", 68))
    1.4048
    """
    table = density_table(solute)
    _within(table, percent)
    at_table = np.interp(percent, table.percent, table.g_per_ml)
    if temperature_k is None:
        return at_table
    return at_table * _swing(table, percent, temperature_k)


def percent_at(solute: str, density_g_per_ml: Number, temperature_k: Number | None = None) -> Number:
    """Strength of a solution of known density. Where the curve has a top (sulfuric acid near 98 %) the weaker strength is meant.

    Args:
        solute: formula or name [text]
        density_g_per_ml: density [g/mL]; within the table, float or array
        temperature_k: temperature of the reading [K]; 273.15 to 373.15; left out, that of the table (20 C)
    Returns: strength [% w/w]
    Raises: OutOfRange, no solution of this solute is so dense or so light; UnknownName
    Source: facts/densities

    >>> float(percent_at("HNO3", 1.4048))
    68.0
    """
    table = density_table(solute)
    percent = _branch(table, density_g_per_ml)
    if temperature_k is not None:
        # The swing hardly depends on the strength, so each round comes nearer.
        for _ in range(ROUNDS):
            before, percent = percent, _branch(table, density_g_per_ml / _swing(table, percent, temperature_k))
            if np.max(np.abs(percent - before)) < ROOM:
                break
    _reached(table, percent, density_g_per_ml, temperature_k)
    return percent


def percent_at_g_per_l(solute: str, g_per_l: Number) -> Number:
    """Strength of a solution of known content, at the table's temperature.

    Args:
        solute: formula or name [text]
        g_per_l: grams of solute in a litre [g/L]; 0 up to the end of the table, float or array
    Returns: strength [% w/w]
    Raises: OutOfRange, more than the strongest solution holds; UnknownName
    Source: facts/densities

    >>> float(percent_at_g_per_l("HNO3", 955.264))
    68.0
    """
    table = density_table(solute)
    held = table.percent * table.g_per_ml * 10
    wanted = np.asarray(g_per_l, dtype=float)
    bad = wanted[~((wanted >= 0) & (wanted <= held[-1] * (1 + ROOM)))]
    if bad.size:
        raise OutOfRange(
            f"no litre of {table.name} holds {float(bad.flat[0]):.4g} g: at {table.percent[-1]:g} % it holds {held[-1]:.4g} g",
            cure=f"read the label again: {table.sold}",
        )
    row = np.clip(np.searchsorted(held, wanted) - 1, 0, len(held) - 2)
    slope = (np.diff(table.g_per_ml) / np.diff(table.percent))[row]
    start = table.g_per_ml[row] - slope * table.percent[row]
    # Between rows the density is a straight line in strength, so the content is a quadratic, solved exactly.
    return cast(Number, 2 * (wanted / 10) / (start + np.sqrt(start**2 + 4 * slope * wanted / 10)))


def percent_range(solute: str, density_g_per_ml: float, temperature_k: float | None = None) -> Range:
    """Strengths a reading of a shop hydrometer leaves open, which may be out by a small division.

    Args:
        solute: formula or name [text]
        density_g_per_ml: reading [g/mL]; within the table
        temperature_k: temperature of the reading [K]; 273.15 to 373.15; left out, 20 C
    Returns: strength [% w/w], low, likely and high; wide where the curve is flat, as for strong sulfuric acid
    Raises: OutOfRange, no such density; UnknownName
    Source: facts/densities; facts/practice/solution.toml
    """
    table = density_table(solute)
    error = load.fact("practice/solution.hydrometer_error").value
    likely = float(percent_at(solute, density_g_per_ml, temperature_k))
    # A fine grid, because a curve with a top has strengths on both sides of it.
    grid = np.linspace(table.percent[0], table.percent[-1], 2001)
    fits = grid[np.abs(np.asarray(g_per_ml(solute, grid, temperature_k)) - density_g_per_ml) <= error]
    ends = np.append(fits, likely)
    return Range(float(ends.min()), likely, float(ends.max()))


def at_20c(solute: str, density_g_per_ml: Number, temperature_k: Number) -> Number:
    """What a density read warm or cold would be at 20 C.

    Args:
        solute: formula or name [text]
        density_g_per_ml: reading [g/mL]
        temperature_k: temperature of the liquor when read [K]; 273.15 to 373.15
    Returns: density at 20 C [g/mL], good to about 0.002 within 20 K of 20 C
    Raises: OutOfRange, no such density or temperature; UnknownName
    Source: Laliberte, J. Chem. Eng. Data 54 (2009) 1725; facts/densities
    """
    return g_per_ml(solute, percent_at(solute, density_g_per_ml, temperature_k))


def mixture_g_per_ml(mass_fractions: Mapping[str, Number], temperature_k: Number | None = None) -> Number:
    """Density of a liquor with several solutes: water and each solute's apparent volume, added.

    Args:
        mass_fractions: grams of each solute per gram of liquor [-]; 0 to 1 together, formulas with model coefficients
        temperature_k: temperature [K]; 273.15 to 373.15; left out, 20 C
    Returns: density [g/mL]
    Raises: OutOfRange, more solute than liquor; UnknownName, a solute without model coefficients
    Source: Laliberte and Cooper, J. Chem. Eng. Data 49 (2004) 1141; Laliberte, ibid. 54 (2009) 1725
    """
    total = sum(mass_fractions.values())
    if any(np.any(np.less(part, 0)) for part in mass_fractions.values()) or np.any(np.greater_equal(total, 1)):
        raise OutOfRange(
            "the dissolved substances are less than nothing or the whole liquor", cure="give grams of each per gram of liquor"
        )
    kelvin = load.fact("constants.table_temperature").value if temperature_k is None else temperature_k
    ml_per_g = (1 - total) / water_g_per_ml(kelvin)
    for solute, fraction in mass_fractions.items():
        table = density_table(solute)
        if not table.expansion:
            raise UnknownName(f"no mixing coefficients are known for {table.name}", cure="leave it out, or give the density")
        ml_per_g = ml_per_g + fraction * _apparent_ml_per_g(table.expansion, total, _celsius(kelvin))
    return 1 / ml_per_g


def _apparent_ml_per_g(coefficients: tuple[float, ...], solute_fraction: Number, celsius: Number) -> Number:
    """Volume a gram of solute seems to take in its solution [mL/g] (Laliberte's equation 8)."""
    c0, c1, c2, c3, c4 = coefficients
    kg_per_m3 = (c0 * solute_fraction + c1) * np.exp(1e-6 * (celsius + c4) ** 2) / (solute_fraction + c2 + c3 * celsius)
    return cast(Number, 1000 / kg_per_m3)


def _swing(table: DensityTable, percent: Number, temperature_k: Number) -> Number:
    """Ratio of a solution's density at a temperature to that at the table's, by the model; by water's where there is no model."""
    if not table.expansion:
        return water_g_per_ml(temperature_k) / water_g_per_ml(table.temperature_k)
    # Stronger than the fit reaches, the swing stays what it is at the end of the fit.
    fraction = np.minimum(percent, table.expansion_to_percent) / 100
    return _model(table, fraction, temperature_k) / _model(table, fraction, table.temperature_k)


def _model(table: DensityTable, fraction: Number, temperature_k: Number) -> Number:
    """The model's own density [g/mL]."""
    apparent = _apparent_ml_per_g(table.expansion, fraction, _celsius(temperature_k))
    return 1 / ((1 - fraction) / water_g_per_ml(temperature_k) + fraction * apparent)


def _celsius(temperature_k: Number) -> Number:
    """Degrees Celsius of a liquor [C]; refuses ice and steam."""
    cold, hot = (load.fact(f"practice/solution.{end}").value for end in ("coldest_reading", "hottest_reading"))
    if not np.all((np.asarray(temperature_k) >= cold) & (np.asarray(temperature_k) <= hot)):
        zero = load.fact("constants.zero_celsius").value
        raise OutOfRange(
            f"{float(np.ravel(temperature_k)[0]) - zero:.4g} C is not a temperature a liquor is measured at",
            cure=f"give {cold - zero:g} to {hot - zero:g} C, as in 20 C",
        )
    return temperature_k - load.fact("constants.zero_celsius").value


def _within(table: DensityTable, percent: Number) -> None:
    """Refuse a strength outside the table, naming what exists."""
    most = float(table.percent[-1])
    bad = np.ravel(percent)[~((np.ravel(percent) >= 0) & (np.ravel(percent) <= most * (1 + ROOM)))]
    if bad.size:
        worst = float(bad[0])
        reason = "is more than pure" if worst > 100 else f"is outside the density table, 0 to {most:g} % w/w"
        raise OutOfRange(f"{table.name} of {worst:.4g} % {reason}", cure=f"read the label again: {table.sold}")


def _branch(table: DensityTable, density: Number) -> Number:
    """Strength at a density of the table, on the branch that starts at water; past its ends, the end [% w/w]."""
    sign = -1 if table.g_per_ml[-1] < table.g_per_ml[0] else 1
    rising = sign * table.g_per_ml
    top = int(np.argmax(rising)) + 1
    return cast(Number, np.interp(sign * np.asarray(density), rising[:top], table.percent[:top]))


def _reached(table: DensityTable, percent: Number, density: Number, temperature_k: Number | None) -> None:
    """Refuse a density no strength has, naming those that exist."""
    swing = 1.0 if temperature_k is None else _swing(table, percent, temperature_k)
    off = np.ravel(np.interp(percent, table.percent, table.g_per_ml) * swing - density)
    bad = ~(np.abs(off) <= ROOM)
    if np.any(bad):
        read = float(np.ravel(np.broadcast_to(density, np.shape(off)))[bad][0])
        low, high = float(table.g_per_ml.min()), float(table.g_per_ml.max())
        raise OutOfRange(
            f"{table.name} is never {read:.4g} g/mL: its solutions are {low:.4g} to {high:.4g} g/mL at 20 C",
            cure=f"check the hydrometer and the label, it may be another bottle; {table.sold}",
        )
