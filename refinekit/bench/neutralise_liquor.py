"""A spent liquor told in figures instead of a pot, and spent liquors among the pots at hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from refinekit.bench.fields import Field
from refinekit.bench.pot import Pot, charge_mol
from refinekit.bench.work import Work, pot_form
from refinekit.chemistry.density import density_table
from refinekit.chemistry.species import molar_mass, parse
from refinekit.errors import CannotFollow, OutOfRange
from refinekit.facts.load import fact
from refinekit.ranges import Number, high, likely, low

SALTS = {
    "copper": "Cu^2+",
    "cuprous": "CuCl2^-",
    "nickel": "Ni^2+",
    "zinc": "Zn^2+",
    "iron": "Fe^2+",
    "iron-iii": "Fe^3+",
    "lead": "Pb^2+",
    "tin": "Sn^4+",
    "aluminium": "Al^3+",
    "silver": "AgCl2^-",
    "cadmium": "Cd^2+",
    "gold": "AuCl4^-",
}
"""What each metal told of is in a chloride liquor; iron without a word is iron(II)."""
ANIONS = {"hydrochloric": "Cl^-", "nitric": "NO3^-", "sulfuric": "SO4^2-"}
"""The ion that balances the charges, by the acid of the liquor."""
ACIDS = {"hydrochloric": "HCl", "nitric": "HNO3", "sulfuric": "H2SO4"}
"""The acid of each word, as the density tables know it."""
HEAPS = (
    *("foils", "board", "pulp", "powder", "gold powder", "sponge", "button", "slag", "cement", "sludge", "cake"),
    *("silver powder", "silver chloride", "palladium precipitate"),
)
"""Beginnings of names of pots whose liquor is held by what is in them."""

RINSES = "rinses"
"""Word of a liquor that washed a heap: "powder rinses" are no powder."""

TREATED = ("filtrate", "neutral liquor")
"""Beginnings of names of liquors that are done with."""

LIQUOR_FIELDS = (
    Field("volume", "volume", "L", "spent liquor", above_zero=True),
    Field("acid", "amount", "mol", "free acid in it, in all"),
    Field("free-acid", "concentration", "mol/L", "free acid in it, as titrated"),
    Field("acid-kind", "choice", "", "which acid it is", choices=tuple(ANIONS)),
    *(Field(metal, "mass", "g", f"{metal.replace('-iii', '(III)')} in it, in all") for metal in SALTS),
    *(Field(f"{metal}-strength", "mass_concentration", "g/L", f"{metal.replace('-iii', '(III)')} in it") for metal in SALTS),
    Field("ammonium", "concentration", "mol/L", "ammonium in it"),
    Field("nitrate", "concentration", "mol/L", "nitrate in it, beside the acid"),
    Field("sulfate", "concentration", "mol/L", "sulfate in it, beside the acid"),
)
"""Fields of a liquor without a pot."""


def pour_told(work: Work, told: Mapping[str, Any]) -> bool:
    """Put the liquor that was told of into the work.

    Args:
        work: the step
        told: figures of LIQUOR_FIELDS, by argument name
    Returns: whether anything was told
    Raises: CannotFollow, strengths without a volume; OutOfRange, an acid no bottle has, or more sulfate and nitrate than metals
        and acid
    """
    amounts = _cations(told)
    if not amounts:
        return False
    _check_acid(told)
    volume: Number = told.get("volume_l", 0.0)
    for ion, name in (("NO3^-", "nitrate_mol_per_l"), ("SO4^2-", "sulfate_mol_per_l")):
        if name in told:
            amounts[ion] = told[name] * _litres(told, name)
    closing = ANIONS[told.get("acid_kind") or "hydrochloric"]
    open_charge = charge_mol(amounts.items())
    if low(open_charge) < -1e-9:
        raise OutOfRange(
            f"the liquor told of has {-low(open_charge):.3g} mol more nitrate, sulfate and chloride than metals and acid",
            cure="leave out what the acid brings: --nitrate and --sulfate are for what is there beside it",
        )
    amounts[closing] = amounts.get(closing, 0.0) + np.maximum(open_charge, 0.0) / -parse(closing).charge
    amounts["H2O"] = 1000 * volume / molar_mass("H2O")
    work.pour("liquor told of", amounts, volume)
    return True


def _check_acid(told: Mapping[str, Any]) -> None:
    """Refuse an acid stronger than it comes out of any bottle.

    Raises: OutOfRange
    """
    free = told.get("free_acid_mol_per_l")
    if free is None and "acid_mol" in told and low(told.get("volume_l", 0.0)) > 0:
        free = told["acid_mol"] / told["volume_l"]
    if free is None:
        return
    kind = told.get("acid_kind") or "hydrochloric"
    solute = ACIDS[kind]
    table = density_table(solute)
    protons = -parse(ANIONS[kind]).charge
    strongest = 10 * table.percent[-1] * table.g_per_ml[-1] / molar_mass(solute) * protons
    if high(free) > strongest:
        raise OutOfRange(
            f"free acid of {high(free):.3g} mol/L is more than the strongest {kind} acid has, {strongest:.3g}",
            cure="check the unit: mol per litre, as titrated, and the litres",
        )


def _cations(told: Mapping[str, Any]) -> dict[str, Number]:
    amounts: dict[str, Number] = {}

    def add(ion: str, mol: Number) -> None:
        amounts[ion] = amounts.get(ion, 0.0) + mol

    nitric = told.get("acid_kind") == "nitric"
    for metal, salt in SALTS.items():
        arg = metal.replace("-", "_")
        ion = "Ag^+" if metal == "silver" and nitric else salt
        element = next(iter(parse(ion).elements))
        if f"{arg}_g" in told:
            add(ion, told[f"{arg}_g"] / molar_mass(element))
        if f"{arg}_strength_g_per_l" in told:
            name = f"{arg}_strength_g_per_l"
            add(ion, told[name] * _litres(told, name) / molar_mass(element))
    if "AuCl4^-" in amounts:
        add("H^+", amounts["AuCl4^-"])
    if "acid_mol" in told:
        add("H^+", told["acid_mol"])
    if "free_acid_mol_per_l" in told:
        add("H^+", told["free_acid_mol_per_l"] * _litres(told, "free_acid_mol_per_l"))
    if "ammonium_mol_per_l" in told:
        add("NH4^+", told["ammonium_mol_per_l"] * _litres(told, "ammonium_mol_per_l"))
    return amounts


def _litres(told: Mapping[str, Any], name: str) -> Number:
    if "volume_l" not in told:
        what = name.removesuffix("_g_per_l").removesuffix("_mol_per_l").replace("_", "-")
        raise CannotFollow(f"--{what} is a strength, and no volume is told", cure="give --volume as well, as in --volume 4L")
    volume: Number = told["volume_l"]
    return volume


# ---- among the pots at hand
def is_liquor(pot: Pot) -> bool:
    """Whether a pot is a liquor by itself: not dry, and not what foils, boards, pulp or a powder hold.

    Inert stuff does not make it a heap: the spent part of a reductant stays in the barren.
    """
    mostly_liquor = likely(pot.inert_g) < 1000 * likely(pot.volume_l)
    heap = pot.name.startswith(HEAPS) and RINSES not in pot.name
    return high(pot.volume_l) > 0 and mostly_liquor and not heap


def is_rich(pot: Pot) -> bool:
    """Whether a liquor holds so much gold that it is to be dropped first."""
    gold = pot.element_g("Au", solid=False)
    return bool(likely(gold) > fact("practice/cement.trace_gold").value * likely(pot.volume_l))


def spent(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """Liquors with nothing more to give: every liquor but working baths and what holds gold to be dropped.

    Where there is nothing but a bath, the bath. What was neutralised and filtered before passes by.
    """
    liquors = [pot for pot in pots if is_liquor(pot) and not is_rich(pot) and not pot.name.startswith(TREATED)]
    without = tuple(pot for pot in liquors if not pot.name.startswith("bath"))
    return without or tuple(liquors)


def split(pot: Pot, volume_l: Number) -> tuple[Pot, Pot]:
    """So much of a pot's liquor, and the rest of the pot with its solids.

    Args:
        pot: a pot with liquor
        volume_l: how much is taken [L]; not more than there is
    """
    taken = np.minimum(volume_l, pot.volume_l)
    share = taken / np.maximum(pot.volume_l, 1e-300)
    part = {species: amount * share for species, amount in pot.dissolved_mol.items()}
    rest = {species: amount - part[species] for species, amount in pot.dissolved_mol.items()}
    return (
        replace(pot, volume_l=taken, dissolved_mol=part, solids_mol={}, inert_g=0.0),
        replace(
            pot, volume_l=np.maximum(pot.volume_l - taken, 0.0), dissolved_mol={s: np.maximum(a, 0.0) for s, a in rest.items()}
        ),
    )


def bath_apart(pots: Sequence[Pot], with_bath_l: Number | None) -> tuple[tuple[Pot, ...], tuple[Pot, ...]]:
    """The liquors to be worked on, and the bath that is kept back.

    Args:
        pots: as chosen; a bath among other liquors is kept back but for what is told
        with_bath_l: how much of the bath goes along [L]; None for none of it
    Raises: CannotFollow, no bath to take from
    """
    baths = [pot for pot in pots if pot.name.startswith("bath")]
    others = [pot for pot in pots if not pot.name.startswith("bath")]
    if with_bath_l is None:
        return (tuple(others), tuple(baths)) if others else (tuple(baths), ())
    if not baths:
        raise CannotFollow(
            "--with-bath is told, and there is no pot called bath", cure="leave it out, or give the bath with --pot"
        )
    part, rest = split(baths[0], with_bath_l)
    return (*others, part), (rest, *baths[1:])


__all__ = ["LIQUOR_FIELDS", "bath_apart", "is_liquor", "is_rich", "pot_form", "pour_told", "spent", "split"]
