"""Inquarting: silver, sterling or copper melted in, so that nitric can get at all that is not gold."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.fields import METALS, Field, Room, holding, refuse_strange
from refinekit.bench.karat_goods import GOODS_FIELDS, alloy_g, need_metal, pour_goods
from refinekit.bench.lot_metals import alloy, shares
from refinekit.bench.part_nitric import PARTED, electrons_of, nitric_for
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.pouring import bottle_of
from refinekit.bench.step import Reagent, Step
from refinekit.bench.work import Work
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.species import molar_mass
from refinekit.errors import OutOfRange
from refinekit.ranges import Number, Range, high, in_words, likely, low, times_bare

ADDED: Mapping[str, Mapping[str, float]] = {"silver": {"silver": 1.0}, "sterling": {}, "copper": {"copper": 1.0}}
"""What may be melted in, by its metals; sterling by its row of the alloys."""
FIELDS = (
    *GOODS_FIELDS,
    Field("target", "share", "", "gold share the melt is brought to", above_zero=True, highest=1.0),
    Field("using", "choice", "", "what is melted in", choices=tuple(ADDED)),
    Field("fill", "share", "", "share of the crucible filled", above_zero=True, highest=1.0),
    Field("nitric", "strength:HNO3", "", "nitric acid in hand, to see what the parting will take"),
)


def add_for(weight_g: Number, fineness: Number, target: Number) -> Number:
    """Metal without gold that brings an alloy down to a gold share.

    Args:
        weight_g: the alloy [g]; 0 and up
        fineness: its gold share [-]; 0 to 1
        target: gold share wanted [-]; above 0
    Returns: metal to melt in [g]; 0 where the alloy is under the target
    Raises: OutOfRange, no target
    Source: weight x (fineness / target - 1)

    >>> round(float(add_for(100.0, 0.583, 0.25)), 6)
    133.2
    """
    if low(target) <= 0 or high(target) > 1:
        raise OutOfRange(f"a gold share of {likely(target):g} is nothing to bring a melt to", cure="give --target 25 %")
    added: Number = np.maximum(weight_g * (fineness / target - 1), 0.0)
    return added


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Any) -> Step:
    """Size an inquart.

    Args:
        pots: dry goods with gold in them
        place: the shop
        told: goods, target and what is melted in, see FIELDS
    Returns: Step with the metal to add, the melt, the crucible, and what its parting will take; pot "inquart"
    Raises: CannotFollow, no gold; OutOfRange, no target
    Source: material balance; shares, facts/practice/inquart.toml
    """
    refuse_strange("an inquart", told, {field.arg for field in FIELDS})
    work = Work("inquart", *pots, place=place)
    pour_goods(work, told)
    grams = need_metal(work, "inquart", ("Au",), "--weight 100g --make 583/104/313")
    using = told.get("using") or "silver"
    if "using" not in told:
        work.assume("fine silver is melted in")
    weight = sum(grams.values(), 0.0)
    target = work.default(told.get("target"), "practice/inquart.target", "gold share of the melt")
    fineness = grams["Au"] / np.maximum(weight, 1e-300)
    need = add_for(weight, fineness, target)
    if high(work.inert_g) > 0:
        work.draw_off("stones", inert_g=work.inert_g, note="stones and other dead weight, taken out before the melt")
    _say_ways(work, grams, need, told)
    _weigh_in(work, using, need, weight, fineness, target)
    _say_melt(work, told)
    _say_how(work, grams)
    return work.done(
        "inquart", title=f"{in_words(likely(weight), 'g')}, {1000 * likely(fineness):.4g} fine, to {likely(target):.3g} gold"
    )


def metals_added(using: str) -> Mapping[str, float]:
    """Share of each metal in what is melted in, by metal word [-]."""
    return ADDED[using] or shares(alloy("sterling silver"))[0]


def _weigh_in(work: Work, using: str, need: Number, weight: Number, fineness: Number, target: Number) -> None:
    """One weight goes in, whatever the gold turns out to be: sized on the likely gold."""
    pour = likely(need)
    name = {"silver": "fine silver", "sterling": "sterling silver", "copper": "clean copper"}[using]
    on = "likely gold: a little more or less parts as well"
    work.answer(
        "silver_per_thousand", 1000 * work.solids.get("Ag", 0.0) * molar_mass("Ag") / weight, "per thousand", because="before"
    )
    work.answer("gold_fineness", 1000 * fineness, "per thousand", because="of the goods")
    work.answer("add", need, "g", sized_on=on, because="weight x (fineness / target - 1)")
    work.working(
        "metal to add",
        "weight x (fineness / target - 1)",
        f"{likely(weight):.5g} g x ({likely(fineness):.5g} / {likely(target):.4g} - 1)",
        f"{pour:.5g} g",
        "practice/inquart.target",
    )
    if pour <= 0:
        work.say("next", f"nothing to add: gold is already at or under {likely(target):.3g}; part it as it is")
        return
    work.reagent(
        Reagent(
            name,
            Range.over(need),
            pour,
            "g",
            on,
            times_bare(1.0),
            "",
            "into the melt",
            using if using != "sterling" else "silver",
        )
    )
    work.pour(name, {METALS[metal]: share * pour / molar_mass(METALS[metal]) for metal, share in metals_added(using).items()})


def _say_melt(work: Work, told: Mapping[str, Any]) -> None:
    grams = alloy_g(work)
    melt = sum(grams.values(), 0.0)
    share = grams["Au"] / np.maximum(melt, 1e-300)
    work.answer("melt", melt, "g", sized_on="high for the crucible", because="goods and what is added; nothing burnt off")
    work.answer("gold_share", 100 * share, "%", sized_on="high: over a third it does not part", because="gold over melt")
    for word in ("gold", "silver", "copper", "zinc"):
        if METALS[word] in grams:
            work.answer(f"{word}_in_melt", grams[METALS[word]], "g", because="goods and what is added")
    _crucible(work, told, grams)
    _judge(work, share)


def _crucible(work: Work, told: Mapping[str, Any], grams: Mapping[str, Number]) -> None:
    liquid = {"Au": "gold", "Ag": "silver"}
    volume: Number = 0.0
    for symbol, mass in grams.items():
        volume = volume + mass / work.fact(f"practice/melt.liquid.{liquid.get(symbol, 'copper')}").value
    fill = work.default(told.get("fill"), "practice/melt.fill.metal", "share of the crucible filled")
    work.answer("liquid", volume, "mL", sized_on="high", because="when molten, other metals counted as copper")
    work.answer("crucible", volume / fill, "mL", sized_on="high", because="liquid over the share filled")
    work.working(
        "crucible",
        "sum of g / (g/mL) / fill",
        " + ".join(f"{likely(mass):.4g} g {symbol}" for symbol, mass in grams.items()),
        f"{likely(volume):.4g} mL liquid, {likely(volume / fill):.4g} mL crucible",
        "practice/melt.liquid.gold",
        "practice/melt.liquid.silver",
        "practice/melt.liquid.copper",
    )
    work.say(
        "vessel", f"crucible of {high(volume / fill):.2g} mL at least, glazed with borax; solid scrap lies looser than liquid"
    )


def _judge(work: Work, share: Number) -> None:
    most, least = work.fact("practice/inquart.parts_under"), work.fact("practice/inquart.powder_under")
    thin = work.fact("practice/inquart.thin_over")
    if high(share) > most.value:
        work.notice(
            "warn",
            "gold-too-rich-to-part",
            f"{100 * high(share):.3g} % gold: over {100 * most.value:g} % gold shuts the silver in and nitric stops half way",
            "melt in more silver or copper, to a quarter gold",
            most.source,
        )
    elif high(share) > thin.value:
        work.say("watch for", f"over {100 * thin.value:g} % gold only thin corn-flake parts, and only hot")
    if low(share) < least.value:
        work.notice(
            "note",
            "gold-to-powder",
            f"{100 * low(share):.3g} % gold: under {100 * least.value:g} % the gold falls to powder that is slow to settle",
            "decant slowly and filter, or melt the next lot richer",
            least.source,
        )


def _say_ways(work: Work, grams: Mapping[str, Number], need: Number, told: Mapping[str, Any]) -> None:
    """What each metal that might be melted in costs in nitric and gas."""
    bottle = bottle_of(work, "HNO3", told.get("nitric"), "nitric acid")
    litres = molar_volume_l(work.place.temperature_k, work.place.pressure_pa)
    rows = []
    for using in ADDED:
        metals = {symbol: mass / molar_mass(symbol) for symbol, mass in grams.items() if symbol in PARTED}
        for metal, share in metals_added(using).items():
            symbol = METALS[metal]
            metals[symbol] = metals.get(symbol, 0.0) + share * need / molar_mass(symbol)
        least, most = (1000 * nitric_for(metals, x) / bottle.mol_per_l for x in (1.0, 0.0))
        gas = electrons_of(metals) * litres
        rows.append((using, Range.over(need), Range.over(least), Range.over(most), Range.over(gas)))
        if using == (told.get("using") or "silver"):
            work.answer(
                "nitric_no_route", least, "mL", sized_on="low", because="what the parting will take, all the nitrogen as NO"
            )
            work.answer("nitric_no2_route", most, "mL", sized_on="high", because="what the parting will take, all of it as NO2")
            work.answer("gas_if_no2", gas, "L", sized_on="high for lungs", because="if all the nitrogen leaves as NO2")
    work.table("what each would cost", ("melted in", "g", "nitric, all NO, mL", "nitric, all NO2, mL", "NO2 at most, L"), rows)


def _say_how(work: Work, grams: Mapping[str, Number]) -> None:
    if "Zn" in grams:
        burns = work.fact("practice/inquart.zinc_burns").range
        work.say(
            "watch for",
            f"white smoke is zinc burning off, up to {100 * burns.high:g} % of it: draw it away, do not breathe it",
        )
    if "Sn" in grams or "Pb" in grams:
        work.notice(
            "warn",
            "tin-in-inquart",
            "tin or lead in the melt: nitric turns tin to paste among the gold",
            "cut solder off, or strip it with hot hydrochloric, before the melt",
            "practice",
        )
    if "Pt" in grams:
        work.say("watch for", "platinum stays with the gold, and a part of it follows the silver into nitric")
    if "Pd" in grams:
        work.say(
            "watch for",
            "palladium goes with the silver: the parting acid turns yellow to brown; the silver is not pure until it is out",
        )
    work.say(
        "how",
        "stones out first; melt under a little borax, stir with a carbon rod, pour in a thin stream into deep water: corn-flake",
    )
    work.say("watch for", "pour from knee height into a deep bucket, never a hot mould on a wet floor: steam throws metal")
    work.say("gear", "dark glasses, face shield, leather, long tongs")
    work.say("done when", "no lump is thicker than a fingernail; remelt what is")
    work.say("next", "dry the flake, weigh it against the melt, then part it")


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """Dry goods with gold in them, the richest."""
    return holding((pot for pot in pots if not high(pot.volume_l)), solid="Au")[:1]


ROOM = Room("inquart", run, FIELDS, choose, "refinekit inquart --weight 100g --make 583/104/313 --using sterling")
"""The verb of inquarting."""
