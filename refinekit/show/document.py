"""The one thing every command answers with, whatever look it is given: figures, cautions, pots, and where it all comes from.

A step that is stopped for safety loses its figures here, when the document is made, so that no look can show them; what to wear
stays, for whoever stands beside the pot. What only reckons the air has nothing to weigh or pour: its figures are what the stop
is about, and stay.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field, replace

from refinekit import __version__
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import LEVELS, Answer, Notice, Step, Table
from refinekit.errors import Leak
from refinekit.facts.load import cite, fact, rows, table
from refinekit.ranges import Range, high
from refinekit.record import record
from refinekit.show.text import written_out

CLOSING = "Local codes, permits and licensed practice come first."
"""What every look of a wet step ends with, before the list of what no figure sees."""

WITHHELD = "stopped"
"""Stands where a figure of a stopped step would."""


@record
class Said:
    """A caution, and the step it belongs to.

    Args:
        notice: the caution
        step: name of its step, "" where it is of the whole command [text]
    """

    notice: Notice
    step: str = ""

    @property
    def stops(self) -> bool:
        """Whether it stops its step: a stop nobody has typed a reason against."""
        return self.notice.level == "stop" and not self.notice.reason

    @property
    def lifted(self) -> bool:
        """Whether it is a stop that was lifted by a typed reason."""
        return self.notice.level == "stop" and bool(self.notice.reason)


@record
class Document:
    """An answer. Made by `Document.of`.

    Args:
        command: the verb [text]
        title: what it was asked of [text]
        steps: the steps, each with a name of its own; a stopped one has its name and what to wear, unless it only reckons the air
        notices: every caution, worst first
        inputs: what was told, as typed, by option or key
        place: the shop; None where it does not matter, or nothing is shown
        answers: figures of the whole command, beside those of its steps
        sections: tables of the whole command
        lines: (heading, line) pairs of the whole command
        pots: what stands on the bench afterwards, each under a name of its own; none where a step was stopped
        assumed: what was taken as given
        used_facts: ids of the facts used
        sources: citation of each source used, by key
        stopped: names of the stopped steps
        wet: whether a step handles liquors, gases or reagents
        figures: significant figures shown of answers and tables [-]; None for the usual most
        short: whether a screen shows of each step what is looked for at the bench alone; JSON and CSV are always whole
        version: of the program [text]
    """

    command: str
    title: str = ""
    steps: tuple[Step, ...] = ()
    notices: tuple[Said, ...] = ()
    inputs: Mapping[str, str] = field(default_factory=dict)
    place: Place | None = None
    answers: tuple[Answer, ...] = ()
    sections: tuple[Table, ...] = ()
    lines: tuple[tuple[str, str], ...] = ()
    pots: tuple[Pot, ...] = ()
    assumed: tuple[str, ...] = ()
    used_facts: tuple[str, ...] = ()
    sources: Mapping[str, str] = field(default_factory=dict)
    stopped: frozenset[str] = frozenset()
    wet: bool = False
    figures: int | None = None
    short: bool = False
    version: str = __version__

    @classmethod
    def of(
        cls,
        command: str,
        steps: Sequence[Step] = (),
        *,
        title: str = "",
        notices: Iterable[Notice | tuple[str, Notice]] = (),
        inputs: Mapping[str, str] | None = None,
        place: Place | None = None,
        answers: Iterable[Answer] = (),
        sections: Iterable[Table] = (),
        lines: Iterable[tuple[str, str]] = (),
        pots: Iterable[Pot] | None = None,
        passed_by: Iterable[Pot] = (),
        assumed: Iterable[str] = (),
        used_facts: Iterable[str] = (),
        figures: int | None = None,
        short: bool = False,
    ) -> Document:
        """Make an answer; steps with a stop nobody lifted are emptied of every figure.

        Args:
            command: the verb [text]
            steps: the steps, in order
            title: what it was asked of [text]; left out, that of the only step
            notices: cautions; a bare one is of the only step, or of the whole command where there are none or several; a pair
                names its step. The steps' own are taken in by themselves
            inputs: what was told, as typed
            place: the shop
            answers: figures of the whole command
            sections: tables of the whole command; where a step is stopped, only what still holds, and rows that name it are
                emptied here
            lines: (heading, line) pairs of the whole command
            pots: what stands on the bench afterwards; left out, the last step's pots and those passed by
            passed_by: pots at hand that no step touched
            assumed: what was taken as given by the command, beside what the steps took
            used_facts: ids of facts used by the command, beside those of the steps
            figures: significant figures shown [-], where a command is asked for more than a scale can weigh
            short: whether a screen shows the headlines of each step alone
        Raises: Leak, two steps of one name
        """
        steps = tuple(map(said_plainly, steps))
        if len({step.name for step in steps}) < len(steps):
            raise Leak("two steps of one name in a document", cure="this is a fault of refinekit: report the command")
        said = gathered(steps, (in_figures(one) for one in notices))
        stopped = frozenset(step.name for step in steps if any(one.stops and one.step in ("", step.name) for one in said))
        kept = tuple(emptied(step) if step.name in stopped else step for step in steps)
        alone = len(steps) == 1
        nothing = alone and bool(stopped) and not steps[0].of_air
        last = (*(steps[-1].pots if steps else ()), *passed_by)
        taken = [line if alone else f"{step.name}: {line}" for step in kept for line in step.assumed]
        facts = tuple(dict.fromkeys([*(id for step in kept for id in step.used_facts), *(() if nothing else used_facts)]))
        return cls(
            command=command,
            title="" if nothing else title or (steps[0].title if alone else ""),
            steps=kept,
            notices=said,
            inputs=dict(inputs or {}),
            place=None if nothing else place,
            answers=() if stopped else tuple(answers),
            sections=() if nothing else tuple(without(section, stopped) for section in sections),
            lines=() if nothing else tuple((heading, written_out(line)) for heading, line in lines),
            pots=() if stopped else own_names(last if pots is None else pots),
            assumed=() if nothing else tuple(dict.fromkeys([*assumed, *taken])),
            used_facts=facts,
            sources=sources_of(facts, kept, said),
            stopped=stopped,
            wet=any(is_wet(step) for step in steps),
            figures=figures,
            short=short,
        )

    @property
    def exit_code(self) -> int:
        """0, or 3 where a step was stopped for safety."""
        return 3 if self.stopped else 0

    def of_step(self, name: str) -> tuple[Said, ...]:
        """The cautions of a step."""
        return tuple(one for one in self.notices if one.step == name)

    @property
    def closing(self) -> tuple[str, ...]:
        """The lines every look ends with; none where nothing wet is done and nothing was stopped."""
        from refinekit.safety.gear import closing_list

        return (CLOSING, *closing_list(len(self.steps))) if self.wet or self.stopped else ()


def gathered(steps: Sequence[Step], notices: Iterable[Notice | tuple[str, Notice]]) -> tuple[Said, ...]:
    """Cautions given and the steps' own, each once, worst first; a stop that stands comes before one that was lifted."""
    home = steps[0].name if len(steps) == 1 else ""
    given = [Said(one, home) if isinstance(one, Notice) else Said(one[1], one[0]) for one in notices]
    known = {(one.step, one.notice.level, one.notice.code, one.notice.text) for one in given}
    own = [
        Said(notice, step.name)
        for step in steps
        for notice in step.notices
        if (step.name, notice.level, notice.code, notice.text) not in known
    ]
    return tuple(sorted(dict.fromkeys([*given, *own]), key=lambda one: (-LEVELS.index(one.notice.level), one.lifted)))


