"""The bench top: pots merged, reagents poured, reactions run, gas let go, products drawn off, and a Step at the end.

Every room of the bench builds its step with a Work, so that what goes in must come out: amounts only move by pouring,
reacting (a balanced equation times an extent), escaping and drawing off.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

import numpy as np

from refinekit.bench.place import Place
from refinekit.bench.pot import Event, Pot, merged
from refinekit.bench.step import Answer, Chart, Gas, Notice, Reagent, Step, Stream, Table, Working
from refinekit.chemistry.equation import Equation, reaction
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.species import molar_mass, parse
from refinekit.errors import CannotFollow
from refinekit.facts.load import Fact, fact, table
from refinekit.ranges import Number, Range, high, likely, low

ROUNDING = 1e-9
"""Relative amount below nothing that is rounding, not an overdraft."""
ROUNDING_MOL = 1e-12
"""Moles under which a thing is what a subtraction left over, not a thing on the bench: a picogram or so."""


POOLS_LOW = {
    "CO2": "carbon dioxide is heavier than air and pools low, unsmelt: no pit, no cellar, no face at bucket height",
    "N2O": "nitrous oxide is heavier than air and pools low: it dulls before it harms; no pit, no cellar, air the floor out",
}
"""What is said wherever a gas is made that gathers low without a warning of its own."""


@cache
def pot_form(formula: str) -> tuple[tuple[str, str, float], ...]:
    """How a formula of an equation lives in a pot: (phase, species, count) for each part.

    Args:
        formula: as written in an equation, e.g. "HAuCl4"
    Returns: phase is "dissolved", "solid" or "gas"
    """
    row = _species_rows().get(formula, {})
    ions = row.get("ions")
    if ions:
        return tuple((pot_form(ion)[0][0], ion, float(count)) for ion, count in ions.items())
    phase = row.get("phase", "dissolved")
    return (("dissolved" if phase == "liquid" else phase, formula, 1.0),)


@cache
def _species_rows() -> Mapping[str, Mapping[str, Any]]:
    return {row["formula"]: row for row in table("species")["species"]}


class Work:
    """A step being done.

    Args:
        name: the verb [text]
        pots: what it starts from; liquors and solids are put together
        place: the shop's air and room
    """

    def __init__(self, name: str, *pots: Pot, place: Place | None = None) -> None:
        self.name = name
        self.place = place or Place()
        self.volume_l: Number = sum((pot.volume_l for pot in pots), 0.0)
        self.dissolved = merged(*(pot.dissolved_mol for pot in pots))
        self.solids = merged(*(pot.solids_mol for pot in pots))
        self.inert_g: Number = sum((pot.inert_g for pot in pots), 0.0)
        self.temperature_k = pots[0].temperature_k if pots else self.place.temperature_k
        self.history: tuple[Event, ...] = tuple(event for pot in pots for event in pot.history)
        self.marks: dict[str, str] = {mark: step for pot in reversed(pots) for mark, step in pot.marks.items()}
        self.gases_mol: dict[str, Number] = {}
        self.before = pots
        self._ins = [_stream(pot.name, pot) for pot in pots]
        self._drawn: list[Pot] = []
        self._answers: list[Answer] = []
        self._reagents: list[Reagent] = []
        self._gases: list[Gas] = []
        self._tables: list[Table] = []
        self._notices: list[Notice] = []
        self._says: list[tuple[str, str]] = []
        self._reactions: list[str] = []
        self._assumed: list[str] = []
        self._facts: dict[str, None] = {}
        self._workings: list[Working] = []
        self._charts: list[Chart] = []
        self.heat_kj: Number = 0.0
        self.minutes: Range | None = None

    # --- what moves matter ---------------------------------------------------------------------------------------

    def pour(self, label: str, amounts_mol: Mapping[str, Number], volume_l: Number = 0.0, inert_g: Number = 0.0) -> None:
        """Put something in: formulas as on the bottle ("HCl", "H2O", "Na2S2O5", "Au"), each going where it lives in a pot.

        Args:
            label: its name in the ledger and the history [text]
            amounts_mol: by formula [mol]
            volume_l: room it takes [L]; 0 for solids (dissolved solids take no room)
            inert_g: inert part of it [g]
        """
        placed: dict[str, Number] = {}
        for formula, amount in amounts_mol.items():
            for phase, species, count in pot_form(formula):
                self._move(phase, species, count * amount)
                placed[species] = placed.get(species, 0.0) + count * amount
        self.volume_l = self.volume_l + volume_l
        self.inert_g = self.inert_g + inert_g
        self._ins.append(Stream(label, placed, inert_g))
        self.history = (
            *self.history,
            Event(self.name, f"added {label}", {f: Range.over(amount) for f, amount in amounts_mol.items()}),
        )

    def react(self, which: str | Equation, extent_mol: Number) -> None:
        """Run a reaction so many moles of times, as written.

        Args:
            which: id of the reactions facts, or a balanced Equation
            extent_mol: how often [mol]; 0 and up
        Raises: CannotFollow, the pot has not got what the reaction takes
        """
        equation = reaction(which) if isinstance(which, str) else which
        for side, sign in ((equation.left, -1.0), (equation.right, 1.0)):
            for formula, coefficient in side.items():
                for phase, species, count in pot_form(formula):
                    self._move(phase, species, sign * coefficient * count * extent_mol, settle=False)
        self._settle(str(which))
        name = which if isinstance(which, str) else str(which)
        if name not in self._reactions:
            self._reactions.append(name)

    def escape(self, species: str, mol: Number) -> None:
        """Let a dissolved species leave as gas or vapour [mol]; hydrogen chloride leaves as the two ions it lives as."""
        for _, part, count in pot_form(species):
            self._move("dissolved", part, -count * mol)
        self.gases_mol[species] = self.gases_mol.get(species, 0.0) + mol

    def boil_off(self, volume_l: Number) -> None:
        """Let water leave as vapour, a litre of liquor a kilogram of water [L]."""
        self.escape("H2O", volume_l * 1000 / molar_mass("H2O"))
        self.volume_l = self.volume_l - volume_l

    def draw_off(
        self,
        name: str,
        volume_l: Number = 0.0,
        solids: Mapping[str, Number] | Iterable[str] = (),
        inert_g: Number = 0.0,
        note: str = "",
    ) -> Pot:
        """Take a pot out of the work: so much of the liquor, and these solids.

        Args:
            name: what the pot is called [text]
            volume_l: liquor that goes with it, of the composition it has now [L]
            solids: names of solids (all of each) or amounts [mol]
            inert_g: inert stuff that goes with it [g]
            note: line of history [text]
        Returns: the pot; it stands in the step's pots after the working pot
        """
        whole = np.asarray(self.volume_l)
        share = np.divide(volume_l, whole, out=np.zeros(np.broadcast(volume_l, whole).shape), where=whole > 0)
        share = np.minimum(share, 1.0) if share.ndim else min(float(share), 1.0)
        liquor = {species: amount * share for species, amount in self.dissolved.items()}
        for species, amount in liquor.items():
            self._move("dissolved", species, -amount)
        names = dict(solids) if isinstance(solids, Mapping) else {solid: self.solids.get(solid, 0.0) for solid in solids}
        for solid, amount in names.items():
            self._move("solid", solid, -amount)
        self.volume_l = np.maximum(self.volume_l - volume_l, 0.0)
        self.inert_g = self.inert_g - inert_g
        event = (Event(self.name, note or f"drawn off as {name}"),)
        marks = dict(self.marks)
        pot = Pot(name, volume_l, some(liquor), some(names), inert_g, self.temperature_k, self.history + event, marks)
        self._drawn.append(pot)
        return pot

    def _move(self, phase: str, species: str, amount: Number, settle: bool = True) -> None:
        bucket = {"dissolved": self.dissolved, "solid": self.solids, "gas": self.gases_mol}[phase]
        bucket[species] = bucket.get(species, 0.0) + amount
        if settle:
            self._settle(species)

    def _settle(self, what: str) -> None:
        """Take rounding below nothing as nothing; refuse a real overdraft."""
        for bucket in (self.dissolved, self.solids):
            for species, amount in bucket.items():
                if low(amount) < 0:
                    if low(amount) < -ROUNDING * max(1e-3, high(np.abs(amount)), *(high(a) for a in bucket.values())):
                        raise CannotFollow(
                            f"{self.name}: the pot has not enough {species} ({what} is {-low(amount):.3g} mol short)",
                            cure=cause_cure(species),
                        )
                    bucket[species] = np.maximum(amount, 0.0)

    # --- what is said --------------------------------------------------------------------------------------------

    def fact(self, id: str) -> Fact:
        """A sourced figure, noted as used."""
        found = fact(id)
        self._facts[id] = None
        return found

    def default(self, given: Number | None, id: str, what: str) -> Number:
        """The figure given, or the likely figure of a fact, then listed under what was assumed.

        Args:
            given: the figure, None where it was not told [in the fact's unit]
            id: the fact that stands in
            what: the figure in words, for the list [text]
        """
        if given is not None:
            return given
        stand_in = self.fact(id)
        told = f"{stand_in.value:.4g}" if abs(stand_in.value) < 1 else f"{stand_in.value:g}"  # two thirds is 0.6667
        self.assume(f"{what}: {told} {stand_in.unit}".rstrip())
        return stand_in.value

    def answer(self, name: str, value: Number | Range, unit: str, *, sized_on: str = "likely", because: str = "") -> None:
        """Give a figure; its range is taken over the cases."""
        self._answers.append(Answer(name, value if isinstance(value, Range) else Range.over(value), unit, sized_on, because))

    def reagent(self, reagent: Reagent) -> None:
        """Give something to weigh or pour."""
        self._reagents.append(reagent)

    def gas(
        self,
        formula: str,
        mol: Range,
        *,
        minutes: float | None = None,
        t90_min: float | None = None,
        sized_on: str = "",
    ) -> None:
        """Give a gas: its range is the low to the high route, its peak that of a burst with nine tenths off in `t90_min`. What is
        but the rounding of a subtraction is no gas."""
        if 0 < mol.high < ROUNDING_MOL:
            return
        volume_l = mol * likely(molar_volume_l(self.place.temperature_k, self.place.pressure_pa))
        peak = float(np.log(10) * volume_l.high / t90_min) if t90_min else None
        self._gases.append(Gas(formula, mol, volume_l, minutes, peak, sized_on))
        if formula in POOLS_LOW and mol.high > 0:
            self.say("watch for", POOLS_LOW[formula])

    @property
    def gases(self) -> tuple[Gas, ...]:
        """The gases given so far."""
        return tuple(self._gases)

    def table(self, title: str, columns: Iterable[str], rows: Iterable[Iterable[str | float | Range]]) -> None:
        """Give a table."""
        self._tables.append(Table(title, tuple(columns), tuple(tuple(row) for row in rows)))

    def chart(
        self,
        title: str,
        x: str,
        y: str,
        series: Mapping[str, tuple[Any, Any]],
        *,
        finding: str,
        log: bool = False,
        marks: Iterable[tuple[str, float]] = (),
        levels: Iterable[tuple[str, float]] = (),
    ) -> None:
        """Give a chart: see `Chart`. Points that came to nothing drawable (no balance, no dose) are left out of their curve."""
        drawn = {name: _drawable(across, up, log) for name, (across, up) in series.items()}
        kept = {name: points for name, points in drawn.items() if points[0]}
        if kept:
            self._charts.append(Chart(title, x, y, kept, finding, log, tuple(marks), tuple(levels)))

    def notice(
        self, level: str, code: str, text: str, do: str, source: str, *, cause: str = "", may_override: bool = False
    ) -> None:
        """Give a caution."""
        self._notices.append(Notice(level, code, text, do, source, cause, may_override))

    def say(self, heading: str, line: str) -> None:
        """Give a line under a heading: vessel, watch for, done when, gear, next."""
        self._says.append((heading, line))

    def assume(self, line: str) -> None:
        """Say what was taken as given without being told."""
        if line not in self._assumed:
            self._assumed.append(line)

    def take_over(self, other: Work) -> None:
        """Say what another top assumed and used on the way to this one's pots."""
        for line in other._assumed:
            self.assume(line)
        self._facts.update(other._facts)

    def mark(self, mark: str) -> None:
        """Leave a mark on the pot, with this step as the one that set it."""
        self.marks.setdefault(mark, self.name)

    def did(self, what: str) -> None:
        """Write a line of history."""
        self.history = (*self.history, Event(self.name, what))

    def working(self, what: str, equation: str, arithmetic: str, result: str, *facts: str) -> None:
        """Write a line of working."""
        self._workings.append(Working(what, equation, arithmetic, result, facts))

    def done(self, pot_name: str | None, *, title: str = "") -> Step:
        """Close the step: what is left becomes the working pot (None where nothing is left).

        Raises: Leak
        """
        pots = tuple(self._drawn)
        if pot_name is not None:
            rest = Pot(
                pot_name,
                self.volume_l,
                some(self.dissolved),
                some(self.solids),
                self.inert_g,
                self.temperature_k,
                self.history,
                dict(self.marks),
            )
            pots = (rest, *pots)
        outs = [_stream(pot.name, pot) for pot in pots]
        outs += [Stream(f"{formula} gas", {formula: amount}) for formula, amount in self.gases_mol.items()]
        return Step(
            name=self.name,
            title=title,
            before=self.before,
            answers=tuple(self._answers),
            reagents=tuple(self._reagents),
            gases=tuple(self._gases),
            tables=tuple(self._tables),
            notices=tuple(self._notices),
            says=tuple(self._says),
            reactions=tuple(self._reactions),
            pots=pots,
            ins=tuple(self._ins),
            outs=tuple(outs),
            heat_kj=self.heat_kj,
            minutes=self.minutes,
            assumed=tuple(self._assumed),
            used_facts=tuple(self._facts),
            workings=tuple(self._workings),
            charts=tuple(self._charts),
        )


def some(amounts: Mapping[str, Number]) -> dict[str, Number]:
    """The amounts that are not nothing in every case."""
    return {species: amount for species, amount in amounts.items() if high(np.abs(amount)) > 0}


def _drawable(across: Any, up: Any, log: bool) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """The points of a curve that can be drawn."""
    xs, ys = np.asarray(across, dtype=float), np.asarray(up, dtype=float)
    good = np.isfinite(xs) & np.isfinite(ys) & ((ys > 0) | (not log))
    return tuple(xs[good].tolist()), tuple(ys[good].tolist())


def _stream(name: str, pot: Pot) -> Stream:
    return Stream(name, merged(pot.dissolved_mol, pot.solids_mol), pot.inert_g)


def cause_cure(species: str) -> str:
    """What to do about a pot that lacks a species."""
    if parse(species).elements.get("H") and parse(species).charge == 1:
        return "pour more acid, or treat less metal"
    return "check the amounts given: the step asks for more than there is"
