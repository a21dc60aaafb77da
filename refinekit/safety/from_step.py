"""A step of the bench as a scene: its pots, what went in, its gases, each read once at the ends of its range."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache

import numpy as np

from refinekit.bench.fume_limits import known_gases, word_of
from refinekit.bench.place import Place
from refinekit.bench.pot import Event, Pot, merged
from refinekit.bench.step import Reagent, Step, Stream
from refinekit.bench.tag_words import poisons_named
from refinekit.chemistry.species import molar_mass
from refinekit.facts.load import fact, table
from refinekit.ranges import Number, Range, high, low
from refinekit.safety.history import TRACE
from refinekit.safety.lift import LIFTED
from refinekit.safety.scene import NOTHING, Deed, Dose, Scene, Vessel, added_up

SETS = {
    "NH4+": ("H3NSO3", "NH4Cl", "NH4^+", "NH3", "CO(NH2)2"),
    "NO3-": ("HNO3", "NO3^-"),
    "ClO-": ("NaOCl",),
    "sulfamic": ("H3NSO3",),
}
SETS |= {
    "Cl2": ("NaOCl", "Cl2"),
    "urea": ("CO(NH2)2",),
    "Sn(II)": ("Sn",),
    "NH3": ("NH3", "NH4^+"),
    "hydrazine": ("N2H4", "N2H6SO4"),
}
"""What a constituent came in with, so that the step that poured it can be named."""
POURED = ("water", "oxygen of the air", "as alkali", "that comes with", "nitrous acid, as stated", "off the button")
"""Words in the ledger of what goes in that is no reagent of its own; all else without a reagent was there before."""
MARKS_OF_GOODS = ("stannous", "organics", "urea", "ammonium")
"""Marks whose amount the pots themselves hold."""
DUST_MOL = 1e-9
"""Amounts under this are rounding, not matter [mol]."""
BATHS = ("leach", "air")
BRIGHT = {"Fe", "Zn"}
"""Metals on which silver chloride is reduced."""
COUNTED_BY = {
    "never above": ("peak_near", "downwind"),
    "dangerous at once": ("peak_near", "downwind"),
    "15 min": ("15_min_near", "downwind"),
    "8 h": ("8_h_near",),
}
"""Answers of a walk through the air that a limit is held against, by how it is counted; wind has no average to count on."""


def scene_of(step: Step, place: Place) -> Scene:
    """The scene of a step of the bench.

    Args:
        step: the step as reckoned
        place: the shop
    """
    verb = step.name.split(" ")[0]
    if _most(step, "hood_flow") is not None:
        place = replace(place, hood=True)  # a hood told by its opening is a hood
    names = {pot.name for pot in step.before}
    streams = [stream for stream in step.ins if stream.name not in names]
    doses = [dose_of(stream, step.reagents) for stream in streams if _goes_in(stream, step.reagents)]
    told = [stream for stream in streams if not _goes_in(stream, step.reagents)]
    # A lot is looked at as it comes in: it has no pot before.
    seen = step.pots if verb == "lot" and not step.before else step.before
    pots = [vessel(pot) for pot in sorted(seen, key=lambda pot: not high(pot.volume_l))]
    if (told and verb != "lot") or not pots:
        pots.append(_told(told, step, place))
    aired = any("air" in dose.mol for dose in doses)
    return Scene(
        "leach" if verb == "air" else verb,
        tuple(pots),
        tuple(dose for dose in doses if "air" not in dose.mol),
        how=_how(step, verb),
        place=place,
        minutes=step.minutes.low if step.minutes else None,
        target_ph=_target_ph(step),
        end_l=_litres(step, "end_volume", "syrup"),
        air_l_min=float(aired),
        gases={gas.formula: gas.mol for gas in step.gases if gas.mol.high > DUST_MOL},
        start_acid=_most(step, "start_free_hcl"),
        end_acid=_end_acid(step) if verb in BATHS else None,
        end_copper=_end_copper(step) if verb in BATHS else None,
        rise_k=_rise(step),
        breathed=_breathed(step),
        nitric_over=_nitric_over(step, told),
    )


# ---- what the step says of itself
def _how(step: Step, verb: str) -> str:
    """Words of the step: every room adds what it pours by and by; of a melt, whether it was dried."""
    before = [event for pot in step.before for event in pot.history]
    did = [event.did for pot in step.pots[:1] for event in pot.history if "dried" in event.did and event not in before]
    said = [line for heading, line in step.says if heading == "how"]
    return "; ".join([*said, *did, "in portions"])


def _most(step: Step, name: str) -> float | None:
    return next((one.range.high for one in step.answers if one.name == name), None)


def _breathed(step: Step) -> dict[str, dict[str, float]]:
    """Gas near the pot by formula and by how a limit is counted, where the step walked through its air in time [ppm]."""
    if not step.of_air:
        return {}
    most = {one.name: one.range.high for one in step.answers}
    found: dict[str, dict[str, float]] = {}
    for formula in known_gases():
        word = word_of(formula)
        for counted, endings in COUNTED_BY.items():
            figure = next((most[f"{word}_{ending}"] for ending in endings if f"{word}_{ending}" in most), None)
            if figure is not None:
                found.setdefault(formula, {})[counted] = figure
    return found


def _litres(step: Step, *names: str) -> float | None:
    found = [one.range.low / (1000 if one.unit == "mL" else 1) for one in step.answers if one.name in names]
    return min(found, default=None)


def _nitric_over(step: Step, told: list[Stream]) -> float | None:
    """Share of the cases with more nitric than gold in solution; all, where the likely one has; None where gold is unsure.

    Of a figure or two at their ends one case in four is a corner and counts; a corner in which a dozen ranges of a whole run all
    stand at their worst ends together is one in a thousand.
    """
    there = merged(*(pot.dissolved_mol for pot in step.before), *(stream.amounts_mol for stream in told))
    gold, nitric = np.atleast_1d(there.get("AuCl4^-", 0.0)), np.atleast_1d(there.get("NO3^-", 0.0))
    if low(gold) <= DUST_MOL:
        return None
    over = nitric > gold
    return 1.0 if over[0] else float(np.mean(over))


def _target_ph(step: Step) -> float | None:
    found = re.search(r"to pH (\d+(?:\.\d+)?)", step.title) if step.name.startswith("neutralise") else None
    return float(found[1]) if found else None


def _rise(step: Step) -> float:
    told = _most(step, "rise")
    if told is not None:
        return told
    volume_l = high(step.pots[0].volume_l) if step.pots else 0.0
    return high(step.heat_kj) / (volume_l * fact("enthalpy.liquor_heat_capacity").value) if volume_l > 0 else 0.0


def _end_acid(step: Step) -> float | None:
    """Least free acid of the bath afterwards, case by case [mol/L]; None for nitric and for what holds no acid."""
    bath = step.pots[0] if step.pots else None
    if bath is None or low(bath.volume_l) <= 0 or high(bath.mol("NO3^-")) > 0:
        return None
    return low(np.asarray(bath.free_acid_mol) / bath.volume_l)


def _end_copper(step: Step) -> float | None:
    """Most copper of the bath afterwards, case by case [g/L]."""
    bath = step.pots[0] if step.pots else None
    if bath is None or low(bath.volume_l) <= 0:
        return None
    copper = np.asarray(bath.mol("Cu^2+")) + bath.mol("CuCl2^-")
    return high(copper / bath.volume_l) * molar_mass("Cu")


# ---- pots
def vessel(pot: Pot) -> Vessel:
    """A pot as the rules see it: worst ends, marks as constituents, each cause named.

    Args:
        pot: a pot of the bench
    """
    mol = of_species(merged(pot.dissolved_mol, pot.solids_mol))
    acid = Range.over(pot.free_acid_mol)
    if acid.high > DUST_MOL:
        mol["H+"] = acid
    elif high(pot.mol("H^+")) > DUST_MOL:
        mol["H+"] = TRACE  # a complex gives its own proton up too: chloroauric acid is acid
    if high(pot.volume_l) <= 0:
        mol.pop("water", None)
    causes = _causes(pot, mol)
    deeds = tuple(Deed(event.step, event.did) for event in pot.history if not event.did.startswith(LIFTED))
    celsius = pot.temperature_k - fact("constants.zero_celsius").value
    return Vessel(pot.name, mol, high(pot.volume_l), celsius, "", deeds, causes)


def _causes(pot: Pot, mol: dict[str, Range]) -> dict[str, str]:
    """The step behind each mark and each constituent that someone poured; marks with no amount get a trace of one."""
    stands_for: Mapping[str, str] = table("safety/substances")["marks"]
    causes = {stands_for.get(mark, mark): step for mark, step in pot.marks.items()}
    for mark in pot.marks:
        what = stands_for.get(mark)
        if what and mark not in MARKS_OF_GOODS and mol.get(what, NOTHING).high <= 0:
            mol[what] = TRACE
    for what, where in _named(pot):
        causes.setdefault(what, where)
        mol.setdefault(what, TRACE)
    if "ammonium" in pot.marks and not {"NH4+", "NH3", "sulfamic"} & mol.keys():
        mol["NH4+"] = TRACE
    for what in SETS:
        setter = _setter(pot, what) if what in mol and what not in causes else ""
        if setter:
            causes[what] = setter
    if "sulfamic" in mol and "ammonium" not in pot.marks and _denoxed_last(pot):
        causes["sulfamic-within"] = causes.get("sulfamic", "denox")
    steps = [event.step.split(" ")[0] for event in pot.history]
    if {"drop", "dissolve"} & set(steps):
        causes["gold-once"] = "drop" if "drop" in steps else "dissolve"
    cemented = next((event.step for event in reversed(pot.history) if _over_metal(event)), "")
    if cemented and "gold-tested" not in causes:
        causes |= {"gold-cemented": cemented, "gold-tested": cemented}
    return causes


def _named(pot: Pot) -> Iterator[tuple[str, str]]:
    """Poisons that a pot's label or its history names in words, each with where it stands."""
    stands_for: Mapping[str, str] = table("safety/substances")["marks"]
    told = [("the label", pot.name), *((event.step, event.did) for event in pot.history if not event.did.startswith(LIFTED))]
    for where, words in told:
        yield from ((stands_for[mark], where) for mark in poisons_named(words) if mark in stands_for)


