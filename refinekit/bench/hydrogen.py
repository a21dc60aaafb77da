"""Hydrogen of metal in acid: how fast, the air that keeps it thin, and how soon a lidded pot could burn."""

from __future__ import annotations

import numpy as np

from refinekit.bench.foam import burst_l_per_min, foam_at_rate, half_full_l
from refinekit.bench.fume_air import LITRES_PER_M3, minutes_to_ppm
from refinekit.bench.fume_limits import PPM_PER_PERCENT
from refinekit.bench.work import ROUNDING_MOL, Work
from refinekit.chemistry.gas import molar_volume_l
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, likely, low

ARSINE = (
    "arsenic or antimony in it (old brass, solder, lead alloys, type metal) comes off with the hydrogen as arsine or stibine:"
    " stop, no zinc, iron or aluminium; half a part per million harms, hours later"
)
"""What is said wherever metal makes hydrogen. Source: NIOSH Current Intelligence Bulletin 32."""


def say_thinning(work: Work, rate_l_per_min: Range, headspace_l: Number | None, *, lid: str = "") -> None:
    """Answer with the air at the pot that keeps hydrogen under a quarter of where it burns, and the minutes a headspace takes.

    Args:
        work: the step
        rate_l_per_min: hydrogen [L/min]
        headspace_l: closed space over the liquor [L]; None where there is none
        lid: what closes it, where that was not told [text]
    Source: flammable limit and alarm, facts/exposure.toml
    """
    burns = work.fact("exposure.H2.lel").value
    quarter = burns * work.fact("exposure.reading.hydrogen_alarm_share").value
    air = rate_l_per_min * (100 / quarter)
    work.answer(
        "hydrogen_air",
        air,
        "L/min",
        sized_on="high: all the metal to hydrogen",
        because=f"keeps it under {quarter:g} % at the pot",
    )
    work.working(
        "air for hydrogen",
        f"gas / {quarter:g} %",
        f"{rate_l_per_min.high:.4g} L/min x {100 / quarter:g}",
        f"{air.high:.4g} L/min",
    )
    if headspace_l is None:
        return
    space = low(headspace_l) / LITRES_PER_M3
    for percent, name in ((quarter, "alarm"), (burns, "burns")):
        minutes = float(minutes_to_ppm(percent * PPM_PER_PERCENT, rate_l_per_min.high, space, work.place.fan_m3_per_min))
        if np.isfinite(minutes):
            why = f"until {low(headspace_l):.4g} L of headspace{lid} hold {percent:g} %"
            work.answer(f"hydrogen_minutes_to_{name}", minutes, "min", sized_on="low: most gas, least space", because=why)
    work.say("watch for", f"a lid traps hydrogen: it burns from {burns:g} % and needs no more than a switch")


def say_rate(work: Work, mol: Range, liquor_l: Number, minutes: float | None = None, *, foams: bool = True) -> None:
    """Answer with the rate of a step's hydrogen, the air for it, and the minutes to what burns under a lid over a half-full pot.

    Args:
        work: the step
        mol: hydrogen [mol]
        liquor_l: liquor it comes from [L]
        minutes: the shortest time it comes over [min]; None for the time metal in acid usually takes
        foams: whether its foam is told here, in a half-full vessel
    Source: rate of a burst: V ln10 / t90; facts/practice/heat.toml
    """
    if mol.high <= ROUNDING_MOL:
        return
    litres = mol * likely(molar_volume_l(work.place.temperature_k, work.place.pressure_pa))
    if minutes is None:
        usual = work.fact("practice/heat.t90.metal_in_acid").range
        ten = float(np.log(10))
        rate = Range(litres.low * ten / usual.high, litres.likely * ten / usual.likely, litres.high * ten / usual.low)
        because = f"at first: nine tenths in {usual.low:g} to {usual.high:g} min"
    else:
        rate, because = litres * (1 / minutes), f"evenly over {minutes:.3g} min"
    work.answer("hydrogen_rate", rate, "L/min", sized_on="high: all of it, quickly", because=because)
    fill = fact("practice/general.vessel.fill").value
    space = low(liquor_l) * (1 - fill) / fill
    say_thinning(work, rate, space if space > 0 else None, lid=" under a lid")
    if foams and space > 0:
        most = litres.high / minutes if minutes else burst_l_per_min(litres.high, "practice/heat.t90.metal_in_acid")
        foam_at_rate(work, most, half_full_l(liquor_l), f"hydrogen comes at up to {most:.2g} L/min")
    work.say("watch for", ARSINE)
