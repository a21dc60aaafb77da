"""How much nitric is left, and what gets rid of it: boiling down, sulfamic acid, a gold button; urea only for nitrous; caustic
for spent nitrate liquor."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.denox_boil import boil_down
from refinekit.bench.denox_caustic import WEAK, nitrate_liquors, part_neutralise
from refinekit.bench.denox_ways import button, hold_nitric_to, leave_it, sulfamic, urea
from refinekit.bench.dissolve_common import METALS as DISSOLVED
from refinekit.bench.dissolve_common import electrons_of
from refinekit.bench.dissolve_nitric import nitric_for
from refinekit.bench.fields import METALS, Field, Place, Room, holding, metal_fields, pot_of_metals, refuse_strange
from refinekit.bench.pot import Pot
from refinekit.bench.pouring import bottle_of
from refinekit.bench.step import Step
from refinekit.bench.work import Work
from refinekit.chemistry.redox import electrons_taken
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, high

WAYS = {
    "sulfamic": sulfamic,
    "boil": boil_down,
    "button": button,
    "urea": urea,
    "caustic": part_neutralise,
    "none": leave_it,
}


def _share(texts: Mapping[str, object]) -> str:
    told = texts.get("nitric-left") is not None or texts.get("nitric-added") is None
    return "" if told else "practice/general.no_share.gold_hot"


def _taken(texts: Mapping[str, object]) -> str:
    return "practice/denox.sulfamic_taken" if texts.get("method") in (None, "sulfamic") and texts.get("sulfamic") is None else ""


def _plate(texts: Mapping[str, object]) -> str:
    return "practice/denox.plate_share" if texts.get("method") == "boil" else ""


def _boil(texts: Mapping[str, object]) -> str:
    return "practice/denox.boil_hcl_excess" if texts.get("method") == "boil" else ""


FIELDS = (
    Field("method", "choice", "", "how the nitric goes", choices=tuple(WAYS)),
    Field("nitric-left", "volume", "mL", "nitric left over, where you know it"),
    Field("nitric-added", "volume", "mL", "nitric that was poured in all"),
    *metal_fields(*METALS, what="that it dissolved"),
    Field("no-share", "share", "", "share of nitrogen that left as nitric oxide", default_from=_share, highest=1.0),
    Field("nitric", "strength:HNO3", "", "strength of the nitric acid"),
    Field("hydrochloric", "strength:HCl", "", "strength of the hydrochloric acid"),
    Field("free-acid", "concentration", "mol/L", "free hydrochloric acid in the liquor, where no pot is given"),
    Field("volume", "volume", "mL", "liquor, where no pot is given", above_zero=True),
    Field("dissolved-gold", "mass", "g", "gold in the liquor, where no pot is given"),
    Field("sulfamic", "mass", "g", "sulfamic acid you add; left out, what the nitric takes"),
    Field("taken", "share", "", "share of the nitric that the sulfamic takes", default_from=_taken, highest=1.0),
    Field("boiled-after", "flag", "", "boiled on with sulfamic left over"),
    Field("nitrous", "amount", "mmol", "nitrous acid, the one thing urea is for"),
    Field("button-before", "mass", "g", "gold button before it hung in the liquor"),
    Field("button-after", "mass", "g", "gold button afterwards"),
    Field("end-volume", "volume", "mL", "liquor at the end of a boil-down"),
    Field("end-acid", "concentration", "mol/L", "free hydrochloric acid at that end; left out, what constant boiling leaves"),
    Field("hcl-excess", "count", "", "hydrochloric for boiling off, times the bare need", default_from=_boil, above_zero=True),
    Field("acid-left", "concentration", "mol/L", "free acid that caustic leaves in a nitrate liquor"),
    Field("alkali-goodness", "share", "", "share of the dry caustic that is good", above_zero=True, highest=1.0),
    Field("plate", "power", "W", "power of the hot plate", above_zero=True),
    Field("plate-share", "share", "", "share of it that reaches the liquor", default_from=_plate, above_zero=True, highest=1.0),
)


def choose(pots: Sequence[Pot], method: str = "") -> tuple[Pot, ...]:
    """The gold liquor that holds nitrate; for caustic, the spent nitrate liquors.

    Args:
        pots: pots at hand
        method: how the nitric goes [text]
    """
    if method == "caustic":
        return nitrate_liquors(pots)
    gold = holding(pots, dissolved="AuCl4^-")
    return tuple(pot for pot in gold if high(pot.mol("NO3^-")) > 0)[:1]


def run(pots: Sequence[Pot], *, place: Place, **told: Any) -> Step:
    """Size the removal of leftover nitric.

    Args:
        pots: the gold liquor, or nothing where the leftover is told
        place: the shop
        told: figures of FIELDS, by argument name; `nitric_left_l` beside a pot overrules what it was reckoned to hold
    Returns: Step with the leftover, what it would cost at the drop, what takes it, and the pot "gold liquor"
    Raises: CannotFollow, nothing says how much nitric there may be, or it is told twice
    Source: R4.1 to R4.8; habits in facts/practice/denox.toml
    """
    refuse_strange("a denox", told, {field.arg for field in FIELDS})
    method = told.get("method") or "sulfamic"
    asked = Work("denox", place=place)
    acid = bottle_of(asked, "HNO3", told.get("nitric"), "nitric acid")
    given = bool(pots)
    if given:
        _refuse_beside(told)
    elif method != "urea":
        pots = (liquor_told(asked, acid, told),)
    work = Work("denox", *pots, place=place)
    work.take_over(asked)
    if given and told.get("nitric_left_l") is not None:
        hold_nitric_to(work, told["nitric_left_l"] * acid.mol_per_l, "the figure told")
    if method not in ("urea", "caustic"):
        say_left(work, acid)
    WAYS[method](work, acid, told)
    if method == "caustic":
        return work.done(WEAK, title="caustic: free nitric of a spent liquor, most of it")
    return work.done("gold liquor" if pots else "liquor", title=f"{method}: nitric left in the gold liquor")


def _refuse_beside(told: Mapping[str, Any]) -> None:
    """Keep metals and nitric poured from being told beside the pot that holds what came of them.

    Raises: CannotFollow
    """
    names = ("nitric_added_l", "volume_l", "free_acid_mol_per_l", "dissolved_gold_g", *(f"{metal}_g" for metal in METALS))
    beside = [name for name in names if told.get(name) is not None]
    if beside:
        options = ", ".join("--" + field.name for field in FIELDS if field.arg in beside)
        raise CannotFollow(
            f"denox has a pot of gold liquor and was told {options} beside it",
            cure="leave those out (only --nitric-left overrules a pot), or ask without the pot",
        )


def liquor_told(work: Work, acid: Solution, told: Mapping[str, Any]) -> Pot:
    """A gold liquor from what was told of it: the leftover, or what was poured less what the metals took.

    Raises: CannotFollow, neither was told
    """
    left_l = told.get("nitric_left_l")
    masses: dict[str, Number | None] = {metal: told.get(f"{metal}_g") for metal in METALS}
    metals = pot_of_metals("metal", **masses).solids_mol
    lead_mol, platinum_mol, palladium_mol = (metals.get(metal, 0.0) for metal in ("Pb", "Pt", "Pd"))
    if left_l is not None:
        left_mol = left_l * acid.mol_per_l
    elif told.get("nitric_added_l") is not None:
        share = work.default(
            told.get("no_share"), "practice/general.no_share.gold_hot", "share of nitrogen that left as nitric oxide"
        )
        used = nitric_for(electrons_of({metal: mol for metal, mol in metals.items() if metal in DISSOLVED}), share)
        left_mol = told["nitric_added_l"] * acid.mol_per_l - used
        left_mol = np.maximum(left_mol, 0.0)
    elif told.get("button_before_g") is not None:
        left_mol = 0.0
    else:
        raise CannotFollow(
            "denox does not know how much nitric there may be",
            cure='give --nitric-left "0/1/3 mL", or --nitric-added and the metals',
        )
    gold_g = told.get("dissolved_gold_g", told.get("gold_g"))
    gold_mol = (0.0 if gold_g is None else gold_g) / molar_mass("Au")
    volume_l = told.get("volume_l", 0.0)
    free: Number = 0.0
    if high(volume_l) > 0 and (told.get("method") != "caustic" or "free_acid_mol_per_l" in told):
        free = volume_l * work.default(told.get("free_acid_mol_per_l"), "practice/drop.free_acid", "free hydrochloric acid")
    ions = {
        "NO3^-": left_mol,
        "AuCl4^-": gold_mol,
        "Pb^2+": lead_mol,
        "PtCl6^2-": platinum_mol,
        "PdCl4^2-": palladium_mol,
        "Cl^-": 2 * lead_mol + free,
        "H^+": left_mol + gold_mol + free + 2 * (platinum_mol + palladium_mol),
    }
    return Pot(
        "gold liquor", volume_l, {**ions, "H2O": 1000 * volume_l / molar_mass("H2O")}, temperature_k=work.place.temperature_k
    )


def say_left(work: Work, acid: Solution) -> None:
    """Answer how much nitric is left and what it would cost at the drop."""
    left = work.dissolved.get("NO3^-", 0.0)
    work.answer(
        "nitric_left",
        1000 * left / acid.mol_per_l,
        "mL",
        sized_on="a range, never a point",
        because="poured less used; fume and reflux move it",
    )
    work.answer("nitric_left_amount", 1000 * left, "mmol", because="as nitric acid")
    electrons = electrons_taken("NO3^-") * left
    smb_g, on = electrons / 4 * molar_mass("Na2S2O5"), "all as NO"
    work.answer("smb_it_would_eat", smb_g, "g", sized_on=on, because="three quarters of a metabisulfite to a nitric")
    copperas_g = electrons * molar_mass("FeSO4.7H2O")
    work.answer("copperas_it_would_eat", copperas_g, "g", sized_on=on, because="three ferrous to a nitric")
    work.working(
        "what it would cost",
        "mol x 3 electrons / 4 x 190.1 g/mol metabisulfite",
        f"{1000 * high(left):.4g} mmol x 3 / 4 x {molar_mass('Na2S2O5'):.4g} g/mol",
        f"{high(electrons) / 4 * molar_mass('Na2S2O5'):.4g} g at most",
    )


ROOM = Room(
    "denox",
    run,
    FIELDS,
    choose,
    'refinekit denox --nitric-left "0.2/0.9/2.1 mL" --volume "90 mL" --dissolved-gold "2.1 g"',
    chooses_by=("method",),
)
