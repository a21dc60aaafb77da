"""Every command with its options and what may stand behind each, gathered once for the Tab key: `python -m refinekit.cli.gather`.

Gathering loads the whole program; the Tab key only reads the file it wrote. A test holds the two together.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from refinekit.bench.fields import Field
from refinekit.bench.place import LAWS
from refinekit.cli.cards import CARDS
from refinekit.cli.commands import load
from refinekit.facts.load import table
from refinekit.shop.verbs import ROOMS
from refinekit.units import KINDS
from refinekit.units.strength import FORMS

FILE = Path(__file__).with_name("words.json")
"""Where it is kept."""
DOES = {
    "bath": "refinekit.shop.book.bath:DOES",
    "stock": "refinekit.shop.book.stock:DOES",
    "drum": "refinekit.cli.drum:DOES",
    "book": "refinekit.cli.book:WORDS",
    "report": "refinekit.cli.report:WORDS",
}
"""Where the words are that a command of the book may be asked, by command."""
KIND_OF = {
    "G": "mass",
    "KG": "mass",
    "L": "volume",
    "MOL": "amount",
    "DEGC": "temperature",
    "MIN": "time",
    "G/ML": "density",
    "STRENGTH": "strength",
}
"""Kind of quantity by what stands behind an option of a plain command."""
BEHIND = {
    "VESSEL": "book vessels",
    "REAGENT": "list reagents",
    "STEP": "list steps",
    "METAL": "list metals",
    "DRUM": "book drums",
    "A B": "list things",
    "FORMULA": "list reagents",
    "PATH=VALUE": "change",
    "FILE.svg": "files .svg",
    "FILE.html": "files .html",
    "--pot": "pots",
    "--take": "pots at hand",
    "--book": "files .sqlite",
    "--plan": "files .toml",
    "--units": "list systems",
    "--law": "list laws",
    "--lot": "book lots",
    "--gas": "list gases",
    "--make": "list alloys",
    "--base": "list bases",
    "--used": "list amounts",
    "--found": "list found",
    "--override": "list stops",
    "--order": "list orders",
    "bath name": "book baths",
    "drum name": "book drums",
    "log --bottle": "list amounts",
    "log --bath": "book baths",
    "book --about": "book about",
    "report which": "book lots",
    "pot file": "files .json",
    "log file": "files .toml .json",
    "stock what": "list stock, files .toml",
    "completion shell": "list shells",
    "sources word": "list reagents",
    "book which": "files .jsonl .csv .sqlite",
    "file": "files .toml",
}
"""Where the words come from, by what stands behind an option, by the option, or by command and option; the last said holds."""

UNTOLD = ("money", "count")
"""Kinds whose figures stand bare, or with a currency nobody can guess."""


def gathered() -> dict[str, Any]:
    """All of it: lists of names, units by kind, commands."""
    return {
        "lists": {name: list(dict.fromkeys(words)) for name, words in _lists().items()},
        "units": {
            **{name: _units(name) for name in KINDS},
            "strength": [form.unit.replace(" ", "") for form in FORMS.values() if len(form.unit.split()) < 3],
        },
        "commands": {verb: _command(verb) for verb in CARDS},
    }


def _command(verb: str) -> dict[str, Any]:
    fields = _fields(verb)
    found: dict[str, Any] = {"says": CARDS[verb], "words": [], "options": {}}
    for one in load(verb).params:
        name = one.opts[0]
        told: dict[str, Any] = {"says": one.help or ""}
        if not getattr(one, "is_flag", False):
            told["takes"] = _behind(verb, name, str(one.metavar or ""), fields.get(name.removeprefix("--")))
        if getattr(one, "multiple", False) or one.nargs == -1:
            told["again"] = True
        if name.startswith("-"):
            found["options"][name] = told
        else:
            found["words"].append(told)
    return found


def _fields(verb: str) -> Mapping[str, Field]:
    """What a room may be told, and of the place it stands in."""
    from refinekit.shop.place_fields import PLACE_FIELDS
    from refinekit.shop.rooms import room

    own = room(verb).fields if verb in ROOMS else ()
    if verb == "bath":
        from refinekit.shop.book.bath import fields

        own = tuple(fields())
    return {one.name: one for one in (*PLACE_FIELDS, *own)} if own else {}


def _behind(verb: str, name: str, metavar: str, field: Field | None) -> str:
    """What may stand behind an option or in the place of a word, as the Tab key is told it."""
    if field and field.choices:
        return "words " + "|".join(field.choices)
    if "|" in metavar:
        return f"words {metavar}"
    if name == "what" and verb in DOES and verb != "stock":
        return f"list {verb}"
    for key in (f"{verb} {name}", name, metavar):
        if key in BEHIND:
            return BEHIND[key]
    if field and field.kind.startswith("strength:"):
        return "units strength"
    if field and field.kind in KINDS:
        return f"units {field.kind}" if _units(field.kind) else ""
    return f"units {KIND_OF[metavar]}" if metavar in KIND_OF else ""


@cache
def _units(name: str) -> list[str]:
    """Units of a kind as they stand right behind a figure: one spelling each, without a space, the usual ones first."""
    kind = KINDS[name]
    shown = [match[1] for example in kind.examples if (match := re.search(r"\d ?([^\d\s/][^\s]*)$", example))]
    spelled = [min(one.spellings, key=lambda word: (" " in word, one.spellings.index(word))) for one in kind.units]
    words = [word for word in (kind.base, *shown, *spelled) if re.fullmatch(r"[A-Za-z%][!-~]*", word)]
    return [] if name in UNTOLD else list(dict.fromkeys(words))


def _lists() -> dict[str, Iterable[str]]:
    from importlib import import_module

    from refinekit.bench.account import STREAMS
    from refinekit.bench.fume_limits import known_gases
    from refinekit.safety.substances import substances
    from refinekit.shop.bottles import ORDERS

    reagents = [row["key"] for row in table("reagents")["reagent"]]
    asked = {verb: getattr(import_module(place.split(":")[0]), place.split(":")[1]) for verb, place in DOES.items()}
    return {
        **asked,
        "reagents": reagents,
        "amounts": [f"{key}=" for key in reagents],
        "things": sorted({name for one in substances() for name in (one.key, *one.names[:2]) if len(name) > 2}),
        "steps": [verb for verb in ROOMS if verb != "lot"],
        "metals": ["gold", "silver", "palladium", "platinum"],
        "gases": ["NOx", *known_gases()],
        "alloys": [str(row["name"]) for row in table("materials")["alloy"].values()],
        "bases": [str(row["name"]) for row in (*table("practice/lot")["base"], *table("materials")["alloy"].values())],
        "found": [f"{stream}=" for stream in ("bar", *STREAMS)],
        "stops": sorted({f"{code}=" for code in _liftable()}),
        "orders": ORDERS,
        "laws": LAWS,
        "systems": ("metric", "troy", "us"),
        "shells": ("bash", "zsh", "fish"),
    }


def _liftable() -> list[str]:
    """Codes of the stops that a typed reason may lift."""
    return [code for code, row in table("safety/says").items() if "'may_override': True" in str(row)]


def text() -> str:
    """The file's text, an option a line, so that a change is seen where it is."""
    found = gathered()
    lines = []
    for verb, told in found["commands"].items():
        options = [f"    {json.dumps(name)}: {json.dumps(one)}" for name, one in told["options"].items()]
        head = {"says": told["says"], "words": told["words"]}
        lines.append(f'  {json.dumps(verb)}: {json.dumps(head)[:-1]}, "options": {{\n' + ",\n".join(options) + "}}")
    parts = [
        "{",
        '"lists": {\n'
        + ",\n".join(f"  {json.dumps(name)}: {json.dumps(words)}" for name, words in found["lists"].items())
        + "},",
        '"units": {\n'
        + ",\n".join(f"  {json.dumps(name)}: {json.dumps(words)}" for name, words in found["units"].items())
        + "},",
        '"commands": {\n' + ",\n".join(lines) + "}}",
    ]
    return "\n".join(parts) + "\n"


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
    print(f"wrote {FILE.name}")
