"""`read`: a quantity of a known kind, from text to low/likely/high in the base unit."""

from __future__ import annotations

from collections.abc import Sequence

from refinekit.ranges import Range
from refinekit.record import record
from refinekit.units.find import Scale, scale_of, spelled
from refinekit.units.grammar import Figure, figures
from refinekit.units.kinds import MONEY_LEAD, PLAIN, Kind, kind_called
from refinekit.units.plain_kinds import plain_scale, thousandths
from refinekit.units.typed import Typed, visible

MOST, LEAST = 1e12, 1e-12
"""Base units beyond which a figure is a slip of the hand, whatever the kind."""
ROUNDING = 1e-12
"""Share of a bound by which a figure may pass it through the rounding of a unit conversion."""
TROY_OR_GRAIN = ("pennyweight", "grain", "troy_ounce", "troy_pound")


@record
class Reading:
    """A quantity, read.

    Args:
        range: low, likely, high [base unit of the kind]
        assumed: what was taken as given, e.g. "--gold 2.1 read as 2.1 g"; None where all was said
        text: as typed
        unit: the unit it was read in [text]; the currency, for money
        base: the base unit [text]; "" for a share or a plain number
    """

    range: Range
    assumed: str | None
    text: str
    unit: str
    base: str


def read(
    text: str,
    kind: str,
    *,
    name: str,
    unit: str | None = None,
    lowest: float | None = None,
    highest: float | None = None,
    above_zero: bool = False,
    decimal_comma: bool | None = None,
) -> Reading:
    """A quantity as typed, in the base unit of its kind.

    Args:
        text: one value or low/likely/high, e.g. "80 g", "2.5/4/6 g", "3 oz t 7 dwt" (mixed units add up for a mass)
        kind: a key of KINDS
        name: what it was typed for, as messages call it, e.g. "--gold"
        unit: unit a bare number takes; None where a bare number is refused (a plain kind takes it as it is)
        lowest: least allowed [base unit]; None for zero where the kind cannot be under it
        highest: most allowed [base unit]; None for one, of a share or a fineness, else no bound
        above_zero: whether zero is refused
        decimal_comma: whether a comma is the decimal mark; None for what the program or the file was told
    Returns: Reading
    Raises: BadQuantity, with the text, a caret under the fault and a right example; UnknownName, kind
    Source: exact factors of refinekit.units.kinds, else Pint with units.txt

    >>> round(read("3 oz t 7 dwt", "mass", name="--weight").range.likely, 3)
    104.197
    """
    the_kind = kind_called(kind)
    typed = Typed.clean(name, text, the_kind.example_in(unit), decimal_comma=decimal_comma)
    if kind in ("share", "fineness"):
        typed = thousandths(typed)
    values = figures(typed, lead=MONEY_LEAD if kind == "money" else "", sums=kind == "mass")
    scales = [_scales(typed, the_kind, value, unit, values) for value in values]
    base = [_total(value, scale) for value, scale in zip(values, scales, strict=True)]
    bounds = Bounds(the_kind, lowest, highest, above_zero)
    for value, scale, figure in zip(values, scales, base, strict=True):
        bounds.check(typed, value[0], scale[0], figure)
    ends = ordered(typed, values, base)
    return Reading(ends, _assumed(typed, the_kind, scales, ends.likely), text, scales[0][0].unit, the_kind.base)


def _total(value: Sequence[Figure], scales: Sequence[Scale]) -> float:
    """A value in base units: its one figure, or its figures added up."""
    return float(sum(scale.base(figure.value) for figure, scale in zip(value, scales, strict=True)))


