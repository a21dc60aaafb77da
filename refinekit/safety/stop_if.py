"""When to stop a step: what a person with a hand on the beaker looks out for."""

from __future__ import annotations

from refinekit.bench.step import Step
from refinekit.facts.load import table
from refinekit.ranges import high
from refinekit.safety.gear import BY_GAS, BY_VERB

VERBS = {"air": "leach", "part": "nitric", "inquart": "melt"}
"""Verbs that stop for the reasons of another, where their gear does not say so already."""


def stop_if(step: Step) -> tuple[str, ...]:
    """Signs to stop at; none where nothing wet, hot or gassing is handled.

    Args:
        step: the step as reckoned; its gases and verb tell
    Source: common practice, in facts/safety/stop_if.toml
    """
    handled = step.reagents or step.gases or any(high(pot.volume_l) > 0 for pot in (*step.before, *step.pots))
    verb = step.name.split(" ")[0]
    if not handled or verb == "account":  # a sum over pots that nobody touches
        return ()
    rows = table("safety/stop_if")["stop_if"]
    own = VERBS.get(verb, BY_VERB.get(verb, verb))
    kinds = [own if own in rows else "other"]
    kinds += [BY_GAS[gas.formula] for gas in step.gases if gas.formula in BY_GAS and gas.mol.high > 0]
    return tuple(dict.fromkeys(line for kind in (*kinds, "always") for line in rows[kind]))
