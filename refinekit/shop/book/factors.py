"""This shop's own factors: what its records say of them, and what that changes in the next plan where that is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from refinekit.bench.step import Table
from refinekit.facts.load import fact
from refinekit.ranges import Range
from refinekit.record import record
from refinekit.shop.batch import Batch
from refinekit.shop.batch_steps import StepAsk
from refinekit.shop.book.learn import Learnt, Record, learn
from refinekit.shop.book.lots import Lot, lots_of_book
from refinekit.shop.book.store import Book
from refinekit.units import read

Records = dict[str, list[Record]]


@record
class Factor:
    """A factor of the shop.

    Args:
        name: what it is called [text]
        prior: id of the fact that says what is usual elsewhere
        share: whether it is a share
        changes: verb, its field and its unit in a batch file; "" for the verb where no field takes it
        does: what it changes in the next plan, in words
    """

    name: str
    prior: str
    share: bool
    changes: tuple[str, str, str]
    does: str


FACTORS = (
    Factor("NO share", "practice/general.no_share.gold_hot", True, ("dissolve", "no-share", ""), "nitric, first charge, fume"),
    Factor("oxygen transfer", "practice/air.open_tube", False, ("leach", "transfer", ""), "days on the pump"),
    Factor("wash", "practice/rinse.hold.pulp", False, ("rinse", "hold", "mL/g"), "washes of the pulp, gold left in it"),
    Factor("metabisulfite goodness", "reagents.smb.goodness", True, ("drop", "goodness", ""), "metabisulfite to weigh"),
    Factor("foam", "practice/book.foam_rise", False, ("", "", ""), "the beaker you pick: times the liquor, by hand"),
)
"""Factors that are of the whole shop; thickness is one to each source."""
THICKNESS = "thickness, "
"""How the factor of a source's plating thickness is called, before the source."""


def thickness_of(source: str) -> Factor:
    """The factor of a source: plating thickness found over guessed."""
    return Factor(
        f"{THICKNESS}{source}",
        "practice/book.thickness_guess",
        False,
        ("lot", "gold-thickness", ""),
        f"gold of a lot from {source}",
    )


def prior_of(factor: Factor) -> Range:
    """What is usual elsewhere."""
    if factor.prior == "reagents.smb.goodness":
        from refinekit.facts.load import table

        good = next(row["goodness"] for row in table("reagents")["reagent"] if row["key"] == "smb")
        return Range(good["low"], good["likely"], good["high"])
    return fact(factor.prior).range


# ---- what the records say
def records_of(book: Book) -> Records:
    """Every record of a factor in the book, by the factor's name."""
    found: Records = {}
    for lot in lots_of_book(book).values():
        for name, one in _of_lot(lot):
            found.setdefault(name, []).append(one)
    return found


def _of_lot(lot: Lot) -> Iterator[tuple[str, Record]]:
    should, got = lot.should_g("Au"), lot.found_g("Au")
    times = got / should if should > 0 and got > 0 else None
    if times is not None and lot.source:
        yield f"{THICKNESS}{lot.source}", Record(times, _error("yield"), f"lot {lot.number}")
    for _, _, data in lot.steps:
        for name, reckoned, error in READERS.get(str(data.get("verb", "")), ()):
            value = reckoned(data, lot, 1.0 if times is None else times)
            if value is not None and value > 0:
                yield name, Record(value, _error(error), f"lot {lot.number}")
        if "foam" in data:
            yield "foam", Record(float(data["foam"]), _error("time"), f"lot {lot.number}")


def _error(kind: str) -> float:
    return fact(f"practice/book.error.{kind}").value


def _figure(data: Mapping[str, Any], name: str) -> float | None:
    value = data.get("figures", {}).get(name)
    return None if value is None else float(value[0] if isinstance(value, list) else value)


def _told(data: Mapping[str, Any], key: str) -> float | None:
    """What was used of a reagent, where it was measured and not taken from the plan."""
    return next((float(row["used"]) for row in data.get("used", ()) if row["key"] == key and row.get("told")), None)


def no_share(data: Mapping[str, Any], lot: Lot, times: float) -> float | None:
    """NO share of a run: a nitrogen takes three electrons as NO and one as NO2, so used over NO need is 3 / (1 + 2 x)."""
    need_ml, used_l = _figure(data, "nitric_no_route"), _told(data, "nitric")
    if not need_ml or not used_l:
        return None
    return (3 * need_ml * times / (1000 * used_l) - 1) / 2


def transfer(data: Mapping[str, Any], lot: Lot, times: float) -> float | None:
    """Oxygen transfer of a run: the planned one times planned over real hours."""
    hours, minutes = _figure(data, "hours"), data.get("minutes")
    return None if not hours or not minutes else fact("practice/air.open_tube").value * hours * 60 / minutes


