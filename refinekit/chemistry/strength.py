"""Every way the trade writes a strength, read as mass fraction and density at 20 C.

Baume and specific gravity are the American scales, 60 F over water at 60 F. A trade grade (20 Be hydrochloric) is a fact, taken
exactly as the trade means it; any other figure goes by the density tables.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from typing import Any, cast

import numpy as np

from refinekit.chemistry.density import (
    DensityTable,
    density_table,
    g_per_ml,
    percent_at,
    percent_at_g_per_l,
    solutes,
    water_g_per_ml,
)
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.species import molar_mass
from refinekit.errors import OutOfRange, UnknownName
from refinekit.facts.load import fact, table
from refinekit.ranges import Number, likely
from refinekit.units import FORMS, read_strength

UNITS = {name: form.unit for name, form in FORMS.items()}
"""Forms a strength is written in, each with the unit shown behind it."""

Read = tuple[Number, Number]
"""A strength read: mass fraction [-] and density at 20 C [g/mL]."""


def read(solute: str, form: str, value: Number, temperature_k: Number | None = None) -> Read:
    """Mass fraction and density a strength stands for.

    Args:
        solute: formula or name [text]
        form: one of UNITS [text]
        value: the figure in that form; above 0, float or array. For "parts", volumes of water to one volume of the usual
            bottle, 0 and up
        temperature_k: temperature of a reading of "baume", "sg" or "density" [K]; left out, 60 F, 60 F and 20 C
    Returns: mass fraction [-] and density at 20 C [g/mL]
    Raises: OutOfRange, a strength that does not exist; UnknownName, form or solute
    Source: facts/densities
    """
    if form not in _READERS:
        raise UnknownName(f"{form!r} is not a way to write a strength", cure=f"one of {', '.join(UNITS)}")
    known = density_table(solute)
    least = 0 if form == "parts" else np.finfo(float).tiny
    if not np.all(np.isfinite(value) & (np.asarray(value) >= least)):
        raise OutOfRange(
            f"{known.name} of {likely(value):.4g} {UNITS[form]} has no strength", cure=f"give a figure above 0; {known.sold}"
        )
    try:
        return _READERS[form](known, value, temperature_k)
    except OutOfRange as error:
        if form == "percent_ww":
            raise
        raise OutOfRange(f"{known.name} of {written(form, value)}: {error.what}", cure=error.cure) from None


def written(form: str, value: Number) -> str:
    """A strength as a label writes it: 20 Be, 31.45 %."""
    return f"{likely(value):.6g} {UNITS[form]}"


@cache
def usual_bottles() -> Mapping[str, tuple[str, float]]:
    """Form and figure of the bottle meant when nobody said which, by solute; only liquors whose density is known.

    Source: the shelf, facts/reagents.toml
    """
    bottles: dict[str, tuple[str, float]] = {}
    for row in table("reagents")["reagent"]:
        if "strength" in row and row["solute"] in solutes():
            label = read_strength(row["strength"], name=row["name"])
            bottles.setdefault(row["solute"], (label.form, label.range.likely))
    return bottles


def usual_label(solute: str) -> tuple[str, float]:
    """Form and figure of the bottle meant when nobody said which.

    Args:
        solute: formula or name [text]
    Raises: UnknownName, no bottle of it is usual
    Source: the shelf, facts/reagents.toml
    """
    known = density_table(solute)
    if known.solute not in usual_bottles():
        raise UnknownName(f"no strength is usual for {known.name}", cure="give its strength, as in 20 %")
    return usual_bottles()[known.solute]


def kelvin_60f() -> float:
    """Temperature of the American hydrometer scales [K]."""
    return fact("constants.fahrenheit_60").value


def baume_to_sg(baume: Number, lighter: bool = False) -> Number:
    """Specific gravity from degrees Baume.

    Args:
        baume: American degrees at 60 F [degrees]; 0 and up to under 145
        lighter: whether the scale for liquids lighter than water is meant, as for ammonia water
    Returns: specific gravity, 60 F over 60 F [-]
    Raises: OutOfRange, no liquid stands so high
    Source: SG = 145/(145 - Baume), lighter 140/(130 + Baume); facts/practice/solution.toml

    >>> baume_to_sg(20)
    1.16
    """
    modulus = fact("practice/solution.baume_heavy").value
    if not np.all((np.asarray(baume) >= 0) & (np.asarray(baume) < modulus)):
        raise OutOfRange(f"{likely(baume):.4g} Be is no reading of a Baume hydrometer", cure="give 0 to 70 Be, as in 20 Be")
    if lighter:
        return fact("practice/solution.baume_light").value / (fact("practice/solution.baume_light_zero").value + baume)
    return modulus / (modulus - baume)


def sg_to_baume(sg: Number) -> Number:
    """Degrees Baume from specific gravity; under 1, on the scale for liquids lighter than water.

    Args:
        sg: specific gravity, 60 F over 60 F [-]; above 0
    Returns: American degrees at 60 F [degrees]
    Source: Baume = 145 - 145/SG, lighter 140/SG - 130; facts/practice/solution.toml
    """
    heavy = fact("practice/solution.baume_heavy").value * (1 - 1 / np.asarray(sg))
    light = fact("practice/solution.baume_light").value / np.asarray(sg) - fact("practice/solution.baume_light_zero").value
    return plain(np.where(np.asarray(sg) >= 1, heavy, light))


def volumes_per_mol() -> float:
    """Litres of oxygen at 0 C and one atmosphere from a mole of peroxide [L/mol]: 11.2."""
    litres = molar_volume_l(fact("constants.zero_celsius").value, fact("constants.standard_pressure").value)
    return likely(litres) / fact("practice/solution.peroxide_per_oxygen").value


def trade_percent_per_mol() -> float:
    """Trade per cent of hypochlorite to a mole per litre [trade % L/mol]: 7.09."""
    return molar_mass("Cl2") / fact("practice/solution.available_chlorine").value


def plain(value: Any) -> Number:
    """A float from a figure without cases, so that no zero-dimensional array gets about."""
    return float(value) if np.ndim(value) == 0 else cast(Number, value)


# ---- one reader a form: (table, figure, temperature of the reading) -> mass fraction, density at 20 C
def _by_percent(known: DensityTable, percent: Number, temperature_k: Number | None) -> Read:
    return plain(np.asarray(percent) / 100), plain(g_per_ml(known.solute, percent))


def _by_density(known: DensityTable, density: Number, temperature_k: Number | None) -> Read:
    return _by_percent(known, percent_at(known.solute, density, temperature_k), None)


def _by_sg(known: DensityTable, sg: Number, temperature_k: Number | None) -> Read:
    return _by_density(known, sg * water_g_per_ml(kelvin_60f()), kelvin_60f() if temperature_k is None else temperature_k)


def _by_baume(known: DensityTable, baume: Number, temperature_k: Number | None) -> Read:
    lighter = bool(known.g_per_ml[-1] < known.g_per_ml[0])
    near = fact("practice/solution.baume_label").value
    # A reading with its own temperature is a hydrometer's, never a grade on a label.
    grades = [row for row in known.trade if temperature_k is None and np.any(np.abs(np.asarray(baume) - row["baume"]) <= near)]
    if grades and np.ndim(baume) == 0:
        return grades[0]["percent"] / 100, float(grades[0]["sg"])
    fraction, density = _by_sg(known, baume_to_sg(baume, lighter), temperature_k)
    for row in grades:
        grade = np.abs(np.asarray(baume) - row["baume"]) <= near
        fraction, density = np.where(grade, row["percent"] / 100, fraction), np.where(grade, row["sg"], density)
    return fraction, density


def _by_g_per_l(known: DensityTable, g_per_l: Number, temperature_k: Number | None) -> Read:
    return _by_percent(known, percent_at_g_per_l(known.solute, g_per_l), None)


def _by_percent_wv(known: DensityTable, percent: Number, temperature_k: Number | None) -> Read:
    return _by_g_per_l(known, percent * 10, None)


def _by_mol_per_l(known: DensityTable, mol_per_l: Number, temperature_k: Number | None) -> Read:
    return _by_g_per_l(known, mol_per_l * molar_mass(known.solute), None)


def _by_volumes(known: DensityTable, volumes: Number, temperature_k: Number | None) -> Read:
    _only(known, "H2O2", "volumes", "hydrogen peroxide")
    return _by_mol_per_l(known, volumes / volumes_per_mol(), None)


def _by_trade_percent(known: DensityTable, percent: Number, temperature_k: Number | None) -> Read:
    _only(known, "NaOCl", "trade %", "hypochlorite")
    return _by_mol_per_l(known, percent / trade_percent_per_mol(), None)


def _by_parts(known: DensityTable, parts: Number, temperature_k: Number | None) -> Read:
    fraction, density = read(known.solute, *usual_label(known.solute))
    weaker = fraction * density / (density + parts * float(known.g_per_ml[0]))
    return _by_percent(known, weaker * 100, None) if np.any(np.greater(parts, 0)) else (fraction, density)


def _only(known: DensityTable, solute: str, form: str, name: str) -> None:
    if known.solute != solute:
        raise UnknownName(f"{form} is a strength of {name}, not of {known.name}", cure="give % w/w, mol/L or a density")


_READERS: dict[str, Callable[[DensityTable, Number, Number | None], Read]] = {
    "percent_ww": _by_percent,
    "percent_wv": _by_percent_wv,
    "baume": _by_baume,
    "sg": _by_sg,
    "density": _by_density,
    "mol_per_l": _by_mol_per_l,
    "g_per_l": _by_g_per_l,
    "trade_percent": _by_trade_percent,
    "volumes": _by_volumes,
    "parts": _by_parts,
}
