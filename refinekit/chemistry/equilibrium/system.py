"""The balances of a liquor as matrices: which species its components make, which solids may fall from them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log, log10

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.activity import LnGamma, ln_gamma_of, water_slope
from refinekit.chemistry.equilibrium.constants import Constants, Solid, taken_apart
from refinekit.chemistry.equilibrium.names import ACID, charge

Array = NDArray[np.float64]
LN10 = log(10)


@dataclass(frozen=True, eq=False)
class System:
    """Matrices of one set of components. C components that make something, J species of them, P solids, S bystanders.

    Args:
        parts: components with complexes or solids, C of them
        bystanders: components that stay as they are, S of them
        species: dissolved species, J of them: the free ions of `parts` first, then H^+, then the complexes
        nu: components in a species (J, C); nu_h its H^+ (J,); nu_w its water (J,)
        ln_k: ln of formation constants (J,)
        z: charge numbers (J,)
        solids: P of them; their solid_nu (P, C), solid_h (P,), solid_w (P,), solid_ln_k (P,)
        ln_gamma: activity equation for the kinds of ion; takes, how often each species takes each kind's figure (kinds, J)
        all_at_once: components, acid, water and kinds in a species, for one product (C + 2 + kinds, J)
        left_by_kind: `left` times what each species takes of each kind (kinds, J, C + 3)
        water_slope: fall of the water's activity per mol dissolved [kg/mol]
        left: what each species counts towards the components, the charge, the ionic strength and the number dissolved (J, C + 3)
        right: what each species follows: the components, the acid, the water (J, C + 2)
        crossed: products of the two, of which the slopes of all sums are made (J, (C + 3) x (C + 2))
        solid_right: the same as `right` for the solids (P, C + 2)
        bystander_z: charge numbers of the bystanders (S,)
    """

    parts: tuple[str, ...]
    bystanders: tuple[str, ...]
    species: tuple[str, ...]
    nu: Array
    nu_h: Array
    nu_w: Array
    ln_k: Array
    z: Array
    solids: tuple[Solid, ...]
    solid_nu: Array
    solid_h: Array
    solid_w: Array
    solid_ln_k: Array
    ln_gamma: LnGamma
    takes: Array
    all_at_once: Array
    left_by_kind: Array
    water_slope: float
    left: Array
    right: Array
    crossed: Array
    solid_right: Array
    bystander_z: Array


@lru_cache(maxsize=64)
def system_of(
    constants: Constants, names: tuple[str, ...], idle: tuple[str, ...], gas_atm: float, over: tuple[str, ...]
) -> System:
    """The balances over a set of components.

    Args:
        constants: set of constants
        names: components present
        idle: ions without constants, carried as bystanders
        gas_atm: pressure at which carbon dioxide leaves as if it were a solid [atm]; 0 where none may leave
        over: keys of solids that must not fall
    """
    present = set(names)
    made = [c for c in constants.complexes if set(taken_apart(c.of)[0]) <= present]
    solids = [s for s in constants.solids if set(taken_apart(s.to)[0]) <= present and s.key not in over]
    if gas_atm > 0 and set(taken_apart(constants.carbon_dioxide.to)[0]) <= present:
        gas = constants.carbon_dioxide
        solids.append(Solid(gas.key, gas.formula, gas.name, gas.to, gas.log_k + log10(gas_atm)))
    busy = {name for c in made for name in taken_apart(c.of)[0]} | {name for s in solids for name in taken_apart(s.to)[0]}
    parts = tuple(name for name in names if name in busy)
    species = (*parts, ACID, *(c.formula for c in made))
    nu, nu_h, nu_w = _counts([{name: 1.0} for name in (*parts, ACID)] + [dict(c.of) for c in made], parts)
    solid_nu, solid_h, solid_w = _counts([dict(s.to) for s in solids], parts)
    z = np.array([charge(name) for name in (*parts, ACID)] + [c.charge for c in made], dtype=float)
    left = np.column_stack([nu, z, 0.5 * z**2, np.ones(len(z))])
    right = np.column_stack([nu, nu_h, nu_w])
    ln_gamma, takes = ln_gamma_of(constants.activity, species)
    ideal = constants.activity == "none"
    bystanders = (*(name for name in names if name not in busy), *idle)
    return System(
        parts=parts,
        bystanders=bystanders,
        species=species,
        nu=nu,
        nu_h=nu_h,
        nu_w=nu_w,
        ln_k=np.array([0.0] * (len(parts) + 1) + [c.log_k for c in made]) * LN10,
        z=z,
        solids=tuple(solids),
        solid_nu=solid_nu,
        solid_h=solid_h,
        solid_w=solid_w,
        solid_ln_k=np.array([s.log_k for s in solids]) * LN10,
        ln_gamma=ln_gamma,
        takes=takes,
        all_at_once=np.vstack([right.T, -takes]),
        left_by_kind=takes[:, :, None] * left,
        water_slope=0.0 if ideal else water_slope(),
        left=left,
        right=right,
        solid_right=np.column_stack([solid_nu, solid_h, solid_w]),
        bystander_z=np.array([charge(name) for name in bystanders], dtype=float),
        crossed=np.einsum("ja,jb->jab", left, right).reshape(len(z), -1),
    )


def _counts(reactions: Sequence[dict[str, float]], parts: tuple[str, ...]) -> tuple[Array, Array, Array]:
    nu = np.zeros((len(reactions), len(parts)))
    h, w = np.zeros(len(reactions)), np.zeros(len(reactions))
    for row, reaction in enumerate(reactions):
        rest, h[row], w[row] = taken_apart(reaction)
        for name, count in rest.items():
            nu[row, parts.index(name)] = count
    return nu, h, w
