"""The look for a person at the bench: cautions, then what to measure out, then the rest. Made to be read with wet gloves on.

Nothing is cut off at any width: columns turn into lines under each other where they do not fit.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from refinekit.bench.step import Answer, Chart, Gas, Reagent, Step, Table
from refinekit.facts.load import fact, table
from refinekit.ranges import Range
from refinekit.show import blocks
from refinekit.show.blocks import Column
from refinekit.show.cautions import INDENT, caution_lines, lifted_line
from refinekit.show.cells import laid
from refinekit.show.chart import chart_lines
from refinekit.show.convert import measured_in, range_in, temperature_in
from refinekit.show.document import Document, Said
from refinekit.show.headlines import aside, short_answers, short_tables
from refinekit.show.rounding import MARK, figure, range_text
from refinekit.show.text import DASH, acted_on, can, cleaner, in_words
from refinekit.show.working import said_unit, working_text

LABEL = 12
"""Cells of the headings at the left: vessel, watch for, done when."""
MORE = "every figure of every step: --full; the sums behind them: --show-working; for a spreadsheet or a script: --csv, --json"
"""Where the rest of a short screen is."""
PARTS = 3
"""Most parts a table too wide for the screen is cut into; one that would take more is read row by row."""
MARKED = re.compile(r"\d\*(?= |$|[–/])")
ACTED_ON = "the end of the range that is acted on"
"""What the mark behind a figure means, said once where one stands."""
SAID = ("verdict", "look first", "do instead", "vessel", "gear", "how", "watch for", "done when", "left over", "in law", "next")
"""Headings in the order they are wanted at the bench; others come after these."""
STYLES = {"STOP": "bold bright_white on red", "WARN": "bold black on yellow", "note": "bold"}
REAGENTS = (
    Column("to weigh and pour", style="bold"),
    Column("MEASURE OUT", whole=True, style="bold"),
    Column("needed (bare)", whole=True),
    Column("excess"),
    Column("because"),
)


class Screen:
    """A document being laid out.

    Args:
        document: the answer
        width: columns of the terminal [cells]; at least 20
        units: metric, troy or us
        encoding: of the stream [text]
    """

    def __init__(self, document: Document, *, width: int, units: str, encoding: str) -> None:
        self.document = document
        self.width = width
        self.units = units
        self.clean = cleaner(encoding)
        self.dash = DASH if can(encoding, DASH) else "/"
        self.rule = "─" if can(encoding, "─") else "-"
        self.lines: blocks.Block = []

    def text(self, *, cautions: bool, styled: bool, working: bool = False) -> str:
        """The whole screen.

        Args:
            cautions: whether they stand at its top; if not, they are said elsewhere
            styled: whether bold and colour are used
            working: whether the sums are shown, before what was assumed
        """
        document = self.document
        self.cautions(full=cautions)
        self.header()
        for number, step in enumerate(document.steps, start=1):
            self.step(step, number)
        if len(document.steps) > 1 and (document.answers or document.sections or document.lines):
            self.write(self.rule * self.width)
        self.answers(document.answers, "of the whole")
        for section in document.sections:
            self.table(section)
        self.says(document.lines)
        if working:
            self.working()
        if any(MARKED.search(piece) for line in self.lines for piece, _ in line):
            self.hang(MARK, [ACTED_ON], indent=len(MARK) + 1 if self.width < blocks.NARROW else LABEL, style="bold")
            self.gap()
        self.labelled("assumed", document.assumed)
        if document.short:
            self.labelled("more", [MORE])
        self.closing()
        return blocks.render(self.lines, styled=styled)

    # --- parts of the whole ---------------------------------------------------------------------------------------------

    def cautions(self, *, full: bool) -> None:
        """All cautions; where they are said elsewhere, still the reasons stops were lifted by."""
        if full:
            for label, lines in caution_lines(self.document):
                self.hang(label, map(self.clean, lines), indent=INDENT, style=STYLES[label])
        else:
            for said in self.document.notices:
                if said.lifted:
                    self.hang("STOP", [self.clean(lifted_line(said))], indent=INDENT, style=STYLES["STOP"])
        self.gap()

    def header(self) -> None:
        """The verb, what it was asked of, and the air it is asked in."""
        document = self.document
        left = self.clean("  ".join(filter(None, (document.command, document.title))))
        right = self.clean(place_text(document, self.units))
        space = self.width - blocks.width_of(left) - blocks.width_of(right)
        if right and space < blocks.GAP:
            first, *rest = blocks.broken(left, self.width)
            self.write(first, "bold")
            if rest:
                self.hang("", [" ".join(rest)], indent=2)
            self.write(right)
        elif right:
            self.lines.append(((left, "bold"), (" " * space, ""), (right, "")))
        else:
            self.write(left, "bold")
        self.gap()

    def working(self) -> None:
        """The sums as one would check them by hand."""
        text = working_text(self.document, width=self.width, clean=self.clean, dash=self.dash).rstrip("\n")
        if text:
            self.write(text)
            self.gap()

    def closing(self) -> None:
        """The last lines."""
        for line in self.document.closing:
            self.write(self.clean(line))

    # --- a step ---------------------------------------------------------------------------------------------------------

    def step(self, step: Step, number: int) -> None:
        """A step, with a heading of its own where there are several."""
        if len(self.document.steps) > 1:
            name = self.clean("  ".join(filter(None, (f"{number}. {step.name}", step.title))))
            self.write(self.rule * self.width)
            self.write(name, "bold")
            self.reminder(self.document.of_step(step.name))
            self.gap()
        if step.name in self.document.stopped and not step.of_air:
            self.stopped(step)
        self.reagents(step.reagents)
        self.gases(step.gases)
        self.says(step.says)  # before the figures: vessel and end are wanted while the beaker is in hand
        short = self.document.short
        self.answers(short_answers(step) if short else step.answers)
        for one in short_tables(step) if short else step.tables:
            self.table(one)
        if len(self.document.steps) == 1:  # a run of many steps is read at the bench: its curves are for the file and the sheet
            for curves in step.charts:
                self.chart(curves)
        else:
            self.says([("chart", curves.finding) for curves in step.charts])

    def reminder(self, said: Sequence[Said]) -> None:
        """The cautions of a step by their codes: in full they stand at the top, or on stderr."""
        codes = dict.fromkeys(f"{one.notice.level} {one.notice.code}" for one in said)
        if codes:
            self.write(self.clean(f"cautions: {', '.join(codes)}"))

    def stopped(self, step: Step) -> None:
        """What stands instead of a stopped step's figures."""
        self.write("Stopped for safety: no figures until the cause is gone.", "bold")
        for one in self.document.notices:
            if one.stops and one.step in ("", step.name):
                lines = [self.clean(f"{one.notice.code}: {one.notice.do}")]
                self.hang("", lines, indent=2)
        self.gap()

    def reagents(self, reagents: Sequence[Reagent]) -> None:
        """What to weigh and pour, the figure to measure out beside the name."""
        rows = [self.reagent_row(one, reagents) for one in reagents]
        if rows:
            self.lines += blocks.table(REAGENTS, rows, self.width, airy=True, wide=blocks.NARROW)
            self.gap()

    def reagent_row(self, one: Reagent, reagents: Sequence[Reagent]) -> list[str]:
        """Cells of something to weigh or pour."""
        bottle = f", {one.bottle}" if one.bottle and one.bottle not in one.name else ""
        name = [self.clean(one.name + bottle)]
        when = aside(one, reagents)
        name += [f"  {self.clean(when)}"] if when else []
        bare = (
            range_in(one.bare, one.unit, one.name, self.units, dash=self.dash, end=acted_on(one.sized_on))
            if one.bare.high
            else ""
        )
        out = measured_in(one.to_take, one.unit, one.name, self.units, rounding=one.rounding)
        return ["\n".join(name), self.clean(out), self.clean(bare), self.clean(one.excess), self.clean(one.sized_on)]

    def answers(self, answers: Iterable[Answer], heading: str = "answers") -> None:
        """Figures, with what each was sized on."""
        rows = [
            [
                self.clean(in_words(one.name)),
                self.clean(self.range_text(one.range, said_unit(one.unit), one.name, acted_on(one.sized_on))),
                self.clean("; ".join(filter(None, ("" if one.sized_on == "likely" else one.sized_on, one.because)))),
            ]
            for one in answers
        ]
        if rows:
            self.lines += blocks.table(self.figures(heading, "because"), rows, self.width, wide=blocks.NARROW)
            self.gap()

    def figures(self, what: str, *others: str) -> tuple[Column, ...]:
        """Columns of things with a figure each."""
        ends = self.dash.join(("low", "likely", "high"))
        return (
            Column(what),
            Column(ends, whole=True, style="bold", beside=True),
            *(Column(head, labelled=False) for head in others),
        )

    def gases(self, gases: Sequence[Gas]) -> None:
        """Gases, low to high route, and the most at once."""
        rows = [
            [
                self.clean(f"{gas_name(one.formula)}, {one.formula}"),
                self.clean(range_text(one.litres, "L", dash=self.dash, end="high")),  # lungs go by the most
                self.clean(peak_text(one)),
                self.clean(one.sized_on),
            ]
            for one in gases
        ]
        if rows:
            self.lines += blocks.table(self.figures("gas", "how fast", "because"), rows, self.width, wide=blocks.NARROW)
            self.gap()

    def table(self, one: Table) -> None:
        """A table under its title."""
        if not one.rows:
            return
        told = laid(one, dash=self.dash, figures=self.document.figures)
        columns = [Column(self.clean(head), whole=whole) for head, whole in zip(told.columns, told.figures, strict=True)]
        rows = [[self.clean(cell) for cell in row] for row in told.rows]
        self.write(self.clean(one.title), "bold")
        self.lines += blocks.table(columns, rows, self.width, parts=PARTS if self.width >= blocks.NARROW else 1)
        self.gap()

    def chart(self, one: Chart) -> None:
        """A chart under its title."""
        lines = {"rule": "│", "base": self.rule, "corner": "└"} if self.rule == "─" else {}
        drawn = chart_lines(one, width=self.width, **lines)
        self.write(self.clean(one.title), "bold")
        for line in drawn:
            self.write(self.clean(line))
        self.gap()

    def range_text(self, span: Range, unit: str = "", name: str = "", end: str = "") -> str:
        """A range in the units, figures and signs of this screen."""
        return range_in(span, unit, name, self.units, dash=self.dash, figures=self.document.figures, end=end)

    def says(self, pairs: Iterable[tuple[str, str]]) -> None:
        """Lines under their headings: vessel, watch for, done when, gear, next."""
        grouped: dict[str, list[str]] = {}
        for heading, line in pairs:
            grouped.setdefault(heading, []).append(line)
        for heading in sorted(grouped, key=lambda one: SAID.index(one) if one in SAID else len(SAID)):
            self.labelled(heading, grouped[heading], gap=False)
        if grouped:
            self.gap()

    def labelled(self, label: str, lines: Sequence[str], *, gap: bool = True) -> None:
        """Lines after a label at the left; under it where the screen is narrow."""
        if not lines:
            return
        head, cleaned = self.clean(label), [self.clean(line) for line in lines]
        if self.width < blocks.NARROW or blocks.width_of(head) >= LABEL:
            self.write(head, "bold")
            self.hang("", cleaned, indent=2)
        else:
            self.hang(head, cleaned, indent=LABEL, style="bold")
        if gap:
            self.gap()

    def gap(self) -> None:
        """A blank line, never two."""
        if self.lines and any(piece for piece, _ in self.lines[-1]):
            self.lines.append(blocks.BLANK)

    def write(self, text: str, style: str = "") -> None:
        """A text on lines of its own."""
        self.lines += blocks.text(text, self.width, style)

    def hang(self, label: str, lines: Iterable[str], *, indent: int, style: str = "") -> None:
        """Lines after a label at the left."""
        self.lines += blocks.hanging(label, lines, self.width, indent=indent, style=style)


