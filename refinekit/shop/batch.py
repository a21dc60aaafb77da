"""The batch file: what the lot is, what the shop has, which steps. Read whole, with every fault of it found in one go."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import field
from functools import cache
from typing import Any

from refinekit.bench.fields import Field
from refinekit.errors import BadFile, RefinekitError, raise_all
from refinekit.facts.load import table
from refinekit.nearest import did_you_mean
from refinekit.record import record
from refinekit.shop.ask import listen
from refinekit.shop.cost_fields import COST_FIELDS
from refinekit.shop.limit_fields import LIMIT_FIELDS
from refinekit.shop.place_fields import PLACE_FIELDS
from refinekit.shop.rooms import room
from refinekit.shop.toml_lines import line_at, lines_of
from refinekit.shop.verbs import ROOMS
from refinekit.units.decimal_mark import MARKS, marked

SHELF_FIELDS = (
    Field("strength", "text", "", "strength on the label, e.g. 31.45 % or 20 Be"),
    Field("goodness", "share", "", "share of a dry reagent that is still good", highest=1.0),
    Field("on-hand", "text", "", "what is left of it, e.g. 9 L or 1 kg"),
    Field("price", "price", "", "what it costs, e.g. 4.20 /L"),
    Field("bottle", "text", "", "size it is bought in, e.g. 2.5 L"),
    Field("reorder", "text", "", "amount at which to buy more, e.g. 1 L"),
    Field("opened", "text", "", "day it was opened, as 2026-03-05"),
    Field("expires", "text", "", "day it goes off, as 2027-01-31"),
)
"""What may be told of a bottle on the shelf."""

METAL_PRICES = ("silver-price", "palladium-price", "platinum-price")
"""What other metals than gold are worth, at the top of the file beside gold-price."""
SECTIONS = (
    *("lot", "shop", "shelf", "unknowns", "limits", "costs", "step", "title", "route", "gold-price", "decimal"),
    *METAL_PRICES,
)
INSTEAD = {"copper": "chloride", "zinc": "iron", "caustic": "iron", "soda": "iron"}
"""Ways with silver that take the place of another: a bar of copper for the chloride, the rest for iron on that."""
MOST_STEPS = 60
"""Steps in one file: a run has about a dozen, more is a mistake or an attack."""
MOST_CHARACTERS = 500_000
"""Length of one file: a lot with all its steps is a few thousand."""
MOST_LEVELS = 8
"""Words and numbers of one key with its section: strength of [shelf.nitric] has three."""
MOST_FAULTS = 200
"""Faults looked into in one file; a file with more is no batch file."""
STEP_KEYS = ("do", "take", "override")
"""Keys of a step beside its room's own."""


@record
class StepAsk:
    """One step as asked.

    Args:
        verb: the room
        texts: what is told to it, by field name
        take: pots to work on, by name; empty for the room's own choice
        overrides: typed reasons by code of a stop
        label: how it is called in messages, e.g. "lot.toml line 31, step 2 (drop)"
        usual: whether it was filled in from the usual route
    """

    verb: str
    texts: Mapping[str, object]
    take: tuple[str, ...] = ()
    overrides: Mapping[str, str] = field(default_factory=dict)
    label: str = ""
    usual: bool = False


@record
class Batch:
    """A batch file read.

    Args:
        name: the file [text]
        title: what the shop calls the run [text]
        lot: texts of the lot room
        place: texts of the shop
        shelf: texts of each reagent's bottle, by reagent key
        steps: the steps, usual ones filled in
        labels: how each path is called in messages
        gold_price: price text of fine gold, "" for none
        unknowns: how figures with a range are drawn, as written; empty for the usual way
        limits: texts of what the shop can carry
        costs: texts of what a run costs beside its reagents
        metal_prices: price texts of fine silver, palladium and platinum, by metal; those that were told
    """

    name: str
    title: str
    lot: Mapping[str, object]
    place: Mapping[str, object]
    shelf: Mapping[str, Mapping[str, object]]
    steps: tuple[StepAsk, ...]
    labels: Mapping[str, str]
    gold_price: str = ""
    unknowns: Mapping[str, object] = field(default_factory=dict)
    limits: Mapping[str, object] = field(default_factory=dict)
    costs: Mapping[str, object] = field(default_factory=dict)
    metal_prices: Mapping[str, str] = field(default_factory=dict)


