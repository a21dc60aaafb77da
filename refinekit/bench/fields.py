"""What a room of the bench may be told: one table serves the command's options and the batch file's keys.

A room is a function `run(pots, *, place, **figures) -> Step`. Its figures arrive in the base unit of their kind, as floats or as
arrays over the cases; what was not told and has no fact to stand in for it is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TypedDict

from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, Range, high
from refinekit.record import record

SUFFIX = {
    "mass": "_g",
    "volume": "_l",
    "amount": "_mol",
    "area": "_cm2",
    "thickness": "_um",
    "length": "_m",
    "temperature": "_k",
    "pressure": "_pa",
    "time": "_s",
    "flow": "_l_per_min",
    "concentration": "_mol_per_l",
    "mass_concentration": "_g_per_l",
    "grade": "_g_per_kg",
    "density": "_g_per_ml",
    "speed": "_m_per_s",
    "power": "_w",
    "energy": "_kj",
    "hold": "_ml_per_g",
}
"""Ending of a figure's argument name, by the kind of quantity; kinds not listed (share, count, fineness, ...) have none."""


@record
class Field:
    """One thing a room may be told.

    Args:
        name: option and batch key, e.g. "no-share" [text]
        kind: a kind of units.read, or "strength:HCl" (a Solution of that solute), "text", "flag", "choice", "price"
        unit: unit a bare number takes [text]
        help: one line for the help and the starter file [text]
        default: id of the fact that stands in where nothing is told; "" for none
        choices: words allowed, for "choice"
        above_zero: whether zero is refused
        highest: most it may be [in the base unit]; None for no bound of its own
        lowest: least it may be [in the base unit]; None for no bound of its own
        shelf: whether a strength is that of a bottle, which the shelf may tell
        within: for a text that holds figures: reads it, gives those with a range by argument name [base unit], each an unknown of
            its own
        default_from: for a stand-in that hangs on what else was told: called with the texts by field name (None where not told),
            gives the fact's id, "" for none
        bottle_from: for a share that is good: called with the same texts, gives the key of the bottle whose goodness it is, which
            the shelf may tell; "" for none
    """

    name: str
    kind: str
    unit: str = ""
    help: str = ""
    default: str = ""
    choices: tuple[str, ...] = ()
    above_zero: bool = False
    highest: float | None = None
    default_from: Callable[[Mapping[str, object]], str] | None = None
    lowest: float | None = 0.0
    shelf: bool = True
    within: Callable[[str], Mapping[str, Range]] | None = None
    bottle_from: Callable[[Mapping[str, object]], str] | None = None

    @property
    def arg(self) -> str:
        """Keyword of the room's function, with its base unit: "no_share", "air_l_per_min"."""
        return self.name.replace("-", "_") + SUFFIX.get(self.kind, "")


@record
class Room:
    """A verb of the bench.

    Args:
        name: the verb [text]
        run: the function, called as run(pots, place=place, **figures)
        fields: what it may be told
        choose: which of the pots at hand it takes, called as choose(pots, **what); the others are passed by
        example: a command line that runs as shown [text]
        chooses_by: text fields (by argument name) that `choose` is told, where they were told
        draws: whether its step can carry charts, which its command can then write to a file
        days: whether its command can be asked of a whole plan's day
        glances: whether it can be told `glance=True`: its figures case by case at less cost, with less said beside them
    """

    name: str
    run: Callable[..., Step]
    fields: tuple[Field, ...]
    choose: Callable[..., tuple[Pot, ...]]
    example: str
    chooses_by: tuple[str, ...] = ()
    draws: bool = False
    days: bool = False
    glances: bool = False


METALS = {
    "gold": "Au",
    "silver": "Ag",
    "copper": "Cu",
    "nickel": "Ni",
    "tin": "Sn",
    "lead": "Pb",
    "zinc": "Zn",
    "iron": "Fe",
    "aluminium": "Al",
    "palladium": "Pd",
    "platinum": "Pt",
}
"""Metals by the word at the bench."""


class MetalsTold(TypedDict, total=False):
    """Masses of the METALS, as a room is told them."""

    gold_g: Number
    silver_g: Number
    copper_g: Number
    nickel_g: Number
    tin_g: Number
    lead_g: Number
    zinc_g: Number
    iron_g: Number
    aluminium_g: Number
    palladium_g: Number
    platinum_g: Number


def refuse_strange(what: str, told: Iterable[str], known: Iterable[str]) -> None:
    """Refuse what a room does not take; told by a program, since options and batch keys are refused where they are read.

    Args:
        what: the room, as it begins a sentence [text]
        told, known: argument names
    Raises: TypeError, some of them are not known
    """
    strange = sorted({*told} - {*known})
    if strange:
        raise TypeError(f"{what} takes no {', '.join(strange)}")


def metal_fields(*metals: str, what: str = "in the goods") -> tuple[Field, ...]:
    """Fields for masses of metals, by their words."""
    return tuple(Field(metal, "mass", "g", f"{metal} {what}") for metal in metals)


def pot_of_metals(name: str, **mass_g: Number | None) -> Pot:
    """A dry pot of metals.

    Args:
        name: what it is called [text]
        mass_g: by metal word [g], e.g. gold=2.1; None is left out
    """
    solids = {METALS[metal]: grams / molar_mass(METALS[metal]) for metal, grams in mass_g.items() if grams is not None}
    return Pot(name, solids_mol=solids)


def holding(pots: Iterable[Pot], *, solid: str = "", dissolved: str = "") -> tuple[Pot, ...]:
    """The pots that hold some of a solid or of a dissolved species, the richest first."""

    def amount(pot: Pot) -> float:
        return high(pot.solid_mol(solid)) if solid else high(pot.mol(dissolved))

    return tuple(sorted((pot for pot in pots if amount(pot) > 0), key=amount, reverse=True))


def one(pots: Sequence[Pot], verb: str, need: str) -> Pot:
    """The pot a step works on.

    Raises: CannotFollow, there is none
    """
    if not pots:
        raise CannotFollow(f"{verb} has nothing to work on", cure=f"give {need}, or a pot from the step before with --pot FILE")
    return pots[0]


__all__ = ["METALS", "SUFFIX", "Field", "Place", "Room", "holding", "metal_fields", "one", "pot_of_metals"]
