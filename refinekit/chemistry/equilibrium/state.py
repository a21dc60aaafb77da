"""A liquor at a pH: what is dissolved, in which forms, and what lies on the bottom."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.bases import CARBONATE
from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.names import metal
from refinekit.chemistry.equilibrium.settle import INERT, Settled, settle
from refinekit.chemistry.equilibrium.system import LN10
from refinekit.chemistry.species import molar_mass
from refinekit.errors import OutOfRange
from refinekit.facts.load import fact, table
from refinekit.ranges import Number
from refinekit.record import record

Array = NDArray[np.float64]
GAS = "CO2(g)"


@record
class State:
    """Liquors in balance. Figures of a liquor that would not balance are NaN.

    Args:
        ph: -log10 of the acid's activity (n,) [-]
        totals_mol_per_l: everything in the pot, dissolved and fallen, by component (n,) [mol/L]
        dissolved_mol_per_l: all forms dissolved together, by component (n,) [mol/L]
        species_mol_per_l: each form (n,) [mol/L]
        phases_mol_per_l: each solid, by key (n,) [mol/L of its formula]
        ionic_strength: (n,) [mol/kg]
        water_activity: (n,) [-]
        charge_imbalance: charge left over, as a share of all charge (n,) [-]
        mass_imbalance: the worst component's, as a share of its total (n,) [-]
        converged: whether everything closes to 1e-9 (n,)
        carbon_dioxide_taken_mol_per_l: taken up from the air by an open pot, negative where it was given off (n,) [mol/L]
        constants: the set it was reckoned with
    """

    ph: Array
    totals_mol_per_l: Mapping[str, Array]
    dissolved_mol_per_l: Mapping[str, Array]
    species_mol_per_l: Mapping[str, Array]
    phases_mol_per_l: Mapping[str, Array]
    ionic_strength: Array
    water_activity: Array
    charge_imbalance: Array
    mass_imbalance: Array
    converged: NDArray[np.bool_]
    carbon_dioxide_taken_mol_per_l: Array
    constants: Constants

    def metals_mg_per_l(self) -> dict[str, Array]:
        """Dissolved metals by element, as the yardsticks count them (n,) [mg/L]: iron(II) and iron(III) together; tin left out.

        Tin(IV) is taken as thrown down whole, so there is no figure to give.
        """
        found: dict[str, Array] = {}
        for name, amount in self.dissolved_mol_per_l.items():
            element = metal(name)
            if element and element != "Sn":
                found[element] = found.get(element, np.zeros(len(self.ph))) + 1000 * molar_mass(element) * amount
        return found

    def phases_g_per_l(self) -> dict[str, Array]:
        """Weight of every solid (n,) [g/L of liquor]."""
        formulas = {solid.key: solid.formula for solid in self.constants.solids}
        return {key: molar_mass(formulas[key]) * amount for key, amount in self.phases_mol_per_l.items()}

    def with_rows(self, rows: NDArray[np.intp], other: State, good: NDArray[np.bool_]) -> State:
        """The states with some taken from another reckoning, and NaN where that is no good either."""

        def put(mine: Array, theirs: Array) -> Array:
            out = mine.copy()
            out[rows] = np.where(good, theirs, np.nan)
            return out

        def put_all(mine: Mapping[str, Array], theirs: Mapping[str, Array]) -> dict[str, Array]:
            n = len(self.ph)
            names = dict.fromkeys([*mine, *theirs])
            return {name: put(mine.get(name, np.zeros(n)), theirs.get(name, np.zeros(len(rows)))) for name in names}

        converged = self.converged.copy()
        converged[rows] = good
        return State(
            ph=put(self.ph, other.ph),
            totals_mol_per_l=put_all(self.totals_mol_per_l, other.totals_mol_per_l),
            dissolved_mol_per_l=put_all(self.dissolved_mol_per_l, other.dissolved_mol_per_l),
            species_mol_per_l=put_all(self.species_mol_per_l, other.species_mol_per_l),
            phases_mol_per_l=put_all(self.phases_mol_per_l, other.phases_mol_per_l),
            ionic_strength=put(self.ionic_strength, other.ionic_strength),
            water_activity=put(self.water_activity, other.water_activity),
            charge_imbalance=put(self.charge_imbalance, other.charge_imbalance),
            mass_imbalance=put(self.mass_imbalance, other.mass_imbalance),
            converged=converged,
            carbon_dioxide_taken_mol_per_l=put(self.carbon_dioxide_taken_mol_per_l, other.carbon_dioxide_taken_mol_per_l),
            constants=self.constants,
        )

    def caveats(self) -> tuple[str, ...]:
        """What the figures leave out, in words, for the components that are there."""
        known = table("equilibrium/components")["caveats"]
        return tuple(text for name, text in known.items() if np.any(self.totals_mol_per_l.get(name, np.zeros(1)) > 0))


def at_ph(liquor: Liquor, ph: Number, constants: Constants | None = None, *, open_to_atm: float = 0.0) -> State:
    """What a liquor comes to when it is brought to a pH, whatever brings it there.

    The charge that takes it there is carried by an ion that makes nothing; `dose.dose_to_ph` reckons with a real base.

    Args:
        liquor: the liquors (n,)
        ph: -1 to 15 [-]; a figure or (n,)
        constants: set of constants; the likely one if left out
        open_to_atm: pressure of carbon dioxide the pot stands open to [atm]; 0 for a closed pot
    Returns: State
    Raises: OutOfRange, a pH that is none
    """
    target = checked_ph(ph)
    chosen = constants or Constants.default()
    pot = open_pot(liquor, open_to_atm)
    settled = settle(pot, {}, chosen, fixed="ph", at=target, gas_atm=open_to_atm)
    return state_of(settled, pot, {}, chosen, given_mol_per_l=air_lent_mol_per_l() if open_to_atm else 0.0)


def ph_of(liquor: Liquor, constants: Constants | None = None, *, open_to_atm: float = 0.0) -> State:
    """The state of a liquor as it stands, with its pH.

    Args:
        liquor: the liquors (n,)
        constants: set of constants; the likely one if left out
        open_to_atm: pressure of carbon dioxide the pot stands open to [atm]; 0 for a closed pot
    Returns: State
    """
    chosen = constants or Constants.default()
    pot = open_pot(liquor, open_to_atm)
    settled = settle(pot, {}, chosen, fixed="dose", at=np.zeros(1), gas_atm=open_to_atm)
    return state_of(settled, pot, {}, chosen, given_mol_per_l=air_lent_mol_per_l() if open_to_atm else 0.0)


def checked_ph(ph: Number) -> Array:
    """A pH, or many, as an array.

    Raises: OutOfRange
    """
    target = np.atleast_1d(np.asarray(ph, dtype=float))
    lowest, highest = fact("equilibrium/limits.lowest_ph").value, fact("equilibrium/limits.highest_ph").value
    if not ((target >= lowest) & (target <= highest)).all():
        raise OutOfRange(f"pH {ph} is outside {lowest:g} to {highest:g}", cure="give the pH wanted, such as 9.5")
    return target


def air_lent_mol_per_l() -> float:
    """Carbon dioxide an open pot is given to draw on [mol/L]."""
    return fact("equilibrium/limits.air_lent").value


def open_pot(liquor: Liquor, open_to_atm: float) -> Liquor:
    """The liquor with the air's carbon dioxide to draw on."""
    return liquor.plus({CARBONATE: 1.0}, air_lent_mol_per_l()) if open_to_atm else liquor


