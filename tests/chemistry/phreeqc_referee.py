"""PHREEQC as a referee: a database text made from our constants, and a pot run through it by the same conventions.

Every component becomes an element of its own, so that nothing changes its valency. A litre counts as one kilogram of water and
stays so: the water made or bound is put back or taken out until it does.
"""

from __future__ import annotations

from typing import Any

from phreeqpython.viphreeqc import VIPhreeqc

from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.names import charge

ELEMENT = {
    "Na^+": "Sod", "K^+": "Kal", "Ca^2+": "Cal", "Mg^2+": "Mag", "NH4^+": "Amm", "Cu^2+": "Cub", "Cu^+": "Cua", "Ni^2+": "Nic",
    "Zn^2+": "Znk", "Cd^2+": "Cad", "Pb^2+": "Plb", "Fe^2+": "Feb", "Fe^3+": "Fec", "Al^3+": "Alu", "Ag^+": "Arg", "Sn^4+": "Stn",
    "Cl^-": "Chl", "NO3^-": "Nit", "SO4^2-": "Sul", "CO3^2-": "Crb",
}  # fmt: skip
BASES = {"NaOH": "SodOH", "KOH": "KalOH", "Ca(OH)2": "Cal(OH)2", "Mg(OH)2": "Mag(OH)2", "Na2CO3": "Sod2Crb", "NaHCO3": "SodHCrb"}
HYDROGENS = {"NH4^+": 1}
WATER_KG_PER_MOL = 0.018016
HEAD = """SOLUTION_MASTER_SPECIES
H H+ -1.0 H 1.008
H(0) H2 0 H
H(1) H+ -1.0 0.0
E e- 0 0 0
O H2O 0 O 16.0
O(0) O2 0 O
O(-2) H2O 0 0
Alkalinity Crb1-2 1.0 60 60
{masters}
SOLUTION_SPECIES
H+ = H+
 log_k 0
e- = e-
 log_k 0
H2O = H2O
 log_k 0
2 H2O = O2 + 4 H+ + 4 e-
 log_k -86.08
2 H+ + 2 e- = H2
 log_k -3.15
"""


def _formula(of: dict[str, float], z: int) -> str:
    """A formula in the made-up elements that balances by itself."""
    hydrogen = of.get("H^+", 0) + 2 * of.get("H2O", 0) + sum(HYDROGENS.get(name, 0) * count for name, count in of.items())
    text = "".join(f"{ELEMENT[name]}{count:g}" for name, count in of.items() if name in ELEMENT)
    text += f"H{hydrogen:g}" if hydrogen else ""
    text += f"O{of['H2O']:g}" if of.get("H2O") else ""
    return text + (f"{z:+d}" if z else "")


def _side(of: dict[str, float], sign: int) -> str:
    terms = []
    for name, count in of.items():
        if count * sign > 0:
            ion = {"H^+": "H+", "H2O": "H2O"}.get(name) or _formula({name: 1.0}, charge(name))
            terms.append(f"{abs(count):g} {ion}")
    return " + ".join(terms)


def database_text(constants: Constants, components: list[str]) -> str:
    """A whole PHREEQC database of our constants over some components."""
    known = {*components, "CO3^2-", "H^+", "H2O"}
    masters = "\n".join(f"{ELEMENT[c]} {_formula({c: 1.0}, charge(c))} 0 50 50" for c in sorted(known & set(ELEMENT)))
    lines = [HEAD.format(masters=masters)]
    lines += [
        f"{_formula({c: 1.0}, charge(c))} = {_formula({c: 1.0}, charge(c))}\n log_k 0" for c in sorted(known & set(ELEMENT))
    ]
    for one in constants.complexes:
        if set(one.of) <= known:
            own = "OH-" if one.formula == "OH^-" else _formula(dict(one.of), one.charge)
            right = " + ".join(part for part in (own, _side(dict(one.of), -1)) if part)
            ideal = "" if one.charge else "\n -gamma 1 0"  # PHREEQC would salt a neutral species out by itself
            lines.append(f"{_side(dict(one.of), 1)} = {right}\n log_k {one.log_k!r}{ideal}")
    lines.append("PHASES")
    for number, solid in enumerate(constants.solids):
        if set(solid.to) <= known:
            left = " + ".join(part for part in (_formula(dict(solid.to), 0), _side(dict(solid.to), -1)) if part)
            lines.append(f"S{number}\n {left} = {_side(dict(solid.to), 1)}\n log_k {solid.log_k!r}")
    return "\n".join(lines) + "\nEND\n"


class Referee:
    """PHREEQC over one set of components."""

    def __init__(self, constants: Constants, components: list[str]) -> None:
        self.components = components
        self.solids = {f"S{n}": s.key for n, s in enumerate(constants.solids) if set(s.to) <= {*self.components, "H^+", "H2O"}}
        self.engine = VIPhreeqc()
        self.engine.load_database_string(database_text(constants, components))
        self.engine.set_selected_output_file_off()

    def pot(self, totals: dict[str, float], base: str | dict[str, float], dose: float) -> dict[str, Any]:
        """Put a dose of base, or of several by their shares, into a liquor: pH, ionic strength, all dissolved and every solid."""
        water = 0.0
        for _ in range(6):
            row = self._run(totals, base, dose, water)
            short = 1.0 - row["water"]
            if abs(short) < 1e-10:
                break
            water += short / WATER_KG_PER_MOL
        return row

    def _run(self, totals: dict[str, float], base: str | dict[str, float], dose: float, water: float) -> dict[str, Any]:
        amounts = "\n".join(f" {ELEMENT[name]} {total!r}" for name, total in totals.items() if total > 0)
        shares = {base: 1.0} if isinstance(base, str) else base
        adds = "\n".join(f" {BASES[name]} {share * dose!r}" for name, share in shares.items())
        phases = "\n".join(f" {name} 0 0" for name in self.solids)
        heads = [ELEMENT[name] for name in self.components]
        punch = ", ".join(
            ['-LA("H+")', "MU", 'TOT("water")', *(f'TOT("{e}")' for e in heads), *(f'EQUI("{name}")' for name in self.solids)]
        )
        self.engine.run_string(
            f"SOLUTION 1\n units mol/kgw\n pH 1 charge\n pe 4\n -water 1\n{amounts}\n"
            f"EQUILIBRIUM_PHASES 1\n{phases}\nREACTION 1\n{adds}\n H2O {water!r}\n 1 moles\n"
            f"SELECTED_OUTPUT\n -reset false\n -high_precision true\nUSER_PUNCH\n 10 PUNCH {punch}\n"
            "KNOBS\n -convergence_tolerance 1e-12\nEND\n"
        )
        row = [float(value) for value in self.engine.get_selected_output_array()[-1]]
        count = len(heads)
        return {
            "ph": row[0],
            "ionic": row[1],
            "water": row[2],
            "dissolved": dict(zip(self.components, row[3 : 3 + count], strict=True)),
            "solids": dict(zip(self.solids.values(), row[3 + count :], strict=True)),
        }
