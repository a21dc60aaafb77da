"""What goes in to neutralise: caustic, lime, soda ash, bicarbonate, magnesium hydroxide, and mixtures of them."""

from __future__ import annotations

from collections.abc import Mapping

from refinekit.chemistry.equilibrium.names import charge
from refinekit.errors import OutOfRange, UnknownName
from refinekit.facts.load import fact, table
from refinekit.record import record

CARBONATE = "CO3^2-"


@record
class Base:
    """A base, pure and dry, counted by the mole.

    Args:
        name: what to call it [text]
        adds: components one mole brings [-]
        left_over: key of the solid that lies there when no more dissolves [text]; empty where caustic always dissolves
    """

    name: str
    adds: Mapping[str, float]
    left_over: tuple[str, ...] = ()

    @property
    def alkali(self) -> float:
        """Moles of acid one mole takes up at the most [-]."""
        carbonate = self.adds.get(CARBONATE, 0.0)
        return sum(charge(name) * count for name, count in self.adds.items()) + 2 * carbonate

    @property
    def is_carbonate(self) -> bool:
        """Whether it gives off carbon dioxide."""
        return self.adds.get(CARBONATE, 0.0) > 0


def base(formula: str) -> Base:
    """A base of the facts.

    Args:
        formula: or name [text]: NaOH, KOH, Ca(OH)2, Mg(OH)2, Na2CO3, NaHCO3
    Raises: UnknownName, not a base to neutralise with
    """
    rows = table("equilibrium/bases")["base"]
    for row in rows:
        if formula in (row["formula"], row["name"]):
            kept = (row["left_over"],) if "left_over" in row else ()
            return Base(row["formula"], {name: float(count) for name, count in row["adds"].items()}, kept)
    raise UnknownName(
        f"{formula!r} is not a base to neutralise with",
        cure=f"take one of {', '.join(row['formula'] for row in rows)}; never ammonia: it holds copper and nickel in solution",
    )


def mixture(shares: Mapping[str, float]) -> Base:
    """Several bases weighed together; one mole of the mixture is one mole of everything in it.

    Args:
        shares: base to moles in the mixture, any measure [mol]; 0 and up
    Raises: OutOfRange, a negative share or none at all; UnknownName, not a base
    """
    whole = sum(shares.values())
    if whole <= 0 or min(shares.values()) < 0:
        raise OutOfRange(
            f"the mixture {dict(shares)} has no share or a negative one", cure="give moles of each base, none below 0"
        )
    adds: dict[str, float] = {}
    left_over: list[str] = []
    for formula, share in shares.items():
        one = base(formula)
        left_over += one.left_over if share else ()
        for name, count in one.adds.items():
            adds[name] = adds.get(name, 0.0) + count * share / whole
    return Base(" + ".join(formula for formula, share in shares.items() if share), adds, tuple(left_over))


def most_dose_mol_per_l() -> float:
    """Dose beyond which none is looked for [mol/L]."""
    return fact("equilibrium/bases.most_dose").value


def least_dose_mol_per_l() -> float:
    """Dose from which a weak base is looked along [mol/L]."""
    return fact("equilibrium/bases.least_dose").value
