"""Caustic for a scrubber, and what passes it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.fume_gas import Source, litres
from refinekit.bench.step import Reagent
from refinekit.bench.work import Work
from refinekit.chemistry.equation import reaction
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely, low

CAUGHT_BY = {"HCl": "R9.4", "Cl2": "R9.5", "SO2": "R9.6", "CO2": "R9.7", "NOCl": "R9.10"}
"""Gases that caustic catches by themselves, and the reaction of each."""


def scrub(work: Work, told: Mapping[str, Any], found: Sequence[Source]) -> None:
    """Answer with caustic for the gases, how much nitric oxide passes, and how much of it should turn brown first.

    Args:
        work: the step
        told: may hold `caustic_times`
        found: the gases
    Source: reactions R9.2 to R9.10; nitric oxide goes only with an equal of nitrogen dioxide
    """
    usual = {one.formula: one.usual for one in found}
    most = {one.formula: one.most for one in found}
    nitric_oxide, dioxide = usual.get("NO", 0.0), usual.get("NO2", 0.0)
    slips = np.maximum(nitric_oxide - dioxide, 0.0)
    caught = nitric_oxide - slips + dioxide
    rest, rest_most = _by_themselves(usual), _by_themselves(most)
    grams = (rest + caught) * molar_mass("NaOH")
    ceiling = (rest_most + np.maximum(caught, most.get("NO2", 0.0))) * molar_mass("NaOH")
    span = Range(low(grams), likely(grams), max(high(ceiling), high(grams)))
    if high(nitric_oxide) > 0:
        _say_slip(work, nitric_oxide, slips)
    times = likely(
        work.default(told.get("caustic_times"), "practice/general.excess.scrubber_total", "caustic, times the bare need")
    )
    sized = "high: all the nitrogen as NO2 where that may be; it must not run short"
    take = span.high * times
    work.reagent(
        Reagent("caustic pearls", span, take, "g", sized, f"x {times:g}", when="in water, before", key="caustic", rounding="up")
    )
    work.answer("naoh", span, "g", sized_on=sized, because="one for each HCl and each NOx caught, two for each Cl2, SO2 and CO2")
    parts = [f"{1000 * likely(caught):.4g} NOx"] + [f"{1000 * likely(usual[gas]):.4g} {gas}" for gas in CAUGHT_BY if gas in usual]
    work.working(
        "caustic for the scrubber",
        "NOx caught + HCl + 2 Cl2 + 2 SO2 + 2 CO2",
        f"mmol {', '.join(parts)}: {1000 * likely(rest + caught):.4g} mmol x {molar_mass('NaOH'):.5g} g/mol",
        f"{likely(grams):.4g} g",
        "practice/general.excess.scrubber_total",
    )
    work.say(
        "left over", "spent scrubber holds nitrite, hypochlorite or sulfite: never acidify it, never share it between Cl2 and SO2"
    )


def _by_themselves(mol: Mapping[str, Number]) -> Number:
    """Caustic for the gases it catches by themselves [mol]."""
    each = {gas: reaction(id).mole_ratio("NaOH", gas) for gas, id in CAUGHT_BY.items() if gas in mol}
    return sum((ratio * mol[gas] for gas, ratio in each.items()), 0.0)


def _say_slip(work: Work, nitric_oxide: Number, slips: Number) -> None:
    turn = np.where(np.asarray(nitric_oxide) > 0, slips / 2 / np.maximum(nitric_oxide, 1e-300), 0.0)
    work.answer(
        "nitric_oxide_slips",
        litres(work, Range.over(slips)),
        "L",
        sized_on="high",
        because="nitric oxide without an equal of NO2 passes caustic",
    )
    work.answer(
        "nitric_oxide_to_turn_brown",
        100 * (turn if np.ndim(turn) else float(turn)),
        "%",
        sized_on="likely",
        because="half the surplus over NO2: then both are alike",
    )
    work.say("watch for", "nitric oxide turns brown only after it has left the scrubber; peroxide in the liquor catches some")
