"""What is in the water before anything is added: totals of every component, and ions that only carry charge."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.names import ACID, BASE, charge, component, parts
from refinekit.chemistry.species import molar_mass
from refinekit.errors import BadQuantity, Leak, OutOfRange, UnknownName
from refinekit.ranges import Number
from refinekit.record import record

Array = NDArray[np.float64]
UNBALANCED = 1e-6


@record
class Liquor:
    """Totals of a liquor, or of many liquors at once.

    The acid is not given: it is whatever makes the charges come out, so chloride over and above the metals is free acid.

    Args:
        totals_mol_per_l: component to total, dissolved or fallen [mol/L], 0 to 55.5; floats or arrays of one shape (n,)
        idle_mol_per_l: ions without constants that are to be carried for their charge only [mol/L]
    Raises: UnknownName, a component without constants; BadQuantity, no figure or unequal lengths; OutOfRange, below 0 or absurd

    >>> Liquor({"Cu^2+": 0.3, "Cl^-": 1.1}).acid_mol_per_l
    array([0.5])
    """

    totals_mol_per_l: Mapping[str, Number]
    idle_mol_per_l: Mapping[str, Number] = field(default_factory=dict)

    def __post_init__(self) -> None:
        given: dict[str, Array] = {}
        for name, total in self.totals_mol_per_l.items():
            key = component(name)
            if key in (ACID, BASE):
                raise UnknownName(
                    f"{name} is not given to a liquor", cure="leave it out: it follows from the charges of the rest"
                )
            if key in given:
                raise BadQuantity(f"{name} is given twice", cure=f"give {key} once")
            given[key] = _checked(name, total)
        idle = {name: _checked(name, total) for name, total in self.idle_mol_per_l.items()}
        lengths = {len(total) for total in [*given.values(), *idle.values()]} - {1}
        if len(lengths) > 1:
            raise BadQuantity(f"totals come in lengths {sorted(lengths)}", cure="give every component for the same liquors")
        object.__setattr__(self, "totals_mol_per_l", given)
        object.__setattr__(self, "idle_mol_per_l", idle)

    def __len__(self) -> int:
        return max([len(total) for total in [*self._totals().values(), *self._idle().values()]], default=1)

    @property
    def acid_mol_per_l(self) -> Array:
        """Strong acid over and above the salts [mol/L], shape (n,): the charge the ions lack; negative for a base."""
        held = {**self._totals(), **self._idle()}
        return -sum((charge(name) * total for name, total in held.items()), start=np.zeros(len(self)))

    def plus(self, adds: Mapping[str, float], mol_per_l: Number) -> Liquor:
        """The liquor with a base in it.

        Args:
            adds: components of one mole of the base [-]
            mol_per_l: how much of it [mol/L]
        """
        totals = dict(self._totals())
        for name, count in adds.items():
            totals[name] = np.asarray(totals.get(name, np.zeros(1)) + count * np.atleast_1d(np.asarray(mol_per_l, dtype=float)))
        return Liquor({name: np.maximum(total, 0.0) for name, total in totals.items()}, self._idle())

    def rows(self, which: NDArray[np.intp]) -> Liquor:
        """Some of the liquors, by index."""
        n = len(self)
        return Liquor(
            {name: np.broadcast_to(total, (n,))[which] for name, total in self._totals().items()},
            {name: np.broadcast_to(total, (n,))[which] for name, total in self._idle().items()},
        )

    def _totals(self) -> Mapping[str, Array]:
        return self.totals_mol_per_l  # type: ignore[return-value]

    def _idle(self) -> Mapping[str, Array]:
        return self.idle_mol_per_l  # type: ignore[return-value]


def _checked(name: str, total: Number) -> Array:
    figures = np.atleast_1d(np.asarray(total, dtype=float))
    if figures.ndim != 1 or not np.isfinite(figures).all():
        raise BadQuantity(f"{name} at {total} mol/L is not a finite figure or a row of them", cure="give mol per litre")
    if (figures < 0).any():
        raise OutOfRange(f"{name} at {figures.min():g} mol/L is negative", cure="a liquor holds nothing or more")
    if (figures > 1000 / molar_mass("H2O")).any():  # a kilogram of water is no more moles than this itself
        raise OutOfRange(
            f"{name} at {figures.max():g} mol/L is more than a litre of water can hold",
            cure="check the unit: mol per litre, not grams",
        )
    return figures


def totals_from_ions(amounts_mol: Mapping[str, Number], volume_l: Number, *, idle: Iterable[str] = ()) -> Liquor:
    """The liquor a pot holds.

    Args:
        amounts_mol: dissolved ions and molecules as pots write them [mol], "CuCl2^-" or "H^+"; water is passed over
        volume_l: litres of liquor [L], over 0
        idle: ions without constants to carry for their charge only, e.g. "AuCl4^-"
    Returns: Liquor, totals per component
    Raises: UnknownName, every ion there are no constants for; OutOfRange, no volume; Leak, charges that do not come out
    """
    litres = np.asarray(volume_l, dtype=float)
    if not (litres > 0).all():
        raise OutOfRange(f"a liquor of {volume_l} L", cure="give more than nothing")
    carried = set(idle)
    _refuse_strangers(name for name, amount in amounts_mol.items() if name not in carried and np.any(np.asarray(amount) != 0))
    totals: dict[str, Array] = {}
    idle_totals: dict[str, Array] = {}
    for name, amount in amounts_mol.items():
        mol_per_l = np.asarray(amount, dtype=float) / litres
        if name in carried:
            idle_totals[name] = mol_per_l
        elif name != "H2O" and np.any(mol_per_l != 0):
            for part, count in parts(name).items():
                totals[part] = totals.get(part, np.zeros(())) + count * mol_per_l
    given_acid = totals.pop(ACID, np.zeros(())) - totals.pop(BASE, np.zeros(()))
    liquor = Liquor(
        {name: np.atleast_1d(total) for name, total in totals.items()}, {n: np.atleast_1d(t) for n, t in idle_totals.items()}
    )
    _check_charge(liquor, np.atleast_1d(given_acid))
    return liquor


def _refuse_strangers(names: Iterable[str]) -> None:
    strangers = []
    for name in names:
        try:
            parts(name)
        except UnknownName:
            if name != "H2O":
                strangers.append(name)
    if strangers:
        raise UnknownName(
            f"there are no equilibrium constants for {', '.join(strangers)}",
            cure="take it out first (drop, cement or filter), or carry it as an idle ion",
        )


def _check_charge(liquor: Liquor, given_acid: Array) -> None:
    wanted = liquor.acid_mol_per_l
    size = 1e-3 + sum((abs(charge(name)) * total for name, total in liquor.totals_mol_per_l.items()), start=np.zeros(1))
    if (np.abs(wanted - given_acid) > UNBALANCED * size).any():
        raise Leak(
            f"the ions carry {np.max(np.abs(wanted - given_acid)):.3g} mol/L of charge too much or too little",
            cure="give every ion that is in the pot, H^+ too",
        )
