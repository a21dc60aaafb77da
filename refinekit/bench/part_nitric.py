"""Nitric that an alloy takes in the parting: by metal, by the route its nitrogen leaves, and how far a charge reaches."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from refinekit.bench import leach_nitric
from refinekit.bench.work import Work
from refinekit.chemistry.equation import Equation, reaction
from refinekit.chemistry.heat import reaction_enthalpy
from refinekit.chemistry.redox import dissolving_order, serve
from refinekit.ranges import Number, high

PALLADIUM = Equation.parse("3 Pd + 8 HNO3 -> 3 Pd(NO3)2 + 2 NO + 4 H2O")
"""Palladium in nitric acid, all the nitrogen leaving as nitric oxide."""
NO_ROUTE: dict[str, str | Equation] = {**leach_nitric.NO_ROUTE, "Cu": "R7.13", "Pd": PALLADIUM}
PARTED = tuple(NO_ROUTE)
"""Metals that nitric takes out of an alloy, by symbol."""
NO_ROUTE |= {"Pt": "R7.18"}
"""Reaction of each metal that parts, and of the platinum that follows silver, all the nitrogen leaving as nitric oxide."""
ELECTRONS = {**leach_nitric.ELECTRONS, "Pd": 2, "Pt": 4}
"""Electrons a metal gives nitric acid."""
BOUND = {**leach_nitric.BOUND, "Pd": 2, "Pt": 4}
"""Nitrate a metal binds; tin ends as paste and binds none."""


def electrons_of(metals_mol: Mapping[str, Number]) -> Number:
    """Electrons metals give nitric acid [mol], by symbol [mol]."""
    return sum((ELECTRONS[metal] * mol for metal, mol in metals_mol.items()), 0.0)


def nitric_for(metals_mol: Mapping[str, Number], no_share: Number) -> Number:
    """Nitric acid that the metals of an alloy take.

    Args:
        metals_mol: by symbol [mol]; 0 and up
        no_share: share of the nitrogen leaving as nitric oxide, the rest as nitrogen dioxide [-]; 0 to 1
    Returns: acid [mol]
    Source: salts bound + electrons / (1 + 2 x): R7.1, R7.2, R7.10, R7.13

    >>> round(nitric_for({"Ag": 3.0}, 1.0), 6), round(nitric_for({"Ag": 1.0}, 0.0), 6)
    (4.0, 2.0)
    """
    bound: Number = sum((BOUND[metal] * mol for metal, mol in metals_mol.items()), 0.0)
    return bound + electrons_of(metals_mol) / (1 + 2 * no_share)


def reached(metals_mol: Mapping[str, Number], nitric_mol: Number, no_share: Number) -> dict[str, Number]:
    """Metals that so much nitric dissolves, the basest first.

    Args:
        metals_mol: there, by symbol [mol]
        nitric_mol: free acid [mol]
        no_share: as `nitric_for`
    Returns: dissolved, by symbol [mol]
    """
    each = {metal: nitric_for({metal: 1.0}, no_share) for metal in metals_mol}
    wants = {metal: each[metal] * metals_mol[metal] for metal in sorted(metals_mol, key=dissolving_order)}
    return {metal: got / each[metal] for metal, got in serve(nitric_mol, wants)[0].items()}


def dissolve_metals(work: Work, metals_mol: Mapping[str, Number], no_share: Number) -> None:
    """Dissolve metals by the nitric oxide route, then turn as much of that to nitrogen dioxide as the split has it.

    Args:
        work: the step, acid poured; its heat is set from the formation enthalpies known
        metals_mol: what dissolves, by symbol [mol]
        no_share: as `nitric_for`
    """
    heat: Number = 0.0
    for metal, mol in metals_mol.items():
        if high(mol) <= 0:
            continue
        equation = _equation(NO_ROUTE[metal])
        work.react(NO_ROUTE[metal], mol / equation.left[metal])
        if metal not in ("Sn", "Pd", "Pt"):  # of their products no heat of formation is known
            heat = heat - reaction_enthalpy(equation.net) * mol / equation.left[metal]
    turning = reaction(leach_nitric.NO_TO_NO2)
    turned = (1 - no_share) * electrons_of(metals_mol) / (1 + 2 * no_share) / turning.right["NO2"]
    if high(turned) > 0:
        work.react(leach_nitric.NO_TO_NO2, turned)
        heat = heat - reaction_enthalpy(turning.net) * turned
    work.heat_kj = work.heat_kj + heat


def _equation(which: str | Equation) -> Equation:
    return reaction(which) if isinstance(which, str) else which


def nitric_in(work: Work) -> Number:
    """Free nitric acid in the liquor [mol]: no more than either its acid or its nitrate."""
    return np.minimum(work.dissolved.get("H^+", 0.0), work.dissolved.get("NO3^-", 0.0))
