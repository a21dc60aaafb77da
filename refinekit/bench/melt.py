"""The melt: flux, crucible, heat, and the button that comes out."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, Unpack

import numpy as np

from refinekit.bench.fields import METALS, Room, holding, refuse_strange
from refinekit.bench.melt_charge import collect, note_chloride, refuse_nitrate
from refinekit.bench.melt_fields import FIELDS, METALS_MELTED, MeltTold
from refinekit.bench.melt_flux import add_flux
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.bench.work import Work
from refinekit.chemistry.heat import melting_heat, minutes_to_heat
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.facts.load import fact, table
from refinekit.ranges import Number, Range, high, in_words, likely

WORDS = {symbol: word for word, symbol in METALS.items()}


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Unpack[MeltTold]) -> Step:
    """Melt powder to a button.

    Args:
        pots: the powder; liquor that is still in it is dried off first
        place: the shop
        told: powder, dirt, flux, heat, what goes to the slag, see FIELDS
    Returns: Step with flux, crucible, heat, minutes, and the button's mass, fineness and size; pots "button" and "slag"
    Raises: CannotFollow, nothing to melt; OutOfRange
    Source: heats of facts/enthalpy.toml, flux of MacFarren in Rose, habits of facts/practice/melt.toml
    """
    refuse_strange("a melt", told, MeltTold.__annotations__.keys())
    work = Work("melt", *pots, place=place)
    _put_in(work, told)
    if not any(high(work.solids.get(solid, 0.0)) > 0 for solid in (*WORDS, "AgCl")):
        raise CannotFollow("there is no metal to melt", cure="give --gold 2.1g, or powder with --pot FILE")
    _dry(work)
    powder = powder_g(work)
    refuse_nitrate(work, powder)
    work.answer("powder", powder, "g", sized_on="high for crucible and flux", because="dry, metal and dirt")
    flux_ml = add_flux(work, told, powder)
    if not any(high(work.solids.get(solid, 0.0)) > 0 for solid in WORDS):
        raise CannotFollow(
            "silver chloride gives no metal without soda ash for it", cure="--dirt chloride, or reduce it first: refinekit silver"
        )
    note_chloride(work)
    powder = powder + collect(work, told)
    metal = main_metal(work)
    _crucible(work, told, powder, flux_ml, metal)
    _heat(work, told, metal)
    _button(work, told, named_metal(work))
    _say(work)
    step = work.done("slag", title=f"{WORDS[metal]}, {in_words(likely(powder), 'g')} of powder")
    return replace(step, pots=(*step.pots[1:], step.pots[0]))


# ---- what is melted
def _put_in(work: Work, told: Mapping[str, Any]) -> None:
    amounts: dict[str, Number] = {}
    for word, symbol in METALS_MELTED.items():
        if f"{word}_g" in told:
            amounts[symbol] = told[f"{word}_g"] / molar_mass(symbol)
    if "silver_chloride_g" in told:
        amounts["AgCl"] = told["silver_chloride_g"] / molar_mass("AgCl")
    grit = told.get("grit_g", 0.0)
    if amounts or high(grit) > 0:
        work.pour("powder", amounts, inert_g=grit)
    if "button_copper" in told:
        _copper_in_powder(work, told["button_copper"])


def _copper_in_powder(work: Work, share: Number) -> None:
    """Copper that came down with the gold, where the powder is known to hold more than was written down."""
    others = powder_g(work) - work.solids.get("Cu", 0.0) * molar_mass("Cu")
    wanted = share / np.maximum(1 - share, 1e-9) * others / molar_mass("Cu")
    more = np.maximum(wanted - work.solids.get("Cu", 0.0), 0.0)
    if high(more) > 0:
        work.pour("copper that came down with the gold", {"Cu": more})


def _dry(work: Work) -> None:
    """Drive the liquor off: its water and acid leave, its salts stay with the slag."""
    if not high(work.volume_l) > 0:
        return
    water = work.dissolved.get("H2O", 0.0)
    work.answer(
        "dried_off",
        water * molar_mass("H2O"),
        "g",
        because="water the powder held: dry it on a warm plate, never in the crucible",
    )
    work.escape("H2O", water)
    work.escape("HCl", np.minimum(work.dissolved.get("H^+", 0.0), work.dissolved.get("Cl^-", 0.0)))
    work.volume_l = 0.0
    work.did("dried slowly")


def powder_g(work: Work) -> Number:
    """All solids in the work [g]."""
    return sum((mol * molar_mass(solid) for solid, mol in work.solids.items()), 0.0) + work.inert_g


def main_metal(work: Work) -> str:
    """The metal most of the button is."""
    grams = {symbol: likely(work.solids.get(symbol, 0.0)) * molar_mass(symbol) for symbol in METALS_MELTED.values()}
    return max(grams, key=lambda symbol: grams[symbol])


def named_metal(work: Work) -> str:
    """The metal a button is sold by: gold, or else silver, from a small share of it; or what it is most of."""
    least = work.fact("practice/melt.named_from").value
    grams = {symbol: likely(work.solids.get(symbol, 0.0)) * molar_mass(symbol) for symbol in METALS_MELTED.values()}
    return next((symbol for symbol in ("Au", "Ag") if grams[symbol] > least * sum(grams.values())), main_metal(work))


# ---- crucible and heat
def _crucible(work: Work, told: Mapping[str, Any], powder: Number, flux_ml: Number, metal: str) -> None:
    """Size the crucible on powder and flux: the powder, not the melt, sets the size."""
    word = WORDS[metal]
    chloride = "AgCl" in work.solids and told.get("silver_chloride_g") is not None
    kind = "chloride" if chloride else word
    bulk = work.default(told.get("bulk_g_per_ml"), f"practice/melt.bulk.{kind}", f"{word} powder as it lies")
    fill = work.default(
        told.get("fill"), f"practice/melt.fill.{'chloride' if chloride else 'metal'}", "share of the crucible filled"
    )
    liquid = work.fact(f"practice/melt.liquid.{word}").value
    volume, melt = powder / bulk, sum((work.solids.get(m, 0.0) * molar_mass(m) for m in METALS_MELTED.values()), 0.0) / liquid
    size = (volume + flux_ml) / fill
    sized = "high: most powder, lying loosest"
    work.answer("powder_volume", volume, "mL", sized_on=sized, because="weight over bulk")
    work.answer("liquid", melt, "mL", sized_on="high", because="when molten")
    work.answer("crucible", size, "mL", sized_on=sized, because="powder and flux over the share filled")
    work.say("vessel", f"crucible of {high(size):.2g} mL at least, glazed with borax; preheat it and the mould")
    work.working(
        "crucible",
        "(powder / bulk + flux) / fill",
        f"({likely(powder):.4g} g / {likely(bulk):.3g} g/mL + {likely(flux_ml):.3g} mL) / {likely(fill):.3g}",
        f"{likely(size):.4g} mL",
        f"practice/melt.bulk.{kind}",
    )


def _heat(work: Work, told: Mapping[str, Any], metal: str) -> None:
    """Heat into the metal, the crucible's beside it, and minutes where a power was told."""
    rows = table("enthalpy")["melting"]
    start = told.get("start_at_k", work.place.temperature_k)
    pour = told.get("pour_at_k")
    if pour is None:
        over = work.default(None, "practice/melt.heat.superheat", "how far over its melting point it is poured")
        pour = rows[metal]["melts_k"] + over
    zero = fact("constants.zero_celsius").value
    heat: Number = 0.0
    for symbol in WORDS:
        grams = work.solids.get(symbol, 0.0) * molar_mass(symbol)
        if high(grams) > 0:
            by = symbol if symbol in rows else metal
            # What is alloyed melts with the rest: it is warmed to the pour, or to its own melting point where that is higher.
            heat = heat + melting_heat(by, grams, start, pour if by == metal else np.maximum(pour, rows[by]["melts_k"]))
    because = "warm, melt, warm on; the crucible's heat comes on top and is usually more"
    work.answer("pour_at", pour - zero, "degC", because="over the melting point, so that it runs")
    work.answer("heat", heat, "kJ", sized_on="high", because=because)
    row, main_g = rows[metal], likely(work.solids[metal]) * molar_mass(metal)
    warm, over = row["melts_k"] - likely(start), likely(pour) - row["melts_k"]
    own = likely(melting_heat(metal, main_g, likely(start), likely(pour)))
    work.working(
        f"heat into the {WORDS[metal]}",
        "m (cs (Tm - T0) + L + cl (T - Tm))",
        f"{main_g:.4g} g x ({row['solid_j_per_g_k']:g} x {warm:.5g} + {row['fusion_j_per_g']:g} + "
        f"{row['liquid_j_per_g_k']:g} x {over:.4g}) J/g",
        f"{own:.4g} kJ, with what is alloyed {likely(heat):.4g} kJ",
        f"enthalpy.melting.{metal}",
    )
    if "crucible_g" in told:
        own = told["crucible_g"] * work.fact("practice/melt.heat.crucible").value * (pour - start) / 1000
        work.answer("crucible_heat", own, "kJ", sized_on="high", because="the crucible has to be as hot")
        heat = heat + own
    if "power_w" in told or "heater" in told:
        _minutes(work, told, heat)


