"""The bath over its lots: made, fed, bled, aired, measured, retired; each an event, reckoned by the rooms of the bench."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from refinekit.bench import air as air_room
from refinekit.bench import leach as leach_room
from refinekit.bench.fields import METALS, Field
from refinekit.bench.leach_bath import make_ready, pour_bath
from refinekit.bench.leach_fields import FIELDS as LEACH_FIELDS
from refinekit.bench.leach_fields import LeachTold
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.pouring import bottle_of, label_of, pour_bottle, pour_water
from refinekit.bench.step import Notice, Step
from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass
from refinekit.errors import BadQuantity, CannotFollow, UnknownName
from refinekit.nearest import did_you_mean
from refinekit.ranges import Number, likely
from refinekit.record import record
from refinekit.shop.ask import Told
from refinekit.shop.book.as_done import AsDone, vessel_name
from refinekit.shop.book.by_hand import of_three
from refinekit.shop.book.entry import Entry
from refinekit.shop.book.vessels import Held, as_data, change_op, pour_op
from refinekit.shop.doing import Done

LEFT_OUT = ("method", "peroxide", "peroxide-volume", "peroxide-times", "ferric", "ferric-used", "nitric", "nitric-water")
"""What of the leach's own table is not of a bath of cupric chloride."""
OWN = (
    Field("acid-volume", "volume", "mL", "acid that was poured in", above_zero=True),
    Field("water", "volume", "mL", "water that was poured in", above_zero=True),
    Field("gold", "mass_concentration", "g/L", "gold in it, as the laboratory found, e.g. 0.4 mg/L"),
    Field("dissolved-gold", "mass", "g", "gold that went into it by mishap"),
)
DOES = ("show", "history", "start", "lot", "next", "top-up", "bleed", "regenerate", "measure", "retire")
"""What can be done with a bath. `show`, `history` and `next` write nothing."""
SPENT = "spent bath"
"""Vessel a bleed goes to where none is told."""


def fields() -> tuple[Field, ...]:
    """What a bath may be told: the leach's own fields, and what was poured or found."""
    kept = tuple(one for one in LEACH_FIELDS if one.name not in LEFT_OUT and one.name != "gold")
    return (*kept, *OWN)


@record
class Asked:
    """What is asked of a bath.

    Args:
        what: one of DOES
        name: what the shop calls it
        told: figures, read
        place: the shop
        lot: number of the lot, for a lot
        into: where a bleed or a retired bath goes
        words: colour, note
        at: day
        who: who did it
    """

    what: str
    name: str
    told: Told
    place: Place
    lot: str = ""
    into: str = SPENT
    words: Mapping[str, Any] | None = None
    at: str = ""
    who: str = ""

    def figures(self) -> dict[str, Any]:
        """Keyword arguments of a room, ranges in the book's three worlds."""
        return self.told.laid({axis: of_three(span) for axis, span in self.told.ranges().items()})


@record
class Outcome:
    """What comes of it.

    Args:
        entry: the event; None where nothing is written
        step: the step that shows it; None where there is none
        notices: cautions of the step
    """

    entry: Entry | None
    step: Step | None
    notices: tuple[Notice, ...] = ()


def known(what: str) -> str:
    """A word of DOES. Raises: UnknownName."""
    if what not in DOES:
        raise UnknownName(f"a bath cannot be asked to {what[:40]!r}", cure=did_you_mean(what, DOES))
    return what


def do(asked: Asked, held: Held) -> Outcome:
    """Do what is asked of a bath.

    Args:
        asked: what
        held: the bath as the book has it
    Raises: CannotFollow, there is no such bath, or one already; BadQuantity, what is not told
    """
    if asked.what == "start":
        return _start(asked, held)
    if held.pot().is_empty:
        raise CannotFollow(
            f"there is no bath {asked.name!r} in the book",
            cure=f'refinekit bath start "{asked.name}" --bath-volume 5.2L --bath-copper 95g/L --bath-acid 1.4mol/L',
        )
    if held.state and asked.what not in ("next", "measure"):
        raise CannotFollow(f"the bath {asked.name!r} is {held.state}", cure="start another, by another name")
    by_name = {"lot": _lot, "next": _next, "top-up": _top_up, "bleed": _bleed, "regenerate": _air, "measure": _measure}
    return {**by_name, "retire": _retire}[asked.what](asked, held)


