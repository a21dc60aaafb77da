"""The self-check: our figures beside outside ones. The cases are facts (facts/check/); here is how ours are asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from refinekit.bench.fineness_sums import metal_density
from refinekit.bench.fume_air import airing_minutes, hood_m3_per_min
from refinekit.chemistry.balance import balance
from refinekit.chemistry.density import g_per_ml, water_g_per_ml
from refinekit.chemistry.equation import Equation, reaction, reactions
from refinekit.chemistry.gas import litres
from refinekit.chemistry.heat import formation_enthalpy, reaction_enthalpy
from refinekit.chemistry.molar import molar
from refinekit.chemistry.solution import Solution, dilute
from refinekit.chemistry.species import atomic_weight, parse
from refinekit.chemistry.vapour import hcl_pressure_pa, water_pressure_pa
from refinekit.errors import RefinekitError
from refinekit.facts.load import cite, fact, files, table
from refinekit.how_far import counted
from refinekit.record import record
from refinekit.units.kinds import FOOT_M, INCH_M


@record
class Check:
    """Our figure beside one that comes from outside.

    Args:
        id: of the case [text]
        about: what is compared [text]
        ours: what this program says [in `unit`]
        outside: what the source says [in `unit`]
        unit: of both [text]
        within: how far apart they may lie [in `unit`]
        source: citation, and where in it [text]
    """

    id: str
    about: str
    ours: float
    outside: float
    unit: str
    within: float
    source: str

    @property
    def difference(self) -> float:
        """Ours less the outside figure [in `unit`]."""
        return self.ours - self.outside

    @property
    def holds(self) -> bool:
        """Whether the two lie within the tolerance; a figure that is no number does not."""
        return abs(self.difference) <= self.within


def _kelvin(celsius: float) -> float:
    return celsius + float(fact("constants.zero_celsius").value)


def _vapour_kpa(percent: float, celsius: float) -> Any:
    kelvin = _kelvin(celsius)
    return (hcl_pressure_pa(percent, kelvin) + water_pressure_pa(percent, kelvin)) / 1000


def _heat_kj(equation: str, runs: float) -> float:
    read = Equation.parse(equation)
    of = {f"{name}({read.states[name]})" if name in read.states else name: count for name, count in read.net.items()}
    return runs * reaction_enthalpy(of)


def _wanted_mol(equation: str, of: str, wanted: str, grams: float) -> Any:
    return molar(of).amount_mol(grams) * balance(equation).mole_ratio(wanted, of)


def _plated_g(metal: str, electrons: float, amperes: float, hours: float) -> Any:
    return molar(metal).mass_g(amperes * hours * 3600 / fact("constants.faraday").value / electrons)


def _diluted_ml(solute: str, strong: float, target: float, form: str, litres: float) -> Any:
    return dilute(Solution.of(solute, form, strong), Solution.of(solute, form, target), litres).take_ml


def _hood_cfm(width_in: float, height_in: float, face_fpm: float) -> Any:
    foot_m, inch_m = float(FOOT_M), float(INCH_M)
    return hood_m3_per_min(width_in * inch_m, height_in * inch_m, face_fpm * foot_m / 60) / foot_m**3


def _alkali_mol(**told: Any) -> float:
    from refinekit.bench.neutralise import run

    return run(**told).answer("alkali").likely


OURS: Mapping[str, Callable[..., Any]] = {
    "atomic_weight": lambda element: atomic_weight(element),
    "formation_kj": lambda species: formation_enthalpy(species),
    "density": lambda solute, percent, celsius: g_per_ml(solute, percent, _kelvin(celsius)),
    "water_density": lambda celsius: water_g_per_ml(_kelvin(celsius)),
    "vapour_kpa": _vapour_kpa,
    "metal_density": lambda symbol: metal_density(symbol),
    "melting_k": lambda symbol: table("enthalpy")["melting"][symbol]["melts_k"],
    "fact": lambda id: fact(id).value,
    "gas_litres": lambda mol, kelvin, pascal: litres(mol, kelvin, pascal),
    "diluted": _diluted_ml,
    "titre": lambda equation, of, by, ml, by_m, by_ml: by_m * by_ml * balance(equation).mole_ratio(of, by) / ml,
    "grams": lambda equation, of, wanted, grams: molar(wanted).mass_g(_wanted_mol(equation, of, wanted, grams)),
    "gas_of": lambda equation, of, gas, grams, kelvin, pascal: litres(_wanted_mol(equation, of, gas, grams), kelvin, pascal),
    "heat_kj": _heat_kj,
    "plated_g": _plated_g,
    "hood_cfm": _hood_cfm,
    "airing_minutes": lambda cubic_feet, cfm, left: airing_minutes(cubic_feet, cfm, left),
    "alkali_mol": _alkali_mol,
}
"""How our figure of a kind of case is asked for, by the names the facts give its inputs."""


def checks() -> tuple[Check, ...]:
    """Every check: the equations re-balanced, then the cases of the facts."""
    return (*equations(), *counted((case(row) for row in cases()), "figures", sum(1 for _ in cases())))


def cases() -> Iterator[Mapping[str, Any]]:
    """The cases of the facts, file by file."""
    for name in files():
        if name.startswith("check/"):
            yield from table(name)["case"]


def case(row: Mapping[str, Any]) -> Check:
    """One case of the facts, with our figure."""
    ours = float(OURS[row["kind"]](**row["of"]))
    source = f"{cite(row['source'])}{', ' + row['where'] if 'where' in row else ''}"
    return Check(row["id"], row["about"], ours, float(row["value"]), row["unit"], float(row["within"]), source)


def equations() -> tuple[Check, ...]:
    """The reactions of the facts: what atoms and charge they leave over, and how many balancing writes otherwise."""
    known = list(counted((reaction(id) for id in reactions()), "equations"))
    over = max(left_over(one) for one in known)
    other = sum(not same_again(one) for one in known)
    count = len(known)
    return (
        Check("atoms", f"atoms or charge left over, the most of {count} reactions", over, 0.0, "mol", 0.0, cite("equation")),
        Check(
            "again",
            f"of {count} reactions, those that balancing writes in other proportions",
            other,
            0.0,
            "equations",
            0.0,
            cite("equation"),
        ),
    )


def left_over(equation: Equation) -> float:
    """The most of any element, or of charge, that a reaction makes or loses, counted from the formulas [mol]."""
    sums: dict[str, float] = {}
    for formula, count in equation.net.items():
        species = parse(formula)
        for element, atoms in (*species.elements.items(), ("charge", species.charge)):
            sums[element] = sums.get(element, 0.0) + count * atoms
    return max(map(abs, sums.values()), default=0.0)


def same_again(equation: Equation) -> bool:
    """Whether balancing from nothing gives the same proportions; a reaction that is several at once has no single answer."""
    try:
        anew = balance(equation).net
    except RefinekitError:
        return left_over(equation) == 0.0
    shares = {equation.net.get(formula, 0.0) / count for formula, count in anew.items()}
    return len(shares) == 1 and anew.keys() == equation.net.keys()
