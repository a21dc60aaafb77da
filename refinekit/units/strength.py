"""`read_strength`: how strong a liquor is, in the form its label or hydrometer gives. What that comes to is chemistry."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from refinekit.nearest import did_you_mean
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.units.find import Scale, in_order
from refinekit.units.grammar import NUMBER, Figure, figures, finite
from refinekit.units.kinds import KINDS, Kind
from refinekit.units.reading import Bounds, ordered
from refinekit.units.typed import Typed, visible

EXAMPLE = "31.45 %, 20 Be, 1.16 SG, 10 mol/L, 365 g/L or 28/31.45/33 %"


@record
class Form:
    """A form a strength is written in.

    Args:
        name: what StrengthReading calls it [text]
        unit: the unit of its figure [text]
        spellings: ways of writing the unit, without spaces and in small letters, each with its factor to `unit`
    """

    name: str
    unit: str
    spellings: dict[str, Fraction]


def _form(name: str, unit: str, spellings: str, **others: Fraction) -> Form:
    return Form(name, unit, {**dict.fromkeys(spellings.split(", "), Fraction(1)), **others})


FORMS = {
    form.name: form
    for form in (
        _form("percent_ww", "%", "%, percent, percent, %w/w, %m/m, %wt, wt%, w/w%, %byweight, %w"),
        _form("percent_wv", "% w/v", "%w/v, %m/v, w/v%"),
        _form("baume", "Be", "be, bé, °be, °bé, degbe, baume, baumé, °baume, °baumé, degbaume, degreesbaume, degreesbe"),
        _form("sg", "SG", "sg, s.g., spgr, sp.gr., specificgravity"),
        _form("density", "g/mL", "g/ml, g/cm3, g/cc, kg/l"),
        _form("mol_per_l", "mol/L", "mol/l, mol/dm3, molar", **{"mmol/l": Fraction(1, 1000), "mol/m3": Fraction(1, 1000)}),
        _form("g_per_l", "g/L", "g/l, g/dm3", **{"mg/l": Fraction(1, 1000), "mg/ml": Fraction(1)}),
        _form("trade_percent", "% trade", "%trade, trade%, %availablechlorine, %available, %tradestrength"),
        _form("volumes", "volumes", "vol, vols, volume, volumes, volumesofoxygen"),
        Form("parts", "parts of water to 1", {}),
    )
}
"""Forms by name."""
BY_SPELLING = {spelling: form for form in FORMS.values() for spelling in form.spellings}
REFUSED = {
    "%v/v": ("percent by volume says nothing sure of an acid", "31.45 % for percent by weight, 1:1 for parts by volume"),
    "kg/m3": ("may be a density or a content", "g/mL for a density, as in 1.16 g/mL, or g/L for a content, as in 365 g/L"),
    "mol/kg": ("per kilogram of what is not said", "10 mol/L or 31.45 %"),
    "ppm": ("ppm of a liquor may be by mass or by volume", "mg/L, as in 500 mg/L"),
}
LEAD = r"(?:[Ss]\.?[Gg]\.?|[Ss]p\.? ?[Gg]r\.?|[Bb]e(?=[\s\d]))"
PARTS = re.compile(rf"\s*({NUMBER})\s*:\s*({NUMBER})\s*", re.ASCII)
STRENGTH = Kind("strength", "a strength", "", "", ("31.45 %", "20 Be"), nonnegative=True)


@record
class StrengthReading:
    """A strength, read.

    Args:
        range: low, likely, high [unit of the form]; for parts, volumes of water to one volume of the usual bottle
        form: a key of FORMS [text]
        unit: unit of the figures [text]
        assumed: what was taken as given; None where all was said
        text: as typed
    """

    range: Range
    form: str
    unit: str
    assumed: str | None
    text: str


def read_strength(
    text: str, *, name: str, unit: str | None = None, ions: int | None = None, decimal_comma: bool | None = None
) -> StrengthReading:
    """A strength as typed, in the form it was typed in.

    Args:
        text: one value or low/likely/high: "31.45 %", "6 % w/v", "20 Be" (liquids heavier than water), "1.16 SG", "1.1598 g/mL",
            "12 mol/L", "12 M", "12 N", "365 g/L", "12.5 % trade" (hypochlorite: g available chlorine in 100 mL),
            "100 volumes" (peroxide), "1:1" (acid to water, by volume)
        name: what it was typed for, as messages call it
        unit: unit a bare number takes, e.g. "Be"; None where a bare number is refused
        ions: hydrogen or hydroxide ions a formula unit gives [-], for N; None where not known
        decimal_comma: whether a comma is the decimal mark; None for what the program or the file was told
    Returns: StrengthReading
    Raises: BadQuantity, no unit, two forms at once, out of order, zero or below, over 100 %, N of what gives two ions
    Source: forms only, no figures
    """
    typed = Typed.clean(name, text, EXAMPLE, decimal_comma=decimal_comma)
    if ":" in typed.text:
        return _parts(typed)
    values = figures(typed, lead=LEAD)
    whole = [_with_unit(typed, value[0], values[0][0].lead or unit) for value in values]
    forms = [_form_of(typed, figure, ions) for figure in whole]
    if len({form.name for form, _ in forms}) > 1:
        raise typed.fault(whole[-1].unit_at, "another form of strength than the figures before", "one form for all three")
    base = [float(figure.value * factor) for figure, (_, factor) in zip(whole, forms, strict=True)]
    form = forms[0][0]
    bounds = Bounds(STRENGTH, highest=100.0 if form.name == "percent_ww" else None, above_zero=form.name != "baume")
    for figure, (_, factor), one in zip(whole, forms, base, strict=True):
        bounds.check(typed, figure, Scale(figure.unit, factor), one)
    assumed = _assumed(typed, whole, values, ions)
    return StrengthReading(ordered(typed, values, base), form.name, form.unit, assumed, text)


def _with_unit(typed: Typed, figure: Figure, unit: str | None) -> Figure:
    """A figure with its unit: behind it, before it, or the option's own."""
    if figure.lead and figure.unit:
        raise typed.fault(figure.unit_at, f"a second unit, after {figure.lead}")
    wanted = figure.unit or figure.lead or unit
    if not wanted:
        raise typed.fault(len(typed.text.rstrip()), "no unit: percent, Baume or what?")
    return replace(figure, unit=wanted, unit_at=figure.unit_at if figure.unit else figure.at)


