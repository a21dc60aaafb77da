"""What is remarked on at the scale: doubtful figures, what the goods carry, which way to go on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.lot_metals import SPECK_G
from refinekit.bench.tag_words import HARMLESS, denied, said, tag_rows
from refinekit.bench.work import Work
from refinekit.facts.load import fact
from refinekit.ranges import Number, high, likely, low

TWICE = 2.0
"""How far out of its kind's usual range a grade must be before it is doubted: as one face counted for two would put it."""


def remark(
    work: Work, row: Mapping[str, Any], told: Mapping[str, Any], grams: Mapping[str, Number], weight_g: Number | None
) -> None:
    """Say what a careful buyer would say.

    Args:
        work: the step
        row: what is usual for the kind of goods
        told: what was told of the lot
        grams: metals of the lot by word [g]
        weight_g: weight of the lot [g]; None where not told
    Source: facts/practice/lot.toml and facts/materials.toml
    """
    _thickness(work, row, told)
    _grade(work, row, told, grams, weight_g)
    _metal_share(work, row, grams, weight_g)
    _what_it_carries(work, grams)
    _tags(work, told)
    if weight_g is not None and low(weight_g) > SPECK_G and _is_alloy(row, told):
        if high(grams.get("gold", 0.0)) > 0 and "filled" not in told:
            _route(work, grams, weight_g)
        from refinekit.bench.lot_route import say_ways

        say_ways(work, grams, filled="filled" in told)


def _is_alloy(row: Mapping[str, Any], told: Mapping[str, Any]) -> bool:
    """Whether the goods are karat, filled or silver goods rather than plated ones."""
    ways = ("karat", "fineness", "make", "items", "filled")
    return any(word in told for word in ways) or bool(row.get("make")) or bool(row.get("plate")) or told.get("kind") == "karat"


def _thickness(work: Work, row: Mapping[str, Any], told: Mapping[str, Any]) -> None:
    thickness = told.get("gold_thickness_um")
    if thickness is None:
        return
    unusual, microinch = work.fact("materials.thickness.other.board_gold_unusual"), work.fact("practice/lot.microinch_suspected")
    if likely(thickness) >= microinch.value:
        work.notice(
            "warn",
            "microinch-for-micron",
            f"gold of {likely(thickness):.3g} micron is more likely {likely(thickness):.3g} microinch, which is 40 times thinner",
            "check the unit before you pay: write it as in 30 uin",
            microinch.source,
        )
    elif row.get("laminate") and high(thickness) > unusual.value:
        work.notice(
            "note",
            "thick-plating-unusual",
            f"gold of {high(thickness):.3g} micron is unusual on boards and tabs (over {unusual.value:g})",
            "check the unit, micron or microinch, or have it measured",
            unusual.source,
        )


def _grade(
    work: Work, row: Mapping[str, Any], told: Mapping[str, Any], grams: Mapping[str, Number], weight_g: Number | None
) -> None:
    gold = grams.get("gold", 0.0)
    spread = fact("materials.grade.spread_worth_sampling")
    if low(gold) > SPECK_G and high(gold) / low(gold) > spread.value:
        work.notice(
            "note",
            "sample-before-buying",
            f"the high figure is {high(gold) / low(gold):.2g} times the low one",
            "melt or dissolve a sample of a few parts before you buy, or pay on the low figure",
            spread.source,
        )
    if (
        weight_g is None
        or low(weight_g) <= SPECK_G
        or not row.get("grade")
        or "grade_g_per_kg" in told
        or likely(gold) <= SPECK_G
    ):
        return
    usual = fact(row["grade"])
    found = 1000 * likely(gold) / likely(weight_g)
    if usual.range.low / TWICE <= found <= usual.range.high * TWICE:
        return
    poor = found < usual.range.low
    work.notice(
        "note",
        "grade-unusual",
        f"{found:.3g} g/kg is {'less' if poor else 'more'} than {row['word']} usually hold"
        f" ({usual.range.low:g} to {usual.range.high:g})",
        "was one face counted for two, or whole boards weighed for tabs?"
        if poor
        else "were microinch taken for micron, or both faces counted twice?",
        usual.source,
    )


def _metal_share(work: Work, row: Mapping[str, Any], grams: Mapping[str, Number], weight_g: Number | None) -> None:
    if weight_g is None or low(weight_g) <= SPECK_G or not row.get("laminate"):
        return
    most = fact("practice/lot.laminate_metal_most")
    share = likely(sum(grams.values(), 0.0)) / likely(weight_g)
    if share > most.value:
        work.notice(
            "warn",
            "laminate-as-metal",
            f"{100 * share:.3g} % of the weight would be metal: most of such a lot is laminate",
            "give the plated area, not the weight, for copper and nickel",
            most.source,
        )


def _what_it_carries(work: Work, grams: Mapping[str, Number]) -> None:
    def there(*metals: str) -> bool:
        return any(high(grams.get(metal, 0.0)) > 0 for metal in metals)

    if there("tin", "lead"):
        work.notice(
            "note",
            "solder-on-goods",
            "tin and lead in the lot: nitric turns tin to paste that will not filter and holds gold",
            "strip the solder first with hot hydrochloric, and rinse it off before the goods meet gold liquor",
            "practice",
        )
    if there("iron", "aluminium", "zinc"):
        work.say("watch for", "hydrogen where the goods meet acid: air, no lid, no flame; more acid than for copper")
    if there("palladium", "platinum"):
        work.notice(
            "note",
            "platinum-metals-in-lot",
            "palladium or platinum changes the drop, the test and the colour",
            "no ammonium, sulfamic or urea before they are out; read the stannous spot with care",
            "practice",
        )


def _tags(work: Work, told: Mapping[str, Any]) -> None:
    """Mark the pot with what was said of the lot in words; what is denied outright is taken at its word, and told."""
    text = str(told.get("tags", ""))
    for row in tag_rows():
        if said(text, row):
            work.mark(row["mark"])
            work.say("watch for", row["about"])
        elif row["mark"] not in HARMLESS and denied(text, row):
            work.notice(
                "note",
                "tag-denied",
                f"the tag denies {row['mark']}: it is taken at its word, and no figure here can see it",
                "be sure who says so; where there is doubt tell it without the denial, and the lot is held back",
                "practice",
            )


def _route(work: Work, grams: Mapping[str, Number], weight_g: Number) -> None:
    """Which way karat goods go: by their silver, as the ends of an unknown balance allow it."""
    silver = grams.get("silver", 0.0) / weight_g
    nickel = grams.get("nickel", 0.0)
    warn, inquart, stop = (work.fact(f"practice/lot.silver_{line}") for line in ("warn", "inquart", "stop"))
    per_thousand = 1000 * high(silver)
    if np.any(silver > inquart.value):
        line = (
            f"silver over {1000 * inquart.value:g} per thousand"
            if per_thousand <= 1000 * stop.value
            else f"silver over {1000 * stop.value:g} per thousand"
        )
        work.say("next", f"inquart: {line}")
        work.notice(
            "note",
            "inquart-advised",
            f"silver up to {per_thousand:.3g} per thousand skins over with chloride in nitric and hydrochloric",
            "inquart with silver and part in nitric, or roll and granulate very thin",
            inquart.source,
        )
    elif np.any(silver > warn.value):
        work.say("next", f"nitric and hydrochloric will go slowly: silver over {1000 * warn.value:g} per thousand")
    else:
        work.say("next", "nitric and hydrochloric: little silver")
    if high(nickel) > 0:
        work.say("watch for", "nickel white: green liquor, and nickel that leaves the water only at pH over 10")
