"""How hot neutralising gets, and what keeps it under the line: ice, water, or time."""

from __future__ import annotations

import math

import numpy as np

from refinekit.bench.heat_portions import Heating
from refinekit.bench.heat_say import say_pouring, say_warming
from refinekit.bench.neutralise_do import Stage
from refinekit.bench.neutralise_heat import heat_of, heat_of_falling
from refinekit.bench.neutralise_need import Want
from refinekit.bench.work import Work
from refinekit.chemistry.equation import Equation
from refinekit.chemistry.heat import rise_k
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, high, likely, low


def say_heat(work: Work, stages: tuple[Stage, ...], *, curve: bool = True) -> None:
    """Answer with heat, rise and temperature, and with what cools it where it would pass the line; the alkali is in already."""
    parts = [part for stage in stages for part in stage.parts]
    acid: Number = sum((part.acid_mol * part.base.acid_heat() for part in parts), 0.0)
    own: Number = sum((part.alkali_mol * part.base.own_heat() for part in parts), 0.0)
    metals = _metal_heat(work, stages)
    heat = acid + own + metals
    work.heat_kj = heat
    work.answer("heat", heat, "kJ", sized_on="high", because="acid, metals falling, and the alkali's own dissolving or thinning")
    work.answer("heat_acid", acid, "kJ", because="acid alone, with alkali already dissolved, or dry lime or carbonate as it is")
    work.answer("heat_own", own, "kJ", because="pearls dissolving on all that goes in, or strong liquor thinned")
    work.answer("heat_metals", metals, "kJ", because="metals falling, from formation enthalpies")
    volume = work.volume_l
    if low(volume) <= 0:
        return
    capacity = work.fact("enthalpy.liquor_heat_capacity").value
    rise = rise_k(heat, volume)
    work.answer("rise", rise, "K", sized_on="high: none lost", because="heat over litres x heat capacity, all at once")
    work.answer("rise_acid", rise_k(acid, volume), "K", because="of the acid alone")
    start = work.temperature_k - fact("constants.zero_celsius").value
    work.answer("temperature", Range.over(start + rise), "C", sized_on="high: none lost", because="start and rise")
    work.working(
        "heat",
        "acid x kJ/mol + alkali x kJ/mol of dissolving + metals x kJ/mol; / (litres x kJ/(L K))",
        f"{likely(acid):.4g} + {likely(own):.4g} + {likely(metals):.4g} kJ; / ({likely(volume):.4g} L x {capacity:g})",
        f"{likely(heat):.4g} kJ, {likely(rise):.3g} K",
        "enthalpy.liquor_heat_capacity",
    )
    _say_cooling(work, heat, volume, start, capacity)
    heating = Heating("alkali", "t90.alkali", Range.over(np.maximum(rise, 0.0)), volume, volume, work.temperature_k)
    say_warming(work, heating, curve=curve)
    say_pouring(work, heating)


def _metal_heat(work: Work, stages: tuple[Stage, ...]) -> Number:
    heat: Number = 0.0
    for stage in stages:
        for want in stage.some:
            if want.taker.species != "H^+":
                heat = heat + sum((_each(work, want, equation) * runs for equation, runs in want.runs), 0.0)
        heat = heat + sum(((part.alkali_mol - part.acid_mol) * part.base.metal_heat() for part in stage.parts), 0.0)
        heat = heat + stage.carbonate_mol * (heat_of("R10.54") or 0.0) + stage.bicarbonate_mol * (heat_of("R10.55") or 0.0)
    return heat


def _each(work: Work, want: Want, equation: str | Equation) -> float:
    """Heat of one run of a reaction from dissolved alkali [kJ]; nothing, and said, where it is not known."""
    found = heat_of_falling(equation)
    if found is None:
        work.assume(f"heat of {want.taker.word} falling: none is known, taken as nothing")
    return found or 0.0


def _say_cooling(work: Work, heat: Number, volume: Number, start: float, capacity: float) -> None:
    pause = work.fact("practice/neutralise.pause").value
    warm = work.fact("practice/neutralise.warm").value
    end = start + high(rise_k(heat, volume))
    if end <= pause:
        if end - start > warm:
            work.say("watch for", f"it warms by up to {end - start:.0f} K: slowly, or with ice")
        return
    room = pause - start
    spare = heat - capacity * volume * room
    ice = spare / (work.fact("practice/neutralise.ice_melts").value + capacity * pause)
    water = heat / (capacity * max(room, 1.0)) - volume
    work.answer("ice", Range.over(_floor(ice)), "kg", sized_on="high", because=f"keeps it at {pause:g} C, all at once")
    work.answer(
        "dilution_water",
        Range.over(_floor(water)),
        "L",
        sized_on="high",
        because=f"cold water beforehand that keeps it at {pause:g} C",
    )
    parts = math.ceil((end - start) / max(room, 1.0))
    work.answer("coolings", float(parts), "", sized_on="high", because="parts, each after the last has cooled")
    work.say(
        "watch for",
        f"all at once it would reach {end:.0f} C: pause at {pause:g} C; {high(ice):.3g} kg of ice, or {high(water):.3g} L of"
        f" cold water beforehand, or {parts} parts with cooling between",
    )


def _floor(figure: Number) -> Number:
    kept: Number = np.maximum(figure, 0.0)
    return kept
