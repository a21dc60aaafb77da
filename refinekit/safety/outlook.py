"""What comes of a scene where no sum has reckoned it yet: gas at its worst end, warming, the bath at the end, the room's air."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from math import expm1, pi

from refinekit.bench.place import Place
from refinekit.chemistry.gas import molar_volume_l
from refinekit.chemistry.heat import neutralising_heat, reaction_enthalpy
from refinekit.chemistry.solution import Solution, mix, water
from refinekit.chemistry.species import molar_mass
from refinekit.errors import RefinekitError
from refinekit.facts.load import as_fact, fact, table
from refinekit.ranges import likely
from refinekit.safety.scene import Scene
from refinekit.safety.words import percent_solution, says

GIVES = {"Au": 3, "Cu": 2, "Ni": 2, "Zn": 2, "Pb": 2, "Fe": 3, "Sn": 4, "Ag": 1, "Pd": 2, "Pt": 4, "Al": 3, "Mg": 2, "Cd": 2}
"""Electrons a metal gives to nitric."""
BINDS = {"Cu": 2, "Ni": 2, "Zn": 2, "Pb": 2, "Fe": 3, "Ag": 1, "Pd": 2, "Al": 3, "Mg": 2, "Cd": 2}
"""Nitric a mole of metal keeps as its nitrate."""
NEEDS_CHLORIDE = ("Au", "Pt")
"""Metals that nitric alone leaves."""
HYDROGEN = {"Zn": 1.0, "Al": 1.5, "Fe": 1.0, "Mg": 1.0, "Sn": 1.0}
"""Hydrogen a mole of metal makes in acid."""
DRIVES_COPPER = {"Al": (1.5, "Al^3+"), "Zn": (1.0, "Zn^2+"), "Mg": (1.0, "Mg^2+"), "Fe": (1.0, "Fe^2+")}
"""Copper a mole of metal brings down, and what it becomes."""
ACID_WITH_AIR = {"Cu": 2, "Ni": 2, "Zn": 2, "Pb": 2, "Fe": 3, "Sn": 4, "Al": 3}
ACID_WITHOUT_AIR = {"Zn": 2, "Fe": 2, "Sn": 2, "Al": 3, "Mg": 2}
CHARGES = {
    "Cu(II)": 2,
    "Cu(I)": 1,
    "Ni(II)": 2,
    "Zn(II)": 2,
    "Pb(II)": 2,
    "Fe(II)": 2,
    "Fe(III)": 3,
    "Al(III)": 3,
    "Sn(IV)": 4,
    "Sn(II)": 2,
}
"""Alkali a metal in solution takes on its way to hydroxide."""
OXIDANT_PER_GOLD = 1.5
"""Chlorine, hypochlorite or peroxide a mole of gold takes going in, sulfite coming out: three electrons, two to each."""
IRON_PER_SULFITE = 0.5
"""Sulfite a mole of iron(III) takes: one electron of its two."""
SMB_PER_NITRIC = 0.75
"""Metabisulfite a mole of nitric takes going to nitric oxide: three electrons, four to each."""
ELECTRONS_OF_NITRIC = 3
"""Electrons nitric takes going to nitric oxide."""
BASES = {"OH-": 1, "CO3": 2, "HCO3": 1}
"""Acid a mole of base takes."""
FROTHERS = ("CO2", "N2O")
"""Gases of carbonate, oxalic and sulfamic, whose froth stands."""
REACTING = ("dissolve", "part", "leach", "drop", "denox", "mix", "cement", "neutralise", "bath", "silver", "rinse", "scrub")
"""Verbs in which what meets reacts; storing and melting are rules of their own."""


@cache
def line(key: str) -> float:
    """A line of the safety facts, by its key."""
    return fact(f"safety/lines.{key}").value


# ---- gases
def gases_of(scene: Scene) -> dict[str, float]:
    """The most of each gas the step can set free [mol], by formula."""
    if scene.gases is not None:
        return {formula: amount.high for formula, amount in scene.gases.items()}
    if scene.do not in REACTING:
        return {}
    found = {
        "NO2": nitrogen_dioxide(scene),
        "Cl2": chlorine(scene),
        "SO2": sulfur_dioxide(scene),
        "H2": hydrogen(scene),
        "H2S": scene.most("S2-") if acid_now(scene) else 0.0,
        "NH3": ammonia(scene),
        "CO2": carbon_dioxide(scene),
    }
    return {formula: mol for formula, mol in found.items() if mol > 0}


def acid_now(scene: Scene) -> bool:
    """Whether free acid meets what is there."""
    return scene.most("H+") > 0


def net_alkali(scene: Scene) -> float:
    """Alkali over acid and metals when all is together [mol]; under 0 where acid is left."""
    base = sum(scene.most(what) * takes for what, takes in BASES.items())
    return (
        base
        - scene.most("H+")
        - sum(scene.together[what].low * charge for what, charge in CHARGES.items() if what in scene.together)
    )


def nitrogen_dioxide(scene: Scene) -> float:
    """Nitric eaten by metals, all by nitrogen dioxide; by sulfite, two to one; nitrite set free by acid [mol]."""
    nitric = min(scene.most("NO3-"), scene.most("H+"))
    chloride = scene.most("Cl-") > 0
    metals = {metal: scene.most(metal) for metal in GIVES if scene.most(metal) > 0 and (chloride or metal not in NEEDS_CHLORIDE)}
    electrons = sum(GIVES[metal] * mol for metal, mol in metals.items())
    bound = 0.0 if chloride else sum(BINDS.get(metal, 0) * mol for metal, mol in metals.items())
    by_metal = min(electrons, nitric * electrons / (electrons + bound)) if electrons > 0 else 0.0
    by_sulfite = min(nitric, 2 * scene.most("SO2") + scene.most("Fe(II)") / 3)
    boiled = nitric if scene.do == "denox" and scene.end_l is not None else 0.0
    nitrite = scene.most("NO2-") if acid_now(scene) else 0.0
    return max(by_metal, by_sulfite, boiled) + nitrite


def chlorine(scene: Scene) -> float:
    """Hypochlorite in acid, less what gold takes on its way into solution [mol]."""
    free = scene.most("ClO-") if acid_now(scene) else 0.0
    gold = OXIDANT_PER_GOLD * scene.together["Au"].low if "Au" in scene.together and scene.do == "dissolve" else 0.0
    return max(free - gold, 0.0)


def sulfur_dioxide(scene: Scene) -> float:
    """Sulfite in acid, less what gold takes [mol]."""
    if not acid_now(scene) or net_alkali(scene) > 0:
        return 0.0
    gold = scene.together["Au(III)"].low if "Au(III)" in scene.together else 0.0
    return max(scene.most("SO2") - OXIDANT_PER_GOLD * gold, 0.0)


def hydrogen(scene: Scene) -> float:
    """Metal eating acid, aluminium eating caustic [mol]: as much as metal and acid allow."""
    acid = scene.most("H+") / 2
    by_acid = min(acid, sum(makes * scene.most(metal) for metal, makes in HYDROGEN.items() if free_of_air(scene, metal)))
    by_caustic = HYDROGEN["Al"] * min(scene.most("Al"), scene.most("OH-")) if net_alkali(scene) > 0 else 0.0
    return max(by_acid, by_caustic)


def free_of_air(scene: Scene, metal: str) -> bool:
    """Whether a metal makes hydrogen here: tin does not where air or cupric copper takes it first, none does in nitric."""
    nitric = scene.most("NO3-") > scene.most("Cl-")
    aired = scene.air_l_min > 0 or scene.most("Cu(II)") > 0
    return not nitric and not (metal == "Sn" and aired)


def ammonia(scene: Scene) -> float:
    """Ammonia that leaves a liquor made alkaline [mol]."""
    if not made_alkaline(scene):
        return 0.0
    return line("ammonia_leaves") * scene.most("NH4+")


def ammonium_in(scene: Scene, *whats: str) -> float:
    """Ammonium and what becomes it, that alkali would turn to ammonia [mol].

    Sulfamic that was within the need of the most nitric there may have been, and was not boiled on, is no ammonium to speak of.
    """
    within = any("sulfamic-within" in pot.causes for pot in scene.pots) and scene.dosed("sulfamic") <= 0
    return scene.most_of(*(what for what in whats if what != "sulfamic" or not within))


def made_alkaline(scene: Scene) -> bool:
    """Whether the step brings a liquor to where ammonia is let go."""
    if scene.target_ph is not None:
        return scene.target_ph >= line("ammonia_ph")
    base = scene.adds("OH-", "CO3", "HCO3")
    return base > 0 and net_alkali(scene) > 0


def carbon_dioxide(scene: Scene) -> float:
    """Carbonate in acid, oxalic on gold [mol]."""
    acid = scene.most("H+") + sum(scene.most(what) * charge for what, charge in CHARGES.items())
    carbonate = min(scene.most("HCO3"), acid) + min(scene.most("CO3"), acid / 2)
    return carbonate + min(3 * scene.most("Au(III)"), 2 * scene.most("oxalic"))


# ---- the air of the room
def litres(mol: float, place: Place) -> float:
    """Litres of gas at the shop's temperature and pressure [L]."""
    return mol * likely(molar_volume_l(place.temperature_k, place.pressure_pa))


