"""The drop: reductant for the gold and for everything else that eats it, the gas it gives, the test and what it means."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.drop_eaters import Eaters, eaters_of, say_eaters
from refinekit.bench.drop_ways import WAYS, Way, way_of
from refinekit.bench.fields import Field, Place, Room, holding
from refinekit.bench.pot import Pot, charge_mol
from refinekit.bench.pouring import pour_water
from refinekit.bench.step import Reagent, Step
from refinekit.bench.vessel import stand
from refinekit.bench.work import Work
from refinekit.chemistry.redox import electrons_taken, extent, reaction_of
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, Range, high, likely, low

COLOURS = ("purple", "black", "yellow-brown", "orange-red", "nothing")
TOLD = {
    "gold": "AuCl4^-",
    "iron-iii": "Fe^3+",
    "copper": "Cu^2+",
    "palladium": "PdCl4^2-",
    "platinum": "PtCl6^2-",
    "silver": "AgCl2^-",
}
METAL_OF = {"gold": "Au", "iron-iii": "Fe", "copper": "Cu", "palladium": "Pd", "platinum": "Pt", "silver": "Ag"}


def _goodness(texts: Mapping[str, object]) -> str:
    key = str(texts.get("reagent") or "smb")
    return f"reagents.reagent.{key}.goodness" if key in WAYS and WAYS[key].has_goodness else ""


FIELDS = (
    Field("reagent", "choice", "", "what drops the gold", choices=tuple(WAYS)),
    Field("gold", "mass", "g", "gold in the liquor, where no pot is given"),
    Field("iron-iii", "mass", "g", "ferric iron in it"),
    Field("copper", "mass", "g", "cupric copper in it"),
    Field("palladium", "mass", "g", "palladium in it"),
    Field("platinum", "mass", "g", "platinum in it"),
    Field("silver", "mass", "g", "silver held in it"),
    Field("nitric-left", "volume", "mL", "nitric still in it"),
    Field("nitric", "strength:HNO3", "", "strength of that nitric"),
    Field("peroxide-left", "amount", "mmol", "peroxide still in it"),
    Field("chlorine-left", "amount", "mmol", "chlorine still in it"),
    Field("volume", "volume", "mL", "liquor, where no pot is given", above_zero=True),
    Field("free-acid", "concentration", "mol/L", "free hydrochloric acid in it, where no pot is given"),
    Field(
        "goodness", "share", "", "share of the reagent that is still good", default_from=_goodness, above_zero=True, highest=1.0
    ),
    Field("excess", "count", "", "reagent for the gold, times its bare need", above_zero=True),
    Field("weigh", "mass", "g", "reagent you mean to weigh, to see how it compares"),
    Field("dissolve-water", "volume", "mL", "water the reagent is dissolved in"),
    Field("barren-gold", "mass_concentration", "mg/L", "gold that stays in the liquor"),
    Field("hold", "hold", "mL/g", "liquor the settled gold holds", default="practice/rinse.hold.gold"),
    Field("alkali", "choice", "", "what brings the pH up for oxalic or formic", choices=("caustic", "potash", "ammonia")),
    Field("seen", "choice", "", "colour of the stannous spot afterwards", choices=COLOURS),
)


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """The liquor richest in gold."""
    return holding(pots, dissolved="AuCl4^-")[:1]


def run(pots: Sequence[Pot], *, place: Place, **told: Any) -> Step:
    """Size a drop.

    Args:
        pots: the gold liquor, or nothing where masses are told
        place: the shop
        told: figures of FIELDS, by argument name
    Raises: CannotFollow, no gold in the liquor
    """
    way = way_of(str(told.get("reagent") or "smb"))
    asked = Work("drop", place=place)
    if told.get("gold_g") is not None or not pots:
        pots = (liquor_told(asked, told),)
    work = Work("drop", *pots, place=place)
    work.take_over(asked)
    gold = Range.over(work.dissolved.get("AuCl4^-", 0.0) * molar_mass("Au"))
    if gold.high <= 0:
        raise CannotFollow(
            "the liquor holds no dissolved gold to drop", cure="give --gold, or the pot that holds the gold liquor"
        )
    eaters = eaters_of(work, way)
    to_weigh_g = _weigh(work, way, eaters, told)
    _alkali(work, way, told)
    _pour_and_react(work, way, eaters, to_weigh_g, told)
    _say_test(work, told)
    foam = "fine" if way.gas == "CO2" else "foils"
    stand(work, work.volume_l, foam, how="on a tray")
    hold = work.default(told.get("hold_ml_per_g"), "practice/rinse.hold.gold", "liquor the settled gold holds")
    held_l = work.solids.get("Au", 0.0) * molar_mass("Au") * hold / 1000
    work.draw_off("gold powder", np.minimum(held_l, work.volume_l), ["Au", *_fallen(work)], note="settled")
    return work.done("barren", title=f"{way.name} on {gold.low:.3g} / {gold.likely:.3g} / {gold.high:.3g} g gold")


def _fallen(work: Work) -> list[str]:
    """Other solids that lie with the gold."""
    return [solid for solid, mol in work.solids.items() if solid != "Au" and high(np.asarray(mol)) > 0]


def liquor_told(work: Work, told: Mapping[str, Any]) -> Pot:
    """A gold liquor from what was told of it; acid and chloride are made up so that it is electrically whole.

    Raises: CannotFollow, no gold was told
    """
    gold_g = told.get("gold_g")
    if gold_g is None:
        raise CannotFollow(
            "drop has nothing to work on", cure='give --gold "2.1 g", or a pot from the step before with --pot FILE'
        )
    ions: dict[str, Number] = {}
    for name, species in TOLD.items():
        grams = told.get(f"{name.replace('-', '_')}_g")
        if grams is not None:
            ions[species] = grams / molar_mass(METAL_OF[name])
    if told.get("nitric_left_l") is not None:
        ions["NO3^-"] = told["nitric_left_l"] * (told.get("nitric") or Solution.usual("HNO3")).mol_per_l
    for name, species in (("peroxide_left_mol", "H2O2"), ("chlorine_left_mol", "Cl2")):
        if told.get(name) is not None:
            ions[species] = told[name]
    volume_l = told.get("volume_l")
    if volume_l is None:
        strength = work.fact("practice/dissolve.dilute_gold").value
        volume_l = gold_g / strength
        work.assume(f"liquor at {strength:g} g/L gold")
    free = work.default(told.get("free_acid_mol_per_l"), "practice/drop.free_acid", "free hydrochloric acid")
    ions["Cl^-"] = free * volume_l + 2 * ions.get("Cu^2+", 0.0) + 3 * ions.get("Fe^3+", 0.0)
    ions["H^+"] = -1 * charge_mol(ions.items())
    return Pot(
        "gold liquor", volume_l, {**ions, "H2O": 1000 * volume_l / molar_mass("H2O")}, temperature_k=work.place.temperature_k
    )


def _weigh(work: Work, way: Way, eaters: Eaters, told: Mapping[str, Any]) -> Number:
    """Say what to weigh; returns the reagent to weigh case by case [g]."""
    goodness = told.get("goodness")
    if goodness is None:
        goodness = work.fact(f"reagents.reagent.{way.key}.goodness").value if way.has_goodness else 1.0
    excess = told.get("excess")
    if excess is None:
        excess = way.excess
        work.assume(f"{way.name} for the gold: {excess:g} times its bare need")
    gold_g = way.grams(eaters.gold_mol)
    before_g = way.grams(eaters.oxidants_mol + eaters.iron_mol + eaters.partner_mol)
    to_weigh = (excess * gold_g + before_g) / goodness
    bare = Range.over(gold_g)
    weigh = Range.over(to_weigh)
    times = f"x {likely(np.asarray(excess)):.3g} on the gold, the rest bare, / goodness"
    on = "high gold and what else eats it, stop on the test"
    first_g = low(excess * gold_g) / 4
    work.reagent(
        Reagent(way.name, bare, first_g, "g", "low gold, a quarter", "", "", "first quarter", way.key, "down", counts=False)
    )
    work.reagent(Reagent(way.name, bare, weigh.high, "g", on, times, "", "in quarters, at most", way.key, "up"))
    work.answer("gold_only", bare, "g", sized_on="bare need of the gold", because=f"{way.reagent_per_gold:g} mol to a gold")
    work.answer(
        "gold_oxidants_iron",
        Range.over(gold_g + before_g),
        "g",
        sized_on="the stop line, bare",
        because="past it other metals come down",
    )
    work.answer(
        "everything",
        Range.over(gold_g + before_g + way.grams(eaters.rest_mol)),
        "g",
        sized_on="bare",
        because="with what is eaten if overdone",
    )
    work.answer("to_weigh", weigh, "g", sized_on=on, because=times)
    work.answer(
        "per_gram_gold", way.grams(electrons_taken("AuCl4^-") / molar_mass("Au")), "g/g", because="bare need to a gram of gold"
    )
    say_eaters(work, way, eaters)
    work.working(
        f"{way.name}, bare",
        "mol gold x mol to a gold x molar mass",
        f"{likely(eaters.gold_mol) / 3:.4g} mol x {way.reagent_per_gold:g} x {molar_mass(way.solute):.5g} g/mol",
        f"{bare.likely:.4g} g",
    )
    work.working(
        f"{way.name}, to weigh",
        "(excess x gold + eaters) / goodness",
        f"({float(likely(excess)):.4g} x {bare.likely:.4g} + {likely(before_g):.4g}) / {likely(goodness):.4g}",
        f"{weigh.likely:.4g} g",
    )
    if told.get("weigh_g") is not None:
        return _own_figure(work, told["weigh_g"], goodness, gold_g, before_g, way)
    return to_weigh


def _own_figure(work: Work, weigh_g: Number, goodness: Number, gold_g: Number, before_g: Number, way: Way) -> Number:
    """Hold the weight a person means to take against the need."""
    times = (weigh_g * goodness - before_g) / gold_g
    work.answer("times_stoichiometric", times, "times", because="what is left of it for the gold, over the bare need")
    if low(times) < 1:
        work.notice(
            "warn",
            "reagent-short",
            f"{likely(np.asarray(weigh_g)):.3g} g of {way.name} is short of stoichiometric: gold will be left in the liquor",
            "weigh the figure given, in quarters, and stop on the stannous test",
            "equation",
        )
    return weigh_g


def _alkali(work: Work, way: Way, told: Mapping[str, Any]) -> None:
    """Alkali that sets the pH for oxalic or formic: free acid and the acid the drop makes."""
    if not way.wants_ph:
        return
    gold = work.dissolved.get("AuCl4^-", 0.0)
    free = np.maximum(work.dissolved.get("H^+", 0.0) - gold - work.dissolved.get("NO3^-", 0.0), 0.0)
    need = free + 4 * gold
    alkali = str(told.get("alkali") or "caustic")
    formula = {"caustic": "NaOH", "potash": "KOH", "ammonia": "NH3"}[alkali]
    grams = Range.over(need * molar_mass(formula))
    names = {"caustic": "sodium hydroxide, solid", "potash": "potassium hydroxide, solid", "ammonia": "ammonia"}
    work.reagent(
        Reagent(
            names[alkali],
            grams,
            grams.high,
            "g",
            "free acid and the acid of the drop",
            "x 1",
            "",
            "before it, cold, slowly",
            alkali,
            "up",
        )
    )
    work.answer(
        "alkali", grams, "g", sized_on="free acid + 4 to a gold", because="sodium or potassium hydroxide only, never ammonia"
    )
    work.answer("alkali_amount", need, "mol", because="free acid beside the gold, and four to a gold")
    work.working(
        "alkali", "(free acid + 4 x gold) x molar mass", f"({high(free):.4g} + 4 x {high(gold):.4g}) mol", f"{grams.high:.4g} g"
    )
    if alkali == "ammonia":
        work.pour("ammonia as alkali", {"NH4^+": need, "OH^-": need})
    else:
        work.pour(names[alkali], {formula: need})
    from refinekit.chemistry.equation import Equation

    met = np.minimum(work.dissolved.get("H^+", 0.0), work.dissolved.get("OH^-", 0.0))
    work.react(Equation.parse("H^+ + OH^- -> H2O"), met)
    work.say("alkali", "sodium or potassium hydroxide only: ammonia on gold chloride makes fulminating gold")


def _pour_and_react(work: Work, way: Way, eaters: Eaters, to_weigh_g: Number, told: Mapping[str, Any]) -> None:
    """Pour the reagent and let it run down the queue; what is left leaves as gas or stays."""
    goodness = told.get("goodness")
    if goodness is None:
        goodness = work.fact(f"reagents.reagent.{way.key}.goodness").value if way.has_goodness else 1.0
    pure_mol = to_weigh_g * goodness / molar_mass(way.solute)
    water_l = told.get("dissolve_water_l")
    if water_l is None:
        water_l = high(to_weigh_g) * work.fact("practice/drop.dissolve_water").value / 1000 if way.form == "solid" else 0.0
    if high(np.asarray(water_l)) > 0:
        work.answer("dissolve_in", 1000 * water_l, "mL", because="20 g in 100 mL of water, cold")
        pour_water(work, water_l)
    work.pour(way.name, {way.solute: pure_mol}, inert_g=to_weigh_g * (1 - goodness))
    stays_mol = (
        work.default(told.get("barren_gold_g_per_l"), "practice/drop.barren_gold", "gold left in the barren")
        * work.volume_l
        / molar_mass("Au")
    )
    gold_before = work.dissolved.get("AuCl4^-", 0.0)
    wants = {**eaters.wants_mol, "AuCl4^-": 3 * np.maximum(gold_before - stays_mol, 0.0)}
    left = pure_mol * way.electrons_per_mol
    for taker in sorted(wants, key=lambda one: eaters.place(one)):
        passed = _room_for(work, way, taker, np.minimum(left, wants[taker]))
        work.react(reaction_of(way.gives, taker), extent(way.gives, taker, passed))
        left = left - passed
    dropped = gold_before - work.dissolved.get("AuCl4^-", 0.0)
    stays = work.dissolved.get("AuCl4^-", 0.0)
    work.answer("gold_powder", dropped * molar_mass("Au"), "g", because="gold dropped, dry")
    work.answer("gold_left_in_barren", 1000 * stays * molar_mass("Au"), "mg", because="litres x what stays dissolved")
    work.answer("hcl_set_free", 4 * dropped, "mol", because="four to a gold")
    way.finish(work, left, to_weigh_g)


def _room_for(work: Work, way: Way, taker: str, electrons_mol: Number) -> Number:
    """Electrons that can pass with the acid and chloride there is: a half that wants acid waits for it."""
    whole = reaction_of(way.gives, taker)
    for species in ("H^+", "Cl^-", "H2O"):
        if species in whole.left:
            runs = work.dissolved.get(species, 0.0) / whole.left[species]
            per_run = whole.left[next(one for one in (taker.removesuffix(" metal"),) if one in whole.left)]
            electrons_mol = np.minimum(electrons_mol, runs * per_run * electrons_taken(taker))
    return electrons_mol


def _say_test(work: Work, told: Mapping[str, Any]) -> None:
    """What to look at, and what a colour that was seen means."""
    oxidant = any(high(np.asarray(work.dissolved.get(one, 0.0))) > 0 for one in ("NO3^-", "Cl2", "H2O2", "HClO"))
    work.say("done when", "a drop with fresh stannous stays clear; purple to black is gold still there; stand overnight")
    if oxidant:
        work.say("watch for", "an oxidant may bleach the test: put a crystal of copperas or metabisulfite in the well first")
    seen = told.get("seen")
    meaning = {
        "purple": "gold is still in the liquor: add the next quarter",
        "black": "much gold is still in the liquor: add the next quarter",
        "yellow-brown": "going green-blue on standing it is palladium: stop, it comes down with excess",
        "orange-red": "platinum: stop, keep the liquor",
        "nothing": "cannot say: an oxidant may be bleaching it, put a crystal of copperas in the well"
        if oxidant
        else "no gold is left: done",
    }
    if seen:
        work.say("the spot", meaning[seen])


ROOM = Room(
    "drop", run, FIELDS, choose, 'refinekit drop --gold "2.1 g" --iron-iii "0.15 g" --volume "430 mL" --free-acid "1 mol/L"'
)
