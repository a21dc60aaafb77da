"""What was done to a pot before, and what that leaves in it beside what its owner knows of.

Each kind of deed has a small function that changes what is carried along; a rinse thins it, a boil drives nitric off and turns
sulfamic into ammonium. Whatever is carried names the deed that set it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from refinekit.bench.tag_words import mended, said, tag_rows
from refinekit.chemistry.solution import Solution
from refinekit.denials import names
from refinekit.facts.load import fact, table
from refinekit.ranges import Range
from refinekit.safety.outlook import ELECTRONS_OF_NITRIC, OXIDANT_PER_GOLD
from refinekit.safety.scene import BOILED, NOTHING, Deed, Vessel, added_up, summed
from refinekit.safety.words import denies, figure_before, range_before, says, times

ELECTRONS = {"Au(III)": 3, "Cu(II)": 2, "Cu(I)": 1, "Ni(II)": 2, "Zn(II)": 2, "Pb(II)": 2, "Fe(III)": 3, "Fe(II)": 2, "Sn(IV)": 4}
ELECTRONS |= {"Sn(II)": 2, "Ag(I)": 1, "AgCl": 1, "Pd(II)": 2, "Pt(IV)": 4, "Al(III)": 3}
"""Electrons a metal gave on its way into solution."""
ZINC_PER_AMMONIUM, AMMONIA_PER_COPPER = 4, 4
"""Zinc that takes a nitric down to ammonium: eight electrons, two to each; ammonia that a copper holds in its deep blue ion."""
SOLUBLE = ("NO3-", "H+", "Cl-", "Ag(I)", "NH4+", "NH3", "sulfamic", "urea", "Cl2", "ClO-", "H2O2", "Sn(II)", "hydrazine", "NO2-")
"""What a rinse takes along."""
GOLD_AGAIN = ("dissolve", "leach", "bath", "mix", "part")
"""Deeds after which a gold test of before says nothing."""
TRACE = Range(0.0, 1e-3, 1e-3)
"""Stands for an amount nobody told: there, however little."""


@dataclass
class Carried:
    """What a pot carries from its history, while the deeds are gone through."""

    pot: Vessel
    mol: dict[str, Range] = field(default_factory=dict)
    causes: dict[str, str] = field(default_factory=dict)
    ph: float | None = None

    def put(self, what: str, amount: Range, deed: Deed) -> None:
        """Carry some of a constituent, set by a deed."""
        if amount.high > 0:
            self.mol[what] = added_up((self.mol.get(what, NOTHING), amount))
            self.causes.setdefault(what, called(deed))

    def take(self, *whats: str) -> None:
        """Carry no more of these."""
        for what in whats:
            self.mol.pop(what, None)
            self.causes.pop(what, None)

    def flag(self, flag: str, deed: Deed) -> None:
        """Remember that something was so, and from when."""
        self.causes[flag] = called(deed)


def called(deed: Deed) -> str:
    """A deed as the one at fault: "denox, yesterday"."""
    return f"{deed.did}, {deed.when}" if deed.when else deed.did


def with_history(pot: Vessel) -> Vessel:
    """The pot with what its history implies added to what is known of it.

    Args:
        pot: known contents and history
    Returns: the pot with the worst it may carry, each with its cause
    """
    carried = Carried(pot)
    for deed in pot.history:
        if deed.did in GOLD_AGAIN:
            carried.take("gold-tested")
        for see in (_tags, _poured, DEEDS.get(deed.did, _nothing), _boils, _tested):
            see(carried, deed)
    known = {what for what, amount in pot.mol.items() if amount.high > 0}
    extra = {what: amount for what, amount in carried.mol.items() if what not in known}
    return replace(pot, mol=summed([pot.mol, extra]), causes={**carried.causes, **pot.causes}, ph=pot.ph or carried.ph)


def _nothing(carried: Carried, deed: Deed) -> None:
    """A deed that leaves nothing of its own."""


# ---- what any deed may leave
def _tags(carried: Carried, deed: Deed) -> None:
    """Poison metals and cyanide named in words: on a tag, in a note."""
    stands_for: Mapping[str, str] = table("safety/substances")["marks"]
    for row in tag_rows():
        what = stands_for.get(row["mark"])
        if row["mark"] == "steel" and deed.did != "lot":
            continue
        if what and said(deed.words, row):
            carried.put(what, TRACE, deed)
    others = {"CN-": ("cyanide", "plating line", "gold line"), "Sb": ("hard lead", "type metal")}
    others |= {
        "NH4+": ("sulfamic liquor", "ammonium liquor", "ammoniacal"),
        "unknown": ("unknown powder", "unlabelled powder", "no label"),
    }
    for what, words in others.items():
        if names(mended(deed.words), *words) and not says(deed.words, "acid gold line"):
            carried.put(what, TRACE, deed)
    if deed.did == "lot" and says(deed.words, "solder") and not says(deed.words, "solder cut off", "stripped"):
        carried.flag("solder", deed)


def _poured(carried: Carried, deed: Deed) -> None:
    """Reagents that stay in a pot whatever was meant by them."""
    for what, stays in (("NH4+", "NH4+"), ("NH3", "NH4+"), ("hydrazine", "hydrazine"), ("urea", "urea"), ("CN-", "CN-")):
        carried.put(stays, deed.mol(what), deed)
    if deed.did != "scrub" and not says(deed.words, "warmed", "boiled", "stood warm", "no smell", "till it fell apart"):
        gold = OXIDANT_PER_GOLD * carried.pot.most("Au(III)")
        for what, left in (("ClO-", "Cl2"), ("H2O2", "H2O2")):
            poured = deed.mol(what)
            carried.put(left, Range(0.0, max(poured.likely - gold, 0.0), max(poured.high - gold, 0.0)), deed)
    weak = any(dose.mol.get("NO3-", NOTHING).high > 0 and (dose.percent or 100) <= _weak_nitric() for dose in deed.doses)
    if weak or (deed.mol("NO3-").high > 0 and says(deed.words, "weak", "dilute nitric")):
        zinc = added_up(
            (deed.mol("Zn"), deed.mol("Al"), carried.pot.mol.get("Zn(II)", NOTHING), carried.pot.mol.get("Al(III)", NOTHING))
        )
        carried.put("NH4+", Range(0.0, 0.0, zinc.high / ZINC_PER_AMMONIUM), deed)


def boiled(words: str) -> bool:
    """Whether it was boiled, or kept near the boil for a time."""
    kept = re.search(r"(8[5-9]|9\d|10\d) ?(deg ?)?c\b.*(min|hour|\bh\b)", words.lower())
    return says(words, *BOILED, "near the boil", "hot plate overnight", "kept hot", "steamed") or bool(kept)


def _weak_nitric() -> float:
    return fact("practice/general.no_share.weak_below").value


def _boils(carried: Carried, deed: Deed) -> None:
    """Boiling: sulfamic and urea that were left over become ammonium."""
    if boiled(deed.words):
        for what, makes in (("sulfamic", 1), ("urea", 2)):
            if what in carried.mol:
                was = carried.causes[what]
                carried.put("NH4+", carried.mol[what] * makes, deed)
                carried.causes["NH4+"] = was
        carried.take("sulfamic", "Cl2", "H2O2")


# ---- one kind of deed each
def _dissolved(carried: Carried, deed: Deed) -> None:
    """Nitric poured, less what the metals in the liquor took: nitrogen dioxide route to nitric oxide route."""
    pot, nitric, chloride = carried.pot, deed.mol("NO3-"), deed.mol("Cl-")
    oxidant = nitric.high > 0 or deed.mol("ClO-").high > 0 or deed.mol("H2O2").high > 0
    never = denies(deed.words, "gold in solution", "in solution") or says(deed.words, "gold never in solution")
    if chloride.high > 0 and oxidant and not never:
        carried.flag("gold-once", deed)
    if nitric.high > 0:
        electrons = added_up(pot.mol.get(metal, NOTHING) * count for metal, count in ELECTRONS.items())
        least, most = max(nitric.low - electrons.high, 0.0), max(nitric.high - electrons.low / ELECTRONS_OF_NITRIC, 0.0)
        likely = min(max(nitric.likely - electrons.likely / 2, least), most)
        left = Range(least, likely, most)
        carried.put("NO3-", left, deed)
    carried.put("Cl-", chloride, deed)


def _denoxed(carried: Carried, deed: Deed) -> None:
    """Nitric taken by sulfamic or boiled off; sulfamic that found none stays."""
    told = range_before(deed.how, "leftover nitric", "nitric left", "left over nitric", unit="ml")
    need = carried.mol.get("NO3-", NOTHING)
    if told:
        per_ml = float(Solution.usual("HNO3").mol_per_l) / 1000
        need = Range(told[0] * per_ml, (told[0] + told[1]) / 2 * per_ml, told[1] * per_ml)
    sulfamic = deed.mol("sulfamic")
    if sulfamic.high > 0:
        spare = Range(
            max(sulfamic.low - need.high, 0.0), max(sulfamic.likely - need.likely, 0.0), max(sulfamic.high - need.low, 0.0)
        )
        spare = Range(min(spare.low, spare.likely), spare.likely, spare.high)
        over = sulfamic.high > fact("safety/lines.sulfamic_over").value * need.high
        if over or boiled(deed.how):
            carried.put("sulfamic", spare, deed)
            if over:
                carried.put("NH4+", spare, deed)
        else:
            carried.flag("sulfamic-within", deed)
        left = max(need.high - sulfamic.low, 0.0)
        carried.take("NO3-")
        if not says(deed.how, "no fizz", "no more fizz", "stopped fizzing", "no longer fizz"):
            carried.put("NO3-", Range(0.0, 0.0, left), deed)
    elif says(deed.words, "boil", "boiled", "syrup", "evaporat", "button") and not deed.mol("urea").high:
        carried.take("NO3-")


def _dropped(carried: Carried, deed: Deed) -> None:
    carried.flag("gold-once", deed)
    carried.take("NO3-", "Cl2", "H2O2")


def _rinsed(carried: Carried, deed: Deed) -> None:
    """A rinse: what is soluble is thinned, and is gone once a thousandth is left."""
    acid = deed.mol("H+")
    if acid.high > 0:
        for what in ("H+", "Cl-", "NO3-"):
            carried.put(what, deed.mol(what), deed)
        return
    if says(deed.how, "chloride-free", "chloride free", "until salt shows nothing", "no cloud with silver nitrate"):
        carried.take("Cl-")
    held = (
        figure_before(deed.how, r"holds?|held") or 1000 * carried.pot.volume_l or fact("safety/lines.pulp_holds").value
    ) / 1000
    wash = sum(dose.volume_l for dose in deed.doses) or (0.0 if denies(deed.how, "wash", "rinse") else held)
    residue = (held / (held + wash)) ** times(deed.how)
    if residue < fact("safety/lines.rinsed_clean").value:
        carried.take(*SOLUBLE)
        carried.flag("rinsed", deed)
        return
    for what in SOLUBLE:
        if what in carried.mol:
            carried.mol[what] = carried.mol[what] * residue


def _cemented(carried: Carried, deed: Deed) -> None:
    """Metal that was put in and not all used; the liquor the cement lies in."""
    pot = carried.pot
    out = says(deed.words, "picked out", "lifted out", "pulled out", "magnet", "iron out", "all dissolved", "nails out")
    for metal in ("Fe", "Zn", "Al", "Mg"):
        put_in = deed.mol(metal)
        if put_in.high > 0 and not out:
            took = pot.most("Cu")
            carried.put(metal, Range(0.0, max(put_in.likely - took, 0.0), max(put_in.high - took, 0.0)), deed)
    if says(deed.words, "chloride", "stock pot", "hydrochloric") and not says(deed.words, "chloride-free"):
        carried.put("Cl-", TRACE, deed)
    if says(deed.words, "nitrate", "parting liquor", "nitric"):
        silver = Range(0.0, pot.most("Ag"), pot.most("Ag"))
        carried.put("NO3-", silver, deed)
        carried.put("Ag(I)", silver, deed)
        if not says(deed.words, "no free nitric") and not denies(deed.words, "free nitric"):
            carried.put("H+", silver, deed)


def _leached(carried: Carried, deed: Deed) -> None:
    """Acid and tin that goods carry out of a bath or a strip."""
    if not carried.pot.volume_l:
        carried.put("Cl-", deed.mol("Cl-"), deed)
        if says(deed.words, "solder", "tin") and not says(deed.words, "aerated", "bubbl", "rinsed"):
            carried.put("Sn(II)", TRACE, deed)
    if deed.mol("NO3-").high > 0:
        _dissolved(carried, deed)
    stripped = deed.mol("H+").high > 0 and deed.mol("NO3-").high <= 0 and says(deed.words, "solder", "tin")
    if stripped and says(deed.words, "stripped", "till bare", "until bare", "all off", "solder gone", "solder off"):
        carried.take("solder")
    if says(deed.words, "all copper dissolved", "copper is gone", "no copper left", "bare foils"):
        carried.flag("base-metal-gone", deed)


def _scrubbed(carried: Carried, deed: Deed) -> None:
    """What a scrubber has caught since it was made up."""
    if says(deed.words, "made up fresh", "fresh caustic", "emptied", "refilled"):
        carried.take("ClO-", "NO2-", "SO2")
    caught = {"ClO-": added_up((deed.mol("Cl2"), deed.mol("ClO-"))), "SO2": deed.mol("SO2")}
    caught["NO2-"] = added_up((deed.mol("NO2-"), deed.mol("NO3-")))
    named = {
        "ClO-": ("chlorine", "bleach", "cl2"),
        "NO2-": ("brown fume", "nitric", "nox", "aqua regia"),
        "SO2": ("sulfur dioxide", "so2", "metabisulfite"),
    }
    for what, words in named.items():
        known = caught[what]
        carried.put(what, known if known.high > 0 else TRACE if says(deed.words, *words) else NOTHING, deed)
    _killed(carried, deed)


def _killed(carried: Carried, deed: Deed) -> None:
    """Hypochlorite and sulfite eat each other."""
    if says(deed.words, "hypochlorite killed", "killed with sulfite", "no chlorine left", "starch iodide negative"):
        carried.take("ClO-", "Cl2")
    sulfite, bleach = carried.mol.get("SO2", NOTHING), carried.mol.get("ClO-", NOTHING)
    if sulfite.high > 0 and sulfite.low >= bleach.high > 0:
        carried.take("ClO-")


def _mixed(carried: Carried, deed: Deed) -> None:
    """Something poured in: sulfite into a scrubber kills its hypochlorite; nitric and sulfamic stay."""
    carried.put("SO2", deed.mol("SO2"), deed)
    _killed(carried, deed)
    for what in ("NO3-", "Cl-", "sulfamic", "S2-", "NO2-"):
        carried.put(what, deed.mol(what), deed)


def _neutralised(carried: Carried, deed: Deed) -> None:
    """A pH measured, and the blue that only ammonia keeps in the water."""
    carried.ph = figure_before(deed.how, r"ph") or carried.ph
    blue = says(deed.how, "deep blue", "royal blue", "ink blue", "dark blue")
    ammonia = AMMONIA_PER_COPPER * carried.pot.most("Cu(II)")
    if blue and (carried.ph or 0.0) >= fact("safety/lines.blue_ph").value:
        carried.put("NH3", Range(0.0, ammonia, ammonia), deed)
    carried.take("H+")


def _tested(carried: Carried, deed: Deed) -> None:
    """Tests and lab slips: gold, silver, a button that lost no weight."""
    words = deed.words.lower()
    if _GOLD_SEEN.search(words):
        carried.causes.pop("gold-tested", None)
        carried.put("Au(III)", TRACE, deed)
    elif _GOLD_GONE.search(words) and not _UNTESTED.search(words):
        carried.flag("gold-tested", deed)
    if _SILVER_GONE.search(words):
        carried.flag("silver-tested", deed)
        carried.take("Ag(I)")
    if says(words, "button") and _BUTTON_WHOLE.search(words):
        carried.take("NO3-")
        carried.flag("nitric-measured", deed)
    if says(words, "nitrate negative"):
        carried.take("NO3-")
    if deed.did in ("test", "titrate", "lab"):
        carried.ph = figure_before(words, r"(?<![a-z])ph") or carried.ph


_GOLD_GONE = re.compile(
    r"(stannous|spot)[^.;]*(negative|clear|nothing|no colou?r|no purple)|nothing with stannous|gold (test )?negative"
    r"|no gold(?! (test|was tested|check))|(gold|au) (under|below|less than|<)"
)
_GOLD_SEEN = re.compile(r"stannous[a-z ,]*(positive|purple|black|violet)|gold (test )?positive")
_UNTESTED = re.compile(r"not (tested|done|recorded)|untested|never tested|no (stannous|test)|forgot")
_SILVER_GONE = re.compile(r"silver[a-z ,]*(negative|out\b)|no silver|salt shows nothing|clear with salt|salt stays clear")
_BUTTON_WHOLE = re.compile(r"no weight lost|lost nothing|no loss|same weight|lost no weight|weight unchanged")


DEEDS: Mapping[str, Callable[[Carried, Deed], None]] = {
    "dissolve": _dissolved,
    "part": _dissolved,
    "denox": _denoxed,
    "evaporate": _denoxed,
    "drop": _dropped,
    "rinse": _rinsed,
    "cement": _cemented,
    "leach": _leached,
    "bath": _leached,
    "scrub": _scrubbed,
    "mix": _mixed,
    "silver": _nothing,
    "neutralise": _neutralised,
    "test": _nothing,
    "titrate": _nothing,
    "lab": _nothing,
    "store": _nothing,
    "lot": _nothing,
}
"""What each kind of deed leaves."""


def vessel_of(kind: str) -> tuple[float | None, float | None]:
    """What a vessel holds and how wide it is, from its words: "10 L pail, 26 cm across" gives 10 L and 26 cm."""
    size = re.search(r"(\d+(?:\.\d+)?) ?(mL|L)\b", kind)
    width = re.search(r"(\d+(?:\.\d+)?) ?cm", kind)
    litres = float(size[1]) / (1000 if size[2] == "mL" else 1) if size else None
    return litres, float(width[1]) if width else None
