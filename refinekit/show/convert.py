"""Figures shown in troy or United States measure where that is asked for. JSON is metric always; sums are never made here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from refinekit.facts.load import fact, table
from refinekit.ranges import Range
from refinekit.show.rounding import SCALES, measured, range_text
from refinekit.show.text import DASH

UNITS = ("metric", "troy", "us")
PRECIOUS = ("gold", "silver", "platinum", "palladium", "rhodium")
CELSIUS = ("degC", "°C")


@dataclass(frozen=True, slots=True)
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


def is_precious(name: str) -> bool:
    """Whether what is weighed is a precious metal, going by its name."""
    words = name.replace("_", " ").lower().split()
    return "per" not in words and any(metal in words for metal in PRECIOUS)


@cache
def gas_words() -> frozenset[str]:
    """Words that mean a litre is one of gas, which nobody measures in fluid ounces."""
    gases = [row for row in table("species")["species"] if row["phase"] == "gas"]
    names = [word for row in gases for word in (row["formula"], row["name"])]
    return frozenset(word.lower() for word in (*names, "gas", "fume", "air", "chlorine", "headspace"))


def is_gas(name: str) -> bool:
    """Whether what is measured is a gas, going by its name."""
    plain = name.replace("_", " ").lower()
    return any(word in plain.split() or (" " in word and word in plain) for word in gas_words())


def conversion(size: float, unit: str, name: str, units: str) -> Conversion | None:
    """How a figure is converted, None where it stays.

    Args:
        size: the figure, for the choice of the unit [in `unit`]
        unit: its unit [text]
        name: what it is of [text]; precious metals have weights of their own
        units: metric, troy or us
    Source: facts constants (troy ounce, pennyweight, United States gallon)
    """
    base, factor = SCALES.get(unit, ("", 1.0))
    if units == "metric":
        return None
    if base == "g" and is_precious(name):
        ounce_g, pennyweight_g = fact("constants.troy_ounce").value, fact("constants.pennyweight").value
        large = abs(size) * factor >= ounce_g
        return Conversion(factor / ounce_g, 0.0, "oz t") if large else Conversion(factor / pennyweight_g, 0.0, "dwt")
    if units == "us" and base == "mL" and not is_gas(name):
        gallon_ml = fact("constants.us_gallon").value * 1000
        large = abs(size) * factor >= gallon_ml
        return Conversion(factor / gallon_ml, 0.0, "gal") if large else Conversion(factor * 128 / gallon_ml, 0.0, "fl oz")
    if units == "us" and unit in CELSIUS:
        return Conversion(1.8, 32.0, "degF" if unit == "degC" else "°F")
    return None


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
