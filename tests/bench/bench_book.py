"""The record at 100,000 events: each report against start-up, one event logged against the four, and writers side by side.

Run by hand: `python -m tests.bench.bench_book [events]`; with `writers [seconds]` eight processes write at once for that long.
"""

from __future__ import annotations

import random
import subprocess
import sys
import tempfile
import time
from datetime import date, timedelta
from pathlib import Path

from refinekit.shop.book.check import check
from refinekit.shop.book.entry import Entry
from refinekit.shop.book.opening import open_book
from tests.bench.__main__ import ENVIRONMENT, FOUR

LOT_EVENTS = 14
REPORTS = (
    ["report", "yields"],
    ["report", "losses"],
    ["report", "gold"],
    ["report", "reagents"],
    ["report", "waste"],
    ["report", "cost"],
    ["report", "year", "2025"],
    ["bath", "bath 3"],
    ["drum"],
    ["manifest"],
    ["stock"],
    ["lot", "--lot", "77"],
    ["account", "--lot", "77"],
    ["book"],
)
MOST_BEYOND_S, MOST_LOG = 0.5, 1.2


def lot_events(number: int, at: str, bath: str, chance: random.Random) -> list[Entry]:
    """What a shop writes down of one lot: weighed in, leached, gold steps, found, sold, waste."""
    name, gold = str(number), chance.uniform(1, 4)
    copper, nickel = chance.uniform(0.5, 1.4), chance.uniform(0.05, 0.15)
    leach = {
        "Cu^2+": [copper, 0.8 * copper, 1.2 * copper],
        "Ni^2+": nickel,
        "H^+": -2 * (copper + nickel),
        "H2O": copper,
        "AuCl4^-": 1e-6,
    }
    bare = 0.75 * gold * 190.1 / 196.97
    smb = {
        "key": "smb",
        "name": "sodium metabisulfite",
        "used": 1.3 * bare,
        "planned": 1.4 * bare,
        "bare": [bare, bare, bare],
        "unit": "g",
    }
    nitric = {
        "key": "nitric",
        "name": "nitric acid",
        "used": 0.001 * gold,
        "bare": [0.0008 * gold] * 3,
        "unit": "L",
        "bottle": "H-1",
    }
    metals = {"Au": [gold, 0.6 * gold, 1.6 * gold], "Cu": copper * 63.5, "Ni": nickel * 58.7}
    weighed = {
        "did": "tabs",
        "source": chance.choice("ABCDE"),
        "goods": "tabs",
        "weight_g": 400.0,
        "metals_g": metals,
        "paid": 50.0,
    }
    acid = {"key": "hydrochloric", "name": "hydrochloric acid", "used": 0.3, "unit": "L"}
    fine = gold * chance.uniform(0.93, 1.0)
    top = {"v": bath, "l": 0.3, "mol": {"H^+": 3.0, "Cl^-": 3.0, "H2O": 12.0}}
    rows: list[tuple[str, str, dict[str, object], list[dict[str, object]]]] = [
        ("lot", name, weighed, [{"v": f"{name}: goods", "solid": {"Au": gold / 197, "Cu": copper}, "g": 330.0}]),
        ("bath", bath, {"did": "topped up", "used": [acid]}, [top]),
        (
            "bath",
            bath,
            {"did": f"lot {name} through it", "lot": name},
            [{"v": bath, "mol": leach}, {"v": f"{name}: goods", "solid": {"Cu": -copper}}],
        ),
        ("bath", bath, {"did": "bled"}, [{"v": bath, "to": "spent bath", "l": 0.3}]),
        (
            "step",
            name,
            {"did": "foils", "verb": "dissolve", "step": "dissolve", "used": [nitric]},
            [{"v": f"{name}: goods", "solid": {"Au": -gold / 197}}],
        ),
        ("step", name, {"did": "gold", "verb": "drop", "step": "drop", "used": [smb], "test": "stannous clear"}, []),
        ("step", name, {"did": "powder", "verb": "melt", "step": "melt", "minutes": 4.0}, []),
        (
            "yield",
            name,
            {"did": "found in bar", "stream": "bar", "metal": "gold", "grams": fine / 0.997, "fineness": 0.997, "fine_g": fine},
            [],
        ),
        ("yield", name, {"did": "found in filters", "stream": "filters", "metal": "gold", "grams": 0.02, "fine_g": 0.02}, []),
        ("yield", name, {"did": "found in slag", "stream": "slag", "metal": "gold", "grams": 0.01, "fine_g": 0.01}, []),
        ("vessel", "filters", {"did": "put in"}, [{"v": "filters", "solid": {"Au": 1e-4}, "g": 6.0}]),
        ("money", name, {"did": "sold", "in": 60 * fine}, []),
        (
            "drum",
            f"drum {number // 40}",
            {"did": "poured in spent bath", "what": "spent bath", "kg": 0.36},
            [{"v": "spent bath", "to": f"drum {number // 40}", "l": 0.3}],
        ),
        ("stock", "smb", {"did": "bought", "amount": 5.0, "unit": "g", "paid": 0.04}, []),
    ]
    return [Entry(kind, about, at, data, "M", None, ops) for kind, about, data, ops in rows]