def said_plainly(step: Step) -> Step:
    """A step whose sentences have no figure with a power of ten that can be written out."""
    return replace(
        step,
        title=written_out(step.title),
        notices=tuple(map(plain_notice, step.notices)),
        says=tuple((heading, written_out(line)) for heading, line in step.says),
        answers=tuple(
            replace(one, because=plain) if (plain := written_out(one.because)) != one.because else one for one in step.answers
        ),
        assumed=tuple(map(written_out, step.assumed)),
        workings=tuple(
            replace(one, arithmetic=written_out(one.arithmetic), result=written_out(one.result)) for one in step.workings
        ),
    )


def plain_notice(notice: Notice) -> Notice:
    """A caution, the same way."""
    return replace(notice, text=written_out(notice.text), do=written_out(notice.do))


def in_figures(given: Notice | tuple[str, Notice]) -> Notice | tuple[str, Notice]:
    """A caution as it was given, alone or with the step it belongs to."""
    return plain_notice(given) if isinstance(given, Notice) else (given[0], plain_notice(given[1]))


def emptied(step: Step) -> Step:
    """A stopped step: its name and what to wear, or, where it only reckons the air, all but what there is to weigh and pour."""
    from refinekit.safety.gear import gear_of

    return replace(step, reagents=(), pots=()) if step.of_air else Step(step.name, says=gear_of(step))


