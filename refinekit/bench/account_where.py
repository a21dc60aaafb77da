"""Where missing metal most likely is: by the physics of each step, the places nobody has tested first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from refinekit.bench.pot import Pot
from refinekit.bench.work import Work
from refinekit.facts.load import table
from refinekit.ranges import Number, Range, high

STREAM_OF = (
    ("button", "bar"),
    ("bar", "bar"),
    ("slag", "slag"),
    ("pulp", "filters"),
    ("bath", "bath"),
    ("rinses", "rinses"),
    ("powder rinses", "rinses"),
    ("boards", "returned"),
)
"""Stream of a pot by how its name begins; a liquor that is none of these is bound for the stock pot."""


def by_pot(pots: Sequence[Pot], symbol: str) -> dict[str, Number]:
    """Metal by the stream its pot belongs to.

    Args:
        pots: what stands on the bench
        symbol: metal [text]
    Returns: by stream, or by the pot's own name where it is none of them [g]
    """
    found: dict[str, Number] = {}
    for pot in pots:
        grams = pot.element_g(symbol)
        if high(grams) <= 0:
            continue
        own = "stock pot" if high(pot.volume_l) > 0 and not high(pot.solid_mol(symbol)) > 0 else pot.name
        stream = next((stream for name, stream in STREAM_OF if pot.name.startswith(name)), own)
        found[stream] = found.get(stream, 0.0) + grams
    return found


def places() -> list[Mapping[str, Any]]:
    """Places metal stays in, as facts/practice/account.toml has them."""
    return list(table("practice/account")["place"])


def say_where(
    work: Work, expected_g: float, gap_g: float, sigma_g: float, told: Mapping[str, Number], planned: Mapping[str, Number]
) -> None:
    """Say where to look for what is missing.

    Args:
        work: the step
        expected_g, gap_g, sigma_g: of the account [g]
        told: streams that were told, by field name [g]
        planned: what the plan leaves in each stream [g]
    """
    rows = []
    for place in places():
        stream = place["stream"]
        if stream.replace(" ", "-") in told:
            continue
        share = place["share"]
        usual = Range(*(expected_g * share[end] for end in ("low", "likely", "high")))
        if stream in planned and stream != "returned":
            plan = Range.over(planned[stream])
            usual = Range(min(usual.low, plan.low), max(plan.likely, usual.low), max(usual.high, plan.high, plan.likely))
        if usual.high > 0:
            rows.append((stream, usual, place))
    rows.sort(key=lambda row: (-row[1].likely, -row[1].high))
    if rows:
        work.table(
            "not yet told, where it most likely is",
            ("stream", "usually g", "why", "what to do"),
            [(stream, usual, place["why"], place["do"]) for stream, usual, place in rows],
        )
        for stream, _, place in rows[:3]:
            work.say("look first", f"{stream}: {place['why']}; {place['do']}")
    most = sum(usual.high for _, usual, _ in rows)
    work.answer("untested_most", most, "g", sized_on="high", because="what streams nobody tested usually hold at most")
    rest = gap_g - most
    if rest > sigma_g:
        work.say(
            "watch for",
            f"{rest:.3g} g is more than those places usually hold: a wrong estimate (one sigma is {sigma_g:.3g} g), a bad sample,"
            " a beaker that boiled over, or metal that left the shop",
        )
    if not rows:
        work.say("look first", "every stream is told: look through the estimate, the sample and the assay")
