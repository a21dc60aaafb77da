"""The drop: reductant for the gold and for everything else that eats it, the gas it gives, the test and what it means."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.drop_alkali import ALKALIS, pour_alkali, settle_alkali
from refinekit.bench.drop_eaters import Eaters, eaters_of
from refinekit.bench.drop_liquor import liquor_told, refuse_both
from refinekit.bench.drop_ways import KEYS, Way, foams, way_of, ways
from refinekit.bench.drop_weigh import goodness_of, weigh
from refinekit.bench.fields import Field, Place, Room, holding, refuse_strange
from refinekit.bench.pot import Pot
from refinekit.bench.pouring import pour_water
from refinekit.bench.step import Step
from refinekit.bench.vessel import stand
from refinekit.bench.work import Work
from refinekit.chemistry.gas import litres
from refinekit.chemistry.redox import electrons_taken, extent, queue, reaction_of
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, Range, high, in_words

COLOURS = ("purple", "black", "yellow-brown", "orange-red", "nothing")
GEAR = {
    "SO2": "goggles, nitrile gloves, apron; hood, or outdoors upwind: sulfur dioxide",
    "CO2": "face shield, gloves, apron: hot and frothing",
    "H2": "goggles, gloves, apron; outdoors or hood, no flame",
}


def _dropper(texts: Mapping[str, object]) -> str:
    return str(texts.get("reagent") or "smb").lower()


def _goodness(texts: Mapping[str, object]) -> str:
    key = _dropper(texts)
    return f"reagents.reagent.{key}.goodness" if key in KEYS and ways()[key].has_goodness else ""


def _alkali(texts: Mapping[str, object]) -> str:
    """The dry alkali that goes in with oxalic or formic; "" where none does."""
    alkali = str(texts.get("alkali") or "caustic").lower()
    return alkali if _dropper(texts) in ("oxalic", "formic") and alkali in ("caustic", "potash") else ""


def _alkali_goodness(texts: Mapping[str, object]) -> str:
    alkali = _alkali(texts)
    return f"reagents.reagent.{alkali}.goodness" if alkali else ""


def _share(name: str, help: str, default_from: Any, bottle_from: Any) -> Field:
    return Field(name, "share", "", help, default_from=default_from, above_zero=True, highest=1.0, bottle_from=bottle_from)


FIELDS = (
    Field("reagent", "choice", "", "what drops the gold", choices=KEYS),
    Field("gold", "mass", "g", "gold in the liquor, where no pot is given"),
    Field("iron-iii", "mass", "g", "ferric iron in it"),
    Field("copper", "mass", "g", "cupric copper in it"),
    Field("lead", "mass", "g", "lead in it"),
    Field("palladium", "mass", "g", "palladium in it"),
    Field("platinum", "mass", "g", "platinum in it"),
    Field("silver", "mass", "g", "silver held in it"),
    Field("nitric-left", "volume", "mL", "nitric still in it"),
    Field("nitric", "strength:HNO3", "", "strength of that nitric"),
    Field("peroxide-left", "amount", "mmol", "peroxide still in it"),
    Field("chlorine-left", "amount", "mmol", "chlorine still in it"),
    Field("volume", "volume", "mL", "liquor, where no pot is given", above_zero=True),
    Field("free-acid", "concentration", "mol/L", "free hydrochloric acid in it, where no pot is given"),
    _share("goodness", "share of the reagent that is still good", _goodness, _dropper),
    Field("formic", "strength:CH2O2", "", "strength of the formic acid"),
    Field("excess", "count", "", "reagent for the gold, times its bare need", above_zero=True),
    Field("weigh", "mass", "g", "reagent you mean to weigh, to see how it compares"),
    Field("dissolve-water", "volume", "mL", "water the reagent is dissolved in"),
    Field("barren-gold", "mass_concentration", "mg/L", "gold that stays in the liquor"),
    Field("hold", "hold", "mL/g", "liquor the settled gold holds", default="practice/rinse.hold.gold"),
    Field("alkali", "choice", "", "what brings the pH up for oxalic or formic", choices=tuple(ALKALIS)),
    _share("alkali-goodness", "share of that alkali that is still good", _alkali_goodness, _alkali),
    Field("seen", "choice", "", "colour of the stannous spot afterwards", choices=COLOURS),
)


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """The liquor richest in gold."""
    return holding(pots, dissolved="AuCl4^-")[:1]


def run(pots: Sequence[Pot], *, place: Place, **told: Any) -> Step:
    """Size a drop.

    Args:
        pots: the gold liquor, or nothing where it is told by its figures
        place: the shop
        told: figures of FIELDS, by argument name
    Returns: Step with what to weigh, a line for each eater, the gas, and pots: the barren, then the gold powder
    Raises: CannotFollow, no gold in the liquor, or a liquor told beside a pot; UnknownName
    Source: the halves of facts/redox.toml; excess and order of attack by common practice, in facts/practice/drop.toml
    """
    refuse_strange("a drop", told, {field.arg for field in FIELDS})
    way = way_of(str(told.get("reagent") or "smb"))
    asked = Work("drop", place=place)
    if pots:
        refuse_both(told)
    else:
        pots = (liquor_told(asked, told),)
    work = Work("drop", *pots, place=place)
    work.take_over(asked)
    gold_g = work.dissolved.get("AuCl4^-", 0.0) * molar_mass("Au")
    if high(gold_g) <= 0:
        raise CannotFollow(
            "the liquor holds no dissolved gold to drop", cure="give --gold, or the pot that holds the gold liquor"
        )
    eaters = eaters_of(work, way)
    goodness = goodness_of(work, way, told)
    weighed_g = weigh(work, way, eaters, goodness, told)
    if way.wants_ph:
        pour_alkali(work, told)
    _pour(work, way, weighed_g, goodness, told)
    _go_down(work, way, eaters, weighed_g * goodness / molar_mass(way.solute), told)
    settle_alkali(work)
    _say_test(work, way, told)
    foam = work.fact("practice/general.vessel.foam_fine").value if way.froths else "bars"
    vessel = stand(work, work.volume_l, foam, how="on a tray")
    foams(work, way, vessel, weighed_g)
    hold = work.default(told.get("hold_ml_per_g"), "practice/rinse.hold.gold", "liquor the settled gold holds")
    held_l = work.solids.get("Au", 0.0) * molar_mass("Au") * hold / 1000
    fallen = [solid for solid, mol in work.solids.items() if solid == "Au" or high(mol) > 0]
    work.draw_off("gold powder", np.minimum(held_l, work.volume_l), fallen, note="settled")
    return work.done("barren", title=f"{way.name} on {in_words(gold_g, 'g')} gold")


def _pour(work: Work, way: Way, weighed_g: Number, goodness: Number, told: Mapping[str, Any]) -> None:
    """Put the reagent in, with the water it is dissolved in; what of it is no longer good stays in the liquor."""
    water_l = told.get("dissolve_water_l")
    if water_l is None:
        solid = way.form == "solid"
        water_l = high(weighed_g) * work.fact("practice/drop.dissolve_water").value / 1000 if solid else 0.0
    if high(water_l) > 0:
        work.answer("dissolve_in", 1000 * water_l, "mL", because="20 g in 100 mL of water, cold")
        pour_water(work, water_l)
    pure_mol, rest_g = weighed_g * goodness / molar_mass(way.solute), weighed_g * (1 - goodness)
    if way.form == "liquor":
        water = rest_g / molar_mass("H2O")
        work.pour(way.name, {way.solute: pure_mol, "H2O": water}, volume_l=rest_g / 1000)
    else:
        work.pour(way.name, {way.solute: pure_mol}, inert_g=rest_g)


def _go_down(work: Work, way: Way, eaters: Eaters, pure_mol: Number, told: Mapping[str, Any]) -> None:
    """Let the reagent run down the queue; what is left leaves as gas or stays."""
    stays = work.default(told.get("barren_gold_g_per_l"), "practice/drop.barren_gold", "gold left in the barren")
    gold_mol = work.dissolved.get("AuCl4^-", 0.0)
    to_drop = np.maximum(gold_mol - stays * work.volume_l / molar_mass("Au"), 0.0)
    wants = {**eaters.wants_mol, "AuCl4^-": electrons_taken("AuCl4^-") * to_drop}
    poured = pure_mol * way.electrons_per_mol
    left = poured
    for taker in queue(wants):
        passed = _room_for(work, way, taker, np.minimum(left, wants[taker]))
        work.react(reaction_of(way.gives, taker), extent(way.gives, taker, passed))
        left = left - passed
    stayed = work.dissolved.get("AuCl4^-", 0.0)
    dropped = gold_mol - stayed
    work.answer("gold_powder", dropped * molar_mass("Au"), "g", sized_on="likely to account by", because="gold dropped, dry")
    work.answer("gold_left_in_barren", 1000 * stayed * molar_mass("Au"), "mg", because="litres x what stays dissolved")
    work.answer("hcl_set_free", 4 * dropped, "mol", because="four to a gold")
    if way.gas == "SO2":
        work.answer(
            "bisulfate",
            electrons_taken("AuCl4^-") / 2 * dropped,
            "mol",
            because="one to a sulfur dioxide, one and a half to a gold",
        )
    _brown_fume(work)
    way.finish(work, poured, left)


def _brown_fume(work: Work) -> None:
    """Nitric oxide from nitric or nitrous that eats the reductant."""
    fume = work.gases_mol.get("NO", 0.0)
    if high(fume) <= 0:
        return
    work.gas("NO", Range.over(fume), sized_on="all the nitric left goes this way, brown in air")
    volume = litres(fume, work.place.temperature_k, work.place.pressure_pa)
    work.answer(
        "nitric_oxide_gas", volume, "L", sized_on="high nitric: for lungs", because="one to a nitric, brown as it meets air"
    )
    work.say("watch for", "brown fume, powder that forms and goes again, a drop that will not drop: nitric; stop and go to denox")


def _room_for(work: Work, way: Way, taker: str, electrons_mol: Number) -> Number:
    """Electrons that can pass with the acid and chloride there is: a half that wants acid waits for it."""
    whole = reaction_of(way.gives, taker)
    per_run = whole.left[taker.removesuffix(" metal")] * electrons_taken(taker)
    for species in ("H^+", "Cl^-", "H2O"):
        if species in whole.left:
            electrons_mol = np.minimum(electrons_mol, work.dissolved.get(species, 0.0) / whole.left[species] * per_run)
    return electrons_mol


def _say_test(work: Work, way: Way, told: Mapping[str, Any]) -> None:
    """What to look at, and what a colour that was seen means."""
    oxidant = any(high(work.dissolved.get(one, 0.0)) > 0 for one in ("NO3^-", "Cl2", "H2O2", "HClO", "HNO2"))
    work.say("done when", "a drop with fresh stannous stays clear; purple to black is gold still there; stand overnight")
    if oxidant:
        work.say("watch for", "an oxidant may bleach the test: put a crystal of copperas or metabisulfite in the well first")
    if way.gas in GEAR:
        work.say("gear", GEAR[way.gas])
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
"""The verb of the drop."""
