"""Filter and rinse: foils and boards out of the bath, the pulp gold liquor was filtered on, settled powder."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Unpack

import numpy as np

from refinekit.bench.fields import Room, holding, refuse_strange
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.rinse_fields import FIELDS, RinseTold, hold_fact
from refinekit.bench.rinse_liquids import contents, to_pour, washes_of
from refinekit.bench.rinse_parts import (
    handy_l,
    left_after,
    metal_g,
    metal_of,
    say_target,
    say_washes,
    share_allowed,
    share_of,
    wash,
    wash_size_l,
    whole,
)
from refinekit.bench.rinse_pulp import dilute_and_filter
from refinekit.bench.rinse_wash import Rinse, Washes
from refinekit.bench.step import Step
from refinekit.chemistry.species import molar_mass
from refinekit.errors import CannotFollow
from refinekit.ranges import Number, high, in_words, likely

BOARD = "practice/rinse.wash.board"
SOLIDS = {"gold": "Au", "silver": "Ag", "silver chloride": "AgCl"}
"""What a powder told by its weight is made of; hydroxide is taken as inert."""


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Unpack[RinseTold]) -> Step:
    """Wash a liquor out of what holds it.

    Args:
        pots: foils and boards of a leach (a pot called "bath" passes by), gold liquor to filter, or powder; none where the liquor
            held is told
        place: the shop
        told: what is rinsed, how much it holds, washes or a target, see FIELDS
    Returns: Step with washes, what stays of liquor and metal, litres of rinse, and pots: what was washed, then the rinses
    Raises: CannotFollow, nothing is held; BadQuantity, OutOfRange
    Source: material balance; what holds how much is common practice, facts/practice/rinse.toml
    """
    refuse_strange("a rinse", told, RinseTold.__annotations__.keys())
    what = told.get("what") or _guess(pots)
    kept = tuple(pot for pot in pots if pot.name.startswith("bath") and what == "foils")
    taken = tuple(pot for pot in pots if all(pot is not one for one in kept))
    work = Rinse("rinse", *taken, place=place)
    if not taken:
        taken = (_as_told(work, told, what),)
    liquor = BY_WHAT[what](work, told, taken)
    for bath in kept:
        work.answer("bath_kept", bath.volume_l, "L", because="the bath without what foils and boards carry along")
    step = work.done(liquor if high(work.volume_l) > 0 else None, title=_title(work, what))
    if high(work.volume_l) > 0 and what != "pulp":
        step = replace(step, pots=(*step.pots[1:], step.pots[0]))
    return replace(step, pots=(*step.pots, *kept))


# ---- what it is done to
def _guess(pots: Sequence[Pot]) -> str:
    if any(pot.name.startswith(("foils", "boards")) for pot in pots):
        return "foils"
    return "pulp" if pots and not any(high(pot.solid_g("Au")) > 0 for pot in pots) else "powder"


def _as_told(work: Rinse, told: Mapping[str, Any], what: str) -> Pot:
    """The thing to be washed where no pot is given: its weight, and the liquor it holds."""
    weight, held = told.get("weight_g"), told.get("held_l")
    if held is None:
        if weight is None:
            raise CannotFollow("there is nothing to rinse", cure="give --held 50mL, or --weight 6g, or a pot with --pot FILE")
        held = _hold(work, told, what) * weight / 1000
    solid = SOLIDS.get(str(told.get("stuff", "gold")), "") if what == "powder" and weight is not None else ""
    solids: dict[str, Number] = {solid: weight / molar_mass(solid)} if solid and weight is not None else {}
    inert = weight if weight is not None and not solids and what != "pulp" else 0.0
    name = {"foils": "boards" if weight is not None else "foils", "pulp": "gold liquor"}.get(what, "powder")
    pot = Pot(name, held, contents(told, held), solids, inert, work.temperature_k)
    work.pour(f"liquor held by the {name}", pot.dissolved_mol, held, inert)
    if solids:
        work.pour(name, solids)
    return pot


def _hold(work: Rinse, told: Mapping[str, Any], what: str) -> Number:
    stuff = str(told.get("stuff", "gold"))
    return work.default(told.get("hold_ml_per_g"), hold_fact(what, stuff), "liquor held, per gram")


# ---- foils and boards
def _foils(work: Rinse, told: Mapping[str, Any], pots: Sequence[Pot]) -> str:
    """Foils first in weak acid, then in water; boards in water."""
    boards = [pot for pot in pots if pot.name.startswith("board")]
    for pot in pots:
        if all(pot is not one for one in boards):
            _wash_foils(work, told, pot)
    for pot in boards:
        _wash_boards(work, told, pot)
    _rinse_made(work, told)
    work.say("watch for", "white curd in the first wash is cuprous chloride: more acid, not more water, and no hot water")
    work.say("done when", "the last rinse runs colourless, and so many were made: colour alone is no sign")
    work.say("next", "foils into the gold step while still wet; boards are kept until the gold is accounted for")
    return "rinses"


def _wash_foils(work: Rinse, told: Mapping[str, Any], pot: Pot) -> None:
    held_l = np.minimum(told["held_l"], pot.volume_l) if "held_l" in told else pot.volume_l
    each_l = wash_size_l(work, told.get("wash_l"), held_l)
    held = _held(pot, held_l)
    count = whole(
        work.default(told.get("acid_washes"), "practice/rinse.wash.acid_count", "first washes in weak acid"), "acid-washes"
    )
    washes = [washes_of(work, told, "acid", each_l, count)] if count else []
    share = share_allowed(work, told, held, "foils")
    rest = np.minimum(share / np.maximum(left_after(held_l, washes), 1e-300), 1.0)
    needed = say_target(work, held_l, each_l, rest, " of what the acid washes left" if count else "")
    more = _washes(work, told, needed)
    washes.append(washes_of(work, told, "water", each_l, more))
    _do(work, told, pot, held_l, washes, "")
    if not count and high(pot.mol("CuCl2^-")) > 0:
        work.notice(
            "warn",
            "cuprous-curd",
            "plain water on cuprous liquor drops white cuprous chloride among the foils",
            "wash twice with 1 mol/L hydrochloric acid before the water",
            "practice",
        )


def _washes(work: Rinse, told: Mapping[str, Any], needed: int) -> int:
    """Washes made: as told, or as needed; says where too few are told."""
    if "washes" not in told:
        return needed
    count = whole(told["washes"], "washes")
    if count < needed:
        work.say(
            "watch for", f"{count} of the {needed} washes it takes: more stays than may; keep it, throw nothing out, wash on"
        )
    return count


def _wash_boards(work: Rinse, told: Mapping[str, Any], pot: Pot) -> None:
    weight = pot.inert_g + sum((mol * molar_mass(solid) for solid, mol in pot.solids_mol.items()), 0.0)
    each = told.get("board_wash_l")
    if each is None:
        each = handy_l(work, likely(work.default(None, BOARD, "size of a rinse of the boards")) * high(weight) / 1000)
    told_count = told.get("board_washes")
    count = whole(work.default(told_count, "practice/rinse.wash.board_count", "rinses of the boards"), "board-washes")
    work.answer("boards", weight, "g", because="stripped, dry weight")
    held = _held(pot, pot.volume_l)
    for symbol, word in (("Au", "gold"), ("Cu", "copper")):
        if high(metal_g(held, symbol)) > 0:
            work.answer(
                f"drag_out_{word}", metal_g(held, symbol), "g", sized_on="high", because="weight x liquor held x strength"
            )
    _do(work, told, pot, pot.volume_l, [washes_of(work, told, "water", max(likely(each), 1e-9), count)], "board_")


def _held(pot: Pot, held_l: Number) -> dict[str, Number]:
    share = share_of(held_l, pot.volume_l)
    return {species: amount * share for species, amount in pot.dissolved_mol.items()}


def _do(work: Rinse, told: Mapping[str, Any], pot: Pot, held_l: Number, washes: Sequence[Washes], prefix: str) -> Pot:
    """Wash one part, say what stays, and set it aside."""
    held = _held(pot, held_l)
    symbol = metal_of(told, held, pot.name)
    work.pour_washes(washes)
    to_pour(work, told, washes, pot.name)
    say_washes(work, pot.name, prefix, held, held_l, washes, symbol)
    after = wash(work, pot, held_l, washes, "washed")
    work.answer(
        f"{prefix}acid_left",
        1000 * after.free_acid_mol,
        "mmol",
        because="free acid in the liquor that stays, the washes' own too",
    )
    return after


def _rinse_made(work: Rinse, told: Mapping[str, Any]) -> None:
    made = work.washed_with_l
    work.answer("rinse_made", made, "L", because="all of it becomes waste, or the next dilution")
    room = told.get("drum_room_l")
    if room is not None and made > likely(room):
        work.notice(
            "note",
            "rinse-over-drum",
            f"{made:.3g} L of rinse, and room in the drum for {likely(room):.3g} L",
            "make smaller washes and more of them, or empty the drum first",
            "practice",
        )


# ---- pulp
def _pulp(work: Rinse, told: Mapping[str, Any], pots: Sequence[Pot]) -> str:
    """Dilute, let silver chloride fall, filter, and wash the pulp."""
    pulp, held_l = dilute_and_filter(work, told, pots)
    each_l = wash_size_l(work, told.get("wash_l"), held_l)
    share = share_allowed(work, told, pulp.dissolved_mol, "pulp")
    needed = say_target(work, held_l, each_l, share)
    count = _washes(work, told, needed)
    left = _do(work, told, pulp, held_l, [washes_of(work, told, told.get("liquid", "water"), each_l, count)], "")
    _worth(work, told, metal_g(left.dissolved_mol, "Au"))
    _rinse_made(work, told)
    work.answer("filtrate", 1000 * work.volume_l, "mL", because="liquor and washes, less what the pulp holds")
    work.say("watch for", "no hot water through silver or lead chloride: it takes them along")
    work.say("left over", "the pulp is kept with the filters: silver chloride and a little gold are in it")
    return "gold liquor"


# ---- powder
def _powder(work: Rinse, told: Mapping[str, Any], pots: Sequence[Pot]) -> str:
    """Pour the liquor off the settled powder, then wash by decanting."""
    pot = pots[0] if len(pots) == 1 else _together(pots)
    if high(pot.volume_l) <= 0:
        raise CannotFollow(
            "the powder is dry: there is no liquor to wash out", cure="rinse it before it is dried, or go on to melt"
        )
    held_l = told.get("held_l")
    if held_l is None:
        grams = pot.inert_g + sum((mol * molar_mass(solid) for solid, mol in pot.solids_mol.items()), 0.0)
        held_l = _hold(work, told, "powder") * grams / 1000
    held_l = np.minimum(held_l, pot.volume_l)
    held = _held(pot, held_l)
    off = {species: amount - held[species] for species, amount in pot.dissolved_mol.items()}
    if high(pot.volume_l - held_l) > 0:
        work.set_aside(Pot("barren", pot.volume_l - held_l, off), "poured off the settled powder")
    each_l = wash_size_l(work, told.get("wash_l"), held_l)
    needed = say_target(work, held_l, each_l, share_allowed(work, told, held, "powder"))
    count = _washes(work, told, needed)
    rest = replace(pot, volume_l=held_l, dissolved_mol=held)
    _do(work, told, rest, held_l, [washes_of(work, told, told.get("liquid", "water"), each_l, count)], "")
    _worth(work, told, metal_g(held, "Au"))
    _rinse_made(work, told)
    work.say(
        "watch for", "let it settle before each pouring off; what is shut in dense powder does not wash out: boil it in acid"
    )
    work.say("done when", "so many were made, and the last gives no cloud with silver nitrate")
    work.say("next", "dry it slowly: wet powder spits in the crucible")
    return "powder rinses"


def _together(pots: Sequence[Pot]) -> Pot:
    """Several pots of powder as one."""
    work = Rinse("rinse", *pots)
    return Pot(pots[0].name, work.volume_l, work.dissolved, work.solids, work.inert_g, work.temperature_k)


def _worth(work: Rinse, told: Mapping[str, Any], gold_g: Number) -> None:
    price = told.get("gold_price")
    if price is not None and high(gold_g) > 0:
        each = price.range.likely
        work.answer(
            "money_left", each * gold_g, price.currency or "money", sized_on="high", because="gold that stays, at the price"
        )


BY_WHAT: Mapping[str, Callable[[Rinse, Mapping[str, Any], Sequence[Pot]], str]] = {
    "foils": _foils,
    "pulp": _pulp,
    "powder": _powder,
}


def _title(work: Rinse, what: str) -> str:
    return f"{what}, {in_words(1000 * likely(work.volume_l), 'mL')} of {'filtrate' if what == 'pulp' else 'rinse'}"


def choose(pots: Sequence[Pot], what: str = "") -> tuple[Pot, ...]:
    """Which pots a rinse takes: foils and boards; the richest gold liquor; or the powder."""
    named = {
        "foils": tuple(pot for pot in pots if pot.name.startswith(("foils", "board"))),
        "pulp": holding((pot for pot in pots if not pot.name.startswith(("bath", "barren", "board"))), dissolved="AuCl4^-")[:1],
        "powder": _powders(pots),
    }
    if what:
        return named[what]
    return named["foils"] or named["powder"] or named["pulp"]


def _powders(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """The powder under its liquor: by name, else the richest in gold, else in silver."""
    wet = [pot for pot in pots if high(pot.volume_l) > 0 and not pot.name.startswith(("foils", "board", "pulp", "bath"))]
    named = tuple(pot for pot in wet if "powder" in pot.name or "sponge" in pot.name)
    with_gold = holding(named, solid="Au") or holding(wet, solid="Au")
    return (with_gold or holding(wet, solid="Ag"))[:1]


ROOM = Room(
    "rinse",
    run,
    FIELDS,
    choose,
    "refinekit rinse --what pulp --weight 6g --hold 3mL/g --gold-strength 5g/L --wash 30mL --target 0.1%",
    chooses_by=("what",),
)
"""The verb of the rinse."""
