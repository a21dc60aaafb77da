"""Heat: of reactions from formation enthalpies, of neutralising, diluting, boiling down and melting, and how warm a pot gets.

Heat given out counts as plus everywhere but in `reaction_enthalpy`, which keeps the chemist's sign.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import Any

import numpy as np

from refinekit.chemistry.density import density_table
from refinekit.chemistry.species import molar_mass, parse
from refinekit.errors import OutOfRange, UnknownName
from refinekit.facts.load import fact, table
from refinekit.ranges import Number, Range, likely

_PHASE = re.compile(r"\((s|am|l|g|aq)\)$")
_PHASE_OF = {"solid": "s", "liquid": "l", "gas": "g", "dissolved": "aq"}


# ---- reactions
@cache
def formation_enthalpy(species: str) -> float:
    """Standard enthalpy of formation at 25 C.

    Args:
        species: formula [text], with its phase behind it where it is not the one it has at the bench: "Cu^2+", "HCl" (dissolved),
            "HCl(g)", "NaOH(s)", "H2O(g)"
    Returns: enthalpy [kJ/mol]; of a dissolved salt or strong acid, the sum over its ions
    Raises: UnknownName, none is known
    Source: facts/enthalpy.toml

    >>> formation_enthalpy("HCl")
    -167.2
    """
    phase = _PHASE.search(species)
    formula = species[: phase.start()] if phase else species
    if phase:
        return _tabled(formula, phase[1])
    usual = _usual(formula)
    # Bisulfate counts as its ions in a pot, but has a heat of its own.
    if "ions" in usual and not any(row["phase"] == "aq" for row in _same(formula)):
        return float(sum(count * formation_enthalpy(ion) for ion, count in usual["ions"].items()))
    return _tabled(formula, _PHASE_OF.get(usual.get("phase", ""), ""))


def reaction_enthalpy(coefficients: Mapping[str, float]) -> float:
    """Enthalpy change of a reaction at 25 C and endless dilution.

    Args:
        coefficients: moles of each species [mol], products above 0 and what is used up below 0; species as `formation_enthalpy`
    Returns: enthalpy change [kJ]; below 0 where heat is given out
    Raises: UnknownName, no formation enthalpy is known of one of them
    Source: facts/enthalpy.toml

    >>> reaction_enthalpy({"H^+": -1, "OH^-": -1, "H2O": 1})
    -55.8
    """
    return sum(count * formation_enthalpy(species) for species, count in coefficients.items())


def _usual(formula: str) -> Mapping[str, Any]:
    """The row of a formula among the species, for the phase or the ions it has at the bench; empty where there is none."""
    for row in table("species")["species"]:
        if row["formula"] == formula:
            found: Mapping[str, Any] = row
            return found
    return {}


def _tabled(formula: str, phase: str) -> float:
    """Enthalpy of a formula in a phase; of its one tabled phase where none is asked [kJ/mol]."""
    rows = [row for row in _same(formula) if phase in ("", row["phase"])]
    if not rows:
        raise UnknownName(
            f"no formation enthalpy is known for {formula}{f'({phase})' if phase else ''}", cure="see facts/enthalpy.toml"
        )
    return float(rows[0]["value"])


def _same(formula: str) -> list[Mapping[str, Any]]:
    """Rows of a formula, or of the same atoms and charge written another way (CuO2H2 for Cu(OH)2)."""
    rows: list[Mapping[str, Any]] = table("enthalpy")["species"]
    exact = [row for row in rows if row["formula"] == formula]
    if exact:
        return exact
    wanted = parse(formula)
    found = ((row, parse(row["formula"])) for row in rows)
    return [row for row, other in found if (other.elements, other.charge) == (wanted.elements, wanted.charge)]


# ---- how warm a pot gets
def rise_k(heat_kj: Number, volume_l: Number, heat_capacity: Number | None = None) -> Number:
    """How much warmer a liquor gets if it loses no heat.

    Args:
        heat_kj: heat given out in it [kJ]; below 0 where it is taken up
        volume_l: liquor [L]; above 0
        heat_capacity: of a litre of it [kJ/(L K)]; above 0; left out, that of a thin liquor
    Returns: rise [K]
    Raises: OutOfRange, no liquor to warm
    Source: facts/enthalpy.toml

    >>> rise_k(342.6, 5.0)
    16.39
    """
    if not np.all(np.greater(volume_l, 0)):
        raise OutOfRange(f"{likely(volume_l):.4g} L cannot be warmed", cure="give the litres of the final liquor, above 0")
    capacity = fact("enthalpy.liquor_heat_capacity").value if heat_capacity is None else heat_capacity
    return heat_kj / (volume_l * capacity)


def neutralising_heat(base: str) -> Range:
    """Heat given out for each mole of strong acid neutralised.

    Args:
        base: what neutralises it [text]: "caustic" (dissolved, cold), "pearls", "lime", "soda ash" or "bicarbonate"
    Returns: heat [kJ/mol of acid]; below 0 for bicarbonate, which cools. Of pearls, caustic's and their dissolving
    Raises: UnknownName, another base
    Source: facts/enthalpy.toml
    """
    known = ("caustic", "pearls", "lime", "soda ash", "bicarbonate")
    if base not in known:
        raise UnknownName(f"no heat is known for neutralising with {base!r}", cure=f"one of {', '.join(known)}")
    if base == "pearls":
        dissolved, dissolving = fact("enthalpy.neutralise.caustic").range, fact("enthalpy.dissolve.pearls").value
        return Range(dissolved.low + dissolving, dissolved.likely + dissolving, dissolved.high + dissolving)
    return fact(f"enthalpy.neutralise.{base.replace(' ', '_')}").range


# ---- diluting
def dilution_known(solute: str) -> bool:
    """Whether heats of dilution of a solute are tabled."""
    return solute in table("enthalpy")["dilution"]


def dilution_heat(solute: str, mass_fraction: Number) -> Number:
    """Heat a solution still gives out if diluted without end.

    Args:
        solute: formula [text] that `dilution_known` knows
        mass_fraction: strength [-]; above 0 to 1, float or array; 0 gives 0
    Returns: heat [kJ/mol of solute]
    Raises: UnknownName, no heats are tabled
    Source: facts/enthalpy.toml: Thomsen for sulfuric acid, Parker for the others

    >>> float(dilution_heat("HCl", 0.3145))
    12.9
    """
    if not dilution_known(solute):
        raise UnknownName(f"no heat of dilution is known for {solute}", cure=f"one of {', '.join(table('enthalpy')['dilution'])}")
    row = table("enthalpy")["dilution"][solute]
    fraction = np.asarray(mass_fraction, dtype=float)
    if "half" in row:
        water_per_acid = (1 - fraction) / molar_mass("H2O") * molar_mass(solute) / np.maximum(fraction, np.finfo(float).eps)
        left = row["total"] * row["half"] / (water_per_acid + row["half"])
        return float(left) if left.ndim == 0 else left
    molality = 1000 * fraction / molar_mass(solute) / np.maximum(1 - fraction, np.finfo(float).eps)
    x, y = np.asarray(row["mol_per_kg"], dtype=float), np.asarray(row["kj_per_mol"], dtype=float)
    # Stronger than the last row, the line goes on, so that no heat is missed.
    beyond = (y[-1] - y[-2]) / (x[-1] - x[-2]) * np.maximum(molality - x[-1], 0)
    left = np.minimum(np.interp(molality, x, y) + beyond, row["pure"])
    return float(left) if left.ndim == 0 else left


def liquor_heat_capacity(solute: str, mass_fraction: Number) -> Number:
    """Heat capacity of a gram of liquor.

    Args:
        solute: formula or name [text]
        mass_fraction: strength [-]; 0 to 1, float or array
    Returns: heat capacity [J/(g K)]; where the solute has no table, water's share and one for what is dissolved
    Raises: UnknownName, a solute nothing is known of
    Source: facts/densities, facts/practice/solution.toml
    """
    rows = density_table(solute).fact.get("heat_capacity")
    fraction = np.asarray(mass_fraction, dtype=float)
    if rows is None:
        dissolved = fact("practice/solution.solute_heat_capacity").value
        capacity = (1 - fraction) * fact("enthalpy.liquor_heat_capacity").value + fraction * dissolved
    else:
        capacity = np.interp(100 * fraction, rows["percent"], rows["j_per_g_k"])
    return float(capacity) if np.ndim(capacity) == 0 else capacity


# ---- boiling down and melting
def boil_down_heat(water_g: Number, from_k: Number) -> Number:
    """Heat to warm water to the boil and boil it off.

    Args:
        water_g: water to drive off [g]; 0 and up
        from_k: temperature it starts at [K]; 273.15 to 373.15
    Returns: heat [kJ]; what warms the liquor that stays comes on top
    Raises: OutOfRange, water that is ice or steam already
    Source: facts/enthalpy.toml

    >>> boil_down_heat(300.0, 293.15)
    777.6
    """
    boils = fact("enthalpy.water_boils").value
    if not np.all((np.asarray(from_k) >= fact("constants.zero_celsius").value) & (np.asarray(from_k) <= boils)):
        raise OutOfRange(f"{likely(from_k):.4g} K is not water at the bench", cure="give 0 to 100 C, as in 20 C")
    joules = fact("enthalpy.water_heat_capacity").value * (boils - from_k) + fact("enthalpy.water_vaporisation").value
    return water_g * joules / 1000


def melting_heat(metal: str, mass_g: Number, from_k: Number, pour_k: Number) -> Number:
    """Heat to melt a metal and bring it to the pour; the crucible's comes on top and is usually more.

    Args:
        metal: "Au", "Ag" or "Cu" [text]
        mass_g: metal [g]; 0 and up
        from_k: temperature it starts at [K]; up to its melting point
        pour_k: temperature to pour at [K]; its melting point and up
    Returns: heat [kJ]
    Raises: UnknownName, another metal; OutOfRange, a pour below the melting point
    Source: facts/enthalpy.toml, handbook figures from memory

    >>> melting_heat("Au", 50.0, 298.15, 1373.15)
    10.64
    """
    rows = table("enthalpy")["melting"]
    if metal not in rows:
        raise UnknownName(f"no melting heat is known for {metal!r}", cure=f"one of {', '.join(rows)}")
    row = rows[metal]
    if np.any(np.less(pour_k, row["melts_k"])) or np.any(np.greater(from_k, row["melts_k"])):
        zero = fact("constants.zero_celsius").value
        raise OutOfRange(
            f"{metal} does not pour at {likely(pour_k) - zero:.4g} C", cure=f"give more than {row['melts_k'] - zero:.0f} C"
        )
    solid = row["solid_j_per_g_k"] * (row["melts_k"] - from_k)
    liquid = row["liquid_j_per_g_k"] * (pour_k - row["melts_k"])
    heat_kj: Number = mass_g * (solid + row["fusion_j_per_g"] + liquid) / 1000
    return heat_kj


def minutes_to_heat(heat_kj: Number, watts: Number, share: Number) -> Number:
    """Minutes a plate, torch or furnace needs.

    Args:
        heat_kj: heat that has to go in [kJ]; 0 and up
        watts: power drawn [W]; above 0
        share: part of it that reaches the load [-]; above 0 to 1
    Returns: time [min]
    Raises: OutOfRange, no power, or more than all of it

    >>> minutes_to_heat(777.564, 500.0, 0.4)
    64.80
    """
    if not np.all(np.greater(watts, 0)) or not np.all(np.greater(share, 0) & np.less_equal(share, 1)):
        raise OutOfRange("nothing warms without power", cure="give watts above 0 and the share that arrives, as in 0.4")
    return 1000 * heat_kj / (watts * share) / 60
