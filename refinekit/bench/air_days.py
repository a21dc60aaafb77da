"""An aerated bath day by day: its strengths and colour, when the metal is gone, where it stalls and what to add."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil
from typing import Any

import numpy as np

from refinekit.bench.air_run import MINUTES_AN_HOUR, AirRun, Begin, Draught, aired, least_chloride_over
from refinekit.bench.bubbles import MINUTES_A_DAY, Air
from refinekit.bench.leach_state import colour_of
from refinekit.bench.work import Work
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.chemistry.vapour import beside_copper
from refinekit.ranges import Number, Range, high, likely, low

ROWS_MOST = 10
SHORT_DAYS = 2.0
"""Days under which the table goes by hours."""
LOOK_PAST = 1.1
"""How far past the last thing that happens the likely case is drawn, times its time."""
AS_LOW = 1.001
"""How far over the share of copper(II) it stalls at a bath counts as down to it, times: the run holds it there to a rounding."""
UNDERCUT = (
    "watch for",
    "these days are of metal the bath can reach; under the gold it goes from the edges inwards, which no sum here follows:"
    " foils float free before all of it is gone, rags end later",
)


def begin_of(work: Work, electrons_mol: Number, copper_mol: Number, acid_mol: Number | None = None) -> Begin:
    """The work's liquor as the air goes on.

    Args:
        work: its liquor is the bath
        electrons_mol: what the metal that oxygen dissolves gives [mol of electrons]; 0 and up
        copper_mol: copper of that metal [mol]
        acid_mol: free acid, where some of it goes another way first [mol]; None for the liquor's
    """
    there = work.dissolved
    grams = sum((mol * molar_mass(species) for species, mol in there.items()), 0.0)
    return Begin(
        volume_l=work.volume_l,
        liquor_g=grams,
        cupric_mol=there.get("Cu^2+", 0.0),
        cuprous_mol=there.get("CuCl2^-", 0.0),
        ferrous_mol=there.get("Fe^2+", 0.0),
        acid_mol=there.get("H^+", 0.0) if acid_mol is None else np.maximum(acid_mol, 0.0),
        chloride_mol=there.get("Cl^-", 0.0) + 2 * there.get("CuCl2^-", 0.0),
        electrons_mol=electrons_mol,
        copper_per_electron=copper_mol / np.where(np.greater(electrons_mol, 0), electrons_mol, 1.0),
    )


def followed(told: Mapping[str, Any], minutes: Number) -> float:
    """How long a bath is followed [min]: as long as the air runs, else an hour past the slowest case's end."""
    return high(minutes) if "running_s" in told else high(minutes) + MINUTES_AN_HOUR


def say_days(work: Work, begin: Begin, air: Air, minutes: float, acid: Solution, aim: Number, told: Mapping[str, Any]) -> AirRun:
    """Run the bath and answer with its days: table, chart, when the metal is gone, when acid or copper is short and what to add.

    Args:
        work: the step
        begin: the bath as the air goes on
        air: oxygen it gets
        minutes: how long it is followed [min]; above 0
        acid: acid in hand
        aim: free acid wanted at the end [mol/L]
        told: may hold `carry_times`, `plain_acid`, `water_activity`
    Returns: the run
    Source: as `aired`; what to add, facts/practice
    """
    factor = told.get("carry_times", beside_copper().likely)
    percent = told["plain_acid"].percent_ww if "plain_acid" in told else None
    run = aired(begin, air, minutes, Draught(air.l_per_min, factor, percent, told.get("water_activity")), work.place)
    last = _last(run)
    _ends(work, run)
    _table(work, run, begin, last)
    _charts(work, run, begin, last)
    _stalls(work, run, begin, acid, aim)
    work.say(*UNDERCUT)
    return run


def _last(run: AirRun) -> float:
    """How long the likely case is shown [min]: somewhat past the last thing that happens in it."""
    end = float(run.green_min[0])
    return min(float(run.minutes[-1]), end * LOOK_PAST) if np.isfinite(end) and end > 0 else float(run.minutes[-1])


def _ends(work: Work, run: AirRun) -> None:
    gone = run.metal_gone_min
    if np.isfinite(gone).all() and gone.max() > 0:
        because = "at the soonest, where the bath reaches all of it; the rest of the days turn it green"
        work.answer("metal_gone", gone / MINUTES_A_DAY, "d", sized_on="high metal, low transfer", because=because)


def _table(work: Work, run: AirRun, begin: Begin, last: float) -> None:
    by_hours = last < SHORT_DAYS * MINUTES_A_DAY
    unit = 60.0 if by_hours else float(MINUTES_A_DAY)
    step = max(1, ceil(last / unit / ROWS_MOST)) * unit
    marks = np.append(np.arange(0.0, last, step), last)
    per_l, copper = 1 / likely(begin.volume_l), molar_mass("Cu")
    whole = float(run.electrons_mol[0, 0])
    rows: list[tuple[str | float | Range, ...]] = []
    for at in marks:
        cupric, cuprous = (float(run.likely(name, at)) * per_l for name in ("cupric_mol", "cuprous_mol"))
        free = float(run.likely("acid_mol", at)) * per_l
        left = float(run.likely("electrons_mol", at))
        water = float(run.likely("water_mol", at)) * molar_mass("H2O")
        looks = colour_of(cupric + cuprous, cuprous, free).partition(":")[0]
        share = 100 * left / whole if whole > 0 else 0.0
        rows.append((f"{at / unit:.3g}", share, cupric * copper, cuprous * copper, free, water, looks))
    titles = ("hour" if by_hours else "day", "metal %", "Cu(II) g/L", "Cu(I) g/L", "HCl mol/L", "water mL", "looks")
    work.table("bath: metal left, strengths, water carried off", titles, rows)