def _minutes(work: Work, told: Mapping[str, Any], heat_kj: Number) -> None:
    heater = told.get("heater", "furnace")
    share = work.default(told.get("heat_share"), f"practice/melt.heat.{heater}", f"share of the {heater}'s heat that arrives")
    power = work.default(told.get("power_w"), f"practice/melt.power.{heater}", f"heat of the {heater}")
    minutes = minutes_to_heat(heat_kj, power, share)
    work.minutes = Range.over(minutes)
    work.answer("minutes", minutes, "min", sized_on="high", because="heat over power x the share that arrives, from red hot on")
    work.working(
        "minutes",
        "heat / (power x share)",
        f"{1000 * likely(heat_kj):.4g} J / ({likely(power):.4g} W x {likely(share):.3g}) / 60",
        f"{likely(minutes):.4g} min",
        f"practice/melt.heat.{heater}",
    )


# ---- button
def _button(work: Work, told: Mapping[str, Any], metal: str) -> None:
    """Metals but for what stays in the slag: a share of the metal it is sold by."""
    share = work.default(told.get("slag_share"), "practice/melt.slag.gold", f"share of the {WORDS[metal]} that stays in the slag")
    metals = {symbol: work.solids[symbol] for symbol in WORDS if high(work.solids.get(symbol, 0.0)) > 0}
    slag = share * metals[metal]
    metals[metal] = metals[metal] - slag
    grams = {symbol: mol * molar_mass(symbol) for symbol, mol in metals.items()}
    mass = sum(grams.values(), 0.0)
    word, safe = WORDS[metal], np.maximum(mass, 1e-300)
    work.draw_off("button", 0.0, metals, note="poured")
    work.answer("button", mass, "g", sized_on="likely to account by, low to sell by", because="powder less dirt and slag")
    work.answer(
        f"{word}_in_button", grams[metal], "g", sized_on="likely to account by, low to sell by", because="weigh x fineness"
    )
    work.answer(
        "fineness", 1000 * grams[metal] / safe, "per thousand", sized_on="low to sell by", because="the rest is what came along"
    )
    work.answer(
        f"{word}_in_slag", 1000 * slag * molar_mass(metal), "mg", sized_on="high: keep the slag", because="beads and glass"
    )
    _size(work, grams)
    _mould(work, mass, metal)
    work.working(
        "button",
        "powder metal - slag",
        f"{likely(mass) + likely(slag) * molar_mass(metal):.5g} g - {1000 * likely(slag) * molar_mass(metal):.4g} mg",
        f"{likely(mass):.5g} g, {1000 * likely(grams[metal] / safe):.4g} per thousand",
        "practice/melt.slag.gold",
    )


