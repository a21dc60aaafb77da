"""What a reaction does to a pot, ion by ion, and the heat it gives out there."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from refinekit.bench.work import pot_form
from refinekit.chemistry.equation import Equation, reaction
from refinekit.chemistry.heat import formation_enthalpy
from refinekit.errors import UnknownName


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


def used_for_each(which: str | Equation, species: str) -> Mapping[str, float]:
    """Moles used up and made for each mole of a species a reaction uses up.

    Args:
        which: id of the reactions facts, or an Equation
        species: as pots hold it [text]
    """
    net = net_in_pot(which)
    return {name: count / -net[species] for name, count in net.items()}
