"""What was seen at the bench, laid on the samples: ranges narrow by observation, never by wish.

"Foil gone after 2.1 mL" says what the gold needed, between the pour before and this one. Every sample of the unknowns is weighed
by how likely it makes what was seen (Bayes' rule: prior samples, times the chance of the sight), and the step is run again over
samples drawn by those weights. A sight that no sample can give says that what was told and what was seen cannot both be true.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.fields import Room
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step, Table
from refinekit.errors import BadQuantity, CannotFollow, RefinekitError
from refinekit.facts.load import fact, table
from refinekit.ranges import Number, Range
from refinekit.shop.ask import Told
from refinekit.shop.doing import Done, take
from refinekit.shop.draws import Draws, normal_share
from refinekit.shop.narrow import left_by, weighted_percentiles
from refinekit.shop.samples import CHUNK, SEED, layers
from refinekit.shop.worlds import varying
from refinekit.units import read

Values = NDArray[np.float64]

NEEDS = {"dissolve": "nitric_used", "denox": "sulfamic_added", "drop": "to_weigh"}
"""Answer of a verb that says, case by case, how much it takes till the end is seen."""
GIVEN = {"dissolve": "nitric_added_l", "denox": "sulfamic_g", "drop": "weigh_g"}
"""Figure of a verb that says how much went in."""
PLAIN = {"drop": {"excess": 1.0}, "dissolve": {}, "denox": {}}
"""Figures set aside while asking what it takes: no excess is needed to see the end."""
KINDS = {"dissolve": ("volume", "mL", 1000.0), "denox": ("mass", "g", 1.0), "drop": ("mass", "g", 1.0)}
"""Kind of the amount, the unit it is said in, and what a base unit is in it."""
KEPT = 400
"""Samples the step is run again over."""
MOST_CHUNKS = 20
"""Chunks drawn while too few samples fit."""


@dataclass(frozen=True, slots=True)
class Sight:
    """One thing seen.

    Args:
        gone: whether the end was seen, or that it was not there yet
        amount: what had gone in by then [mL or g]
        text: as typed
    """

    gone: bool
    amount: float
    text: str


@dataclass(frozen=True, slots=True)
class Seen:
    """A step after what was seen.

    Args:
        done: the step over the samples that fit
        tables: what it narrowed
        says: what to do now
        assumed: what was taken as given
    """

    done: Done
    tables: tuple[Table, ...]
    says: tuple[tuple[str, str], ...]
    assumed: tuple[str, ...]


def read_sights(verb: str, texts: Sequence[str]) -> tuple[Sight, ...]:
    """What was seen, as typed.

    Args:
        verb: dissolve, denox or drop
        texts: as "foil gone after 2.1 mL", "fizz left after 0.8 g"
    Raises: BadQuantity, not written so, or the end seen before it was still not there
    """
    what = next(row["what"] for row in table("practice/unknowns")["sight"] if row["verb"] == verb)
    kind, unit, times = KINDS[verb]
    found = []
    for text in texts:
        match = re.fullmatch(rf"\s*{what}\s+(gone|left)\s+after\s+(.+?)\s*", text, re.IGNORECASE)
        if not match:
            raise BadQuantity(
                f"--seen {text[:60]!r} is not what {verb} can be told",
                cure=f'--seen "{what} gone after 2.1 {unit}", or "{what} left after 1.2 {unit}"',
            )
        reading = read(match[2], kind, name="--seen", unit=unit, above_zero=True)
        found.append(Sight(match[1].lower() == "gone", times * reading.range.likely, text.strip()))
    gone = [one.amount for one in found if one.gone]
    left = [one.amount for one in found if not one.gone]
    if len(gone) > 1:
        raise BadQuantity(f"the {what} went twice", cure="tell --seen once of what is gone, and of what was left before")
    if gone and left and max(left) >= gone[0]:
        raise BadQuantity(
            f"the {what} was gone after {gone[0]:g} {unit} and still there after {max(left):g}",
            cure="the larger amount is the later one",
        )
    return tuple(found)


def chance(need: Values, sights: Sequence[Sight]) -> Values:
    """How likely each sample makes what was seen.

    Args:
        need: what a sample takes till the end is seen [mL or g]
        sights: what was seen
    Returns: chance of the sights, sample by sample [-]
    """
    error = fact("practice/unknowns.seen.error").value
    gone = next((one.amount for one in sights if one.gone), None)
    left = max((one.amount for one in sights if not one.gone), default=None)
    if gone is not None and left is None:
        left = gone * (1 - fact("practice/unknowns.seen.portion").value)
    chances = np.ones_like(need)
    if gone is not None:
        chances = normal_share((gone - need) / (error * gone))
    if left is not None:
        chances = np.minimum(chances, normal_share((need - left) / (error * left)))
    return chances


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


def see(
    room: Room,
    told: Told,
    pots: Sequence[Pot],
    place: Place,
    texts: Sequence[str],
    *,
    names: Sequence[str] = (),
    overrides: Mapping[str, str] | None = None,
    seed: int = SEED,
) -> Seen:
    """A step after what was seen.

    Args:
        room: the verb
        told: what was told, without faults
        pots: pots at hand
        place: the shop
        texts: what was seen, as typed
        names: pots to take, by name
        overrides: typed reasons by code of a stop
        seed: what the samples are drawn from
    Raises: BadQuantity, a sight that cannot be read; CannotFollow, what was told and what was seen cannot both be true
    """
    from refinekit.safety.engine import review
    from refinekit.safety.gear import with_gear

    sights = read_sights(room.name, texts)
    bench = Bench(room, told, pots, place, names)
    values, world, toward, need = fitting(bench, sights, seed)
    weights = chance(need, sights)
    least = fact("practice/unknowns.seen.least_chance").value
    if weights.mean() < least:
        raise contradiction(bench, need, sights)
    rows = kept_rows(need, weights, seed)
    given: dict[str, Number] = {}
    gone = next((one for one in sights if one.gone), None)
    if gone is not None:
        # the end was seen, so in every sample that is kept it was reached: a reading a little low is the reading's error
        amount = np.maximum(gone.amount, need[rows])
        given[GIVEN[room.name]] = amount / KINDS[room.name][2]
    step = with_gear(bench.run({name: column[rows] for name, column in values.items()}, world[rows], toward[rows], **given))
    worlds = world[rows].astype(int)
    passed = tuple(mixed(pot, worlds, toward[rows]) for pot in pots if all(pot is not one for one in bench.taken))
    narrowed = narrowed_table(bench, values, need, weights)
    return Seen(
        Done(step, review(step, place, overrides=overrides or {}), passed),
        (narrowed,),
        tuple(next_lines(room.name, need, weights, sights)),
        (
            f"{left_by(weights):.0f} of {len(need)} samples fit what was seen, seed {seed}",
            *reading_assumed(sights),
            *pots_assumed(bench),
        ),
    )


def fitting(bench: Bench, sights: Sequence[Sight], seed: int) -> tuple[dict[str, Values], Values, Values, Values]:
    """Samples with what each takes, chunk after chunk until enough of them fit what was seen."""
    parts = []
    fit = 0.0
    for number in range(MOST_CHUNKS):
        values, world, toward = bench.drawn(CHUNK, seed + number)
        need = bench.need(values, world, toward)
        parts.append((values, world, toward, need))
        fit += left_by(chance(need, sights))
        if fit >= KEPT or not fit:
            break
    names = parts[0][0]
    together = {name: np.concatenate([part[0][name] for part in parts]) for name in names}
    world, toward, need = (np.concatenate([part[at] for part in parts]) for at in (1, 2, 3))
    return together, world, toward, need


def reading_assumed(sights: Sequence[Sight]) -> list[str]:
    """What was taken as given of the reading."""
    error = fact("practice/unknowns.seen.error").value
    lines = [f"amounts poured are read to {100 * error:g} %"]
    if any(one.gone for one in sights) and all(one.gone for one in sights):
        portion = fact("practice/unknowns.seen.portion").value
        lines.append(f'the last portion was {100 * portion:g} % of it; tell --seen "... left after ..." for the pour before')
    return lines


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


def kept_rows(need: Values, weights: Values, seed: int) -> NDArray[np.intp]:
    """Samples to go on with: the one nearest the middle first, then drawn by weight, evenly spaced along the need."""
    order = np.argsort(need, kind="stable")
    below = np.cumsum(weights[order]) / weights.sum()
    offset = np.random.default_rng([seed, 3]).random()
    drawn = order[np.searchsorted(below, (np.arange(KEPT) + offset) / KEPT).clip(max=len(order) - 1)]
    fitting = np.flatnonzero(weights > 0)
    middle = weighted_percentiles(need, weights, (50.0,))[0]
    near = fitting[np.argsort(np.abs(need[fitting] - middle))[:1]]
    return np.concatenate([near, drawn])


def narrowed_table(bench: Bench, values: Mapping[str, Values], need: Values, weights: Values) -> Table:
    """The unknowns before and after."""
    unit = KINDS[bench.room.name][1]
    rows: list[tuple[str | float | Range, ...]] = [("what it takes", *before_after(need, weights), unit)]
    for arg, axis in bench.told.axes.items():
        if axis in values:
            field = next(one for one in bench.room.fields if one.arg == arg)
            scale, shown = shown_unit(field.kind, field.unit)
            rows.append((field.name.replace("-", " "), *before_after(values[axis] * scale, weights), shown))
    return Table("What was seen says (P5, P50, P95)", ("figure", "before", "after", "unit"), tuple(rows))


def shown_unit(kind: str, unit: str) -> tuple[float, str]:
    """What a base unit is in the unit a field takes, and that unit."""
    if not unit or kind.startswith("strength"):
        return 1.0, unit
    one = read(f"1 {unit}", kind, name=unit).range.likely
    return 1 / one, unit


def before_after(cases: Values, weights: Values) -> tuple[Range, Range]:
    """P5, P50 and P95 of samples as they were, and weighted."""
    plain = weighted_percentiles(cases, np.ones_like(weights), (5.0, 50.0, 95.0))
    kept = weighted_percentiles(cases, weights, (5.0, 50.0, 95.0))
    return Range(plain[0], plain[1], plain[2]), Range(kept[0], kept[1], kept[2])


def next_lines(verb: str, need: Values, weights: Values, sights: Sequence[Sight]) -> list[tuple[str, str]]:
    """What to do now."""
    unit = KINDS[verb][1]
    gone = next((one for one in sights if one.gone), None)
    if gone is not None:
        after = {
            "dissolve": "stop pouring; the nitric left below is all that denox has to take",
            "denox": "stop; no more sulfamic, and never boil on with some left over",
            "drop": "stop; let it settle overnight and test once more before it is poured off",
        }
        return [("now", after[verb])]
    poured = max(one.amount for one in sights)
    low, middle, high = (max(part - poured, 0.0) for part in weighted_percentiles(need, weights, (5.0, 50.0, 95.0)))
    first = fact("practice/general.excess.nitric_gold_first").value if verb == "dissolve" else 1.0
    portion = max(first * low, fact("practice/unknowns.seen.portion").value * poured)
    look = {"dissolve": "fume stopped and foil still there", "denox": "a pinch still fizzes", "drop": "stannous still dark"}[verb]
    pour = min(portion, high) if high else portion
    still = f"low end of what is still wanted, {low:.2g} / {middle:.2g} / {high:.2g} {unit}"
    return [
        ("next charge", f"{pour:.2g} {unit}: {still}"),
        ("look at", f"{look}: tell --seen again with all that went in by then"),
    ]


# ---- what was told and what was seen cannot both be true
STRETCHES = np.geomspace(1.0, 12.0, 100)
"""Times its half range a figure may be off before nothing is said of it any more."""
OTHERS = 20
"""Samples of the other figures looked at beside each."""


def contradiction(bench: Bench, need: Values, sights: Sequence[Sight]) -> CannotFollow:
    """The error that says so, with what is most likely wrong."""
    unit = KINDS[bench.room.name][1]
    seen = "; ".join(one.text for one in sights)
    suspects = sorted(filter(None, (suspect(bench, arg, sights) for arg in bench.told.figures)), key=lambda pair: pair[0])
    blame = (
        f"most likely wrong: {suspects[0][1]}" if suspects else "no single figure told explains it: look at the reading itself"
    )
    return CannotFollow(
        f"what was told and what was seen ({seen}) cannot both be true: by what was told it takes"
        f" {need.min():.3g} to {need.max():.3g} {unit}; {blame}",
        cure="check that figure and the reading (unit, what was already in the dropper), then tell it with a wider range",
    )


def suspect(bench: Bench, arg: str, sights: Sequence[Sight]) -> tuple[float, str] | None:
    """How many times its half range a figure must be off to explain what was seen, and the figure in words; None if it cannot."""
    span = bench.told.figures[arg]
    field = next(one for one in bench.room.fields if one.arg == arg)
    half = max(span.high - span.low, 2 * fact("practice/unknowns.narrow.any").value * abs(span.likely)) / 2
    if not half:
        return None
    offs = span.likely + half * np.concatenate([STRETCHES, -STRETCHES])
    offs = offs[(offs > 0) & (offs <= (np.inf if field.highest is None else field.highest))]
    values, world, toward = bench.drawn(OTHERS, SEED)
    axis = bench.told.axes[arg]
    many = {name: np.tile(column, len(offs)) for name, column in values.items()}
    many[axis] = np.repeat(offs, OTHERS)
    try:
        need = bench.need(many, np.tile(world, len(offs)), np.tile(toward, len(offs)))
    except RefinekitError:
        return None
    likely = chance(need, sights) > fact("practice/unknowns.narrow.least_share").value
    explains = np.abs(many[axis] - span.likely)[likely]
    if not explains.size:
        return None
    times = float(explains.min()) / half
    off = float(many[axis][likely][np.argmin(explains)])
    scale, unit = shown_unit(field.kind, field.unit)
    ends = "/".join(f"{end * scale:g}" for end in dict.fromkeys((span.low, span.likely, span.high)))
    told = f"{field.name.replace('-', ' ')} {ends} {unit}".rstrip()
    return (
        times,
        f"{told}, it would have to be {'more' if off > span.likely else 'less'}, about {off * scale:.2g} {unit}".rstrip(),
    )
