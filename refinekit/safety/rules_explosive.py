"""What explodes: fulminating gold and silver, fulminates, chloramine, urea nitrate, azide, runaways, burst bottles."""

from __future__ import annotations

from collections.abc import Iterator

from refinekit.bench.step import Notice
from refinekit.safety import outlook
from refinekit.safety.outlook import HYDROGEN, acid_now, ammonium_in, line, made_alkaline
from refinekit.safety.scene import AT_ONCE, BOILED, Scene
from refinekit.safety.speak import notice
from refinekit.safety.words import says

AMMONIUM = ("NH4+", "sulfamic", "urea")
SILVER = ("Ag(I)", "AgCl", "Ag2O")
ALKALI = ("OH-", "CO3", "HCO3")
SOLVENTS = {"alcohol": "alcohol", "acetone": "acetone or another solvent"}
STUFF = {"paper": "paper", "sawdust": "sawdust", "plastic": "plastic or epoxy", "glue": "glue", "charcoal": "charcoal"}
ORGANIC_ACIDS = ("formic", "ascorbic", "organic acid")
"""Acids and reductants that nitric burns: with the strong, fuming, sometimes only after a while."""
METALS_IN_ACID = tuple(HYDROGEN)
TIGHT = ("cap tight", "screw cap", "screw-cap", "capped", "tight", "stopper", "sealed", "closed lid", "lid on", "bung", "corked")
VENTED = ("vent", "loose", "watch glass", "open", "holed cap")
STANDING = ("nitric liquor", "peroxide liquor", "hypochlorite", "ammonia")
"""Liquors that come in capped bottles: mixing in such a bottle is no cap left on."""


def alkali_meets(scene: Scene) -> bool:
    """Whether alkali goes in, or the liquor is alkaline already."""
    return (
        scene.adds(*ALKALI) > 0
        or made_alkaline(scene)
        or scene.pot.most_of(*ALKALI) > 0
        or (scene.pot.ph or 0) >= line("ammonia_ph")
    )


def fulminating_gold(scene: Scene) -> Iterator[Notice]:
    """Gold(III) with ammonia, or with ammonium and alkali. Published: Gold Bulletin 41 (2008) 305."""
    gold = scene.most("Au(III)")
    once = any("gold-once" in pot.causes for pot in scene.pots) and scene.most("Au") > 0
    if scene.most("NH3") > 0 and (gold > 0 or once):
        # Where ammonium is in the pot already, another alkali instead of the ammonia is no way out.
        case = "sponge" if gold <= 0 else "no-alkali" if scene.cause(*AMMONIUM) else "ammonia"
        yield notice("stop", f"fulminating-gold.{case}", cause=scene.cause("NH3"))
    elif scene.most("NH3") > 0 and scene.most("Au") > 0 and any("told-in-figures" in pot.causes for pot in scene.pots):
        yield notice("warn", "fulminating-gold.metal")  # told in figures: nobody said whether it was ever in solution
    carried = ammonium_in(scene, *AMMONIUM) > 0 and gold > 0
    if carried and (alkali_meets(scene) or (scene.most("NH3") > 0 and scene.cause(*AMMONIUM))):
        yield notice("stop", "fulminating-gold.ammonium", cause=scene.cause(*AMMONIUM))


def fulminating_silver(scene: Scene) -> Iterator[Notice]:
    """Silver with ammonia, kept, dried or made alkaline; minutes and then acid: a warning."""
    if scene.most_of(*SILVER) <= 0:
        return
    ammonia, ammonium = scene.most("NH3"), ammonium_in(scene, *AMMONIUM)
    if ammonia > 0:
        kept = (
            scene.do == "store"
            or bool(scene.hours)
            or says(scene.how, "leave", "overnight", "till morning", "dry", "kept", "let it stand")
        )
        short = scene.minutes is not None and scene.minutes <= line("kept_minutes")
        acid = says(scene.how, "hcl", "hydrochloric", "acidif", "salt") or scene.adds("H+", "Cl-") > 0
        strong = scene.most("OH-") > 0
        if (
            short
            and acid
            and not kept
            and not strong
            and scene.most("Au(III)") <= 0
            and not any("gold-once" in pot.causes for pot in scene.pots)
        ):
            yield notice("warn", "fulminating-silver.minutes")
        else:
            yield notice("stop", f"fulminating-silver.{'alkaline' if strong else 'kept'}", cause=scene.cause("NH3"))
    elif ammonium > 0 and alkali_meets(scene):
        yield notice("stop", "fulminating-silver.alkaline", cause=scene.cause(*AMMONIUM))


