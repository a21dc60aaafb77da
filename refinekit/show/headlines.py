"""What a run of many steps shows of the figures of each, so that it stays short: what is looked for at the bench.

Everything else is one option away, and always in JSON and CSV. A verb that is not listed shows all it has.
"""

from __future__ import annotations

from collections.abc import Sequence

from refinekit.bench.step import Answer, Reagent, Step, Table

HEADLINES: dict[str, tuple[str, ...]] = {
    "lot": ("gold", "gold_one_sigma", "silver", "copper", "nickel", "tin", "lead", "grade", "karat"),
    "leach": ("days", "water_carried", "bath_volume", "bath_copper", "bath_free_hcl", "lots_to_ceiling", "gold_in_foils"),
    "rinse": ("washes", "washes_made", "gold_left", "board_washes_made", "rinse_made", "filtrate"),
    "dissolve": ("nitric_left", "smb_wasted", "oxidant_left", "silver_carried", "liquid"),
    "denox": ("nitric_left", "end_volume", "boil_minutes", "lead_sulfate", "nitric_still_left"),
    "drop": (
        "gold_only",
        "gold_oxidants_iron",
        "everything",
        "dissolve_in",
        "gold_powder",
        "gold_left_in_barren",
        "copper_oxalate",
    ),
    "melt": ("pour_at", "button", "fineness"),
    "cement": ("gold", "silver", "copper_eaten", "copper", "hydrogen_most", "copper_recovered", "iron_in_liquor", "temperature"),
    "neutralise": ("temperature", "co2", "gel", "cake", "drum"),
    "sludge": ("sludge_dry", "cake", "drum", "month"),
    "inquart": ("gold_share", "melt", "crucible"),
    "part": ("portion", "nitric_left", "silver_in_liquor", "sponge", "sponge_fineness", "silver_left"),
    "silver": ("silver_chloride", "silver", "silver_kept", "iron_lifted_out", "nitrate_liquor", "reduction_liquor"),
}
"""Names of answers by verb."""
TABLES: dict[str, tuple[str, ...]] = {"lot": ("ways",), "neutralise": ("portions", "dissolved at")}
"""Beginnings of the titles of tables by verb."""


SAMPLES = ("P5", "What")
"""Beginnings of the titles of the tables that samples of a run show; the percentiles of each step are one option away."""


def verb_of(step: Step) -> str:
    """The verb of a step that may be numbered: "rinse 2" is a rinse."""
    return step.name.split(" ", 1)[0]


def short_answers(step: Step) -> tuple[Answer, ...]:
    """The answers a run shows of a step."""
    wanted = HEADLINES.get(verb_of(step))
    return step.answers if wanted is None else tuple(one for one in step.answers if one.name in wanted)


def short_tables(step: Step) -> tuple[Table, ...]:
    """The tables a run shows of a step."""
    verb = verb_of(step)
    if verb == "rehearse":
        return tuple(one for one in step.tables if not one.title.startswith("Every"))
    if verb == "samples":
        return tuple(one for one in step.tables if one.title.startswith(SAMPLES))
    return (
        step.tables if verb not in HEADLINES else tuple(one for one in step.tables if one.title.startswith(TABLES.get(verb, ())))
    )


def aside(one: Reagent, reagents: Sequence[Reagent]) -> str:
    """What stands beside the name of a pour: when it is done, and that it is no pour on top of the others.

    Args:
        one: the pour
        reagents: all pours of its step
    """
    in_all = any(other.counts and other.key == one.key for other in reagents)
    note = "" if one.counts else "(part of the total)" if in_all else "(lifted out again)"
    return " ".join(filter(None, (one.when, note)))
