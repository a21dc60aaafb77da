"""What to wear for a step, and the check list of what no input can show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from refinekit.bench.step import Step
from refinekit.facts.load import table
from refinekit.ranges import high
from refinekit.safety.words import says

BY_GAS = {"Cl2": "chlorine", "NO": "nitric", "NO2": "nitric", "NOCl": "nitric"}
WORN = ("goggles", "glove", "face shield", "glasses", "leather")
"""What tells that a line is of what to wear, and not of tubes and ducts."""
NOT_TOUCHED = ("account",)
"""Verbs that are a sum over pots that nobody touches."""
BY_VERB = {
    "dissolve": "nitric",
    "part": "nitric",
    "denox": "nitric",
    "inquart": "melt",
    "neutralise": "caustic",
    "sludge": "caustic",
}


def gear_for(step: Step) -> str:
    """Protective gear of a step, in one line.

    Args:
        step: the step as reckoned; its gases and verb tell
    Source: common practice, in facts/safety/gear.toml
    """
    rows: Mapping[str, str] = table("safety/gear")["gear"]
    verb = step.name.split(" ")[0]
    by_gas = next((BY_GAS[gas.formula] for gas in step.gases if gas.formula in BY_GAS and gas.mol.high > 0), "")
    kind = by_gas or BY_VERB.get(verb, verb)
    return f"{rows.get(kind, rows['other'])}. {rows['always'].capitalize()}"


def with_gear(step: Step) -> Step:
    """A step that says what to wear, where its room has not said it and something wet, hot or gassing is handled.

    Args:
        step: the step as reckoned
    """
    if step.name.split(" ")[0] in NOT_TOUCHED:
        return step
    handled = step.reagents or step.gases or any(high(pot.volume_l) > 0 for pot in (*step.before, *step.pots))
    said = any(heading == "gear" and says(line.lower(), *WORN) for heading, line in step.says)
    return replace(step, says=(*step.says, ("gear", gear_for(step)))) if handled and not said else step


def gear_of(step: Step) -> tuple[tuple[str, str], ...]:
    """What a step says of what to wear, under its heading: what it said itself, else its kind's line.

    Args:
        step: the step as reckoned
    """
    if step.name.split(" ")[0] in NOT_TOUCHED:
        return ()
    said = tuple(pair for pair in with_gear(step).says if pair[0] == "gear")
    return said or (("gear", gear_for(step)),)


def closing_list(steps: int) -> tuple[str, ...]:
    """The check list as a look ends with it: a line for one step, the whole list once for several.

    Args:
        steps: steps shown [-]
    """
    rows = table("safety/gear")["checklist"]
    return (rows["short"],) if steps <= 1 else (rows["head"], *(f"[ ] {line}" for line in rows["lines"]))


def checklist() -> tuple[str, ...]:
    """What no figure shows and the eye must check before anything is poured. Source: common practice."""
    return tuple(table("safety/gear")["checklist"]["lines"])
