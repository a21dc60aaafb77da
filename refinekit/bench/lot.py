"""The lot at the scale: what is in it, how sure that is, and the pot of goods every later step works on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Unpack

import numpy as np

from refinekit.bench.fields import METALS, Room, refuse_strange
from refinekit.bench.lot_alloy import by_alloy, by_mark
from refinekit.bench.lot_area import LAYERS, by_area
from refinekit.bench.lot_fields import FIELDS, LotTold, area_told
from refinekit.bench.lot_items import by_items, is_item
from refinekit.bench.lot_metals import SPECK_G, combined_error, karat_of, karat_parts, lowest_lawful_fineness
from refinekit.bench.lot_parcel import Parcel, base_and_rest, by_grade, by_mass, by_plate
from refinekit.bench.lot_remarks import remark
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.bench.work import Work
from refinekit.chemistry.species import molar_mass
from refinekit.errors import BadQuantity, CannotFollow
from refinekit.ranges import Number, Range, high, in_words, likely, low

PRECIOUS = ("gold", "silver", "palladium", "platinum")
"""Metals that are shared out by item."""


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Unpack[LotTold]) -> Step:
    """Weigh in a lot.

    Args:
        pots: dry lots that are on the bench already; the new one goes with them
        place: the shop; its law says whether the stamp rule is shown
        told: what is known of the lot, see FIELDS; gold by one way only: area, grade, karat, mark or its mass
    Returns: Step with gold and every other metal [g], g/kg, copper per gram of gold, the error of the gold, and the pot "goods"
    Raises: CannotFollow, nothing to go on; BadQuantity, told twice or more metal than lot; UnknownName, kind or alloy
    Source: facts/materials.toml and facts/practice/lot.toml, as each line of working says
    """
    refuse_strange("the lot", {name for name in told if not is_item(name)}, LotTold.__annotations__.keys())
    work = Work("lot", *pots, place=place)
    parcel = Parcel(work, told)
    _refuse_two_ways(told)
    for part in (by_area, by_grade, by_plate, by_items, by_alloy, by_mark, by_mass, base_and_rest):
        part(parcel)
    if not parcel.grams and (parcel.weight_g is None or high(parcel.weight_g) <= 0) and not pots:
        raise CannotFollow("the lot has nothing to go on", cure="tell its area, grade, karat or metals, as in --gold 2.1 g")
    amounts = {METALS[metal]: grams / molar_mass(METALS[metal]) for metal, grams in parcel.grams.items()}
    work.pour(told.get("kind", "lot"), amounts, inert_g=parcel.inert_g)
    _answers(parcel)
    remark(work, parcel.row, told, parcel.grams, parcel.weight_g)
    return work.done("goods", title=_title(parcel))


def _refuse_two_ways(told: LotTold) -> None:
    """Gold comes from one way of telling it, and so does each layer's metal."""
    ways = {
        "area": "gold_thickness_um" in told and area_told(told),
        "grade": "grade_g_per_kg" in told,
        "karat, fineness or make": any(word in told for word in ("karat", "fineness", "make")) and "filled" not in told,
        "a gold-filled mark": "filled" in told,
        "its items": "items" in told,
        "its mass": "gold_g" in told,
    }
    used = [way for way, is_used in ways.items() if is_used]
    if len(used) > 1:
        raise BadQuantity(
            f"the gold is told {len(used)} ways: by {' and by '.join(used)}", cure="tell it one way; the rest by the other metals"
        )
    for metal in LAYERS[1:]:
        if f"{metal}_thickness_um" in told and f"{metal}_g" in told:
            raise BadQuantity(f"{metal} is told by its thickness and by its mass", cure="tell it one way")


# ---- what is answered
def _answers(parcel: Parcel) -> None:
    work, gold = parcel.work, parcel.work.solids.get("Au", 0.0) * molar_mass("Au")
    if high(gold) > 0:
        work.answer(
            "gold",
            gold,
            "g",
            sized_on="low to pay on, likely to account by, high for vessel and fume",
            because="product of the ends",
        )
        _error_of_gold(parcel)
    for metal in METALS:
        grams = work.solids.get(METALS[metal], 0.0) * molar_mass(METALS[metal])
        if metal != "gold" and high(grams) > 0:
            work.answer(metal, grams, "g", sized_on="high for hydrochloric, low for a first charge of nitric or peroxide")
    for metal in ("copper", "nickel"):
        grams = work.solids.get(METALS[metal], 0.0) * molar_mass(METALS[metal])
        if low(gold) > SPECK_G and high(grams) > 0:
            work.answer(
                f"{metal}_per_gold", grams / gold, "g/g", because="what really sizes the acid" if metal == "copper" else ""
            )
    _by_the_kilogram(parcel, gold)
    rows = [(metal, *_row(work, metal)) for metal in METALS if high(work.solids.get(METALS[metal], 0.0)) > 0]
    work.table("metals in the lot", ("metal", "g", "mol"), rows)
    _by_item(parcel)


