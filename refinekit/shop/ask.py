"""From what a person typed to the figures a room takes: read every text, stand in the facts, lay ranges over the cases."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from refinekit.bench.fields import Field
from refinekit.errors import BadQuantity, RefinekitError
from refinekit.facts.load import fact
from refinekit.nearest import did_you_mean
from refinekit.ranges import Number, Range, corners, spread
from refinekit.units import read, read_price, read_strength


@dataclass(slots=True)
class Told:
    """What was told, read.

    Args:
        figures: by argument name, in base units
        strengths: by argument name: solute, form of strength, figure
        plain: texts and flags by argument name
        axes: by argument name, the name of the unknown it stands for (two figures from one fact are one unknown)
        assumed: what was taken as given
        shown: the texts as typed, by field name
        facts: ids of facts that stood in
        faults: everything that could not be read
    """

    figures: dict[str, Range] = field(default_factory=dict)
    strengths: dict[str, tuple[str, str, Range]] = field(default_factory=dict)
    plain: dict[str, object] = field(default_factory=dict)
    axes: dict[str, str] = field(default_factory=dict)
    assumed: list[str] = field(default_factory=list)
    shown: dict[str, str] = field(default_factory=dict)
    facts: list[str] = field(default_factory=list)
    faults: list[RefinekitError] = field(default_factory=list)

    def ranges(self) -> dict[str, Range]:
        """Every unknown of this reading, by the name of its axis."""
        both = {**self.figures, **{arg: strength[2] for arg, strength in self.strengths.items()}}
        return {self.axes[arg]: figure for arg, figure in both.items()}

    def laid(self, numbers: Mapping[str, Number]) -> dict[str, object]:
        """Keyword arguments of the room, from the numbers of each axis.

        Args:
            numbers: a number for each name of `ranges`, as `ranges.spread` lays them
        Raises: OutOfRange, a strength that does not exist
        """
        from refinekit.chemistry.solution import Solution

        given: dict[str, object] = {arg: numbers[self.axes[arg]] for arg in self.figures}
        for arg, (solute, form, _) in self.strengths.items():
            given[arg] = Solution.of(solute, form, numbers[self.axes[arg]])
        return {**given, **self.plain}


def listen(
    fields: Iterable[Field],
    texts: Mapping[str, object],
    *,
    label: Callable[[str], str],
    axis: Callable[[str], str] = str,
) -> Told:
    """Read everything told to a room, all faults together.

    Args:
        fields: the room's fields
        texts: by field name; texts as typed, flags as bool, None for not told
        label: how a field is called in messages, e.g. "--gold" or "step 2, gold"
        axis: name of the unknown of a figure typed, by argument name
    Returns: Told; its `faults` are what could not be read
    """
    told = Told()
    for one in fields:
        text = texts.get(one.name)
        try:
            if text is None:
                _stand_in(told, one, texts)
            else:
                told.shown[one.name] = "yes" if text is True else str(text)
                _take(told, one, text, label(one.name), axis)
        except RefinekitError as fault:
            told.faults.append(fault)
    return told


def _stand_in(told: Told, one: Field, texts: Mapping[str, object]) -> None:
    id = one.default_from(texts) if one.default_from else one.default
    if not id or one.kind.startswith("strength") or one.kind in ("text", "choice", "flag"):
        return
    stand_in = fact(id)
    if stand_in.range.is_point:
        return  # the room itself says what it assumed when it needs it
    told.figures[one.arg] = stand_in.range
    told.axes[one.arg] = id
    told.facts.append(id)
    ends = stand_in.range
    told.assumed.append(f"{one.help}: {ends.low:g}/{ends.likely:g}/{ends.high:g} {stand_in.unit}".rstrip())


def _take(told: Told, one: Field, text: object, label: str, axis: Callable[[str], str]) -> None:
    if one.kind == "flag":
        told.plain[one.arg] = _flag(text, label)
    elif one.kind == "text":
        told.plain[one.arg] = str(text)
        for arg, figure in (one.within(str(text)) if one.within else {}).items():
            told.figures[arg], told.axes[arg] = figure, axis(arg)
    elif one.kind == "choice":
        told.plain[one.arg] = _choice(str(text), one, label)
    elif one.kind == "price":
        told.plain[one.arg] = read_price(str(text), name=label)
    elif one.kind.startswith("strength:"):
        strength = read_strength(str(text), name=label)
        told.strengths[one.arg] = (one.kind.partition(":")[2], strength.form, strength.range)
        told.axes[one.arg] = axis(one.arg)
    else:
        reading = read(
            str(text),
            one.kind,
            name=label,
            unit=one.unit or None,
            above_zero=one.above_zero,
            lowest=one.lowest,
            highest=one.highest,
        )
        told.figures[one.arg] = reading.range
        told.axes[one.arg] = axis(one.arg)
        if reading.assumed:
            told.assumed.append(reading.assumed)


def _flag(text: object, label: str) -> bool:
    if isinstance(text, bool):
        return text
    if str(text).strip().lower() in ("yes", "true", "on"):
        return True
    if str(text).strip().lower() in ("no", "false", "off"):
        return False
    raise BadQuantity(f"{label} {str(text)[:40]!r} is neither yes nor no", cure="true or false")


def _choice(text: str, one: Field, label: str) -> str:
    word = text.strip().lower()
    if word in one.choices:
        return word
    from refinekit.shop.reagent_names import key_meant

    cure = did_you_mean(key_meant(word, one.choices) or word, one.choices, f"for instance {one.choices[0]}")
    raise BadQuantity(f"{label} {text[:40]!r} is not one of: {', '.join(one.choices)}", cure=cure)


def lay(told: Told, already: int) -> tuple[dict[str, object], int]:
    """Lay one room's figures over the cases.

    Args:
        told: what was told
        already: cases the pots carry
    Returns: the room's keyword arguments, and how many cases the inputs alone have
    """
    ranges = told.ranges()
    ranged = [figure for figure in ranges.values() if not figure.is_point]
    return told.laid(spread(ranges, already)), len(corners(len(ranged)))
