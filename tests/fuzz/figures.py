"""Figures no answer may hold: no number, less than nothing to weigh, no unit, a shape the schema does not know."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, NoReturn

from jsonschema import Draft202012Validator

SCHEMA = Path(__file__).resolve().parents[2] / "refinekit" / "show" / "schema.json"
SIGNED = ("gap", "sigmas", "not_found", "alkali_to_spare", "margin", "margin_after_shared")
"""Answers that are a difference, and may be under 0: more was found than was expected."""
BARE = (
    *("washes", "washes_made", "board_washes_made", "goes", "coolings", "heat_portions", "water_steps", "lots"),
    *("sigmas", "silver_per_thousand", "all_together"),
)
"""Answers that have no unit: counts of what the name says, and shares."""
BARE_ENDS = "_peak_over_average"
BELOW_ZERO = ("C", "kJ", "kJ/mol", "V", "mV", "pH")
"""Units of what lies either side of a zero somebody chose."""


@cache
def shape() -> Draft202012Validator:
    """What holds an answer to the schema that is shipped."""
    return Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8")))


def wrong(text: str) -> Iterator[str]:
    """What is wrong with an answer written as JSON."""
    try:
        data = json.loads(text, parse_constant=_no_number)
    except ValueError as error:
        yield f"no JSON: {error}"
        return
    yield from (f"no number in {where}" for where in no_numbers(data, ""))
    yield from (f"not as the schema says: {error.json_path} {error.message:.80}" for error in shape().iter_errors(data))
    for part in (data, *data["steps"]):
        yield from wrong_in(part)
    for pot in data["pots"]:
        yield from (f"less than nothing in {pot.get('name')}: {where}" for where in under_zero(_amounts(pot), ""))


def wrong_in(part: dict[str, Any]) -> Iterator[str]:
    """What is wrong with the figures of a whole answer, or of one of its steps."""
    for one in part["reagents"]:
        if min(one["to_take"], one["measure_out"]["figure"], *one["bare"].values()) < 0:
            yield f"less than nothing of {one['name']}"
        if not one["unit"] or not one["measure_out"]["unit"]:
            yield f"no unit on {one['name']}"
    for one in part["gases"]:
        yield from (f"less than nothing of {one['formula']}: {where}" for where in under_zero(one, ""))
    for name, one in part["answers"].items():
        if not one["unit"] and name not in BARE and not name.endswith(BARE_ENDS):
            yield f"no unit on {name}"
        if name not in SIGNED and one["unit"] not in BELOW_ZERO and min(one["low"], one["likely"], one["high"]) < 0:
            yield f"less than nothing: {name}"


def no_numbers(data: Any, where: str) -> Iterator[str]:
    """Paths of the figures that are not finite: one too great for a float is read as one."""
    yield from (path for path, figure in figures(data, where) if not math.isfinite(figure))


def under_zero(data: Any, where: str) -> Iterator[str]:
    """Paths of the figures under nothing."""
    yield from (path for path, figure in figures(data, where) if figure < 0)


def figures(data: Any, where: str) -> Iterator[tuple[str, float]]:
    """Every figure of plain data, with its path."""
    if isinstance(data, float | int) and not isinstance(data, bool):
        yield where, data
    inner = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, one in inner:
        yield from figures(one, f"{where}.{key}" if where else str(key))


def _amounts(pot: dict[str, Any]) -> dict[str, Any]:
    return {key: pot[key] for key in ("volume_l", "inert_g", "dissolved_mol", "solids_mol", "cases") if key in pot}


def _no_number(text: str) -> NoReturn:
    raise ValueError(f"it holds {text}")
