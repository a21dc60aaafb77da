"""Doing it, stage by stage: alkali goes in, acid and metals take it up, solids fall, iron(II) browns in air."""

from __future__ import annotations

import numpy as np

from refinekit.bench.neutralise_bases import Base
from refinekit.bench.neutralise_need import Fate, Want, acid_in, total, wants
from refinekit.bench.work import Work
from refinekit.ranges import Number, high
from refinekit.record import record


@record
class Part:
    """One alkali of a stage.

    Args:
        base: what it is
        share: share of the stage's alkali it brings [-]
        alkali_mol: alkali it brings [mol]
        acid_mol: of that, what free acid takes up [mol]
    """

    base: Base
    share: Number
    alkali_mol: Number
    acid_mol: Number


@record
class Stage:
    """One stretch of the way, done.

    Args:
        parts: the alkalis, one or a mixture
        to_ph: pH it ends at [-]
        when: at what moment [text]
        some: what took the alkali
        over_mol: alkali still dissolved at the end [mol]
        before_l: liquor before [L]
        carbonate_mol: carbon dioxide kept as carbonate, in what fell [mol]
        bicarbonate_mol: carbon dioxide kept as bicarbonate, dissolved [mol]
        phs: pH after each portion, likely case, where the balances tell [-]
        lean: least and most alkali by other constants, as shares of the likely [-]
    """

    parts: tuple[Part, ...]
    to_ph: float
    when: str
    some: tuple[Want, ...]
    over_mol: Number
    before_l: Number
    carbonate_mol: Number = 0.0
    bicarbonate_mol: Number = 0.0
    phs: tuple[float, ...] = ()
    lean: tuple[float, float] = (1.0, 1.0)

    @property
    def alkali_mol(self) -> Number:
        """Alkali of the stage [mol]."""
        return sum((part.alkali_mol for part in self.parts), 0.0)


def do_stage(
    work: Work,
    bases: tuple[tuple[Base, Number], ...],
    fate: Fate,
    to_ph: float,
    when: str,
    *,
    phs: tuple[float, ...] = (),
    lean: tuple[float, float] = (1.0, 1.0),
    open_air: bool = False,
) -> Stage:
    """Put in what brings a pot to a pH and let it work.

    Args:
        work: the step
        bases: each alkali with its share of the alkali [-]
        fate: what takes the alkali and how
        to_ph: pH it ends at [-]
        when: at what moment [text]
        phs: pH after each portion, to be passed on [-]
        lean: least and most by other constants, to be passed on [-]
        open_air: whether the alkali over at the end takes up carbon dioxide of the air
    """
    some = wants(work.dissolved, fate)
    before_l = work.volume_l
    over = fate.over_mol_per_l * before_l
    alkali, acid = total(some) + over, acid_in(some)
    parts = tuple(Part(base, share, share * alkali, share * acid) for base, share in bases)
    gas_before = work.gases_mol.get("CO2", 0.0)
    for part in parts:
        if high(part.alkali_mol) > 0:
            part.base.into(work, part.alkali_mol)
    fallen, held = _keep_carbonate(work, some, over, gas_before, open_air=open_air)
    for want in some:
        for equation, runs in want.runs:
            work.react(equation, runs)
    return Stage(parts, to_ph, when, some, over, before_l, fallen, held, phs, lean)


def _keep_carbonate(
    work: Work, some: tuple[Want, ...], over: Number, gas_before: Number, *, open_air: bool
) -> tuple[Number, Number]:
    """Of the carbon dioxide a carbonate would give off, keep what falls with metals and what stays as bicarbonate [mol, mol].

    What the alkali does not bring of it comes out of the air.
    """
    made = work.gases_mol.get("CO2", 0.0) - gas_before
    if high(made) <= 0 and not open_air:
        return 0.0, 0.0
    fallen: Number = sum((want.carbonate_mol for want in some), 0.0)
    short = np.maximum(fallen + open_air * np.maximum(over, 0.0) - made, 0.0)
    if high(short) > 0:
        work.pour("carbon dioxide of the air", {"CO2": short})
        made = made + short
    if high(fallen) > 0:
        work.react("R10.54", fallen)
    held = np.minimum(np.maximum(over, 0.0), np.maximum(made - fallen, 0.0))
    if high(held) > 0:
        work.react("R10.55", held)
    return fallen, held


def settle(work: Work) -> None:
    """What goes on after: silver chloride and gypsum fall, iron(II) hydroxide browns in air."""
    silver = np.minimum(work.dissolved.get("Ag^+", 0.0), work.dissolved.get("Cl^-", 0.0))
    if high(silver) > 0:
        work.react("R10.40", silver)
    ferrous = work.solids.get("FeO2H2", 0.0)
    if high(ferrous) > 0:
        work.pour("oxygen of the air", {"O2": ferrous / 4})
        work.react("R10.25", ferrous / 4)
    _gypsum(work)


def _gypsum(work: Work) -> None:
    """Calcium and sulfate beyond what water holds fall as gypsum."""
    calcium, sulfate = work.dissolved.get("Ca^2+", 0.0), work.dissolved.get("SO4^2-", 0.0)
    if high(np.minimum(calcium, sulfate)) <= 0:
        return
    held = work.fact("practice/neutralise.gypsum_left").value * work.volume_l
    fallen = np.maximum(np.minimum(calcium, sulfate) - held, 0.0)
    if high(fallen) > 0:
        work.react("R10.49", fallen)
