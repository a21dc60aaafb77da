"""What a titration of a known liquor will look like: pH against millilitres, and what falls when."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.neutralise_balance import liquor_of
from refinekit.bench.titrate_cloud import SEEN, TITRANT, fallen, metals_per_l, read_as_acid, thinned
from refinekit.bench.work import Work
from refinekit.chemistry.equilibrium.bases import base
from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.settle import settle
from refinekit.chemistry.equilibrium.state import State, ph_of, state_of
from refinekit.chemistry.species import parse
from refinekit.errors import CannotFollow
from refinekit.facts.load import fact
from refinekit.ranges import Number, likely
from refinekit.record import record

Array = NDArray[np.float64]
POINTS, BETWEEN, CLOSER = 120, 16, 2
"""Points of the curve, points put between two where something begins to fall, and how often."""
THINNINGS = 3
"""Times the sample is thinned by the caustic that the last look said: the last changes nothing that shows."""


@record
class Expected:
    """A titration on paper.

    Args:
        ml: caustic gone in (k,) [mL]
        ph: pH by then (k,) [-]
        state: the sample by then, but for the first point
    """

    ml: Array
    ph: Array
    state: State

    def ml_at(self, ph: float) -> float:
        """Millilitres to a pH [mL]."""
        return float(np.interp(ph, self.ph, self.ml))


def expect(work: Work, liquor: Work, told: Mapping[str, Any]) -> None:
    """Reckon the curve of a liquor, in the likely case, and say it.

    Args:
        work: the step
        liquor: the liquor, as a pot or as told of
        told: figures of the room
    Raises: CannotFollow, the liquor is no acid, or a pH asked for is past the curve
    """
    sample = work.default(told.get("sample_l"), "practice/titrate.sample", "litres of liquor drawn")
    strength = work.default(told.get("strength_mol_per_l"), "practice/titrate.caustic", "strength of the caustic")
    end = work.fact("practice/titrate.curve_end").value
    _refuse_crowded(work, liquor)
    one = liquor_of(liquor, np.zeros(1, dtype=np.intp))
    begins = float(ph_of(one).ph[0])
    if np.isnan(begins):
        raise CannotFollow("no balance was found for this liquor", cure="check what is said to be in it, or dilute it first")
    neutral_ph = work.fact("constants.neutral_ph").value
    if begins >= neutral_ph:
        raise CannotFollow(
            f"the liquor stands at pH {begins:.1f}: there is no acid to titrate with caustic",
            cure="give --free-acid, or titrate what is in it: --what caustic",
        )
    found = reckoned(one, begins, end, 1000 * likely(sample), likely(strength))
    if told.get("ph") is not None:
        _say_target(work, found, likely(told["ph"]), begins, end)
    _say_events(work, liquor, one, found, sample, strength)
    if liquor.volume_l is not None and np.size(liquor.volume_l) > 1:
        work.assume("the curve is of the likely liquor")


def _refuse_crowded(work: Work, liquor: Work) -> None:
    """Refuse what no liquor can hold: its balance would be sought long and not be found. Raises: CannotFollow."""
    most = work.fact("practice/titrate.most_ions").value
    litres = 0.0 if liquor.volume_l is None else likely(liquor.volume_l)
    charge = sum(likely(mol) * max(parse(formula).charge, 0) for formula, mol in liquor.dissolved.items())
    if charge > most * litres:
        raise CannotFollow(
            f"no liquor holds what is told of this one: {charge:.3g} mol of positive charge in {litres:.3g} L, and {most:g} mol/L"
            " is the most",
            cure="check its metals, acid and --volume",
        )


def reckoned(liquor: Liquor, begins_ph: float, end_ph: float, sample_ml: float, mol_per_l: float) -> Expected:
    """The curve, the water of the caustic counted: every point is of the sample as thin as it is by then.

    Args:
        liquor: one liquor
        begins_ph: pH it stands at [-]
        end_ph: pH the curve ends at [-]
        sample_ml: liquor drawn [mL]
        mol_per_l: strength of the caustic [mol/L]
    """
    phs = np.linspace(begins_ph, end_ph, POINTS)
    for _ in range(CLOSER):  # the pH hardly moves where a metal falls: look closer at where each begins
        found = _at(liquor, phs, sample_ml, mol_per_l)
        starts = [row for row in _starts(found).values() if row]
        closer = [np.linspace(found.ph[row - 1], found.ph[row], BETWEEN) for row in starts]
        phs = np.unique(np.concatenate([phs, *closer]))
    return _at(liquor, phs, sample_ml, mol_per_l)


def _at(liquor: Liquor, phs: Array, sample_ml: float, mol_per_l: float) -> Expected:
    kind, constants = base(TITRANT), Constants.default()
    many = liquor.rows(np.zeros(len(phs), dtype=np.intp))
    times: Array = np.ones(len(phs))
    for _ in range(THINNINGS):
        pots = thinned(many, times)
        settled = settle(pots, kind.adds, constants, fixed="ph", at=phs, alkali=kind.alkali)
        per_litre = np.where(settled.ok & (settled.dose >= 0), settled.dose, np.nan) * times
        times = 1 + np.nan_to_num(per_litre) / mol_per_l
    state = state_of(settled, pots, kind.adds, constants)
    ml = per_litre * sample_ml / mol_per_l
    ml[0] = 0.0
    good = np.isfinite(ml)
    return Expected(np.maximum.accumulate(ml[good]), phs[good], rows_of(state, np.flatnonzero(good)))


def _starts(found: Expected) -> dict[str, int]:
    """Solid to the first point at which it is there."""
    seen = {key: np.flatnonzero(np.nan_to_num(amount) > fact(SEEN).value) for key, amount in found.state.phases_mol_per_l.items()}
    return {key: int(rows[0]) for key, rows in seen.items() if len(rows)}


def rows_of(state: State, rows: NDArray[np.intp]) -> State:
    """Some points of a state: what is read here of it."""
    return replace(
        state,
        ph=state.ph[rows],
        phases_mol_per_l={key: amount[rows] for key, amount in state.phases_mol_per_l.items()},
        converged=state.converged[rows],
    )


def _say_target(work: Work, found: Expected, target: float, begins: float, end: float) -> None:
    if not begins < target <= end:
        raise CannotFollow(f"pH {target:g} is not on a curve from pH {begins:.1f} to {end:g}", cure="--ph 9.5")
    work.answer("to_ph", found.ml_at(target), "mL", because=f"caustic that takes the sample to pH {target:g}")


def _say_events(work: Work, liquor: Work, one: Liquor, found: Expected, sample: Number, strength: Number) -> None:
    """Where the cloud comes, what it would read, and the chart."""
    work.answer("begins_ph", float(found.ph[0]), "pH", because="the liquor as it stands, by the balances")
    acid = float(one.acid_mol_per_l[0])
    work.answer("free_acid", acid, "mol/L", because="acid over and above the salts")
    events = first_seen(found)
    if events:
        work.table("what falls as the caustic goes in", ("solid", "from mL", "from pH"), events)
    clouds = np.flatnonzero(fallen(found.state) > fact(SEEN).value)
    told = ""
    marks: list[tuple[str, float]] = []
    if len(clouds):
        row = max(int(clouds[0]) - 1, 0)
        ml, ph = float(found.ml[row]), float(found.ph[row])
        reads = ml / 1000 * likely(strength) / likely(sample)
        work.answer("cloud", ml, "mL", because="first lasting cloud, which is where the drops are stopped")
        work.answer("cloud_ph", ph, "pH", because="of the thinned sample, as the cloud begins")
        early = likely(read_as_acid(metals_per_l(liquor)))
        why = f"of it {early:.3g} mol/L iron(III), tin(IV) and aluminium" if early else "copper's own start leaves little unread"
        work.answer("reads_as", reads, "mol/L", because=f"free acid the drops would say; {why}")
        told = f"; the first lasting cloud comes at {ml:.3g} mL, pH {ph:.1f}"
        marks = [("first lasting cloud", ml)]
    neutral_ph = work.fact("constants.neutral_ph").value
    neutral = found.ml_at(neutral_ph)
    work.chart(
        "pH against caustic",
        f"caustic of {likely(strength):g} mol/L into {1000 * likely(sample):.4g} mL of liquor, mL",
        "pH",
        {"pH": (found.ml, found.ph)},
        finding=f"The pH starts at {found.ph[0]:.1f}{told}; it passes {neutral_ph:g} at {neutral:.3g} mL and"
        f" {found.ph[-1]:g} at {found.ml[-1]:.3g} mL.",
        marks=marks,
    )


def first_seen(found: Expected) -> list[tuple[str, float, float]]:
    """Each solid with the millilitres and the pH at which it is first there, in order."""
    names = {solid.key: solid.name for solid in found.state.constants.solids}
    rows = sorted(((max(row - 1, 0), names[key]) for key, row in _starts(found).items()))
    return [(name, float(found.ml[row]), float(found.ph[row])) for row, name in rows]
