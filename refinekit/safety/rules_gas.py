"""What is breathed: chlorine, brown fume, sulfur dioxide, hydrogen, arsine, cyanide, sulfide, ammonia, and the room's air."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from refinekit.bench.fume_limits import counted
from refinekit.bench.step import Notice
from refinekit.facts.load import fact, table
from refinekit.ranges import Range
from refinekit.safety import outlook
from refinekit.safety.outlook import acid_now, line, litres
from refinekit.safety.scene import NOTHING, Scene
from refinekit.safety.speak import notice
from refinekit.safety.words import says

NOT_A_ROOM_SUM = ("AsH3", "HCN", "H2")
"""Gases whose own rule stops them whatever the room."""
ASKS_OF_A_ROOM = ("fume", "vent")


def chlorine(scene: Scene) -> Iterator[Notice]:
    """Hypochlorite and acid; the chosen dissolving step may go on with a typed reason, under a hood or outdoors."""
    bleach = scene.most("ClO-")
    if bleach > 0 and acid_now(scene):
        chosen = scene.do == "dissolve" and scene.most("Au") > 0 and scene.most_of("NH4+", "NH3", "sulfamic", "urea") <= 0
        if chosen:
            yield notice("stop", "chlorine.dissolve", may_override=not scene.indoors)
            yield from _bleach_over(scene)
        elif scene.do == "scrub" and scene.dosed("ClO-") <= 0:
            yield notice("warn", "chlorine.scrubber", cause=scene.cause("ClO-"))
        else:
            cause = scene.cause("ClO-")
            yield notice(
                "stop", "chlorine.acid", cause=cause, caught=f" caught by {cause}" if cause else " or a chlorine scrubber"
            )
    elif bleach > 0 and scene.adds("SO2") > 0 and scene.do == "scrub":
        yield notice("warn", "chlorine.scrubber", cause=scene.cause("ClO-"))
    strong = any("H2O2" in dose.mol and (dose.percent or 0) > line("peroxide_strong") for dose in scene.doses)
    if strong and scene.volume_l > 0 and min(scene.most("H+"), scene.most("Cl-")) / scene.volume_l > line("chlorine_acid"):
        yield notice("warn", "chlorine.peroxide")
    if scene.most_of("MnO4-", "ClO3-") > 0 and acid_now(scene) and scene.most("Cl-") > 0:
        yield notice("stop", "chlorine.permanganate")
    if scene.most("Cl2") > 0 and scene.do != "scrub" and scene.cause("Cl2"):
        yield notice("note", "chlorine.left", cause=scene.cause("Cl2"))


def _bleach_over(scene: Scene) -> Iterator[Notice]:
    need = outlook.OXIDANT_PER_GOLD * scene.together["Au"].low
    times = scene.most("ClO-") / need if need > 0 else float("inf")
    if times > line("bleach_over"):
        yield notice("warn", "chlorine.over", times=times, most=line("bleach_over"))


def brown_fume(scene: Scene) -> Iterator[Notice]:
    """Nitric on metal, on sulfite, copperas or iron; nitrite in acid. Delayed lung injury published: ATSDR."""
    if scene.do in ("store", "discard", "melt", "lot"):
        return
    hours: dict[str, Any] = {"from_h": line("delayed_from"), "to_h": line("delayed_to")}
    mol = brown_mol(scene.gases) if scene.gases is not None else outlook.nitrogen_dioxide(scene)
    nitric = min(scene.most("NO3-"), scene.most("H+"))
    if scene.most("Fe") > 0 and nitric > 0 and scene.cause("Fe") and scene.dosed("NO3-") > 0:
        yield notice("warn", "nox.iron", cause=scene.cause("Fe"), **hours)
    elif scene.most("NO2-") > 0 and acid_now(scene):
        yield notice("warn", "nox.acidified", cause=scene.cause("NO2-"), **hours)
    elif _weak(scene, nitric) and scene.dosed("NO3-") <= 0:
        if mol > 0:
            yield notice("note", "nox.weak", cause=scene.cause("NO3-"), litres=litres(mol, scene.place), **hours)
    elif nitric > 0 and scene.adds("SO2", "Fe(II)", "Fe", "Zn", "Al") > 0 and scene.dosed("NO3-") <= 0:
        yield notice("warn", "nox.reductant", cause=scene.cause("NO3-"), **hours)
    elif mol > 0:
        quiet = not scene.indoors and scene.do != "scrub" and not (says(scene.how, "all at once") and strong_nitric_poured(scene))
        yield notice("note" if quiet else "warn", "nox.metal", litres=litres(mol, scene.place), **hours)


def _weak(scene: Scene, nitric_mol: float) -> bool:
    """Whether there is just a little nitric in much water for iron, zinc or ferrous to meet, and no sulfite."""
    metal = scene.adds("Fe(II)", "Fe", "Zn", "Al") > 0 and scene.adds("SO2") <= 0
    return metal and 0 < nitric_mol <= line("weak_nitric") * scene.volume_l


def brown_mol(gases: Mapping[str, Range]) -> float:
    """The most nitrogen dioxide that nitrogen oxides come to in air [mol]: at the ends all as one of them, never both."""
    no, no2 = gases.get("NO", NOTHING), gases.get("NO2", NOTHING)
    return max(no.high, no2.high, no.likely + no2.likely)


def strong_nitric_poured(scene: Scene) -> bool:
    """Whether strong nitric is poured."""
    return any("NO3-" in dose.mol and (dose.percent or 0) > line("strong_nitric") for dose in scene.doses)


def sulfur_dioxide(scene: Scene) -> Iterator[Notice]:
    """Sulfite in acid: into a room it is a stop, whatever the sum says."""
    if not acid_now(scene):
        return
    if scene.most("S2O3") > 0:
        yield notice("warn", "sulfur-dioxide.thiosulfate")
    if scene.most("SO2") <= 0 or scene.do in ("store", "discard", "melt", "lot") or outlook.net_alkali(scene) > 0:
        return
    told = outlook.gases_of(scene).get("SO2", 0.0)
    words: dict[str, Any] = {"litres": litres(told, scene.place)}
    if scene.indoors:
        yield notice("stop" if scene.told else "warn", "sulfur-dioxide.room", **words)
    else:
        yield notice("note", "sulfur-dioxide.hood", **words)


def hydrogen(scene: Scene) -> Iterator[Notice]:
    """Metal in acid, aluminium in caustic. 4 % limit published: DOE-HDBK-1015, NFPA 497."""
    if scene.do in ("melt", "lot", "store", "discard"):
        return
    mol = outlook.gases_of(scene).get("H2", 0.0)
    if mol <= 0:
        return
    share = outlook.share_of_room(mol, scene)
    percent = 100 * (share or 0.0)
    if percent > line("hydrogen_stop"):
        yield notice("stop", "hydrogen-flammable.room", percent=percent, line=line("hydrogen_stop"))
    stuffy = scene.told and scene.place.indoors_without_exhaust
    caustic = not acid_now(scene) and scene.most("OH-") > 0
    level = "warn" if percent > line("hydrogen_warn") or stuffy or caustic else "note"
    told = f", {percent:.2g} % of the air" if share is not None else ""
    yield notice(level, f"hydrogen.{'caustic' if caustic else 'acid'}", litres=litres(mol, scene.place), share=told)


def arsine(scene: Scene) -> Iterator[Notice]:
    """Arsenic or antimony wherever a metal makes hydrogen. Published: NIOSH Current Intelligence Bulletin 32."""
    metal = scene.most_of("Zn", "Fe", "Al", "Mg") > 0 or (scene.most("Sn") > 0 and outlook.free_of_air(scene, "Sn"))
    fresh = metal and (acid_now(scene) or (scene.most("Al") > 0 and scene.most("OH-") > 0))
    if scene.most_of("As", "Sb") > 0 and fresh and scene.do not in ("melt", "lot"):
        yield notice("stop", "arsine.metal", cause=scene.cause("As", "Sb"))


def hydrogen_cyanide(scene: Scene) -> Iterator[Notice]:
    """Cyanide: with acid, copper or gold liquor it kills; alone it is refused."""
    if scene.most("CN-") <= 0:
        return
    meets = scene.most_of("H+", "Cu(II)", "Cu(I)", "Au(III)", "sulfamic", "oxalic", "SO2") > 0
    kept = scene.do == "store" and not meets
    yield notice("warn" if kept else "stop", f"hydrogen-cyanide.{'acid' if meets else 'refuse'}", cause=scene.cause("CN-"))


def hydrogen_sulfide(scene: Scene) -> Iterator[Notice]:
    """Sulfide and acid."""
    if scene.most("S2-") > 0 and scene.most_of("H+", "sulfamic", "oxalic") > 0:
        yield notice("stop", "hydrogen-sulfide.acid", cause=scene.cause("S2-"))
    elif scene.most("S2-") > 0 and scene.most_of("SO2", "HCO3") > 0 and scene.most("OH-") <= 0:
        # Bisulfite and bicarbonate are acid enough to let some go.
        yield notice("warn", "hydrogen-sulfide.acid", cause=scene.cause("S2-"))


def ammonia_gas(scene: Scene) -> Iterator[Notice]:
    """Ammonium made alkaline; ammonia water poured."""
    if scene.most("NH4+") > 0 and outlook.made_alkaline(scene):
        yield notice("warn", "ammonia-gas.alkali", cause=scene.cause("NH4+"))
    elif scene.dosed("NH3") > 0:
        yield notice("note", "ammonia-gas.water")


def room_air(scene: Scene) -> Iterator[Notice]:
    """The room's air against the short limit: over it a stop, over a tenth a warning.

    Nitric oxide turns to nitrogen dioxide in the air and is counted as that against its limit; by itself it is held against its
    own. Published limits: NIOSH Pocket Guide, OSHA 1910.1000, in facts/exposure.toml.
    """
    if scene.breathed:
        return
    gases = outlook.gases_of(scene)
    oxide = gases.pop("NO", 0.0)
    if scene.gases is not None and oxide > 0:
        gases["NO2"] = max(gases.get("NO2", 0.0), brown_mol(scene.gases))
    for gas, mol in gases.items():
        share = None if gas in NOT_A_ROOM_SUM else outlook.share_of_room(mol, scene)
        held = outlook.short_limit(gas, scene.place.law)
        if share is None or not held:
            continue
        ppm, (limit, whose) = 1e6 * share, held
        name = table("exposure").get(gas, {}).get("name", "hydrogen sulfide")
        if gas == "NO2" and oxide > 0:
            name += " (nitric oxide counted: it turns to it in the air)"
        words: dict[str, Any] = {"name": name, "ppm": ppm, "limit": limit, "whose": whose}
        words["more"] = ". Lungs can fill hours later" if gas == "NO2" else ""
        if ppm > limit:
            yield notice("stop", "gas-above-limit.over", **words)
        elif ppm > line("room_share") * limit:
            yield notice("warn", "gas-above-limit.near", **words)
    yield from _oxide_by_itself(scene, oxide)


def _oxide_by_itself(scene: Scene, mol: float) -> Iterator[Notice]:
    """Nitric oxide against its own limits: danger at once a stop, eight hours a warning."""
    share = outlook.share_of_room(mol, scene) if mol > 0 else None
    if share is None:
        return
    over = [limit for limit, _ in counted("NO", scene.place.law) if 1e6 * share > limit.ppm]
    if over:
        worst = max(over, key=lambda limit: (limit.kind != "8 h", limit.ppm))
        words: dict[str, Any] = {"name": "nitric oxide", "ppm": 1e6 * share, "limit": worst.ppm, "whose": worst.about}
        level = "warn" if worst.kind == "8 h" else "stop"
        yield notice(level, "gas-above-limit.own", more=". Lungs can fill hours later", **words)


def air_in_time(scene: Scene) -> Iterator[Notice]:
    """The air near the pot as it was walked through in time, against every limit the law counts, each over its own time.

    Over a short limit or a ceiling in a room it is a stop; beside a hood, outdoors, or over eight hours a warning.
    """
    law = scene.place.law
    for gas, figures in scene.breathed.items():
        held = [
            (figures[limit.kind] / limit.ppm, limit) for limit, counts in counted(gas, law) if counts and limit.kind in figures
        ]
        held = [] if gas in NOT_A_ROOM_SUM else sorted(held, key=lambda each: each[0], reverse=True)
        for times, limit in held[:1]:
            stops = [each for each in held if each[0] > 1 and each[1].kind != "8 h"]
            times, limit = stops[0] if stops else (times, limit)
            words: dict[str, Any] = {
                "name": table("exposure")[gas]["name"],
                "ppm": figures[limit.kind],
                "how": "over " + limit.kind if limit.window_min else "at its worst",
                "times": times,
                "limit": limit.ppm,
                "whose": limit.about,
                "more": ". Lungs can fill hours later" if gas in ("NO", "NO2") else "",
            }
            if times > 1:
                level, key = ("stop" if stops else "warn", "in-time") if scene.indoors else ("warn", "beside")
                yield notice(level, f"gas-above-limit.{key}", **words)
            elif times > line("room_share"):
                yield notice("warn", "gas-above-limit.in-time-near", **words)


def cupboard(scene: Scene) -> Iterator[Notice]:
    """A room too small to stand in while anything gasses; a box over a pot has its own sums, but nobody stands in it."""
    room = scene.place.room_m3
    if room is None or scene.place.outdoors or scene.do in ("store", "discard", "melt", "lot"):
        return
    least, box = line("room_smallest"), line("fume_box_largest")
    stood_in = room > box or scene.do in ASKS_OF_A_ROOM
    if stood_in and room < least and sum(outlook.gases_of(scene).values()) > 0:
        yield notice("stop", "cupboard.room", room=room, least=least)


def scrubber_slip(scene: Scene) -> Iterator[Notice]:
    """Nitric oxide alone passes caustic; too little caustic passes everything."""
    if scene.do == "scrub" and scene.gases is not None:
        yield from _reckoned_slip(scene, scene.gases)
        return
    nitric = scene.dosed("NO3-", "NO2-")
    if scene.do != "scrub" or nitric <= 0:
        return
    helped = scene.pot.most("H2O2") + scene.dosed("H2O2") > 0
    share = nitric_oxide_share(scene)
    if share > line("no_share_slip") and not helped:
        made = nitric_oxide_mol(scene, share)
        yield notice("warn", "scrubber-slip.no", litres=litres(made * (2 * share - 1), scene.place))
    if scene.pot.most("OH-") < nitric_oxide_mol(scene, share):
        yield notice("warn", "scrubber-slip.spent")


def _reckoned_slip(scene: Scene, passes: Mapping[str, Range]) -> Iterator[Notice]:
    """What a scrubber that was reckoned through lets pass, and chlorine and other fume in one liquor."""
    slips = passes.get("NO", NOTHING).high
    if slips > 0:
        yield notice("warn", "scrubber-slip.no", litres=litres(slips, scene.place))
    if any(passes.get(gas, NOTHING).high > 0 for gas in ("NO2", "Cl2", "SO2", "NOCl")):
        yield notice("warn", "scrubber-slip.spent")
    if scene.most_of("Cl2", "ClO-") > 0 and scene.most_of("SO2", "H+") > 0:
        yield notice("warn", "chlorine.scrubber", cause=scene.cause("ClO-"))


def nitric_oxide_share(scene: Scene) -> float:
    """Share of the nitrogen that leaves as nitric oxide: told in words, else by the strength of the acid."""
    if says(scene.how, "nine tenths", "nearly all no", "mostly no", "almost all no"):
        return fact("practice/general.no_share.weak").value
    if says(scene.how, "half of it", "half is nitrogen dioxide", "half oxidised", "air and time", "brown already", "aged"):
        return line("no_share_slip")
    percent = max((dose.percent or 0 for dose in scene.doses if "NO3-" in dose.mol), default=0.0)
    weak = says(scene.how, "20 % acid", "weak", "dilute") or 0 < percent <= fact("practice/general.no_share.weak_below").value
    return fact(f"practice/general.no_share.{'weak' if weak else 'half' if says(scene.how, '1:1') else 'strong'}").value


def nitric_oxide_mol(scene: Scene, share: float) -> float:
    """Nitrogen that leaves the nitric on the metal [mol]."""
    electrons = sum(outlook.GIVES[metal] * pot.most(metal) for pot in scene.pots for metal in outlook.GIVES)
    return min(electrons / (1 + 2 * share), scene.dosed("NO3-", "NO2-")) if electrons else scene.dosed("NO3-", "NO2-")


RULES = (
    chlorine,
    brown_fume,
    sulfur_dioxide,
    hydrogen,
    arsine,
    hydrogen_cyanide,
    hydrogen_sulfide,
    ammonia_gas,
    room_air,
    air_in_time,
    cupboard,
    scrubber_slip,
)