def _entry(asked: Asked, did: str, ops: list[dict[str, Any]], **data: Any) -> Entry:
    return Entry("bath", asked.name, asked.at, {"did": did, **data, **(asked.words or {})}, asked.who, None, ops)


def _start(asked: Asked, held: Held) -> Outcome:
    if not held.pot().is_empty:
        raise CannotFollow(
            f"the bath {asked.name!r} is there already", cure="another name, or measure it: refinekit bath measure"
        )
    told = asked.figures()
    work = Work("bath", place=asked.place)
    pour_bath(work, told)
    if "bath_volume_l" not in told:
        if "volume_l" not in told:
            raise BadQuantity(
                "how much bath is not told", cure="--bath-volume 5.2L as it stands, or --volume 3L to make it fresh"
            )
        make_ready(work, told, 0.0, 0.0)
    if "gold_g_per_l" in told:
        gold = told["gold_g_per_l"] * work.volume_l / molar_mass("Au")
        work.pour("gold in it", {"AuCl4^-": gold, "H^+": gold})
    step = work.done(asked.name, title=f"{likely(work.volume_l):.3g} L")
    op = change_op(asked.name, None, step.pots[0])
    used = [
        {"key": one.key, "name": one.name, "used": one.to_take / (1000 if one.unit == "mL" else 1), "unit": _unit(one.unit)}
        for one in step.reagents
        if one.counts
    ]
    return Outcome(_entry(asked, "started", [op] if op else [], used=used), replace(step, pots=()))


def _unit(unit: str) -> str:
    return "L" if unit in ("mL", "L") else "g"


def _leached(asked: Asked, held: Held, **more: Any) -> Done:
    """The leach done on the bath of the book."""
    from refinekit.safety.engine import review
    from refinekit.safety.gear import with_gear

    told = {**asked.figures(), **more}
    told = {key: figure for key, figure in told.items() if key in LeachTold.__annotations__}
    step = with_gear(leach_room.run((held.pot().renamed("bath"),), place=asked.place, **told))
    return Done(step, review(step, asked.place, overrides={}), ())


def _next(asked: Asked, held: Held) -> Outcome:
    """The next lot's fit: nothing is written."""
    done = _leached(asked, held)
    line = "bath bleed for what is taken, bath top-up --acid-volume for what goes in, bath lot once the goods are out"
    return Outcome(None, replace(done.step, says=(*done.step.says, ("write down", line))), done.notices)


def _lot(asked: Asked, held: Held) -> Outcome:
    """A lot that went through: what it brought, what air did, what it carried off."""
    if not asked.lot:
        raise BadQuantity("which lot went through is not told", cure="--lot 12 --copper 82g --nickel 9.3g")
    done = _leached(asked, held, as_it_is=True)
    as_done = AsDone(asked.lot, asked.at, bath=asked.name)
    ops = []
    for pot in _metal_with_the_goods(done.step.pots):
        old = held.pot() if pot.name == "bath" else None
        op = change_op(vessel_name(pot.name, as_done), old, pot)
        if op:
            ops.append(op)
    brought = {element: as_data(amount) for element, amount in _brought(asked.figures()).items()}
    entry = _entry(asked, f"lot {asked.lot} through it", ops, lot=asked.lot, brought_g=brought)
    return Outcome(entry, replace(done.step, pots=()), done.notices)


def _metal_with_the_goods(pots: tuple[Pot, ...]) -> tuple[Pot, ...]:
    """The pots of a leach, the metal that did not dissolve taken out of the bath with the goods it sits on."""
    liquor, rest = pots[0], pots[1:]
    left = {metal: mol for metal, mol in liquor.solids_mol.items() if metal in METALS.values()}
    if not left:
        return pots
    kept = {solid: mol for solid, mol in liquor.solids_mol.items() if solid not in left}
    return (replace(liquor, solids_mol=kept), *rest, Pot("goods", solids_mol=left))


def _brought(figures: Mapping[str, Any]) -> dict[str, Number]:
    words = {"copper_g": "Cu", "nickel_g": "Ni", "tin_g": "Sn", "lead_g": "Pb", "zinc_g": "Zn", "iron_g": "Fe"}
    return {element: figures[arg] for arg, element in words.items() if arg in figures}


