"""By balances: the dose that reaches the pH, its spread, the pH after each portion, what stays dissolved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.neutralise_balance import at_rows, chosen_cases, fate_of, liquor_of
from refinekit.bench.neutralise_bases import Base
from refinekit.bench.neutralise_need import Fate
from refinekit.bench.work import Work
from refinekit.chemistry.equilibrium.bases import Base as Kind
from refinekit.chemistry.equilibrium.bases import base as kind_of
from refinekit.chemistry.equilibrium.bases import mixture
from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.curve import Curve, curve
from refinekit.chemistry.equilibrium.dose import Dose, dose_to_ph
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.spread import Spread, dose_spread
from refinekit.chemistry.equilibrium.window import Window, best_window
from refinekit.errors import BadQuantity, CannotFollow
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, likely
from refinekit.record import record

FORMULAS = {
    "caustic": "NaOH",
    "caustic-liquor": "NaOH",
    "potash": "KOH",
    "lime": "Ca(OH)2",
    "soda-ash": "Na2CO3",
    "bicarbonate": "NaHCO3",
    "magnesium-hydroxide": "Mg(OH)2",
}
WITHIN_A_PORTION = 12
"""Points within a portion of carbonate: its gas leaves when there is most of it, which may be between two portions."""


@record
class Judged:
    """What the balances say of one stretch.

    Args:
        fate: what becomes of the pot
        to_ph: pH it ends at [-]
        lean: least and most alkali by other constants, as shares of the likely [-]
        alkali_mol: alkali over the cases run [mol]
        phs: pH after each portion, likely case [-]
        metals_mg_per_l: element to what stays dissolved [mg/L]
        co2_mol: carbon dioxide given off, likely case [mol]
        aired_share: alkali if the carbon dioxide is all aired out on the way, as a share of the likely [-]; 1 without carbonate
        words: which way the answer leans, and what it leaves out
        along: the way by portions, from nothing gone in on; None where nothing goes in
    """

    fate: Fate
    to_ph: float
    lean: tuple[float, float]
    alkali_mol: Range
    phs: tuple[float, ...] = ()
    metals_mg_per_l: Mapping[str, Range] = field(default_factory=dict)
    co2_mol: float = 0.0
    aired_share: float = 1.0
    words: tuple[str, ...] = ()
    along: Curve | None = None


def kind(bases: tuple[tuple[Base, Number], ...]) -> Kind:
    """The alkalis of a stage as one base of the balances, and their alkali as shares."""
    if len(bases) == 1:
        return kind_of(FORMULAS[bases[0][0].key])
    shares: dict[str, float] = {}
    for base, share in bases:
        formula = FORMULAS[base.key]
        shares[formula] = shares.get(formula, 0.0) + likely(share) / base.alkali
    return mixture(shares)


def judge(
    work: Work,
    bases: tuple[tuple[Base, Number], ...],
    to_ph: float,
    *,
    asked: bool,
    portions: int,
    aged: bool = False,
    open_air: bool = False,
) -> Judged:
    """Ask the balances about one stretch.

    Args:
        work: the step, its liquors in
        bases: each alkali with its share
        to_ph: pH wanted [-]
        asked: whether the pH was told: if not, a base that does not get there goes as far as it does
        portions: how many portions [-]
        aged: whether the solids had days or heat
        open_air: whether it stands open to the air's carbon dioxide for days
    Raises: CannotFollow, the base does not get there, or the liquor is past it
    """
    rows = chosen_cases(work)
    liquors, reagent = liquor_of(work, rows), kind(bases)
    first = liquors.rows(np.zeros(1, dtype=np.intp))
    temperature_k, air = work.temperature_k, fact("equilibrium/activity.air_carbon_dioxide").value
    constants = Constants.default(aged=aged, temperature_k=temperature_k)
    open_to_atm = air if open_air else 0.0
    tried = dose_to_ph(first, reagent, to_ph, constants, open_to_atm=open_to_atm)
    nearer = to_ph if asked else _within_reach(work, tried, to_ph)
    if nearer != to_ph:
        to_ph, tried = nearer, dose_to_ph(first, reagent, nearer, constants, open_to_atm=open_to_atm)
    spread = dose_spread(
        first, reagent, to_ph, aged=aged, temperature_k=temperature_k, open_to_atm=open_to_atm, tried=tried.or_refuse()
    )
    dose = spread.likely
    all_rows = dose if len(rows) == 1 else dose_to_ph(liquors, reagent, to_ph, constants, open_to_atm=open_to_atm)
    mine = float(dose.base_mol_per_l[0])
    lean = (spread.base_mol_per_l.low / mine, spread.base_mol_per_l.high / mine) if mine > 0 else (1.0, 1.0)
    totals = all_rows.base_mol_per_l * reagent.alkali * at_rows(work.volume_l, rows)
    whole = _range(totals, lean)
    aired = 1.0
    if reagent.is_carbonate and not open_air:
        loose = dose_to_ph(first, reagent, to_ph, constants, vent_atm=air).base_mol_per_l[0]
        aired = float(loose / mine) if np.isfinite(loose) and mine > 0 else 1.0
    fine = WITHIN_A_PORTION if reagent.is_carbonate else 1
    along = _portions(first, reagent, mine, fine * portions, constants) if mine > 0 else None
    return Judged(
        fate=fate_of(work, dose.state, mine * reagent.alkali),
        to_ph=to_ph,
        lean=lean,
        alkali_mol=whole,
        phs=tuple(map(float, along.ph[fine::fine])) if along else (),
        metals_mg_per_l=_metals(spread, all_rows),
        co2_mol=float(dose.co2_lost_mol_per_l[0]) * likely(work.volume_l),
        aired_share=aired,
        words=_words(spread, dose),
        along=along,
    )


def glance(
    work: Work,
    bases: tuple[tuple[Base, Number], ...],
    to_ph: float,
    *,
    asked: bool,
    aged: bool = False,
    open_air: bool = False,
) -> tuple[Fate, float]:
    """What becomes of the pot and the pH it ends at, as `judge` finds them, with nothing asked of other constants.

    Raises: CannotFollow, the base does not get there, or the liquor is past it
    """
    first, reagent = liquor_of(work, np.zeros(1, dtype=np.intp)), kind(bases)
    constants = Constants.default(aged=aged, temperature_k=work.temperature_k)
    open_to_atm = fact("equilibrium/activity.air_carbon_dioxide").value if open_air else 0.0
    dose = dose_to_ph(first, reagent, to_ph, constants, open_to_atm=open_to_atm)
    nearer = to_ph if asked else _within_reach(work, dose, to_ph)
    if nearer != to_ph:
        dose = dose_to_ph(first, reagent, nearer, constants, open_to_atm=open_to_atm)
    dose.or_refuse()
    return fate_of(work, dose.state, float(dose.base_mol_per_l[0]) * reagent.alkali), nearer


def _within_reach(work: Work, tried: Dose, to_ph: float) -> float:
    """The pH nobody told, or as near as the base gets."""
    stop = float(tried.highest_ph[0])
    if tried.reachable[0] or not np.isfinite(stop):
        return to_ph
    lower = float(np.floor(10 * (stop - work.fact("practice/neutralise.short_of_the_end").value)) / 10)
    work.assume(f"pH it is taken to: {lower:g}, as {tried.base.name} stops at {stop:.1f} in this liquor")
    return lower


def _range(totals: NDArray[np.float64], lean: tuple[float, float]) -> Range:
    finite = totals[np.isfinite(totals)]
    mine = float(totals[0])
    return Range(min(float(finite.min()) * lean[0], mine), mine, max(float(finite.max()) * lean[1], mine))


def _portions(first: Liquor, reagent: Kind, dose_mol_per_l: float, count: int, constants: Constants) -> Curve:
    """The way to a dose in so many equal parts, with the liquor as it stands before them."""
    return curve(first, reagent, constants, doses_mol_per_l=dose_mol_per_l * np.arange(count + 1) / count)


def _metals(spread: Spread, rows: Dose) -> dict[str, Range]:
    """What stays dissolved: by every set of constants in the likely case, and in the other cases by as much."""
    over_rows = rows.state.metals_mg_per_l()
    found = {}
    for element, span in spread.metals_mg_per_l.items():
        here = over_rows[element][np.isfinite(over_rows[element])]
        least, most = (float(here.min()), float(here.max())) if len(here) else (span.likely, span.likely)
        scale = max(span.likely, 1e-300)
        found[element] = Range(min(span.low, span.low * least / scale), span.likely, max(span.high, span.high * most / scale))
    return found


def _words(spread: Spread, dose: Dose) -> tuple[str, ...]:
    not_corrected = spread.not_corrected
    cold = (f"constants left at 25 C for want of an enthalpy: {', '.join(not_corrected[:4])}",) if not_corrected else ()
    return (*spread.leans, *dose.state.caveats(), *cold)


def window_of(work: Work, yardsticks_mg_per_l: Mapping[str, float]) -> Window | None:
    """The pH with least metal over its yardsticks, likely case; None where no metal has one.

    Raises: CannotFollow, no pH at all balanced
    """
    liquor = liquor_of(work, np.zeros(1, dtype=np.intp))
    try:
        window = best_window(liquor, yardsticks_mg_per_l, Constants.default(temperature_k=work.temperature_k))
    except BadQuantity:
        return None
    if not np.isfinite(window.ph[0]):
        raise CannotFollow(
            "no balance was found for this liquor at any pH", cure="check what is said to be in it, or dilute it first"
        )
    return window


def needs_litres(work: Work, told: Mapping[str, Any]) -> None:
    """Refuse balances of a liquor without litres.

    Raises: CannotFollow
    """
    if not np.all(np.asarray(work.volume_l) > 0):
        raise CannotFollow("the balances want the litres of the liquor", cure="give --volume 4L, or --by charge")


__all__ = ["Judged", "glance", "judge", "kind", "needs_litres", "window_of"]
