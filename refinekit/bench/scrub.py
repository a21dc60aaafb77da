"""Scrub: caustic for a fume, peroxide beside it, what passes, what the air eats of it, and the spent liquor as a pot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.fields import Field, Room, refuse_strange
from refinekit.bench.fume_fields import GIVES
from refinekit.bench.fume_gas import litres, sources
from refinekit.bench.fume_limits import gas_called
from refinekit.bench.fume_room import NITROGEN_OXIDES
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.pouring import bottle_of, label_of, pour_bottle
from refinekit.bench.scrub_need import CAUGHT_BY, fume_of, say_need
from refinekit.bench.step import Reagent, Step
from refinekit.bench.vent_say import say_after
from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely, low, times_bare

TRACE_MOL = 1e-9
SPENT = "spent scrubber"
HELD = (
    ("NO2^-", "nitrite", "acid gives brown fume back"),
    ("NO3^-", "nitrate", "never dried with paper or sawdust"),
    ("ClO^-", "hypochlorite", "acid gives chlorine back, ammonium chloramine"),
    ("SO3^2-", "sulfite", "acid gives sulfur dioxide back; it kills hypochlorite, hot"),
    ("CO3^2-", "carbonate", "acid froths it"),
    ("OH^-", "caustic left", "burns; aluminium makes hydrogen of it"),
)
"""What spent liquor holds: species, word, and what that is for."""

FIELDS = (
    *GIVES,
    Field("nitric-oxide", "amount", "mol", "nitric oxide to the scrubber"),
    Field("nitrogen-dioxide", "amount", "mol", "nitrogen dioxide to the scrubber"),
    Field("hydrogen-chloride", "amount", "mol", "hydrogen chloride to the scrubber"),
    Field("chlorine", "amount", "mol", "chlorine to the scrubber"),
    Field("sulfur-dioxide", "amount", "mol", "sulfur dioxide to the scrubber"),
    Field("nitrosyl-chloride", "amount", "mol", "nitrosyl chloride to the scrubber"),
    Field("turned", "share", "", "share of the nitric oxide that has turned brown before it gets there", highest=1.0),
    Field("caustic-times", "count", "", "caustic to take, times the bare need", above_zero=True),
    Field("caustic", "mass", "g", "caustic that is in the liquor already"),
    Field("volume", "volume", "L", "water in it", above_zero=True),
    Field("peroxide", "strength:H2O2", "", "peroxide in hand"),
    Field("peroxide-volume", "volume", "mL", "peroxide in the liquor"),
    Field("air", "flow", "L/min", "air drawn through with the fume"),
    Field("time", "time", "min", "time that air is drawn through", above_zero=True),
)
"""The fields of scrub."""
ARGUMENTS = {field.arg for field in FIELDS}


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Any) -> Step:
    """Size a caustic scrubber and reckon it through.

    Args:
        pots: scrubber liquor used before, which goes on with what caustic it has left
        place: the shop
        told: what gives the gas, or its amounts; caustic, water, peroxide and air, see FIELDS
    Returns: Step with the caustic to take, what slips, and the spent liquor as a pot
    Raises: CannotFollow, nothing that gives gas; UnknownName, a gas nobody keeps limits of
    Source: reactions R9.2 to R9.10; nitric oxide goes only with an equal of nitrogen dioxide
    """
    refuse_strange("scrub", told, ARGUMENTS)
    if "gas" in told:
        told["gas"] = gas_called(told["gas"])
    work = Work("scrub", *pots, place=place)
    fume = fume_of(work, told, sources(work, told, ()))
    span, times, sized = say_need(work, told, fume)
    grams = _caustic(work, told, span, times, sized)
    _liquor(work, told, grams)
    work.pour("fume", fume.usual)
    _catch(work)
    _say_held(work)
    _say_slips(work)
    say_after(work, [gas for gas in fume.usual if gas in NITROGEN_OXIDES])
    work.did("caught fume")
    title = ", ".join(f"{1000 * likely(mol):.3g} mmol {gas}" for gas, mol in fume.usual.items())
    return work.done(SPENT, title=title)


def _caustic(work: Work, told: Mapping[str, Any], span: Range, times: float, sized: str) -> Number:
    """Caustic that goes in: what is told to be in it, else what is to be weighed [g]."""
    have = likely(work.dissolved.get("OH^-", 0.0)) * molar_mass("NaOH")
    if "caustic_g" in told or have > 0:
        there: Number = told.get("caustic_g", 0.0)
        enough = low(there) + have
        short = span.high - enough
        words = f"{enough:.4g} g is in it, {span.high:.4g} g is needed"
        work.say("caustic", f"stop: {words}: {short:.3g} g is short, the rest slips" if short > 0 else f"enough: {words}")
        return there
    take = span.high * times
    work.reagent(
        Reagent(
            "caustic pearls", span, take, "g", sized, times_bare(times), when="in water, before", key="caustic", rounding="up"
        )
    )
    return take


def _liquor(work: Work, told: Mapping[str, Any], grams: Number) -> None:
    """Water, caustic and peroxide."""
    strength = work.fact("practice/scrub.liquor.caustic").value
    water = told.get("volume_l")
    if water is None and not work.before:
        water = high(grams) / strength
        work.assume(f"water in it: {water:.3g} L, for {strength:g} g of caustic to the litre")
    if water is not None:
        work.pour("water", {"H2O": 1000 * np.asarray(water) / molar_mass("H2O")}, volume_l=water)
        if low(water) > 0 and high(grams) / low(water) > 3 * strength:
            work.say("watch for", "strong caustic gets hot as it dissolves and lets salts fall out that block it: more water")
    if high(grams) > 0:
        work.pour("caustic", {"NaOH": grams / molar_mass("NaOH")})
    if "peroxide_volume_l" in told:
        bottle = bottle_of(work, "H2O2", told.get("peroxide"), "peroxide")
        pour_bottle(work, f"peroxide {label_of(bottle)}", bottle, told["peroxide_volume_l"])


# ---- what is caught
def _catch(work: Work) -> None:
    """Run every gas into the caustic, as far as it goes; acid first, carbon dioxide last."""

    def there(species: str) -> Any:
        return np.asarray(work.gases_mol.get(species, 0.0) + work.dissolved.get(species, 0.0))

    def eat(reaction: str, extent: Any) -> None:
        if high(extent) > TRACE_MOL:
            work.react(reaction, np.maximum(extent, 0.0))

    eat("R9.4", np.minimum(there("H^+"), there("OH^-")))
    eat("R9.2", np.minimum(np.minimum(there("NO"), there("NO2")), there("OH^-") / 2))
    eat("R9.3", np.minimum(there("NO2"), there("OH^-")) / 2)
    for gas in ("SO2", "Cl2", "NOCl", "CO2"):
        eat(CAUGHT_BY[gas], np.minimum(there(gas), there("OH^-") / 2))
    if high(there("H2O2")) > TRACE_MOL and high(there("NO")) > TRACE_MOL:
        share = work.fact("practice/scrub.peroxide.catches").value
        eat("R9.9", np.minimum(np.minimum(there("NO") * share / 2, there("H2O2") / 3), there("OH^-") / 2))
        eat("R10.33", np.minimum(there("H^+"), there("OH^-")))
    for gas in ("Cl2", "SO2"):
        if high(work.dissolved.get(gas, 0.0)) > TRACE_MOL:
            work.escape(gas, work.dissolved[gas])


def _say_slips(work: Work) -> None:
    """What goes on past the scrubber."""
    for gas in ("NO", "NO2", "Cl2", "SO2", "NOCl", "CO2"):
        mol = work.gases_mol.get(gas, 0.0)
        if high(mol) > TRACE_MOL:
            work.gas(gas, Range.over(mol), sized_on="what passes")
    passes = sum(high(work.gases_mol.get(gas, 0.0)) for gas in ("NO2", "Cl2", "SO2", "NOCl"))
    if passes > TRACE_MOL:
        work.say("watch for", "the caustic is used up before the fume is: more of it, or stop half way and renew it")
    if high(work.gases_mol.get("NO", 0.0)) > TRACE_MOL:
        out = litres(work, Range.over(work.gases_mol["NO"]))
        work.answer("nitric_oxide_out", out, "L", sized_on="high for lungs", because="passes, and turns brown outside")
        work.say("watch for", "nitric oxide turns brown only after it has left the scrubber; stand upwind of its outlet")


def _say_held(work: Work) -> None:
    """The spent liquor and what it must never meet."""
    rows: list[tuple[str | float | Range, ...]] = []
    for species, word, why in HELD:
        mol = work.dissolved.get(species, 0.0)
        if high(mol) > TRACE_MOL:
            rows.append((word, Range.over(1000 * np.asarray(mol)), why))
    work.table("Spent liquor", ("holds", "mmol", "so"), rows)
    if high(work.dissolved.get("ClO^-", 0.0)) > TRACE_MOL and high(work.dissolved.get("SO3^2-", 0.0)) > TRACE_MOL:
        work.say("watch for", "chlorine and sulfur dioxide into one liquor: hypochlorite and sulfite eat each other, hot")
    held = [word for species, word, _ in HELD[:4] if high(work.dissolved.get(species, 0.0)) > TRACE_MOL]
    holds = ", ".join(held) or "carbonate"
    work.say("left over", f"spent scrubber holds {holds}: never acidify it, never share it between Cl2 and SO2")
    left = work.dissolved.get("OH^-", 0.0)
    because = "pH stays over 10 while some is left: renew it before it is gone"
    work.answer("caustic_left", np.asarray(left) * molar_mass("NaOH"), "g", sized_on="likely", because=because)


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """The scrubber at hand, if there is one."""
    return tuple(pot for pot in pots if "scrub" in pot.name.lower())[:1]


ROOM = Room(
    "scrub",
    run,
    FIELDS,
    choose,
    'refinekit scrub --gold 8g --turned 0.5 --air "2 L/min" --time 40min',
)
"""The verb of scrub."""
