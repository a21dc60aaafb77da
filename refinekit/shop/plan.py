"""The plan: every step of a batch from one pot to the next, in one pass over all its ranges."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from refinekit.bench.fields import Field, Room
from refinekit.bench.lot_items import is_item
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Notice, Step
from refinekit.errors import RefinekitError, raise_all
from refinekit.facts.load import fact
from refinekit.ranges import MOST_CORNERS, Ends, Number, Range, corners, leading, spread
from refinekit.record import record
from refinekit.shop.ask import Told, listen
from refinekit.shop.batch import Batch
from refinekit.shop.batch_steps import StepAsk
from refinekit.shop.doing import Done, take
from refinekit.shop.draws import groups_of, in_words
from refinekit.shop.place import place_of
from refinekit.shop.place_fields import PLACE_FIELDS
from refinekit.shop.rooms import room

NEGLIGIBLE = 1e-3
"""Part of the biggest swing under which an input is not worth a line."""
OF_THE_LOT = ("items", "silver-in-balance", "wear")
"""What the account at the end of a plan takes from the lot, to share out by item what was found."""


@record
class Planned:
    """One step of a plan.

    Args:
        ask: what was asked
        done: the step with its cautions; None where it was left out
        left_out: why it was left out, "" where it was not
    """

    ask: StepAsk
    done: Done | None
    left_out: str = ""


@record
class Plan:
    """A batch reckoned through.

    Args:
        batch: the file
        place: the shop
        steps: the lot first, then every step in order
        pots: what stands on the bench at the end
        ends: which end each unknown stands at, case by case; array (cases, unknowns) of 0, 0.5, 1
        unknowns: names of the unknowns, as columns of `ends`
        assumed: what was taken as given
        used_facts: facts that stood in for what was not told
        stopped_at: label of the step that stopped it, "" where it went through
        before: what stood on the bench before
    """

    batch: Batch
    place: Place
    steps: tuple[Planned, ...]
    pots: tuple[Pot, ...]
    ends: np.ndarray[tuple[int, int], np.dtype[np.float64]]
    unknowns: tuple[str, ...]
    assumed: tuple[str, ...]
    used_facts: tuple[str, ...]
    stopped_at: str = ""
    before: tuple[Pot, ...] = ()

    def done_steps(self) -> tuple[Step, ...]:
        """The steps that were reckoned."""
        return tuple(one.done.step for one in self.steps if one.done)

    def notices(self) -> tuple[tuple[str, Notice], ...]:
        """Every caution with the name of its step."""
        return tuple((one.done.step.name, notice) for one in self.steps if one.done for notice in one.done.notices)


@record
class Heard:
    """A batch file with every figure of it read: what a plan is reckoned from, once or many times.

    Args:
        batch: the file
        place: the shop
        asks: the lot first, then every step
        tolds: what each of them is told
        ranges: every figure by the name of its axis
        unknowns: axes that have a range, in the order of the columns of samples
        group: of each unknown, the column of `Plan.ends` it moves with
        assumed: what was taken as given of the place; what was of a step is in `tolds`
        used_facts: facts that stood in for what was not told
        before: what stands on the bench before, each without ranges: the shop's bath
    """

    batch: Batch
    place: Place
    asks: tuple[StepAsk, ...]
    tolds: tuple[Told, ...]
    ranges: Mapping[str, Range]
    unknowns: tuple[str, ...]
    group: tuple[int, ...]
    assumed: tuple[str, ...]
    used_facts: tuple[str, ...]
    before: tuple[Pot, ...] = ()

    @property
    def groups(self) -> tuple[str, ...]:
        """Names of the groups of unknowns that move as one, most of them of one unknown."""
        members: dict[int, list[str]] = {}
        for name, at in zip(self.unknowns, self.group, strict=True):
            members.setdefault(at, []).append(in_words(name))
        return tuple(" with ".join(names) for names in members.values())

    def first(self, count: int) -> Heard:
        """The lot and the steps after it, so many in all."""
        return replace(self, asks=self.asks[:count], tolds=self.tolds[:count])

    def laid(self, ends: Ends) -> dict[str, Number]:
        """Every figure over the corners, by the name of its axis."""
        return spread(self.ranges, ends=ends[:, list(self.group)])


def hear_all(batch: Batch, pots: Sequence[Pot] = ()) -> Heard:
    """Read every figure of a batch.

    Args:
        batch: the file
        pots: what stands on the bench before, each without ranges: the shop's bath
    Raises: BadFile, with every figure of the file that cannot be read
    """
    place, place_told = place_of(PLACE_FIELDS, batch.place, label=lambda key: batch.labels.get(f"shop.{key}", f"shop, {key}"))
    asks = (StepAsk("lot", batch.lot, label=f"{batch.name}, lot"), *batch.steps)
    tolds = tuple(hear(batch, ask, number) for number, ask in enumerate(asks))
    raise_all([fault for told in (place_told, *tolds) for fault in told.faults])
    ranges: dict[str, Range] = {}
    for told in tolds:
        ranges.update(told.ranges())
    unknowns = tuple(name for name, figure in ranges.items() if not figure.is_point)
    facts = dict.fromkeys([id for told in tolds for id in told.facts])
    group = groups_of(batch, asks, tolds, unknowns)
    return Heard(batch, place, asks, tolds, ranges, unknowns, group, tuple(place_told.assumed), tuple(facts), tuple(pots))


def run_plan(batch: Batch, pots: Sequence[Pot] = ()) -> Plan:
    """Reckon a batch through.

    Args:
        batch: the file
        pots: what stands on the bench before, each without ranges: the shop's bath
    Raises: BadFile, with every figure of the file that cannot be read; CannotFollow, a step asked for that has nothing to work on
    """
    return reckon(hear_all(batch, pots))


def reckon(heard: Heard) -> Plan:
    """Reckon a batch that was read. Raises: CannotFollow, a step asked for that has nothing to work on."""
    names = heard.groups
    ends = corners(len(names))
    if len(names) > MOST_CORNERS:
        ends = leading(ends, _first_look(heard, heard.laid(ends)))
    walked = walk(heard, heard.laid(ends))
    return Plan(
        heard.batch,
        heard.place,
        walked.steps,
        walked.pots,
        ends,
        names,
        _assumed(heard, walked, ends),
        heard.used_facts,
        walked.stopped_at,
        heard.before,
    )


def _assumed(heard: Heard, walked: Walked, ends: Ends) -> tuple[str, ...]:
    """What was taken as given: of the place, and of each step that was reckoned, under the name it has in the plan."""
    own = [
        f"{one.done.step.name}: {line}"
        for one, told in zip(walked.steps, heard.tolds, strict=True)
        if one.done
        for line in told.assumed
    ]
    return tuple(dict.fromkeys([*heard.assumed, *own, *_corners_run(ends)]))


def _corners_run(ends: Ends) -> tuple[str, ...]:
    """What is said of the corners where not all of them are run."""
    unknowns = ends.shape[1]
    if unknowns <= MOST_CORNERS:
        return ()
    off = fact("practice/unknowns.corners.off").value
    return (
        f"{unknowns} unknowns have {2**unknowns} corners: those that lead any figure are run; tried against all of them the ends"
        f" were off by {100 * off:g} % of their span at most",
    )


def _first_look(heard: Heard, numbers: Mapping[str, Number]) -> list[Number]:
    """Every figure that is reckoned case by case, as far as the plan goes: what is wrong with it is said by the walk itself."""
    pots = heard.before
    figures: list[Number] = []
    for ask, told in zip(heard.asks, heard.tolds, strict=True):
        taken = take(pots, room(ask.verb), ask.take, told.plain)
        if not taken and ask.usual:
            continue
        try:
            step = _reckoned(ask, taken, told, numbers, heard.place, glance=True)
        except RefinekitError:
            break
        figures += [one.range.cases for one in step.answers if one.range.cases is not None]
        figures += [pot.element_g("Au") for pot in step.pots]
        pots = with_new(left_alone(pots, taken), step.pots)
    return figures


def _reckoned(
    ask: StepAsk, taken: Sequence[Pot], told: Told, numbers: Mapping[str, Number], place: Place, *, glance: bool = False
) -> Step:
    """A step as its room has it. Raises: what the room raises, with the place in the file before it."""
    the_room = room(ask.verb)
    how = {"glance": True} if glance and the_room.glances else {}
    try:
        return the_room.run(taken, place=place, **told.laid(numbers), **how)
    except RefinekitError as fault:
        raise type(fault)(f"{ask.label}: {fault.what}", cure=fault.cure) from None


def left_alone(pots: Sequence[Pot], taken: Sequence[Pot]) -> tuple[Pot, ...]:
    """The pots a step does not touch."""
    return tuple(pot for pot in pots if all(pot is not one for one in taken))


def hear(batch: Batch, ask: StepAsk, number: int) -> Told:
    """What a step is told, by its own keys, then by the shelf, then by the facts."""
    the_room = room(ask.verb)
    of_lot = {key: batch.lot[key] for key in OF_THE_LOT if ask.verb == "account" and key in batch.lot}
    texts = {**from_shelf(batch, the_room, ask.texts), **of_lot, **ask.texts}

    def label(key: str) -> str:
        return batch.labels.get(f"lot.{key}", f"{batch.name}, lot, {key}") if ask.verb == "lot" else f"{ask.label}, {key}"

    def axis(arg: str) -> str:
        if of_lot and (is_item(arg) or arg.replace("_", "-") in of_lot):
            return f"lot: {arg}"  # the account shares out by the very figures the lot was weighed in by
        for one in the_room.fields:
            if one.arg == arg and one.name not in ask.texts and one.kind.startswith("strength"):
                return f"strength of {one.kind.partition(':')[2]} on the shelf"
        return f"{ask.verb} {number}: {arg}" if ask.verb != "lot" else f"lot: {arg}"

    return listen(the_room.fields, texts, label=label, axis=axis)


def from_shelf(batch: Batch, the_room: Room, texts: Mapping[str, object]) -> dict[str, object]:
    """Strengths and goodness of the bottles on the shelf that a room would use."""
    found: dict[str, object] = {}
    for one in the_room.fields:
        bottle = batch.shelf.get(_bottle_key(one, texts), {})
        if one.kind.startswith("strength:") and one.shelf and "strength" in bottle:
            found[one.name] = bottle["strength"]
        elif one.bottle_from and "goodness" in bottle:
            found[one.name] = bottle["goodness"]
    return found


def _bottle_key(one: Field, texts: Mapping[str, object]) -> str:
    """Key of the reagent a field speaks of."""
    from refinekit.facts.load import table

    if one.bottle_from:
        return one.bottle_from(texts)
    if one.kind.startswith("strength:"):
        solute = one.kind.partition(":")[2]
        rows = table("reagents")["reagent"]
        return next((row["key"] for row in rows if row.get("solute") == solute and row["form"] == "liquor"), "")
    return ""


@record
class Walked:
    """The steps as reckoned, what stands on the bench then, and the step that stopped it ("" for none)."""

    steps: tuple[Planned, ...]
    pots: tuple[Pot, ...]
    stopped_at: str = ""


def walk(heard: Heard, numbers: Mapping[str, Number], *, judged: bool = True, lot_share: float = 1.0) -> Walked:
    """Every step over the cases of `numbers`.

    Args:
        heard: the batch
        numbers: every figure by the name of its axis, as `Heard.laid` gives them
        judged: whether the safety rules look at each step; without it nothing is stopped, and no figure of it may be shown
        lot_share: how much of the lot goes on from the first step [-]
    Raises: CannotFollow, a step asked for that has nothing to work on
    """
    from refinekit.safety.engine import review
    from refinekit.safety.gear import with_gear
    from refinekit.safety.lift import remembered

    pots = heard.before
    planned: list[Planned] = []
    for position, (ask, told) in enumerate(zip(heard.asks, heard.tolds, strict=True)):
        taken = take(pots, room(ask.verb), ask.take, told.plain)
        if not taken and ask.usual:
            planned.append(Planned(ask, None, "nothing for it to work on"))
            continue
        step = _reckoned(ask, taken, told, numbers, heard.place)
        step = replace(with_gear(step), name=unused_name(step.name, planned))
        notices = review(step, heard.place, overrides=ask.overrides) if judged else ()
        step = remembered(step, notices)
        untouched = left_alone(pots, taken)
        new = step.pots if position or lot_share == 1.0 else tuple(pot.scaled(lot_share) for pot in step.pots)
        pots = with_new(untouched, new)
        planned.append(Planned(ask, Done(step, notices, untouched)))
        if any(notice.level == "stop" and not notice.reason for notice in notices):
            rest = tuple(Planned(later, None, f"not reckoned: waits for {ask.label}") for later in heard.asks[position + 1 :])
            return Walked((*planned, *rest), pots, ask.label)
    return Walked(tuple(planned), pots)


def unused_name(name: str, planned: Sequence[Planned]) -> str:
    """A step's name, numbered where the verb comes more than once."""
    names = {one.done.step.name for one in planned if one.done}
    count = 1
    while (candidate := name if count == 1 else f"{name} {count}") in names:
        count += 1
    return candidate


