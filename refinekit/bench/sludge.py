"""Sludge: dry by phase, settled gel, cake, heated to black oxide, the drum, and hauling by the litre against by the kilogram."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.fields import Field, Room, refuse_strange
from refinekit.bench.neutralise_liquor import SALTS
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.sludge_parts import dry_g, gel_l, heated, say_room, say_solids
from refinekit.bench.step import Step
from refinekit.bench.waste_law import say_law
from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass, parse
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, Range, high, in_words, likely

HYDROXIDES = {
    "copper": "CuO2H2",
    "nickel": "NiO2H2",
    "zinc": "ZnO2H2",
    "iron": "FeO3H3",
    "iron-iii": "FeO3H3",
    "lead": "PbO2H2",
    "tin": "H2SnO3",
    "aluminium": "AlO3H3",
    "cadmium": "CdO2H2",
    "cuprous": "Cu2O",
}
"""What each metal told of falls as; iron ends as iron(III) hydroxide in air."""

FIELDS = (
    *(
        Field(metal, "mass", "g", f"{metal.replace('-iii', '(III)')} in the liquor it came from")
        for metal in SALTS
        if metal in HYDROXIDES
    ),
    Field("gel-solids", "share", "", "solids in settled gel", above_zero=True, highest=1.0),
    Field("cake-solids", "share", "", "solids in drained cake", above_zero=True, highest=1.0),
    Field("heat", "flag", "", "heated till the blue turns black"),
    Field("drum-room", "volume", "L", "room left in the drum"),
    Field("drum-density", "density", "g/mL", "weight of a litre of gel and liquor", above_zero=True),
    Field("litre-price", "price", "L", "hauling, by the litre"),
    Field("kilogram-price", "price", "kg", "hauling, by the kilogram of cake"),
    Field("month-so-far", "mass", "kg", "hazardous waste already made this month"),
)


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Any) -> Step:
    """Say what a sludge comes to.

    Args:
        pots: sludges, put together
        place: the shop
        told: metals where there is no pot, solids, prices, see FIELDS
    Returns: Step with dry weight by phase, gel, cake, drum, money; pots "cake" and, where liquor drains off, "filtrate"
    Raises: CannotFollow, no sludge
    Source: facts/practice/sludge.toml
    """
    refuse_strange("sludge", told, {field.arg for field in FIELDS})
    work = Work("sludge", *pots, place=place)
    _pour_metals(work, told)
    fell = {solid: mol for solid, mol in work.solids.items() if high(mol) > 0}
    if not fell:
        raise CannotFollow("there is no sludge", cure="give --copper 66g --nickel 7.5g, or the pot of neutralise with --pot FILE")
    settled = say_solids(work, fell, told)
    heated(work, fell, gel_l(work, dry_g(fell), told))
    if told.get("heat") and "CuO2H2" in fell:
        work.react("R10.13", fell["CuO2H2"])
        work.escape("H2O", fell["CuO2H2"])
    cake = _cake_kg(work, told)
    _say_drum(work, told, settled, cake)
    say_law(work, work.place.law, month_kg=cake + told.get("month_so_far_g", 0.0) / 1000)
    return _close(work, cake)


def _pour_metals(work: Work, told: Mapping[str, Any]) -> None:
    solids: dict[str, Number] = {}
    for metal, solid in HYDROXIDES.items():
        grams = told.get(f"{metal.replace('-', '_')}_g")
        if grams is None:
            continue
        element = next(iter(parse(SALTS[metal]).elements))
        mol = grams / molar_mass(element) / parse(solid).elements[element]
        solids[solid] = solids.get(solid, 0.0) + mol
    if solids:
        work.pour("sludge of the metals told of", solids)


def _cake_kg(work: Work, told: Mapping[str, Any]) -> Number:
    """Cake case by case, at the told or the likely share of solids [kg]."""
    share = told.get("cake_solids", work.fact("practice/sludge.cake_solids").value)
    cake: Number = dry_g({solid: mol for solid, mol in work.solids.items() if high(mol) > 0}) / 1000 / share
    return cake


def _say_drum(work: Work, told: Mapping[str, Any], gel: Range, cake: Number) -> None:
    """What the drum must hold: the gel at its thinnest, so that it does not run short, and what hauling it costs."""
    there = Range.over(work.volume_l)
    wet = Range(max(gel.low, there.low), max(gel.likely, there.likely), max(gel.high, there.high))
    density = told.get("drum_density_g_per_ml")
    span = Range.over(density) if density is not None else work.fact("practice/neutralise.drum_density").range
    work.answer(
        "drum", wet, "L", sized_on="high: thinnest gel", because="gel as it settles, or the liquor it stands in if that is more"
    )
    work.answer(
        "drum_weight",
        Range(wet.low * span.low, wet.likely * span.likely, wet.high * span.high),
        "kg",
        sized_on="high",
        because="litres x kg/L",
    )
    say_room(work, wet, told, "drain or press it to cake, or heat copper sludge to black oxide")
    by_litre, by_kilogram = told.get("litre_price"), told.get("kilogram_price")
    if by_litre is not None:
        work.answer(
            "by_litre",
            wet * by_litre.range.likely,
            by_litre.currency or "money",
            sized_on="high",
            because="hauled as it is, by the litre",
        )
    if by_kilogram is not None:
        money = by_kilogram.range.likely * cake * (1000 if by_kilogram.per == "g" else 1)
        work.answer(
            "by_cake", money, by_kilogram.currency or "money", sized_on="high", because="pressed, by the kilogram of cake"
        )
    if by_litre is not None and by_kilogram is not None:
        saved = by_litre.range.likely * wet.likely - likely(money)
        much = in_words(abs(saved), by_litre.currency or "").rstrip()
        work.say("next", f"cake costs {much} {'less' if saved > 0 else 'more'} to haul than gel")


def _close(work: Work, cake: Number) -> Step:
    fell = {solid: mol for solid, mol in work.solids.items() if high(mol) > 0}
    held = np.minimum(np.maximum(cake - dry_g(fell) / 1000, 0.0), work.volume_l)
    work.say("vessel", "drained on a cloth or pressed; in a lined drum with a label, lid not tight while it may gas")
    work.say("done when", "it cracks and no more drips")
    work.say("next", "weigh it, write down contents, pH, litres, kilograms and the date; to the licensed contractor")
    wet = in_words(likely(cake), "kg") if likely(cake) >= 1 else in_words(1000 * likely(cake), "g")
    title = f"{in_words(likely(dry_g(fell)), 'g')} dry, {wet} cake"
    work.draw_off("cake", held, fell, work.inert_g, "drained to cake")
    return work.done("filtrate" if high(work.volume_l) > 0 else None, title=title)


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """Pots called sludge, else any with hydroxides."""
    named = tuple(pot for pot in pots if pot.name.startswith("sludge"))
    if named:
        return named
    return tuple(pot for pot in pots if any(high(pot.solid_mol(solid)) > 0 for solid in {*HYDROXIDES.values(), "Cu2ClO3H3"}))


ROOM = Room(
    "sludge", run, FIELDS, choose, "refinekit sludge --copper 66g --nickel 7.5g --litre-price 1.20/L --kilogram-price 3.50/kg"
)
"""The verb of sludge."""
