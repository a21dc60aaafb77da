"""What may come next on the command line, for the Tab key. Loads nothing but what Python brings: every press waits for it."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

NUMBER = re.compile(r"((?:\d[\d.,]*\s?/\s?)*\d[\d.,]*)( ?)([A-Za-z%]?\S*)")
"""A figure or a range as far as it is typed, and what is there of its unit."""
MOVED = re.compile(r'"(?:v|to)":("(?:[^"\\]|\\.)*")')
"""A vessel an event moves something out of or into."""
LARGEST_BYTES = 5_000_000
"""Largest file of pots looked into for their names."""
LAST_EVENTS = 5000
"""Events of the book looked through for its vessels."""
UNFINISHED = ("=", ":", ".", "/")
"""Ends after which more is to come, so that no space follows."""


class Word(NamedTuple):
    """One thing that may stand there, and what it is."""

    text: str
    says: str = ""


class Line(NamedTuple):
    """What was typed so far: the command, its words, what was told by option, and the word that is being typed."""

    verb: str
    words: list[str]
    told: dict[str, list[str]]
    typed: str


@cache
def known() -> dict[str, Any]:
    """What was gathered of the commands."""
    found: dict[str, Any] = json.loads(Path(__file__).with_name("words.json").read_text(encoding="utf-8"))
    return found


def complete(words: Sequence[str]) -> list[Word]:
    """What may stand where the last word is being typed.

    Args:
        words: the words behind `refinekit`, the last one unfinished or empty [text]

    >>> [word.text for word in complete(["neut"])]
    ['neutralise']
    """
    typed = words[-1] if words else ""
    commands = known()["commands"]
    if len(words) < 2:
        first = [*(Word(verb, one["says"]) for verb, one in commands.items())]
        return fitting(first if not typed.startswith("-") else [Word("--help"), Word("--version")], typed)
    if words[0] not in commands:
        return []
    command = commands[words[0]]
    told: dict[str, list[str]] = {}
    plain: list[str] = []
    waits = ""
    for word in words[1:-1]:
        name, sign, value = word.partition("=")
        if waits:
            told.setdefault(waits, []).append(word)
            waits = ""
        elif name.startswith("--") and name in command["options"]:
            told.setdefault(name, []).extend([value] if sign else [])
            waits = name if "takes" in command["options"][name] and not sign else ""
        else:
            plain.append(word)
    line = Line(words[0], plain, told, typed)
    name, sign, value = typed.partition("=")
    if waits:
        return behind(command["options"][waits].get("takes", ""), line)
    if sign and name in command["options"]:
        found = behind(command["options"][name].get("takes", ""), line._replace(typed=value))
        return [Word(f"{name}={word.text}", word.says) for word in found]
    if not typed.startswith("-") and (place := _place(command["words"], len(plain))):
        found = behind(place.get("takes", ""), line)
        if found or typed or "takes" not in place:
            return found
    return options(command["options"], told, typed)


def _place(places: list[dict[str, Any]], number: int) -> dict[str, Any] | None:
    """What the word of a number may be; the last place takes all that follow where it takes several."""
    if number < len(places):
        return places[number]
    return places[-1] if places and places[-1].get("again") else None


def options(all_of_them: dict[str, Any], told: dict[str, list[str]], typed: str) -> list[Word]:
    """The options that can still be told."""
    free = (Word(name, one["says"]) for name, one in all_of_them.items() if name not in told or one.get("again"))
    return fitting([*free, Word("--help", "what the command takes")], typed)


def fitting(words: Iterable[Word], typed: str) -> list[Word]:
    """Those that begin as what is typed; small letters for large ones will do."""
    return [word for word in words if word.text.lower().startswith(typed.lower())]


def behind(takes: str, line: Line) -> list[Word]:
    """What may stand in a place, by what it takes: several kinds with ", " between."""
    found: list[Word] = []
    for one in filter(None, takes.split(", ")):
        kind, _, rest = one.partition(" ")
        found += WAYS[kind](rest, line) if one not in WAYS else WAYS[one]("", line)
    return list(dict.fromkeys(found))


# ---- each kind of place
def _words(rest: str, line: Line) -> list[Word]:
    return fitting(map(Word, rest.split("|")), line.typed)


def _listed(name: str, line: Line) -> list[Word]:
    return fitting(map(Word, known()["lists"][name]), line.typed)


def _units(kind: str, line: Line) -> list[Word]:
    """A figure with each unit it can have; nothing where no figure is typed yet, as nobody can guess it."""
    read = NUMBER.fullmatch(line.typed)
    if read is None:
        return []
    figure, space, begun = read.groups()
    return [Word(f"{figure}{space}{unit}") for unit in known()["units"][kind] if unit.lower().startswith(begun.lower())]


def _files(endings: str, line: Line) -> list[Word]:
    """Files of the endings, and the folders to look for them in."""
    folder, _, begun = line.typed.rpartition("/")
    at = f"{folder}/" if folder or line.typed.startswith("/") else ""
    found = []
    try:
        for one in sorted(os.scandir(os.path.expanduser(at or ".")), key=lambda entry: entry.name):
            if one.name.startswith(".") and not begun.startswith("."):
                continue
            if one.is_dir():
                found.append(Word(f"{at}{one.name}/"))
            elif one.name.lower().endswith(tuple(endings.split())):
                found.append(Word(f"{at}{one.name}", _title(f"{at}{one.name}")))
    except OSError:
        return []
    found = fitting(found, line.typed)
    return [*(word for word in found if not word.text.endswith("/")), *(word for word in found if word.text.endswith("/"))]


def _title(path: str) -> str:
    """What a batch file says it shows: its first comment."""
    if not path.endswith(".toml"):
        return ""
    try:
        with open(path, encoding="utf-8") as file:
            first = file.readline()
    except (OSError, ValueError):
        return ""
    return first[1:].strip() if first.startswith("#") else ""


def _pots(_: str, line: Line) -> list[Word]:
    """Files of pots, the pipe, or vessels of the book; with + between those that go together."""
    if not line.typed.startswith("book:"):
        return [*_files(".json", line), *fitting([Word("-", "the pipe"), Word("book:", "a vessel of the book")], line.typed)]
    before, plus, begun = line.typed.removeprefix("book:").rpartition("+")
    vessels = fitting(map(Word, of_book("vessels", line)), begun)
    return [Word(f"book:{before}{plus}{one.text}") for one in vessels if one.text not in before.split("+")]


def _pots_at_hand(_: str, line: Line) -> list[Word]:
    """Names of the pots in the files that are told."""
    names: list[str] = []
    for path in [*line.told.get("--pot", ()), *(line.words[:1] if line.verb == "pot" else ())]:
        if path.startswith("book:"):
            names += path.removeprefix("book:").split("+")
        elif path != "-":
            names += _names_in(path)
    return fitting(map(Word, names), line.typed)


def _names_in(path: str) -> Iterator[str]:
    try:
        if os.path.getsize(path) > LARGEST_BYTES:
            return
        found = json.loads(Path(path).read_text(encoding="utf-8-sig"))
    except (OSError, ValueError, RecursionError):
        return
    pots = found.get("pots") if isinstance(found, dict) and "pots" in found else found
    for one in pots if isinstance(pots, list) else [pots]:
        if isinstance(one, dict) and isinstance(one.get("name"), str):
            yield one["name"]


def _book(what: str, line: Line) -> list[Word]:
    return fitting(map(Word, of_book(what, line)), line.typed)


def of_book(what: str, line: Line) -> list[str]:
    """Names the book knows: vessels, baths, lots, drums, or whatever its events are about; none where there is no book."""
    from refinekit.shop.book.opening import place_of

    path = place_of(next(iter(line.told.get("--book", ())), None))
    if not path.is_file():
        return []
    import sqlite3

    kinds = {"lots": ("lot", "step", "yield", "money"), "drums": ("drum",), "baths": ("bath",)}.get(what, ())
    of_kind = f"WHERE kind IN ({','.join('?' * len(kinds))})" if kinds else ""
    asked = f"SELECT about FROM event {of_kind} ORDER BY number DESC"
    if what == "vessels":
        asked = f"SELECT ops FROM event WHERE ops <> '' ORDER BY number DESC LIMIT {LAST_EVENTS}"
    try:
        with sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True, timeout=0.2) as book:
            rows = [str(row[0]) for row in book.execute(asked, kinds)]
        book.close()
    except sqlite3.Error:
        return []
    if what == "vessels":
        rows = [json.loads(name) for ops in rows for name in MOVED.findall(ops)]
    return [name for name in dict.fromkeys(rows) if name]


def _change(_: str, line: Line) -> list[Word]:
    """What a plan can be changed in: a step or a section, its key, and what the key takes."""
    done, semicolon, typed = line.typed.rpartition(";")
    before = f"{done}{semicolon}{' ' if typed.startswith(' ') else ''}"
    path, sign, value = typed.strip().partition("=")
    head, dot, key = path.partition(".")
    commands, lists = known()["commands"], known()["lists"]
    if not dot:
        found = fitting((Word(f"{name}.") for name in (*lists["steps"], "lot", "shop", "shelf", "costs")), head)
        return [Word(before + one.text) for one in found]
    if head == "shelf":
        keys: dict[str, str] = {f"{name}.strength": "units strength" for name in lists["reagents"]}
    else:
        verb = {"shop": "leach"}.get(head, head.split(" ")[0])
        told = commands.get(verb, {"options": {}})["options"]
        keys = {name.removeprefix("--"): one.get("takes", "words true|false") for name, one in told.items()}
    if not sign:
        return [Word(f"{before}{head}.{one.text}") for one in fitting((Word(f"{name}=") for name in keys), key)]
    found = behind(keys.get(key, ""), line._replace(typed=value))
    return [Word(f"{before}{path}={one.text}") for one in found]


WAYS = {
    "words": _words,
    "list": _listed,
    "units": _units,
    "files": _files,
    "pots": _pots,
    "pots at hand": _pots_at_hand,
    "book": _book,
    "change": _change,
}
"""How each kind of place is filled."""
