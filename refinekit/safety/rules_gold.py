"""What loses gold, silver or platinum: nitric left, paste, crust, colloid, curd, dry liquor, gold in the bath."""

from __future__ import annotations

from collections.abc import Iterator

from refinekit.bench.step import Notice
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.facts.load import fact
from refinekit.safety import outlook
from refinekit.safety.outlook import line
from refinekit.safety.scene import BOILED, Scene, Vessel
from refinekit.safety.speak import notice
from refinekit.safety.words import says

METALS = ("Au", "Ag", "Cu", "Ni", "Zn", "Fe", "Sn", "Pb", "Pd", "Pt", "Al", "Mg")
MEETS_GOLD = ("mix", "dissolve", "denox", "drop", "rinse", "leach", "bath")
"""Verbs in which tin and gold chloride would stand together."""
BASE = ("Cu", "Ni", "Zn", "Fe", "Sn", "Pb", "Al")


def nitric_left(scene: Scene) -> Iterator[Notice]:
    """Nitric beside the gold at the drop; nitric asked for beyond what the metals take."""
    nitric = scene.most("NO3-")
    gold = scene.pot.least("Au(III)")
    over = nitric > gold if scene.nitric_over is None else scene.nitric_over > line("nitric_over_cases")
    if scene.do in ("drop", "cement") and nitric > 0 and scene.pot.most("Au(III)") > 0 and scene.adds("NO3-") <= 0:
        per_ml = float(Solution.usual("HNO3").mol_per_l) / 1000
        smb_g = outlook.SMB_PER_NITRIC * nitric * molar_mass("Na2S2O5")
        if over:
            yield notice("stop", "nitric-left.stop", ml=nitric / per_ml, cause=scene.cause("NO3-"))
        else:
            yield notice("warn", "nitric-left.warn", ml=nitric / per_ml, grams=smb_g, cause=scene.cause("NO3-"))
    metals = sum(outlook.GIVES[metal] * scene.most(metal) for metal in outlook.GIVES)
    asked = scene.dosed("NO3-")
    if scene.do == "dissolve" and scene.most("Au") > 0 and scene.most("Cl-") > 0 and asked > line("nitric_over") * metals > 0:
        yield notice("warn", "nitric-left.asked", times=asked / metals)


def tin_paste(scene: Scene) -> Iterator[Notice]:
    """Tin in nitric, by its share of the lot; tin in a bath."""
    nitric = scene.dosed("NO3-") or (scene.most("NO3-") if scene.do in ("dissolve", "part", "leach") else 0.0)
    tin_g = scene.most("Sn") * molar_mass("Sn")
    solder = any("solder" in pot.causes for pot in scene.pots)
    if nitric > 0 and (tin_g > 0 or solder) and scene.do != "scrub":
        lot_g = max((pot.lot_g or 0.0 for pot in scene.pots), default=0.0) or metals_g(scene.pots)
        share = tin_g / lot_g if lot_g > 0 and tin_g > 0 else 1.0
        words = f"{share:.1%} of the lot" if tin_g > 0 else "there as solder, nobody knows how much"
        yield notice("stop" if share > line("tin_share") else "warn", "tin-paste.nitric", share=words)
    elif scene.do in ("leach", "bath") and scene.volume_l > 0 and (scene.air_l_min > 0 or scene.most_of("Cu(II)", "Cu(I)") > 0):
        # A hot strip without air or copper is meant to hold its tin.
        dissolved_g = scene.most_of("Sn", "Sn(II)", "Sn(IV)") * molar_mass("Sn")
        if dissolved_g / scene.volume_l > line("tin_bath"):
            yield notice("warn", "tin-paste.bath", g_per_l=dissolved_g / scene.volume_l)


def tin_in_drop(scene: Scene) -> Iterator[Notice]:
    """Tin that has gone to tin(IV) in the liquor gold is dropped from: it falls with the gold as paste."""
    gold_g = scene.pot.least("Au(III)") * molar_mass("Au")
    tin_g = scene.most("Sn(IV)") * molar_mass("Sn")
    if scene.do == "drop" and tin_g > 0 and scene.pot.most("Au(III)") > 0:
        yield notice("warn" if tin_g > line("tin_drop") * gold_g else "note", "tin-paste.drop", grams=tin_g)


def platinum_metals(scene: Scene) -> Iterator[Notice]:
    """Palladium or platinum in the liquor gold is dropped from."""
    if scene.do == "drop" and scene.pot.most("Au(III)") > 0 and scene.pot.most_of("Pd(II)", "Pt(IV)") > 0:
        yield notice("note", "platinum-metals.drop")


def metals_g(pots: tuple[Vessel, ...]) -> float:
    """Weight of the metals in the pots [g]."""
    return sum(pot.most(metal) * molar_mass(metal) for pot in pots for metal in METALS)


