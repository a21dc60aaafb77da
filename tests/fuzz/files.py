"""Files as they come to a bench: batch files half edited, pots cut off, books a disk has spoilt; all from a random source."""

from __future__ import annotations

import json
import sqlite3
import tempfile
from copy import deepcopy
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

from tests.fuzz.grammar import NUMBERS, ODD, Case, figure, line
from tests.fuzz.judge import answer_of

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
UNITS = ("g", "mL", "L", "cm2", "um", "%", "C", "min", "mol/L", "/kg", "")
STEPS = (
    ["lot", "--kind", "edge tabs", "--weight", "420 g", "--area", "1600 cm2"],
    ["leach", "--copper", "10/12/15 g", "--nickel", "1 g", "--air", "2 L/min"],
    ["dissolve", "--gold", "1.6/2.1/2.6 g", "--nitric", "68 %", "--outdoors"],
    ["part", "--silver", "30 g", "--gold", "10 g", "--outdoors"],
    ["neutralise", "--volume", "2 L", "--copper-strength", "40 g/L", "--free-acid", "1 mol/L"],
)
SPOILT = (0, -1, 1e-300, 1e300, 10**400, None, "x", "", [], {}, True, [1, 2], {"low": 3, "likely": 2, "high": 1})
ALTERED = (
    (b'"data"', b'"atad"'),
    (b"Cu^2+", b"Xx^2+"),
    (b"2026", b"99xx"),
    (b"{", b"["),
    (b"1.", b"-1"),
    (b"bath", b"b\0th"),
)
"""Text in a book, and what another program wrote over it."""
AFTER = ("leach", "dissolve", "denox", "drop", "neutralise", "cement", "rinse", "titrate", "sludge", "pot", "silver", "fume")
BOOKED = (
    ["bath", "start", "--bath-volume", "5.2L", "--bath-copper", "95g/L", "--bath-nickel", "12g/L", "--bath-acid", "1.4mol/L"],
    ["drum", "open", "drum 1", "--for", "acid liquor"],
    ["drum", "add", "drum 1", "--what", "spent bath", "--volume", "1 L", "--density", "1.18"],
    ["stock", "buy", "nitric", "--volume", "1L", "--strength", "68 %", "--reorder", "250mL"],
    ["log", "--lot", "12", "--bar", "2.05g", "--fineness", "996", "--found", "filters=0.02g"],
)
ASKED = (
    ["book"],
    ["book", "check"],
    ["book", "events"],
    ["book", "export", "out.jsonl"],
    ["book", "backup", "copy.sqlite"],
    ["book", "void", "2", "--note", "typed twice"],
    ["bath"],
    ["bath", "next", "--copper", "10 g"],
    ["drum"],
    ["drum", "add", "drum 1", "--what", "rinse", "--volume", "1 L"],
    ["manifest", "drum 1"],
    ["stock"],
    ["lot", "--lot", "12"],
    ["account", "--lot", "12"],
    ["log", "--lot", "13", "--bar", "1 g"],
    *(["report", name] for name in ("yields", "losses", "gold", "reagents", "waste", "cost", "year", "factors")),
    ["leach", "--pot", "book:bath", "--copper", "10 g"],
)


def case(random: Random) -> Case:
    """One try: most often a command line, else one that reads a file somebody or something has spoilt."""
    kind = random.choices((line, a_batch, a_pot, a_book, a_copy), (50, 20, 15, 10, 5))[0]
    drawn = kind(random)
    return drawn if isinstance(drawn, Case) else Case(*drawn)


def a_batch(random: Random) -> Case:
    """An example, edited by a hurried hand, under one of the commands that read one."""
    text = (EXAMPLES / random.choice(examples())).read_text(encoding="utf-8")
    for _ in range(random.randint(1, 4)):
        text = edited(text, random)
    words = random.choice(
        (
            ["plan", "lot.toml"],
            ["plan", "lot.toml", "--full"],
            ["plan", "lot.toml", "--json"],
            ["plan", "lot.toml", "--largest"],
            ["plan", "lot.toml", "--samples", random.choice(("100", "300", "1", "-5", "1e9", "99999999999999999999"))],
            ["cost", "lot.toml", "--gold-price", figure(random, "/g")],
            ["stock", "lot.toml"],
            ["rehearse", "lot.toml", "--change", f"leach.air={figure(random, 'L/min')}"],
            ["fume", "--plan", "lot.toml"],
            ["log", "lot.toml", "--lot", "5"],
        )
    )
    return Case(words, files={"lot.toml": damaged(text.encode("utf-8", "surrogatepass"), random, 0.08)})


@cache
def examples() -> tuple[str, ...]:
    """Names of the example lots."""
    return tuple(sorted(path.name for path in EXAMPLES.glob("*.toml")))


def edited(text: str, random: Random) -> str:
    """One slip of the hand in a text of lines."""
    lines = text.splitlines()
    if not lines:
        return random.choice(ODD)
    at = random.randrange(len(lines))
    key, equals, _ = lines[at].partition("=")
    slip = random.random()
    if slip < 0.45 and equals:
        lines[at] = f"{key}= {value(random)}"
    elif slip < 0.6:
        del lines[at]
    elif slip < 0.7:
        lines.insert(random.randrange(len(lines)), lines[at])
    elif slip < 0.8:
        lines.insert(at, random.choice(("[[step]]", "[shop]", "[lot]", "do = 'drop'", "do = 'denox'", "silver = '1 g'", *ODD)))
    elif slip < 0.9 and equals:
        lines[at] = f"{key.strip()[: random.randint(1, 5)]}x = {value(random)}"
    else:
        other = random.randrange(len(lines))
        lines[at], lines[other] = lines[other], lines[at]
    return "\n".join(lines) + "\n"


