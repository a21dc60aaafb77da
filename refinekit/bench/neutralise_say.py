"""What neutralising answers: the need, what to measure out, portions with their pH, gas and froth, the drum."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.neutralise_bases import SLOW, bottle_words
from refinekit.bench.neutralise_do import Stage
from refinekit.bench.neutralise_need import BASIC_ALKALI, Want, ph_after, total
from refinekit.bench.step import Reagent
from refinekit.bench.vessel import stand
from refinekit.bench.work import Work
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely, low


def say_need(work: Work, some: tuple[Want, ...], target: float) -> None:
    """Answer with acid and alkali, by what takes it, and with what copper from chloride will really take."""
    whole = total(some)
    acid = next((want.mol for want in some if want.taker.species == "H^+"), 0.0)
    work.answer("free_acid", acid, "mol", sized_on="high", because="acid that is neutralised")
    rows = [(want.taker.word, Range.over(want.mol), want.taker.alkali, Range.over(want.alkali_mol)) for want in some]
    work.table("what takes the alkali", ("what", "mol", "alkali mol/mol", "alkali mol"), rows)
    work.answer("alkali", whole, "mol", sized_on="high: must not run short half way", because="acid and the charge of each metal")
    copper = next((want for want in some if want.taker.species == "Cu^2+"), None)
    chloride = high(work.dissolved.get("Cl^-", 0.0)) > 0
    if copper is not None and chloride and target <= work.fact("practice/neutralise.basic_copper_to").value:
        less = whole - (copper.taker.alkali - BASIC_ALKALI) * copper.mol
        work.answer(
            "alkali_expected", less, "mol", because="copper from chloride falls as basic chloride, 1.5 alkali to a copper"
        )
        spare = 100 * (whole / np.maximum(less, 1e-300) - 1)
        work.answer(
            "alkali_to_spare", spare, "%", because="two to a copper is the safe figure, and so much more than will be used"
        )
        work.say(
            "watch for", f"two alkali to a copper is the safe figure: expect to stop about {likely(spare):.0f} % short of it"
        )
    work.working(
        "alkali",
        "sum of mol x alkali each",
        " + ".join(f"{likely(want.mol):.4g} {want.taker.word} x {want.taker.alkali:g}" for want in some),
        f"{likely(whole):.4g} mol",
        *dict.fromkeys(f"reactions.{want.taker.reaction}" for want in some),
    )


def say_pours(work: Work, stages: tuple[Stage, ...], told: Mapping[str, Any]) -> None:
    """Give every alkali to measure out: first nine tenths of the least, then by the pH."""
    first = work.fact("practice/neutralise.first").value
    for number, stage in enumerate(stages):
        base, prefix = stage.base, "" if number == 0 else "second_"
        measured = base.measured(stage.alkali_mol)
        goodness = base.goodness.low
        key = base.key.replace("-", "_")
        work.answer(
            f"{prefix}{key}",
            measured,
            base.unit,
            sized_on="high: must not run short half way",
            because="pure" if base.bottle is None else bottle_words(base),
        )
        if base.bottle is not None:
            work.answer(f"{prefix}{key}_pure", base.grams(stage.alkali_mol), "g", because=f"{base.solute} in it")
        take = high(measured) / (goodness if base.bottle is None else 1.0)
        start = first * low(measured) / (base.goodness.high if base.bottle is None else 1.0)
        work.reagent(
            Reagent(
                base.name,
                Range.over(measured),
                start,
                base.unit,
                "low: the rest by the pH",
                excess=f"x {first:g}",
                bottle=bottle_words(base),
                when=f"{stage.when}: in portions",
                key=base.key,
                rounding="down",
                counts=False,
            )
        )
        work.reagent(
            Reagent(
                base.name,
                Range.over(measured),
                take,
                base.unit,
                "high: must not run short half way",
                excess="x 1, stop at the pH",
                bottle=bottle_words(base),
                when="in all, at most",
                key=base.key,
                rounding="up",
            )
        )
        divided = f"{molar_mass(base.solute):.5g} g/mol" if base.bottle is None else f"{likely(base.bottle.mol_per_l):.4g} mol/L"
        times = "x" if base.bottle is None else "/"
        work.working(
            f"{base.name}, {stage.when}",
            "alkali / alkali of a mole x g/mol" if base.bottle is None else "alkali / mol/L",
            f"{likely(stage.alkali_mol):.4g} mol / {base.alkali:g} {times} {divided}",
            f"{likely(measured):.4g} {base.unit}",
        )


def say_portions(work: Work, some: tuple[Want, ...], stages: tuple[Stage, ...], target: float, told: Mapping[str, Any]) -> None:
    """A table of portions with the pH to expect after each, likely case, by the plain rule."""
    count = int(likely(work.default(told.get("portions"), "practice/neutralise.portions", "portions the alkali goes in by")))
    whole = likely(total(some))
    rows = []
    for number in range(1, count + 1):
        alkali = whole * number / count
        stage, inside = stages[0], alkali
        if len(stages) > 1 and stages[1].when.startswith("then"):
            stage, inside = (
                (stages[0], alkali)
                if alkali <= likely(stages[0].alkali_mol) * (1 + 1e-9)
                else (stages[1], alkali - likely(stages[0].alkali_mol))
            )
        elif len(stages) > 1:
            inside = alkali * likely(stages[0].alkali_mol) / whole
        ph = ph_after(some, alkali * (1 - 1e-12), likely(work.volume_l), target, likely)
        rows.append((f"{number} {stage.base.name}", likely(stage.base.measured(inside)), stage.base.unit, alkali, ph))
    work.table("portions", ("portion", "gone in", "unit", "alkali mol", "pH to expect"), rows)


def say_gas(work: Work, stages: tuple[Stage, ...], some: tuple[Want, ...], told: Mapping[str, Any]) -> None:
    """Carbon dioxide, froth and the vessel."""
    litre = molar_volume_l(work.place.temperature_k, work.place.pressure_pa)
    most: Number = sum((stage.alkali_mol / stage.base.alkali * stage.base.carbonate for stage in stages), 0.0)
    least: Number = sum((stage.acid_mol / stage.base.alkali * stage.base.carbonate for stage in stages), 0.0)
    usual = "carbonate_minutes" if high(most) > 0 else "alkali_minutes"
    span = work.fact(f"practice/neutralise.{usual}").range
    work.minutes = Range.over(told["minutes_s"] / 60) if "minutes_s" in told else span
    work.answer(
        "co2", most * litre, "L", sized_on="high: metals falling as hydroxide", because="all the carbonate gives up its gas"
    )
    added: Number = sum((stage.base.litres(stage.alkali_mol) for stage in stages), 0.0)
    liquor = work.volume_l + added
    froths = high(most) > 0
    if froths:
        work.gas(
            "CO2",
            Range(low(least), likely(most), high(most)),
            minutes=work.minutes.low,
            sized_on="metals fall as hydroxide, not as carbonate",
        )
        froth = work.fact("practice/neutralise.froth").range
        work.answer(
            "froth",
            Range(low(liquor) * froth.low, likely(liquor) * froth.likely, high(liquor) * froth.high),
            "L",
            sized_on="high",
            because="room froth takes: 2 to 10 times the liquor",
        )
        work.working(
            "carbon dioxide",
            "alkali / alkali of a mole x gas of a mole x L/mol",
            f"{likely(most):.4g} mol x {likely(litre):.5g} L/mol",
            f"{likely(most * litre):.4g} L",
            "constants.gas_constant",
        )
    if high(liquor) > 0:
        stand(work, liquor, "fine" if froths else "bars", how="on a tray, half full")
        if "vessel_l" in told:
            head = told["vessel_l"] - liquor
            work.answer("headspace", head, "L", sized_on="low: most liquor", because="vessel less liquor and what goes in")
            if froths and low(head) < high(liquor):
                work.say("watch for", "less room than liquor over it: froth runs over; a half-full bucket, or do it in parts")


def say_drum(work: Work, told: Mapping[str, Any]) -> None:
    """Litres and kilograms for the drum, before the sludge is let settle."""
    density = told.get("drum_density_g_per_ml")
    span = Range.over(density) if density is not None else work.fact("practice/neutralise.drum_density").range
    if density is None:
        work.assume(f"weight of a litre for the drum: {span.low:g}/{span.likely:g}/{span.high:g} kg/L")
    volume = work.volume_l
    work.answer("drum", volume, "L", sized_on="high", because="liquor and what was poured in, sludge and all")
    work.answer(
        "drum_weight",
        Range(low(volume) * span.low, likely(volume) * span.likely, high(volume) * span.high),
        "kg",
        sized_on="high",
        because="litres x kg/L",
    )


def say_how(work: Work, stages: tuple[Stage, ...], target: float, told: Mapping[str, Any]) -> None:
    """How it is done, when it is done, what next."""
    keys = {stage.base.key for stage in stages}
    if keys & set(SLOW):
        wait = work.fact("practice/neutralise.seems_done").value
        why = "it goes on dissolving" if keys & {"lime", "magnesium-hydroxide"} else "gas still in it goes on leaving"
        work.say(
            "watch for",
            f"it seems done before it is: {why}; read the pH again after {wait:g} min, stirred, before you believe it",
        )
    if "caustic" in keys:
        work.say(
            "watch for", "pearls spit in strong acid: dissolve them in cold water first, pearls into water, and let that cool"
        )
    work.say("done when", f"pH {target:g} holds for half an hour; stop there, more brings zinc, aluminium and lead back")
    work.say("gear", "goggles, gloves, apron; outdoors or hood; stir all the time")
    work.say(
        "next",
        "let it settle, drain the sludge (sludge tells the drum), hold the clear liquor against your permit first",
    )
