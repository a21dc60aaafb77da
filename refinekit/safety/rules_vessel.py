"""What comes out of the vessel: froth, boil, spit, steam, and poison made airborne."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from refinekit.bench.step import Notice
from refinekit.chemistry.species import molar_mass
from refinekit.facts.load import fact
from refinekit.safety import outlook
from refinekit.safety.outlook import gas_name, line, litres
from refinekit.safety.scene import Scene
from refinekit.safety.speak import notice
from refinekit.safety.words import says

DRY = ("dried", "warmed dry", "bone dry", "hot and dry", "dry mould", "preheated", "warm and dry", "baked")
LIQUID = ("water", "H+", "OH-", "NH3", "ClO-", "H2O2", "alcohol", "acetone")
"""What flashes under molten metal."""
HEATED = ("melt", "burn", "grind", "torch", "incinerat", "ash", "solder", "file", "sand")


def froth_over(scene: Scene) -> Iterator[Notice]:
    """Gas faster than froth can break, or no headspace for it."""
    speed = outlook.froth_cm_per_s(scene)
    if speed is not None:
        told = outlook.frothing(scene)
        what = " and ".join(gas_name(formula) for formula in told)
        for level in ("stop", "warn", "note"):
            if speed > fact(f"practice/general.foam.{level}").value:
                yield notice(level, "froth-over.rate", litres=litres(sum(told.values()), scene.place), what=what, speed=speed)
                break
    size_l = scene.pot.size_l
    frothers = outlook.carbon_dioxide(scene) > 0 and scene.adds("CO3", "HCO3", "H+") > 0
    if size_l and frothers and scene.volume_l / size_l > line("froth_fill"):
        yield notice("stop", "froth-over.full", what=gas_name("CO2"), fill=min(scene.volume_l / size_l, 1.0))


def boil_over(scene: Scene) -> Iterator[Notice]:
    """Heat of what reacts: 40 K warn, the boil stop."""
    if scene.do in ("melt", "lot", "store", "discard", "scrub", "titrate"):
        return
    rise, start = outlook.rise_of(scene), scene.pot.temperature_c
    words: dict[str, Any] = {"rise": rise, "start": start, "end": min(start + rise, line("boils_at")), "pause": line("pause_at")}
    hot = "pinches" if scene.do == "denox" else ""  # done hot, and slowly: to pause at 60 degC is no advice there
    if (
        rise > line("rise_warn")
        and start + rise >= line("boils_at")
        and not says(scene.how, "strip at a time", "a pinch at a time", "ice", "over days", "cooled in ice")
    ):
        yield notice("stop", "boil-over.stop", **words)
    elif rise > line("rise_warn"):
        yield notice("warn", f"boil-over.{hot or 'warn'}", **words)
    elif rise > line("rise_note"):
        yield notice("note", f"boil-over.{hot or 'note'}", **words)


def acid_spit(scene: Scene) -> Iterator[Notice]:
    """Water into strong acid; solid caustic into strong acid."""
    water_l = outlook.sulfuric_and_water(scene)[2]
    held = scene.pot.percent.get("SO4", 0.0)
    if held > line("strong_sulfuric") and water_l > 0:
        yield notice("stop", "acid-spit.water")
    poured = any(dose.substance in ("water", "tap water") for dose in scene.doses)
    if poured and scene.pot.percent.get("NO3-", 0.0) > line("nitric_boils_water"):
        yield notice("warn", "acid-spit.water")
    solid = sum(dose.mol["OH-"].high for dose in scene.doses if "OH-" in dose.mol and not dose.volume_l)
    if solid > 0 and scene.pot.volume_l > 0 and outlook.solution_water_l(scene) <= 0:
        acid = scene.pot.most("H+") / scene.pot.volume_l
        if acid > line("spit_warn"):
            yield notice("stop" if acid > line("spit_stop") else "warn", "acid-spit.pearls", acid=acid)


def steam_burst(scene: Scene) -> Iterator[Notice]:
    """Anything damp that molten metal meets."""
    molten = scene.most("molten") > 0
    if scene.do != "melt" and not molten:
        return
    wet = [pot.name for pot in scene.pots if pot.most_of(*LIQUID) > 0 or (pot.volume_l > 0 and not molten)]
    wet += [dose.name for dose in scene.doses if any(what in LIQUID for what in dose.mol)]
    words = f"{scene.how} {' '.join(f'{pot.kind} {pot.name}' for pot in scene.pots)}"
    damp = wet or says(words, "damp", "wet", "moist", "just rinsed", "not dried")
    dry = says(scene.how, *DRY) or (says(words, *DRY) and scene.most("water") <= 0)
    if damp and not dry:
        yield notice("stop", "steam-burst.damp", what=wet[0] if wet else "something")


def poison(scene: Scene) -> Iterator[Notice]:
    """Poison metals made airborne; hydrazine; burnt boards."""
    hot = scene.do == "melt" or says(scene.how, *HEATED)
    if scene.most("hydrazine") > 0:
        yield notice("warn", "poison.hydrazine")
    if scene.most("HF") > 0:
        yield notice("stop", "poison.hydrofluoric")
    if scene.most("unknown") > 0:
        yield notice("stop", "poison.unknown")
    if scene.most("Hg") > 0:
        yield notice("stop", "poison.mercury", cause=scene.cause("Hg"))
    for what, case in (("Cd", "cadmium"), ("Be", "beryllium")):
        if scene.most(what) > 0 and (hot or scene.do == "lot"):
            level = "stop" if hot or what == "Cd" else "warn"
            yield notice(level, f"poison.{case}", cause=scene.cause(what))
    if scene.do == "lot" and any(
        pot.said("pcb", "black capacitor", "old capacitor", "chlorinated") or "chlorinated" in pot.causes for pot in scene.pots
    ):
        yield notice("stop", "poison.burnt")
    if not hot:
        return
    if scene.most_of("As", "Sb") > 0:
        yield notice("stop", "poison.arsenic", cause=scene.cause("As", "Sb"))
    lead_g = scene.most("Pb") * molar_mass("Pb")
    if lead_g > 0:
        charge_g = sum(scene.most(metal) * molar_mass(metal) for metal in outlook.GIVES)
        yield notice("stop" if lead_g / charge_g > line("lead_fume") else "warn", "poison.lead")
    if scene.most_of("plastic") > 0 or (
        says(scene.how, "burn", "incinerat", "ash") and says(scene.how, "board", "plastic", "solder mask", "laminate")
    ):
        yield notice("stop", "poison.burnt")


RULES = (froth_over, boil_over, acid_spit, steam_burst, poison)