def _denoxed_last(pot: Pot) -> bool:
    """Whether sulfamic came in at the last denox there was: a later one could have boiled it to ammonium."""
    denoxed = [event for event in pot.history if event.step.startswith("denox")]
    return bool(denoxed) and any("H3NSO3" in event.added_mol for event in denoxed if event.step == denoxed[-1].step)


def _over_metal(event: Event) -> bool:
    """Whether a liquor lay over metal that takes gold out of it: cemented, or silver reduced on iron or zinc."""
    reduced = event.step.startswith("silver") and not BRIGHT.isdisjoint(event.added_mol)
    return reduced or event.step.startswith("cement")


def of_species(amounts: Mapping[str, Number]) -> dict[str, Range]:
    """Amounts by species as constituents, each read once at its ends [mol]."""
    mol: dict[str, Range] = {}
    for species, amount in amounts.items():
        parts = constituents(species)
        if not parts:
            continue
        span = Range.over(amount)
        if span.high > DUST_MOL:
            for what, count in parts.items():
                mol[what] = added_up((mol.get(what, NOTHING), span * count))
    return mol


@cache
def constituents(species: str) -> Mapping[str, float]:
    """What a species of a pot is to its neighbours; a metal or salt nobody listed is nothing to them."""
    rows: Mapping[str, Mapping[str, float]] = table("safety/substances")["species"]
    return rows.get(species, {})


