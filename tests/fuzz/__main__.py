"""The long run: `python -m tests.fuzz --fuzz-count 100000 [--seed 1]`. Ends with 1 where anything was found."""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
import time
from collections import Counter
from random import Random

from tests.fuzz.grammar import line
from tests.fuzz.judge import CODES, fault

MOST_KB = 1_000_000
AS_PROCESS = 500
"""One line in so many is run again as a process of its own."""


def main() -> None:
    """Draw, run, judge, and print what was found with the number that draws it again."""
    options = argparse.ArgumentParser()
    options.add_argument("--fuzz-count", type=int, default=2000)
    options.add_argument("--seed", type=int, default=1)
    told = options.parse_args()
    found: Counter[str] = Counter()
    start = time.perf_counter()
    for number in range(told.seed, told.seed + told.fuzz_count):
        words, pipe = line(Random(number))
        said = fault(words, pipe) or (alone(words, pipe) if number % AS_PROCESS == 0 else "")
        if said:
            found[said[:60]] += 1
            if found[said[:60]] <= 3:
                print(f"{number}: {said}\n    {words!r:.300}\n    {pipe!r:.300}", flush=True)
    most_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(f"{told.fuzz_count} lines, {sum(found.values())} faults, {most_kb // 1000} MB, {time.perf_counter() - start:.0f} s")
    raise SystemExit(1 if found or most_kb > MOST_KB else 0)


def alone(words: list[str], pipe: str) -> str:
    """What is wrong with the same line run as a process; words no process can be given are left out."""
    if any("\0" in word for word in words) or "log" in words or "new" in words:
        return ""
    done = subprocess.run([sys.executable, "-m", "refinekit", *words], input=pipe.encode(), capture_output=True, timeout=30)
    bad = done.returncode not in CODES or b"Traceback" in done.stderr
    return f"as a process: {done.returncode} {done.stderr[-200:]!r}" if bad else ""


if __name__ == "__main__":
    main()
