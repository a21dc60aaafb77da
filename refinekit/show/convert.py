"""Figures shown in troy or United States measure where that is asked for. JSON is metric always; sums are never made here."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from refinekit.ranges import Range
from refinekit.record import record
from refinekit.show.quantity import is_air, is_gas, is_precious
from refinekit.show.rounding import measured, range_text
from refinekit.show.text import DASH

UNITS = ("metric", "troy", "us")
CELSIUS = ("degC", "°C", "C")


ROUNDING = 1e-9
"""Share by which a figure may fall short of a whole unit through the rounding of a computer [-]."""


@record
class Measure:
    """How a kind of figure is told in other units.

    Args:
        kind: the kind, as `refinekit.units` calls it [text]
        sizes: the metric units it is converted from, each as a unit of that kind
        rungs: units from the largest down, each with the least figure told in it [-]
    """

    kind: str
    sizes: tuple[str, ...]
    rungs: tuple[tuple[str, float], ...]


PRECIOUS_MASS = Measure("mass", ("ug", "mg", "g", "kg"), (("oz t", 1.0), ("dwt", 0.1), ("gr", 0.01)))
US = (
    Measure("mass", ("g", "kg"), (("lb", 1.0), ("oz av", 1.0))),
    Measure("volume", ("mL", "L"), (("gal", 1.0), ("fl oz", 0.25))),
    Measure("volume", ("m3",), (("cu ft", 0.0),)),
    Measure("length", ("m",), (("ft", 0.0),)),
    Measure("length", ("cm", "mm"), (("in", 0.0),)),
    Measure("area", ("cm2",), (("sq in", 0.0),)),
    Measure("area", ("m2",), (("sq ft", 0.0),)),
    Measure("flow", ("m3/min", "m3/h"), (("cfm", 0.0),)),
    Measure("flow", ("L/min",), (("cfm", 0.1),)),
    Measure("speed", ("m/s",), (("ft/min", 0.0),)),
)
"""United States measure. What is less than the least figure stays metric, as no cup or scale of that measure shows it; so do
strengths, which are read off a label, and gases, which nobody measures in fluid ounces nor by the minute: only air is in cfm."""


@record
class Conversion:
    """How a figure turns into another unit: times `factor`, plus `offset`.

    Args:
        factor: new units in one old unit [-]
        offset: what is added after that [in the new unit]
        unit: the new unit [text]
    """

    factor: float
    offset: float
    unit: str

    def of(self, value: float) -> float:
        """One figure in the new unit."""
        return value * self.factor + self.offset

    def of_range(self, span: Range) -> Range:
        """A range in the new unit."""
        return Range(self.of(span.low), self.of(span.likely), self.of(span.high))


def conversion(size: float, unit: str, name: str, units: str) -> Conversion | None:
    """How a figure is converted, None where it stays.

    Args:
        size: the figure, for the choice of the unit [in `unit`]
        unit: its unit [text]
        name: what it is of [text]; precious metals have weights of their own, gases stay
        units: metric, troy or us
    Source: exact factors of refinekit.units.kinds
    """
    if units == "metric":
        return None
    if unit in PRECIOUS_MASS.sizes and is_precious(name):
        return _stepped(PRECIOUS_MASS, size, unit)
    if units != "us":
        return None
    if unit in (*CELSIUS, "K"):
        return Conversion(1.8, 0.0 if unit == "K" else 32.0, "degF" if unit == "degC" else "°F")
    found = next((one for one in US if unit in one.sizes), None)
    if found is None or (found.kind == "volume" and unit != "m3" and is_gas(name)) or (unit == "L/min" and not is_air(name)):
        return None
    return _stepped(found, size, unit)


def _stepped(measure: Measure, size: float, unit: str) -> Conversion | None:
    """To the largest unit in which the figure is not too small."""
    for wanted, least in measure.rungs:
        factor = _factor(measure.kind, unit, wanted)
        if abs(size) * factor >= least * (1 - ROUNDING):
            return Conversion(factor, 0.0, wanted)
    return None


@cache
def _factor(kind: str, unit: str, wanted: str) -> float:
    """Wanted units in one unit."""
    from refinekit.units import read

    one, other = (read(f"1 {name}", kind, name=name).range.likely for name in (unit, wanted))
    return one / other


def range_in(
    span: Range, unit: str, name: str, units: str, *, dash: str = DASH, figures: int | None = None, end: str = ""
) -> str:
    """A range as text, in the units asked for; see `range_text`."""
    change = conversion(span.likely or span.high, unit, name, units)
    if change is None:
        return range_text(span, unit, dash=dash, figures=figures, end=end)
    return range_text(change.of_range(span), change.unit, dash=dash, figures=figures, end=end)


def measured_in(value: float, unit: str, name: str, units: str, *, rounding: str) -> str:
    """A figure to weigh or pour as text; one asked for in other units has what the scale and the cylinder read beside it."""
    own = measured(value, unit, rounding=rounding)
    change = conversion(value, unit, name, units)
    if change is None:
        return own.text
    return f"{measured(change.of(value), change.unit, rounding=rounding).text} ({own.text})"


def temperature_in(celsius: float, units: str, figure: Callable[[float], str]) -> str:
    """An air temperature as text."""
    return f"{figure(celsius * 1.8 + 32)} °F" if units == "us" else f"{figure(celsius)} °C"
