"""Command lines, batch files and pots as a hurried or hostile hand would write them, drawn from a random source."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from random import Random

from refinekit.cli.cards import CARDS
from refinekit.shop.rooms import room
from refinekit.shop.verbs import ROOMS

UNITS = [
    "g",
    "kg",
    "mg",
    "mL",
    "L",
    "gal",
    "cm2",
    "um",
    "uin",
    "%",
    "mol/L",
    "g/L",
    "C",
    "F",
    "K",
    "min",
    "h",
    "ozt",
    "Be",
    "kJ",
    "ppm",
]
NUMBERS = [
    "0",
    "1",
    "2.5",
    "-1",
    "1e-9",
    "1e9",
    "1e308",
    "1e400",
    "nan",
    "inf",
    "1/2/3",
    "3/2/1",
    "0/0/0",
    "1,5",
    "1 000",
    "٣",
    "0x10",
    "--",
]
ODD = ["", " ", "\x00", "\u202e", "é" * 50, "9" * 400, "[" * 500, "🜚", "-", "--json", "%s%n", "../../x", "a=b", "{}", "$(x)"]
LINES = [
    "title = 'x'",
    "[lot]",
    "kind = 'edge tabs'",
    "weight = '420 g'",
    "area = '1600 cm2'",
    "[shop]",
    "[[step]]",
    "do = 'leach'",
]


@dataclass(frozen=True)
class Case:
    """One try.

    Args:
        words: the command line
        pipe: what stands in the pipe
        files: what lies in the folder it is run in, by name; `book.sqlite` is the shop's record
    """

    words: list[str]
    pipe: str = ""
    files: dict[str, bytes] = field(default_factory=dict)


def figure(random: Random, unit: str) -> str:
    """A figure with its unit, most often a sensible one."""
    if random.random() < 0.7:
        figures = sorted(10 ** random.uniform(-4, 4) for _ in range(random.choice([1, 1, 3])))
        return f"{'/'.join(f'{one:.3g}' for one in figures)} {unit}"
    if random.random() < 0.8:
        return f"{random.choice(NUMBERS)} {random.choice([unit, *UNITS])}"
    return random.choice(ODD)


def line(random: Random) -> tuple[list[str], str]:
    """Words of a command line, and what stands in the pipe."""
    verb = random.choice([*ROOMS, *ROOMS, *ROOMS, *CARDS]) if random.random() < 0.97 else random.choice(ODD)
    words, pipe = [verb], ""
    if verb in ROOMS:
        fields = room(verb).fields
        for field in random.sample(list(fields), min(len(fields), random.randint(0, 6))):
            words.append(f"--{field.name}")
            if field.kind != "flag":
                words.append(
                    random.choice(field.choices) if field.choices and random.random() < 0.9 else figure(random, field.unit)
                )
        if random.random() < 0.15:
            words, pipe = [*words, "--pot", "-"], pots(random)
    elif verb == "plan":
        words, pipe = [*words, "-"], batch(random)
    elif random.random() < 0.6:
        words += [random.choice([*ODD, *NUMBERS, "nitric", "HCl", "Cu + HNO3 -> Cu(NO3)2 + NO + H2O", "12 g", "year"])]
    if random.random() < 0.5:
        words.append(random.choice(["--json", "--csv", "--show-working", "--outdoors", "--units=troy", "--help"]))
    return words, pipe


def batch(random: Random) -> str:
    """A batch file: lines of good ones, of figures and of nonsense, in any order."""
    drawn = [random.choice([*LINES, f"x = {random.choice(NUMBERS)}", random.choice(ODD)]) for _ in range(random.randint(0, 12))]
    start = "[lot]\nkind = 'edge tabs'\n" if random.random() < 0.6 else ""
    return start + f"weight = '{figure(random, 'g')}'\narea = '{figure(random, 'cm2')}'\n" + "\n".join(drawn)


def pots(random: Random) -> str:
    """Pots as JSON: shaped like ours, with amounts that may be anything."""

    def amount() -> object:
        return random.choice(
            [0, 1, 1e-12, 1e300, -1, None, "x", [], {"low": 1, "likely": 0, "high": 2}, 10 ** random.uniform(-6, 3)]
        )

    ions = ["AuCl4^-", "Cu^2+", "NO3^-", "H^+", "Cl^-", "NH4^+", "CN^-", "Xx", ""]
    one = {"name": random.choice(["bath", *ODD]), "volume_l": amount(), "temperature_c": amount(), "inert_g": amount()}
    one["dissolved_mol"] = {ion: amount() for ion in random.sample(ions, random.randint(0, 5))}
    one["solids_mol"] = {metal: amount() for metal in random.sample(["Au", "Ag", "AgCl", "Cu"], random.randint(0, 3))}
    text = json.dumps({"schema": "refinekit/1", "pots": [one]})
    return text if random.random() < 0.8 else text[: random.randint(0, len(text))] + random.choice(ODD)