def _form_of(typed: Typed, figure: Figure, ions: int | None) -> tuple[Form, Fraction]:
    """Form of a figure and its factor to the form's unit."""
    if figure.unit == "M":
        return FORMS["mol_per_l"], Fraction(1)
    if figure.unit == "N":
        if ions not in (None, 1):
            cure = f"mol/L, as in {float(figure.value) / ions:.4g} mol/L" if ions else "mol/L"
            raise typed.fault(figure.unit_at, f"N is read only of what gives one ion, this gives {ions}", cure)
        return FORMS["mol_per_l"], Fraction(1)
    key = in_order(figure.unit).lower().replace(" ", "")
    if form := BY_SPELLING.get(key):
        return form, form.spellings[key]
    if key in REFUSED:
        raise typed.fault(figure.unit_at, *REFUSED[key])
    for kind in KINDS.values():
        if in_order(figure.unit) in kind.spelled:
            raise typed.fault(figure.unit_at, f"{figure.number} {visible(figure.unit)} is {kind.what}, a strength was expected")
    cure = did_you_mean(key, BY_SPELLING, EXAMPLE)
    if cure != EXAMPLE:
        cure += f" Right are {EXAMPLE}"
    raise typed.fault(figure.unit_at, f"{visible(figure.unit)} is not a unit of strength", cure)


def _assumed(typed: Typed, figures: Sequence[Figure], values: Sequence[tuple[Figure, ...]], ions: int | None) -> str | None:
    """What was taken as given."""
    shown, last = visible(typed.raw.strip()), figures[-1]
    if typed.note:
        return f"{typed.name} {shown} read {typed.note}, in {last.unit}"
    if not (values[-1][0].unit or values[0][0].lead):
        return f"{typed.name} {shown} read as {shown} {last.unit}"
    if last.unit in ("%", "percent", "per cent"):
        return f"{typed.name} {shown} read as percent by weight"
    if last.unit == "N" and ions is None:
        return f"{typed.name} {shown} read as mol/L, right for what gives one ion to the formula"
    return None


def _parts(typed: Typed) -> StrengthReading:
    """Parts of acid to parts of water, by volume."""
    water, values, at = [], [], 0
    for part in typed.text.split("/"):
        found = PARTS.fullmatch(part)
        if not found:
            raise typed.fault(
                at + len(part) - len(part.lstrip()), "not parts of acid to parts of water", "acid:water, as in 1:1 or 1:2"
            )
        acid, added = (finite(typed, found[one], at + found.start(one)) for one in (1, 2))
        if not acid > 0:
            raise typed.fault(at + found.start(1), "no acid in it", "acid:water, as in 1:1 or 1:2")
        figure = Figure(added, found[2], at + found.start(2), "", at + found.end(2))
        water.append(float(added / acid))
        Bounds(STRENGTH).check(typed, figure, Scale(""), water[-1])
        values.append((figure,))
        at += len(part) + 1
    if len(values) not in (1, 3):
        raise typed.fault(values[1][0].at, "two values, or more than three", "one value, or three as in 1:1/1:2/1:3")
    form = FORMS["parts"]
    return StrengthReading(ordered(typed, values, water), form.name, form.unit, None, typed.raw)
