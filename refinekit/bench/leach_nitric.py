"""Base metal off in nitric acid: how much at least and at most, the gas of every route, and tin that goes to paste."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil
from typing import Any

import numpy as np

from refinekit.bench.foam import foam_of_portion
from refinekit.bench.heat_portions import Heating, Warming
from refinekit.bench.heat_say import say_warming
from refinekit.bench.leach_goods import WORDS, metal_mol, part_pots
from refinekit.bench.pouring import bottle_of, label_of, pour_bottle, pour_water
from refinekit.bench.step import Reagent
from refinekit.bench.vessel import stand
from refinekit.bench.work import Work
from refinekit.chemistry.equation import reaction
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.heat import reaction_enthalpy, rise_k
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, Range, high, likely, low, times_bare

ELECTRONS = {"Cu": 2, "Ni": 2, "Zn": 2, "Pb": 2, "Fe": 3, "Sn": 4, "Ag": 1}
"""Electrons a metal gives nitric acid."""
BOUND = {"Cu": 2, "Ni": 2, "Zn": 2, "Pb": 2, "Fe": 3, "Sn": 0, "Ag": 1}
"""Nitrate a metal binds; tin ends as paste and binds none."""
NO_ROUTE = {"Cu": "R2.22", "Ni": "R2.24", "Zn": "R2.26", "Pb": "R2.27", "Fe": "R2.25", "Sn": "R2.28", "Ag": "R7.1"}
"""Reaction of each metal, all the nitrogen leaving as nitric oxide."""
AMMONIUM = "R2.29"
NO_TO_NO2 = "R2.41"


def nitric_for(metals_mol: Mapping[str, Number], no_share: Number) -> Number:
    """Nitric acid that base metal and silver take.

    Args:
        metals_mol: by symbol [mol]; 0 and up
        no_share: share of the nitrogen leaving as nitric oxide, the rest as nitrogen dioxide [-]; 0 to 1
    Returns: acid [mol]
    Source: salts bound + electrons / (1 + 2 x): R2.22 to R2.28, R7.1

    >>> round(nitric_for({"Cu": 3.0}, 1.0), 6), round(nitric_for({"Cu": 1.0}, 0.0), 6)
    (8.0, 4.0)
    """
    bound: Number = sum((BOUND[metal] * mol for metal, mol in metals_mol.items()), 0.0)
    return bound + electrons_mol(metals_mol) / (1 + 2 * no_share)


def electrons_mol(metals_mol: Mapping[str, Number]) -> Number:
    """Electrons metals give nitric acid [mol], by symbol [mol]."""
    return sum((ELECTRONS[metal] * mol for metal, mol in metals_mol.items()), 0.0)


def usual_no_share(work: Work, percent: Number) -> float:
    """Share of nitrogen leaving as nitric oxide from acid of a strength.

    Args:
        work: the step
        percent: strength as it stands on the metal [% w/w]
    Returns: share [-]
    Source: common practice, in facts/practice/general.toml
    """
    weak = work.fact("practice/general.no_share.weak_below").value
    half = work.fact("practice/leach.nitric_half_most").value
    word = "weak" if likely(percent) < weak else "half" if likely(percent) <= half else "strong"
    share = work.fact(f"practice/general.no_share.{word}").value
    work.assume(f"share of nitrogen leaving as nitric oxide, {likely(percent):.3g} % acid: {share:g}")
    return share


def leach_nitric(work: Work, told: Mapping[str, Any]) -> None:
    """Dissolve base metal and silver in nitric acid, off gold.

    Args:
        work: the step, goods in it
        told: see LeachTold
    Raises: CannotFollow, nothing for nitric to dissolve
    Source: R2.22 to R2.29, R7.1; nitrogen split and portions, facts/practice
    """
    bottle, parts = _bottle(work, told)
    metals = metal_mol(work, *NO_ROUTE)
    for symbol in ("Cu", "Ni"):
        metals[symbol] = metals[symbol] * (1 - told.get(f"{WORDS[symbol]}_left", 0.0))
    if high(electrons_mol(metals)) <= 0:
        raise CannotFollow("there is nothing for nitric to dissolve", cure="tell the goods, as in --copper 100 g")
    percent = _strength_on_metal(bottle, parts)
    given = told.get("no_share")
    no_share: Number = usual_no_share(work, percent) if given is None else given
    ammonium = _ammonium(work, metals, percent)
    need = nitric_for({**metals, "Zn": metals["Zn"] * (1 - ammonium)}, no_share) + _per_zinc() * ammonium * metals["Zn"]
    _pours(work, bottle, parts, metals, need)
    pour_bottle(work, "nitric acid", bottle, need / bottle.mol_per_l)
    pour_water(work, parts * need / bottle.mol_per_l)
    _react(work, metals, no_share, ammonium)
    warm = _warms(work, need / bottle.mol_per_l, parts, curve=not told.get("glance"))
    _gases(work, metals, told)
    _paste(work, metals)
    _says(work, metals)
    most = nitric_for(metals, 0.0) / bottle.mol_per_l * (1 + parts)
    vessel = stand(work, most, "fine", how="on a tray, watch glass on, in the hood")
    _foams(work, metals, vessel.size_l, warm)
    part_pots(work, told)


def _bottle(work: Work, told: Mapping[str, Any]) -> tuple[Solution, Number]:
    bottle = bottle_of(work, "HNO3", told.get("nitric"), "nitric acid")
    return bottle, work.default(told.get("nitric_water"), "practice/leach.nitric_water", "volumes of water to one of nitric")


def _strength_on_metal(bottle: Solution, parts: Number) -> Number:
    """Strength of the acid with its water [% w/w]."""
    return 100 * bottle.density_g_per_ml * bottle.mass_fraction / (bottle.density_g_per_ml + parts)


def _per_zinc() -> float:
    return reaction(AMMONIUM).mole_ratio("HNO3", "Zn")


def _ammonium(work: Work, metals: Mapping[str, Number], percent: Number) -> float:
    """Share of zinc that makes ammonium: some of it in weak acid, none in stronger."""
    if likely(percent) >= work.fact("practice/general.no_share.weak_below").value:
        return 0.0
    aluminium = high(work.solids.get("Al", 0.0)) > 0
    if high(metals["Zn"]) <= 0 and not aluminium:
        return 0.0
    work.mark("ammonium")
    work.say("watch for", "zinc or aluminium in weak nitric makes ammonium: no caustic on gold or silver afterwards, no bleach")
    return work.fact("practice/leach.zinc_to_ammonium").value


def _pours(work: Work, bottle: Solution, parts: Number, metals: Mapping[str, Number], need: Number) -> None:
    """The first charge, the portions and the most, each with the end it is sized on."""
    least, most = (1000 * nitric_for(metals, share) / bottle.mol_per_l for share in (1.0, 0.0))
    usual = 1000 * need / bottle.mol_per_l
    first = work.fact("practice/general.excess.nitric_silver_copper_first").value
    portion = work.fact("practice/leach.nitric_portion").value
    why = "salts bound + electrons / (1 + 2 x)"
    work.answer(
        "nitric_no_route", least, "mL", sized_on="low: what is not poured need not be killed", because=f"{why}, x = 1, all as NO"
    )
    work.answer("nitric_no_route_mass", least * bottle.density_g_per_ml, "g", because=f"{why}, x = 1, all as NO")
    work.answer(
        "nitric_no2_route", most, "mL", sized_on="high: the most that can be asked for", because=f"{why}, x = 0, all as NO2"
    )
    work.answer("nitric", usual, "mL", because=why)
    work.answer(
        "nitric_first_charge",
        first * least,
        "mL",
        sized_on="low metal, all as nitric oxide",
        because=f"{times_bare(first)}, then in steps",
    )
    work.answer("nitric_step", portion * usual, "mL", because="wait for the fume to drop between steps")
    name, label = "nitric acid", label_of(bottle)
    spread = Range(low(least), likely(usual), high(most))
    rows = (
        (first * low(least), "low metal, all as nitric oxide", times_bare(first), "first"),
        (
            portion * low(usual),
            "low metal",
            f"{portion:g} of the likely need",
            "then, when the fume has dropped; stop while a little metal is left",
        ),
        (high(most), "high metal, all as nitrogen dioxide", times_bare(1.0), "at most, in all"),
    )
    for amount, sized_on, excess, when in rows:
        work.reagent(Reagent(name, spread, amount, "mL", sized_on, excess, label, when, "nitric", "down"))
    if high(parts) > 0:
        water = parts * usual
        work.reagent(
            Reagent(
                "water", Range.over(water), likely(water), "mL", "likely nitric", "", "", "first, the nitric into it", "water"
            )
        )
    work.working(
        "nitric",
        "salts bound + electrons / (1 + 2 x)",
        f"{likely(nitric_for(metals, 0.0) - electrons_mol(metals)):.4g} mol bound, {likely(electrons_mol(metals)):.4g} mol"
        f" electrons, bottle {likely(bottle.mol_per_l):.4g} mol/L",
        f"{likely(least):.4g} mL (all NO), {likely(usual):.4g} mL, {likely(most):.4g} mL (all NO2)",
    )


def _react(work: Work, metals: Mapping[str, Number], no_share: Number, ammonium: float) -> None:
    """Dissolve every metal by the nitric oxide route, then turn as much of that to nitrogen dioxide as the split has it."""
    heat: Number = 0.0
    for metal, id in NO_ROUTE.items():
        mol = metals[metal] * (1 - ammonium) if metal == "Zn" else metals[metal]
        if high(mol) > 0:
            extent = mol / reaction(id).left[metal]
            work.react(id, extent)
            if metal != "Sn":  # of its paste no heat of formation is known
                heat = heat - reaction_enthalpy(reaction(id).net) * extent
    nitrogen = (electrons_mol(metals) - ELECTRONS["Zn"] * ammonium * metals["Zn"]) / (1 + 2 * no_share)
    turned = (1 - no_share) * nitrogen / reaction(NO_TO_NO2).right["NO2"]
    if high(turned) > 0:
        work.react(NO_TO_NO2, turned)
        heat = heat - reaction_enthalpy(reaction(NO_TO_NO2).net) * turned
    if ammonium and high(metals["Zn"]) > 0:
        extent = metals["Zn"] * ammonium / reaction(AMMONIUM).left["Zn"]
        work.react(AMMONIUM, extent)
        heat = heat - reaction_enthalpy(reaction(AMMONIUM).net) * extent
    work.heat_kj = heat
    work.answer("heat", heat, "kJ", because="from formation enthalpies, tin left out")


def _foams(work: Work, metals: Mapping[str, Number], vessel_l: float, warm: Warming | None) -> None:
    """Foam of a portion, all of it as nitrogen dioxide, in the vessel and at the heat it has."""
    portion = work.fact("practice/leach.nitric_portion").value
    litres = electrons_mol(metals) * molar_volume_l(work.place.temperature_k, work.place.pressure_pa) * portion
    hot_k = work.temperature_k if warm is None else float(warm.portion_k.max())
    foam_of_portion(work, litres, "practice/heat.t90.nitric", vessel_l, hot_k=hot_k)


def _warms(work: Work, acid_l: Number, parts: Number, *, curve: bool) -> Warming | None:
    """The pot's heat in time: the water is there first, the nitric goes into it by portions."""
    portions = ceil(1 / work.fact("practice/leach.nitric_portion").value)
    volume = acid_l * (1 + parts)
    if low(volume) <= 0:
        return None
    rise = Range.over(np.maximum(rise_k(work.heat_kj, volume), 0.0))
    work.answer("rise", rise, "K", sized_on="high: all at once, no heat lost")
    heating = Heating("nitric", "t90.nitric", rise, volume, acid_l * parts, work.temperature_k, portions)
    return say_warming(work, heating, curve=curve)


