"""The solid a base leaves lying when no more of it dissolves."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.bases import Base
from refinekit.chemistry.equilibrium.constants import Constants, Solid
from refinekit.chemistry.equilibrium.settle import Settled, saturation


def left_lying(kind: Base, constants: Constants) -> tuple[Solid, ...]:
    """The solid a single base leaves when it dissolves no more; none for caustic, nor for mixtures, whose rest dissolves on."""
    if len(kind.left_over) != 1 or " + " in kind.name:
        return ()
    key = kind.left_over[0]
    formula = next(solid.formula for solid in constants.left_over if solid.key == key)
    own = [solid for solid in constants.solids if solid.formula == formula]
    most_soluble = max(own, key=lambda solid: solid.log_k, default=None)
    return (most_soluble,) if most_soluble else tuple(solid for solid in constants.left_over if solid.key == key)


def held_back(kind: Base, constants: Constants) -> tuple[str, ...]:
    """Solids that must not fall while a dose is sought, because they would be the base itself."""
    formulas = {solid.formula for solid in left_lying(kind, constants)}
    return tuple(solid.key for solid in constants.solids if solid.formula in formulas)


def dissolves(settled: Settled, kind: Base, constants: Constants) -> NDArray[np.bool_]:
    """Whether the last of the base still dissolved (n,)."""
    fits = np.ones(len(settled.ok), dtype=bool)
    for solid in left_lying(kind, constants):
        fits &= saturation(settled, solid.to, solid.log_k) <= 0
    return fits
