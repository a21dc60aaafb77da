"""Parting: nitric takes silver and base metal out of thin alloy and leaves the gold as sponge."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import ceil
from typing import Any

import numpy as np

from refinekit.bench.fields import METALS, Field, Room, holding, refuse_strange
from refinekit.bench.foam import foam_of_portion
from refinekit.bench.heat_portions import Heating
from refinekit.bench.heat_say import say_warming
from refinekit.bench.karat_goods import GOODS_FIELDS, need_metal, pour_goods
from refinekit.bench.part_nitric import PARTED, dissolve_metals, electrons_of, nitric_for, nitric_in, reached
from refinekit.bench.part_says import Charge, portions_of, say_gases, say_how, say_pours
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.pouring import bottle_of, pour_bottle, pour_water
from refinekit.bench.step import Step
from refinekit.bench.vessel import stand
from refinekit.bench.work import Work
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.heat import rise_k
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import OutOfRange
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, high, in_words, likely, low

KEEPS = ("Au", "Pt", "H2SnO3", "Al")
"""Solids that nitric leaves."""
SPECK = 1e-12
"""Share of all metal that is rounding."""
WORDS = {symbol: word for word, symbol in METALS.items()}


def _silver_left_from(texts: Mapping[str, object]) -> str:
    return f"practice/part.silver_left.{'one_boil' if str(texts.get('boils') or '').strip() == '1' else 'two_boils'}"


FIELDS = (
    *GOODS_FIELDS,
    Field("nitric", "strength:HNO3", "", "nitric acid in hand"),
    Field("nitric-water", "count", "", "volumes of water to one of nitric in the first boil"),
    Field("nitric-added", "volume", "mL", "nitric you pour in the first boil, all of it"),
    Field("charge", "count", "", "nitric of the first boil over the mean of the NO and NO2 needs", above_zero=True),
    Field("no-share", "share", "", "share of nitrogen leaving as nitric oxide", highest=1.0),
    Field("portions", "count", "", "portions the first boil's nitric goes in", above_zero=True),
    Field("minutes", "time", "min", "time between portions", above_zero=True),
    Field("nine-tenths", "time", "min", "time in which nine tenths of a portion's gas comes", above_zero=True),
    Field("boils", "choice", "", "one boil in half-strength acid, or a second in strong acid", choices=("1", "2")),
    Field("second-boil", "volume", "mL", "strong nitric of the second boil"),
    Field(
        "silver-left",
        "share",
        "",
        "silver the sponge keeps, share of its weight",
        highest=1.0,
        default_from=_silver_left_from,
    ),
    Field(
        "platinum-parted",
        "share",
        "",
        "share of the platinum that follows the silver into the liquor",
        highest=1.0,
        default_from=lambda texts: "practice/part.platinum_parted" if texts.get("platinum") is not None else "",
    ),
    Field("hold", "hold", "mL/g", "liquor the settled sponge holds", default="practice/rinse.hold.gold"),
)


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Any) -> Step:
    """Part an alloy in nitric.

    Args:
        pots: the flake, dry
        place: the shop
        told: goods, acid, portions and what silver stays, see FIELDS
    Returns: Step with nitric by both routes, the charge and its portions, gas, vessel, sponge; pots "sponge" and "silver liquor"
    Raises: CannotFollow, nothing to part; OutOfRange
    Source: R7.1, R7.2, R7.10, R7.13; charge and portions, facts/practice/part.toml
    """
    refuse_strange("a parting", told, {field.arg for field in FIELDS})
    work = Work("part", *pots, place=place)
    pour_goods(work, told)
    grams = need_metal(work, "part", PARTED, "--silver 92.5g --copper 7.5g")
    _judge(work, grams)
    metals = _to_dissolve(work, told, grams)
    charge = _charge(work, told, metals)
    say_pours(work, told, charge)
    pour_bottle(work, "nitric acid", charge.bottle, charge.poured_l)
    pour_water(work, charge.water_l)
    pour_bottle(work, "nitric acid, second boil", charge.bottle, charge.second_l)
    done = reached(metals, nitric_in(work), charge.no_share)
    dissolve_metals(work, done, charge.no_share)
    say_gases(work, told, charge)
    _say_left(work, charge, metals, done)
    _warms(work, told, charge)
    vessel = stand(work, charge.poured_l + charge.water_l, "foils", how="on a tray, watch glass on, in the hood")
    _foams(work, told, done, vessel.size_l)
    _sponge(work, told, grams)
    say_how(work, charge, grams)
    title = ", ".join(in_words(likely(mass), f"g {WORDS[symbol]}") for symbol, mass in grams.items())
    step = work.done("silver liquor", title=title)
    return replace(step, pots=(*step.pots[1:], step.pots[0]))


def _foams(work: Work, told: Mapping[str, Any], metals: Mapping[str, Number], vessel_l: float) -> None:
    """Foam of a portion of the first boil, all of it as nitrogen dioxide, at the boil's heat."""
    litres = electrons_of(metals) * molar_volume_l(work.place.temperature_k, work.place.pressure_pa) / portions_of(work, told)
    foam_of_portion(work, litres, "practice/heat.t90.nitric", vessel_l, hot_k=fact("enthalpy.water_boils").value)


