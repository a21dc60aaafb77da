"""One step that can be run over any samples of what it was told, and asked what each takes till the end is seen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.fields import Room
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.errors import CannotFollow
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range
from refinekit.shop.ask import Told
from refinekit.shop.doing import take
from refinekit.shop.draws import Draws
from refinekit.shop.samples import layers
from refinekit.shop.sights import KINDS, Values
from refinekit.shop.worlds import varying
from refinekit.units import read

NEEDS = {"dissolve": "nitric_used", "denox": "sulfamic_added", "drop": "to_weigh"}
"""Answer of a verb that says, case by case, how much it takes till the end is seen."""
PLAIN = {"drop": {"excess": 1.0}, "dissolve": {}, "denox": {}}
"""Figures set aside while asking what it takes: no excess is needed to see the end."""


class Bench:
    """One step that can be run over any samples of what it was told.

    Args:
        room: the verb
        told: what was told
        pots: pots at hand, as they came
        place: the shop
        names: pots to take, by name
    """

    def __init__(self, room: Room, told: Told, pots: Sequence[Pot], place: Place, names: Sequence[str]) -> None:
        self.room, self.told, self.place = room, told, place
        self.taken = take(pots, room, names, told.plain)
        ranges = told.ranges()
        self.ranges = ranges
        self.unknowns = [name for name, span in ranges.items() if not span.is_point]
        worlds = max((pot.cases for pot in self.taken), default=1)
        self.worlds = worlds
        self.reach = reach_of(self.taken)
        spans = tuple(ranges[name] for name in self.unknowns)
        shapes = ("triangular",) * len(spans)
        self.draws = Draws(tuple(self.unknowns), spans, shapes, np.eye(len(spans)), fact("practice/unknowns.draw.sigmas").value)

    def drawn(self, count: int, seed: int) -> tuple[dict[str, Values], Values, Values]:
        """Samples of the figures told, and for each the world of the pots: its number, and how far towards it."""
        rng = np.random.default_rng([seed, 2])
        even = layers(count, len(self.unknowns) + 1, rng)
        toward = 1 - np.sqrt(1 - even[:, -1])  # likely the more likely, as in a triangle
        world = np.zeros(count, dtype=np.intp)
        if self.worlds > 1:  # and the far side of a triangle holds the more of it
            world = 1 + rng.choice(self.worlds - 1, size=count, p=self.reach / self.reach.sum())
        return self.draws.values(even[:, :-1]), world.astype(float), toward

    def run(self, values: Mapping[str, Values], world: Values, toward: Values, **given: Number) -> Step:
        """The step over samples; figures given stand in for what was told."""
        told = replace(self.told, figures={**self.told.figures}, axes={**self.told.axes})
        numbers: dict[str, Number] = {name: span.likely for name, span in self.ranges.items()}
        numbers.update(values)
        for arg, value in given.items():
            told.figures[arg] = Range.over(value)
            told.axes[arg] = f"given {arg}"
            numbers[f"given {arg}"] = value
        pots = tuple(mixed(pot, world.astype(int), toward) for pot in self.taken)
        return self.room.run(pots, place=self.place, **told.laid(numbers))

    def need(self, values: Mapping[str, Values], world: Values, toward: Values) -> Values:
        """What each sample takes till the end is seen [mL or g]. Raises: CannotFollow, the step has no such figure."""
        verb = self.room.name
        step = self.run(values, world, toward, **PLAIN[verb])
        answer = next((one for one in step.answers if one.name == NEEDS[verb]), None)
        if answer is None:
            raise CannotFollow(
                f"{verb} by this way has no end that --seen could tell",
                cure="--seen goes with nitric, sulfamic, and any reductant",
            )
        to_said = KINDS[verb][2] * read(f"1 {answer.unit}", KINDS[verb][0], name=NEEDS[verb]).range.likely
        cases = answer.range.cases
        return to_said * (np.full(len(toward), answer.range.likely) if cases is None else cases)


def reach_of(pots: Sequence[Pot]) -> Values:
    """How far each further world of some pots is from their likely one, over all their figures together [-].

    A figure with a low and a high world is then drawn as its triangle: as often on either side as that side is wide.
    """
    figures = np.column_stack([figure for pot in pots for figure in varying(pot)] or [np.zeros(1)])
    if len(figures) == 1:
        return np.ones(1)
    off = (figures[1:] - figures[0]) / np.ptp(figures, axis=0)
    return np.asarray(np.maximum(np.sqrt((off**2).mean(axis=1)), np.finfo(float).tiny))


def mixed(pot: Pot, world: NDArray[np.intp], toward: Values) -> Pot:
    """A pot part of the way from its likely case to one of its others, sample by sample: sums of what is there stay sums."""

    def mix(figure: Number) -> Number:
        if not isinstance(figure, np.ndarray) or not figure.ndim:
            return figure
        there: Number = figure[0] + toward * (figure[world] - figure[0])
        return there

    return replace(
        pot,
        volume_l=mix(pot.volume_l),
        inert_g=mix(pot.inert_g),
        dissolved_mol={name: mix(mol) for name, mol in pot.dissolved_mol.items()},
        solids_mol={name: mix(mol) for name, mol in pot.solids_mol.items()},
    )


def pots_assumed(bench: Bench) -> list[str]:
    """How pots that come with ranges were drawn, and how good that is."""
    if bench.worlds < 2:
        return []
    off = fact("practice/unknowns.seen.pots_off").range
    return [
        f"a pot keeps its ends, not what moves them: drawn between its likely case and its {bench.worlds - 1} others, the ends"
        f" of gold come within {100 * off.low:g} % and its middle within {100 * off.likely:g} % of drawing all of it anew, the"
        f" middle of leftover nitric may be {100 * off.high:g} % low"
    ]