def _setter(pot: Pot, what: str) -> str:
    """The step that poured what a constituent came from."""
    return next((event.step for event in reversed(pot.history) if any(formula in event.added_mol for formula in SETS[what])), "")


def _told(streams: list[Stream], step: Step, place: Place) -> Vessel:
    """What was told in figures, as one pot."""
    mol = of_species(merged(*(stream.amounts_mol for stream in streams)))
    acid = of_acid([stream.amounts_mol for stream in streams])
    if acid.high > DUST_MOL:
        mol["H+"] = acid
    volume_l = high(step.pots[0].volume_l) if step.pots and "water" in mol else 0.0
    celsius = place.temperature_k - fact("constants.zero_celsius").value
    return Vessel(step.name, mol, volume_l, celsius, causes={"told-in-figures": "options"})


def of_acid(amounts: list[Mapping[str, Number]]) -> Range:
    """Free acid in several lots of ions: what is no complex's own proton [mol]."""
    total = merged(*amounts)
    acid = total.get("H^+", 0.0)
    for species, protons in (("AuCl4^-", 1), ("PdCl4^2-", 2), ("PtCl6^2-", 2)):
        acid = acid - protons * np.asarray(total.get(species, 0.0))
    return Range.over(np.maximum(acid, 0.0))


# ---- what goes in
def _goes_in(stream: Stream, reagents: tuple[Reagent, ...]) -> bool:
    return any(_same(one, stream) for one in reagents) or any(words in stream.name for words in POURED)


def dose_of(stream: Stream, reagents: tuple[Reagent, ...]) -> Dose:
    """A line of the ledger as a dose, with the volume and strength of the bottle it came from."""
    mol = of_species(stream.amounts_mol)
    acid = Range.over(stream.amounts_mol.get("H^+", 0.0))
    if acid.high > DUST_MOL:
        mol["H+"] = acid
    if {"NH4+", "OH-"} <= mol.keys():
        mol["NH3"] = mol.pop("NH4+")
    liquor = max(
        (one for one in reagents if one.unit in ("mL", "L") and _same(one, stream)), key=lambda one: one.to_take, default=None
    )
    volume_l = liquor.to_take / (1000 if liquor.unit == "mL" else 1) if liquor else 0.0
    key = "water" if set(mol) == {"water"} else ""
    return Dose(stream.name, mol, volume_l, _percent(liquor), not liquor, key)


def _same(reagent: Reagent, stream: Stream) -> bool:
    words = reagent.name.lower().replace(",", "").split()
    return bool(words) and words[0] in stream.name.lower().replace(",", "").split()


def _percent(liquor: Reagent | None) -> float | None:
    """Strength of a bottle by weight, where its label says so."""
    found = re.search(r"(\d+(?:\.\d+)?) ?%", f"{liquor.bottle} {liquor.name}") if liquor else None
    return float(found[1]) if found else None