def silver_crust(scene: Scene) -> Iterator[Notice]:
    """Silver per thousand of an alloy that meets nitric or another oxidant with hydrochloric."""
    oxidant = scene.most("NO3-") + scene.adds("H2O2", "ClO-")
    silver_g = scene.most("Ag") * molar_mass("Ag")
    if scene.do != "dissolve" or silver_g <= 0 or oxidant <= 0 or scene.most("Cl-") <= 0:
        return
    whole = sum(scene.most(metal) * molar_mass(metal) for metal in METALS)
    per_mille = round(1000 * silver_g / whole, 6)
    if per_mille > line("silver_stop"):
        yield notice("stop", "silver-crust.stop", per_mille=per_mille)
    elif per_mille > line("silver_warn"):
        advice = "inquart and part instead, or " if per_mille > line("silver_inquart") else ""
        yield notice("warn", "silver-crust.warn", per_mille=per_mille, advice=advice)
    else:
        yield notice("note", "silver-crust.note", per_mille=per_mille)


def chloride_in_nitric(scene: Scene) -> Iterator[Notice]:
    """Chloride in a step meant for nitric alone."""
    if scene.do not in ("part", "dissolve", "leach", "silver") or scene.dosed("NO3-") <= 0 or scene.dosed("Cl-") > 0:
        return
    tap = scene.dosed("tap") > 0 or says(scene.how, "tap water")
    gold_g = scene.most("Au") * molar_mass("Au")
    whole_g = sum(scene.most(metal) * molar_mass(metal) for metal in METALS)
    meant = scene.do == "dissolve" and scene.pot.most("Cl-") > 0 and gold_g > line("gold_goods") * whole_g
    if scene.most("Cl-") > 0 and not meant:
        cause = scene.cause("Cl-")
        yield notice("warn", "chloride-in-nitric.mix", cause=cause, left=f" ({cause})" if cause else " in the pot")
    elif tap:
        yield notice("warn", "chloride-in-nitric.tap")


def colloid(scene: Scene) -> Iterator[Notice]:
    """Stannous tin and gold chloride; gold too weak to settle; tin strip that must be rinsed off."""
    gold, tin = scene.most("Au(III)"), scene.most("Sn(II)")
    if scene.pot.most("Au(III)") > 0 and scene.do != "dissolve":
        tin += scene.most("Sn")  # the metal goes to stannous on gold chloride
    lost = colloid_share(scene, tin) if scene.do in MEETS_GOLD else 0.0
    if lost > 0:
        level = "stop" if lost >= line("colloid_stop") else "warn" if lost >= line("colloid_warn") else "note"
        yield notice(level, "colloid.tin", cause=scene.cause("Sn(II)"), share=100 * lost)
    elif scene.do == "leach" and scene.most("Sn") > 0 and scene.most("H+") > 0 and scene.most("NO3-") <= 0:
        yield notice("note", "colloid.rinse")
    if scene.do == "drop" and scene.pot.volume_l > 0 and 0 < gold * molar_mass("Au") / scene.pot.volume_l < line("weak_gold"):
        yield notice("note", "colloid.weak")


def colloid_share(scene: Scene, tin_mol: float) -> float:
    """Share of the gold that stannous tin can take to colloid, two gold to three tin; at a dissolving the metal counts in [-]."""
    whats = ("Au(III)", "Au") if scene.do == "dissolve" else ("Au(III)",)
    gold = [scene.together[what] for what in whats if what in scene.together]
    least = sum(one.low for one in gold) or sum(one.likely for one in gold)
    if scene.most_of(*whats) <= 0 or tin_mol <= 0:
        return 0.0
    return min(tin_mol / (outlook.OXIDANT_PER_GOLD * least), 1.0) if least > 0 else 1.0


def chloroplatinate_lost(scene: Scene) -> Iterator[Notice]:
    """Platinum with ammonium, sulfamic or urea; wanted only where the words say so."""
    if scene.most("Pt(IV)") > 0 and scene.most_of("NH4+", "NH3", "sulfamic", "urea") > 0:
        wanted = scene.do == "drop" and scene.dosed("NH4+") > 0 and says(scene.how, "platinum")
        yield notice("note" if wanted else "stop", "chloroplatinate-lost.mix", cause=scene.cause("NH4+", "sulfamic", "urea"))


