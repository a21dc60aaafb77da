"""What a shop can carry: its vessels, days, drum, month, shelf, hood and room, each against what a plan asks of it.

A limit is a figure of a plan, the end of it that is safe to size on, over what there is. Its use is 1 where it just fits.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping

from refinekit.bench.fume_limits import alarm_line, short_limit
from refinekit.bench.place import Place
from refinekit.bench.step import Gas, Step
from refinekit.bench.vessel import standard_sizes_l
from refinekit.errors import raise_all
from refinekit.facts.load import fact
from refinekit.record import record
from refinekit.shop.ask import Told, listen
from refinekit.shop.limit_fields import LIMIT_FIELDS
from refinekit.shop.plan import Heard
from refinekit.shop.shopping import shopping

PPM = 1e6
SECONDS_A_DAY = 86_400
SECONDS_A_MINUTE = 60
FROTHERS = ("CO2", "N2O")
"""Gases of carbonate, oxalic and sulfamic, which froth."""


@record
class Use:
    """How much of one limit a plan takes.

    Args:
        name: what limits, with its step [text]
        asks: what the plan asks, at its safe end [in `unit`]
        has: what there is [in `unit`]
        unit: unit [text]
        because: which end it was sized on, or what was taken as given [text]
    """

    name: str
    asks: float
    has: float
    unit: str
    because: str

    @property
    def share(self) -> float:
        """Part of the limit that is taken [-]; 1 where it just fits."""
        return self.asks / self.has if self.has > 0 else math.inf if self.asks > 0 else 0.0


@record
class Limits:
    """What there is.

    Args:
        vessel_l: largest vessel [L]
        days: longest a bath may run [d]; None for no limit
        drum_l: room left in the drum [L]; None for no limit
        month_kg: hazardous waste the month may still make [kg]; None for no limit
        hood_l_per_min: what the hood draws [L/min]; None where it was not told
        copper_g_per_l: copper a bath is worked up to [g/L]
        assumed: what was taken as given
        untold: limits nobody told, by name
    """

    vessel_l: float
    days: float | None
    drum_l: float | None
    month_kg: float | None
    hood_l_per_min: float | None
    copper_g_per_l: float
    assumed: tuple[str, ...]
    untold: tuple[str, ...]


def limits_of(heard: Heard) -> Limits:
    """Limits as a batch file tells them; the largest vessel sold and the month's line in law stand in. Raises: BadFile."""
    batch = heard.batch
    told = listen(LIMIT_FIELDS, batch.limits, label=lambda key: batch.labels.get(f"limits.{key}", f"limits, {key}"))
    raise_all(told.faults)
    vessel, days, drum = (_low(told, arg) for arg in ("vessel_l", "days_s", "drum_l"))
    assumed, month = [], _low(told, "month_g")
    if vessel is None:
        vessel = standard_sizes_l()[-1]
        assumed.append(f"largest vessel: {vessel:g} L, the largest kind there is")
    if month is None and batch.place.get("law", Place().law) == "us":
        month = 1000 * fact("discharge.quantity.very_small_month").value
        assumed.append(f"hazardous waste a month: {month / 1000:g} kg, the line of a very small generator")
    so_far = told.figures["month_so_far_g"].high if "month_so_far_g" in told.figures else 0.0
    ceilings = [one.figures["ceiling_g_per_l"].low for one in heard.tolds if "ceiling_g_per_l" in one.figures]
    named = {"days": days, "drum": drum, "month": month}
    return Limits(
        vessel,
        None if days is None else days / SECONDS_A_DAY,
        drum,
        None if month is None else max(month - so_far, 0.0) / 1000,
        _low(told, "hood_l_per_min"),
        min(ceilings, default=fact("practice/leach.copper_ceiling").value),
        (*told.assumed, *assumed),
        tuple(name for name, figure in named.items() if figure is None),
    )


def _low(told: Told, arg: str) -> float | None:
    return told.figures[arg].low if arg in told.figures else None


def uses(steps: Iterable[Step], place: Place, limits: Limits, shelf: Mapping[str, Mapping[str, object]]) -> tuple[Use, ...]:
    """What a set of steps takes of every limit, at the safe end of its ranges.

    Args:
        steps: the steps
        place: the shop's air
        limits: what there is
        shelf: texts of each bottle, by reagent key
    """
    steps = tuple(steps)
    found = [use for step in steps for use in (*_vessel(step, limits), *_air(step, place, limits), *_bath(step, limits))]
    return (*found, *_waste(steps, limits), *_shelf(steps, shelf))