def _top_up(asked: Asked, held: Held) -> Outcome:
    told = asked.figures()
    if "acid_volume_l" not in told and "water_l" not in told:
        raise BadQuantity(
            "what was poured in is not told", cure="--acid-volume 900mL --water 750mL; refinekit bath next says how much it wants"
        )
    work = Work("bath", place=asked.place)
    used = []
    if "acid_volume_l" in told:
        acid = bottle_of(work, "HCl", told.get("acid"), "hydrochloric acid")
        pour_bottle(work, "hydrochloric acid", acid, told["acid_volume_l"])
        used.append(
            {
                "key": "hydrochloric",
                "name": f"hydrochloric acid, {label_of(acid)}",
                "used": likely(told["acid_volume_l"]),
                "unit": "L",
            }
        )
    if "water_l" in told:
        pour_water(work, told["water_l"])
        used.append({"key": "water", "name": "water", "used": likely(told["water_l"]), "unit": "L"})
    step = work.done(asked.name)
    op = change_op(asked.name, None, step.pots[0]) or {"v": asked.name}
    op.pop("t", None)
    return Outcome(_entry(asked, "topped up", [op], used=used), replace(step, pots=(), title="topped up"))


def _bleed(asked: Asked, held: Held) -> Outcome:
    """So many litres off, or as many as hold the copper of the next lot."""
    told = asked.figures()
    copper = held.element_g("Cu")
    if "volume_l" in told:
        litres: Number = told["volume_l"]
    elif "copper_g" in told and np.all(np.asarray(copper) > 0):
        litres = told["copper_g"] * held.l / copper
    else:
        raise BadQuantity(
            "how much was bled is not told", cure="--volume 850mL, or --copper 82g for what the next lot will bring"
        )
    if likely(litres) > likely(held.l):
        raise BadQuantity(
            f"{likely(litres):.3g} L is more than the bath has ({likely(held.l):.3g} L)", cure="a smaller bleed, or retire it"
        )
    off = as_data(likely(litres))
    op = {**pour_op(asked.name, asked.into, likely(litres)), "did": [["bath", f"bled from {asked.name}"]]}
    return Outcome(_entry(asked, f"bled {1000 * likely(litres):.4g} mL to {asked.into}", [op], bled_l=off), None)


def _air(asked: Asked, held: Held) -> Outcome:
    """Cuprous copper turned back by air."""
    from refinekit.safety.engine import review

    told = {key: figure for key, figure in asked.figures().items() if key in air_room.AirTold.__annotations__}
    step = air_room.run((held.pot(),), place=asked.place, **told)
    op = change_op(asked.name, held.pot(), step.pots[0])
    entry = _entry(asked, "aired", [op] if op else [])
    return Outcome(entry, replace(step, pots=()), review(step, asked.place, overrides={}))


def _measure(asked: Asked, held: Held) -> Outcome:
    told = asked.figures()
    found: dict[str, Any] = {}
    litres = told.get("volume_l", told.get("bath_volume_l"))
    if litres is not None:
        found["l"] = as_data(litres)
    acid = told.get("free_acid_mol_per_l", told.get("bath_acid_mol_per_l"))
    if acid is not None:
        found["acid"] = as_data(acid)
    names = {"copper": "Cu", "nickel": "Ni", "iron": "Fe", "zinc": "Zn", "tin": "Sn"}
    metals = {element: as_data(told[arg]) for word, element in names.items() if (arg := f"bath_{word}_g_per_l") in told}
    if "gold_g_per_l" in told:
        metals["Au"] = as_data(told["gold_g_per_l"])
    if metals:
        found["metals"] = metals
    if not found and not asked.words:
        raise BadQuantity("what was measured is not told", cure="--volume 5.2L --free-acid 1.44mol/L --colour olive")
    ops = [{"v": asked.name, "set": found}] if found else []
    return Outcome(_entry(asked, "measured", ops, measured=found), None)


def _retire(asked: Asked, held: Held) -> Outcome:
    ops: list[dict[str, Any]] = [pour_op(asked.name, asked.into), {"v": asked.name, "state": "retired"}]
    return Outcome(_entry(asked, f"retired into {asked.into}", ops), None)


def pot_of(held: Held) -> Pot:
    """The bath as the bench reads it."""
    return held.pot().renamed("bath")