def gold_dissolving(scene: Scene) -> Iterator[Notice]:
    """Foils with air and no base metal; peroxide over base metal; nitric in a chloride bath."""
    if scene.do not in ("leach", "bath", "store") or scene.most("Au") <= 0:
        return
    base = scene.most_of(*BASE)
    aired = scene.air_l_min > 0 and scene.most_of("Cu(II)", "Fe(III)") > 0 and scene.most("Cl-") > 0
    hours = scene.hours
    if aired and base <= 0 and (hours is None or hours > line("aerated_bare")):
        yield notice("warn", "gold-dissolving.aired")
    electrons = sum(scene.together[m].low * 2 for m in BASE if m in scene.together)
    spare = 2 * scene.adds("H2O2") + outlook.ELECTRONS_OF_NITRIC * scene.most("NO3-") > electrons
    if scene.most("Cl-") > 0 and (scene.dosed("NO3-") > 0 or (spare and scene.most_of("H2O2", "NO3-") > 0)):
        yield notice("warn", "gold-dissolving.oxidant")


def baked_dry(scene: Scene) -> Iterator[Notice]:
    """Gold liquor boiled down too far."""
    gold_g = scene.pot.most("Au(III)") * molar_mass("Au")
    if gold_g <= 0 or scene.do not in ("denox", "drop", "melt", "dissolve", "evaporate", "mix"):
        return
    least = line("dry_warn") * gold_g
    words = says(scene.how, "to dry", "dryness", "bone dry", "dry salts", "until dry", "bake")
    if words or (scene.end_l is not None and 1000 * scene.end_l <= line("dry_stop") * gold_g):
        yield notice("stop", "baked-dry.stop", least=least)
    elif scene.end_l is not None and 1000 * scene.end_l < least:
        yield notice("warn", "baked-dry.warn", ml=1000 * scene.end_l / gold_g, least=least)


def cuprous_curd(scene: Scene) -> Iterator[Notice]:
    """Cuprous chloride: too little acid or chloride, too much sulfite, plain water."""
    copper = scene.most_of("Cu(II)", "Cu(I)") * molar_mass("Cu")
    if scene.do in ("leach", "bath"):
        acid = outlook.end_acid(scene)
        if acid is not None and acid < line("acid_warn") and scene.most_of("Cu(I)", "Cu") > 0:
            yield notice("warn", "cuprous-curd.acid")
    elif scene.do == "drop" and scene.volume_l > 0 and copper / scene.volume_l > line("smb_copper"):
        # Oxidants left would eat some too, but nobody is told to count on them.
        eaters = outlook.OXIDANT_PER_GOLD * scene.most("Au(III)") + outlook.IRON_PER_SULFITE * scene.most("Fe(III)")
        if scene.dosed("SO2") > eaters:
            yield notice("warn", "cuprous-curd.sulfite")
    elif scene.do == "rinse" and scene.pot.most("Cu(I)") > 0 and scene.adds("H+") <= 0:
        yield notice("warn", "cuprous-curd.water")


def ammonium_carried(scene: Scene) -> Iterator[Notice]:
    """Ammonium a pot carries, or gets now: sulfamic over the need, urea heated, zinc in weak nitric."""
    sulfamic, nitric = scene.dosed("sulfamic"), scene.most("NO3-")
    over = line("sulfamic_over")
    if scene.do == "denox" and sulfamic > over * nitric:
        yield notice("warn", "ammonium-carried.made", times=sulfamic / nitric if nitric > 0 else float("inf"))
    elif scene.most("urea") > 0 and says(scene.how, *BOILED, "heat", "evaporat"):
        yield notice("warn", "ammonium-carried.urea", cause=scene.cause("urea"))
    elif scene.do in ("dissolve", "part", "leach") and scene.most_of("Zn", "Al") > 0 and _weak_nitric(scene):
        yield notice("warn", "ammonium-carried.zinc")
    elif any("sulfamic-within" in pot.causes for pot in scene.pots) and scene.most("NH4+") - scene.dosed("NH4+") <= 0:
        yield notice("note", "ammonium-carried.within", over=over)
    elif scene.most_of("NH4+", "sulfamic") - scene.dosed("NH4+", "sulfamic") > 0:
        yield notice("note", "ammonium-carried.acid", cause=scene.cause("NH4+", "sulfamic"))


def _weak_nitric(scene: Scene) -> bool:
    weak = fact("practice/general.no_share.weak_below").value
    poured = [dose.percent or 100.0 for dose in scene.doses if "NO3-" in dose.mol]
    return bool(poured) and (min(poured) <= weak or says(scene.how, "weak", "dilute"))


def wrong_bottle(scene: Scene) -> Iterator[Notice]:
    """A label beside a hydrometer."""
    from refinekit.safety.bottle import doubts

    yield from doubts(scene)


RULES = (
    nitric_left,
    tin_paste,
    tin_in_drop,
    platinum_metals,
    silver_crust,
    chloride_in_nitric,
    colloid,
    chloroplatinate_lost,
    gold_dissolving,
    baked_dry,
    cuprous_curd,
    ammonium_carried,
    wrong_bottle,
)
