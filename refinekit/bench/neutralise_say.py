"""What neutralising answers: the need, what to measure out, portions with their pH, gas and froth, the drum."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from refinekit.bench.foam import foam_at_rate
from refinekit.bench.neutralise_bases import SLOW, bottle_words
from refinekit.bench.neutralise_do import Part, Stage
from refinekit.bench.neutralise_need import Want, acid_in, alkali_of, ph_after, total
from refinekit.bench.sludge_parts import say_room
from refinekit.bench.step import Reagent
from refinekit.bench.vessel import stand
from refinekit.bench.work import Work
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely, low, times_bare

NOT_SHORT = "high: must not run short half way"
BASIC = "R10.19"
"""Copper falling as basic chloride."""


def say_need(work: Work, stages: tuple[Stage, ...], plain: tuple[Want, ...], target: float, judged: Any) -> None:
    """Answer with acid and alkali, by what takes it, and the safe figure beside what will really be used.

    Args:
        work: the step
        stages: what was done
        plain: what takes alkali by the plain rule
        target: pH it ends at [-]
        judged: what the balances said of the last stretch; None by the plain rule
    """
    work.answer("free_acid", acid_in(plain), "mol", sized_on="high", because="acid that is neutralised")
    rows = [
        (want.taker.word, Range.over(want.mol), _each(want), Range.over(want.alkali_mol))
        for stage in stages
        for want in stage.some
    ]
    work.table("what takes the alkali", ("what", "mol", "alkali mol/mol", "alkali mol"), rows)
    whole: Number = sum((stage.alkali_mol for stage in stages), 0.0)
    if judged is None:
        work.answer("alkali", whole, "mol", sized_on=NOT_SHORT, because="acid and the charge of each metal")
        _say_expected(work, plain, whole, target)
    else:
        _say_balanced_need(work, stages, whole, total(plain), judged)
    _work_out(work, stages, whole)


def _each(want: Want) -> float:
    """Alkali to a mole of it, likely case [mol]."""
    return likely(want.alkali_mol) / max(likely(want.mol), 1e-300)


def _say_balanced_need(work: Work, stages: tuple[Stage, ...], whole: Number, safe: Number, judged: Any) -> None:
    span = _leaning(whole, stages)
    if len(stages) == 1:
        span = Range(min(span.low, judged.alkali_mol.low), span.likely, max(span.high, judged.alkali_mol.high), span.cases)
    spare = 100 * (safe / np.maximum(whole, 1e-300) - 1)
    work.answer("alkali", span, "mol", sized_on=NOT_SHORT, because="by balances to the pH, every set of constants")
    work.answer("alkali_safe", safe, "mol", sized_on="high", because="the plain rule: acid, and each metal's charge")
    work.answer("alkali_to_spare", spare, "%", because="the plain rule over what the balances ask for")
    _say_spare(work, likely(spare))


def _leaning(whole: Number, stages: tuple[Stage, ...]) -> Range:
    """The alkali with its spread over the constants."""
    least = min((stage.lean[0] for stage in stages), default=1.0)
    most = max((stage.lean[1] for stage in stages), default=1.0)
    return Range(low(whole) * least, likely(whole), high(whole) * most, Range.over(whole).cases)


def _say_expected(work: Work, plain: tuple[Want, ...], whole: Number, target: float) -> None:
    """By the plain rule, what copper from chloride will really take."""
    copper = next((want for want in plain if want.taker.species == "Cu^2+"), None)
    to_ph = work.fact("practice/neutralise.basic_copper_to").value
    if copper is None or target > to_ph or not _from_chloride(work):
        return
    less = whole - (copper.taker.alkali - alkali_of(BASIC) / 2) * copper.mol
    work.answer("alkali_expected", less, "mol", because="copper from chloride falls as basic chloride, 1.5 alkali to a copper")
    spare = 100 * (whole / np.maximum(less, 1e-300) - 1)
    work.answer("alkali_to_spare", spare, "%", because="two to a copper is the safe figure, and so much more than will be used")
    _say_spare(work, likely(spare))


def _from_chloride(work: Work) -> bool:
    return high(work.dissolved.get("Cl^-", 0.0)) > 0


def _say_spare(work: Work, percent: float) -> None:
    if percent >= 1:
        work.say(
            "watch for",
            f"two alkali to a copper is the safe figure, {percent:.0f} % more than will be used: go by the pH and stop",
        )
    elif percent <= -1:
        work.say(
            "watch for",
            f"the plain rule falls {-percent:.0f} % short here: the pH is held back by what stays dissolved, as bicarbonate does",
        )


def _work_out(work: Work, stages: tuple[Stage, ...], whole: Number) -> None:
    terms = [f"{likely(want.alkali_mol):.4g} {want.taker.word}" for stage in stages for want in stage.some]
    over = sum((likely(stage.over_mol) for stage in stages), 0.0)
    if abs(over) > 1e-4 * likely(whole):
        terms.append(f"{over:.4g} still dissolved")
    reactions = dict.fromkeys(
        f"reactions.{equation}" if isinstance(equation, str) else str(equation)
        for stage in stages
        for want in stage.some
        for equation, _ in want.runs
    )
    work.working(
        "alkali",
        "; ".join(reactions),
        " + ".join(terms) + " mol",
        f"{likely(whole):.4g} mol",
    )


def say_pours(work: Work, stages: tuple[Stage, ...], safe_mol: Number) -> None:
    """Give every alkali to measure out: first nine tenths of the least, then by the pH; at most the safe figure.

    Args:
        work: the step
        stages: what was done
        safe_mol: alkali by the plain rule [mol]
    """
    first = work.fact("practice/neutralise.first").value
    used = sum((high(stage.alkali_mol) for stage in stages[:-1]), 0.0)
    prefix = ""
    for stage in stages:
        for part in stage.parts:
            safe = part.share * np.maximum(safe_mol - used, 0.0) if stage is stages[-1] else part.alkali_mol
            _say_pour(work, stage, part, high(safe), first, prefix)
            prefix = "second_"


def _say_pour(work: Work, stage: Stage, part: Part, safe_mol: float, first: float, prefix: str) -> None:
    base, liquor = part.base, part.base.bottle is not None
    measured = base.measured(part.alkali_mol)
    span = Range(low(measured) * stage.lean[0], likely(measured), high(measured) * stage.lean[1], Range.over(measured).cases)
    key = base.key.replace("-", "_")
    words = bottle_words(base)
    why = f"{words}, by the bottle" if liquor else "pure"
    work.answer(f"{prefix}{key}", span, base.unit, sized_on=NOT_SHORT, because=why)
    if liquor:
        work.answer(f"{prefix}{key}_pure", base.grams(part.alkali_mol), "g", because=f"{base.solute} in it")
    to_ph = f"to pH {stage.to_ph:.3g}"
    good = Range.point(1.0) if liquor else base.goodness
    most = max(span.high, likely(base.measured(safe_mol))) / good.low
    when = ", ".join(filter(None, ("" if stage.when == "to the pH" else stage.when, to_ph)))
    start = Reagent(
        base.name,
        span,
        first * span.low / good.high,
        base.unit,
        "low: the rest by the pH",
        excess=times_bare(first),
        bottle=words,
        when=f"{when}, in portions",
        key=base.key,
        rounding="down",
        counts=False,
    )
    work.reagent(start)
    work.reagent(
        replace(
            start,
            to_take=most,
            sized_on=NOT_SHORT,
            excess="the safe figure, stop at the pH",
            when=f"{when}, in all, at most",
            rounding="up",
            counts=True,
            to_sign=True,
        )
    )
    divided = (
        f"/ {likely(base.bottle.mol_per_l):.4g} mol/L" if base.bottle is not None else f"x {molar_mass(base.solute):.5g} g/mol"
    )
    work.working(
        f"{base.name}, {to_ph}",
        "alkali / alkali of a mole / mol/L" if liquor else "alkali / alkali of a mole x g/mol",
        f"{likely(part.alkali_mol):.4g} mol / {base.alkali:g} {divided}",
        f"{likely(measured):.4g} {base.unit}",
    )


def say_portions(work: Work, stages: tuple[Stage, ...]) -> None:
    """A table of portions, as they are weighed or poured, with the pH to expect after each, likely case."""
    rows: list[tuple[str | float | Range, ...]] = []
    for stage in stages:
        count = len(stage.phs) or int(work.fact("practice/neutralise.portions").value)
        whole = likely(stage.alkali_mol)
        for number in range(1, count + 1):
            alkali = whole * number / count
            plain = ph_after(stage.some, alkali * (1 - 1e-12), likely(stage.before_l), stage.to_ph, likely)
            ph = stage.phs[number - 1] if stage.phs else plain
            for part in stage.parts:
                good = part.base.goodness.likely if part.base.bottle is None else None
                gone = likely(part.base.measured(part.alkali_mol, good)) * number / count
                rows.append((f"{number} {part.base.name}", gone, part.base.unit, alkali, ph))
    work.table("portions", ("portion", "gone in", "unit", "alkali mol", "pH to expect"), rows)


def say_gas(work: Work, stages: tuple[Stage, ...], judged: tuple[Any, ...], told: Mapping[str, Any]) -> None:
    """Carbon dioxide, froth and the vessel; the work holds what went in already."""
    litre = molar_volume_l(work.place.temperature_k, work.place.pressure_pa)
    parts = [part for stage in stages for part in stage.parts]
    most: Number = sum((part.alkali_mol / part.base.alkali * part.base.carbonate for part in parts), 0.0)
    acid: Number = sum((part.acid_mol / part.base.alkali * part.base.carbonate for part in parts), 0.0)
    usual = "carbonate_minutes" if high(most) > 0 else "alkali_minutes"
    span = work.fact(f"practice/neutralise.{usual}").range
    work.minutes = Range.over(told["minutes_s"] / 60) if "minutes_s" in told else span
    gone = likely(work.gases_mol.get("CO2", 0.0)) if judged else likely(most)
    made = Range(min(low(acid), gone), gone, max(high(most), gone))
    why = "all the carbonate gives up its gas; less where metals keep some as carbonate"
    work.answer("co2", made * likely(litre), "L", sized_on="high: metals falling as hydroxide", because=why)
    liquor, froths = work.volume_l, high(most) > 0
    if froths:
        work.gas("CO2", made, minutes=work.minutes.low, sized_on="metals fall as hydroxide, not as carbonate")
        _say_froth(work, liquor, made, likely(litre))
        _say_aired(work, judged)
    if high(liquor) > 0:
        vessel = stand(work, liquor, "fine" if froths else "bars", how="on a tray, half full")
        if froths:
            own = low(told["vessel_l"]) if "vessel_l" in told else vessel
            rate = made.high * likely(litre) / work.minutes.low
            foam_at_rate(work, rate, own, f"carbonate gives up to {rate:.3g} L of gas a minute", frothing=True)
        if "vessel_l" in told:
            head = told["vessel_l"] - liquor
            work.answer("headspace", head, "L", sized_on="low: most liquor", because="vessel less liquor and what goes in")
            if froths and low(head) < high(liquor):
                work.say("watch for", "less room than liquor over it: froth runs over; a half-full bucket, or do it in parts")


def _say_froth(work: Work, liquor: Number, made: Range, litre: float) -> None:
    froth = work.fact("practice/neutralise.froth").range
    span = Range(low(liquor) * froth.low, likely(liquor) * froth.likely, high(liquor) * froth.high)
    work.answer(
        "froth", span, "L", sized_on="high", because=f"room froth takes: {froth.low:g} to {froth.high:g} times the liquor"
    )
    work.working(
        "carbon dioxide",
        "mol x R T / P",
        f"{made.likely:.4g} mol x {litre:.5g} L/mol",
        f"{made.likely * litre:.4g} L",
        "constants.gas_constant",
    )


def _say_aired(work: Work, judged: tuple[Any, ...]) -> None:
    """How much less a pot takes that is stirred till the gas is out."""
    if judged and judged[-1].aired_share < 1:
        less = 100 * (1 - judged[-1].aired_share)
        work.answer("less_if_aired", less, "%", because="stirred or blown till the gas is out, against a still pot")
        work.say("watch for", f"in a still pot the gas holds the pH down: stirred or blown out it takes up to {less:.0f} % less")


def say_drum(work: Work, told: Mapping[str, Any]) -> None:
    """Litres and kilograms for the drum, before the sludge is let settle."""
    density = told.get("drum_density_g_per_ml")
    span = Range.over(density) if density is not None else work.fact("practice/neutralise.drum_density").range
    if density is None:
        work.assume(f"weight of a litre for the drum: {span.low:g}/{span.likely:g}/{span.high:g} kg/L")
    volume = work.volume_l
    work.answer("drum", volume, "L", sized_on="high", because="liquor and what was poured in, sludge and all")
    weight = Range(low(volume) * span.low, likely(volume) * span.likely, high(volume) * span.high)
    work.answer("drum_weight", weight, "kg", sized_on="high", because="litres x kg/L")
    say_room(work, Range.over(volume), told, "a second drum, or let it settle and drain the clear liquor off before it goes in")


def say_how(work: Work, stages: tuple[Stage, ...], target: float) -> None:
    """How it is done, when it is done, what next."""
    keys = {part.base.key for stage in stages for part in stage.parts}
    if keys & set(SLOW):
        wait = work.fact("practice/neutralise.seems_done").value
        why = "it goes on dissolving" if keys & {"lime", "magnesium-hydroxide"} else "gas still in it goes on leaving"
        again = f"read the pH again after {wait:g} min, stirred, before you believe it"
        work.say("watch for", f"it seems done before it is: {why}; {again}")
    if "caustic" in keys:
        work.say("watch for", "pearls spit in strong acid: dissolve them in cold water first, pearls into water, and let it cool")
    work.say("done when", f"pH {target:.3g} holds for half an hour; stop there, more brings zinc, aluminium and lead back")
    work.say("gear", "goggles, gloves, apron; outdoors or hood; stir all the time")
    work.say("next", "let it settle, drain the sludge (sludge tells the drum), hold the clear liquor against your permit first")