# ---- what dissolves
def _judge(work: Work, grams: Mapping[str, Number]) -> None:
    """Whether the gold lets nitric in."""
    share = grams.get("Au", 0.0) / sum(grams.values(), 0.0)
    most = work.fact("practice/inquart.parts_under")
    sponge = work.fact("practice/part.sponge_from")
    if high(share) > most.value and low(share) < sponge.value:
        work.notice(
            "warn",
            "gold-too-rich-to-part",
            f"{100 * high(share):.3g} % gold: over {100 * most.value:g} % gold shuts the silver in and nitric stops half way",
            "inquart it first, to a quarter gold",
            most.source,
        )


def _to_dissolve(work: Work, told: Mapping[str, Any], grams: Mapping[str, Number]) -> dict[str, Number]:
    """Metals nitric takes: all but the silver the sponge keeps."""
    metals = {symbol: mass / molar_mass(symbol) for symbol, mass in grams.items() if symbol in PARTED}
    gold = grams.get("Au", 0.0) + grams.get("Pt", 0.0)
    if "Ag" in metals and high(gold) > 0:
        boils = "one_boil" if told.get("boils") == "1" else "two_boils"
        share = work.default(told.get("silver_left"), f"practice/part.silver_left.{boils}", "silver the sponge keeps")
        if high(share) >= 1:
            raise OutOfRange("sponge that is all silver is no sponge", cure="give --silver-left 0.6 %")
        kept = np.minimum(gold * share / (1 - share) / molar_mass("Ag"), metals["Ag"])
        metals["Ag"] = metals["Ag"] - kept
    if "Pt" in grams and "Ag" in metals:
        follows = work.default(told.get("platinum_parted"), "practice/part.platinum_parted", "platinum that follows the silver")
        if high(follows) > 0:
            metals["Pt"] = follows * grams["Pt"] / molar_mass("Pt")
    return metals


def _charge(work: Work, told: Mapping[str, Any], metals: Mapping[str, Number]) -> Charge:
    """The acid of both boils."""
    bottle = bottle_of(work, "HNO3", told.get("nitric"), "nitric acid")
    water = work.default(told.get("nitric_water"), "practice/part.nitric_water", "volumes of water to one of nitric")
    no_share = told.get("no_share")
    if no_share is None:
        no_share = _no_share(work, bottle, water)
    least, most = (nitric_for(metals, x) / bottle.mol_per_l for x in (1.0, 0.0))
    times = work.default(told.get("charge"), "practice/part.charge", "nitric in all, over the mean of both routes")
    poured = told.get("nitric_added_l", times * (least + most) / 2)
    second = told.get("second_boil_l")
    gold_g = work.solids.get("Au", 0.0) * molar_mass("Au")
    if second is None:
        wanted = told.get("boils") != "1" and high(gold_g) > 0
        second = (
            work.default(None, "practice/part.second_boil", "strong nitric of the second boil") * gold_g / 1000 if wanted else 0.0
        )
    need = nitric_for(metals, no_share) / bottle.mol_per_l
    return Charge(bottle, no_share, metals, least, need, most, poured, water * poured, second)


def _no_share(work: Work, bottle: Solution, water: Number) -> float:
    from refinekit.bench.leach_nitric import usual_no_share

    density = bottle.density_g_per_ml
    return usual_no_share(work, 100 * density * bottle.mass_fraction / (density + water))


