"""What a unit, as typed, comes to: from the table of plain units, else from Pint; and why not, where it is neither."""

from __future__ import annotations

import re
from fractions import Fraction

from refinekit.nearest import did_you_mean
from refinekit.record import record
from refinekit.units.kinds import KINDS, Kind, Unit
from refinekit.units.typed import Typed, visible

MILLI = {"mg": "mg", "ml": "mL", "mm": "mm", "mmol": "mmol", "mbar": "mbar"}
"""Units whose m, written large, would be a thousand million times more."""
ONE_LETTER = "GcCfFkKHSwWD"
"""Units of one letter that may be written large or small; of the others the case is the meaning (m, M, t, T)."""
NEVER_FOLDED = {"at", "m", "mm", "um"}
"""Assay ton, molarities and metres: only as they are, for the other case is another unit."""
NOTES = {
    "gr": "with gr as grains (g is grams)",
    **dict.fromkeys(("oz", "ounce", "ounces"), "with oz as avoirdupois ounces (oz t is troy)"),
    **dict.fromkeys(("gal", "gallon", "gallons", "qt", "quart", "quarts", "pt", "pint", "pints"), "in US measure"),
    **dict.fromkeys(("fl oz", "floz", "fluid ounce", "fluid ounces"), "in US measure"),
}
"""Units that two trades read in two ways: how they are read here is told with the answer."""
KARAT_WORDS = ("karat", "carat", "kt", "ct")
REFUSED = {
    **dict.fromkeys(("drop", "drops", "gtt"), ("a drop is no measure, droppers differ", "a marked pipette, as in 0.5 mL")),
    **dict.fromkeys(("ton", "tons"), ("a ton may be 1000 kg, 2000 lb or 2240 lb", "tonne, short ton or long ton")),
    **dict.fromkeys(("ppt",), ("ppt may be per thousand or per million million", "per thousand, or %")),
}
"""Units nobody can read for sure: what is said, and the cure."""
REFUSED_FOR = {
    ("mass_concentration", "ppm"): ("ppm of a liquor may be by mass or by volume", "mg/L, as in 5 mg/L"),
    ("concentration", "N"): ("what is normal depends on the reaction", "mol/L, as in 2 mol/L"),
    **{("mass", word): ("karat is a fineness, a mass was expected", KINDS["mass"].example) for word in KARAT_WORDS},
    **{("share", word): ("karat is for a fineness alone", KINDS["share"].example) for word in (*KARAT_WORDS, "K", "k")},
    **{("volume", word): (f"{word} is a mass", "US fl oz, as in 8 US fl oz, or mL") for word in ("oz", "ounce", "ounces")},
}
"""The same for one kind."""


@record
class Scale:
    """What a unit comes to: base = (figure + shift) x factor.

    Args:
        unit: as typed, put in order [text]
        factor: base units in one [-]
        shift: added before [that unit]
        note: how a unit with two meanings is read, after "read" [text]; {base} stands for the likely figure in base units
    """

    unit: str
    factor: Fraction = Fraction(1)
    shift: Fraction = Fraction(0)
    note: str = ""

    def base(self, figure: Fraction) -> Fraction:
        """A figure in this unit, in the base unit."""
        return (figure + self.shift) * self.factor

    def figure(self, base: float) -> float:
        """A base figure in this unit."""
        return base / float(self.factor) - float(self.shift)


def in_order(unit: str) -> str:
    """A unit with its spaces, powers and "per" written in one way.

    Args:
        unit: as typed [text]
    """
    unit = re.sub(r"(?<=[A-Za-z])\.", "", re.sub(r"(?:\^|\*\*)(?=\d)", "", unit.strip()))
    return re.sub(r"\s*/\s*", "/", re.sub(r"\s+", " ", re.sub(r"\s+per\s+", "/", unit)))


def spelled(unit: str, kind: Kind) -> Unit | None:
    """A plain unit of a kind by how it is written, singular or plural; None where it is not one.

    Args:
        unit: put in order [text]
        kind: the kind asked for
    """
    single = unit[:-1] if len(unit) > 3 and unit.endswith("s") else unit
    for word in (unit, single):
        if word in kind.spelled:
            return kind.spelled[word]
    if unit.lower() in NEVER_FOLDED or (len(unit) == 1 and unit not in ONE_LETTER):
        return None
    return kind.folded.get(unit.lower()) or kind.folded.get(single.lower())


def plain(unit: str, kind: Kind) -> Scale | None:
    """Scale of a plain unit, or of one plain unit over another; None where it is not plain.

    Args:
        unit: put in order [text]
        kind: the kind asked for
    """
    if found := spelled(unit, kind):
        return Scale(unit, found.factor, found.shift, NOTES.get(unit.lower(), ""))
    if kind.ratio and unit.count("/") == 1:
        above, below = (plain(part, KINDS[name]) for part, name in zip(unit.split("/"), kind.ratio[:2], strict=True))
        if above and below:
            notes = ", ".join(part.note for part in (above, below) if part.note)
            return Scale(unit, above.factor / below.factor * kind.ratio[2], note=notes)
    return None


def scale_of(typed: Typed, kind: Kind, unit: str, at: int, figure: str) -> Scale:
    """What a typed unit comes to for a kind.

    Args:
        typed: the whole text
        kind: the kind asked for
        unit: the unit in it, as typed
        at: its place in the text
        figure: the number before it, as typed
    Raises: BadQuantity, a unit that is another kind's, has two meanings, or is unknown
    """
    unit = in_order(unit)
    refuse_traps(typed, kind, unit, at)
    if found := plain(unit, kind):
        return found
    for other in KINDS.values():
        if plain(unit, other):
            raise _other_kind(typed, kind, unit, at, figure, other.what)
    from refinekit.units import by_pint

    if kind.pint and (by := by_pint.scale(unit, kind)):
        return Scale(unit, *by, note="as {base}")
    if what := by_pint.what_is(unit):
        raise _other_kind(typed, kind, unit, at, figure, what)
    cure = did_you_mean(unit, [spelling for one in _units_near(kind) for spelling in one.spellings], typed.example)
    if cure != typed.example:
        cure += f" Right are {typed.example}"
    raise typed.fault(at, f"{visible(unit)} is not a unit of {kind.what.partition(' ')[2]}", cure)


def _units_near(kind: Kind) -> tuple[Unit, ...]:
    """Units to look for a near word in: the kind's, and its base and examples where it is one unit over another."""
    words = tuple(re.sub(r"^[\d./ ]+(?=[A-Za-z])", "", example) for example in kind.examples) if kind.ratio else ()
    return (*kind.units, *(Unit("", Fraction(1), (word,)) for word in (kind.base, *words) if kind.ratio))


def _other_kind(typed: Typed, kind: Kind, unit: str, at: int, figure: str, what: str) -> Exception:
    return typed.fault(at, f"{figure} {visible(unit)} is {what}, {kind.what} was expected")


def refuse_traps(typed: Typed, kind: Kind, unit: str, at: int) -> None:
    """Refuse units nobody can read for sure.

    Args:
        typed: the whole text
        kind: the kind asked for
        unit: put in order [text]
        at: its place in the text
    Raises: BadQuantity, with what is to be written instead
    """
    for part in unit.split("/"):
        if part[:1] == "M" and part not in kind.spelled and (small := MILLI.get(part.lower())):
            raise typed.fault(at, f"{part} with a large M would be a thousand million {small}", f"{small}, as in 5 {small}")
        refused = REFUSED.get(part.lower()) or REFUSED_FOR.get((kind.name, part))
        if refused:
            raise typed.fault(at, *refused)
