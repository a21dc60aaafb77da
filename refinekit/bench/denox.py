"""How much nitric is left, and what gets rid of it: boiling down, sulfamic acid, a gold button; urea only for nitrous."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from refinekit.bench.denox_ways import boil_down, button, leave_it, sulfamic, urea
from refinekit.bench.dissolve_common import METALS as DISSOLVED
from refinekit.bench.dissolve_common import electrons_of
from refinekit.bench.dissolve_nitric import nitric_for
from refinekit.bench.fields import METALS, Field, Place, Room, holding, metal_fields, pot_of_metals
from refinekit.bench.pot import Pot
from refinekit.bench.pouring import bottle_of
from refinekit.bench.step import Step
from refinekit.bench.work import Work
from refinekit.chemistry.redox import electrons_taken
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, high

WAYS = {"sulfamic": sulfamic, "boil": boil_down, "button": button, "urea": urea, "none": leave_it}


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
    Field("volume", "volume", "mL", "liquor, where no pot is given", above_zero=True),
    Field("dissolved-gold", "mass", "g", "gold in the liquor, where no pot is given"),
    Field("sulfamic", "mass", "g", "sulfamic acid you add; left out, what the nitric takes"),
    Field("taken", "share", "", "share of the nitric that the sulfamic takes", default_from=_taken, highest=1.0),
    Field("boiled-after", "flag", "", "boiled on with sulfamic left over"),
    Field("nitrous", "amount", "mmol", "nitrous acid, the one thing urea is for"),
    Field("button-before", "mass", "g", "gold button before it hung in the liquor"),
    Field("button-after", "mass", "g", "gold button afterwards"),
    Field("end-volume", "volume", "mL", "liquor at the end of a boil-down"),
    Field("hcl-excess", "count", "", "hydrochloric for boiling off, times the bare need", default_from=_boil, above_zero=True),
    Field("plate", "power", "W", "power of the hot plate", above_zero=True),
    Field("plate-share", "share", "", "share of it that reaches the liquor", default_from=_plate, highest=1.0),
)


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """The gold liquor that holds nitrate."""
    gold = holding(pots, dissolved="AuCl4^-")
    return tuple(pot for pot in gold if high(pot.mol("NO3^-")) > 0)[:1]


def run(pots: Sequence[Pot], *, place: Place, **told: Any) -> Step:
    """Size the removal of leftover nitric.

    Args:
        pots: the gold liquor, or nothing where the leftover is told
        place: the shop
        told: figures of FIELDS, by argument name
    Raises: CannotFollow, nothing says how much nitric there may be
    """
    method = told.get("method") or "sulfamic"
    asked = Work("denox", place=place)
    acid = bottle_of(asked, "HNO3", told.get("nitric"), "nitric acid")
    if not pots and method != "urea":
        pots = (liquor_told(asked, acid, told),)
    work = Work("denox", *pots, place=place)
    work.take_over(asked)
    if method != "urea":
        say_left(work, acid)
    WAYS[method](work, acid, told)
    return work.done("gold liquor" if pots else "liquor", title=f"{method}: nitric left in the gold liquor")


def liquor_told(work: Work, acid: Solution, told: Mapping[str, Any]) -> Pot:
    """A gold liquor from what was told of it: the leftover, or what was poured less what the metals took.

    Raises: CannotFollow, neither was told
    """
    left_l = told.get("nitric_left_l")
    masses: dict[str, Number | None] = {metal: told.get(f"{metal}_g") for metal in METALS}
    metals = pot_of_metals("metal", **masses).solids_mol
    lead_mol = metals.get("Pb", 0.0)
    if left_l is not None:
        left_mol = left_l * acid.mol_per_l
    elif told.get("nitric_added_l") is not None:
        share = work.default(
            told.get("no_share"), "practice/general.no_share.gold_hot", "share of nitrogen that left as nitric oxide"
        )
        used = nitric_for(electrons_of({metal: mol for metal, mol in metals.items() if metal in DISSOLVED}), share)
        left_mol = told["nitric_added_l"] * acid.mol_per_l - used
        left_mol = left_mol * (left_mol > 0)
    elif told.get("button_before_g") is not None:
        left_mol = 0.0
    else:
        raise CannotFollow(
            "denox does not know how much nitric there may be",
            cure='give --nitric-left "0/1/3 mL", or --nitric-added and the metals',
        )
    gold_mol = (told.get("dissolved_gold_g") or told.get("gold_g") or 0.0) / molar_mass("Au")
    ions = {
        "NO3^-": left_mol,
        "AuCl4^-": gold_mol,
        "Pb^2+": lead_mol,
        "Cl^-": 2 * lead_mol,
        "H^+": left_mol + gold_mol,
    }
    volume_l = told.get("volume_l") or 0.0
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
    work.answer(
        "smb_it_would_eat", electrons / 4 * molar_mass("Na2S2O5"), "g", because="three quarters of a metabisulfite to a nitric"
    )
    work.answer("copperas_it_would_eat", electrons * molar_mass("FeSO4.7H2O"), "g", because="three ferrous to a nitric")
    work.working(
        "what it would cost",
        "mol x 3 electrons / 4 x 190.1 g/mol metabisulfite",
        f"{1000 * high(left):.4g} mmol x 3 / 4 x {molar_mass('Na2S2O5'):.4g} g/mol",
        f"{high(electrons) / 4 * molar_mass('Na2S2O5'):.4g} g at most",
    )


ROOM = Room(
    "denox", run, FIELDS, choose, 'refinekit denox --nitric-left "0.2/0.9/2.1 mL" --volume "90 mL" --dissolved-gold "2.1 g"'
)