# ---- what is left
def _say_left(work: Work, charge: Charge, metals: Mapping[str, Number], done: Mapping[str, Number]) -> None:
    short = sum((np.maximum(metals[metal] - mol, 0.0) * molar_mass(metal) for metal, mol in done.items()), 0.0)
    left = nitric_in(work)
    work.answer(
        "nitric_left",
        1000 * left / charge.bottle.mol_per_l,
        "mL",
        sized_on="high: it must be killed or used up",
        because="as the bottle, of both boils",
    )
    work.answer("free_acid", left, "mol", because="nitric the metals did not use")
    if high(short) > 1e-6:
        work.answer("undissolved", short, "g", sized_on="high", because="what the nitric does not reach")
        work.notice(
            "note",
            "nitric-short",
            f"up to {high(short):.3g} g of silver and base metal stays undissolved: the gold is not parted",
            "pour nitric by portions until a fresh one brings no fume",
            "equation",
        )
    heat = work.heat_kj
    work.answer("heat", heat, "kJ", sized_on="high", because="from formation enthalpies, tin and palladium left out")
    rise: Number = np.maximum(rise_k(heat, charge.poured_l + charge.water_l), 0.0)
    work.answer(
        "rise", rise, "K", sized_on="high", because="if all goes in at once and the pot keeps its heat; a plate does the rest"
    )


def _warms(work: Work, told: Mapping[str, Any], charge: Charge) -> None:
    """The first boil before the plate: how hot its own heat makes it."""
    liquor = charge.poured_l + charge.water_l
    if low(liquor) > 0:
        rise = Range.over(np.maximum(rise_k(work.heat_kj, liquor), 0.0))
        portions = ceil(portions_of(work, told))
        say_warming(work, Heating("nitric", "t90.nitric", rise, liquor, charge.water_l, work.temperature_k, portions))


def _sponge(work: Work, told: Mapping[str, Any], grams: Mapping[str, Number]) -> None:
    there = sum(work.solids.values(), 0.0) + work.dissolved.get("Ag^+", 0.0)
    for solid in PARTED:  # what all dissolved leaves a speck of rounding
        mol = work.solids.get(solid, 0.0)
        work.solids[solid] = mol * np.where(mol > SPECK * there, 1.0, 0.0)
    solids = [solid for solid in (*KEEPS, *PARTED) if high(work.solids.get(solid, 0.0)) > 0]
    mass = sum((work.solids[solid] * molar_mass(solid) for solid in solids), 0.0)
    dissolved = work.dissolved.get("Ag^+", 0.0) * molar_mass("Ag")
    work.answer("silver_in_liquor", dissolved, "g", because="silver less what the sponge keeps")
    for ion, symbol in (("Pd^2+", "Pd"), ("Pt^4+", "Pt")):
        if high(work.dissolved.get(ion, 0.0)) > 0:
            grams_there = work.dissolved[ion] * molar_mass(symbol)
            work.answer(f"{WORDS[symbol]}_in_liquor", grams_there, "g", because="it parts with the silver; no gold")
    if high(work.solids.get("Pt", 0.0)) > 0:
        work.answer("platinum_in_sponge", work.solids["Pt"] * molar_mass("Pt"), "g", because="stays with the gold; no gold")
    work.answer("copper_in_liquor", work.dissolved.get("Cu^2+", 0.0) * molar_mass("Cu"), "g", because="it parts with the silver")
    if not solids:
        return
    hold = work.default(told.get("hold_ml_per_g"), "practice/rinse.hold.gold", "liquor the sponge holds, per gram")
    held_l = np.minimum(hold * mass / 1000, work.volume_l)
    silver = work.solids.get("Ag", 0.0) * molar_mass("Ag")
    work.answer("sponge", mass, "g", because="gold and what stays in it, dry")
    work.answer("silver_left", silver, "g", sized_on="high", because="share of the sponge's weight")
    fineness = 1000 * grams.get("Au", 0.0) / np.maximum(mass, 1e-300)
    work.answer("sponge_fineness", fineness, "per thousand", sized_on="low", because="gold over sponge")
    bare = charge_for_rest(work)
    if high(bare) > 0:
        work.answer(
            "nitric_for_rest",
            1000 * bare,
            "mL",
            sized_on="low: all as NO",
            because="what the silver that stays would take at least",
        )
    work.draw_off("sponge", held_l, solids, work.inert_g, note="gold sponge, liquor poured off")


def charge_for_rest(work: Work) -> Number:
    """Nitric that the silver still in the sponge would take at least, as the usual bottle [L]."""
    return nitric_for({"Ag": work.solids.get("Ag", 0.0)}, 1.0) / Solution.usual("HNO3").mol_per_l


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """The inquart, else dry goods with silver or copper in them."""
    dry = [pot for pot in pots if not high(pot.volume_l) and not pot.name.startswith(("button", "slag", "board", "pulp"))]
    named = tuple(pot for pot in dry if pot.name.startswith("inquart"))
    return (named or holding(dry, solid="Ag") or holding(dry, solid="Cu"))[:1]


ROOM = Room("part", run, FIELDS, choose, "refinekit part --gold 25g --silver 65g --copper 10g --nitric '68 %'", draws=True)
"""The verb of parting."""