class Reader:
    """Reads one file, gathering faults."""

    def __init__(self, text: str, name: str) -> None:
        self.name = name
        self.lines = lines_of(text)
        self.faults: list[RefinekitError] = []

    def where(self, *path: str | int) -> str:
        """File and line of a path, with its last word."""
        return f"{self.name} line {line_at(self.lines, path)}, {path[-1]}"

    def fault(self, what: str, cure: str) -> None:
        """Note a fault, as long as they can be counted."""
        if len(self.faults) >= MOST_FAULTS:
            raise_all(self.faults)
        self.faults.append(BadFile(what, cure=cure))

    def unknown(self, path: tuple[str | int, ...], known: Iterable[str], kind: str) -> None:
        """Note a word that is not known, with the nearest that is."""
        names = list(known)
        cure = did_you_mean(str(path[-1]), names)
        self.fault(f"{self.name} line {line_at(self.lines, path)}: {str(path[-1])[:40]!r} is no {kind}", cure)

    def table_at(self, data: Mapping[str, Any], key: str) -> Mapping[str, Any]:
        """A section that must be a table; an empty one where it is missing or something else."""
        value = data.get(key, {})
        if isinstance(value, Mapping):
            return value
        self.fault(f"{self.where(key)} is not a section", f"write [{key}] on a line of its own, then its keys")
        return {}

    def fields(
        self, value: Mapping[str, Any], path: tuple[str | int, ...], known: Mapping[str, Field], also: Iterable[str] = ()
    ) -> dict[str, object]:
        """Texts of a section by field name, faults noted; `gold = {thickness = ...}` is gold-thickness."""
        texts: dict[str, object] = {}
        for key, inner in value.items():
            at = (*path, key)
            if key in also:
                continue
            if isinstance(inner, Mapping):
                nested = {f"{key}-{name}": one for name, one in inner.items()}
                for name, one in nested.items():
                    self._field(texts, name, one, (*at, name.removeprefix(f"{key}-")), known, shown=name)
            else:
                self._field(texts, key, inner, at, known, shown=key)
        return texts

    def _field(
        self,
        texts: dict[str, object],
        name: str,
        value: Any,
        at: tuple[str | int, ...],
        known: Mapping[str, Field],
        *,
        shown: str,
    ) -> None:
        if name not in known:
            self.unknown((*at[:-1], shown) if at[-1] != shown else at, known, f"key of [{at[0]}]")
        elif isinstance(value, bool) and known[name].kind != "flag":
            self.fault(
                f"{self.where(*at)} is {str(value).lower()}, which is no quantity",
                f'write it as text with its unit, as in "{example(known[name])}"',
            )
        elif isinstance(value, bool | str) or (isinstance(value, int | float) and known[name].kind != "flag"):
            texts[name] = value if isinstance(value, bool | str) else repr(value)
        else:
            self.fault(f"{self.where(*at)} is of the wrong kind", f'write it as "{example(known[name])}"')


def example(one: Field) -> str:
    """A right example for a field."""
    return one.choices[0] if one.choices else {"flag": "true", "text": "text"}.get(one.kind, f"2.5/4/6 {one.unit}".rstrip())


def by_name(fields: Iterable[Field]) -> dict[str, Field]:
    """Fields by their names."""
    return {one.name: one for one in fields}


@cache
def reagent_names() -> dict[str, str]:
    """Reagent key by every word it goes by."""
    return {
        word.lower(): row["key"]
        for row in table("reagents")["reagent"]
        for word in (row["key"], row["name"], *row.get("aliases", []))
    }