def with_new(pots: Sequence[Pot], new: Sequence[Pot]) -> tuple[Pot, ...]:
    """Pots at hand and new ones, each under a name of its own."""
    names = {pot.name for pot in pots}
    named: list[Pot] = list(pots)
    for pot in (one for one in new if not one.is_empty):
        name, count = pot.name, 1
        while name in names:
            count += 1
            name = f"{pot.name} {count}"
        names.add(name)
        named.append(pot if name == pot.name else pot.renamed(name))
    return tuple(named)


def hangs_on(plan: Plan, figure: Number, count: int = 3) -> list[tuple[str, float]]:
    """The unknowns that move a figure most.

    Args:
        plan: the plan
        figure: a figure of its run, over the cases
        count: how many are wanted [-]
    Returns: name and swing: with it high less with it low, over the corners or alone [in the figure's unit]
    """
    if not isinstance(figure, np.ndarray) or not figure.ndim:
        return []
    ends = plan.ends
    if ends.shape[1] > MOST_CORNERS:  # each input alone: the other corners were picked for other figures
        alone = slice(3, 3 + 2 * ends.shape[1])
        ends, figure = ends[alone], figure[alone]
    swings = []
    for column, name in enumerate(plan.unknowns):
        at = ends[:, column]
        swings.append((name, float(figure[at == 1].mean() - figure[at == 0].mean())))
    biggest = max((abs(swing) for _, swing in swings), default=0.0)
    kept = [pair for pair in swings if abs(pair[1]) > NEGLIGIBLE * biggest]
    return sorted(kept, key=lambda pair: -abs(pair[1]))[:count]
