"""Base metal off in cupric chloride: aerated till it is gone, or still till the cupric copper is spent."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.air import too_strong
from refinekit.bench.air_days import begin_of, followed, say_days
from refinekit.bench.bubbles import OXYGEN_PER_MOL, Air, air_of, answer_time, carry_off, oxygen_for, plain_percent
from refinekit.bench.hydrogen import say_rate
from refinekit.bench.leach_bath import bleed, make_ready
from refinekit.bench.leach_goods import dissolved_share, metals_table, part_pots, reachable
from refinekit.bench.leach_state import lots_left, read_bath
from refinekit.bench.work import Work
from refinekit.chemistry.equation import reaction
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Number, Range, high, likely, low

ACID_PER_MOL = {
    "Cu": 2.0,
    "Ni": 2.0,
    "Zn": 2.0,
    "Pb": 2.0,
    "Fe": 3.0,
    "Sn": 4.0,
    "Al": 3.0,
    "Ag": 1.0,
    "Cu(I)": 1.0,
    "Fe(II)": 1.0,
}
"""Moles of hydrochloric acid to a mole of each in an aerated bath: R2.3, R2.4, R2.38, R2.12, R2.39, R2.10, R2.13, R2.14 with
R2.2, R2.2, R2.8."""
HYDROGEN_PER_MOL = {"Zn": 1.0, "Fe": 1.0, "Al": 1.5}
"""Moles of hydrogen to a mole of metal that is eaten by acid alone: R2.6, R2.7, R2.13."""
CHLORIDE_PER_COPPER = 4.0
"""Moles of chloride to a mole of cupric copper used without air (R2.1): more makes white cuprous chloride."""
SAYS = (
    ("gear", "air tube above the level with a check valve, vented lid: a still pump lets the bath siphon back"),
    ("watch for", "spray and foam over the rim; solder mask that holds tabs; foils that hide under tabs"),
    ("watch for", "air off once no copper is left: with none to hold it back, gold goes into the bath by milligrams a litre"),
    ("done when", "tabs float free and no copper shows under them; lift and shake, the rags end later"),
    ("next", "rinse foils and boards with dilute hydrochloric first: plain water drops white cuprous chloride among the foils"),
)
"""What goes with every aerated leach. Source: common practice."""


def leach_aerated(work: Work, told: Mapping[str, Any]) -> None:
    """Dissolve base metal in cupric chloride under air.

    Args:
        work: the step, goods in it, the bath in it where there is one
        told: see LeachTold
    Source: R2.1 to R2.14; excess and shares in facts/practice/leach.toml
    """
    metals = reachable(work, told, "Cu", "Ni", "Zn", "Pb", "Sn", "Fe", "Al", "Ag")
    if told.get("bleed"):
        bleed(work, metals["Cu"])
    acid = make_ready(work, told, acid_for(_with_bath(work, metals)), metals["Cu"])
    wanted = _with_bath(work, {**metals, "Cu": np.minimum(metals["Cu"], work.solids.get("Cu", 0.0))})
    read_bath(work, "start")
    percent = told["plain_acid"].percent_ww if "plain_acid" in told else plain_percent(work)
    too_strong(work, percent)
    hydrogen = _hydrogen_share(work, told, wanted)
    air = air_of(work, told)
    minutes = answer_time(work, _oxygen(wanted, hydrogen), air, told)
    ran = told["running_s"] / 60 if "running_s" in told and minutes is not None else minutes
    if ran is not None and minutes is not None and high(minutes) > 0:
        _days(work, told, acid, wanted, hydrogen, air, ran)
    done = _done(work, wanted, minutes, ran)
    _answer_acid(work, acid, done)
    _react(work, done, hydrogen)
    _hydrogen(work, done, hydrogen)
    _hold_lead(work)
    if ran is None:
        work.assume("air enough: no pump was told, so no days")
    else:
        work.minutes = Range.over(ran)
        if high(air.l_per_min) > 0:
            carry_off(work, air, ran, percent, told)
    read_bath(work)
    lots_left(work, told, acid, done["Cu"] * molar_mass("Cu"), done["Ni"] * molar_mass("Ni"))
    _remarks(work, done)
    part_pots(work, told)


def acid_for(metals_mol: Mapping[str, Number]) -> Number:
    """Hydrochloric acid an aerated bath eats for metals.

    Args:
        metals_mol: by symbol, with "Cu(I)" and "Fe(II)" of the bath [mol]
    Returns: acid [mol]
    Source: 2 (Cu + Ni + Zn + Pb) + 3 Fe + 4 Sn + 3 Al, one each for silver and for cuprous and ferrous turned up

    >>> round(acid_for({"Cu": 100 / 63.546}), 3)
    3.147
    """
    return sum((ACID_PER_MOL[metal] * mol for metal, mol in metals_mol.items()), 0.0)


def _with_bath(work: Work, metals: Mapping[str, Number]) -> dict[str, Number]:
    """Metals of the goods, and what of the bath the air will turn up."""
    return {**metals, "Cu(I)": work.dissolved.get("CuCl2^-", 0.0), "Fe(II)": work.dissolved.get("Fe^2+", 0.0)}


def _oxygen(metals: Mapping[str, Number], hydrogen: Number) -> Number:
    """Oxygen for metals and bath, less half a mole to each mole of hydrogen that zinc and iron make."""
    airy = {metal: mol for metal, mol in metals.items() if metal in OXYGEN_PER_MOL}
    return oxygen_for(airy) - hydrogen / 2 * (metals["Zn"] + metals["Fe"])


def _done(work: Work, wanted: Mapping[str, Number], minutes: Number | None, ran: Number | None) -> dict[str, Number]:
    """What dissolves of what is wanted: all of it, or less where acid or time runs out."""
    share = _share_by_acid(work, acid_for(wanted))
    if minutes is not None and ran is not None:
        share = np.minimum(share, dissolved_share(minutes, ran))
        if low(ran - minutes) > 0:
            work.mark("base-metal-gone")
    return {metal: mol * share for metal, mol in wanted.items()}


def _days(
    work: Work,
    told: Mapping[str, Any],
    acid: Solution,
    wanted: Mapping[str, Number],
    hydrogen: Number,
    air: Air,
    minutes: Number,
) -> None:
    """The bath day by day; acid that makes hydrogen is taken as eaten before the air goes on."""
    if told.get("glance"):
        return  # what the bath holds at its end is reckoned already: this is how it gets there
    aerated = 4 * _oxygen(wanted, hydrogen)
    begin = begin_of(
        work,
        aerated - wanted["Cu(I)"] - wanted["Fe(II)"],
        wanted["Cu"],
        work.dissolved.get("H^+", 0.0) - (acid_for(wanted) - aerated),
    )
    aim = told.get("aim_mol_per_l", work.fact("practice/general.excess.hydrochloric_bath_free").value)
    say_days(work, begin, air, followed(told, minutes), acid, aim, told)


def _hydrogen_share(work: Work, told: Mapping[str, Any], metals: Mapping[str, Number]) -> Number:
    """Share of zinc and iron that makes hydrogen; asked only where there is any."""
    if not any(high(metals[metal]) > 0 for metal in ("Zn", "Fe")):
        return 0.0
    id, words = "practice/leach.hydrogen_share", "share of zinc and iron that makes hydrogen"
    return work.default(told.get("hydrogen_share"), id, words)


def _share_by_acid(work: Work, eaten: Number) -> Number:
    """How much of the metal the acid there is will take; short acid is said."""
    there = work.dissolved.get("H^+", 0.0)
    share = dissolved_share(eaten, there)
    if low(share) < 1:
        work.notice(
            "warn",
            "reagent-short",
            f"the acid runs out with {100 * (1 - low(share)):.3g} % of the metal left",
            f"add {high(eaten - there):.3g} mol of hydrochloric acid more, and some to spare",
            "practice",
        )
    return share


def _answer_acid(work: Work, acid: Solution, done: Mapping[str, Number]) -> None:
    eaten = acid_for(done)
    why = "2 to copper, nickel, zinc and lead, 3 to iron and aluminium, 4 to tin"
    work.answer("hcl_eaten", eaten, "mol", sized_on="high metal: excess acid does no harm", because=why)
    work.answer(
        "hcl_eaten_volume",
        1000 * eaten / acid.mol_per_l,
        "mL",
        sized_on="high metal",
        because=f"of {acid.label or 'this bottle'}",
    )
    for metal, word in (("Cu", "copper"), ("Ni", "nickel")):
        if high(done[metal]) > 0:
            work.answer(f"{word}_dissolved", done[metal] * molar_mass(metal), "g")
    metals_table(work, done, ACID_PER_MOL, acid.mol_per_l, oxygen_mol=OXYGEN_PER_MOL)
    parts = [f"{ACID_PER_MOL[metal]:g} x {likely(mol):.4g} {metal}" for metal, mol in done.items() if likely(mol) > 0]
    work.working("acid eaten", "moles of acid to each mole of metal", " + ".join(parts) or "nothing", f"{likely(eaten):.5g} mol")


def _react(work: Work, done: Mapping[str, Number], hydrogen: Number) -> None:
    """Run every reaction of the aerated bath, the oxygen of the air first poured in."""
    zinc, iron = done["Zn"], done["Fe"]
    silver = np.minimum(done["Ag"], work.dissolved.get("Cu^2+", 0.0) + done["Cu"])
    runs = (
        ("R2.3", done["Cu"] / 2),
        ("R2.4", done["Ni"] / 2),
        ("R2.38", zinc * (1 - hydrogen) / 2),
        ("R2.6", zinc * hydrogen),
        ("R2.12", done["Pb"] / 2),
        ("R2.10", done["Sn"]),
        ("R2.39", iron * (1 - hydrogen) / 4),
        ("R2.7", iron * hydrogen),
        ("R2.8", (iron * hydrogen + done["Fe(II)"]) / 4),
        ("R2.13", done["Al"] / 2),
        ("R2.14", silver / 2),
        ("R2.2", (done["Cu(I)"] + silver) / 4),
    )
    used = [(id, extent) for id, extent in runs if high(extent) > 0]
    work.pour("oxygen of the air", {"O2": sum((reaction(id).left.get("O2", 0) * extent for id, extent in used), 0.0)})
    for id, extent in used:
        work.react(id, extent)
    work.gases_mol.pop("O2")  # all of it was used: what is left of the sum is rounding


def _hydrogen(work: Work, done: Mapping[str, Number], hydrogen: Number) -> None:
    """Hydrogen: likely by the share taken, at most all that zinc, iron and aluminium can make."""
    most = sum((HYDROGEN_PER_MOL[metal] * done[metal] for metal in HYDROGEN_PER_MOL), 0.0)
    if high(most) <= 0:
        return
    sure = HYDROGEN_PER_MOL["Al"] * done["Al"]
    usual = sure + hydrogen * (done["Zn"] + done["Fe"])
    span = Range(low(sure), likely(usual), high(most))
    work.gas("H2", span, sized_on="high: all of it by acid alone")
    say_rate(work, span, work.volume_l)
    work.say("watch for", "hydrogen: air, no lid, no flame")


def _hold_lead(work: Work) -> None:
    """Lead chloride up to what the liquor holds goes into solution; the rest stays as needles."""
    needles = work.solids.get("PbCl2", 0.0)
    if high(needles) <= 0:
        return
    holds = work.fact("practice/leach.lead_chloride_held").value * work.volume_l / molar_mass("PbCl2")
    work.react("R2.40", np.minimum(needles, np.maximum(holds - work.dissolved.get("Pb^2+", 0.0), 0.0)))
    work.say("watch for", "needles of lead chloride on cooling, easily taken for silver chloride")


def _remarks(work: Work, done: Mapping[str, Number]) -> None:
    for heading, line in SAYS:
        work.say(heading, line)
    if high(done["Ag"]) > 0:
        work.notice(
            "note",
            "silver-plate-in-leach",
            "silver plate goes white with chloride and stalls the leach; it stays with the foils",
            "shake or brush it off; look for it in the foils before nitric and hydrochloric",
            "practice",
        )
    if high(done["Sn"]) > 0:
        work.say("watch for", "tin: keep free acid over 1 mol/L, or it goes to paste")


# ---- without air


def leach_still(work: Work, told: Mapping[str, Any]) -> None:
    """Dissolve copper and nickel with the cupric copper there is, no air: till it stalls.

    Args:
        work: the step, goods in it, the bath in it where there is one
        told: see LeachTold
    Source: R2.1 and R2.5: every cupric takes up one copper; stall in facts/practice/leach.toml
    """
    metals = reachable(work, told, "Cu", "Ni")
    acid = make_ready(work, told, 0.0, metals["Cu"])
    read_bath(work, "start")
    cupric = work.dissolved.get("Cu^2+", 0.0)
    stall = work.fact("practice/leach.stall").value
    usable = np.minimum((1 - stall) * cupric, work.dissolved.get("Cl^-", 0.0) / CHLORIDE_PER_COPPER)
    at_stall = (cupric + work.dissolved.get("CuCl2^-", 0.0) + usable) * molar_mass("Cu") / work.volume_l
    why = f"each cupric takes up one copper, to {100 * stall:g} % left"
    work.answer("copper_before_stall", usable * molar_mass("Cu"), "g", sized_on="low", because=why)
    work.answer("copper_at_stall", at_stall, "g/L", because="all the copper in it when it stalls")
    work.working(
        "copper before it stalls",
        "cupric x (1 - stall)",
        f"{likely(cupric) * molar_mass('Cu'):.4g} g x {1 - stall:g}",
        f"{likely(usable) * molar_mass('Cu'):.4g} g",
        "practice/leach.stall",
    )
    share = dissolved_share(metals["Cu"] + 2 * metals["Ni"], usable)
    work.react("R2.1", metals["Cu"] * share)
    work.react("R2.5", metals["Ni"] * share)
    work.answer("copper_dissolved", metals["Cu"] * share * molar_mass("Cu"), "g")
    read_bath(work)
    lots_left(work, told, acid, metals["Cu"] * share * molar_mass("Cu"), metals["Ni"] * share * molar_mass("Ni"))
    if low(share) < 1:
        work.say("next", "air on until it is green again, then the rest: the goods stay in")
    else:
        part_pots(work, told)