def value(random: Random) -> str:
    """What may stand behind an equals sign."""
    told = figure(random, random.choice(UNITS))
    return random.choice(
        (f'"{told}"', f'"{told}"', f'"{told}"', told, random.choice(NUMBERS), "true", "[]", "{}", "1979-05-27", '""')
    )


@cache
def a_bench() -> tuple[dict[str, Any], ...]:
    """Answers of some steps, with the pots they leave."""
    answers = [json.loads(answer_of([*words, "--json"])) for words in STEPS]
    return tuple(answer for answer in answers if answer["pots"])


def a_pot(random: Random) -> Case:
    """Pots of a step before, with figures of somebody else, before any step after."""
    answer = json.loads(json.dumps(random.choice(a_bench())))
    for _ in range(random.randint(0, 4)):
        spoil(answer["pots"], random)
    text = json.dumps(random.choice((answer, answer["pots"], answer["pots"][0] if answer["pots"] else [])))
    data = damaged(text.encode(), random, 0.1)
    verb = random.choice(AFTER)
    words = [verb, "pots.json"] if verb == "pot" else [verb, "--pot", random.choice(("pots.json", "-"))]
    words += random.choice(([], ["--json"], ["--show-working"]))
    return Case(words, data.decode("utf-8", "replace"), {"pots.json": data})


def spoil(data: Any, random: Random) -> None:
    """Put something else at one place of plain data, however deep."""
    keys = list(data) if isinstance(data, dict) else list(range(len(data)))
    if not keys:
        return
    key = random.choice(keys)
    if isinstance(data[key], dict | list) and data[key] and random.random() < 0.85:
        spoil(data[key], random)
    elif random.random() < 0.15:
        del data[key]
    else:
        data[key] = deepcopy(random.choice(SPOILT))


@cache
def a_shelf() -> dict[str, bytes]:
    """A sound book with a bath, a drum, a bottle and a lot; and the same written out."""
    with tempfile.TemporaryDirectory() as folder:
        where = Path(folder, "book.sqlite")
        for words in BOOKED:
            answer_of([*words, "--book", str(where)])
        answer_of(["book", "export", str(Path(folder, "out.jsonl")), "--book", str(where)])
        return {path.name: path.read_bytes() for path in Path(folder).iterdir()}


@cache
def strangers() -> tuple[bytes, ...]:
    """Files that are no book: another program's, one with our mark and nothing in it, a text, nothing at all."""
    found = [b"", b"SQLite format 3\0", b"date,gold\n2026-01-01,2 g\n"]
    for script in (
        "CREATE TABLE event (number, root); INSERT INTO event VALUES ('x', NULL);",
        "PRAGMA application_id = 1380338498; PRAGMA user_version = 2;",
        "PRAGMA application_id = 1380338498; PRAGMA user_version = 99; CREATE TABLE event (number INTEGER);",
    ):
        with tempfile.TemporaryDirectory() as folder:
            connection = sqlite3.connect(Path(folder, "x"))
            connection.executescript(script)
            connection.close()
            found.append(Path(folder, "x").read_bytes())
    return tuple(found)


def a_book(random: Random) -> Case:
    """A book: whole, cut off, with bits turned, with text changed in place, or no book at all."""
    whole = a_shelf()["book.sqlite"]
    spoil = random.choice((whole_of, ruined, ruined, changed, foreign))
    words = random.choice(ASKED)
    return Case([*words, *random.choice(([], ["--json"]))], files={"book.sqlite": spoil(whole, random)})


def whole_of(data: bytes, random: Random) -> bytes:
    """As it was."""
    return data


def ruined(data: bytes, random: Random) -> bytes:
    """Cut off, or with bits turned."""
    return damaged(data, random, 1)


def foreign(data: bytes, random: Random) -> bytes:
    """No book at all."""
    return random.choice(strangers())


def a_copy(random: Random) -> Case:
    """A record written out, edited and brought in again."""
    text = a_shelf()["out.jsonl"].decode()
    for _ in range(random.randint(1, 3)):
        lines = text.splitlines()
        at = random.randrange(len(lines))
        try:
            data = json.loads(lines[at])
            spoil(data, random)
            lines[at] = json.dumps(data)
        except ValueError:
            lines[at] = random.choice(ODD)
        text = "\n".join(lines) + "\n"
    return Case(["book", "import", "in.jsonl"], files={"in.jsonl": damaged(text.encode("utf-8", "surrogatepass"), random, 0.2)})


def damaged(data: bytes, random: Random, chance: float) -> bytes:
    """The bytes, or at times the same cut off or with some bits turned."""
    if not data or random.random() >= chance:
        return data
    if random.random() < 0.4:
        return data[: random.randrange(len(data))]
    spoilt = bytearray(data)
    for _ in range(random.choice((1, 1, 8, 200))):
        spoilt[random.randrange(len(spoilt))] ^= 1 << random.randrange(8)
    return bytes(spoilt)


def changed(data: bytes, random: Random) -> bytes:
    """A book whose text was altered by another program, as long as before."""
    old, new = random.choice(ALTERED)
    return data.replace(old, new, random.randint(1, 5))
