"""What stays dissolved at a pH by the plain rule, held against yardsticks, and what too much alkali brings back."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass, parse
from refinekit.facts.load import table
from refinekit.ranges import Number, Range, high, low

if TYPE_CHECKING:
    from refinekit.bench.neutralise_judge import Judged
    from refinekit.chemistry.equilibrium.window import Window

WORDS = {
    "Cu": "copper",
    "Ni": "nickel",
    "Zn": "zinc",
    "Pb": "lead",
    "Cd": "cadmium",
    "Fe": "iron",
    "Al": "aluminium",
    "Ag": "silver",
    "Cr": "chromium",
}
NEVER_BY_HYDROXIDE = ("Pb", "Cd", "Ni")
"""Metals hydroxide alone is never promised for."""
AMPHOTERIC = ("Zn", "Al", "Pb")
"""Metals that come back in too much alkali."""


@cache
def symbols() -> dict[str, str]:
    """Every metal's word by its symbol, as species have it."""
    named = {row["formula"]: row["name"] for row in table("species")["species"] if row["phase"] == "solid"}
    return {**named, **WORDS}


def floor_mg_per_l(element: str, ph: float) -> float | None:
    """What clean water over fresh hydroxide holds of a metal at a pH, no complexers, no salt, 25 C.

    Args:
        element: symbol [text]
        ph: pH [-]
    Returns: dissolved metal [mg/L]; None where no constants are kept
    Source: facts/practice/neutralise.toml, floors (WATEQ4F)

    >>> round(floor_mg_per_l("Cu", 9.0), 2)
    0.58
    """
    row = next((row for row in table("practice/neutralise")["floor"] if row["element"] == element), None)
    if row is None:
        return None
    free = 10 ** (row["solid"] - row["charge"] * ph)
    forms = 1 + sum(10 ** (step + number * ph) for number, step in enumerate(row["steps"], start=1))
    return float(1000 * molar_mass(element) * free * forms)


def yardstick(element: str, which: str) -> float | None:
    """The daily figure of a table of facts/discharge.toml [mg/L]; None where it has none."""
    row = table("discharge")[which].get(element, {})
    figure = row.get("daily") or row.get("limit")
    return float(figure["value"]) if figure and "value" in figure else None


def say_water(work: Work, target: float, told: Mapping[str, Any]) -> None:
    """A table of dissolved metals at the pH beside yardsticks, by the floors of the plain rule; pot amounts are not touched."""
    which = str(told.get("limits") or "pses_433")
    worse = work.fact("practice/neutralise.worse").range
    rows: list[tuple[str | float | Range, ...]] = []
    for element, word in WORDS.items():
        if high(_there(work, element)) <= 0:
            continue
        found = floor_mg_per_l(element, target)
        if found is None:
            continue
        span = Range(found * worse.low, found * worse.likely, found * worse.high)
        limit = yardstick(element, which)
        work.answer(
            f"{word}_dissolved", span, "mg/L", sized_on="high", because="floor of clean water, and what real liquors are worse by"
        )
        rows.append((word, span, "-" if limit is None else limit, verdict(element, span, limit)))
    if rows:
        work.table(f"dissolved at pH {target:g}", ("metal", "mg/L", "yardstick mg/L", "verdict"), rows)
        say_yardstick(work)
    _say_too_far(work, target)
    say_promises(work, [element for element in WORDS if high(_there(work, element)) > 0])


def verdict(element: str, span: Range, limit: float | None) -> str:
    """A dissolved metal against a yardstick, in words."""
    if limit is None:
        return "no yardstick"
    if span.low > limit:
        return "over"
    if element in NEVER_BY_HYDROXIDE:
        return "not promised by hydroxide"
    return "under" if span.high <= limit else "may be over"


def say_yardstick(work: Work) -> None:
    """What the yardstick is and is not."""
    work.say(
        "watch for",
        "the yardstick is 40 CFR 433.15 for metal finishing, not a permit: a precious-metals shop falls under Part 421;"
        " the sewerage authority's own figures govern",
    )


def say_promises(work: Work, elements: list[str]) -> None:
    """Metals hydroxide alone does not promise, and what ammonium holds."""
    shy = [WORDS[element] for element in NEVER_BY_HYDROXIDE if element in elements]
    if shy:
        work.say(
            "watch for", f"{', '.join(shy)}: never promised from hydroxide alone; to the contractor, or tested by a laboratory"
        )
    ammonium = high(work.dissolved.get("NH4^+", 0.0) + work.dissolved.get("NH3", 0.0)) > 0 or "ammonium" in work.marks
    line = "a blue liquor above pH 9 is copper held by ammonia: stop, do not dilute, to the contractor"
    if ammonium:
        work.say("watch for", f"ammonium is in it and holds copper and nickel; {line}")
    elif "Cu" in elements:
        work.say("watch for", line)


