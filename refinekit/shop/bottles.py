"""A bottle asked about: its strength in every form, and what it takes to make a weaker liquor of it."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

import numpy as np

from refinekit.bench.heat_portions import Heating
from refinekit.bench.heat_say import say_pouring, say_warming
from refinekit.bench.step import Reagent, Step
from refinekit.bench.work import Work
from refinekit.chemistry import heat
from refinekit.chemistry.density import percent_range
from refinekit.chemistry.molar import named
from refinekit.chemistry.solution import Dilution, Solution, dilute, disagreement, looks_like
from refinekit.chemistry.species import molar_mass
from refinekit.chemistry.strength import UNITS
from refinekit.errors import BadQuantity, OutOfRange, UnknownName
from refinekit.facts.load import as_fact, fact, table
from refinekit.nearest import did_you_mean
from refinekit.ranges import Number, Range, high, likely, spread
from refinekit.units import read, read_strength

FORM_WORDS = {
    "percent_ww": "percent_by_weight",
    "percent_wv": "percent_weight_in_volume",
    "baume": "baume",
    "sg": "specific_gravity",
    "density": "density",
    "mol_per_l": "molarity",
    "g_per_l": "grams_per_litre",
    "volumes": "volumes",
    "trade_percent": "trade_percent",
}
"""Form of strength -> the name of its answer."""
ORDERS = ("acid-to-water", "water-to-acid")


def reagent_row(word: str) -> dict[str, Any]:
    """The shelf's row of a reagent, by key, name, alias or formula. Raises: UnknownName, BadFormula."""
    rows = table("reagents")["reagent"]
    plain = word.strip().casefold()
    for row in rows:
        if plain in (name.casefold() for name in (row["key"], row["name"], *row.get("aliases", []))):
            return dict(row)
    formula = named(word)[0]
    for row in rows:
        if row["solute"] == formula:
            return dict(row)
    raise UnknownName(f"{word[:40]!r} is no reagent on this shelf", cure="a name as on the bottle: hydrochloric, nitric, caustic")


def bottle(
    row: dict[str, Any], strength: str | None, *, temperature_k: float | None, name: str, work: Work
) -> tuple[Solution, Range]:
    """The solution of a label, and its percentage as a range; a missing label takes the usual range of such bottles."""
    solute = str(row["solute"])
    if strength is None:
        span = row.get("strength_range")
        usual = Solution.usual(solute)
        if span is None:
            work.assume(f"{row['name']}: {usual.label}, the usual bottle")
            return usual, Range.over(usual.percent_ww)
        work.assume(f"{row['name']}: no strength told, such bottles span {span['low']:g} to {span['high']:g} {span['unit']}")
        ends = Range(span["low"], span["likely"], span["high"])
        return Solution.of(solute, "percent_ww", spread({"strength": ends})["strength"]), ends
    reading = read_strength(strength, name=name)
    figure = spread({"strength": reading.range})["strength"]
    found = Solution.of(solute, reading.form, figure, temperature_k if reading.form in ("baume", "sg", "density") else None)
    return found, Range.over(found.percent_ww)


def strength_step(reagent: str, strength: str | None, *, temperature: str | None = None, measured: str | None = None) -> Step:
    """One bottle in every form its strength is written.

    Args:
        reagent: name or formula [text]
        strength: the label, as typed; None for the usual bottle
        temperature: temperature of a hydrometer reading, as typed; None for the scale's own
        measured: density read, as typed; None for no check
    Raises: BadQuantity, UnknownName, OutOfRange
    """
    work = Work("strength")
    row = reagent_row(reagent)
    at_k = read(temperature, "temperature", name="--temperature", unit="degC").range.likely if temperature else None
    if row["form"] not in ("liquor", "gas") and strength is None:
        raise UnknownName(
            f"{row['name']} is sold dry and has no usual strength", cure='give one, as in: refinekit strength caustic "50 %"'
        )
    found, _ = bottle(row, strength, temperature_k=at_k, name="strength", work=work)
    for form, name in FORM_WORDS.items():
        try:
            work.answer(name, found.in_form(form), UNITS[form], sized_on="the label")
        except UnknownName:
            continue  # volumes are peroxide's, trade percent is hypochlorite's
    work.working(
        "mol/L",
        "1000 x density x share / molar mass",
        f"1000 x {high(found.density_g_per_ml):.5g} x {high(found.mass_fraction):.4g} / {molar_mass(found.solute):.5g} g/mol",
        f"{high(found.mol_per_l):.4g} mol/L",
    )
    if measured is not None:
        check_label(work, found, read(measured, "density", name="--measured", unit="g/mL", above_zero=True).range.likely, at_k)
    return work.done(None, title=f"{row['name']}, {strength or 'the usual bottle'}")


