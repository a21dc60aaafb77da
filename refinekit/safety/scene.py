"""What a rule sees: the pots with all that is in them, what goes in, how, where, and what comes of it.

Amounts go by constituent: "H+" (free strong acid), "Au(III)", "ClO-" and so on, see facts/safety/substances.toml. They are ranges
in moles, or in grams for stuff without a formula (paper, sawdust). A Scene is made from a refinekit step (`from_step`) or put
together by hand; the rules know only the scene.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from refinekit.bench.place import Place, shop_temperature_k
from refinekit.errors import OutOfRange
from refinekit.facts.load import fact
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.safety.words import says

NOTHING = Range.point(0.0)
Amounts = Mapping[str, Range]


@record
class Dose:
    """Something that goes in.

    Args:
        name: what it is called [text]
        mol: constituents [mol, or g for stuff without a formula]
        volume_l: liquor it brings [L]
        percent: its strength [% w/w]; None where it was not told
        solid: whether it is a powder, pearls or a metal
        substance: the one substance it is, as facts/safety/substances.toml calls it [text]
    """

    name: str
    mol: Amounts
    volume_l: float = 0.0
    percent: float | None = None
    solid: bool = False
    substance: str = ""

    def __post_init__(self) -> None:
        refuse_impossible(self.name, self.mol, self.volume_l)


@record
class Deed:
    """One thing done to a pot before.

    Args:
        did: an action word: dissolve, denox, drop, rinse, part, leach, cement, scrub, test, ... [text]
        how: in plain words [text]
        doses: what went in
        when: in plain words [text]
    """

    did: str
    how: str = ""
    doses: tuple[Dose, ...] = ()
    when: str = ""

    def mol(self, what: str) -> Range:
        """How much of a constituent went in [mol]."""
        return added_up(dose.mol.get(what, NOTHING) for dose in self.doses)

    @property
    def words(self) -> str:
        """All that was said of it."""
        return f"{self.did} {self.how}"


def shop_temperature_c() -> float:
    """How warm a vessel is where nobody said [degC]."""
    return shop_temperature_k() - fact("constants.zero_celsius").value


@record
class Vessel:
    """A pot with all that is known and all that its history implies.

    Args:
        name: what the shop calls it [text]
        mol: constituents [mol, or g for stuff without a formula]
        volume_l: liquor in it [L]; 0 for dry goods
        temperature_c: how warm it is [degC]
        kind: the vessel, in words: "10 L pail, 26 cm across" [text]
        history: what was done to it, oldest first
        causes: for a constituent or flag the history set, the step that set it [text]
        percent: strength of the one thing in it, where it was told so [% w/w], by constituent
        lot_g: weight of the lot it is, where that was told [g]
        size_l: what the vessel holds [L]; None where it was not told
        width_cm: across its liquor [cm]; None where it was not told
        ph: pH measured in it; None where it was not
    """

    name: str
    mol: Amounts
    volume_l: float = 0.0
    temperature_c: float = field(default_factory=shop_temperature_c)
    kind: str = ""
    history: tuple[Deed, ...] = ()
    causes: Mapping[str, str] = field(default_factory=dict)
    percent: Mapping[str, float] = field(default_factory=dict)
    lot_g: float | None = None
    size_l: float | None = None
    width_cm: float | None = None
    ph: float | None = None

    def __post_init__(self) -> None:
        refuse_impossible(self.name, self.mol, self.volume_l)

    def most(self, what: str) -> float:
        """The most of a constituent there may be [mol]."""
        return self.mol.get(what, NOTHING).high

    def least(self, what: str) -> float:
        """The least of a constituent there may be [mol]."""
        return self.mol.get(what, NOTHING).low

    def most_of(self, *whats: str) -> float:
        """The most of several constituents together [mol]."""
        return sum(self.most(what) for what in whats)

    def said(self, *words: str) -> bool:
        """Whether its history says one of these words, and not the contrary."""
        return any(says(deed.words, *words) for deed in self.history)


@dataclass(frozen=True)
class Scene:
    """A step as the rules see it.

    Args:
        do: the verb [text]
        pots: pots that take part, the one worked on first
        doses: what goes in
        how: in plain words [text]
        place: the shop
        minutes: over which it goes in [min]; None where it was not told
        hours: how long it stands or runs [h]; None where it was not told
        target_ph: pH it is brought to; None where it was not told
        end_l: liquor it is boiled down to [L]; None where it is not boiled down
        to: where it goes: drain, sewer, solid waste, ... [text]
        permit: number of the permit, "" where there is none [text]
        limits: the permit's figures by metal [mg/L]
        air_l_min: air pumped through [L/min]
        gases: gases by formula [mol], where a sum already gave them; None to reckon them here
        start_acid: free acid of the liquor before metal goes in [mol/L]; None to reckon it here
        end_acid: least free acid afterwards [mol/L]; None to reckon it here
        end_copper: most copper afterwards [g/L]; None to reckon it here
        rise_k: how much warmer it gets [K]; None to reckon it here
        breathed: gas near the pot by formula, then by how a limit is counted [ppm], where it was walked through in time
        nitric_over: share of the cases of a run in which there is more nitric than gold in solution [-]; None to take worst ends
    """

    do: str
    pots: tuple[Vessel, ...]
    doses: tuple[Dose, ...] = ()
    how: str = ""
    place: Place = field(default_factory=Place)
    minutes: float | None = None
    hours: float | None = None
    target_ph: float | None = None
    end_l: float | None = None
    to: str = ""
    permit: str = ""
    limits: Mapping[str, float] = field(default_factory=dict)
    air_l_min: float = 0.0
    gases: Mapping[str, Range] | None = None
    start_acid: float | None = None
    end_acid: float | None = None
    end_copper: float | None = None
    rise_k: float | None = None
    breathed: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    nitric_over: float | None = None

    def __post_init__(self) -> None:
        names = [pot.name for pot in self.pots]
        if not names:
            raise OutOfRange("there is no pot to look at", cure="name the vessel the step works on")
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None:
            raise OutOfRange(f"two pots are called {twice[:40]!r}", cure="give each vessel a name of its own")

    # ---- what is there
    @property
    def pot(self) -> Vessel:
        """The pot worked on."""
        return self.pots[0]

    @property
    def told(self) -> bool:
        """Whether the shop was told of at all."""
        place = self.place
        return place.room_m3 is not None or place.hood or place.outdoors or bool(place.fan_m3_per_min)

    @property
    def indoors(self) -> bool:
        """Whether fume stays in the room: neither a working hood nor the open air."""
        return not self.place.hood and not self.place.outdoors

    @cached_property
    def added(self) -> dict[str, Range]:
        """Constituents that go in from bottles and from the pots poured in [mol]."""
        parts = [dose.mol for dose in self.doses]
        for pot, share in self._shares:
            poured = {what for dose in self.doses for what in dose.mol}
            parts.append({what: amount * share for what, amount in pot.mol.items() if what not in poured})
        return summed(parts)

    @cached_property
    def together(self) -> dict[str, Range]:
        """All constituents that meet: the pot worked on, what goes in, the pots poured in [mol]."""
        return summed([self.pot.mol, self.added])

    @cached_property
    def _shares(self) -> tuple[tuple[Vessel, float], ...]:
        """The other pots, each with the share of it that goes in: told by a dose of something it holds, else all of it."""
        return tuple((pot, _share_poured(pot, self.doses)) for pot in self.pots[1:])

    def most(self, what: str) -> float:
        """The most of a constituent that can meet the others [mol]."""
        return self.together.get(what, NOTHING).high

    def most_of(self, *whats: str) -> float:
        """The most of several constituents together [mol]."""
        return sum(self.most(what) for what in whats)

    def adds(self, *whats: str) -> float:
        """The most of these that goes in now [mol]."""
        return sum(self.added.get(what, NOTHING).high for what in whats)

    def dosed(self, *whats: str) -> float:
        """The most of these that goes in from bottles [mol]; pots beside it not counted."""
        return sum(dose.mol[what].high for dose in self.doses for what in whats if what in dose.mol)

    def cause(self, *whats: str) -> str:
        """The step that left one of these in a pot, where it was an earlier one [text]."""
        return next((pot.causes[what] for what in whats for pot in self.pots if what in pot.causes), "")

    @cached_property
    def volume_l(self) -> float:
        """Liquor when all is together [L]."""
        mixed = sum(pot.volume_l * share for pot, share in self._shares if not _dosed_by(pot, self.doses))
        return self.pot.volume_l + sum(dose.volume_l for dose in self.doses) + mixed

    @property
    def slow(self) -> bool:
        """Whether it goes in by and by: in words, or over a quarter of an hour and more."""
        told = self.minutes is not None and self.minutes >= fact("safety/lines.slow_from").value
        return told or says(self.how, *SLOW)

    @property
    def at_once(self) -> bool:
        """Whether it goes in all at once: in words, or because nothing says otherwise."""
        return says(self.how, *AT_ONCE) or not self.slow

    @property
    def hot(self) -> bool:
        """Whether it is done hot."""
        return self.pot.temperature_c >= fact("safety/lines.hot_from").value or says(self.how, *HOT)


SLOW: tuple[str, ...] = (
    "sip",
    "portion",
    "quarters",
    "pinch",
    "spoon",
    "scoop",
    "slowly",
    "dropperful",
    "by drops",
    "drop by drop",
    "dropwise",
    "strip at a time",
    "a little at a time",
    "over an hour",
    "over hours",
    "over days",
    "by and by",
    "in stages",
    "a minute,",
)
AT_ONCE = ("all at once", "at once", "all in", "tipped", "tip the", "dumped", "in one go", "all pushed", "whole bag")
HOT = ("hot", "boil", "boiled", "boiling", "simmer", "simmered", "reflux", "steam bath")
BOILED = ("boil", "boiled", "boiling", "simmer", "simmered", "evaporat", "syrup", "cooked", "reflux")


def refuse_impossible(name: str, mol: Amounts, volume_l: float) -> None:
    """Refuse amounts that no vessel holds.

    Raises: OutOfRange, with what was read
    """
    for what, amount in (*mol.items(), ("litres", Range.point(volume_l))):
        if amount.low < 0:
            raise OutOfRange(
                f"{name[:40]!r} would hold {amount.low:g} of {what}", cure="a pot holds nothing negative: check the amounts"
            )


def added_up(ranges: Iterable[Range]) -> Range:
    """Sum of ranges, end by end."""
    low = likely = high = 0.0
    for one in ranges:
        low, likely, high = low + one.low, likely + one.likely, high + one.high
    return Range(low, likely, high)


def summed(parts: Iterable[Amounts]) -> dict[str, Range]:
    """Sum of amounts, constituent by constituent."""
    total: dict[str, Range] = {}
    for part in parts:
        for what, amount in part.items():
            total[what] = added_up((total[what], amount)) if what in total else amount
    return total


def _dosed_by(pot: Vessel, doses: Iterable[Dose]) -> bool:
    """Whether a dose is some of this pot poured out."""
    return any(what in pot.mol and amount.high > 0 for dose in doses for what, amount in dose.mol.items())


def _share_poured(pot: Vessel, doses: Iterable[Dose]) -> float:
    shares = [
        amount.high / pot.most(what)
        for dose in doses
        for what, amount in dose.mol.items()
        if pot.most(what) > 0 and amount.high > 0
    ]
    return min(max(shares), 1.0) if shares else 1.0