def read_batch(text: str, name: str, change: Callable[[dict[str, Any]], None] | None = None) -> Batch:
    """Read a batch file.

    Args:
        text: its text
        name: its name, for messages
        change: called with what the file says, to change it before it is looked at; None for as it is
    Raises: BadFile, with every fault of the file in one message
    """
    data = parse(text, name)
    if change is not None:
        change(data)
    reader = Reader(text, name)
    if data.get("decimal") in MARKS:
        data = marked(data, str(data["decimal"]))
    elif "decimal" in data:
        reader.fault(f"{reader.where('decimal')} is neither comma nor point", 'decimal = "comma" reads "2,5 g" in this file')
    for key in data:
        if key not in SECTIONS:
            reader.unknown((key,), SECTIONS, "section of a batch file")
    lot = reader.fields(reader.table_at(data, "lot"), ("lot",), by_name(room("lot").fields))
    if not reader.table_at(data, "lot"):
        reader.fault(
            f"{name} has no [lot]", "say what the lot is: [lot], kind and weight; refinekit new lot.toml writes one to start from"
        )
    place = reader.fields(reader.table_at(data, "shop"), ("shop",), by_name(PLACE_FIELDS))
    shelf = read_shelf(reader, data)
    steps = read_steps(reader, data)
    unknowns = dict(reader.table_at(data, "unknowns"))
    limits = reader.fields(reader.table_at(data, "limits"), ("limits",), by_name(LIMIT_FIELDS))
    costs = reader.fields(reader.table_at(data, "costs"), ("costs",), by_name(COST_FIELDS))
    for key in ("title", "route", "gold-price", *METAL_PRICES):
        if not isinstance(data.get(key, ""), str):
            reader.fault(f"{reader.where(key)} is not text", f'write {key} = "..."')
    if data.get("route", "usual") not in ("usual", "as written"):
        reader.fault(f"{reader.where('route')} is neither usual nor as written", 'route = "usual" fills in the steps left out')
    labels = {f"{part}.{key}": reader.where(part, key) for part, texts in parts_of(lot, place, limits, costs) for key in texts}
    labels |= {f"unknowns.{key}": reader.where("unknowns", key) for key in unknowns}
    if reader.faults:
        raise_all([*reader.faults, *figure_faults(parts_of(lot, place, limits, costs), steps, labels)])
    asked = steps if data.get("route") == "as written" else fill_in(steps, str(lot.get("kind", "")), name)
    return Batch(
        name,
        str(data.get("title", "")),
        lot,
        place,
        shelf,
        asked,
        labels,
        str(data.get("gold-price", "")),
        unknowns,
        limits,
        costs,
        {key.removesuffix("-price"): str(data[key]) for key in METAL_PRICES if data.get(key)},
    )


Texts = Mapping[str, object]


def parts_of(lot: Texts, place: Texts, limits: Texts, costs: Texts) -> tuple[tuple[str, Texts], ...]:
    """Sections that hold figures, by their names in the file."""
    return ("lot", lot), ("shop", place), ("limits", limits), ("costs", costs)


def figure_faults(
    parts: Iterable[tuple[str, Texts]], steps: Iterable[StepAsk], labels: Mapping[str, str]
) -> list[RefinekitError]:
    """Every figure that cannot be read of a file that is at fault anyway, so that it is mended in one go."""
    fields = {"lot": room("lot").fields, "shop": PLACE_FIELDS, "limits": LIMIT_FIELDS, "costs": COST_FIELDS}

    def in_part(part: str) -> Callable[[str], str]:
        return lambda key: labels[f"{part}.{key}"]

    def in_step(one: StepAsk) -> Callable[[str], str]:
        return lambda key: f"{one.label}, {key}"

    told = [listen(fields[part], texts, label=in_part(part)) for part, texts in parts]
    told += [listen(room(one.verb).fields, one.texts, label=in_step(one)) for one in steps]
    return [fault for each in told for fault in each.faults]


def parse(text: str, name: str) -> dict[str, Any]:
    """The TOML of a text. Raises: BadFile, empty, too long or broken, with the place."""
    if not text.strip():
        raise BadFile(f"{name} is empty", cure="refinekit new lot.toml writes one to start from")
    if len(text) > MOST_CHARACTERS:
        raise BadFile(f"{name} is {len(text)} characters long", cure="a batch file has a few thousand: is it the right file?")
    lines = lines_of(text)
    deep = next((path for path in lines if len(path) > MOST_LEVELS), None)
    if deep:
        raise BadFile(f"{name} line {lines[deep]} is nested too deep", cure="a key is one word, or two, as in [shelf.nitric]")
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        said = "it is nested too deep" if isinstance(error, RecursionError) else str(error)
        raise BadFile(
            f"{name} is not readable TOML: {said[:120]}",
            cure='each line is key = "text with unit", sections are [lot], [shop], [[step]]',
        ) from None


def read_shelf(reader: Reader, data: Mapping[str, Any]) -> dict[str, Mapping[str, object]]:
    """Bottles by reagent key."""
    shelf: dict[str, Mapping[str, object]] = {}
    for word, bottle in reader.table_at(data, "shelf").items():
        key = reagent_names().get(word.replace("-", " ").lower()) or reagent_names().get(word.lower())
        if key is None:
            reader.unknown(("shelf", word), reagent_names(), "reagent")
        elif not isinstance(bottle, Mapping):
            reader.fault(f"{reader.where('shelf', word)} is not a bottle", f"write [shelf.{word}], then strength, on-hand, price")
        else:
            shelf[key] = reader.fields(bottle, ("shelf", word), by_name(SHELF_FIELDS))
    return shelf