def share_of_room(mol: float, scene: Scene) -> float | None:
    """Gas as a share of the air near the pot [-]; None where it does not go into a room or none was told of."""
    place = scene.place
    if place.hood or place.outdoors or place.room_m3 is None:
        return None
    near = place.mixing if place.mixing is not None else fact("practice/general.mixing.k").value
    minutes = scene.minutes if scene.minutes else line("gas_window")
    gas_l, room_l, drawn_l = litres(mol, place), 1000 * place.room_m3, 1000 * place.fan_m3_per_min
    if drawn_l <= 0:
        return near * gas_l / room_l
    return near * gas_l / minutes / drawn_l * -expm1(-drawn_l * minutes / room_l)


def short_limit(gas: str, law: str) -> tuple[float, str] | None:
    """The short exposure limit of a gas under a law [ppm], and whose it is; NIOSH's where the law has none."""
    own = table("safety/lines")["short"].get(gas)
    if own:
        return as_fact(gas, own).value, str(own["about"])
    row: Mapping[str, dict[str, str]] = table("exposure").get(gas, {})
    named = row.get("short", {}).get(law) or row.get("short", {}).get("us")
    if not named:
        return None
    found = fact(f"exposure.{gas}.{named}")
    return found.value, found.about


def short_limit_ppm(gas: str, law: str) -> float | None:
    """The figure of `short_limit` alone [ppm]."""
    found = short_limit(gas, law)
    return found[0] if found else None