def _by_item(parcel: Parcel) -> None:
    """What each of several items brings: its precious metal, and its share of the whole lot's."""
    if len(parcel.held) < 2:
        return
    there = [metal for metal in PRECIOUS if any(high(one.grams.get(metal, 0.0)) > 0 for one in parcel.held)]
    owned = any(one.item.who for one in parcel.held)
    columns = [column for metal in there for column in (f"{metal} g", f"% of the {metal}")]
    rows: list[tuple[str | Range, ...]] = []
    for one in parcel.held:
        cells: list[str | Range] = [one.item.name, *([one.item.who or "not told"] if owned else [])]
        for metal in there:
            own, whole = one.grams.get(metal, 0.0), parcel.grams[metal]
            cells += [Range.over(own), Range.over(100 * own / np.maximum(whole, SPECK_G))]
        rows.append(tuple(cells))
    parcel.work.table("by item", ("item", *(["from"] if owned else []), *columns), rows)


def _row(work: Work, metal: str) -> tuple[Range, Range]:
    mol = work.solids[METALS[metal]]
    return Range.over(mol * molar_mass(METALS[metal])), Range.over(mol)


def _error_of_gold(parcel: Parcel) -> None:
    """One standard error of the gold, its errors taken as independent: the other reading of the same ranges."""
    errors = {name: size for name, size in parcel.errors.items() if size > 0}
    gold = parcel.grams.get("gold", 0.0)
    if not errors or not likely(gold):
        return
    size = combined_error(errors.values())
    parcel.work.answer(
        "gold_error", 100 * size, "%", because=f"independent errors of {', '.join(errors)}: sqrt of the sum of squares"
    )
    near = Range(max(likely(gold) * (1 - size), 0.0), likely(gold), likely(gold) * (1 + size))
    parcel.work.answer("gold_one_sigma", near, "g", sized_on="to account by", because="likely, less and more one standard error")
    parcel.work.working(
        "independent errors",
        "sqrt of the sum of squares",
        " + ".join(f"{name} {value:.3g}^2" for name, value in errors.items()),
        f"{100 * size:.3g} %, {likely(gold) * size:.3g} g",
    )


def _by_the_kilogram(parcel: Parcel, gold: Number) -> None:
    """Grade, fineness and stamp."""
    work, weight = parcel.work, parcel.weight_g
    if weight is None or low(weight) <= SPECK_G:
        return
    weight = weight - parcel.stones_g
    own = parcel.grams.get("gold", 0.0)
    if high(own) > 0:
        work.answer("grade", 1000 * own / weight, "g/kg")
    if parcel.stamp is None:
        return
    work.answer("gold_fineness", 1000 * own / weight, "per thousand")
    work.answer("karat", karat_of(own / weight), "karat")
    silver = parcel.grams.get("silver", 0.0) / weight
    work.answer("silver_per_thousand", 1000 * silver, "per thousand", sized_on="high for the choice of route")
    if work.place.law == "us":
        soldered = not parcel.told.get("unsoldered", False)
        least = lowest_lawful_fineness(parcel.stamp, soldered=soldered)
        used = work.fact(f"materials.stamp.{'soldered' if soldered else 'unsoldered'}_under")
        work.answer("lowest_lawful_fineness", 1000 * least, "per thousand", because=f"stamp less {used.value:g} (15 USC 295)")
        work.answer(
            "gold_if_lowest",
            least * weight,
            "g",
            sized_on="low to pay on",
            because="if the goods are as poor as their stamp may lawfully be",
        )
    old = work.fact("materials.stamp.old_goods_under")
    least = np.maximum(parcel.stamp - old.value / karat_parts(), 0.0)
    work.answer("gold_if_old", least * weight, "g", sized_on="low to pay on", because=f"old goods run {old.value:g} karat under")


def _title(parcel: Parcel) -> str:
    words = [parcel.told.get("kind", "lot")]
    if parcel.weight_g is not None:
        words.append(f"{likely(parcel.weight_g):.4g} g")
    if high(parcel.grams.get("gold", 0.0)) > 0:
        words.append(in_words(parcel.grams["gold"], "g gold"))
    return ", ".join(words)


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """Dry goods already on the bench, that the new lot goes with."""
    return tuple(pot for pot in pots if not high(pot.volume_l) and pot.solids_mol)


ROOM = Room(
    "lot",
    run,
    FIELDS,
    choose,
    'refinekit lot --kind "edge tabs" --weight "420 g" --area "1850/1980/2100 cm2" --gold-thickness "0.4/0.76/1 micron"',
)
"""The verb of the weigh-in."""