def check_label(work: Work, label: Solution, measured_g_per_ml: float, temperature_k: float | None) -> None:
    """Hold a hydrometer's reading against the label."""
    off = disagreement(label, measured_g_per_ml, temperature_k)
    work.answer("density_expected", off.expected_g_per_ml, "g/mL", because="what the label should read")
    work.answer("disagreement", off.relative * 100, "%", because="measured over expected, less one")
    work.fact("practice/solution.hydrometer_error")
    with suppress(OutOfRange):  # no strength of it has that density
        open_to = percent_range(label.solute, measured_g_per_ml, temperature_k)
        work.answer(
            "percent_measured", spread({"": open_to})[""], "%", because="what the reading leaves open, to a small division"
        )
    limit = work.fact("practice/solution.wrong_bottle").value
    if off.wrong_bottle:
        others = (
            ", ".join(f"{one.solute} {high(one.percent_ww):.3g} %" for one in looks_like(measured_g_per_ml)[:3])
            or "nothing on the shelf"
        )
        work.notice(
            "warn",
            "wrong-bottle",
            f"label and density disagree by over {100 * limit:g} %: perhaps not what it says (that density is {others})",
            "do not use it until it is proved: smell nothing, test a drop, relabel",
            "practice",
        )


def dilute_step(
    reagent: str,
    target: str,
    volume: str,
    *,
    strength: str | None = None,
    order: str | None = None,
    temperature: str | None = None,
) -> Step:
    """What to measure for a weaker liquor, in what order, and how hot it gets.

    Args:
        reagent: name or formula [text]
        target: strength wanted, as typed
        volume: how much is wanted, as typed
        strength: the label, as typed; None for the usual bottle
        order: acid-to-water or water-to-acid, as typed; None where it was not asked
        temperature: temperature of bottle and water, as typed
    Returns: Step; water into strong acid is stopped, and nothing measured
    Raises: BadQuantity, OutOfRange, UnknownName
    """
    row = reagent_row(reagent)
    if order is not None and order not in ORDERS:
        raise BadQuantity(f"--order {order[:40]!r} is not one of: {', '.join(ORDERS)}", cure=did_you_mean(order, ORDERS))
    work = Work("dilute")
    if order == "water-to-acid" and row["kind"] in ("acid", "oxidant", "alkali"):
        work.notice(
            "stop",
            "acid-spit",
            f"water into {row['name']} boils where it meets and throws it at you",
            "put the water in the vessel first and pour the strong liquor into it, slowly, stirring",
            "practice",
        )
        return work.done(None, title=f"{row['name']}, {target}")
    start_k = (
        read(temperature, "temperature", name="--temperature", unit="degC").range.likely
        if temperature
        else work.place.temperature_k
    )
    if not temperature:
        work.assume("bottle and water at 25 degC")
    litres = read(volume, "volume", name="--volume", unit="L", above_zero=True)
    if litres.assumed:
        work.assume(litres.assumed)
    wanted = read_strength(target, name="--target")
    aim = Solution.of(str(row["solute"]), wanted.form, wanted.range.likely)
    if row["form"] == "liquor":
        strong, _ = bottle(row, strength, temperature_k=None, name="--strength", work=work)
        _from_liquor(work, row, dilute(strong, aim, litres.range.likely), start_k)
    else:
        _from_solid(work, row, aim, litres.range.likely, start_k)
    return work.done(None, title=f"{litres.range.likely:g} L of {row['name']}, {target}")


