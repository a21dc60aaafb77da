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
"""Ionic strength (n,) to ln gamma of each kind of ion (n, kinds) and its slope with ionic strength (n, kinds)."""


def ln_gamma_of(model: Activity, formulas: Sequence[str]) -> tuple[LnGamma, Array]:
    """The activity equation for a set of dissolved species, by kinds of ion that share one figure.

    Args:
        model: "davies", "ext_dh" or "none"
        formulas: species in the order of the columns wanted
    Returns: function of ionic strength [mol/kg] giving ln of the coefficients [-] and their slopes [kg/mol] by kind, and
        how many times each species takes the figure of each kind (kinds, J) [-]
    Source: facts/equilibrium/activity.toml
    """
    charges = np.array([charge(formula) for formula in formulas], dtype=float)
    if model == "none":
        return (lambda ionic: (np.zeros((len(ionic), 1)), np.zeros((len(ionic), 1)))), np.zeros((1, len(charges)))
    return (_davies(), charges[None, :] ** 2) if model == "davies" else _extended(formulas, charges)


def _slope() -> float:
    return fact("equilibrium/activity.debye_huckel_a").value * log(10)


def _davies() -> LnGamma:
    slope, linear = _slope(), fact("equilibrium/activity.davies_slope").value

    def ln_gamma(ionic: Array) -> tuple[Array, Array]:
        root = np.sqrt(ionic)
        value = -slope * (root / (1 + root) - linear * ionic)
        rise = -slope * (0.5 / (root * (1 + root) ** 2) - linear)
        return value[:, None], rise[:, None]

    return ln_gamma


def _extended(formulas: Sequence[str], charges: Array) -> tuple[LnGamma, Array]:
    slope, b_dot = _slope(), fact("equilibrium/activity.b_dot").value * log(10)
    sizes = table("equilibrium/activity")["size"]
    size = np.array([sizes.get(f, sizes.get(str(int(z)), 0.0)) for f, z in zip(formulas, charges, strict=True)], dtype=float)
    kinds = sorted({(z**2, a) for z, a in zip(charges, size, strict=True) if z})
    square = np.array([kind[0] for kind in kinds])
    reach = np.array([kind[1] for kind in kinds]) * fact("equilibrium/activity.debye_huckel_b").value
    takes = np.array([[float(z != 0 and (z**2, a) == kind) for z, a in zip(charges, size, strict=True)] for kind in kinds])

    def ln_gamma(ionic: Array) -> tuple[Array, Array]:
        root = np.sqrt(ionic)[:, None]
        below = 1 + reach * root
        value = -slope * square * root / below + b_dot * ionic[:, None]
        rise = -slope * square * 0.5 / (root * below**2) + b_dot
        return value, rise

    return ln_gamma, takes


def water_slope() -> float:
    """How much the activity of water falls with each mole dissolved in a kilogram [kg/mol]."""
    return fact("equilibrium/activity.water_slope").value