def silver_fulminate(scene: Scene) -> Iterator[Notice]:
    """Silver or mercury nitrate with alcohol or acetylene."""
    salt = scene.most("Ag(I)") + (scene.most("Hg") if scene.most("NO3-") > 0 else 0.0)
    if salt > 0 and scene.most("alcohol") > 0:
        yield notice("stop", "silver-fulminate.alcohol", cause=scene.cause("Ag(I)"))
    if salt + scene.most_of("Ag2O", "AgCl") > 0 and scene.most("acetylene") > 0:
        yield notice("stop", "silver-fulminate.acetylene")


def chloramine(scene: Scene) -> Iterator[Notice]:
    """Hypochlorite or chlorine with anything that has ammonia nitrogen."""
    named = {"NH3": "ammonia", "NH4+": "ammonium", "sulfamic": "sulfamic", "urea": "urea"}
    there = [word for what, word in named.items() if scene.most(what) > 0]
    if there and scene.most_of("ClO-", "Cl2") > 0:
        yield notice("stop", "chloramine.mix", cause=scene.cause(*AMMONIUM, "ClO-", "Cl2"), what=" and its ".join(there[::-1]))


def urea_nitrate(scene: Scene) -> Iterator[Notice]:
    """Urea with nitric: boiled down, dried or strong it explodes; thin it is a warning."""
    if scene.most("urea") <= 0 or scene.most("NO3-") <= 0:
        return
    dried = scene.end_l is not None or says(scene.how, *BOILED, "dry", "dryness", "crystal")
    strong = max((dose.percent or 0.0 for dose in scene.doses if "NO3-" in dose.mol), default=0.0) > line("strong_nitric")
    strong = strong or scene.pot.percent.get("NO3-", 0.0) > line("strong_nitric")
    yield notice(
        "stop" if dried or strong else "warn", f"urea-nitrate.{'dry' if dried or strong else 'wet'}", cause=scene.cause("urea")
    )


def hydrazine_nitrate(scene: Scene) -> Iterator[Notice]:
    """Hydrazine with nitric, nitrate or nitrite, however little."""
    if scene.most("hydrazine") > 0 and scene.most_of("NO3-", "NO2-") > 0:
        yield notice("stop", "hydrazine-nitrate.mix", cause=scene.cause("NO3-", "NO2-", "hydrazine"))


def nitric_strength(scene: Scene) -> float:
    """Strength of the nitric that meets the rest [% w/w], the strongest there is."""
    told = [dose.percent or 0.0 for dose in scene.doses if "NO3-" in dose.mol]
    held = scene.pot.percent.get("NO3-", 0.0)
    thin = 0.0
    if scene.volume_l > 0:
        thin = min(scene.most("NO3-"), scene.most("H+")) / scene.volume_l
    return max([*told, held, outlook.nitric_percent(thin)], default=0.0)


def nitric_organics(scene: Scene) -> Iterator[Notice]:
    """Nitric or nitrate with solvent, paper, sawdust, sugar, hot oxalic."""
    nitric = min(scene.most("NO3-"), scene.most("H+"))
    if scene.do == "melt":
        burning = [word for what, word in {**STUFF, **SOLVENTS, "sugar": "sugar"}.items() if scene.most(what) > 0]
        if burning and scene.most("NO3-") > 0:
            yield notice("stop", "nitric-organics.melt", what=burning[0], cause=scene.cause("NO3-"))
        return
    if nitric <= 0 and scene.most_of("NO2-") <= 0:
        return
    strong = nitric_strength(scene) > line("strong_nitric")
    for what, word in SOLVENTS.items():
        if scene.most(what) > 0:
            yield notice("stop", "nitric-organics.solvent", what=word, cause=scene.cause("NO3-"))
    for what, word in STUFF.items():
        if scene.most(what) > 0:
            fire = strong and what in ("sawdust", "charcoal")
            yield notice(
                "stop" if fire else "warn" if strong or what == "sawdust" else "note", "nitric-organics.stuff", what=word
            )
    eaten = scene.most_of("oxalic", *ORGANIC_ACIDS) > 0
    if scene.most("sugar") > 0 or (eaten and scene.hot) or (scene.most_of(*ORGANIC_ACIDS) > 0 and strong):
        level = "stop" if strong else "warn"
        yield notice(level, "nitric-organics.oxalic", cause=scene.cause("NO3-"))