def _answer(step: Step, name: str) -> float | None:
    """High end of an answer; None where the step has none of that name."""
    return next((one.range.high for one in step.answers if one.name == name), None)


def _vessel(step: Step, limits: Limits) -> Iterator[Use]:
    """Room for the liquor and its foam, and how fast gas comes up through it."""
    needed = _answer(step, "vessel_needed")
    if needed is None:
        return
    yield Use(f"vessel of {step.name}", needed / 1000, limits.vessel_l, "L", "most liquor, with room for foam")
    size = _answer(step, "vessel")
    surface_cm2 = math.pi / 4 * (4 * (size or needed) / math.pi) ** (2 / 3)  # as wide as it is high
    for gas in step.gases:
        if gas.peak_l_per_min:
            times = fact("practice/general.foam.frothers_count").value if gas.formula in FROTHERS else 1.0
            speed = times * 1000 * gas.peak_l_per_min / SECONDS_A_MINUTE / surface_cm2
            line = fact("practice/general.foam.warn").value
            yield Use(
                f"froth of {step.name}, {gas.formula}", speed, line, "cm/s", "most gas at once, in a vessel as wide as high"
            )


def _air(step: Step, place: Place, limits: Limits) -> Iterator[Use]:
    """Gas in the hood, or in the room."""
    for gas in step.gases:
        line = _line(gas.formula, place.law)
        if line is None or place.outdoors:
            continue
        if place.hood and gas.formula != "H2":
            yield from _past_the_hood(step, gas, line)
        elif place.hood and limits.hood_l_per_min and gas.peak_l_per_min:
            yield Use(
                f"hood of {step.name}, H2", PPM * gas.peak_l_per_min / limits.hood_l_per_min, line, "ppm", "most gas at once"
            )
        elif place.room_m3:
            mixing = place.mixing or fact("practice/general.mixing.k").value
            closed = mixing * 1000 * gas.litres.high / place.room_m3
            yield Use(
                f"room air of {step.name}, {gas.formula}", closed, line, "ppm", "all of it in the closed room, near the pot"
            )


def _line(formula: str, law: str) -> float | None:
    """What the air may hold of a gas: its short limit, of hydrogen a quarter of where it burns [ppm]; None for none."""
    if formula != "H2":
        return short_limit(formula, law)
    alarm = alarm_line(formula, law)
    return alarm[0] if alarm else None


def _past_the_hood(step: Step, gas: Gas, line: float) -> Iterator[Use]:
    """What a hood lets out to who stands before it, by the tracer test."""
    if gas.peak_l_per_min:
        leak = fact("practice/fume.hood.leak")
        flow = fact("practice/fume.hood.leak_at").value
        out = leak.range.high * gas.peak_l_per_min / flow
        yield Use(f"hood of {step.name}, {gas.formula}", out, line, "ppm", "most gas at once, past a poor hood")


def _bath(step: Step, limits: Limits) -> Iterator[Use]:
    """What the bath can hold of copper and nickel."""
    lines = (("copper", limits.copper_g_per_l), ("nickel", fact("practice/leach.nickel_retire").range.low))
    for what, line in lines:
        strength = _answer(step, f"bath_{what}")
        if strength is not None:
            yield Use(f"{what} in the bath of {step.name}", strength, line, "g/L", "most metal, no bleed")


def _waste(steps: tuple[Step, ...], limits: Limits) -> Iterator[Use]:
    """Days of air, the drum and the month."""
    for step in steps:
        days = _answer(step, "days")
        if days is not None and limits.days is not None:
            yield Use(f"days of {step.name}", days, limits.days, "d", "most metal, poorest air")
    drums = [drum for step in steps if (drum := _answer(step, "drum")) is not None]
    if drums and limits.drum_l is not None:
        yield Use("drum", max(drums), limits.drum_l, "L", "most sludge and liquor")
    month = [kg for step in steps if (kg := _answer(step, "cake")) is not None]
    if month and limits.month_kg is not None:
        yield Use("month's waste", max(month), limits.month_kg, "kg", "wettest cake")


def _shelf(steps: tuple[Step, ...], shelf: Mapping[str, Mapping[str, object]]) -> Iterator[Use]:
    """Every bottle of which the shelf tells how much is left."""
    for line in shopping(steps, shelf):
        if line.on_hand is not None:
            unit = "g" if line.kind == "mass" else "L"
            yield Use(f"{line.name} on the shelf", line.wanted, line.on_hand, unit, "as sized in the plan")