def _from_liquor(work: Work, row: dict[str, Any], made: Dilution, start_k: float) -> None:
    take, water = Range.over(made.take_ml), Range.over(made.water_ml)
    label = made.strong.label or "the bottle"
    sized = "likely strength" if not take.is_point else "the label"
    work.reagent(Reagent("water", water, water.likely, "mL", sized, when="into the vessel first", key="water"))
    work.reagent(
        Reagent(
            str(row["name"]), take, take.likely, "mL", sized, bottle=label, when="then, slowly, stirring", key=str(row["key"])
        )
    )
    work.answer(
        "acid" if row["kind"] in ("acid", "oxidant") else "liquor",
        take,
        "mL",
        sized_on=sized,
        because="weight of solute stays the same",
    )
    work.answer("water", water, "mL", sized_on=sized, because="what is missing to the weight of the weaker liquor")
    work.answer("make_up_to", Range.over(made.volume_l), "L", because="the water by the mark: volumes do not add")
    work.answer("shrinks", made.mixture.shrinks_ml, "mL", because="acid and water together take less room than apart")
    _heat_said(work, made.mixture.heat_kj, made.mixture.rise_k, made.mixture.heat_known, start_k)
    if made.mixture.heat_known and high(made.mixture.rise_k) > 0:
        rise = Range.over(np.maximum(made.mixture.rise_k, 0.0))
        capacity = likely(made.mixture.heat_kj) / likely(made.mixture.rise_k) / likely(made.volume_l)
        heating = Heating("strong liquor", "t90.dilution", rise, made.volume_l, made.water_ml / 1000, start_k, 1, capacity)
        say_warming(work, heating)
        say_pouring(work, heating)
    work.say("order", "the strong liquor into the water, never the water into it")
    target = made.target
    work.working(
        "what to measure",
        "litres x density x share wanted / (density x share of the bottle)",
        f"{high(made.volume_l):.4g} L x {high(target.density_g_per_ml):.4g} x {high(target.mass_fraction):.4g}"
        f" / ({high(made.strong.density_g_per_ml):.4g} x {high(made.strong.mass_fraction):.4g})",
        f"{take.likely:.4g} mL",
    )


def _from_solid(work: Work, row: dict[str, Any], aim: Solution, litres: float, start_k: float) -> None:
    goodness = as_fact("goodness", {**row, **row["goodness"]}).range if "goodness" in row else Range.point(1.0)
    pure_g = float(aim.g_per_l) * litres
    share = spread({"goodness": goodness})["goodness"]
    weigh = Range.over(pure_g / share)
    if not goodness.is_point:
        work.assume(f"{row['name']}: {goodness.low:g}/{goodness.likely:g}/{goodness.high:g} of it is good")
    bare = Range.point(pure_g)
    work.reagent(Reagent(str(row["name"]), bare, weigh.likely, "g", "likely goodness", excess="/ goodness", key=str(row["key"])))
    work.answer("solid", weigh, "g", sized_on="likely goodness", because="grams of the compound over its goodness")
    work.answer("make_up_to", litres, "L", because="dissolve in most of the water, cool, then to the mark")
    mol = pure_g / molar_mass(aim.solute)
    pearls = aim.solute == "NaOH"
    heat_kj = mol * fact("enthalpy.dissolve.pearls").value if pearls else 0.0
    _heat_said(work, heat_kj, heat.rise_k(heat_kj, litres), pearls, start_k)
    work.working(
        "what to weigh",
        "mol/L x L x molar mass / goodness",
        f"{float(aim.mol_per_l):.4g} x {litres:.4g} x {molar_mass(aim.solute):.5g} / {goodness.likely:g}",
        f"{weigh.likely:.4g} g",
    )


def _heat_said(work: Work, heat_kj: Number, rise_k: Number, known: bool, start_k: float) -> None:
    if not known:
        work.say("heat", "not tabled for this liquor: go slowly and feel the vessel")
        return
    work.heat_kj = heat_kj
    work.answer("heat", heat_kj, "kJ", because="heat given out if nothing is lost")
    work.answer("rise", rise_k, "K", sized_on="no heat lost", because="heat over weight and heat capacity")
    top_k = start_k + high(rise_k)
    stop_k = work.fact("practice/solution.dilution_stop").value
    if top_k > stop_k:
        zero_k = fact("constants.zero_celsius").value
        work.notice(
            "stop",
            "boil-over",
            f"poured at once it would reach {top_k - zero_k:.0f} degC, over {stop_k - zero_k:.0f}: it spits and may boil",
            "take ice for part of the water, or make a weaker liquor first, let it cool, and start again from that",
            "practice",
        )
