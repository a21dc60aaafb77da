"""Speed of the karat bench: each command as a ratio to the four libraries, and an account of a thousand lots. Run it by hand."""

import runpy
import statistics
import sys
import time
from pathlib import Path

from refinekit.bench.account import run as account
from refinekit.bench.account_sums import sigmas_of, verdicts
from refinekit.bench.place import Place

BENCH = runpy.run_path(str(Path(__file__).with_name("__main__.py")), run_name="bench")
LOTS = 1000
SECONDS = 1.0
SIZINGS = {
    "lot": ["lot", "--kind", "karat", "--items", "50 g of 14 karat yellow; 33/35/37 g of 10 karat yellow"],
    "inquart": ["inquart", "--weight", "100g", "--make", "583/104/313", "--using", "sterling"],
    "part": ["part", "--gold", "25g", "--silver", "65g", "--copper", "10g", "--nitric", "68 %"],
    "silver": ["silver", "--how", "copper", "--silver", "92.5g", "--free-nitric", "20mL"],
    "melt": ["melt", "--gold", "50g", "--power", "1500W", "--heat-share", "10%"],
    "fineness": ["fineness", "--air", "31.20g", "--water", "29.50g", "--water-temperature", "20C"],
    "account": ["account", "--expected", "2.10g", "--sigma", "0.30g", "--bar", "1.62g", "--fineness", "1000", "--slag", "0.03g"],
    "denox caustic": ["denox", "--method", "caustic", "--nitric-left", "57 mL", "--volume", "3 L"],
}
PLANS = ("karat.toml", "sterling.toml")


def rooms() -> list[tuple[str, list[str], float]]:
    """Every command as JSON and as a table, and the two plans, with what each may take of the four."""
    found = []
    for name, words in SIZINGS.items():
        found += [(f"{name}, JSON", [*words, "--json"], 1.10), (f"{name}, table", words, 1.25)]
    examples = BENCH["ROOT"] / "examples"
    return [*found, *((f"plan {name}", ["plan", str(examples / name)], 1.80) for name in PLANS)]


def thousand() -> float:
    """Seconds for an account of a thousand lots, each a whole step with its places to look."""
    began = time.perf_counter()
    for number in range(LOTS):
        expected = 1.0 + number / 100
        account(place=Place(), expected_g=expected, error=0.05, bar_g=0.9 * expected, fineness=0.99, slag_g=0.01)
    return time.perf_counter() - began


def as_arrays() -> float:
    """Seconds for gap and verdict of a thousand lots at once."""
    import numpy as np

    expected = np.linspace(1.0, 11.0, LOTS)
    began = time.perf_counter()
    verdicts(sigmas_of(expected, 0.9 * expected, 0.05 * expected))
    return time.perf_counter() - began


def main() -> int:
    """Print the table."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    taken: dict[str, list[float]] = {"FOUR": []}
    for _ in range(rounds):
        taken["FOUR"].append(BENCH["seconds"]([sys.executable, "-c", BENCH["FOUR"]]))
        for name, words, _ in rooms():
            taken.setdefault(name, []).append(BENCH["seconds"]([sys.executable, "-m", "refinekit", *words]))
    four = statistics.median(taken["FOUR"])
    print(f"FOUR: {1000 * four:.0f} ms, median of {rounds}")
    over = False
    for name, _, most in rooms():
        ratio = statistics.median(taken[name]) / four
        over |= ratio > most
        print(f"{name:24s}{1000 * ratio * four:7.0f} ms{ratio:7.2f}{most:7.2f}{'   OVER' if ratio > most else ''}")
    whole, sums = min(thousand() for _ in range(3)), as_arrays()
    print(f"account of {LOTS} lots: {whole:.2f} s as steps, {1000 * sums:.2f} ms as sums, at most {SECONDS:g} s")
    return 1 if over or whole > SECONDS else 0


if __name__ == "__main__":
    sys.exit(main())