def _gases(work: Work, metals: Mapping[str, Number], told: Mapping[str, Any]) -> None:
    """Gas by the routes: none to all of it as either."""
    electrons = electrons_mol(metals)
    minutes = high(told["time_s"]) / 60 if "time_s" in told else None
    quick = minutes * work.fact("practice/leach.nitric_quick").value if minutes else None
    work.gas(
        "NO",
        Range(0.0, likely(work.gases_mol.get("NO", 0.0)), high(electrons) / 3),
        minutes=minutes,
        t90_min=quick,
        sized_on="high: all as NO",
    )
    work.gas(
        "NO2",
        Range(0.0, likely(work.gases_mol.get("NO2", 0.0)), high(electrons)),
        minutes=minutes,
        t90_min=quick,
        sized_on="high: all as NO2",
    )
    litres = molar_volume_l(work.place.temperature_k, work.place.pressure_pa)
    work.answer("no_gas", electrons / 3 * litres, "L", because="if all the nitrogen leaves as nitric oxide")
    work.answer(
        "no2_gas", electrons * litres, "L", sized_on="high for lungs", because="if all the nitrogen leaves as nitrogen dioxide"
    )


def _paste(work: Work, metals: Mapping[str, Number]) -> None:
    """Tin that ends as metastannic paste."""
    tin = metals["Sn"]
    if high(tin) <= 0:
        return
    wet = work.fact("practice/leach.tin_paste").range
    grams = tin * molar_mass("Sn")
    work.answer("tin_paste", tin * molar_mass("H2SnO3"), "g", because="dry H2SnO3; it will not filter and holds gold")
    work.answer("tin_oxide", tin * molar_mass("SnO2"), "g", because="if burnt")
    work.answer(
        "tin_paste_wet",
        Range(low(grams) * wet.low, likely(grams) * wet.likely, high(grams) * wet.high),
        "mL",
        because="as it settles",
    )
    work.say("next", "strip solder with hot hydrochloric before nitric, another time")


def _says(work: Work, metals: Mapping[str, Number]) -> None:
    work.say("watch for", "an induction pause, then foam-over: a tenth to a quarter of the acid at a time")
    work.say("watch for", "chloride (tap water, unrinsed acid) makes this aqua regia: gold dissolves, silver curdles")
    if high(metals["Fe"]) > 0 or high(metals["Ni"]) > 0:
        work.say("watch for", "iron and nickel sit still in strong acid, then go all at once: keep it dilute")
    if high(work.solids.get("Al", 0.0)) > 0:
        work.say("left over", "aluminium: it sits still in nitric and stays with the foils")
    work.say("done when", "no more fume on a fresh portion; a little metal left means no free nitric to kill")
