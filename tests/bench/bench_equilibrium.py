"""How much faster than PHREEQC through phreeqpython, as ratios in one run: run this file by hand.

Both have started and read their constants before the clock runs. PHREEQC is run as phreeqpython runs it, one pot after another,
the dose to a pH by its own search for it.
"""

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "chemistry"))

from phreeqc_referee import ELEMENT, database_text
from phreeqpython import PhreeqPython

from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.curve import curve
from refinekit.chemistry.equilibrium.dose import dose_to_ph
from refinekit.chemistry.equilibrium.liquor import Liquor

COMPONENTS = ["Cu^2+", "Ni^2+", "Zn^2+", "Fe^3+", "Cl^-", "Na^+"]
POINTS, LIQUORS, SAMPLED, TARGET = 200, 10_000, 200, 9.5


def timed(work, rounds=3):
    best = np.inf
    for _ in range(rounds):
        began = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - began)
    return best


def liquors(n):
    rng = np.random.default_rng(1)
    metals = {name: rng.uniform(0.01, 0.4, n) for name in COMPONENTS[:4]}
    return {
        **metals,
        "Cl^-": 2 * (metals["Cu^2+"] + metals["Ni^2+"] + metals["Zn^2+"]) + 3 * metals["Fe^3+"] + rng.uniform(0.1, 1.5, n),
    }


class ThroughPhreeqpython:
    """The same pots by phreeqpython's own calls: make a solution, change it, let it come to terms with its solids, read it."""

    def __init__(self, constants):
        self.engine = PhreeqPython()
        text = database_text(constants, COMPONENTS)
        self.engine.ip.load_database_string(text.replace("END\n", "") + "Fix_pH\n H+ = H+\n log_k 0\nEND\n")
        present = {*COMPONENTS, "H^+", "H2O"}
        self.solids = [f"S{number}" for number, solid in enumerate(constants.solids) if set(solid.to) <= present]
        self.failed = 0

    def liquor(self, totals):
        amounts = {ELEMENT[name]: float(total) for name, total in totals.items()}
        return self.engine.add_solution({"units": "mol/kgw", "pH": "1 charge", **amounts})

    def read(self, pot):
        ip = self.engine.ip
        return ip.get_ph(pot.number), ip.get_mu(pot.number), [ip.get_total(pot.number, ELEMENT[name]) for name in COMPONENTS]

    def at_dose(self, liquor, dose):
        pot = self.engine.change_solution(liquor.number, {"SodOH": float(dose)}, create_new=True)
        self.engine.equalize_solution(pot.number, self.solids, [0] * len(self.solids), [0] * len(self.solids))
        return self.read(pot)

    def to_ph(self, totals, ph):
        count = len(self.solids)
        try:
            pot = self.liquor(totals)
            self.engine.equalize_solution(
                pot.number, [*self.solids, "Fix_pH"], [0] * count + [-ph], [0] * count + [10], [None] * count + ["SodOH"]
            )
        except Exception:  # phreeqpython raises nothing narrower when PHREEQC does not converge
            self.failed += 1
            return None
        return self.read(pot)


def main():
    referee = ThroughPhreeqpython(Constants.default())
    one = {name: total[0] for name, total in liquors(1).items()}
    doses = np.linspace(0.0, dose_to_ph(Liquor(one), "NaOH", 11.0).base_mol_per_l[0], POINTS)
    many = liquors(LIQUORS)
    dose_to_ph(Liquor({name: total[:10] for name, total in many.items()}), "NaOH", TARGET)

    liquor = referee.liquor(one)
    theirs = timed(lambda: [referee.at_dose(liquor, dose) for dose in doses], rounds=1)
    for what, asked in (("dose", {"doses_mol_per_l": doses}), ("pH", {"phs": np.linspace(1.0, 11.0, POINTS)})):
        ours = timed(lambda asked=asked: curve(Liquor(one), "NaOH", **asked))
        print(f"curve of {POINTS} points by {what}: {1000 * ours:.1f} ms against {1000 * theirs:.0f} ms, 1/{theirs / ours:.0f}")

    rows = [{name: total[row] for name, total in many.items()} for row in range(SAMPLED)]
    theirs = timed(lambda: [referee.to_ph(row, TARGET) for row in rows], rounds=1) * LIQUORS / SAMPLED
    ours = timed(lambda: dose_to_ph(Liquor(many), "NaOH", TARGET))
    print(f"{LIQUORS} liquors to pH {TARGET}: {ours:.2f} s against {theirs:.1f} s (from {SAMPLED}), 1/{theirs / ours:.0f}")
    print(f"of those {SAMPLED} PHREEQC did not converge on {referee.failed}")
    alone = timed(lambda: dose_to_ph(Liquor(one), "NaOH", TARGET))
    print(f"one dose: {1000 * alone:.1f} ms")


if __name__ == "__main__":
    main()