def ordered(typed: Typed, values: Sequence[tuple[Figure, ...]], base: Sequence[float]) -> Range:
    """One or three figures as a range.

    Args:
        typed: the text
        values: its values, for their places
        base: the same [base unit]
    Raises: BadQuantity, out of order
    """
    for value, before, after in zip(values[1:], base, base[1:], strict=False):
        if after < before:
            raise typed.fault(value[0].at, "out of order, less than the figure before it", "low/likely/high, the smallest first")
    return Range(base[0], base[len(base) // 2], base[-1])


@record
class Bounds:
    """What a figure of a kind may be.

    Args:
        kind: the kind
        lowest: least allowed [base unit]; None for what the kind itself allows
        highest: most allowed [base unit]; None for what the kind itself allows
        above_zero: whether zero is refused
    """

    kind: Kind
    lowest: float | None = None
    highest: float | None = None
    above_zero: bool = False

    def check(self, typed: Typed, figure: Figure, scale: Scale, base: float) -> None:
        """Refuse a figure that cannot be.

        Args:
            typed: the text
            figure: the figure in it
            scale: of its unit
            base: the figure [base unit]
        Raises: BadQuantity, too large or small to be meant, zero or below where it cannot be, past a bound
        """
        if abs(base) > MOST:
            raise typed.fault(figure.at, "too large to be meant")
        if 0 < abs(base) < LEAST:
            raise typed.fault(figure.at, "too small to be meant")
        lowest = 0.0 if self.lowest is None and self.kind.nonnegative else self.lowest
        highest = 1.0 if self.highest is None and self.kind.name in ("share", "fineness") else self.highest
        if base == 0 and self.above_zero:
            raise typed.fault(figure.at, f"zero, where {self.kind.what} above zero is needed")
        if (lowest is not None and base < lowest - ROUNDING * abs(lowest)) or (self.above_zero and base < 0):
            raise typed.fault(figure.at, self._under(scale, lowest or 0.0))
        if highest is not None and base > highest + ROUNDING * abs(highest):
            raise typed.fault(figure.at, f"over {_shown(scale, highest)}, the most it can be here")

    def _under(self, scale: Scale, lowest: float) -> str:
        if lowest == 0 and not scale.shift:
            return f"below zero, where {self.kind.what} cannot be"
        return f"under {_shown(scale, lowest)}, the least it can be here"


def _shown(scale: Scale, base: float) -> str:
    """A bound in the unit that was typed."""
    return f"{scale.figure(base):.7g} {scale.unit}".rstrip()


def _scales(
    typed: Typed, kind: Kind, value: tuple[Figure, ...], unit: str | None, values: Sequence[tuple[Figure, ...]]
) -> list[Scale]:
    """Scales of the figures of one value."""
    if kind.name in PLAIN:
        return [plain_scale(typed, kind, value[0], unit, [figure for one in values for figure in one])]
    if not value[0].unit:
        return [_scale_of_bare(typed, kind, unit)]
    scales = [scale_of(typed, kind, figure.unit, figure.unit_at, figure.number) for figure in value]
    _refuse_odd_sum(typed, kind, value, scales)
    return scales


def _scale_of_bare(typed: Typed, kind: Kind, unit: str | None) -> Scale:
    """Scale of a number without a unit, where the option has one."""
    end = len(typed.text.rstrip())
    if not unit:
        raise typed.fault(end, "no unit")
    found = scale_of(typed, kind, unit, end, "a number in")
    return Scale(unit, found.factor, found.shift, f"as {visible(typed.raw.strip())} {unit}")


def _refuse_odd_sum(typed: Typed, kind: Kind, value: tuple[Figure, ...], scales: Sequence[Scale]) -> None:
    """Refuse a sum whose units do not go down, or that mixes a plain ounce with troy weights."""
    for figure, before, after in zip(value[1:], scales, scales[1:], strict=False):
        if after.factor >= before.factor:
            raise typed.fault(
                figure.at,
                "a second number, its unit no smaller than the first",
                "one value, or larger units first, as in 3 oz t 7 dwt",
            )
    names = [unit.pint if (unit := spelled(scale.unit, kind)) else "" for scale in scales]
    if "ounce" in names and any(name in TROY_OR_GRAIN for name in names):
        plain = value[names.index("ounce")]
        raise typed.fault(plain.unit_at, "an avoirdupois ounce beside troy weights", "oz t for troy ounces, as in 3 oz t 7 dwt")


def _assumed(typed: Typed, kind: Kind, scales: Sequence[Sequence[Scale]], likely: float) -> str | None:
    """What was taken as given, in one line; None where all was said."""
    notes = dict.fromkeys(note for several in scales for note in (*(scale.note for scale in several), typed.note) if note)
    read_as = ", ".join(note.format(base=f"{likely:.5g} {kind.base}".rstrip()) for note in notes)
    return f"{typed.name} {visible(typed.raw.strip())} read {read_as}" if notes else None
