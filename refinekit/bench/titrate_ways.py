"""What is titrated with what: the reactions, the sign of the end, and what spoils the reading."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.work import Work
from refinekit.chemistry.equation import reaction
from refinekit.chemistry.species import molar_mass, parse
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, Range, high, likely, low
from refinekit.record import record


@record
class Way:
    """A titration.

    Args:
        answer: name of the strength found [text]
        word: what is sought, as the bench says it [text]
        holds: species of a pot it is sought in, the first that is there
        titrant: what is dropped in [text]
        usual: fact of its usual strength [text]
        chain: (reaction id, what is sought, what goes with it), one after the other, from the sought to the titrant
        compound: formula its grams are told of [text]
        counted: element to count by, where one of the compound is more than one of the sought; "" for one to one
        done: sign of the end [text]
        watch: what spoils the reading or the day
    """

    answer: str
    word: str
    holds: tuple[str, ...]
    titrant: str
    usual: str
    chain: tuple[tuple[str, str, str], ...]
    compound: str
    counted: str
    done: str
    watch: tuple[str, ...]


WAYS = {
    "acid": Way(
        "free_acid",
        "free acid",
        ("H^+",),
        "caustic",
        "practice/titrate.caustic",
        (("R11.1", "HCl", "NaOH"),),
        "HCl",
        "",
        "a cloud comes that stays for half a minute of swirling",
        ("stop at the first cloud that stays, not at a colour: a copper bath hides every indicator",),
    ),
    "peroxide": Way(
        "peroxide",
        "hydrogen peroxide",
        ("H2O2",),
        "permanganate",
        "practice/titrate.permanganate",
        (("R11.2", "H2O2", "MnO4^-"),),
        "H2O2",
        "",
        "the first pink that stays for half a minute",
        (
            "sour the sample with thin sulfuric acid, never hydrochloric: permanganate makes chlorine of it, and reads too much",
            "copper(I), iron(II), sulfur dioxide and chloride eat permanganate too: in a bath the figure is the most there is",
        ),
    ),
    "metabisulfite": Way(
        "sulfite",
        "sulfur dioxide in all its forms",
        ("SO2", "HSO3^-", "SO3^2-"),
        "iodine",
        "practice/titrate.iodine",
        (("R11.3", "HSO3^-", "I2"),),
        "Na2S2O5",
        "S",
        "the first blue of starch, or yellow, that stays",
        (
            "let the sample run into the iodine, or work fast and cold: sulfur dioxide leaves an open beaker",
            "do not sour the sample: it then smells, and what smells is lost to the figure",
        ),
    ),
    "caustic": Way(
        "caustic",
        "free caustic",
        ("OH^-",),
        "hydrochloric acid",
        "practice/titrate.hydrochloric",
        (("R11.1", "NaOH", "HCl"),),
        "NaOH",
        "",
        "the pink of phenolphthalein goes",
        ("old caustic holds carbonate: half of that reads as caustic to phenolphthalein, all of it to methyl orange",),
    ),
    "hypochlorite": Way(
        "hypochlorite",
        "hypochlorite",
        ("ClO^-", "HClO"),
        "thiosulfate",
        "practice/titrate.thiosulfate",
        (("R11.4", "NaOCl", "I2"), ("R11.6", "I2", "S2O3^2-")),
        "Cl2",
        "",
        "the yellow is nearly gone, starch put in, and its blue goes",
        (
            "iodide first, acid last: bleach soured without iodide gives chlorine",
            "a sample of a few millilitres, under the hood; nothing else in that beaker",
        ),
    ),
}
"""Titrations by the word asked with."""


def per_mole(way: Way) -> float:
    """Moles of the sought that one mole of the titrant answers for [-].

    >>> per_mole(WAYS["peroxide"]), per_mole(WAYS["hypochlorite"])
    (2.5, 0.5)
    """
    ratio = 1.0
    for id, sought, given in way.chain:
        ratio *= reaction(id).mole_ratio(sought, given)
    return ratio


def grams_per_mole(way: Way) -> float:
    """Grams of the compound for each mole of the sought [g/mol]."""
    return molar_mass(way.compound) / (parse(way.compound).elements[way.counted] if way.counted else 1)


@record
class Reading:
    """A titration as done.

    Args:
        used_l: titrant to the end [L]
        drop_l: a drop of it [L]
        strength_mol_per_l: of the titrant
        sample_l: what was titrated [L]
        thinned: how many times the sample was thinned before [-]
        per_mole: moles of the sought that one of the titrant answers for [-]
    """

    used_l: Number
    drop_l: Number
    strength_mol_per_l: Number
    sample_l: Number
    thinned: Number
    per_mole: float

    def found(self, used_l: Number | None = None) -> Number:
        """What the reading says of the liquor, uncorrected [mol/L]."""
        used = self.used_l if used_l is None else used_l
        return used * self.strength_mol_per_l * self.per_mole / self.sample_l * self.thinned

    @property
    def grown(self) -> float:
        """Volume at the end over that of the liquor in it [-]."""
        return likely(self.thinned) * (1 + likely(self.used_l) / likely(self.sample_l))

    def least(self) -> Number:
        """The same if the last drop counted was one too many [mol/L]."""
        return self.found(np.maximum(self.used_l - self.drop_l, 0.0))


def span_of(least: Number, found: Number, most: Number) -> Range:
    """From the least case of one figure over the likely of the next to the most of the last; never below nothing."""
    middle = max(likely(found), 0.0)
    return Range(max(min(low(least), middle), 0.0), middle, max(high(most), middle))


def reading_of(work: Work, way: Way, told: Mapping[str, Any]) -> Reading:
    """What was dropped into what.

    Raises: CannotFollow, the titrant is told twice, or no sample is told
    """
    if told.get("used_l") is not None and told.get("drops") is not None:
        raise CannotFollow("the titrant is told as --used and as --drops", cure="give one of them")
    if told.get("sample_l") is None:
        raise CannotFollow("how much liquor was titrated is not told", cure="--sample 5mL")
    drop = told.get("drop_l")
    if drop is None:
        drop = work.fact("practice/titrate.drop").value
        work.assume(f"a drop is {1000 * drop:.2g} mL")
    used = told["used_l"] if told.get("used_l") is not None else told["drops"] * drop
    strength = work.default(told.get("strength_mol_per_l"), way.usual, f"strength of the {way.titrant}")
    return Reading(used, drop, strength, told["sample_l"], told.get("dilution", 1.0), per_mole(way))


def say_reading(work: Work, way: Way, reading: Reading) -> None:
    """The sum a person checks by hand."""
    ml, sample = 1000 * likely(reading.used_l), 1000 * likely(reading.sample_l)
    times = likely(reading.thinned)
    equations = "; ".join(str(reaction(id)) for id, _, _ in way.chain)
    work.working(
        f"{way.word} by {way.titrant}",
        equations,
        f"{ml:.4g} mL x {likely(reading.strength_mol_per_l):.4g} mol/L x {reading.per_mole:g} / {sample:.4g} mL"
        + (f" x {times:g}" if times != 1 else ""),
        f"{likely(reading.found()):.4g} mol/L",
        *(f"reactions.{id}" for id, _, _ in way.chain),
    )


def say_grams(work: Work, way: Way, span: Range, told: Mapping[str, Any]) -> None:
    """The same as grams, as the label says it, and how good a weighed powder is."""
    grams = grams_per_mole(way) * span
    if way.answer == "hypochlorite":
        work.answer("available_chlorine", grams, "g/L", because="one chlorine for each hypochlorite")
        work.answer("trade_percent", 0.1 * grams, "%", because="grams of available chlorine in 100 mL")
    else:
        name = {"HCl": "hydrogen_chloride", "H2O2": "peroxide_mass", "Na2S2O5": "metabisulfite", "NaOH": "caustic_mass"}
        work.answer(name[way.compound], grams, "g/L", because=f"as {way.compound}")
    if told.get("weighed_g") is None:
        return
    if told.get("made_up_l") is None:
        raise CannotFollow("a powder was weighed, and its volume once dissolved is not told", cure="--made-up 100mL")
    whole = 100 * told["made_up_l"] / told["weighed_g"]
    good = Range(grams.low * low(whole), grams.likely * likely(whole), grams.high * high(whole))
    work.answer("goodness", good, "%", because=f"grams of {way.compound} found over grams weighed", sized_on="low")
    if good.low > 100:
        work.notice(
            "warn",
            "titration-over-whole",
            f"the reading finds {good.likely:.4g} % of the powder weighed",
            "check the weights, the strength of the titrant and the sample, and do it again",
            "practice",
        )


def say_watch(work: Work, way: Way, what: str) -> None:
    """How it is done and what spoils it."""
    work.say("done when", way.done)
    for line in way.watch:
        work.say("watch for", line)
    if what == "acid":
        work.say("watch for", "nitrate cannot be titrated at the bench: no drop test tells it")
    work.say("gear", "goggles and gloves; a pipette bulb, never the mouth")
    work.say("left over", "the titrated sample goes to the spent liquor, never back into the bath")
