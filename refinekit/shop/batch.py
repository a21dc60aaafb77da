"""The batch file: what the lot is, what the shop has, which steps. Read whole, with every fault of it found in one go."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import field
from functools import partial
from typing import Any

from refinekit.bench.fields import Field
from refinekit.errors import BadFile, BadQuantity, RefinekitError, raise_all
from refinekit.facts.load import table
from refinekit.record import record
from refinekit.shop.ask import listen
from refinekit.shop.batch_reader import Reader, by_name
from refinekit.shop.batch_steps import StepAsk, fill_in, read_steps
from refinekit.shop.cost_fields import COST_FIELDS
from refinekit.shop.limit_fields import LIMIT_FIELDS
from refinekit.shop.place_fields import PLACE_FIELDS
from refinekit.shop.reagent_names import reagent_names
from refinekit.shop.rooms import room
from refinekit.shop.toml_lines import lines_of
from refinekit.units import read, read_strength
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
AMOUNTS = ("on-hand", "bottle", "reorder")
"""Those that are a weight or a volume."""

METAL_PRICES = ("silver-price", "palladium-price", "platinum-price")
"""What other metals than gold are worth, at the top of the file beside gold-price."""
SECTIONS = (
    *("lot", "shop", "shelf", "unknowns", "limits", "costs", "step", "title", "route", "gold-price", "decimal"),
    *METAL_PRICES,
)
MOST_CHARACTERS = 500_000
"""Length of one file: a lot with all its steps is a few thousand."""
MOST_LEVELS = 8
"""Words and numbers of one key with its section: strength of [shelf.nitric] has three."""


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
            f"{name} has {'nothing under' if 'lot' in data else 'no'} [lot]",
            "say what the lot is: [lot], kind and weight; refinekit new lot.toml writes one to start from",
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
        elif key.endswith("price") and data.get(key):
            reader.faults += listen((Field(key, "price", "", ""),), {key: data[key]}, label=reader.where).faults
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
            reader.faults += bottle_faults(key, shelf[key], partial(reader.where, "shelf", word))
    return shelf


def bottle_faults(key: str, texts: Texts, label: Callable[[str], str]) -> list[RefinekitError]:
    """What cannot be read of a bottle, told where it stands, not at every step that uses it; its days are read by the shelf."""
    faults = listen(SHELF_FIELDS, texts, label=label).faults
    liquor = next(row["form"] for row in table("reagents")["reagent"] if row["key"] == key) == "liquor"
    for name in (one for one in ("strength", *AMOUNTS) if one in texts):
        try:
            if name == "strength":
                read_strength(str(texts[name]), name=label(name))
            else:
                _amount(str(texts[name]), ("volume", "mass") if liquor else ("mass", "volume"), label(name))
        except RefinekitError as fault:
            faults.append(fault)
    return faults


def _amount(text: str, kinds: tuple[str, str], label: str) -> None:
    own, other = kinds
    try:
        read(text, other, name=label, lowest=0.0)
    except BadQuantity:
        read(text, own, name=label, lowest=0.0)
