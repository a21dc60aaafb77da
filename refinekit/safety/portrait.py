"""A pot put in words: what is in it, where it came from, what it must not meet, how to make it safe and keep it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from refinekit.bench.pot import Pot
from refinekit.bench.step import Notice, Table
from refinekit.chemistry.species import molar_mass
from refinekit.errors import UnknownName
from refinekit.facts.load import table
from refinekit.nearest import did_you_mean
from refinekit.ranges import Range, high, low
from refinekit.record import record
from refinekit.safety.engine import in_order
from refinekit.safety.from_step import vessel
from refinekit.safety.gear import checklist
from refinekit.safety.keep_apart import contradictions, keeping, must_not_meet, within
from refinekit.safety.outlook import line
from refinekit.safety.scene import Vessel

MOST_EVENTS = 40
"""Lines of history shown; the JSON of the pot keeps them all."""


@record
class Portrait:
    """Pots put in words: cautions, tables and lines."""

    pots: tuple[Pot, ...]
    notices: tuple[Notice, ...]
    tables: tuple[Table, ...]
    lines: tuple[tuple[str, str], ...]


def portrait(pots: Sequence[Pot], names: Sequence[str] = ()) -> Portrait:
    """Put pots in words.

    Args:
        pots: pots at hand
        names: those asked for; none for all
    Raises: UnknownName, no pot of that name
    """
    taken = _taken(pots, names)
    tables: list[Table] = []
    lines: list[tuple[str, str]] = []
    notices: list[Notice] = []
    for pot in taken:
        seen = vessel(pot)
        notices += review_pots((pot,))[pot.name]
        of = f": {pot.name}" if len(taken) > 1 else ""
        tables += [_contents(pot, of), _partners(seen, of), *_history(pot, of)]
        lines += [(f"{heading}{of}", text) for heading, text in _words(pot, seen)]
    lines.append(("no figure shows", "; ".join(checklist())))
    return Portrait(tuple(taken), tuple(notices), tuple(tables), tuple(lines))


def review_pots(pots: Sequence[Pot]) -> Mapping[str, tuple[Notice, ...]]:
    """What the rules say of pots as they stand on the shelf, by name, worst first: what is dangerous within, what does not fit.

    The door for whoever keeps pots (a book, a drum, a file) and has no step to show; a step goes to `engine.review`.

    Args:
        pots: pots at hand, each under a name of its own
    """
    seen = {pot.name: vessel(pot) for pot in pots}
    return {name: in_order([*within(one), *contradictions(one)], {}) for name, one in seen.items()}


def _taken(pots: Sequence[Pot], names: Sequence[str]) -> tuple[Pot, ...]:
    by_name = {pot.name: pot for pot in pots}
    for name in names:
        if name not in by_name:
            cure = did_you_mean(name, by_name)
            raise UnknownName(f"there is no pot {name[:40]!r} in it", cure=cure)
    return tuple(by_name[name] for name in names) if names else tuple(pots)


def _contents(pot: Pot, of: str) -> Table:
    names = {row["formula"]: row["name"] for row in table("species")["species"]}
    rows: list[tuple[str | float | Range, ...]] = []
    liquor = np.asarray(pot.volume_l)
    for phase, amounts in (("dissolved", pot.dissolved_mol), ("solid", pot.solids_mol)):
        for species, amount in amounts.items():
            if high(amount) <= 0 or species == "H2O":
                continue
            grams = amount * molar_mass(species)
            per_l: str | Range = Range.over(grams / liquor) if phase == "dissolved" and low(liquor) > 0 else ""
            rows.append((names.get(species, species), species, phase, Range.over(amount), Range.over(grams), per_l))
    return Table(f"What is in it{of}", ("what", "formula", "as", "mol", "g", "g/L"), tuple(rows))


def _partners(seen: Vessel, of: str) -> Table:
    rows = tuple((partner, one.level, one.text, one.do) for partner, one in must_not_meet(seen))
    return Table(f"What it must not meet{of}", ("partner", "level", "what forms", "do instead"), rows)


def _history(pot: Pot, of: str) -> tuple[Table, ...]:
    rows = tuple((event.step, event.did) for event in pot.history[-MOST_EVENTS:])
    marks = tuple((step, f"mark: {mark}") for mark, step in pot.marks.items())
    return (Table(f"Where it came from{of}", ("step", "what was done"), (*rows, *marks)),) if rows or marks else ()


def _words(pot: Pot, seen: Vessel) -> list[tuple[str, str]]:
    lines = [("holds", f"{Range.over(pot.volume_l).likely:.3g} L at {seen.temperature_c:.0f} degC")]
    acid = np.asarray(pot.free_acid_mol)
    if low(np.asarray(pot.volume_l)) > 0 and high(acid) > 0:
        span = Range.over(acid / pot.volume_l)
        ends = (span.likely,) if span.is_point else (span.low, span.likely, span.high)
        lines.append(("free acid", f"{' / '.join(f'{end:.3g}' for end in ends)} mol/L"))
        # pH 2, the corrosive line of 40 CFR 261.22, is a hundredth of a mole of free acid to a litre.
        if span.high >= 10 ** -line("d002_low"):
            lines.append(
                ("in law", f"pH {line('d002_low'):g} or less: corrosive hazardous waste, D002 (40 CFR 261.22), until treated")
            )
    rows = keeping(seen)
    lines += [("make it safe", safe) for safe, _ in rows[:3]] + [("store it", store) for _, store in rows[:2]]
    if not pot.history and not pot.marks:
        lines.append(
            ("where from", "no history: nobody can say what it carries; ask who filled it, test before it meets anything")
        )
    if not seen.mol:
        lines.append(("known of it", "nothing here: which is not the same as safe"))
    return lines
