"""What starting a command loads, module by module, against the budget of imports.toml: `python -m tests.bench.imports`."""

from __future__ import annotations

import statistics
import subprocess
import sys
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path

from tests.bench.rows import HEAD, Row

BUDGET = tomllib.loads(Path(__file__).with_name("imports.toml").read_text(encoding="utf-8"))
FOUR = "import typer, rich, pint, periodictable"
SHOWN = 15
STANDARD = "the standard library"


def loaded(words: Sequence[str]) -> dict[str, float]:
    """Milliseconds of each module by itself, as one run of Python tells them."""
    done = subprocess.run([sys.executable, "-X", "importtime", *words], capture_output=True, text=True)
    found = {}
    for line in done.stderr.splitlines():
        parts = line.removeprefix("import time:").split("|")
        if line.startswith("import time:") and parts[0].strip().isdigit():
            found[parts[2].strip()] = int(parts[0]) / 1000
    return found


def package_of(module: str) -> str:
    """The package a module is counted with."""
    top = module.partition(".")[0]
    if top in BUDGET["most"]:
        return top
    return STANDARD if top in sys.stdlib_module_names or top.startswith("_") else "others"


def by_package(modules: Mapping[str, float]) -> dict[str, float]:
    """Milliseconds by package."""
    sums = dict.fromkeys(BUDGET["most"], 0.0)
    for module, ms in modules.items():
        sums[package_of(module)] += ms
    return sums


def rows(rounds: int) -> tuple[list[Row], dict[str, float]]:
    """Each package against its share, and the modules of the middle run [ms]."""
    runs = []
    for _ in range(rounds):
        four = sum(loaded(["-c", FOUR]).values())
        modules = loaded(["-m", "refinekit", *BUDGET["command"]])
        runs.append((sum(modules.values()) / four, four, modules))
    runs.sort(key=lambda run: run[0])
    _, four, middle = runs[len(runs) // 2]
    shares = {name: statistics.median(by_package(run[2])[name] / run[1] for run in runs) for name in BUDGET["most"]}
    found = [
        Row(f"loads {name}", shares[name], "of FOUR's", most, None, shares[name] * four, rounds)
        for name, most in BUDGET["most"].items()
    ]
    barred = [name for name in BUDGET["never"] if name in middle]
    found.append(Row(f"loads what it should not: {', '.join(barred) or 'nothing'}", float(len(barred)), "packages", 0.0))
    return found, middle


def listed(modules: Mapping[str, float]) -> list[str]:
    """The modules that take longest, ours and others'."""
    lines = []
    for title, own in (("our own", True), ("all others", False)):
        some = [(ms, name) for name, ms in modules.items() if (name.partition(".")[0] == "refinekit") is own]
        lines.append(f"{title}: {len(some)} modules, {sum(ms for ms, _ in some):.0f} ms; longest, each by itself:")
        lines += [f"  {ms:6.1f} ms  {name}" for ms, name in sorted(some, reverse=True)[:SHOWN]]
    return lines


def main() -> int:
    """Print both."""
    found, modules = rows(5)
    print("\n".join([HEAD, *(row.line() for row in found), *listed(modules)]))
    return 1 if any(row.over for row in found) else 0


if __name__ == "__main__":
    sys.exit(main())
