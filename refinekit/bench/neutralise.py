"""Neutralising spent acid: how much alkali, how hot, how much gas, what is left in the water, what the drum will hold."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from refinekit.bench.fields import Room
from refinekit.bench.neutralise_do import Stage, fall, put_in, stages_of
from refinekit.bench.neutralise_fields import FIELDS
from refinekit.bench.neutralise_heat_say import say_heat
from refinekit.bench.neutralise_liquor import is_liquor, pour_told, spent
from refinekit.bench.neutralise_need import plain_rule, total, wants
from refinekit.bench.neutralise_say import say_drum, say_gas, say_how, say_need, say_portions, say_pours
from refinekit.bench.neutralise_water import say_limits, say_water
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.sludge_parts import dry_g, gel_l, heated, say_solids, share_held
from refinekit.bench.step import Step
from refinekit.bench.work import Work
from refinekit.errors import CannotFollow
from refinekit.ranges import high, likely


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Any) -> Step:
    """Neutralise a spent liquor.

    Args:
        pots: spent liquors, put together
        place: the shop
        told: alkali, target and what is known of the liquor, see FIELDS
    Returns: Step with the alkali, heat, gas, what stays dissolved, sludge; pots "neutral liquor" and "sludge"
    Raises: CannotFollow, there is no liquor, nothing in it, or the base does not get to the pH
    Source: facts/reactions.toml, facts/practice/neutralise.toml
    """
    strange = sorted(told.keys() - {field.arg for field in FIELDS})
    if strange:
        raise TypeError(f"neutralise takes no {', '.join(strange)}")
    work = Work("neutralise", *pots, place=place)
    if not pour_told(work, told) and not pots:
        raise CannotFollow(
            "neutralise has no liquor to work on",
            cure="give --volume 4L --free-acid 1.5mol/L --copper 66g, or a pot with --pot FILE",
        )
    target = _target(work, told)
    fate = plain_rule(work.dissolved, target)
    some = wants(work.dissolved, fate)
    if high(total(some)) <= 0:
        raise CannotFollow(
            "there is neither acid nor metal in it to neutralise", cure="give --free-acid or metals, or another pot"
        )
    stages = stages_of(work, told, some, target)
    say_need(work, some, target)
    say_pours(work, stages, told)
    say_portions(work, some, stages, target, told)
    say_gas(work, stages, some, told)
    say_heat(work, some, stages, fate)
    put_in(work, stages)
    fall(work, some, fate)
    say_water(work, target, told)
    say_limits(work, told, some)
    return _close(work, stages, target, told)


def _close(work: Work, stages: tuple[Stage, ...], target: float, told: dict[str, Any]) -> Step:
    """Sludge with the liquor its gel holds, and the clear liquor above it."""
    fell = {solid: mol for solid, mol in work.solids.items() if high(mol) > 0}
    say_solids(work, fell, told)
    gel = gel_l(work, dry_g(fell), told)
    heated(work, fell, gel)
    say_drum(work, told)
    say_how(work, stages, target, told)
    work.did(f"taken to pH {target:g}")
    title = f"{likely(work.volume_l):.4g} L to pH {target:g} with {' and '.join(stage.base.name for stage in stages)}"
    if fell:
        work.draw_off("sludge", share_held(gel, work.volume_l), fell, work.inert_g, "settled sludge")
    return work.done("neutral liquor" if high(work.volume_l) > 0 or not fell else None, title=title)


def _target(work: Work, told: dict[str, Any]) -> float:
    if "ph" in told:
        return likely(told["ph"])
    weak = told.get("reagent") == "bicarbonate" and not told.get("second_reagent")
    return likely(work.default(None, f"practice/neutralise.target{'_bicarbonate' if weak else ''}", "pH it is taken to"))


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """The spent liquors, but for what was neutralised already and scrubber liquor; a bath only where there is nothing else."""
    done = ("neutral", "filtrate", "scrub")
    return spent([pot for pot in pots if is_liquor(pot) and not pot.name.startswith(done)])


ROOM = Room(
    "neutralise",
    run,
    FIELDS,
    choose,
    "refinekit neutralise --volume 4L --free-acid 1.5mol/L --copper 66g --nickel 7.5g --reagent lime --ph 9.5",
)
"""The verb of neutralising."""