# ---- warming
def rise_of(scene: Scene) -> float:
    """How much warmer the pot gets if it loses no heat [K]."""
    if scene.rise_k is not None:
        return scene.rise_k
    volume_l = scene.volume_l + solution_water_l(scene)
    if volume_l <= 0:
        return 0.0
    heat = _neutralised_kj(scene) + _driven_kj(scene) + _peroxide_kj(scene)
    capacity = fact("enthalpy.liquor_heat_capacity").value
    return max(heat / (volume_l * capacity), _diluted_rise(scene))


def solution_water_l(scene: Scene) -> float:
    """Water of caustic that goes in as a solution told in words [L]."""
    percent = percent_solution(scene.how)
    if percent is None and says(scene.how, "caustic solution", "as solution", "dissolved", "as a solution"):
        percent = line("caustic_solution") if scene.dosed("OH-") else None
    grams = sum(dose.mol["OH-"].high * molar_mass("NaOH") for dose in scene.doses if "OH-" in dose.mol and not dose.volume_l)
    return grams * (100 / percent - 1) / 1000 if percent else 0.0


def _neutralised_kj(scene: Scene) -> float:
    """Heat of acid and metals meeting alkali, of pearls dissolving [kJ]."""
    base = scene.adds("OH-")
    acid, metals = scene.most("H+"), sum(scene.most(what) * charge for what, charge in CHARGES.items())
    on_acid = min(base, acid)
    on_metal = min(base - on_acid, metals)
    heat = on_acid * neutralising_heat("caustic").high + on_metal * _copper_falls_kj()
    pearls = sum(dose.mol["OH-"].high for dose in scene.doses if "OH-" in dose.mol and not dose.volume_l)
    if not solution_water_l(scene):
        heat += pearls * fact("enthalpy.dissolve.pearls").value
    carbonate = min(2 * scene.adds("CO3"), max(acid - on_acid, 0.0))
    return heat + carbonate * neutralising_heat("soda ash").high