def _size(work: Work, grams: Mapping[str, Number]) -> None:
    """How big it is, its metals lying side by side: cast alloys come out within a few percent of that."""
    volume: Number = 0.0
    for symbol, mass in grams.items():
        volume = volume + mass / work.fact(f"materials.solid.{symbol}.density").value
    work.answer("button_volume", volume, "mL", because="weight over density, metal by metal")
    work.answer("cube_side", 10 * volume ** (1 / 3), "mm", because="as a cube: a mould a bit larger")
    work.answer("sphere", 10 * (6 * volume / math.pi) ** (1 / 3), "mm", because="as a ball")
    work.working(
        "size", "weight / density, cube root", f"{likely(volume):.4g} mL", f"cube of {10 * likely(volume) ** (1 / 3):.3g} mm"
    )


def _mould(work: Work, mass_g: Number, metal: str) -> None:
    """A bar mould that takes it while it is liquid, four long, two wide, one thick."""
    liquid = work.fact(f"practice/melt.liquid.{WORDS[metal if metal in METALS_MELTED.values() else 'Cu']}").value
    volume = mass_g / liquid
    side = 10 * (volume / 8) ** (1 / 3)
    work.answer("mould", volume, "mL", sized_on="high: it is poured liquid, and shrinks", because="weight over liquid density")
    work.answer("bar_thickness", side, "mm", sized_on="high", because="as a bar four long, two wide, one thick")
    work.say(
        "vessel",
        f"bar mould of {high(volume):.2g} mL or more, such as {high(4 * side):.3g} x {high(2 * side):.3g} x {high(side):.3g} mm",
    )


def _say(work: Work) -> None:
    work.say(
        "watch for",
        "damp powder spits metal, and a damp mould throws it out: dry both hot, mould over 100 degC, no torch blast on powder",
    )
    work.say("watch for", "pink to purple glass is gold in the glass: less flux, and keep it")
    work.say("done when", "the button lies bright and round under a thin glass; then pour in one go")
    work.say("gear", "dark glasses, leather, face shield; long tongs; no water near")
    work.say("next", "weigh, assay, and write down weight x fineness; base metal in the button is no yield")
    work.say("left over", "slag and dish are kept: crush and pan them for beads")


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """The powder: by name, else what is richest in gold, else silver or its chloride."""
    dry = [pot for pot in pots if not pot.name.startswith(("foils", "board", "pulp", "slag", "bath", "goods", "button"))]
    named = [pot for pot in dry if any(word in pot.name for word in ("powder", "sponge"))]
    for solid in ("Au", "Ag", "AgCl"):
        found = holding(named, solid=solid) or holding(dry, solid=solid)
        if found:
            return found[:1]
    return ()


ROOM = Room("melt", run, FIELDS, choose, "refinekit melt --gold 50g --power 1500W --heat-share 10% --pour-at 1100C")
"""The verb of the melt."""