def yardsticks(told: Mapping[str, Any]) -> dict[str, float]:
    """Every metal's figure of the table told of, or of the usual one [mg/L]."""
    which = str(told.get("limits") or "pses_433")
    return {element: limit for element in WORDS if (limit := yardstick(element, which)) is not None}


def say_window(work: Work, window: Window, told: Mapping[str, Any]) -> None:
    """Answer with the pH that leaves least metal over its yardsticks, and tell metals against pH."""
    work.answer("best_ph", float(window.ph[0]), "pH", because="least metal over its yardsticks, all metals added up")
    low_end, high_end = float(window.all_meet_low[0]), float(window.all_meet_high[0])
    if np.isfinite(low_end):
        line = f"by balances every metal with a yardstick meets it from pH {low_end:.3g} to {high_end:.3g}, in clean clear liquor"
    else:
        never = [WORDS[element] for element, is_never in window.never.items() if is_never[0] and element in WORDS]
        line = (
            f"no pH at all brings {', '.join(never)} under the yardstick"
            if never
            else "no one pH brings all metals under their yardsticks"
        )
        line += ": to the contractor, or another treatment"
    work.say("watch for", line)
    seen = [element for element in WORDS if element in window.grid_mg_per_l]
    rows = [
        (float(ph), *(float(window.grid_mg_per_l[element][0, number]) for element in seen))
        for number, ph in enumerate(window.ph_grid)
        if number % 5 == 0
    ]
    work.table("metals against pH", ("pH", *(f"{WORDS[element]} mg/L" for element in seen)), rows)


def say_balanced(work: Work, judged: Judged, told: Mapping[str, Any]) -> None:
    """What stays dissolved by the balances beside the yardsticks, which way the answer leans, and what is never promised."""
    which = str(told.get("limits") or "pses_433")
    rows: list[tuple[str | float | Range, ...]] = []
    for element, span in judged.metals_mg_per_l.items():
        word, limit = WORDS.get(element, element), yardstick(element, which)
        why = "by balances, over every set of constants and every case"
        work.answer(f"{word}_dissolved", span, "mg/L", sized_on="high", because=why)
        rows.append((word, span, "-" if limit is None else limit, verdict(element, span, limit)))
    if rows:
        work.table(f"dissolved at pH {judged.to_ph:.3g}", ("metal", "mg/L", "yardstick mg/L", "verdict"), rows)
        say_yardstick(work)
    for line in judged.words:
        work.assume(line)
    _say_too_far(work, judged.to_ph)
    say_promises(work, [element for element in WORDS if high(_there(work, element)) > 0])


def _there(work: Work, element: str) -> Number:
    total: Number = 0.0
    for amounts in (work.dissolved, work.solids):
        for species, mol in amounts.items():
            total = total + parse(species).elements.get(element, 0) * mol
    return total


def _say_too_far(work: Work, target: float) -> None:
    """How much of what comes back is in solution at higher pH."""
    rows = []
    step, last = work.fact("practice/neutralise.too_far_step").value, work.fact("practice/neutralise.too_far_to").value
    steps = step * np.arange(np.ceil(target / step), last / step + 0.5 * step)  # half a step over: the last one is not lost
    seen = [element for element in AMPHOTERIC if high(_there(work, element)) > 0]
    for ph in steps if seen else []:
        rows.append((float(ph), *(floor_mg_per_l(element, float(ph)) or 0.0 for element in seen)))
    if rows:
        work.table("too far brings back, at least", ("pH", *(f"{WORDS[element]} mg/L" for element in seen)), rows)


def say_limits(work: Work, told: Mapping[str, Any]) -> None:
    """How much of each metal a table allows in this water, and how much must be taken out of it."""
    if not told.get("limits") or low(work.volume_l) <= 0:
        return
    which = str(told["limits"])
    for element in dict.fromkeys([*WORDS, *table("discharge")[which]]):
        limit = yardstick(element, which) if element in symbols() else None
        if limit is None:
            continue
        word, there = symbols()[element], 1000 * _there(work, element) * molar_mass(element)
        if high(there) <= 0:
            continue
        allowed = limit * work.volume_l
        work.answer(f"{word}_allowed", allowed, "mg", sized_on="low", because=f"litres x {limit:g} mg/L; a limit is not a permit")
        removal = 100 * (1 - allowed / np.maximum(there, 1e-300))
        work.answer(f"{word}_removal_needed", np.maximum(removal, 0.0), "%", sized_on="high", because="of what is in it")
