"""Activity coefficients of ions, and of the water, as functions of ionic strength."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import log

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.constants import Activity
from refinekit.chemistry.equilibrium.names import charge
from refinekit.facts.load import fact, table

Array = NDArray[np.float64]
LnGamma = Callable[[Array], tuple[Array, Array]]
"""Ionic strength (n,) to ln gamma (n, species) and its slope with ionic strength."""


def ln_gamma_of(model: Activity, formulas: Sequence[str]) -> LnGamma:
    """The activity equation for a set of dissolved species.

    Args:
        model: "davies", "ext_dh" or "none"
        formulas: species in the order of the columns wanted
    Returns: function of ionic strength [mol/kg] giving ln of the coefficients [-] and their slopes [kg/mol]
    Source: facts/equilibrium/activity.toml
    """
    charges = np.array([charge(formula) for formula in formulas], dtype=float)
    if model == "none":
        return lambda ionic: (np.zeros((len(ionic), len(charges))), np.zeros((len(ionic), len(charges))))
    return _davies(charges) if model == "davies" else _extended(formulas, charges)


def _slope() -> float:
    return fact("equilibrium/activity.debye_huckel_a").value * log(10)


def _davies(charges: Array) -> LnGamma:
    slope, linear, square = _slope(), fact("equilibrium/activity.davies_slope").value, charges**2

    def ln_gamma(ionic: Array) -> tuple[Array, Array]:
        root = np.sqrt(ionic)
        value = -slope * (root / (1 + root) - linear * ionic)
        rise = -slope * (0.5 / (root * (1 + root) ** 2) - linear)
        return value[:, None] * square, rise[:, None] * square

    return ln_gamma


def _extended(formulas: Sequence[str], charges: Array) -> LnGamma:
    slope, b_dot = _slope(), fact("equilibrium/activity.b_dot").value * log(10)
    sizes = table("equilibrium/activity")["size"]
    reach = np.array([sizes.get(f, sizes.get(str(int(z)), 0.0)) for f, z in zip(formulas, charges, strict=True)], dtype=float)
    reach = reach * fact("equilibrium/activity.debye_huckel_b").value
    square, is_ion = charges**2, charges != 0

    def ln_gamma(ionic: Array) -> tuple[Array, Array]:
        root = np.sqrt(ionic)[:, None]
        below = 1 + reach * root
        value = -slope * square * root / below + b_dot * ionic[:, None]
        rise = -slope * square * 0.5 / (root * below**2) + b_dot
        return np.where(is_ion, value, 0.0), np.where(is_ion, rise, 0.0)

    return ln_gamma


def water_slope() -> float:
    """How much the activity of water falls with each mole dissolved in a kilogram [kg/mol]."""
    return fact("equilibrium/activity.water_slope").value
