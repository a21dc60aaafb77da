"""The caustic a fume needs: gas by gas, what passes it, and what the carbon dioxide of the air eats."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.fume_gas import Source, litres
from refinekit.bench.pouring import bottle_of, label_of
from refinekit.bench.work import Work
from refinekit.chemistry.equation import reaction
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely, low
from refinekit.record import record

CAUGHT_BY = {"HCl": "R9.4", "Cl2": "R9.5", "SO2": "R9.6", "CO2": "R9.7", "NOCl": "R9.10"}
"""Gases that caustic catches by themselves, and the reaction of each."""
PER_MILLION = 1e6


@record
class Fume:
    """A fume on its way to a scrubber.

    Args:
        usual: the mix expected, by formula [mol]
        most: by the route that makes most of each, by formula [mol]
        air_co2: carbon dioxide of the air drawn through, part of both [mol]
        peroxide: nitric oxide that peroxide in the liquor can take, which then wants caustic as nitric acid [mol]
    """

    usual: dict[str, Number]
    most: dict[str, Number]
    air_co2: Number
    peroxide: Number

    @property
    def slips(self) -> Number:
        """Nitric oxide without an equal of nitrogen dioxide [mol]."""
        return np.maximum(self.usual.get("NO", 0.0) - self.usual.get("NO2", 0.0), 0.0)

    @property
    def caught(self) -> Number:
        """Nitrogen oxides that caustic takes [mol]."""
        return self.usual.get("NO", 0.0) - self.slips + self.usual.get("NO2", 0.0)


def fume_of(work: Work, told: Mapping[str, Any], found: Sequence[Source]) -> Fume:
    """The fume as it gets there: gases of one kind together, some nitric oxide turned on the way, air drawn along."""
    usual: dict[str, Number] = {}
    most: dict[str, Number] = {}
    for one in found:
        usual[one.formula] = usual.get(one.formula, 0.0) + one.usual
        most[one.formula] = most.get(one.formula, 0.0) + one.most
    turned = told.get("turned", 0.0)
    if high(turned) > 0 and "NO" in usual:
        usual = {**usual, "NO": usual["NO"] * (1 - turned), "NO2": usual.get("NO2", 0.0) + usual["NO"] * turned}
    air = _air(work, told)
    if high(air) > 0:
        usual["CO2"], most["CO2"] = usual.get("CO2", 0.0) + air, most.get("CO2", 0.0) + air
    return Fume(usual, most, air, _peroxide(work, told))


def _peroxide(work: Work, told: Mapping[str, Any]) -> Number:
    """Nitric oxide that the peroxide in the liquor can take [mol]."""
    if "peroxide_volume_l" not in told:
        return 0.0
    bottle = bottle_of(work, "H2O2", told.get("peroxide"), "peroxide")
    takes: Number = told["peroxide_volume_l"] * bottle.mol_per_l / reaction("R9.9").mole_ratio("H2O2", "NO")
    return takes


def _air(work: Work, told: Mapping[str, Any]) -> Number:
    """Carbon dioxide of the air drawn through [mol]."""
    if "air_l_per_min" not in told or "time_s" not in told:
        work.say("watch for", "air eats caustic too, also left open: tell --air and --time for how much")
        return 0.0
    ppm = work.fact("practice/scrub.air.carbon_dioxide").value
    through_l = told["air_l_per_min"] * told["time_s"] / 60
    mol: Number = through_l * ppm / PER_MILLION / molar_volume_l(work.place.temperature_k, work.place.pressure_pa)
    per = reaction(CAUGHT_BY["CO2"]).mole_ratio("NaOH", "CO2")
    because = f"{ppm:g} ppm of carbon dioxide in the air drawn through, two to each"
    work.answer("caustic_eaten_by_air", per * mol * molar_mass("NaOH"), "g", sized_on="high", because=because)
    return mol


def say_need(work: Work, told: Mapping[str, Any], fume: Fume) -> tuple[Range, float, str]:
    """Answer with the caustic needed and what passes it.

    Args:
        work: the step
        told: may hold `caustic_times`, `peroxide`
        fume: the fume
    Returns: caustic needed [g], times it is to be taken, and what that is sized on
    """
    rest, rest_most = _by_themselves(fume.usual), _by_themselves(fume.most)
    helped = np.minimum(fume.slips, fume.peroxide)
    grams = (rest + fume.caught + helped) * molar_mass("NaOH")
    ceiling = (rest_most + np.maximum(fume.caught + helped, fume.most.get("NO2", 0.0))) * molar_mass("NaOH")
    span = Range(low(grams), likely(grams), max(high(ceiling), high(grams)))
    if high(fume.usual.get("NO", 0.0)) > 0:
        _say_slip(work, told, fume)
    times = likely(
        work.default(told.get("caustic_times"), "practice/general.excess.scrubber_total", "caustic, times the bare need")
    )
    sized = "high: all the nitrogen as NO2 where that may be; it must not run short"
    work.answer("naoh", span, "g", sized_on=sized, because="one for each HCl and each NOx caught, two for each Cl2, SO2 and CO2")
    parts = [f"{1000 * likely(fume.caught + helped):.4g} NOx"]
    parts += [f"{1000 * likely(fume.usual[gas]):.4g} {gas}" for gas in CAUGHT_BY if gas in fume.usual]
    work.working(
        "caustic for the scrubber",
        "NOx caught + HCl + 2 Cl2 + 2 SO2 + 2 CO2",
        f"mmol {', '.join(parts)}: {1000 * likely(rest + fume.caught + helped):.4g} mmol x {molar_mass('NaOH'):.5g} g/mol",
        f"{likely(grams):.4g} g",
        "practice/general.excess.scrubber_total",
    )
    return span, times, sized


def _by_themselves(mol: Mapping[str, Number]) -> Number:
    """Caustic for the gases it catches by themselves [mol]."""
    each = {gas: reaction(id).mole_ratio("NaOH", gas) for gas, id in CAUGHT_BY.items() if gas in mol}
    return sum((ratio * mol[gas] for gas, ratio in each.items()), 0.0)


def _say_slip(work: Work, told: Mapping[str, Any], fume: Fume) -> None:
    """Nitric oxide that passes plain caustic, how much of it should turn first, and the peroxide that would catch it."""
    nitric_oxide, slips = fume.usual["NO"], fume.slips
    turn = np.where(np.asarray(nitric_oxide) > 0, slips / 2 / np.maximum(nitric_oxide, 1e-300), 0.0)
    because = "nitric oxide without an equal of NO2 passes caustic"
    work.answer("nitric_oxide_slips", litres(work, Range.over(slips)), "L", sized_on="high", because=because)
    because = "half the surplus over NO2: then both are alike"
    turning = 100 * (turn if np.ndim(turn) else float(turn))
    work.answer("nitric_oxide_to_turn_brown", turning, "%", sized_on="likely", because=because)
    if high(slips) <= 0:
        return
    bottle = bottle_of(work, "H2O2", told.get("peroxide"), "peroxide")
    per = reaction("R9.9").mole_ratio("H2O2", "NO")
    catches = work.fact("practice/scrub.peroxide.catches").range
    because = f"{per:g} to a nitric oxide that slips, {label_of(bottle)}; catches {catches.low:g} to {catches.high:g} of it"
    work.answer("peroxide_for_slip", 1000 * per * slips / bottle.mol_per_l, "mL", sized_on="high", because=because)
