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
TELL = 5000
AS_PROCESS = 500
"""One line in so many is run again as a process of its own."""


def main() -> None:
    """Draw, run, judge, and print what was found with the number that draws it again."""
    options = argparse.ArgumentParser()
    options.add_argument("--fuzz-count", type=int, default=2000)
    options.add_argument("--fuzz-minutes", type=float, default=float("inf"), help="stop after so long, however few were run")
    options.add_argument("--seed", type=int, default=1)
    told = options.parse_args()
    found: Counter[str] = Counter()
    ran = 0
    warnings.simplefilter("error")
    start = time.perf_counter()
    for number in range(told.seed, told.seed + told.fuzz_count):
        if time.perf_counter() - start > told.fuzz_minutes * 60:
            break
        drawn, before_kb = case(Random(number)), most_kb()
        said = fault(drawn) or (alone(drawn) if number % AS_PROCESS == 0 else "") or too_big(before_kb)
        ran += 1
        if said:
            found[said[:60]] += 1
            if found[said[:60]] <= 3:
                print(f"{number}: {said}\n    {drawn.words!r:.300}\n    {drawn.pipe!r:.300}", flush=True)
        if ran % TELL == 0:
            print(f"{ran} lines, {sum(found.values())} faults, {most_kb() // 1000} MB", flush=True)
    print(f"{ran} lines, {sum(found.values())} faults, {most_kb() // 1000} MB, {time.perf_counter() - start:.0f} s")
    raise SystemExit(1 if found else 0)


def most_kb() -> int:
    """The most memory held so far, by this process or by one it started [kB]."""
    return max(resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))


def too_big(before_kb: int) -> str:
    """What is wrong where the last case took the memory over what it may be."""
    return f"over {MOST_KB // 1000} MB" if before_kb <= MOST_KB < most_kb() else ""


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
