"""What goes into the bath and out of the shop: acid, copper, air; pH and metals; drains; gold left in waste."""

from __future__ import annotations

import re
from collections.abc import Iterator

from refinekit.bench.step import Notice
from refinekit.chemistry.species import molar_mass
from refinekit.facts.load import fact
from refinekit.safety import outlook
from refinekit.safety.outlook import line
from refinekit.safety.scene import Scene, Vessel
from refinekit.safety.speak import notice
from refinekit.safety.words import says, times

IN_SOLUTION = {"Ni(II)": "nickel", "Cu(II)": "copper", "Zn(II)": "zinc", "Pb(II)": "lead", "Al(III)": "aluminium"}
NEVER = ("storm", "septic", "soil", "ground", "yard", "garden", "river", "ditch", "earth", "lawn")
PERMIT_METALS = {
    "Cu": ("Cu(II)", "Cu(I)"),
    "Ni": ("Ni(II)",),
    "Zn": ("Zn(II)",),
    "Pb": ("Pb(II)",),
    "Ag": ("Ag(I)", "AgCl"),
    "Cd": ("Cd",),
}


# ---- the bath
def oxygen_poor_bath(scene: Scene) -> Iterator[Notice]:
    """Too little cupric copper to go on."""
    copper = scene.pot.most_of("Cu(II)", "Cu(I)")
    if scene.do in ("leach", "bath") and scene.pot.most("Cu(I)") > 0 and scene.pot.most("Cu(II)") < line("cupric_share") * copper:
        yield notice("note", "oxygen-poor-bath.stall", share=scene.pot.most("Cu(II)") / copper)


def over_copper(scene: Scene) -> Iterator[Notice]:
    """Copper the bath ends with."""
    if scene.do not in ("leach", "bath") or scene.dosed("NO3-") > 0:
        return
    g_per_l = outlook.end_copper(scene)
    if g_per_l > line("copper_stop"):
        yield notice("stop", "over-copper.stop", g_per_l=g_per_l, line=line("copper_stop"))
    elif g_per_l > line("copper_warn"):
        yield notice("warn", "over-copper.warn", g_per_l=g_per_l, line=line("copper_warn"))


def acid_spent(scene: Scene) -> Iterator[Notice]:
    """Free acid the bath ends with, where metal goes in."""
    if scene.do not in ("leach", "bath") or scene.most_of("Cu", "Ni", "Zn", "Fe", "Sn", "Pb", "Al") <= 0:
        return
    acid = outlook.end_acid(scene)
    if acid is None:
        return
    if acid < line("acid_stop"):
        yield notice("stop", "acid-spent.stop", acid=max(acid, 0.0), line=line("acid_stop"))
    elif acid < line("acid_warn"):
        yield notice("warn", "acid-spent.warn", acid=acid, line=line("acid_warn"))


def strong_acid_aerated(scene: Scene) -> Iterator[Notice]:
    """Air through hydrochloric: by strength, and indoors without exhaust."""
    if scene.air_l_min <= 0 or scene.most("H+") <= 0 or scene.most("Cl-") <= 0:
        return
    percent = scene.pot.percent.get("H+") or acid_percent(scene)
    if percent > line("aerated_warn"):
        level = "stop" if percent > line("aerated_stop") else "warn"
        yield notice(level, "strong-acid-aerated.strength", percent=percent)
    if scene.place.indoors_without_exhaust:
        told = scene.told
        yield notice("stop" if told else "note", f"strong-acid-aerated.{'indoors' if told else 'untold'}")


def acid_percent(scene: Scene) -> float:
    """The bath's free acid as a plain hydrochloric acid [% w/w]."""
    start = scene.most("H+") / scene.volume_l if scene.start_acid is None and scene.volume_l > 0 else scene.start_acid or 0.0
    return outlook.hcl_percent(round(start, 6))


# ---- treating
def ammine_held_metal(scene: Scene) -> Iterator[Notice]:
    """Ammonium that holds copper, nickel, zinc in alkaline water."""
    held = scene.most_of("Cu(II)", "Ni(II)", "Zn(II)") > 0
    ammonium = outlook.ammonium_in(scene, "NH4+", "NH3", "sulfamic")
    if not held or ammonium <= 0:
        return
    alkaline = (
        outlook.made_alkaline(scene) or (scene.pot.ph or 0.0) >= line("ammonia_ph") or scene.most("NH3") > scene.most("H+") > 0
    )
    if alkaline and scene.do == "discard":
        yield notice("stop", "ammine-held-metal.discard", cause=scene.cause("NH3", "NH4+"))
    elif alkaline and scene.do in ("neutralise", "mix", "store"):
        yield notice("warn", "ammine-held-metal.treat", cause=scene.cause("NH4+", "NH3", "sulfamic"))


def metal_left_in_water(scene: Scene) -> Iterator[Notice]:
    """The wrong pH for a metal that is there."""
    ph = scene.target_ph if scene.target_ph is not None else None
    if scene.do != "neutralise" or ph is None or scene.volume_l <= 0:
        return
    for what, name in IN_SOLUTION.items():
        if scene.most(what) * molar_mass(what.split("(")[0]) / scene.volume_l <= line("metal_traces"):
            continue
        low = {"Ni(II)": line("nickel_ph"), "Cu(II)": line("copper_ph")}.get(what)
        if low is not None and ph < low:
            yield notice("warn", "metal-left-in-water.too-low", metal=name, ph=ph, want=low)
        elif low is None and ph > line("amphoteric_ph"):
            yield notice("warn", "metal-left-in-water.too-high", metal=name, want=line("amphoteric_ph"))


