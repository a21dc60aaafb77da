"""The whole way: pH against base, and every metal against pH."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.bases import CARBONATE, Base, base
from refinekit.chemistry.equilibrium.carbonic import gas_held
from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.leftover import dissolves, held_back
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.newton import Point
from refinekit.chemistry.equilibrium.settle import Settled, settle
from refinekit.chemistry.equilibrium.start import ph_sought
from refinekit.chemistry.equilibrium.state import State, checked_ph, state_of
from refinekit.chemistry.equilibrium.system import LN10
from refinekit.errors import BadQuantity, OutOfRange
from refinekit.facts.load import fact
from refinekit.ranges import Number
from refinekit.record import record

Array = NDArray[np.float64]
ROUGH_POINTS = 40


@record
class Curve:
    """One liquor along rising base.

    Args:
        base: what goes in
        base_mol_per_l: base gone in at each point (k,) [mol/L]; NaN where a pH cannot be had
        ph: pH at each point (k,) [-]
        state: the pot at each point
        co2_lost_mol_per_l: carbon dioxide given off by then (k,) [mol/L]
        dissolves: whether the last of the base still dissolved (k,)
    """

    base: Base
    base_mol_per_l: Array
    ph: Array
    state: State
    co2_lost_mol_per_l: Array
    dissolves: NDArray[np.bool_]


def curve(
    liquor: Liquor,
    reagent: str | Base,
    constants: Constants | None = None,
    *,
    doses_mol_per_l: Number | None = None,
    phs: Number | None = None,
    vent_atm: float | None = None,
) -> Curve:
    """Put a base into one liquor by portions, or ask for the base at each pH.

    Args:
        liquor: one liquor
        reagent: base, as `bases.base` and `bases.mixture` know them
        constants: set of constants; the likely one if left out
        doses_mol_per_l: base gone in at each point, rising (k,) [mol/L], 0 and up
        phs: pH at each point, rising (k,) [-]; give this or the doses
        vent_atm: pressure at which carbon dioxide bubbles off [atm]; a still pot's if left out, 0 for a shut one
    Returns: Curve
    Raises: BadQuantity, neither or both of doses and pH, not rising, or not one liquor; OutOfRange, a negative dose or no pH
    """
    if (doses_mol_per_l is None) == (phs is None) or len(liquor) != 1:
        raise BadQuantity("a curve is of one liquor, at doses or at pH values", cure="give one liquor and one of the two rows")
    chosen = constants or Constants.default()
    kind = base(reagent) if isinstance(reagent, str) else reagent
    points = checked_ph(phs) if phs is not None else np.atleast_1d(np.asarray(doses_mol_per_l, dtype=float))
    if (np.diff(points) < 0).any():
        raise BadQuantity("the points of a curve must rise", cure="sort them")
    if phs is None and (points < 0).any():
        raise OutOfRange(f"a dose of {points.min():g} mol/L is negative", cure="base goes in, it does not come out")
    vent = fact("equilibrium/activity.still_pot_carbon_dioxide").value if vent_atm is None else vent_atm
    return _along(liquor.rows(np.zeros(len(points), dtype=np.intp)), kind, chosen, points, vent, by_ph=phs is not None)


def _along(liquor: Liquor, kind: Base, constants: Constants, points: Array, vent_atm: float, *, by_ph: bool) -> Curve:
    held = held_back(kind, constants) if by_ph else ()

    near = None if kind.is_carbonate else _about(liquor, kind, constants, points, held, by_ph=by_ph)

    def at(gas_atm: float, removed: dict[str, Array] | None) -> Settled:
        fixed: Literal["ph", "dose"] = "ph" if by_ph else "dose"
        return settle(
            liquor,
            kind.adds,
            constants,
            fixed=fixed,
            at=points,
            alkali=kind.alkali,
            gas_atm=gas_atm,
            over=held,
            removed=removed,
            near=near,
        )

    lost = np.zeros(len(points))
    carbonated = kind.is_carbonate or CARBONATE in liquor.totals_mol_per_l
    if carbonated and vent_atm:
        gas = at(vent_atm, None)
        on_the_way = gas.ok & (gas.dose >= 0) & dissolves(gas, kind, constants)
        lost = np.maximum.accumulate(np.where(on_the_way, gas_held(gas), 0.0))
    removed = {CARBONATE: lost} if lost.any() else None
    settled = at(0.0, removed)
    state = state_of(settled, liquor, kind.adds, constants, removed=removed)
    good = settled.ok & (settled.dose >= 0)
    own = held_back(kind, constants)
    lying = sum((state.phases_mol_per_l[key] for key in own if not by_ph), start=np.zeros(len(points)))
    gone_in = lying == 0 if own and not by_ph else dissolves(settled, kind, constants)
    return Curve(kind, np.where(good, settled.dose, np.nan), state.ph, state, lost, gone_in)


def _about(
    liquor: Liquor, kind: Base, constants: Constants, points: Array, held: tuple[str, ...], *, by_ph: bool
) -> Point | None:
    """Where each point will come to, roughly: from the balances at fewer pH, which is cheaper than guessing at every point."""
    lowest, highest = (points[0], points[-1]) if by_ph else ph_sought()
    if len(points) < 2 * ROUGH_POINTS or not lowest < highest:
        return None
    grid = np.linspace(lowest, highest, ROUGH_POINTS)
    one = liquor.rows(np.zeros(1, dtype=np.intp))
    rough = settle(one, kind.adds, constants, fixed="ph", at=grid, alkali=kind.alkali, over=held, tries=1)
    rising = np.flatnonzero(rough.ok if by_ph else rough.ok & (rough.dose >= 0))
    if len(rising) < 2:
        return None
    here, ph = rough.near().rows(rising), grid[rising]
    along = ph if by_ph else here.free
    after = np.clip(np.searchsorted(along, points), 1, len(rising) - 1)
    gap = np.maximum(along[after] - along[after - 1], 1e-12)
    part = np.clip((points - along[after - 1]) / gap, 0.0, 1.0)
    near = here.rows(after - 1).towards(here.rows(after), part)
    return near if by_ph else replace(near, free=-LN10 * (ph[after - 1] + part * (ph[after] - ph[after - 1])))