def place_text(document: Document, units: str) -> str:
    """The air the figures hold in: temperature, and altitude or pressure where they were told."""
    place = document.place
    if place is None:
        return ""
    celsius = place.temperature_k - fact("constants.zero_celsius").value
    told = [document.inputs[key] for key in ("altitude", "pressure") if key in document.inputs]
    return ", ".join([temperature_in(celsius, units, figure), *told])


def gas_name(formula: str) -> str:
    """A gas as a person calls it: what stands in the list of gases must not read like a bottle to pour from."""
    if formula == "HCl":
        return "hydrogen chloride"
    return next((str(row["name"]) for row in table("species")["species"] if row["formula"] == formula), "gas")


def peak_text(one: Gas) -> str:
    """The most of a gas at once, and over how long it comes."""
    peak = f"{range_text(Range.point(one.peak_l_per_min), 'L')}/min" if one.peak_l_per_min is not None else ""
    over = f"over {lasting(one.minutes)}" if one.minutes is not None else ""
    return ", ".join(filter(None, (peak, over)))


def lasting(minutes: float) -> str:
    """A time as a person says it.

    >>> lasting(15), lasting(320), lasting(7760)
    ('15 min', '5.33 h', '5.39 d')

    Args:
        minutes: how long [min]; 0 and up
    """
    for unit, size in (("d", 24 * 60), ("h", 60)):
        if minutes >= 2 * size:
            return f"{figure(minutes / size)} {unit}"
    return f"{figure(minutes)} min"
