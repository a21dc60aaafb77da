"""The two curves of neutralising: pH against what goes in, and every metal against pH."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.neutralise_balance import liquor_of
from refinekit.bench.neutralise_bases import Base
from refinekit.bench.neutralise_judge import kind
from refinekit.bench.neutralise_water import WORDS
from refinekit.bench.work import Work
from refinekit.chemistry.equilibrium.bases import Base as Kind
from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.curve import Curve, curve
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.state import ph_of
from refinekit.ranges import Number, likely
from refinekit.record import record

Array = NDArray[np.float64]
POINTS, STEEP, BETWEEN = 90, 0.3, 12
UNMOVED = 0.99
"""Share of a metal still dissolved at its least above which it is said not to fall."""


@record
class Way:
    """The curve of one stretch, likely case.

    Args:
        bases: each alkali with its share
        to_ph: pH the stretch ends at [-]
        dose_mol: alkali that takes it there [mol]
        alkali_mol: gone in at each point (k,) [mol]
        ph: (k,) [-]
        metals_mg_per_l: element to what is dissolved (k,) [mg/L]
    """

    bases: tuple[tuple[Base, Number], ...]
    to_ph: float
    dose_mol: float
    alkali_mol: Array
    ph: Array
    metals_mg_per_l: dict[str, Array]


def way_of(
    work: Work,
    bases: tuple[tuple[Base, Number], ...],
    to_ph: float,
    alkali_mol: float,
    *,
    last: bool,
    aged: bool = False,
    along: Curve | None = None,
) -> Way:
    """The curve of a pot as it stands, before anything goes in.

    Args:
        work: the step
        bases: each alkali with its share
        to_ph: pH the stretch ends at [-]
        alkali_mol: what takes it there, likely case [mol]
        last: whether the curve goes on past that pH, to show what comes back
        aged: whether the solids had days or heat
        along: a curve that begins with the liquor as it stands, where there is one
    """
    liquor, reagent = liquor_of(work, np.zeros(1, dtype=np.intp)), kind(bases)
    constants = Constants.default(aged=aged, temperature_k=work.temperature_k)
    per_mol = reagent.alkali * likely(work.volume_l)
    start = along.state if along else ph_of(liquor, constants)
    if reagent.is_carbonate:
        past = 1 + work.fact("practice/chart.past_share").value * last
        found = _by_dose(liquor, reagent, constants, past * alkali_mol / per_mol)
    else:
        ends = max(to_ph, work.fact("practice/chart.highest_ph").value) if last else to_ph
        lowest = work.fact("equilibrium/limits.lowest_ph").value
        begins = np.nan_to_num(start.ph[0], nan=lowest)  # where nothing is found as it stands, it may be later
        phs = np.linspace(np.clip(begins, lowest, to_ph), ends, POINTS)
        found = curve(liquor, reagent, constants, phs=phs[~(phs <= start.ph[0])])
    good = np.isfinite(found.base_mol_per_l) & np.isfinite(found.ph) & found.dissolves & ~(found.ph <= start.ph[0])
    metals = {name: np.append(mg[0], found.state.metals_mg_per_l()[name][good]) for name, mg in start.metals_mg_per_l().items()}
    dose = np.maximum.accumulate(np.append(0.0, found.base_mol_per_l[good]))
    return Way(bases, to_ph, alkali_mol, dose * per_mol, np.append(start.ph[0], found.ph[good]), metals)


def _by_dose(liquor: Liquor, reagent: Kind, constants: Constants, most_mol_per_l: float) -> Curve:
    """The curve by rising doses, which carbonates balance at where a pH is hard to find; closer where it is steep."""
    doses = np.linspace(0.0, most_mol_per_l, POINTS)
    rough = curve(liquor, reagent, constants, doses_mol_per_l=doses)
    steep = np.flatnonzero(np.abs(np.diff(rough.ph)) > STEEP)
    closer = [np.linspace(doses[row], doses[row + 1], BETWEEN) for row in steep]
    every = sorted({*doses.tolist(), *(dose for part in closer for dose in part.tolist())})
    return curve(liquor, reagent, constants, doses_mol_per_l=np.array(every))


def draw(work: Work, ways: Sequence[Way]) -> None:
    """Give both charts of a neutralising, its stretches one after the other; none where no point was reached."""
    ways = [way for way in ways if len(way.ph)]
    if not ways:
        return
    before = np.concatenate([[0.0], np.cumsum([way.dose_mol for way in ways])])
    kept = [
        way.ph <= way.to_ph if number < len(ways) - 1 else np.ones(len(way.ph), dtype=bool) for number, way in enumerate(ways)
    ]
    alkali = np.concatenate([way.alkali_mol[keep] + start for way, keep, start in zip(ways, kept, before, strict=False)])
    ph = np.concatenate([way.ph[keep] for way, keep in zip(ways, kept, strict=True)])
    # one stretch ends where the next begins, but for rounding
    alkali, ph = np.maximum.accumulate(alkali), np.maximum.accumulate(ph)
    _draw_dose(work, ways, alkali, ph, float(before[-1]))
    elements = list(dict.fromkeys(element for way in ways for element in way.metals_mg_per_l))
    metals = {
        element: np.concatenate(
            [way.metals_mg_per_l.get(element, np.zeros(len(way.ph)))[keep] for way, keep in zip(ways, kept, strict=True)]
        )
        for element in elements
    }
    _draw_metals(work, ph, metals, ways[-1].to_ph)


def _draw_dose(work: Work, ways: Sequence[Way], alkali: Array, ph: Array, whole: float) -> None:
    """pH against what goes in: grams or millilitres of one alkali, moles of alkali where there are several."""
    target = ways[-1].to_ph
    per_mol, what, unit = _measure(ways)
    across, dose = alkali * per_mol, whole * per_mol
    held_back = work.fact("practice/chart.short_share").value
    short = float(np.interp((1 - held_back) * whole, alkali, ph))
    work.chart(
        f"pH against {what}",
        f"{what}, {unit}",
        "pH",
        {"pH": (across, ph)},
        finding=f"pH {target:.3g} is reached at {_three(dose)} {unit};"
        f" with {100 * held_back:g} % of it still to go the pH is {short:.1f}.",
        marks=[(f"pH {target:.3g}", dose)],
    )


def _three(amount: float) -> str:
    """An amount in three figures, written out."""
    return f"{float(f'{amount:.3g}'):g}"


def _measure(ways: Sequence[Way]) -> tuple[float, str, str]:
    """How a mole of alkali is measured out: how much, of what, in which unit."""
    bases = {base.key: base for way in ways for base, _ in way.bases}
    if len(bases) > 1:
        return 1.0, "alkali", "mol"
    (base,) = bases.values()
    each = base.measured(1.0) if base.bottle is not None else base.measured(1.0, base.goodness.likely)
    return likely(each), base.name, base.unit


def _draw_metals(work: Work, ph: Array, metals: dict[str, Array], target: float) -> None:
    """Each metal against pH by powers of ten."""
    floor = work.fact("practice/chart.metal_floor").value
    drawn = {element: np.maximum(mg, floor) for element, mg in metals.items() if np.nanmax(mg, initial=0.0) > floor}
    if not drawn:
        return
    lowest = {element: int(np.nanargmin(metals[element])) for element in drawn}
    least = "; ".join(_lowest(WORDS.get(element, element), ph, metals[element], row, floor) for element, row in lowest.items())
    work.chart(
        "metals against pH",
        "pH",
        f"dissolved, mg/L ({floor:g} and less on the bottom line)",
        {WORDS.get(element, element): (ph, mg) for element, mg in drawn.items()},
        finding=f"{least[0].upper()}{least[1:]}.",
        log=True,
        marks=[(f"pH {target:.3g}", target)],
    )


def _lowest(word: str, ph: Array, mg_per_l: Array, row: int, floor: float) -> str:
    """Where least of a metal is left, in words; that it does not fall, where it does not."""
    least = float(mg_per_l[row])
    if least > UNMOVED * float(np.nanmax(mg_per_l)):
        return f"{word} stays dissolved all the way"
    left = f"under {floor:g}" if least < floor else _three(least)
    return f"{word} is lowest at pH {ph[row]:.1f}, {left} mg/L"