def hold(data: Mapping[str, Any], lot: Lot, times: float) -> float | None:
    """Liquor pulp holds, by what its filters gave up: what stays goes about as its power of the number of washes."""
    left_mg, washes = _figure(data, "gold_left"), _figure(data, "washes_made")
    filters = lot.found.get("Au", {}).get("filters")
    if not left_mg or not washes or not filters or "pulp" not in str(data.get("did", "")):
        return None
    return float(fact("practice/rinse.hold.pulp").value * (1000 * filters / left_mg) ** (1 / washes))


def by_end(data: Mapping[str, Any], lot: Lot, times: float) -> float | None:
    """Goodness of metabisulfite by what it took to a clear test: bare need of the gold found over what was weighed."""
    used = _told(data, "smb")
    bare = next((row["bare"][0] for row in data.get("used", ()) if row["key"] == "smb" and row.get("bare")), None)
    if not used or not bare or "clear" not in str(data.get("test", "")):
        return None
    return float(min(bare * times / used, 1.0))


def titrated(data: Mapping[str, Any], lot: Lot, times: float) -> float | None:
    """Goodness by titration."""
    percent = _figure(data, "goodness")
    return None if percent is None else percent / 100


Reader = Callable[[Mapping[str, Any], Lot, float], float | None]
READERS: Mapping[str, tuple[tuple[str, Reader, str], ...]] = {
    "dissolve": (("NO share", no_share, "volume"),),
    "leach": (("oxygen transfer", transfer, "time"),),
    "rinse": (("wash", hold, "filters"),),
    "drop": (("metabisulfite goodness", by_end, "endpoint"),),
    "titrate": (("metabisulfite goodness", titrated, "measured"),),
}
"""What is read from a step's event: factor, how, and whose error it has."""


def factors_of(book: Book) -> dict[str, tuple[Factor, Learnt]]:
    """Every factor with what the book teaches of it; those of a source only where there are records."""
    records = records_of(book)
    sources = [thickness_of(name.removeprefix(THICKNESS)) for name in sorted(records) if name.startswith(THICKNESS)]
    return {one.name: (one, learn(prior_of(one), records.get(one.name, []), share=one.share)) for one in (*FACTORS, *sources)}


def factors_table(found: Mapping[str, tuple[Factor, Learnt]]) -> Table:
    """Prior, records and posterior of every factor, and what it changes."""
    rows = tuple(
        (
            name,
            learnt.prior,
            float(learnt.count),
            float(learnt.poor),
            learnt.posterior if learnt.count else "as it is",
            factor.does,
        )
        for name, (factor, learnt) in found.items()
    )
    columns = ("factor", "usual elsewhere", "own records", "too poor", "next run here", "changes")
    return Table("Shop factors", columns, rows)


# ---- in the next plan
def with_factors(batch: Batch, found: Mapping[str, tuple[Factor, Learnt]], source: str = "") -> tuple[Batch, tuple[str, ...]]:
    """A batch with this shop's factors where its file tells nothing itself.

    Args:
        batch: the file
        found: the factors
        source: where the lot comes from, "" where it is not told
    Returns: the batch, and a line for each factor, to stand under what was assumed
    """
    lines: list[str] = []
    steps = []
    for ask in batch.steps:
        for factor, learnt in found.values():
            verb, field, unit = factor.changes
            if learnt.count and ask.verb == verb and _open_to(ask, factor, batch):
                ask = replace(ask, texts={**ask.texts, field: _text(learnt.posterior, unit)})
                lines.append(_line(factor, learnt))
        steps.append(ask)
    lot = dict(batch.lot)
    own = found.get(f"{THICKNESS}{source}")
    if own and own[1].count and "gold-thickness" in lot:
        guess = read(str(lot["gold-thickness"]), "thickness", name="gold thickness", unit="micron").range.likely
        lot["gold-thickness"] = _text(own[1].posterior * guess, " micron")
        lines.append(_line(*own))
    return replace(batch, steps=tuple(steps), lot=lot), tuple(dict.fromkeys(lines))


def _open_to(ask: StepAsk, factor: Factor, batch: Batch) -> bool:
    """Whether the file leaves a factor to the shop."""
    field = factor.changes[1]
    if field in ask.texts or (field == "goodness" and "goodness" in batch.shelf.get("smb", {})):
        return False
    if field == "goodness" and str(ask.texts.get("reagent", "smb")) != "smb":
        return False
    if field == "transfer" and ("air" not in ask.texts or ask.texts.get("stone")):
        return False
    if field == "no-share" and ask.texts.get("how", "hot") == "cold":
        return False
    return field != "hold" or ask.texts.get("what") == "pulp"


def _text(span: Range, unit: str, digits: int = 6) -> str:
    ends = "/".join(f"{end:.{digits}g}" for end in (span.low, span.likely, span.high))
    return f"{ends} {unit.strip()}".strip()


def _line(factor: Factor, learnt: Learnt) -> str:
    runs = f"{learnt.count} record{'' if learnt.count == 1 else 's'}"
    here, elsewhere = (_text(span, "", 3) for span in (learnt.posterior, learnt.prior))
    return f"shop factor, {factor.name}: {here} by {runs} of this shop (elsewhere {elsewhere})"