def filled(path: str, events: int) -> None:
    """A book of so many events over twenty years, several baths one after the other."""
    chance, first = random.Random(1), date(2006, 1, 1)
    lots = events // LOT_EVENTS
    entries: list[Entry] = []
    for number in range(lots):
        at = (first + timedelta(days=int(number * 7300 / lots))).isoformat()
        bath = f"bath {number * 8 // lots}"
        if not number % (lots // 8 + 1):
            entries.append(
                Entry(
                    "bath",
                    bath,
                    at,
                    {"did": "started"},
                    ops=[{"v": bath, "l": 5.0, "mol": {"H^+": 15.0, "Cl^-": 20.0, "Cu^2+": 2.5}}],
                )
            )
        entries += lot_events(number, at, bath, chance)
        if number % 40 == 39:
            name = f"drum {number // 40}"
            fetched = {"did": "fetched", "state": "gone", "contractor": "Ashby Haulage", "paper": str(number)}
            entries.append(Entry("drum", name, at, fetched, ops=[{"v": name, "state": "gone"}]))
    with open_book(path, write=True) as book:
        book.add(entries)


def seconds(words: list[str], book: str) -> float:
    """Wall time of one command on the book."""
    began = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "refinekit", *words, "--book", book, "--json"], capture_output=True, env=ENVIRONMENT
    )
    if done.returncode not in (0, 3):
        raise SystemExit(f"{' '.join(words)} ended with {done.returncode}: {done.stderr.decode()[-400:]}")
    return time.perf_counter() - began


def best(words: list[str], book: str, rounds: int) -> float:
    """Best of a few: a busy machine only ever adds."""
    return min(seconds(words, book) for _ in range(rounds))


def main(events: int, rounds: int = 3) -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder:
        large, small = str(Path(folder) / "large.sqlite"), str(Path(folder) / "small.sqlite")
        filled(large, events)
        filled(small, LOT_EVENTS * 100)
        size = Path(large).stat().st_size / 1e6
        print(f"{events} events, {size:.0f} MB; seconds beyond the same of {LOT_EVENTS * 100} events, at most {MOST_BEYOND_S}")
        for words in REPORTS:
            beyond = best(words, large, rounds) - best(words, small, rounds)
            print(f"{' '.join(words):24s}{beyond:7.2f}{'' if beyond <= MOST_BEYOND_S else '   OVER'}", flush=True)
        four: list[float] = []
        log: list[float] = []
        for number in range(5):
            began = time.perf_counter()
            subprocess.run([sys.executable, "-c", FOUR], check=True, env=ENVIRONMENT)
            four.append(time.perf_counter() - began)
            log.append(seconds(["log", "--lot", f"x{number}", "--bar", "2g", "--fineness", "998"], large))
        ratio = min(log) / min(four)
        print(f"one event logged: {ratio:.2f} FOUR, at most {MOST_LOG}{'' if ratio <= MOST_LOG else '   OVER'}")
        began = time.perf_counter()
        with open_book(large) as book:
            faults = check(book).faults
        print(f"check: {time.perf_counter() - began:.1f} s, {len(faults)} faults")


def writers(length_s: float) -> None:
    """Eight processes write at once for a time; then every acknowledged event is looked for."""
    code = (
        "import sys,time\nfrom refinekit.shop.book.entry import Entry\nfrom refinekit.shop.book.opening import open_book\n"
        "end=time.monotonic()+float(sys.argv[3]); n=0\n"
        "while time.monotonic()<end:\n"
        "  with open_book(sys.argv[1],write=True) as b: b.add([Entry('stock',f'{sys.argv[2]}.{n}','2026-03-05',{})])\n"
        "  n+=1\nprint(n)"
    )
    with tempfile.TemporaryDirectory() as folder:
        path = str(Path(folder) / "book.sqlite")
        words = [[sys.executable, "-c", code, path, f"w{number}", str(length_s)] for number in range(8)]
        running = [subprocess.Popen(one, stdout=subprocess.PIPE, text=True, env=ENVIRONMENT) for one in words]
        said = [int(one.communicate()[0]) for one in running]
        with open_book(path) as book:
            names = [one.entry.about for one in book.read()]
            wanted = [f"w{number}.{count}" for number, most in enumerate(said) for count in range(most)]
            whole = sorted(names) == sorted(wanted) and not check(book).faults
        print(f"{sum(said)} events by eight writers in {length_s:g} s: {'none lost, none doubled' if whole else 'NOT WHOLE'}")


if __name__ == "__main__":
    if sys.argv[1:2] == ["writers"]:
        writers(float(sys.argv[2]) if len(sys.argv) > 2 else 20.0)
    else:
        main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
