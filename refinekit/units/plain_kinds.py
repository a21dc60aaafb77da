"""Kinds whose figure may stand without a unit: shares, fineness, money, counts. What a bare number means depends on its size."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from refinekit.units.find import Scale, in_order, scale_of, spelled
from refinekit.units.grammar import Figure
from refinekit.units.kinds import Kind
from refinekit.units.typed import Typed, visible

IN_A_THOUSAND = re.compile(r"(?<=[\d.\s])(/|(?<!\w)per(?!\w)|(?<!\w)in(?!\w)|(?<!\w)of(?!\w))\s*1000\s*$", re.ASCII)
CURRENCY = re.compile(r"[A-Z]{0,3}[$£€¥₹]|[A-Z]{3}")
COUNTED = ("pcs", "pieces", "off")
MOST_KARAT = 24
KARAT_OR_PERCENT = 100
"""A bare fineness from one to a hundred is karat to some, percent to others; above it can only be parts per thousand."""


def thousandths(typed: Typed) -> Typed:
    """The text with "/1000" or "per 1000" at its end written as one sign, places kept; a third value of 1000 stays a value.

    Args:
        typed: the text
    """
    found = IN_A_THOUSAND.search(typed.text)
    if not found or (found[1] == "/" and typed.text.count("/") not in (1, 3)):
        return typed
    sign = "‰".ljust(len(found[0]))
    return Typed(typed.name, typed.raw, typed.text[: found.start()] + sign, typed.example, typed.note)


def plain_scale(typed: Typed, kind: Kind, figure: Figure, unit: str | None, figures: Sequence[Figure]) -> Scale:
    """Scale of a figure of a kind that may stand bare.

    Args:
        typed: the text
        kind: share, fineness, money or count
        figure: the figure
        unit: unit a bare number takes; None for what its size says
        figures: all the figures of the text, which are read in one way
    Raises: BadQuantity, a bare number of two meanings, a unit that is none of the kind's
    """
    if kind.name == "money":
        return _money(typed, figure, figures)
    if kind.name == "count":
        return Scale("") if figure.unit in ("", *COUNTED) else scale_of(typed, kind, figure.unit, figure.unit_at, figure.number)
    if figure.unit == "fine" and all(abs(one.value) <= 1 for one in figures):
        return Scale("fine")
    if figure.unit:
        return scale_of(typed, kind, figure.unit, figure.unit_at, figure.number)
    if unit:
        return _in_unit(typed, kind, figure, unit, figures)
    return _by_size(typed, kind, figures)


def _money(typed: Typed, figure: Figure, figures: Sequence[Figure]) -> Scale:
    names = [name for one in figures for name in (one.lead, one.unit) if name]
    if figure.unit and not CURRENCY.fullmatch(figure.unit):
        raise typed.fault(figure.unit_at, "not a currency sign, nor a code of three capitals")
    if len(set(names)) > 1:
        raise typed.fault(figures[-1].at, f"two currencies, {visible(names[0])} and {visible(names[-1])}")
    return Scale(names[0] if names else "")


def _in_unit(typed: Typed, kind: Kind, figure: Figure, unit: str, figures: Sequence[Figure]) -> Scale:
    """A bare figure in the option's unit; refused where it could as well be a share of one."""
    found = spelled(in_order(unit), kind)
    if found is None:
        return scale_of(typed, kind, unit, figure.at, figure.number)
    if any(one.value for one in figures) and all(0 <= one.value <= 1 for one in figures):
        most = float(figures[-1].value)
        raise typed.fault(
            figure.at, f"may be {most:g} {unit} or a share of 1", f"{most:g} {unit} or {100 * most:g} %, whichever is meant"
        )
    return Scale(unit, found.factor, note=f"as {visible(typed.raw.strip())} {unit}")


def _by_size(typed: Typed, kind: Kind, figures: Sequence[Figure]) -> Scale:
    """What bare figures mean by their size: shares of one, or parts per thousand of a fineness."""
    least, top = min(figures, key=_value), max(figures, key=_value)
    most = float(top.value)
    if most <= 1:
        return Scale("", note=f"as a share of 1 ({100 * float(figures[len(figures) // 2].value):.5g} %)")
    if kind.name == "share":
        cure = f"{top.number} %, or {top.number} per thousand" if most <= 100 else f"{top.number} per thousand, or %"
        raise typed.fault(top.at, "over 1 without a unit", f"{cure}, whichever is meant")
    if most > 1000:
        raise typed.fault(top.at, "over 1000 parts per thousand, more than all of it")
    if least.value <= 1:
        raise typed.fault(least.at, "a share of 1 beside larger figures", "all in one unit, as in 560/575/585 or 56/57.5/58.5 %")
    if least.value <= KARAT_OR_PERCENT:
        cure = (
            f"{least.number} K or {least.number} %"
            if least.value <= MOST_KARAT
            else f"{least.number} % or {least.number} per thousand"
        )
        raise typed.fault(least.at, "may be karat, percent or parts per thousand", f"{cure}, whichever is meant")
    return Scale("fine", Fraction(1, 1000), note="as parts per thousand")


def _value(figure: Figure) -> Fraction:
    return figure.value