@cache
def _copper_falls_kj() -> float:
    """Heat of copper falling as hydroxide, to a mole of alkali [kJ/mol]."""
    return -reaction_enthalpy({"Cu^2+": -1, "OH^-": -2, "Cu(OH)2": 1}) / 2


@cache
def _drives_kj(metal: str) -> float:
    """Heat of a mole of copper brought down by a metal [kJ/mol]."""
    copper, ion = DRIVES_COPPER[metal]
    return -reaction_enthalpy({"Cu^2+": -1, ion: 1 / copper})  # the elements count nought


def _driven_kj(scene: Scene) -> float:
    """Heat of a light metal on copper liquor and acid [kJ]; iron in the piece takes a day over it and is left out."""
    heat = 0.0
    copper, acid = scene.most("Cu(II)"), scene.most("H+")
    for metal in ("Al", "Mg", "Zn", "Fe"):
        there = scene.adds(metal)
        if there <= 0 or scene.do not in ("cement", "mix", "leach", "bath"):
            continue
        if metal == "Fe" and not says(scene.how, "powder", "wool", "filings"):
            continue
        per, ion = DRIVES_COPPER[metal]
        down = min(copper, there * per)
        heat += down * _drives_kj(metal)
        copper -= down
        eaten = min((there - down / per), acid / (2 * HYDROGEN[metal]))
        heat -= eaten * reaction_enthalpy({ion: 1, "H^+": -2 * HYDROGEN[metal]})
        acid -= eaten * 2 * HYDROGEN[metal]
    return heat


def _peroxide_kj(scene: Scene) -> float:
    """Heat of peroxide falling apart on copper or iron [kJ]."""
    if scene.most_of("Cu", "Cu(II)", "Cu(I)", "Fe", "Fe(II)", "Fe(III)") <= 0:
        return 0.0
    return -scene.adds("H2O2") * reaction_enthalpy({"H2O2": -1, "H2O": 1})


def _diluted_rise(scene: Scene) -> float:
    """Warming of strong sulfuric and water poured together [K]."""
    acid_l, acid_percent, water_l = sulfuric_and_water(scene)
    if not acid_percent or acid_l <= 0 or water_l <= 0:
        return 0.0
    return float(mix(Solution.of("H2SO4", "percent_ww", acid_percent), acid_l, water("H2SO4"), water_l).rise_k)


def sulfuric_and_water(scene: Scene) -> tuple[float, float, float]:
    """Strong sulfuric acid and its strength, and the water that meets it [L, % w/w, L]."""
    acid_l = acid_percent = water_l = 0.0
    held = scene.pot.percent.get("SO4", 0.0)
    if held:
        acid_l, acid_percent = scene.pot.volume_l, held
    elif scene.pot.most("water") > 0:
        water_l = scene.pot.volume_l
    for dose in scene.doses:
        if "SO4" in dose.mol and "H+" in dose.mol and dose.percent:
            acid_l, acid_percent = acid_l + dose.volume_l, dose.percent
        elif dose.substance in ("water", "tap water"):
            water_l += dose.volume_l
    return acid_l, acid_percent, water_l


