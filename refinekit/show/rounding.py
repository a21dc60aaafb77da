"""Figures as a person can weigh, pour and read them: never more than three figures, never a something shown as nothing."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal

from refinekit.facts.load import fact
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.show.text import DASH

SCALES = {
    "ug": ("g", 1e-6),
    "mg": ("g", 1e-3),
    "g": ("g", 1.0),
    "kg": ("g", 1e3),
    "nL": ("mL", 1e-6),
    "uL": ("mL", 1e-3),
    "mL": ("mL", 1.0),
    "L": ("mL", 1e3),
    "umol": ("mol", 1e-6),
    "mmol": ("mol", 1e-3),
    "mol": ("mol", 1.0),
    "umol/min": ("mol/min", 1e-6),
    "mmol/min": ("mol/min", 1e-3),
    "mol/min": ("mol/min", 1.0),
    "umol/d": ("mol/d", 1e-6),
    "mmol/d": ("mol/d", 1e-3),
    "mol/d": ("mol/d", 1.0),
}
"""Units that turn into a smaller or larger one with the figure, each with its base unit."""

LADDERS = {
    "g": ("ug", "mg", "g", "kg"),
    "mL": ("nL", "uL", "mL", "L"),
    "mol": ("umol", "mmol", "mol"),
    "mol/min": ("umol/min", "mmol/min", "mol/min"),
    "mol/d": ("umol/d", "mmol/d", "mol/d"),
}
"""Units of a kind from the smallest up, a thousand apart."""

WAYS = {"up": ROUND_CEILING, "down": ROUND_FLOOR, "nearest": ROUND_HALF_UP}


@record
class Measured:
    """A figure as it is to be weighed or poured.

    Args:
        value: the rounded figure [in `unit`]
        unit: unit it is read in [text]
        text: figure and unit [text]
    """

    value: float
    unit: str
    text: str


def most_figures() -> int:
    """Figures shown of a number unless more are asked for [-]."""
    return int(fact("practice/show.most_figures").value)


def figure(value: float, figures: int | None = None) -> str:
    """A number in so many significant figures, written out; very large and very small ones with a power of ten.

    >>> figure(2.10449, 3), figure(234567.0, 3), figure(0.0, 3), figure(1.2e-9, 3)
    ('2.1', '235000', '0', '1.2e-9')
    """
    most = figures or most_figures()
    if value == 0:
        return "0"
    decimal = Decimal(repr(float(value)))
    rounded = decimal.quantize(Decimal(1).scaleb(decimal.adjusted() - most + 1), ROUND_HALF_UP)
    place = rounded.adjusted()
    if -4 <= place < 7:
        return _trimmed(f"{rounded:f}")
    return f"{_trimmed(format(rounded.scaleb(-place), 'f'))}e{place}"


def _trimmed(text: str) -> str:
    return text.rstrip("0").rstrip(".") if "." in text else text


def measured(value: float, unit: str, *, rounding: str = "nearest", scale_step_g: float | None = None) -> Measured:
    """A figure to weigh or pour, rounded the safe way to what a scale or a cylinder can be read to.

    Masses go to 0.01 g below 10 g (jeweller's scale) and to 0.1 g above (bench scale); volumes to 0.01 mL below 1 mL, 0.1 mL
    to 10 mL, 0.5 mL to 50 mL and 5 mL above; never to more than three figures. A thousand grams is a kilogram. What
    would round to nothing is told in the next smaller unit, in figures instead of scale steps.

    Args:
        value: the figure [in `unit`]; 0 and up
        unit: mg, g, kg, uL, mL, L, or any other, which is only cut to three figures
        rounding: up, down or nearest [text]
        scale_step_g: step of the scale in hand [g]; None for the usual scales
    Source: facts practice/show, common practice
    """
    base, factor = SCALES.get(unit, (unit, 1.0))
    amount = Decimal(repr(float(value))) * Decimal(repr(factor))
    if base not in ("g", "mL") or amount <= 0:
        shown = _to_figures(Decimal(repr(float(value))), rounding)
        return Measured(float(shown), unit, f"{figure(float(shown))} {unit}".rstrip())
    step = Decimal(repr(scale_step_g if scale_step_g and base == "g" else reading_step(float(amount), base)))
    rounded = _to_figures(_to_step(amount, step, rounding), rounding)
    if not rounded:
        return _in_its_unit(_to_figures(amount, rounding), base, Decimal(0))
    return _in_its_unit(rounded, base, step)


def reading_step(amount: float, base: str) -> float:
    """What a scale or cylinder for this amount can be read to.

    Args:
        amount: what is to be measured [g or mL]; 0 and up
        base: g or mL [text]
    Returns: the step [g or mL]
    """
    if base == "g":
        fine = amount < fact("practice/show.scale.fine_reach").value
        return fact(f"practice/show.scale.{'fine' if fine else 'coarse'}_step").value
    for vessel in ("syringe", "small_cylinder", "cylinder"):
        if amount <= fact(f"practice/show.pour.{vessel}_reach").value:
            return fact(f"practice/show.pour.{vessel}_step").value
    return fact("practice/show.pour.beaker_step").value


def _to_step(amount: Decimal, step: Decimal, rounding: str) -> Decimal:
    steps = (amount / step).quantize(Decimal("1e-6"), ROUND_HALF_UP)  # 0.3 g of a computed 0.30000000004 g is three tenths
    return steps.quantize(Decimal(1), WAYS[rounding]) * step


def _to_figures(amount: Decimal, rounding: str) -> Decimal:
    if not amount:
        return amount
    return amount.quantize(Decimal(1).scaleb(amount.adjusted() - most_figures() + 1), WAYS[rounding])


def _in_its_unit(amount: Decimal, base: str, step: Decimal) -> Measured:
    """The figure in the unit a person would say it in, with the zeros of the scale it was read on."""
    unit, size = rung(float(amount), base)
    shown = amount / Decimal(repr(size))
    text = figure(float(shown))
    if step and unit == base:
        places = min(-step.normalize().as_tuple().exponent, most_figures() - 1 - shown.adjusted())  # type: ignore[operator]
        text = f"{shown:.{max(places, 0)}f}"
    return Measured(float(shown), unit, f"{text} {unit}")


def rung(amount: float, base: str) -> tuple[str, float]:
    """The unit of a ladder that suits an amount.

    Args:
        amount: in the base unit [g, mL or mol]
        base: g, mL or mol; anything else stays what it is
    Returns: unit, and its size in base units
    """
    ladder = LADDERS.get(base)
    if ladder is None or amount == 0:
        return base, 1.0
    at_one = ladder.index(base)
    height = 0
    size = abs(amount)
    while size < 0.01 and at_one + height > 0:
        size, height = size * 1000, height - 1
    while size >= 1000 and at_one + height < len(ladder) - 1:
        size, height = size / 1000, height + 1
    return ladder[at_one + height], 1000.0**height


def scaled(span: Range, unit: str) -> tuple[Range, str]:
    """A range in the unit that suits its likely figure; its high one where nothing is likely, or that is a thousand and more.

    Args:
        span: low, likely, high [in `unit`]
        unit: unit [text]
    Returns: the same in a smaller or larger unit of the same kind, and that unit
    """
    base, factor = SCALES.get(unit, (unit, 1.0))
    main = span.likely or span.high
    if unit not in SCALES or not main or (0.1 <= abs(main) < 1000 and abs(span.high) < 1000):
        return span, unit
    better, size = rung(main * factor, base)
    if abs(span.high) * factor / size >= 1000:
        better, size = rung(span.high * factor, base)
    return (span, unit) if better == unit else (span * (factor / size), better)


MARK = "*"
"""Stands behind the end of a range that is acted on."""


def range_text(span: Range, unit: str = "", *, dash: str = DASH, figures: int | None = None, end: str = "") -> str:
    """A range as a person reads it: "1.6–2.1–2.6 g", one figure where nothing is uncertain.

    Args:
        span: low, likely, high [in `unit`]
        unit: unit [text]
        dash: what stands between; a slash does on a stream that cannot print a dash, or where a figure is negative
        figures: significant figures [-]; None for the usual most
        end: low, likely or high where that end is acted on, which is marked; "" for none
    """
    span, unit = scaled(span, unit)
    least, most = least_told(unit), max(abs(span.low), abs(span.high))
    if 0 < most < least:
        return f"under {figure(least)} {unit}".rstrip()
    texts = [_written(one, most, least, figures) for one in (span.low, span.likely, span.high)]
    between = dash if span.low >= 0 and not any("e" in text for text in texts) else "/"
    if len(set(texts)) == 1:
        return f"{texts[0]} {unit}".rstrip()
    if end:
        texts[("low", "likely", "high").index(end)] += MARK
    return f"{between.join(texts)} {unit}".rstrip()


def least_told(unit: str) -> float:
    """The figure under which one is told as less, and not with a row of noughts or a power of ten [in `unit`].

    Args:
        unit: as `scaled` left it; the smallest of a ladder has no smaller one to turn to [text]
    Source: facts practice/show, common practice
    """
    smallest = any(unit == ladder[0] for ladder in LADDERS.values())
    return fact(f"practice/show.least.{'smallest_unit' if smallest else 'any_unit'}").value


def _written(value: float, most: float, least: float, figures: int | None) -> str:
    """An end of a range. A trace beside a far larger end is told as less than the last place that end is shown to.

    >>> _written(0.0000306, 51.4, 0.0001, None), _written(16.5, 51.4, 0.0001, None)
    ('<0.1', '16.5')
    """
    if value <= 0 or figures is not None:
        return figure(value, figures)
    if value < most * fact("practice/show.least.trace_share").value:
        last = Decimal(1).scaleb(Decimal(repr(float(most))).adjusted() - most_figures() + 1)
        return f"<{figure(max(float(last), least))}"
    return figure(value) if value >= least else f"<{figure(least)}"
