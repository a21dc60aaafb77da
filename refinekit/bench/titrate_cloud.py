"""When the cloud comes: what of the caustic the metals take, and where copper begins to fall in the thinned sample."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.work import Work
from refinekit.chemistry.equilibrium.curve import curve
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.names import charge
from refinekit.chemistry.equilibrium.state import State
from refinekit.facts.load import fact
from refinekit.ranges import Number, low
from refinekit.record import record

READ_AS_ACID = ("Fe^3+", "Sn^4+", "Al^3+")
"""Metals that take caustic before copper's cloud comes, as many of it as their charge."""
TITRANT = "NaOH"
SEEN = "practice/titrate.cloud_seen"
POINTS, ROUNDS = 56, 3
"""Points of a look, and how often the step in which the cloud comes is looked at closer."""


@record
class Cloud:
    """The first cloud that is not one of the metals that read as acid.

    Args:
        ph: where it comes [-]
        taken_mol_per_l: caustic gone in by then [mol per litre of the liquor given]
        solid: what falls [text]
    """

    ph: float
    taken_mol_per_l: float
    solid: str


def metals_per_l(liquor: Work) -> dict[str, Number]:
    """Moles of the metals that read as acid, in a litre, over the cases [mol/L]."""
    if low(liquor.volume_l) <= 0:
        return {}
    return {ion: liquor.dissolved[ion] / liquor.volume_l for ion in READ_AS_ACID if ion in liquor.dissolved}


def read_as_acid(metals_mol_per_l: Mapping[str, Number]) -> Number:
    """Acid a titration sees in metals: as many hydroxides as each has charges [mol/L].

    >>> round(read_as_acid({"Fe^3+": 0.1, "Sn^4+": 0.01}), 9)
    0.34
    """
    seen: Number = 0.0
    for ion, amount in metals_mol_per_l.items():
        seen = seen + charge(ion) * amount
    return seen


def first_cloud(liquor: Liquor) -> Cloud | None:
    """Where the first lasting cloud comes as caustic goes in; None where none does up to the end of the look.

    Args:
        liquor: one liquor, thinned as it is at the end of the titration
    """
    seen, low, high, solid = fact(SEEN).value, 0.0, fact("practice/titrate.cloud_end").value, ""
    found: tuple[float, float] | None = None
    for _ in range(ROUNDS):  # each round looks closer at the step in which the cloud comes
        way = curve(liquor, TITRANT, phs=np.linspace(low, high, POINTS))
        given = np.isfinite(way.base_mol_per_l)
        clouded = np.flatnonzero(given & (fallen(way.state) > seen))
        if not len(clouded):
            break
        row = int(clouded[0])
        solid = _names(way.state, row)[0]
        clear = max(row - 1, 0) if given[max(row - 1, 0)] else row
        found = float(way.ph[clear]), float(way.base_mol_per_l[clear])
        low, high = float(way.ph[max(row - 1, 0)]), float(way.ph[row])
    return Cloud(*found, solid) if found else None


def fallen(state: State) -> NDArray[np.float64]:
    """Everything that makes a lasting cloud (n,) [mol/L]."""
    amounts = [amount for key, amount in state.phases_mol_per_l.items() if _clouds(state, key)]
    return np.nan_to_num(np.sum(amounts, axis=0)) if amounts else np.zeros(len(state.ph))


def _clouds(state: State, key: str) -> bool:
    """Whether a solid makes the cloud: a metal falling as alkali comes in, and not one of those that fall before."""
    solid = next(solid for solid in state.constants.solids if solid.key == key)
    return solid.to.get("H^+", 0.0) < 0 and not set(READ_AS_ACID) & set(solid.to)


def _names(state: State, row: int) -> list[str]:
    keys = [key for key, amount in state.phases_mol_per_l.items() if amount[row] > fact(SEEN).value and _clouds(state, key)]
    names = {solid.key: solid.name for solid in state.constants.solids}
    return [names[key] for key in keys]


def with_acid(liquor: Liquor, acid_mol_per_l: float) -> Liquor:
    """The same metals in acid of another strength: chloride comes in, or sodium for want of acid."""
    totals = {name: np.asarray(total) for name, total in liquor.totals_mol_per_l.items()}
    gap = acid_mol_per_l - liquor.acid_mol_per_l
    for name, more in (("Cl^-", np.maximum(gap, 0.0)), ("Na^+", np.maximum(-gap, 0.0))):
        totals[name] = totals.get(name, np.zeros(1)) + more
    return Liquor(totals, liquor.idle_mol_per_l)


def thinned(liquor: Liquor, times: float | NDArray[np.float64]) -> Liquor:
    """The liquor in so many times its volume."""
    return Liquor(
        {name: np.asarray(total) / times for name, total in liquor.totals_mol_per_l.items()},
        {name: np.asarray(total) / times for name, total in liquor.idle_mol_per_l.items()},
    )


def without_early_metals(liquor: Liquor) -> Liquor:
    """The liquor as it is once iron(III), tin(IV) and aluminium are down, its free acid as before."""
    acid = float(liquor.acid_mol_per_l[0])
    rest = {name: total for name, total in liquor.totals_mol_per_l.items() if name not in READ_AS_ACID}
    return with_acid(Liquor(rest, liquor.idle_mol_per_l), acid)
