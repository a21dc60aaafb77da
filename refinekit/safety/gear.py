"""What to wear for a step, and the check list of what no input can show."""

from __future__ import annotations

from collections.abc import Mapping

from refinekit.bench.step import Step
from refinekit.facts.load import table

BY_GAS = {"Cl2": "chlorine", "NO": "nitric", "NO2": "nitric", "NOCl": "nitric"}
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


def checklist() -> tuple[str, ...]:
    """What no figure shows and the eye must check before anything is poured. Source: common practice."""
    return tuple(table("safety/gear")["checklist"]["lines"])
