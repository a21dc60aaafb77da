"""One answer on all the constants there are: low, likely and high, and both activity equations where the liquor is strong."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.bases import Base
from refinekit.chemistry.equilibrium.constants import Activity, Constants
from refinekit.chemistry.equilibrium.dose import Dose, dose_to_ph
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range
from refinekit.record import record

Array = NDArray[np.float64]
BASIC_COPPER = ("atacamite", "brochantite")


@record
class Spread:
    """The dose and what stays dissolved, over the sets of constants and the liquors given.

    Args:
        likely: the likely answer, every figure of it
        base_mol_per_l: base [mol/L]
        safe_base_mol_per_l: base if no basic copper salt forms and copper takes its full two hydroxides, likely case [mol/L]
        metals_mg_per_l: element to what is still dissolved [mg/L]
        phases_g_per_l: solid to its weight [g/L of liquor]
        co2_lost_mol_per_l: carbon dioxide given off [mol/L]
        ionic_strength: of the likely answer, at its highest [mol/kg]
        leans: what a strong liquor does to the answer, in words; empty up to ionic strength 1
        not_corrected: constants left at 25 degC for want of an enthalpy
    """

    likely: Dose
    base_mol_per_l: Range
    safe_base_mol_per_l: float
    metals_mg_per_l: dict[str, Range]
    phases_g_per_l: dict[str, Range]
    co2_lost_mol_per_l: Range
    ionic_strength: float
    leans: tuple[str, ...]
    not_corrected: tuple[str, ...]


def dose_spread(
    liquor: Liquor,
    reagent: str | Base,
    ph: Number,
    *,
    aged: bool = False,
    temperature_k: float | None = None,
    vent_atm: float | None = None,
    open_to_atm: float = 0.0,
    tried: Dose | None = None,
) -> Spread:
    """The dose to a pH on the likely constants, with the ends every other set gives.

    Args:
        liquor: the liquors (n,), the likely case first
        reagent: base
        ph: pH wanted [-]
        aged: whether the solids had days or heat
        temperature_k: temperature of the liquor [K]; 25 degC if left out
        vent_atm: see `dose_to_ph`
        open_to_atm: see `dose_to_ph`
        tried: this very dose on the likely constants, where it was asked for before
    Returns: Spread
    Raises: CannotFollow, where the likely answer cannot be had; see `Dose.or_refuse`
    """

    def run(make: Callable[..., Constants], activity: Activity, without: tuple[str, ...] = ()) -> Dose:
        constants = make(aged=aged, temperature_k=temperature_k, activity=activity)
        constants = constants.without(*without) if without else constants
        return dose_to_ph(liquor, reagent, ph, constants, vent_atm=vent_atm, open_to_atm=open_to_atm)

    likely = (tried or run(Constants.default, "davies")).or_refuse()
    runs = [likely, run(Constants.low, "davies"), run(Constants.high, "davies")]
    plain = run(Constants.default, "davies", BASIC_COPPER)
    strength = float(np.max(likely.state.ionic_strength))
    leans: tuple[str, ...] = ()
    if strength > fact("equilibrium/activity.wide_range").value:
        others = [run(make, "ext_dh") for make in (Constants.default, Constants.low, Constants.high)]
        runs += others
        leans = _leans(likely, others[0], strength)
    return Spread(
        likely=likely,
        safe_base_mol_per_l=float(np.nanmax([plain.base_mol_per_l[0], likely.base_mol_per_l[0]])),
        base_mol_per_l=_range([run.base_mol_per_l for run in runs]),
        metals_mg_per_l=_ranges([run.state.metals_mg_per_l() for run in runs]),
        phases_g_per_l=_ranges([run.state.phases_g_per_l() for run in runs]),
        co2_lost_mol_per_l=_range([run.co2_lost_mol_per_l for run in runs]),
        ionic_strength=strength,
        leans=leans,
        not_corrected=likely.state.constants.not_corrected,
    )


def _leans(davies: Dose, extended: Dose, strength: float) -> tuple[str, ...]:
    """Which way the likely answer leans in a strong liquor, against the other activity equation."""
    said = [f"ionic strength {strength:.1f} is past what the Davies equation is good for: the range covers the extended one too"]
    other = float(extended.base_mol_per_l[0])
    if np.isfinite(other) and other != davies.base_mol_per_l[0]:
        side = "less" if other < davies.base_mol_per_l[0] else "more"
        said.append(f"the extended equation asks for {100 * abs(other / davies.base_mol_per_l[0] - 1):.2g} % {side} base")
    mine, theirs = davies.state.metals_mg_per_l(), extended.state.metals_mg_per_l()
    for name, mg in mine.items():
        if np.isfinite(theirs[name][0]) and mg[0] > 0 and theirs[name][0] > 0:
            times = float(theirs[name][0] / mg[0])
            side = "more" if times > 1 else "less"
            said.append(f"it leaves {max(times, 1 / times):.2g} times {side} {name}")
    return tuple(said)


def _range(figures: list[Array]) -> Range:
    """Least and most of finite figures, with the likely one from the first run's first liquor."""
    everything = np.concatenate([np.ravel(figure) for figure in figures])
    finite = everything[np.isfinite(everything)]
    likely = float(np.ravel(figures[0])[0])
    return Range(min(float(finite.min()), likely), likely, max(float(finite.max()), likely))


def _ranges(tables: list[dict[str, Array]]) -> dict[str, Range]:
    names = dict.fromkeys(name for table in tables for name in table)
    return {
        name: _range([table.get(name, np.zeros(1)) for table in tables if name in table or table is tables[0]]) for name in names
    }
