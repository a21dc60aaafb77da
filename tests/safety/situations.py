"""A situation as written down in tests/data/hazards.json, as the scene the rules see."""

from __future__ import annotations

import json
import re
from pathlib import Path

from refinekit.bench.place import Place
from refinekit.chemistry.species import molar_mass
from refinekit.ranges import Range
from refinekit.safety.engine import judge, level_of
from refinekit.safety.history import vessel_of, with_history
from refinekit.safety.scene import Deed, Dose, Scene, Vessel, summed
from refinekit.safety.substances import dose, find

DATA = Path(__file__).parent.parent / "data"
LEVELS = ["none", "note", "warn", "stop"]


def cases(name):
    return json.loads((DATA / name).read_text(encoding="utf-8"))["cases"]


def span(amount):
    if "value" in amount:
        return Range.point(float(amount["value"]))
    return Range(float(amount["low"]), float(amount["likely"]), float(amount["high"]))


def strength(text):
    """Form and figure of a strength as the situations write it."""
    if not text:
        return None
    parts = re.search(r"1: ?(\d+)", text)
    if parts:
        return "parts", float(parts[1])
    found = re.search(r"(\d+(?:\.\d+)?) ?(% w/w|%|mol/L|Be)", text)
    forms = {"% w/w": "percent_ww", "%": "percent_ww", "mol/L": "mol_per_l", "Be": "baume"}
    return (forms[found[2]], float(found[1])) if found else None


def litres(volume):
    return span(volume).high * {"mL": 1e-3, "L": 1.0}[volume["unit"]] if volume else 0.0


def dose_of(name, amount, volume_l=0.0):
    """One substance and its amount; a strength or g/L in a pot is taken times the pot's litres."""
    unit, figure = amount["unit"], span(amount)
    if unit == "L/min":
        return Dose("air", {"air": figure}, substance="air")
    per_litre = {"mol/L": "mol", "g/L": "g", "mg/L": "mg"}
    if unit in per_litre and volume_l:
        return dose(name, figure * volume_l, per_litre[unit])
    if unit == "%":
        return dose(name, Range.point(1000 * volume_l), "mL", ("percent_ww", figure.high))
    poured = dose(name, figure, unit, strength(amount.get("strength")), solid=unit in ("g", "kg"))
    if name == "H2SO4" and unit == "mL" and not amount.get("strength"):
        return poured
    return poured


def percent_of(contents):
    """Strength by constituent, for what a pot holds as a bottle does."""
    told = {}
    for name, amount in contents.items():
        form = ("percent_ww", span(amount).high) if amount["unit"] == "%" else strength(amount.get("strength"))
        # A pour into other liquor is no bottle of that strength.
        if form and form[0] == "percent_ww" and (amount["unit"] == "%" or len(contents) == 1):
            for part in find(name).parts:
                told[part] = form[1]
    return told


def doses_of(contents, volume_l=0.0):
    return tuple(dose_of(name, amount, volume_l) for name, amount in contents.items())


def deed_of(event):
    return Deed(event["did"], event.get("how") or "", doses_of(event.get("with", {})), event.get("when") or "")


def vessel(pot):
    volume_l = litres(pot.get("volume"))
    size_l, width_cm = vessel_of(pot.get("vessel") or "")
    lot = pot.get("lot_weight")
    held = summed(one.mol for one in doses_of(pot["contents"], volume_l))
    return with_history(
        Vessel(
            pot["name"],
            held,
            volume_l,
            float(pot.get("temperature_c", 20)),
            pot.get("vessel") or "",
            tuple(deed_of(event) for event in pot["history"]),
            percent=percent_of(pot["contents"]),
            lot_g=span(lot).low * {"g": 1, "kg": 1000}[lot["unit"]] if lot else None,
            size_l=size_l,
            width_cm=width_cm,
        )
    )


def place_of(shop):
    return Place(
        room_m3=shop["room_m3"],
        fan_m3_per_min=float(shop.get("fan_m3_min") or 0),
        hood=shop["hood"],
        outdoors=shop["outdoors"],
        law=shop.get("law", "us"),
        mixing=shop.get("mixing"),
    )


def scene_of_case(case):
    action = case["action"]
    pots = sorted((vessel(pot) for pot in case["pots"]), key=lambda pot: pot.name != action["pot"])
    doses = doses_of(action.get("with", {}))
    return Scene(
        action["do"],
        tuple(pots),
        tuple(one for one in doses if one.substance != "air"),
        how=action.get("how") or "",
        place=place_of(case["shop"]),
        minutes=action.get("minutes"),
        hours=action.get("hours"),
        target_ph=action.get("target_ph"),
        end_l=litres(action["end_volume"]) if "end_volume" in action else None,
        to=action.get("to") or "",
        permit=action.get("permit") or "",
        limits=action.get("permit_limits") or {},
        air_l_min=sum(one.mol["air"].high for one in doses if one.substance == "air"),
    )


def verdict(case):
    """Notices on a situation, overrides typed in it applied."""
    accepted = dict.fromkeys(case["action"].get("accepted", ()), "typed at the bench")
    return judge(scene_of_case(case), overrides=accepted)


def faults(case):
    """What is wrong with the verdict on a situation: level, codes missed, false alarms, words missing."""
    notices, expect = verdict(case), case["expect"]
    level, allowed = level_of(notices), [expect["level"], *(expect.get("also_ok") or [])]
    standing = {n.code: "note" if n.reason else n.level for n in reversed(notices)}
    known = {*expect["hazards"], *(expect.get("also") or [])}
    text = " ".join(f"{n.text} {n.do} {n.cause}" for n in notices).lower()
    found = [] if level in allowed else [f"level {level}, not {' or '.join(allowed)}"]
    found += [f"missed {code}" for code in expect["hazards"] if code not in standing]
    found += [
        f"false {code} at {standing[code]}" for code in expect.get("must_not") or [] if standing.get(code) in ("warn", "stop")
    ]
    found += [f"false stop {code}" for code, one in standing.items() if one == "stop" and code not in known]
    found += [f"does not say: {say['fact']}" for say in expect.get("must_say", []) if not any(w in text for w in say["words"])]
    return found, notices


__all__ = ["LEVELS", "cases", "faults", "molar_mass", "scene_of_case", "verdict"]