def leaving_gold_in_waste(scene: Scene) -> Iterator[Notice]:
    """Treating or dumping with no gold test written down; pulp not washed."""
    if (scene.do == "discard" and scene.to.startswith("solid")) or (scene.do == "discard" and scene.most("paper") > 0):
        yield from _pulp(scene)
        return
    if scene.do not in ("neutralise", "discard"):
        return
    scrubber = (
        "scrub" in scene.pot.name.lower() or any(deed.did == "scrub" for deed in scene.pot.history) or scene.pot.most("OH-") > 0
    )
    liquors = [
        pot
        for pot in scene.pots
        if pot.most_of("H+", "Cu(II)", "Cu(I)", "Au(III)", "NO3-", "Ag(I)") > 0 or (not scrubber and pot is scene.pot)
    ]
    for pot in liquors:
        if gold_there(pot):
            yield notice("stop", "leaving-gold-in-waste.there", cause=pot.causes.get("Au(III)", ""))
            return
        fresh = pot.said("fresh", "unused", "never gold", "never used", "no gold ever")
        if "gold-tested" not in pot.causes and not fresh:
            yield notice("warn" if "told-in-figures" in pot.causes else "stop", "leaving-gold-in-waste.untested")
            return
        if "gold-cemented" in pot.causes:
            yield notice("note", "leaving-gold-in-waste.write", cause=pot.causes["gold-cemented"])


def gold_there(pot: Vessel) -> bool:
    """Whether there is gold: seen by a test, or more in it than a test would miss."""
    if pot.most("Au(III)") <= 0:
        return False
    missed = fact("practice/general.uncertainty.stannous").value * pot.volume_l / 1000 / molar_mass("Au")
    return "gold-tested" not in pot.causes or pot.most("Au(III)") > missed


def _pulp(scene: Scene) -> Iterator[Notice]:
    gold = scene.most("Au(III)") > 0 or any("gold-once" in pot.causes for pot in scene.pots)
    if not gold or any("rinsed" in pot.causes for pot in scene.pots):
        return
    share = 1.0
    for deed in scene.pot.history:
        if deed.did == "rinse":
            held = scene.pot.volume_l or line("pulp_holds") / 1000
            share *= (held / (held + sum(dose.volume_l for dose in deed.doses))) ** times(deed.how)
    if share > line("rinsed_clean"):
        yield notice("warn", "leaving-gold-in-waste.pulp", share=share)


def silver_in_waste(scene: Scene) -> Iterator[Notice]:
    """Silver in a liquor that is treated or leaves, over what makes it hazardous waste. Published: 40 CFR 261.24, D011."""
    if scene.do not in ("neutralise", "discard") or scene.volume_l <= 0:
        return
    mg_per_l = 1000 * scene.most_of("Ag(I)", "AgCl") * molar_mass("Ag") / scene.volume_l
    if mg_per_l > line("silver_waste"):
        yield notice("note", "silver-in-waste.over", mg_per_l=mg_per_l, line=line("silver_waste"))


# ---- leaving the shop
def discharge_without_permit(scene: Scene) -> Iterator[Notice]:
    """Drains, sewers and soil."""
    if scene.do != "discard":
        return
    place = f"{scene.to} {scene.how}".lower()
    if re.search(r"contractor|drum|solid|collection|refiner|smelter", place) and not re.search(r"drain|sewer", place):
        return
    never = [word for word in NEVER if re.search(rf"\b{word}", place)]
    if never and scene.permit:
        yield notice("stop", "discharge-without-permit.never")
        return
    if not scene.permit:
        yield notice("stop", "discharge-without-permit.drain", to=scene.to or "the drain")
        return
    yield from _against_permit(scene)


def _against_permit(scene: Scene) -> Iterator[Notice]:
    ph = scene.pot.ph
    if ph is not None and (ph < line("sewer_ph_low") or ph >= line("d002_high")):
        yield notice("stop", "discharge-without-permit.ph", ph=ph)
    told = {}
    for metal, forms in PERMIT_METALS.items():
        mol = scene.most_of(*forms)
        if mol > 0 and scene.volume_l > 0:
            told[metal] = mol * molar_mass(metal) * 1000 / scene.volume_l
    over = [
        f"{metal} {mg:.3g} mg/L against {scene.limits[metal]:g}"
        for metal, mg in told.items()
        if metal in scene.limits and mg > scene.limits[metal]
    ]
    lab = any(deed.did == "lab" for deed in scene.pot.history)
    if over:
        yield notice("stop", "discharge-without-permit.over", what=", ".join(over))
    elif not lab or not scene.limits:
        yield notice("warn", "discharge-without-permit.unknown", what=", ".join(scene.limits) or "its metals")
    else:
        yield notice("note", "discharge-without-permit.met")


def hot_glass(scene: Scene) -> Iterator[Notice]:
    """Cold acid on hot glass."""
    if scene.most("hot glass") > 0 and scene.most("H+") > 0:
        yield notice("note", "hot-glass.cold")


RULES = (
    oxygen_poor_bath,
    over_copper,
    acid_spent,
    strong_acid_aerated,
    ammine_held_metal,
    metal_left_in_water,
    leaving_gold_in_waste,
    silver_in_waste,
    discharge_without_permit,
    hot_glass,
)
__all__ = ["RULES", "says"]
