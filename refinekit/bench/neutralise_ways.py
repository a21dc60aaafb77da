"""The same spent liquor by every alkali, and after its copper is on iron: the doses, sludges, gas and heat side by side."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from refinekit.bench.neutralise_liquor import LIQUOR_FIELDS
from refinekit.bench.neutralise_water import WORDS
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Reagent, Step
from refinekit.bench.work import Work
from refinekit.errors import CannotFollow
from refinekit.facts.load import fact
from refinekit.ranges import Range, high
from refinekit.record import record

Run = Callable[..., Step]
Cell = str | float | Range
ALKALIS = {"caustic": "caustic", "soda-ash": "soda ash", "lime": "lime", "magnesium-hydroxide": "mag hydroxide"}
"""Reagents set side by side, and the head of each one's column."""
OF_THE_ALKALI = (
    "reagent",
    "caustic_strength",
    "alkali_goodness",
    "second_reagent",
    "second_goodness",
    "first_ph",
    "second_share",
)
"""What is told of the alkali and is not carried over to the others."""
IRON = "iron first"
NONE = "-"


@record
class Way:
    """One column.

    Args:
        head: what it is [text]
        step: the neutralising; None where it does not go
        why_not: in words, where it does not
        before: the cementing before it, where there is one
    """

    head: str
    step: Step | None
    why_not: str = ""
    before: Step | None = None


def say_side_by_side(work: Work, run: Run, pots: Sequence[Pot], place: Place | None, told: Mapping[str, Any]) -> None:
    """A table of the ways, one a column, and what to know of those that do not go.

    Args:
        work: the step that is being done
        run: the verb of neutralising
        pots: its liquors, as they were
        place: the shop
        told: what it was told
    """
    kept = {name: value for name, value in told.items() if name not in (*OF_THE_ALKALI, "side_by_side")}
    ways = [_way(head, run, pots, place, {**kept, "reagent": key}) for key, head in ALKALIS.items()]
    ways.append(_after_iron(run, pots, place, kept))
    go = [way for way in ways if way.step is not None]
    rows = [(what, *(_cell(way, take) for way in go)) for what, take in _figures(go)]
    work.table("side by side", ("", *(way.head for way in go)), [row for row in rows if set(row[1:]) != {NONE}])
    for way in ways:
        if way.step is None:
            work.say("watch for", f"{way.head}: {way.why_not}")
    if any(way.before for way in go):
        work.say(
            "next",
            "iron first is a step of its own, with its hydrogen and its time: cement --metal iron, then neutralise its liquor",
        )


def _way(head: str, run: Run, pots: Sequence[Pot], place: Place | None, told: Mapping[str, Any]) -> Way:
    try:
        return Way(head, run(pots, place=place, **told))
    except CannotFollow as fault:
        return Way(head, None, fault.what)


def _after_iron(run: Run, pots: Sequence[Pot], place: Place | None, told: Mapping[str, Any]) -> Way:
    """Copper onto iron first, and caustic for what that leaves."""
    from refinekit.bench.cement import run as cement

    liquor = {field.arg for field in LIQUOR_FIELDS}
    # A bath is kept back from cementing unless asked for; here it is the liquor.
    named = [replace(pot, name="spent liquor") if pot.name.startswith("bath") else pot for pot in pots]
    copper = any(
        name in told for name in ("copper_g", "cuprous_g", "copper_strength_g_per_l", "cuprous_strength_g_per_l")
    ) or any(high(pot.element_g("Cu", solid=False)) > 0 for pot in named)
    if not copper:
        return Way(IRON, None, "there is no copper in it to bring down")
    try:
        before = cement(named, place=place, metal="iron", **{name: value for name, value in told.items() if name in liquor})
        after = next(pot for pot in before.pots if pot.name == "iron liquor")
        rest = {name: value for name, value in told.items() if name not in liquor}
        return Way(IRON, run((after,), place=place, reagent="caustic", **rest), before=before)
    except CannotFollow as fault:
        return Way(IRON, None, fault.what)


def _cell(way: Way, take: Callable[[Way], Cell | None]) -> Cell:
    found = take(way)
    return NONE if found is None else found


def _figures(ways: Sequence[Way]) -> list[tuple[str, Callable[[Way], Cell | None]]]:
    """What is set side by side: a line, and how it is read off a way."""
    dissolved = [word for word in WORDS.values() if any(_answer(way.step, f"{word}_dissolved") for way in ways)]
    return [
        ("weigh at most, g", lambda way: _poured(way, lambda one: one.to_take)),
        ("bare need, g", lambda way: _poured(way, lambda one: one.bare.likely)),
        ("alkali, mol", _likely("alkali")),
        ("to pH", _to_ph),
        *(row for word in dissolved for row in _left(word)),
        ("sludge dry, g", _likely("sludge_dry")),
        ("gel, L", _likely("gel")),
        ("gel at most, L", _most("gel")),
        ("cake, kg", _likely("cake")),
        ("CO2 at most, L", lambda way: _over_nothing(_most("co2")(way))),
        ("heat, kJ", _likely("heat")),
        ("all at once, degC", _most("temperature")),
        ("minutes at least", lambda way: way.step.minutes.low if way.step and way.step.minutes else None),
        ("believe pH after, min", _wait),
        ("iron scrap, g", lambda way: _end(way.before, "iron_most", "high")),
        ("hydrogen at most, L", lambda way: _end(way.before, "hydrogen_most", "high")),
        ("heat of iron, kJ", lambda way: _end(way.before, "heat", "high")),
        ("copper got back, g", lambda way: _end(way.before, "copper_recovered", "likely")),
    ]


def _left(word: str) -> list[tuple[str, Callable[[Way], Cell | None]]]:
    """What stays dissolved of a metal."""
    return [(f"{word}, mg/L", _likely(f"{word}_dissolved")), (f"{word} at most", _most(f"{word}_dissolved"))]


def _likely(name: str) -> Callable[[Way], float | None]:
    return lambda way: _end(way.step, name, "likely")


def _most(name: str) -> Callable[[Way], float | None]:
    return lambda way: _end(way.step, name, "high")


def _end(step: Step | None, name: str, end: str) -> float | None:
    found = _answer(step, name)
    return None if found is None else float(getattr(found, end))


def _answer(step: Step | None, name: str) -> Range | None:
    if step is None:
        return None
    return next((answer.range for answer in step.answers if answer.name == name), None)


def _over_nothing(figure: float | None) -> float | None:
    return figure if figure else None


def _poured(way: Way, of: Callable[[Reagent], float]) -> float | None:
    """What is measured out in all of the alkali."""
    return sum(of(one) for one in way.step.reagents if one.counts) if way.step else None


def _to_ph(way: Way) -> float | None:
    """The pH it ends at: a weak base may stop short."""
    title = way.step.title if way.step else ""
    found = title.partition(" to pH ")[2].partition(" ")[0]
    return float(found) if found else None


def _wait(way: Way) -> float | None:
    """Minutes after which the pH is believed, where it seems done before it is."""
    told = way.step is not None and any("seems done before it is" in line for _, line in way.step.says)
    return fact("practice/neutralise.seems_done").value if told else None


__all__ = ["say_side_by_side"]
