"""Events typed by hand: a reagent put into a vessel, one vessel poured into another, metal found, money."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from refinekit.bench.account import STREAMS
from refinekit.bench.pot import Pot
from refinekit.bench.pouring import pour_bottle, pour_water
from refinekit.bench.work import Work
from refinekit.chemistry.solution import Solution
from refinekit.chemistry.species import molar_mass
from refinekit.errors import BadQuantity, UnknownName
from refinekit.nearest import did_you_mean
from refinekit.ranges import Number, Range, likely
from refinekit.record import record
from refinekit.shop.book.vessels import Held, as_data, change_op, pour_op
from refinekit.shop.bottles import bottle, reagent_row

WATER = ("water", "h2o")


@record
class Poured:
    """A reagent as it goes into a vessel.

    Args:
        pot: what it is, as a pot
        row: how it stands in the event: key, name, used, unit, bottle
        assumed: what was taken as given
    """

    pot: Pot
    row: Mapping[str, Any]
    assumed: tuple[str, ...] = ()


def of_three(span: Range) -> Number:
    """A figure typed as low, likely and high, in the worlds of the book."""
    import numpy as np

    return span.likely if span.is_point else np.array([span.likely, span.low, span.high])


def reagent(
    word: str, *, strength: str | None = None, volume_l: Range | None = None, mass_g: Range | None = None, number: str = ""
) -> Poured:
    """A reagent measured out.

    Args:
        word: name as on the bottle
        strength: its label, as typed; None for the usual bottle
        volume_l: how much of a liquor [L]
        mass_g: how much of a dry one, or of a liquor that was weighed [g]
        number: lot number of the bottle
    Raises: UnknownName, no such reagent; BadQuantity, no amount, or of the wrong kind
    """
    work = Work("log")
    if word.strip().lower() in WATER:
        if volume_l is None:
            raise BadQuantity("water is poured by the litre", cure="--volume 750mL")
        pour_water(work, of_three(volume_l))
        return Poured(_pot(work, "water"), {"key": "water", "name": "water", "used": volume_l.likely, "unit": "L"})
    row = reagent_row(word)
    used: dict[str, Any] = {"key": row["key"], "name": row["name"]}
    if number:
        used["bottle"] = number
    if row["form"] == "liquor":
        usual = Solution.usual(row["solute"]) if strength is None else None
        one = usual or bottle(row, strength, temperature_k=None, name="--strength", work=work)[0]
        if volume_l is None and mass_g is None:
            raise BadQuantity(f"how much {row['name']} is not told", cure="--volume 900mL")
        litres = of_three(volume_l) if volume_l is not None else of_three(mass_g) / one.density_g_per_ml / 1000  # type: ignore[arg-type]
        pour_bottle(work, row["name"], one, litres)
        assumed = (f"{row['name']}: {usual.label}, the usual bottle",) if usual else ()
        return Poured(_pot(work, row["name"]), {**used, "used": likely(litres), "unit": "L"}, assumed)
    if mass_g is None:
        raise BadQuantity(f"{row['name']} is weighed", cure="--weight 25g")
    grams = of_three(mass_g)
    work.pour(row["name"], {row["solute"]: grams / molar_mass(row["solute"])})
    return Poured(_pot(work, row["name"]), {**used, "used": likely(grams), "unit": "g"})


def _pot(work: Work, name: str) -> Pot:
    return work.done(name).pots[0]


def put_in(into: str, poured: Poured, step: str = "log") -> list[dict[str, Any]]:
    """The ops of a reagent put into a vessel."""
    op = change_op(into, None, poured.pot) or {"v": into}
    op.pop("t", None)
    op["did"] = [[step, f"added {poured.row['name']}"]]
    return [op]


def pour_over(from_: Held, into: str, litres: Number | None, note: str = "") -> list[dict[str, Any]]:
    """The ops of one vessel poured into another; without litres, all of it, solids too.

    Raises: BadQuantity, more litres than there are
    """
    if litres is not None and likely(litres) > likely(from_.l) * (1 + 1e-9):
        raise BadQuantity(
            f"{from_.name} holds {likely(from_.l):.3g} L, not {likely(litres):.3g} L",
            cure=f"leave --volume out for all of it; or measure it first, and log that: --measured-volume {likely(litres):.3g}L",
        )
    op = pour_op(from_.name, into, litres)
    return [{**op, "did": [["log", note]]} if note else op]


# ---- metal found, and money
def stream_key(word: str) -> str:
    """A stream of the account by its word. Raises: UnknownName."""
    plain = word.strip().lower().replace(" ", "-")
    if plain not in ("bar", *STREAMS):
        raise UnknownName(
            f"{word[:40]!r} is no stream of an account",
            cure=did_you_mean(plain, ("bar", *STREAMS)),
        )
    return plain


def found_data(stream: str, grams: Range, fineness: Range | None, metal: str) -> dict[str, Any]:
    """What was found in a stream: weighed, fine, and fine grams."""
    fine = grams.likely if fineness is None else grams.likely * fineness.likely
    data: dict[str, Any] = {"stream": stream, "metal": metal, "grams": as_data(of_three(grams)), "fine_g": fine}
    if fineness is not None:
        data["fineness"] = fineness.likely
    return data


PAIRS = {
    "--used": '"nitric=6.5 mL"',
    "--found": "filters=0.02g,slag=5mg",
    "--cost": "collection=85",
    "--bottle": "nitric=H-2291",
}
"""What is told as NAME=AMOUNT, by its option."""


def pairs(texts: Iterable[str] | None, option: str) -> list[tuple[str, str]]:
    """NAME=WHAT of every text, several of them in one text parted by commas as people type them. Raises: BadQuantity."""
    return [_pair(one, option) for text in texts or () for one in re.split(r"[,;]\s*(?=[^=,;]+=)", text)]


def _pair(text: str, option: str) -> tuple[str, str]:
    name, sign, what = text.partition("=")
    if not sign or not name.strip() or not what.strip():
        raise BadQuantity(f"{option} {text[:60]!r} is not NAME=AMOUNT", cure=f"{option} {PAIRS.get(option, PAIRS['--used'])}")
    return name.strip(), what.strip()
