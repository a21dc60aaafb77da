"""The long run: `python -m tests.fuzz --fuzz-count 100000 [--seed 1]`. Ends with 1 where anything was found."""

from __future__ import annotations

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import time
import warnings
from collections import Counter
from pathlib import Path
from random import Random

from tests.fuzz.files import case
from tests.fuzz.grammar import Case
from tests.fuzz.judge import CODES, WALL_SECONDS, fault

ROOT = Path(__file__).resolve().parents[2]
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
    warnings.simplefilter("error")
    start = time.perf_counter()
    for number in range(told.seed, told.seed + told.fuzz_count):
        drawn = case(Random(number))
        said = fault(drawn) or (alone(drawn) if number % AS_PROCESS == 0 else "")
        if said:
            found[said[:60]] += 1
            if found[said[:60]] <= 3:
                print(f"{number}: {said}\n    {drawn.words!r:.300}\n    {drawn.pipe!r:.300}", flush=True)
    most_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(f"{told.fuzz_count} lines, {sum(found.values())} faults, {most_kb // 1000} MB, {time.perf_counter() - start:.0f} s")
    raise SystemExit(1 if found or most_kb > MOST_KB else 0)


def alone(drawn: Case) -> str:
    """What is wrong with the same case run as a process; words no process can be given are left out."""
    if any("\0" in word for word in drawn.words):
        return ""
    with tempfile.TemporaryDirectory() as folder:
        for name, data in drawn.files.items():
            Path(folder, name).write_bytes(data)
        environment = {**os.environ, "REFINEKIT_BOOK": f"{folder}/book.sqlite", "PYTHONPATH": str(ROOT)}
        command = [sys.executable, "-m", "refinekit", *drawn.words]
        pipe = drawn.pipe.encode("utf-8", "surrogatepass")
        done = subprocess.run(command, input=pipe, capture_output=True, timeout=WALL_SECONDS, cwd=folder, env=environment)
    bad = done.returncode not in CODES or b"Traceback" in done.stderr
    return f"as a process: {done.returncode} {done.stderr[-200:]!r}" if bad else ""


if __name__ == "__main__":
    main()
