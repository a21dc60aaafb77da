"""What a reaction does to a pot, ion by ion, and the heat it gives out there."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from refinekit.bench.work import pot_form
from refinekit.chemistry.equation import Equation, reaction
from refinekit.chemistry.heat import formation_enthalpy
from refinekit.errors import UnknownName
from refinekit.facts.load import table


def net_in_pot(which: str | Equation) -> dict[str, float]:
    """Moles of each species of a pot that one run of a reaction makes (above 0) or uses up (below 0).

    Args:
        which: id of the reactions facts, or an Equation

    >>> net_in_pot("R10.5")
    {'Cu^2+': -1.0, 'OH^-': -2.0, 'CuO2H2': 1.0}
    """
    equation = reaction(which) if isinstance(which, str) else which
    counts: dict[str, float] = {}
    for side, sign in ((equation.left, -1.0), (equation.right, 1.0)):
        for formula, coefficient in side.items():
            for _, species, count in pot_form(formula):
                counts[species] = counts.get(species, 0.0) + sign * coefficient * count
    return {species: count for species, count in counts.items() if count}


def heat_of(which: str | Equation) -> float | None:
    """Heat given out by one run of a reaction in a thin liquor at 25 C [kJ]; None where a formation enthalpy is missing.

    Source: facts/enthalpy.toml

    >>> round(heat_of("R10.1"), 1)
    153.9
    """
    return _heat_of_net(tuple(sorted(net_in_pot(which).items())))


@cache
def _heat_of_net(net: tuple[tuple[str, float], ...]) -> float | None:
    try:
        return -sum(count * formation_enthalpy(species) for species, count in net)
    except UnknownName:
        return None


def heat_of_falling(which: str | Equation) -> float | None:
    """Heat given out by one run of a reaction in which a solid falls from dissolved alkali [kJ]; None where it is not known.

    Where a formation enthalpy is missing, by the enthalpy of the solid dissolving in acid, and that of water.
    Source: facts/enthalpy.toml, facts/equilibrium/phases.toml

    >>> round(heat_of_falling("R10.19"))
    74
    """
    found = heat_of(which)
    net = net_in_pot(which)
    fallen = [(species, count) for species, count in net.items() if count > 0 and species in _dissolving()]
    water = heat_of("R10.33")
    if found is not None or len(fallen) != 1 or water is None:
        return found
    solid, count = fallen[0]
    return count * _dissolving()[solid] - net.get("OH^-", 0.0) * water


@cache
def _dissolving() -> Mapping[str, float]:
    """Enthalpy of each fresh solid dissolving in acid, as pots hold it [kJ/mol]."""
    rows = [row for row in table("equilibrium/phases")["phase"] if row["state"] == "fresh" and "enthalpy_kj_per_mol" in row]
    return {pot_form(row["formula"])[0][1]: float(row["enthalpy_kj_per_mol"]) for row in rows}
