"""Neutralising spent acid: how much alkali, how hot, how much gas, what is left in the water, what the drum will hold."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.fields import Room, refuse_strange
from refinekit.bench.neutralise_bases import Base, base_of
from refinekit.bench.neutralise_do import Stage, do_stage, settle
from refinekit.bench.neutralise_fields import FIELDS
from refinekit.bench.neutralise_heat_say import say_heat
from refinekit.bench.neutralise_liquor import is_liquor, pour_told, spent
from refinekit.bench.neutralise_need import part_way, plain_rule, total, wants
from refinekit.bench.neutralise_say import say_drum, say_gas, say_how, say_need, say_portions, say_pours
from refinekit.bench.neutralise_water import say_balanced, say_limits, say_water, say_window, yardsticks
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.sludge_parts import dry_g, gel_l, heated, say_solids, share_held
from refinekit.bench.step import Step
from refinekit.bench.waste_law import say_law
from refinekit.bench.work import Work
from refinekit.chemistry.equation_text import NONMETALS
from refinekit.chemistry.species import parse
from refinekit.errors import CannotFollow, OutOfRange
from refinekit.ranges import Number, high, in_words, likely, low

Bases = tuple[tuple[Base, Number], ...]


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, glance: bool = False, **told: Any) -> Step:
    """Neutralise a spent liquor.

    Args:
        pots: spent liquors, put together
        place: the shop
        glance: whether only figures case by case are wanted: the same fate of the pot, no spread of constants and no curves
        told: alkali, target and what is known of the liquor, see FIELDS
    Returns: Step with the alkali, heat, gas, what stays dissolved, sludge; pots "neutral liquor" and "sludge"
    Raises: CannotFollow, there is no liquor, nothing in it, or the base does not get to the pH
    Source: facts/reactions.toml, facts/practice/neutralise.toml; by balances, facts/equilibrium
    """
    refuse_strange("neutralise", told, {field.arg for field in FIELDS})
    work = Work("neutralise", *pots, place=place)
    if not pour_told(work, told) and not pots:
        raise CannotFollow(
            "neutralise has no liquor to work on",
            cure="give --volume 4L --free-acid 1.5mol/L --copper 66g, or a pot with --pot FILE",
        )
    _refuse_dry(work)
    target, asked = _target(work, told)
    plain = wants(work.dissolved, plain_rule(work.dissolved, target))
    if high(total(plain)) <= 0:
        raise CannotFollow(
            "there is neither acid nor metal in it to neutralise", cure="give --free-acid or metals, or another pot"
        )
    rough = glance and not told.get("best") and not told.get("open") and _by(work, told) != "charge"
    stages, judged = (_glanced(work, told, target, asked), ()) if rough else _stages(work, told, target, asked)
    target = stages[-1].to_ph
    say_need(work, stages, plain, target, judged[-1] if judged else None)
    say_pours(work, stages, total(plain))
    say_portions(work, stages)
    say_gas(work, stages, judged, told)
    say_heat(work, stages, curve=not glance)
    settle(work)
    if judged:
        say_balanced(work, judged[-1], told)
    else:
        say_water(work, target, told)
    say_limits(work, told)
    if told.get("side_by_side") and not glance:
        from refinekit.bench.neutralise_ways import say_side_by_side

        say_side_by_side(work, run, pots, place, told)
    say_law(work, work.place.law if work.place.law == "us" else "none", ph=target)
    return _close(work, stages, target, told)


def _target(work: Work, told: Mapping[str, Any]) -> tuple[float, bool]:
    """The pH it is taken to, and whether somebody asked for it."""
    if "ph" in told:
        return likely(told["ph"]), True
    weak = told.get("reagent") == "bicarbonate" and not told.get("second_reagent")
    return likely(work.default(None, f"practice/neutralise.target{'_bicarbonate' if weak else ''}", "pH it is taken to")), False


def _stages(work: Work, told: Mapping[str, Any], target: float, asked: bool) -> tuple[tuple[Stage, ...], tuple[Any, ...]]:
    """Every stretch of the way done, and what the balances said of each; by the plain rule, nothing said."""
    if _by(work, told) == "charge":
        done = []
        for bases, to_ph, when in _stretches(work, told, target):
            on_the_way = when.startswith("first")
            fate = part_way(work.dissolved, to_ph) if on_the_way else plain_rule(work.dissolved, to_ph)
            done.append(do_stage(work, bases, fate, to_ph, when))
        return tuple(done), ()
    from refinekit.bench.neutralise_chart import draw, way_of
    from refinekit.bench.neutralise_judge import judge, needs_litres, window_of

    needs_litres(work, told)
    window = window_of(work, yardsticks(told))
    if window is not None:
        say_window(work, window, told)
        if told.get("best"):
            target, asked = float(window.ph[0]), True
    elif told.get("best"):
        raise CannotFollow("no metal in it has a yardstick, so no pH is best", cure="leave --best out, or give another --limits")
    count = _count(work, told)
    stages, judged, ways = [], [], []
    aged, open_air = bool(told.get("aged")), bool(told.get("open"))
    if open_air:
        work.say("watch for", "left open the air's carbon dioxide brings the pH down for days: read it again, and top it up")
    for bases, to_ph, when in _stretches(work, told, target):
        said = judge(work, bases, to_ph, asked=asked or when.startswith("first"), portions=count, aged=aged, open_air=open_air)
        judged.append(said)
        taken = said.alkali_mol.likely
        ways.append(way_of(work, bases, said.to_ph, taken, last=when != "first", aged=aged, along=said.along))
        stages.append(do_stage(work, bases, said.fate, said.to_ph, when, phs=said.phs, lean=said.lean, open_air=open_air))
    draw(work, ways)
    return tuple(stages), tuple(judged)


def _refuse_dry(work: Work) -> None:
    """Metals or ammonium in no water have no pH; acid alone needs as much alkali in any amount of water. Raises: CannotFollow."""
    others = (ion for ion, mol in work.dissolved.items() if _has_a_ph(ion) and high(mol) > 0)
    if low(work.volume_l) <= 0 and any(others):
        raise CannotFollow("it is told what is in the liquor, but not how much liquor", cure="add --volume, as in --volume 4L")


def _has_a_ph(ion: str) -> bool:
    """Whether an ion takes up alkali at a pH of its own: a metal in whatever ion, or ammonium."""
    made_of = parse(ion)
    return ion != "H^+" and (made_of.charge > 0 or not made_of.elements.keys() <= NONMETALS)


def _glanced(work: Work, told: Mapping[str, Any], target: float, asked: bool) -> tuple[Stage, ...]:
    """Every stretch of the way done by the likely constants alone."""
    from refinekit.bench.neutralise_judge import glance, needs_litres

    needs_litres(work, told)
    aged, open_air = bool(told.get("aged")), bool(told.get("open"))
    done = []
    for bases, to_ph, when in _stretches(work, told, target):
        asked_for = asked or when.startswith("first")
        fate, reached = glance(work, bases, to_ph, asked=asked_for, aged=aged, open_air=open_air)
        done.append(do_stage(work, bases, fate, reached, when, open_air=open_air))
    return tuple(done)


def _by(work: Work, told: Mapping[str, Any]) -> str:
    if told.get("by"):
        return str(told["by"])
    if np.all(np.asarray(work.volume_l) > 0):
        return "equilibrium"
    work.assume("by the plain rule of charges, as no litres are told")
    return "charge"


def _count(work: Work, told: Mapping[str, Any]) -> int:
    return max(
        1, int(likely(work.default(told.get("portions"), "practice/neutralise.portions", "portions the alkali goes in by")))
    )


def _stretches(work: Work, told: Mapping[str, Any], target: float) -> tuple[tuple[Bases, float, str], ...]:
    """The alkalis: one, one after the other, or mixed.

    Raises: OutOfRange, the first pH is past the target
    """
    first = base_of(work, str(told.get("reagent") or "caustic"), told)
    if not told.get("second_reagent"):
        return ((((first, 1.0),), target, "to the pH"),)
    second = base_of(work, str(told["second_reagent"]), told, "second ")
    if "second_share" in told:
        share = told["second_share"]
        return ((((first, 1.0 - share), (second, share)), target, "mixed"),)
    change = likely(work.default(told.get("first_ph"), "practice/neutralise.change", "pH at which the second alkali takes over"))
    if change >= target:
        raise OutOfRange(f"the first alkali goes to pH {change:g}, past the target {target:g}", cure="give --first-ph below --ph")
    return ((((first, 1.0),), change, "first"), (((second, 1.0),), target, "then"))


def _close(work: Work, stages: tuple[Stage, ...], target: float, told: Mapping[str, Any]) -> Step:
    """Sludge with the liquor its gel holds, and the clear liquor above it."""
    fell = {solid: mol for solid, mol in work.solids.items() if high(mol) > 0}
    say_solids(work, fell, told)
    gel = gel_l(work, dry_g(fell), told)
    heated(work, fell, gel)
    say_drum(work, told)
    say_how(work, stages, target)
    work.did(f"taken to pH {target:.3g}")
    names = dict.fromkeys(part.base.name for stage in stages for part in stage.parts)
    title = f"{in_words(likely(work.volume_l), 'L')} to pH {target:.3g} with {' and '.join(names)}"
    if fell:
        if likely(gel) >= likely(work.volume_l):
            work.say("left over", "there is no clear liquor over it: all of it is gel, to be drained or pressed")
        work.draw_off("sludge", share_held(gel, work.volume_l), fell, work.inert_g, "settled sludge")
    return work.done("neutral liquor" if high(work.volume_l) > 0 or not fell else None, title=title)


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
    draws=True,
    glances=True,
)
"""The verb of neutralising."""