def state_of(
    settled: Settled,
    liquor: Liquor,
    adds: Mapping[str, float],
    constants: Constants,
    *,
    removed: Mapping[str, Array] | None = None,
    given_mol_per_l: float = 0.0,
) -> State:
    """Read a State off the solved balances.

    Args:
        settled: the balances
        liquor: what was in the pot before the base
        adds: components one mole of the base brought [-]
        constants: the set it was solved with
        removed: component to what left for good [mol/L]
        given_mol_per_l: carbon dioxide an open pot was lent [mol/L]
    """
    s, n = settled.system, len(settled.ok)
    blank = np.where(settled.ok, 0.0, np.nan)
    gone = removed or {}
    totals: dict[str, Array] = {}
    for name in dict.fromkeys([*liquor.totals_mol_per_l, *adds]):
        before = np.broadcast_to(np.asarray(liquor.totals_mol_per_l.get(name, 0.0)), (n,))
        totals[name] = before + adds.get(name, 0.0) * settled.dose - gone.get(name, 0.0) + blank
    gas = [solid.key for solid in s.solids].index(GAS) if any(solid.key == GAS for solid in s.solids) else None
    left_as_gas = settled.solids[:, gas] + blank if gas is not None else blank
    if gas is not None:
        totals[CARBONATE] = totals[CARBONATE] - left_as_gas
    dissolved = {name: np.asarray(settled.amounts @ s.nu[:, i]) + blank for i, name in enumerate(s.parts)}
    dissolved |= {name: total for name, total in totals.items() if name in s.bystanders}
    there = settled.problem.totals + settled.further[:, None] * settled.problem.rate
    idle = settled.problem.idle + settled.further[:, None] * settled.problem.idle_rate
    with np.errstate(invalid="ignore", divide="ignore"):
        mass = np.abs((settled.amounts @ s.nu + settled.solids @ s.solid_nu) / there - 1).max(axis=1, initial=0.0)
        size = settled.amounts @ np.abs(s.z) + np.abs(idle) @ np.abs(s.bystander_z)
        charges = np.abs(settled.amounts @ s.z + idle @ s.bystander_z) / size
    species = {formula: settled.amounts[:, i] + blank for i, formula in enumerate(s.species)}
    species |= {name: idle[:, i] + blank for i, name in enumerate(s.bystanders) if name != INERT}
    return State(
        ph=-settled.ln_h / LN10 + blank,
        totals_mol_per_l=totals,
        dissolved_mol_per_l={
            name: np.where(totals.get(name, np.ones(1)) == 0, 0.0, amount) for name, amount in dissolved.items()
        },
        species_mol_per_l=species,
        phases_mol_per_l={solid.key: settled.solids[:, i] + blank for i, solid in enumerate(s.solids) if i != gas},
        ionic_strength=settled.point.ionic + blank,
        water_activity=np.exp(settled.point.ln_w) + blank,
        charge_imbalance=charges + blank,
        mass_imbalance=mass + blank,
        converged=settled.ok,
        carbon_dioxide_taken_mol_per_l=given_mol_per_l - left_as_gas if given_mol_per_l else -left_as_gas,
        constants=constants,
    )
