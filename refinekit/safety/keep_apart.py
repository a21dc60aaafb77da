"""May these two meet? The same rules as in every step, asked of a pair; and what a pot must not meet."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from refinekit.bench.place import Place
from refinekit.bench.step import LEVELS, Notice
from refinekit.facts.load import fact, table
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.safety.engine import found, in_order, level_of
from refinekit.safety.scene import Dose, Scene, Vessel
from refinekit.safety.speak import notice
from refinekit.safety.substances import Substance, find

BY_AMOUNT: tuple[str, ...] = (
    "gas-above-limit",
    "hydrogen-flammable",
    "leaving-gold-in-waste",
    "nitric-left",
    "flammable-rinse",
    "over-copper",
    "acid-spent",
    "cuprous-curd",
    "boil-over",
    "froth-over",
    "ammonium-carried",
)
"""Codes that turn on amounts and places, which a pair of names does not tell."""
_FIGURES = re.compile(
    r" \(in the pot\)|"
    r"[:,]? (?:about|up to) [0-9.e+-]+ L(?:, [0-9.e+-]+ % of the air)?(?=,| of| into|$|\.)"
    r"|: [0-9.]+% of the bath at once(?:, warm)?"
    r"|: up to [0-9.e+-]+ % of the gold"
)
NOT_SAFE = "nothing known against it here, which is not the same as safe"
MOLE, LITRE = Range.point(1.0), 1.0
STRONG = {"SO4": "sulfuric acid", "NO3-": "nitric acid"}


@record
class Meeting:
    """Two things held together.

    Args:
        first, second: what they were taken for [text]
        notices: what forms and what to do, worst first
        refused: whether one of them is not for this bench
    """

    first: str
    second: str
    notices: tuple[Notice, ...]
    refused: bool = False

    @property
    def level(self) -> str:
        """none, note, warn or stop."""
        return level_of(self.notices)

    def refusing(self, refusals: tuple[Notice, ...]) -> Meeting:
        """The meeting with what is refused told first."""
        return replace(self, notices=in_order([*refusals, *self.notices], {}), refused=self.refused or bool(refusals))

    @property
    def answer(self) -> str:
        """The answer in plain words."""
        words = {"stop": "NO: keep them apart", "warn": "not without care", "note": "they may meet, mind this", "none": NOT_SAFE}
        return words[self.level]


def as_vessel(one: Substance) -> Vessel:
    """A litre of a thing, a mole of it: the worst its name stands for."""
    mol = {what: MOLE * count for what, count in one.parts.items()}
    percent = {
        what: fact(f"safety/lines.{key}").value + 1 for what, key in (("SO4", "strong_sulfuric"), ("NO3-", "strong_nitric"))
    }
    strong = {what: figure for what, figure in percent.items() if STRONG[what] == one.key}
    return Vessel(one.key, mol, LITRE, percent=strong)


def meet_words(first: str, second: str) -> Meeting:
    """Hold two things together by name.

    Args:
        first, second: names, formulas, plain words, near misspellings
    Raises: UnknownName, one of them is not known: nothing is said to be safe

    >>> meet_words("bleach", "ammonia").level
    'stop'
    """
    a, b = find(first), find(second)
    return meet(as_vessel(a), as_vessel(b)).refusing(refusals_of((a, b)))


def refusals_of(things: Iterable[Substance]) -> tuple[Notice, ...]:
    """Why some things are not for this bench, and who takes them."""
    return tuple(refusal(one) for one in things if one.refused)


def refusal(one: Substance) -> Notice:
    """Why a thing is not for this bench, and who takes it."""
    row = table("safety/says")["refused"][one.refused]
    return Notice("stop", "refused", row["text"], row["do"], row["source"])


def meet_pots(first: Vessel, second: Vessel, told: Iterable[Vessel]) -> Meeting:
    """Hold pots at hand together: what they are by themselves, and where their history does not fit, is part of the answer.

    Args:
        first, second: the two
        told: those of them that are pots at hand, not names
    """
    meeting = meet(first, second)
    own = [one for pot in told for one in (*within(pot), *contradictions(pot)) if one.level != "note"]
    return replace(meeting, notices=one_each([*meeting.notices, *own]))


def meet(first: Vessel, second: Vessel) -> Meeting:
    """Hold two pots together, each poured into the other.

    Args:
        first, second: pots with all that is in them
    """
    second = second if second.name != first.name else replace(second, name=f"{second.name} 2")
    said = [*pairs(first, second), *_poured(first, second), *_poured(second, first)]
    spit = [replace(one, level="warn") if one.code == "acid-spit" and one.level == "stop" else one for one in said]
    return Meeting(first.name, second.name, one_each(spit))


def one_each(notices: Iterable[Notice]) -> tuple[Notice, ...]:
    """The worst notice of each code, worst first."""
    best: dict[str, Notice] = {}
    for one in notices:
        if one.code not in best or LEVELS.index(one.level) > LEVELS.index(best[one.code].level):
            best[one.code] = one
    return in_order(best.values(), {})


def _poured(into: Vessel, what: Vessel) -> Iterator[Notice]:
    """What the rules say of one poured into the other, in a room, as far as it does not hang on amounts."""
    percent = next(iter(what.percent.values()), None) or (
        fact("safety/lines.peroxide_strong").value + 1 if "H2O2" in what.mol else None
    )
    dose = Dose(what.name, what.mol, what.volume_l, percent, substance=what.name)
    scene = Scene("mix", (into,), (dose,), how="poured in", place=Place(room_m3=1.0))
    alone = {(one.code, one.text) for pot in (into, what) for one in found(Scene("mix", (pot,), place=Place(room_m3=1.0)))}
    for one in found(scene):
        own = one.code in ("hydrogen-cyanide", "poison")
        if one.code not in BY_AMOUNT and (own or (one.code, one.text) not in alone):
            yield replace(one, text=in_general(one.text))


def within(pot: Vessel) -> tuple[Notice, ...]:
    """What is dangerous in a pot as it stands, as far as it does not hang on amounts.

    Args:
        pot: the pot with all that is in it
    """
    said = found(Scene("mix", (pot,)))
    kept = [one for one in said if one.code == "ammonium-carried" or one.code not in BY_AMOUNT]
    return one_each([replace(one, text=in_general(one.text)) for one in kept])


def in_general(text: str) -> str:
    """What is said of a pair of names: no litres and shares, which hang on amounts nobody told."""
    return _FIGURES.sub("", text)


def pairs(first: Vessel, second: Vessel, *, always: bool = False) -> Iterator[Notice]:
    """What the table of pairs says of two pots.

    Args:
        first, second: the pots
        always: only the rows that hold in every step too
    """
    rows: list[Mapping[str, Any]] = table("safety/matrix")["pair"]
    for row in rows:
        if always and not row.get("always"):
            continue
        for one, other in ((first, second), (second, first)):
            strong = not row.get("strong") or any(_is_strong(other, what) for what in row["b"])
            beside = row.get("beside")
            if beside and first.most_of(*beside) + second.most_of(*beside) <= 0:
                continue
            if strong and one.most_of(*row["a"]) > 0 and other.most_of(*row["b"]) > 0:
                yield Notice(row["level"], row["code"], row["text"], row["do"], row["source"])
                break


def _is_strong(pot: Vessel, what: str) -> bool:
    """Whether a pot is an acid so strong that water alone makes it spit."""
    return pot.percent.get(what, 0.0) > fact("safety/lines.strong_sulfuric").value


def must_not_meet(pot: Vessel) -> tuple[tuple[str, Notice], ...]:
    """What a pot must not meet, of what stands about a shop: partner and the worst that comes of it, worst first.

    Args:
        pot: the pot with all that is in it
    """
    rows: list[str] = table("safety/keeping")["partners"]
    found_: list[tuple[str, Notice]] = []
    for partner in rows:
        worst = next((one for one in meet(pot, as_vessel(find(partner))).notices if one.level != "note"), None)
        if worst:
            found_.append((partner, worst))
    return tuple(sorted(found_, key=lambda pair: -LEVELS.index(pair[1].level)))


def keeping(pot: Vessel) -> tuple[tuple[str, str], ...]:
    """How to make a pot safe and how to keep it: pairs of lines, the most dangerous content first.

    Args:
        pot: the pot with all that is in it
    Source: common practice, in facts/safety/keeping.toml
    """
    rows: list[Mapping[str, Any]] = table("safety/keeping")["keep"]
    fits = [row for row in rows if pot.most_of(*row["any"]) > 0 and ("with" not in row or pot.most_of(*row["with"]) > 0)]
    return tuple((row["safe"], row["store"]) for row in fits)


NOT_DISSOLVED = (
    "water",
    "Au",
    "Ag",
    "Cu",
    "Ni",
    "Zn",
    "Fe",
    "Sn",
    "Pb",
    "Al",
    "Mg",
    "Pd",
    "Pt",
    "AgCl",
    "paper",
    "plastic",
    "sawdust",
)
"""What lies in a liquor and is not of it."""


def contradictions(pot: Vessel) -> tuple[Notice, ...]:
    """Where a pot's history does not fit what is told to be in it.

    Args:
        pot: the pot
    """
    return tuple(_contradictions(pot))


def _contradictions(pot: Vessel) -> Iterator[Notice]:
    from refinekit.chemistry.species import molar_mass

    plain = not pot.history and not any(amount.high > 0 for what, amount in pot.mol.items() if what != "water")
    if pot.volume_l > 0 and plain and "water" not in pot.name.lower():
        yield notice("warn", "history-contradicts.unknown", litres=pot.volume_l)
    crowd = sum(amount.low for what, amount in pot.mol.items() if what not in NOT_DISSOLVED)
    if pot.volume_l > 0 and crowd / pot.volume_l > fact("safety/lines.crowded").value:
        yield notice("warn", "history-contradicts.crowded", mol_per_l=crowd / pot.volume_l)
    missed_g_per_l = fact("practice/general.uncertainty.stannous").value / 1000
    gold_g_per_l = pot.least("Au(III)") * molar_mass("Au") / pot.volume_l if pot.volume_l > 0 else 0.0
    if "gold-tested" in pot.causes and "gold-cemented" not in pot.causes and gold_g_per_l > missed_g_per_l:
        yield notice("warn", "history-contradicts.gold", mg=1000 * gold_g_per_l, cause=pot.causes["gold-tested"])
    if pot.least("H+") > 0 and pot.least("OH-") > 0:
        yield notice("warn", "history-contradicts.acid")
    eaten = {"NH4+": "ammonium", "NH3": "ammonia", "SO2": "sulfite", "sulfamic": "sulfamic"}
    beside = [word for what, word in eaten.items() if pot.least(what) > 0]
    if pot.least("ClO-") + pot.least("Cl2") > 0 and beside:
        yield notice("warn", "history-contradicts.chlorine", what=" and ".join(beside))
    metals = {"Cu": "copper", "Ni": "nickel", "Zn": "zinc", "Fe": "iron"}
    there = [word for what, word in metals.items() if pot.least(what) > 0]
    if "base-metal-gone" in pot.causes and there:
        yield notice("warn", "history-contradicts.metal", metal=" and ".join(there), cause=pot.causes["base-metal-gone"])
    if "NH4+" in pot.causes and pot.least("NH4+") <= 0 < pot.most("NH4+"):
        yield notice("note", "history-contradicts.ammonium", cause=pot.causes["NH4+"])
