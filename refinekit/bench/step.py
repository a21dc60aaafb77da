"""What a step answers: figures, pours, gases, tables, notices and pots, checked so that nothing leaks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from functools import cache

import numpy as np

from refinekit.bench.pot import Pot
from refinekit.chemistry.species import parse
from refinekit.errors import Leak
from refinekit.ranges import Number, Range
from refinekit.record import record

LEVELS = ("note", "warn", "stop")
BALANCE_TOLERANCE = 1e-9
"""Relative amount of an element or of charge that may be lost to rounding in a step."""
SPECK = 1e-6
"""Amount under which the tolerance no longer shrinks: a femtomole is rounding, not a leak [mol or g]."""
LAST_DIGITS = 1e-13
"""Part of all the moles of a step that a trace beside them may be off by: the last digits of a subtraction."""


_LAST: list[object] = []
"""What went in and came out of the step that was checked last."""


@record
class Notice:
    """A caution.

    Args:
        level: note, warn or stop
        code: stable name of the hazard or trap [text]
        text: what happens, one line
        do: what to do instead, one line
        source: key of the facts' sources [text]
        cause: the step that set it, where that was an earlier one [text]
        may_override: whether a typed reason may lift the stop
        reason: the reason typed for an override, once typed [text]
    """

    level: str
    code: str
    text: str
    do: str
    source: str
    cause: str = ""
    may_override: bool = False
    reason: str = ""


@record
class Answer:
    """One figure.

    Args:
        name: stable key with its unit spelled out where it matters, e.g. "gold", "days" [text]
        range: the figure [in `unit`]
        unit: unit [text]
        sized_on: which end of which input is to be acted on, and why [text]
        because: how it comes about, one line [text]
    """

    name: str
    range: Range
    unit: str
    sized_on: str = "likely"
    because: str = ""


@record
class Reagent:
    """Something to weigh or pour.

    Args:
        name: what it says on the bottle [text]
        bare: stoichiometric need over the cases [in `unit`]
        to_take: the figure to weigh or pour [in `unit`], before rounding
        unit: mL, L, g or kg
        sized_on: which end of the range, and why [text]
        excess: how `to_take` follows from the bare need, e.g. "x 1.2 on gold" [text]
        bottle: strength or goodness assumed [text]
        when: at what moment, e.g. "first", "then, when fume stops" [text]
        key: key of the reagent facts, for the shelf [text]
        rounding: up, down or nearest: the safe way to round to the scale step [text]
        counts: whether it adds to the shopping list; False for a part of a pour told beside it (a first charge under a ceiling)
        to_sign: whether it goes in only until a sign says stop, or what is left of it is lifted out: less than `to_take` may do
    """

    name: str
    bare: Range
    to_take: float
    unit: str
    sized_on: str
    excess: str = ""
    bottle: str = ""
    when: str = ""
    key: str = ""
    rounding: str = "nearest"
    counts: bool = True
    to_sign: bool = False


@record
class Gas:
    """A gas a step gives off.

    Args:
        formula: species [text]
        mol: amount over the cases, low to high route [mol]
        litres: the same at the shop's temperature and pressure [L]
        minutes: time over which it comes [min]; None where it was not told
        peak_l_per_min: most at once [L/min]; None where no time was told
        sized_on: which route the high end is [text]
    """

    formula: str
    mol: Range
    litres: Range
    minutes: float | None = None
    peak_l_per_min: float | None = None
    sized_on: str = ""


@record
class Stream:
    """One thing that went into or came out of a step, for the ledger: amounts by species [mol] and inert mass [g]."""

    name: str
    amounts_mol: Mapping[str, Number]
    inert_g: Number = 0.0


@record
class Working:
    """One line of working as a person would write it.

    Args:
        what: what is worked out [text]
        equation: reaction or formula used [text]
        arithmetic: the sum with its numbers [text]
        result: the result with its unit [text]
        facts: ids of the facts used
    """

    what: str
    equation: str
    arithmetic: str
    result: str
    facts: tuple[str, ...] = ()


@record
class Table:
    """A table of an answer: `columns` carry their units, cells are text, numbers or ranges."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str | float | Range, ...], ...]


@record
class Chart:
    """A curve or several over one axis, as a person would sketch them.

    Args:
        title: what is drawn [text]
        x: what runs along the bottom, with its unit, e.g. "caustic, mol" [text]
        y: what runs up the side, with its unit, e.g. "pH" [text]
        series: name of each curve to its x and its y values, x rising, as many of one as of the other
        finding: what it shows, in a sentence: all that a reader gets who cannot see it [text]
        log: whether y is drawn by powers of ten; every y is then above 0
        marks: (words, x) of places to point at, e.g. ("target pH 9.5", 9.5)
        levels: (words, y) of lines that are not to be passed, e.g. ("1 ppm, 15 min", 1.0)
    Raises: Leak, a curve without points, points that do not pair up, do not rise, or cannot be drawn
    """

    title: str
    x: str
    y: str
    series: Mapping[str, tuple[tuple[float, ...], tuple[float, ...]]]
    finding: str
    log: bool = False
    marks: tuple[tuple[str, float], ...] = ()
    levels: tuple[tuple[str, float], ...] = ()

    def __post_init__(self) -> None:
        for name, (across, up) in self.series.items():
            xs, ys = np.asarray(across, dtype=float), np.asarray(up, dtype=float)
            drawable = xs.size > 0 and xs.shape == ys.shape and bool(np.isfinite(xs).all() and np.isfinite(ys).all())
            if not drawable or (np.diff(xs) < 0).any() or (self.log and (ys <= 0).any()):
                raise Leak(
                    f"the curve {name!r} of the chart {self.title!r} cannot be drawn",
                    cure="this is a fault of refinekit: report the command",
                )
        for words, at in self.levels:
            if not np.isfinite(at) or (self.log and at <= 0):
                raise Leak(
                    f"the line {words!r} of the chart {self.title!r} cannot be drawn",
                    cure="this is a fault of refinekit: report the command",
                )