# ---- the bath at the end
def end_acid(scene: Scene) -> float | None:
    """Free acid of a hydrochloric bath when its metal is gone [mol/L]; None for other liquors."""
    if scene.end_acid is not None or scene.gases is not None:
        return scene.end_acid
    if scene.volume_l <= 0 or scene.most("H+") <= 0 or scene.most("NO3-") > scene.most("Cl-"):
        return None
    takes = ACID_WITH_AIR if scene.air_l_min > 0 else ACID_WITHOUT_AIR
    used = sum(scene.most(metal) * count for metal, count in takes.items())
    if scene.air_l_min <= 0:
        # Peroxide takes as much metal, and with it acid, as there is peroxide.
        used += 2 * min(scene.most("H2O2"), scene.most_of("Cu", "Ni", "Pb"))
    return (scene.together["H+"].low - used) / scene.volume_l


def end_copper(scene: Scene) -> float:
    """Copper of the bath when the goods are gone [g/L]."""
    if scene.end_copper is not None:
        return scene.end_copper
    # Without air a copper(II), a peroxide, a chlorine takes one copper, two iron(III) one, a nitric three halves at most.
    oxidant = scene.most_of("Cu(II)", "H2O2", "ClO-", "Cl2") + scene.most("Fe(III)") / 2 + 3 * scene.most("NO3-") / 2
    metal_mol = scene.most("Cu") if scene.air_l_min > 0 else min(scene.most("Cu"), oxidant)
    copper_mol = scene.most_of("Cu(II)", "Cu(I)") + metal_mol
    return copper_mol * molar_mass("Cu") / scene.volume_l if scene.volume_l > 0 else 0.0


@cache
def nitric_percent(mol_per_l: float) -> float:
    """Strength of a plain nitric acid [% w/w]; all acid where it is stronger than any that is known."""
    try:
        return float(Solution.of("HNO3", "mol_per_l", mol_per_l).percent_ww) if mol_per_l > 0 else 0.0
    except RefinekitError:
        return 100.0


@cache
def hcl_percent(mol_per_l: float) -> float:
    """Strength of a plain hydrochloric acid [% w/w]."""
    return float(Solution.of("HCl", "mol_per_l", mol_per_l).percent_ww) if mol_per_l > 0 else 0.0


# ---- froth
def frothing(scene: Scene) -> dict[str, float]:
    """Gas that comes up through the liquor [mol], by formula; sulfamic makes a mole of it of a mole of nitric."""
    found = {
        "CO2": carbon_dioxide(scene),
        "N2O": min(scene.dosed("sulfamic"), scene.most("NO3-")),
        "NO2": nitrogen_dioxide(scene) if scene.do in ("dissolve", "part", "leach") and scene.at_once else 0.0,
        "H2": hydrogen(scene),
    }
    return {formula: mol for formula, mol in found.items() if mol > 0}


@cache
def gas_name(formula: str) -> str:
    """What a gas is called."""
    return str(next(row["name"] for row in table("species")["species"] if row["formula"] == formula))


def froth_cm_per_s(scene: Scene) -> float | None:
    """Speed of gas through the liquor's surface, frothers counted double [cm/s]; None where no time or vessel was told."""
    twice = fact("practice/general.foam.frothers_count").value
    counted = sum(mol * (twice if formula in FROTHERS else 1) for formula, mol in frothing(scene).items())
    gas_l = litres(counted, scene.place)
    minutes = scene.minutes or (line("froth_tipped") if says(scene.how, "tipped", "all at once", "in one go", "dumped") else None)
    width = scene.pot.width_cm or _usual_width(scene.pot.size_l)
    if not minutes or not width or gas_l <= 0:
        return None
    return gas_l * 1000 / (60 * minutes) / (pi * width**2 / 4)


def _usual_width(size_l: float | None) -> float | None:
    """Width of a vessel of a size, from the usual shape [cm]."""
    return (4000 * size_l / (pi * line("vessel_shape"))) ** (1 / 3) if size_l else None
