"""The look for scripts: every figure at full precision, in metric, with pots that the next command goes on with.

The schema of what is written here is schema.json beside this file.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping
from typing import Any

from refinekit.bench.step import Answer, Chart, Gas, Reagent, Step, Table
from refinekit.errors import Leak
from refinekit.ranges import Number, Range
from refinekit.shop.potfile import SCHEMA, pots_to_list
from refinekit.show.document import Document, Said, reaction_row
from refinekit.show.rounding import measured


def to_json(document: Document, *, working: bool = False) -> str:
    """A document as JSON text.

    Raises: Leak, a figure that is no number: a fault of the program
    """
    data = to_data(document, working=working)
    refuse_no_numbers(data, "")
    return json.dumps(data, indent=1, allow_nan=False) + "\n"


def refuse_no_numbers(data: Any, where: str) -> None:
    """Refuse figures that are not finite. Raises: Leak, with the path to the first."""
    if isinstance(data, float) and not math.isfinite(data):
        raise Leak(
            f"the answer's {where or 'figure'} came out as {data}", cure="this is a fault of refinekit: report the command"
        )
    if isinstance(data, Mapping):
        for key, inner in data.items():
            refuse_no_numbers(inner, f"{where}.{key}" if where else str(key))
    elif isinstance(data, list):
        for number, inner in enumerate(data):
            refuse_no_numbers(inner, f"{where}[{number}]")


def to_data(document: Document, *, working: bool = False) -> dict[str, Any]:
    """A document as plain data; see schema.json.

    Args:
        document: the answer
        working: whether each step's lines of working are given
    Raises: Leak, two answers of one name
    """
    steps = document.steps
    only = steps[0] if len(steps) == 1 else None
    return {
        "schema": SCHEMA,
        "command": document.command,
        "version": document.version,
        "title": document.title,
        "inputs": dict(document.inputs),
        "stopped": sorted(document.stopped),
        "answers": answers_of((*document.answers, *(only.answers if only else ()))),
        "reagents": [reagent_of(one, step) for step in steps for one in step.reagents],
        "gases": [gas_of(one, step) for step in steps for one in step.gases],
        "reactions": reactions_of(steps),
        "tables": [table_of(one) for one in (*document.sections, *(only.tables if only else ()))],
        "charts": [chart_of(one) for one in (only.charts if only else ())],
        "says": [says_of(pair) for pair in (*document.lines, *(only.says if only else ()))],
        "pots": pots_to_list(document.pots),
        "notices": [notice_of(one) for one in document.notices],
        "assumed": list(document.assumed),
        "sources": [{"key": key, "cite": cite} for key, cite in document.sources.items()],
        "steps": [step_of(step, document, working=working) for step in steps],
        "closing": list(document.closing),
    }


def span_of(value: Range | Number) -> dict[str, float]:
    """Low, likely and high."""
    span = value if isinstance(value, Range) else Range.over(value)
    return {"low": float(span.low), "likely": float(span.likely), "high": float(span.high)}


def answers_of(answers: Iterable[Answer]) -> dict[str, Any]:
    """Answers by name. Raises: Leak, two of one name."""
    found: dict[str, Any] = {}
    for one in answers:
        if one.name in found:
            raise Leak(f"two answers are called {one.name!r}", cure="this is a fault of refinekit: report the command")
        found[one.name] = {**span_of(one.range), "unit": one.unit, "sized_on": one.sized_on, "because": one.because}
    return found


def reagent_of(one: Reagent, step: Step) -> dict[str, Any]:
    """Something to weigh or pour: the figure as reckoned and the figure to measure out."""
    out = measured(one.to_take, one.unit, rounding=one.rounding)
    return {
        "step": step.name,
        "name": one.name,
        "key": one.key,
        "bare": span_of(one.bare),
        "excess": one.excess,
        "to_take": float(one.to_take),
        "unit": one.unit,
        "measure_out": {"figure": out.value, "unit": out.unit},
        "sized_on": one.sized_on,
        "bottle": one.bottle,
        "when": one.when,
        "rounding": one.rounding,
        "counts": one.counts,
    }


def gas_of(one: Gas, step: Step) -> dict[str, Any]:
    """A gas given off."""
    return {
        "step": step.name,
        "formula": one.formula,
        "mol": span_of(one.mol),
        "litres": span_of(one.litres),
        "minutes": one.minutes,
        "peak_l_per_min": one.peak_l_per_min,
        "sized_on": one.sized_on,
    }


def reactions_of(steps: Iterable[Step]) -> list[dict[str, str]]:
    """Reactions used, each once: id of the facts ("" for one of the command's own) and equation."""
    ids = dict.fromkeys(id for step in steps for id in step.reactions)
    return [{"id": row["id"], "equation": row["text"]} for row in map(reaction_row, ids)]


def table_of(one: Table) -> dict[str, Any]:
    """A table; cells are text, numbers, or low, likely and high."""
    return {"title": one.title, "columns": list(one.columns), "rows": [[cell_of(cell) for cell in row] for row in one.rows]}


def cell_of(cell: str | float | Range) -> str | float | dict[str, float]:
    """One cell."""
    if isinstance(cell, Range):
        return span_of(cell)
    return cell if isinstance(cell, str) else float(cell)


def chart_of(one: Chart) -> dict[str, Any]:
    """A chart: every point of every curve."""
    return {
        "title": one.title,
        "x": one.x,
        "y": one.y,
        "log": one.log,
        "finding": one.finding,
        "series": [{"name": name, "x": list(across), "y": list(up)} for name, (across, up) in one.series.items()],
        "marks": [{"words": words, "x": at} for words, at in one.marks],
        "levels": [{"words": words, "y": at} for words, at in one.levels],
    }


def says_of(pair: tuple[str, str]) -> dict[str, str]:
    """A line under its heading."""
    return {"heading": pair[0], "line": pair[1]}


def notice_of(one: Said) -> dict[str, Any]:
    """A caution."""
    notice = one.notice
    return {
        "level": notice.level,
        "code": notice.code,
        "text": notice.text,
        "do": notice.do,
        "source": notice.source,
        "cause": notice.cause,
        "step": one.step,
        "may_override": notice.may_override,
        "override_reason": notice.reason,
    }


def step_of(step: Step, document: Document, *, working: bool) -> dict[str, Any]:
    """One step, under the same keys as the whole."""
    data: dict[str, Any] = {
        "name": step.name,
        "title": step.title,
        "stopped": step.name in document.stopped,
        "answers": answers_of(step.answers),
        "reagents": [reagent_of(one, step) for one in step.reagents],
        "gases": [gas_of(one, step) for one in step.gases],
        "reactions": reactions_of([step]),
        "tables": [table_of(one) for one in step.tables],
        "charts": [chart_of(one) for one in step.charts],
        "says": [says_of(pair) for pair in step.says],
        "took": [pot.name for pot in step.before],
        "pots": [pot.name for pot in step.pots],
        "notices": [notice_of(one) for one in document.of_step(step.name)],
        "assumed": list(step.assumed),
        "heat_kj": span_of(step.heat_kj),
        "minutes": span_of(step.minutes) if step.minutes is not None else None,
    }
    if working:
        data["workings"] = [
            {
                "what": line.what,
                "equation": line.equation,
                "arithmetic": line.arithmetic,
                "result": line.result,
                "facts": list(line.facts),
            }
            for line in step.workings
        ]
    return data