@record
class Step:
    """One step done on paper.

    Args:
        name: the verb [text]
        title: what it was asked of, e.g. "foils, 1.6 / 2.1 / 2.6 g gold" [text]
        before: the pots it started from
        answers, reagents, gases, tables, notices: see their classes
        says: (heading, line) pairs: "vessel", "watch for", "done when", "gear", "next"
        reactions: ids or texts of the reactions used
        pots: what is left, the working pot first
        ins, outs: the ledger of the step
        heat_kj: heat set free, likely [kJ]
        minutes: how long it takes [min]; None where unknown
        assumed: what was taken as given without being told
        used_facts: ids of the facts used
        workings: the lines of working, in order
        charts: curves that go with it
        of_air: whether it only reckons what is breathed: it has nothing to weigh or pour, so a stop leaves its figures standing
    Raises: Leak, an element or the charge does not come out as it went in
    """

    name: str
    title: str = ""
    before: tuple[Pot, ...] = ()
    answers: tuple[Answer, ...] = ()
    reagents: tuple[Reagent, ...] = ()
    gases: tuple[Gas, ...] = ()
    tables: tuple[Table, ...] = ()
    notices: tuple[Notice, ...] = ()
    says: tuple[tuple[str, str], ...] = ()
    reactions: tuple[str, ...] = ()
    pots: tuple[Pot, ...] = ()
    ins: tuple[Stream, ...] = ()
    outs: tuple[Stream, ...] = ()
    heat_kj: Number = 0.0
    minutes: Range | None = None
    assumed: tuple[str, ...] = ()
    used_facts: tuple[str, ...] = ()
    workings: tuple[Working, ...] = field(default=())
    charts: tuple[Chart, ...] = ()
    of_air: bool = False

    def __post_init__(self) -> None:
        if not (_LAST and _LAST[0] is self.ins and _LAST[1] is self.outs):  # not the same step with a word or a notice put to it
            check_balance(self.name, self.ins, self.outs)
            _LAST[:] = (self.ins, self.outs)

    def answer(self, name: str) -> Range:
        """The figure of an answer by its name. Raises: KeyError."""
        for one in self.answers:
            if one.name == name:
                return one.range
        raise KeyError(name)


def element_totals(streams: tuple[Stream, ...]) -> dict[str, Number]:
    """Moles of each element in a set of streams, their net "charge", the "scale" of charge and the "inert" grams."""
    totals: dict[str, Number] = {"charge": 0.0, "scale": 0.0, "inert": 0.0}
    for stream in streams:
        totals["inert"] = totals["inert"] + stream.inert_g
        for formula, amount in stream.amounts_mol.items():
            for what, count in _counts(formula):
                totals[what] = totals.get(what, 0.0) + (amount if count == 1 else count * amount)
    return totals


@cache
def _counts(formula: str) -> tuple[tuple[str, float], ...]:
    """What a mole of a formula adds to each total; what it adds nothing to is left out."""
    species = parse(formula)
    counts = {**species.elements, "charge": species.charge, "scale": abs(species.charge)}
    return tuple((what, count) for what, count in counts.items() if count)


def check_balance(name: str, ins: tuple[Stream, ...], outs: tuple[Stream, ...]) -> None:
    """Refuse a step that loses or makes an element, charge or inert mass.

    Raises: Leak, naming what and how much
    """
    before, after = element_totals(ins), element_totals(outs)
    scale = before.pop("scale")
    after.pop("scale")
    # a trace that was worked out beside moles of something else carries their last digit, not an error of its own
    digit = LAST_DIGITS * sum(np.abs(total) for name, total in before.items() if name != "inert")
    for what in before.keys() | after.keys():
        there, here = before.get(what, 0.0), after.get(what, 0.0)
        off = np.abs(np.subtract(there, here))
        if not off.any():  # most totals are the very same
            continue
        size = np.maximum(scale if what == "charge" else np.maximum(np.abs(there), np.abs(here)), SPECK)
        if (off > np.maximum(BALANCE_TOLERANCE * size, digit)).any():
            worst = float(np.max(off))
            raise Leak(
                f"step {name!r} does not close: {what} is off by {worst:.3g}",
                cure="this is a fault of refinekit: report the command",
            )