def _charts(work: Work, run: AirRun, begin: Begin, last: float) -> None:
    """Copper, then acid and water, likely case, every hour."""
    per_l = 1 / likely(begin.volume_l)
    count = int(np.searchsorted(run.minutes, last * (1 + 1e-9), side="right"))
    days = run.minutes[:count] / MINUTES_A_DAY
    goods = run.electrons_mol[:count, 0] * likely(begin.copper_per_electron)
    grams = per_l * molar_mass("Cu")
    copper = {
        "copper(II)": run.cupric_mol[:count, 0] * grams,
        "cuprous copper": run.cuprous_mol[:count, 0] * grams,
        "copper on the goods": goods * grams,
    }
    gone, green, free = float(run.metal_gone_min[0]), float(run.green_min[0]), float(run.likely("acid_mol", last)) * per_l
    marks = [(word, at / MINUTES_A_DAY) for word, at in (("metal gone", gone), ("green", green)) if 0 < at <= last]
    said = [f"the metal is gone after {gone / MINUTES_A_DAY:.2g} days at the soonest" if 0 < gone <= last else ""]
    said.append(f"all the copper is copper(II) after {green / MINUTES_A_DAY:.2g} days" if 0 < green <= last else "")
    told = "; ".join(line for line in said if line) or f"after {last / MINUTES_A_DAY:.2g} days it is not done"
    curves = {name: (days, up) for name, up in copper.items() if float(np.max(up)) > 0}
    finding = f"{told[0].upper()}{told[1:]}."
    work.chart("copper of the bath by days", "days of air", "g per litre of bath", curves, finding=finding, marks=marks)
    water = run.water_mol[:count, 0] * molar_mass("H2O") / 1000
    rest = {"free HCl, mol/L": (days, run.acid_mol[:count, 0] * per_l), "water carried off, L": (days, water)}
    finding = f"{free:.2g} mol/L free HCl is left and {water[-1]:.2g} L of water went with the air, topped up."
    work.chart("acid and water of the bath by days", "days of air", "mol/L; L", rest, finding=finding)


# ---- where it stalls, and what to add
def _stalls(work: Work, run: AirRun, begin: Begin, acid: Solution, aim: Number) -> None:
    metal = high(begin.electrons_mol) > 0
    if metal and low(np.asarray(begin.cupric_mol) + begin.cuprous_mol) <= 0:
        grams = (
            work.fact("practice/leach.start_copper").value * high(begin.volume_l) / molar_mass("Cu") * molar_mass("CuCl2.2H2O")
        )
        splash = work.fact("practice/leach.start_peroxide").value * high(begin.volume_l)
        strength = work.fact("practice/leach.start_peroxide_strength").value
        work.say(
            "stalls",
            f"from the start: no copper(II) to take the metal. Add {grams:.3g} g copper chloride dihydrate, a heel of old bath,"
            f" or once, cold, {splash:.3g} mL of {strength:g} % peroxide",
        )
    _short_of_acid(work, run, begin, acid, aim)
    short = least_chloride_over(run, work.fact("practice/air.chloride_per_cuprous").value)
    if short > 0:
        work.answer(
            "salt_to_hold_cuprous", short * molar_mass("NaCl"), "g", sized_on="high", because="three chlorides to each cuprous"
        )
        work.say(
            "stalls",
            f"with white curd (cuprous chloride) on the goods: {short * molar_mass('NaCl'):.3g} g of salt, or acid, holds it",
        )
    waits = work.fact("practice/leach.stall").value
    if metal and np.any(run.cupric_mol <= AS_LOW * waits * (run.cupric_mol + run.cuprous_mol)):
        work.say(
            "watch for",
            f"copper(II) down to {100 * waits:g} % of the copper: the metal waits for the air;"
            " dark brown while it bubbles is no fault",
        )


def _short_of_acid(work: Work, run: AirRun, begin: Begin, acid: Solution, aim: Number) -> None:
    """When the free acid comes under its floor, and what to add then to end at the aim."""
    first = float(run.low_acid_min.min())
    if not np.isfinite(first) or low(begin.electrons_mol) + low(begin.cuprous_mol) <= 0:
        return
    floor = work.fact("practice/leach.free_acid_floor").value
    case = int(run.low_acid_min.argmin())
    to_eat = high(begin.electrons_mol) + high(begin.cuprous_mol) + high(begin.ferrous_mol)
    bottle, wanted = low(acid.mol_per_l), min(high(aim), low(acid.mol_per_l) / 2)
    volume = high(begin.volume_l)
    used = float(run.oxygen_mol[np.searchsorted(run.minutes, first), case]) * 4 if first > 0 else 0.0
    have = min(floor * volume, low(begin.acid_mol))
    take = max((wanted * volume + to_eat - used - have) / (bottle - wanted), 0.0)
    when = f"from hour {first / 60:.3g}" if first > 0 else "from the start"
    work.answer(
        "acid_to_add_then", 1000 * take, "mL", sized_on="high metal", because=f"so that {wanted:.3g} mol/L is left at the end"
    )
    work.say(
        "stalls",
        f"{when}: free acid under {floor:g} mol/L slows it and coats the goods white. Add {1000 * take:.3g} mL of"
        f" hydrochloric acid{f' ({acid.label})' if acid.label else ''} then, or from the start",
    )