def is_wet(step: Step) -> bool:
    """Whether a step handles liquors, gases or reagents."""
    liquor = any(high(pot.volume_l) > 0 for pot in (*step.before, *step.pots))
    return liquor or bool(step.reagents or step.gases or step.reactions)


def without(section: Table, stopped: Iterable[str]) -> Table:
    """A table whose rows that name a stopped step keep only what stands before the name, and the name."""
    names = set(stopped)

    def emptied(row: tuple[str | float | Range, ...]) -> tuple[str | float | Range, ...]:
        at = next((number for number, cell in enumerate(row) if isinstance(cell, str) and cell in names), None)
        if at is None:
            return row
        return tuple(cell if number <= at and isinstance(cell, str) else WITHHELD for number, cell in enumerate(row))

    return Table(section.title, section.columns, tuple(emptied(row) for row in section.rows))


def own_names(pots: Iterable[Pot]) -> tuple[Pot, ...]:
    """Pots each under a name of its own: a second "bath" becomes "bath 2"."""
    named: dict[str, Pot] = {}
    for pot in pots:
        name, count = pot.name, 1
        while name in named:
            count += 1
            name = f"{pot.name} {count}"
        named[name] = pot if count == 1 else pot.renamed(name)
    return tuple(named.values())


def source_key(id: str) -> str:
    """Source key of a fact, also of one that stands in a list (a reaction, a reagent, a density table); "" where it has none."""
    name, _, path = id.partition(".")
    try:
        return fact(id).source
    except (LookupError, TypeError, ValueError):  # no single figure of that id: it may be a row of a list, or a whole file
        pass
    try:
        found = dict(rows(table(name)))
    except LookupError:
        return ""
    row = found.get(path) or next((one for key, one in found.items() if key.endswith(f".{path}")), {})
    return str(row.get("source", ""))


def reaction_row(id: str) -> Mapping[str, str]:
    """The facts' row of a reaction; one written out has its text alone."""
    row = next((row for row in table("reactions")["reaction"] if row["id"] == id), None)
    return row or {"id": "", "text": id, "source": ""}


def citation(source: str) -> str:
    """Full citation of a source key; a text that is no key stands for itself."""
    try:
        return cite(source)
    except LookupError:
        return source


def sources_of(facts: Iterable[str], steps: Iterable[Step], said: Iterable[Said]) -> dict[str, str]:
    """Citation of every source used, by key."""
    keys = [source_key(id) for id in facts]
    keys += [reaction_row(id)["source"] for step in steps for id in step.reactions]
    keys += [source_key(id) for step in steps for line in step.workings for id in line.facts]
    keys += [one.notice.source for one in said]
    return {key: citation(key) for key in dict.fromkeys(keys) if key}
