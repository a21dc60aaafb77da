"""A pot: every vessel and heap the shop has, as moles of what is in it and what was done to it.

The lot is a pot of solids, the bath a pot of liquor, the drum a pot. Steps take pots and give pots; danger and loss are
read from pots. A figure is a float, or an array over the cases of a run (element 0 the likely case).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field, replace

import numpy as np

from refinekit.bench.place import shop_temperature_k
from refinekit.chemistry.species import molar_mass, parse
from refinekit.errors import OutOfRange
from refinekit.ranges import Number, Range, count_of, high, low, widen
from refinekit.record import record

HELD_PROTONS = {"AuCl4^-": 1, "PdCl4^2-": 2, "PtCl6^2-": 2}
"""Protons a complex keeps as its own partner (HAuCl4, H2PdCl4, H2PtCl6): charge numbers, not free acid."""


def free_acid_mol(dissolved_mol: Mapping[str, Number]) -> Number:
    """Free strong acid of a liquor: hydrogen ions that are not the partner protons of gold, palladium and platinum [mol].

    Args:
        dissolved_mol: what is dissolved, by species [mol]
    """
    held: Number = sum((protons * dissolved_mol.get(complexed, 0.0) for complexed, protons in HELD_PROTONS.items()), 0.0)
    free: Number = np.maximum(dissolved_mol.get("H^+", 0.0) - held, 0.0)
    return free


@record
class Event:
    """One thing done to a pot.

    Args:
        step: the step that did it [text]
        did: what was done, in plain words [text]
        added_mol: what went in, by formula, over the cases [mol]
    """

    step: str
    did: str
    added_mol: Mapping[str, Range] = field(default_factory=dict)


@record
class Pot:
    """What a vessel holds.

    Args:
        name: what the shop calls it [text]
        volume_l: liquor in it [L]; 0 for dry goods
        dissolved_mol: ions and molecules in the liquor, water too [mol]
        solids_mol: solids beside or under the liquor [mol]
        inert_g: laminate, pulp and other stuff that takes no part [g]
        temperature_k: how warm it is [K]
        history: what was done to it, oldest first
        marks: what the history leaves behind that amounts do not show, each with the step that set it
    """

    name: str
    volume_l: Number = 0.0
    dissolved_mol: Mapping[str, Number] = field(default_factory=dict)
    solids_mol: Mapping[str, Number] = field(default_factory=dict)
    inert_g: Number = 0.0
    temperature_k: float = field(default_factory=shop_temperature_k)
    history: tuple[Event, ...] = ()
    marks: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for what, amount in [
            ("litres", self.volume_l),
            ("inert", self.inert_g),
            *self.dissolved_mol.items(),
            *self.solids_mol.items(),
        ]:
            if not np.all(np.isfinite(amount)) or low(amount) < 0:
                raise OutOfRange(
                    f"pot {self.name!r} would hold {low(amount):g} of {what}",
                    cure="a pot holds nothing negative: check the amounts",
                )

    def mol(self, species: str) -> Number:
        """Dissolved amount of a species [mol]; 0.0 where there is none."""
        return self.dissolved_mol.get(species, 0.0)

    def solid_mol(self, species: str) -> Number:
        """Solid amount of a species [mol]; 0.0 where there is none."""
        return self.solids_mol.get(species, 0.0)

    def solid_g(self, species: str) -> Number:
        """Solid amount of a species [g]."""
        return self.solid_mol(species) * molar_mass(species)

    def element_mol(self, element: str, *, dissolved: bool = True, solid: bool = True) -> Number:
        """All of an element, whatever it is bound in [mol]."""
        parts = [self.dissolved_mol] * dissolved + [self.solids_mol] * solid
        total: Number = 0.0
        for amounts in parts:
            for species, amount in amounts.items():
                atoms = parse(species).elements.get(element, 0)
                if atoms:
                    total = total + atoms * amount
        return total

    def element_g(self, element: str, *, dissolved: bool = True, solid: bool = True) -> Number:
        """All of an element, whatever it is bound in [g]."""
        return self.element_mol(element, dissolved=dissolved, solid=solid) * molar_mass(element)

    @property
    def free_acid_mol(self) -> Number:
        """Free strong acid [mol of H+]: what is not the partner proton of a gold, palladium or platinum complex."""
        return free_acid_mol(self.dissolved_mol)

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing in it in any case."""
        return not any(
            high(amount) > 0 for amount in (self.volume_l, self.inert_g, *self.dissolved_mol.values(), *self.solids_mol.values())
        )

    @property
    def cases(self) -> int:
        """Cases its figures carry (1 where all are plain)."""
        return count_of(self.volume_l, self.inert_g, *self.dissolved_mol.values(), *self.solids_mol.values())

    def widened(self, own: int) -> Pot:
        """The same pot with its figures laid out against `own` cases of inputs (see ranges.case_rows)."""
        already = self.cases

        def lay(amounts: Mapping[str, Number]) -> dict[str, Number]:
            return {species: widen(amount, already, own) for species, amount in amounts.items()}

        return replace(
            self,
            volume_l=widen(self.volume_l, already, own),
            inert_g=widen(self.inert_g, already, own),
            dissolved_mol=lay(self.dissolved_mol),
            solids_mol=lay(self.solids_mol),
        )

    def scaled(self, share: float) -> Pot:
        """So much of the pot, all its parts alike [-]."""
        return replace(
            self,
            volume_l=self.volume_l * share,
            inert_g=self.inert_g * share,
            dissolved_mol={species: amount * share for species, amount in self.dissolved_mol.items()},
            solids_mol={species: amount * share for species, amount in self.solids_mol.items()},
        )

    def renamed(self, name: str) -> Pot:
        """The same pot under another name."""
        return replace(self, name=name)

    def marked(self, mark: str, step: str) -> Pot:
        """The same pot with a mark its history leaves, and the step that set it."""
        return replace(self, marks={**self.marks, mark: self.marks.get(mark, step)})


def merged(*amounts: Mapping[str, Number]) -> dict[str, Number]:
    """Sum of several mappings of amounts, species by species."""
    total: dict[str, Number] = {}
    for one in amounts:
        for species, amount in one.items():
            total[species] = total[species] + amount if species in total else amount
    return total


def charge_mol(amounts: Iterable[tuple[str, Number]]) -> Number:
    """Net charge of a set of amounts [mol of elementary charge]."""
    net: Number = 0.0
    for species, amount in amounts:
        net = net + parse(species).charge * amount
    return net