def flammable_rinse(scene: Scene) -> Iterator[Notice]:
    """Alcohol or a solvent where nothing oxidises: only flame matters."""
    named = [word for what, word in SOLVENTS.items() if scene.adds(what) > 0]
    if named:
        yield notice("note", "flammable-rinse.note", what=named[0])


def peroxide_runaway(scene: Scene) -> Iterator[Notice]:
    """Strong peroxide on copper, iron, powder; too much at once; warm."""
    doses = [dose for dose in scene.doses if "H2O2" in dose.mol]
    catalyst = scene.most_of(
        "Cu",
        "Cu(II)",
        "Cu(I)",
        "Fe",
        "Fe(II)",
        "Fe(III)",
        "Ag",
        "Ag2O",
        "Au",
        "sawdust",
        "paper",
        "alcohol",
        "acetone",
        "Pt",
        "Pd",
        "MnO4-",
    )
    if not doses or catalyst <= 0:
        return
    before_l = scene.pot.volume_l or scene.volume_l
    share = sum(dose.volume_l for dose in doses) / before_l if before_l > 0 else 0.0
    strong = max(dose.percent or 0.0 for dose in doses) > line("peroxide_strong")
    at_once = scene.at_once
    much = at_once and share > line("peroxide_share")
    warm = scene.pot.temperature_c >= line("warm_from")
    told = f": {share:.1%} of the bath{' at once' if at_once else ''}{', warm' if warm else ''}"
    if strong and (much or (warm and at_once and share > line("peroxide_warm_share"))):
        yield notice("stop", "peroxide-runaway.stop", share=told)
    elif strong or much:
        yield notice("warn", "peroxide-runaway.warn", share=told)


def closed_vessel(scene: Scene) -> Iterator[Notice]:
    """A liquor that makes gas, under a tight cap."""
    what = gas_maker(scene) if capped(scene) else ""
    if what:
        yield notice("stop", "closed-vessel.gas", what=what)
    elif scene.do == "mix" and gas_maker(scene) not in ("", *STANDING) and _tight(" ".join(pot.kind for pot in scene.pots)):
        yield notice("warn", "closed-vessel.gas", what=gas_maker(scene))


def capped(scene: Scene) -> bool:
    """Whether it is kept under a tight cap: told so, and no vent told of."""
    words = f"{scene.how} {' '.join(pot.kind for pot in scene.pots)}"
    return _tight(words if scene.do == "store" else scene.how, words)


def _tight(told: str, every: str = "") -> bool:
    return says(told, *TIGHT) and not says(every or told, *VENTED)


def gas_maker(scene: Scene) -> str:
    """What makes gas in a stored liquor, in words; "" where nothing does."""
    acid = acid_now(scene)
    organics = scene.most_of(*SOLVENTS, *STUFF, "sugar", "oxalic") > 0
    nitric = min(scene.most("NO3-"), scene.most("H+")) > 0
    makers = {
        "nitric liquor with organics": (nitric or scene.most("NO2-") > 0) and organics,
        "nitric liquor": nitric,
        "peroxide liquor": scene.most("H2O2") > 0,
        "hypochlorite": scene.most_of("ClO-", "Cl2") > 0,
        "metal in acid": acid and scene.most_of(*METALS_IN_ACID) > 0,
        "aluminium in alkali": scene.most("Al") > 0 and scene.most("OH-") > 0,
        "sulfite in acid": acid and scene.most("SO2") > 0,
        "carbonate in acid": acid and scene.most_of("CO3", "HCO3") > 0,
        "ammonia": scene.most("NH3") > 0,
    }
    return next((words for words, makes in makers.items() if makes), "")


RULES = (
    fulminating_gold,
    fulminating_silver,
    silver_fulminate,
    chloramine,
    urea_nitrate,
    hydrazine_nitrate,
    nitric_organics,
    flammable_rinse,
    peroxide_runaway,
    closed_vessel,
)
__all__ = ["AT_ONCE", "RULES"]