def read_steps(reader: Reader, data: Mapping[str, Any]) -> tuple[StepAsk, ...]:
    """Steps as asked."""
    listed = data.get("step", [])
    if not isinstance(listed, list) or not all(isinstance(one, Mapping) for one in listed):
        reader.fault(f"{reader.where('step')} is not a list of steps", 'write [[step]] on a line of its own, then do = "leach"')
        return ()
    if len(listed) > MOST_STEPS:
        reader.fault(
            f"{reader.name} has {len(listed)} steps", f"a run has about a dozen; {MOST_STEPS} are the most that are read"
        )
        return ()
    return tuple(ask for number, one in enumerate(listed) if (ask := read_step(reader, one, number)) is not None)


def read_step(reader: Reader, one: Mapping[str, Any], number: int) -> StepAsk | None:
    """One step as asked; None where its verb is not known."""
    verb = one.get("do")
    at = ("step", number)
    if not isinstance(verb, str) or verb not in ROOMS or verb == "lot":
        if isinstance(verb, str):
            reader.fault(
                f"{reader.where(*at, 'do')} {verb[:40]!r} is no step",
                did_you_mean(verb, ROOMS),
            )
        else:
            reader.fault(
                f"{reader.name} line {line_at(reader.lines, at)}, step {number + 1} does not say what to do", 'do = "leach"'
            )
        return None
    texts = reader.fields(one, at, by_name(room(verb).fields), also=STEP_KEYS)
    take = one.get("take", [])
    names = (take,) if isinstance(take, str) else tuple(take) if isinstance(take, list) else ()
    if not all(isinstance(name, str) for name in names) or not isinstance(take, str | list):
        reader.fault(f"{reader.where(*at, 'take')} is no name of a pot", 'take = "bath", or take = ["bath", "rinses"]')
        names = ()
    overrides = one.get("override", {})
    if not isinstance(overrides, Mapping) or not all(isinstance(reason, str) and reason.strip() for reason in overrides.values()):
        reader.fault(f"{reader.where(*at, 'override')} has no reason", 'override = { chlorine = "hood running, two people" }')
        overrides = {}
    label = f"{reader.name} line {line_at(reader.lines, at)}, step {number + 1} ({verb})"
    return StepAsk(verb, texts, names, dict(overrides), label)


def fill_in(asked: tuple[StepAsk, ...], kind: str, name: str) -> tuple[StepAsk, ...]:
    """The usual route for a kind of lot, with the steps asked for in their places.

    A step asked for stands in for the next step of its verb in the route; one the route has no more of stands where it was
    written, after the step before it.
    """
    routes = table("practice/routes")["route"]
    route = next((one for one in routes if kind in one["kinds"]), routes[0])["steps"]
    waiting = list(asked)
    filled: list[StepAsk] = []
    for position, usual in enumerate(route):
        texts = {key: value for key, value in usual.items() if key != "do"}
        matching = [one for one in waiting if one.verb == usual["do"] and _same_part(one.texts, texts)]
        to_come = sum(later["do"] == usual["do"] and _same_part(later, texts) for later in route[position:])
        if not matching:
            filled.append(StepAsk(usual["do"], texts, label=f"{name}, usual route ({usual['do']})", usual=True))
            continue
        # asked for more often than the route has it (solder stripped before the bath): the first ones stand by themselves
        match = matching[max(len(matching) - to_come, 0)]
        while waiting[0] is not match:
            filled.append(waiting.pop(0))
        waiting.pop(0)
        filled.append(StepAsk(match.verb, {**texts, **match.texts}, match.take, match.overrides, match.label))
    return (*filled, *waiting)


def _same_part(asked: Mapping[str, object], usual: Mapping[str, object]) -> bool:
    """Whether a step asked for is that step of the route: which part is rinsed, which metal is used, or how, does not differ.

    Caustic is for spent liquor: a denox of the gold liquor, by whichever method, is another step.
    """
    if "caustic" in (usual.get("method"), asked.get("method")) and usual.get("method") != asked.get("method"):
        return False
    told = {**asked, "how": INSTEAD[how]} if (how := asked.get("how")) in INSTEAD and usual.get("how") != how else asked
    return all(told.get(key, value) == value for key, value in usual.items() if key in ("what", "metal", "how"))
