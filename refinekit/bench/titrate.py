"""Titrating: what the drops say of acid, peroxide, metabisulfite, caustic and bleach, and what to expect of a known liquor."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.fields import Field, Room, refuse_strange
from refinekit.bench.neutralise_liquor import LIQUOR_FIELDS, is_liquor, pour_told
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.bench.titrate_acid import beside_reckoned, say_free_acid
from refinekit.bench.titrate_expect import expect
from refinekit.bench.titrate_ways import WAYS, reading_of, say_grams, say_reading, say_watch, span_of
from refinekit.bench.work import Work
from refinekit.errors import CannotFollow
from refinekit.ranges import Range, high, likely, low

DONE = ("used", "drops")
"""Fields that say a titration was done."""


def _strength(texts: Mapping[str, object]) -> str:
    return WAYS[str(texts.get("what") or "acid")].usual if texts.get("what") in (None, *WAYS) else ""


def _sample(texts: Mapping[str, object]) -> str:
    return "" if any(texts.get(name) for name in DONE) else "practice/titrate.sample"


def _drop(texts: Mapping[str, object]) -> str:
    return "practice/titrate.drop" if texts.get("drops") else ""


FIELDS = (
    Field("what", "choice", "", "what is sought", choices=tuple(WAYS)),
    Field("used", "volume", "mL", "titrant that went in to the end; left out, the curve of a known liquor is reckoned"),
    Field("drops", "count", "", "the same in drops", highest=10000.0),
    Field("drop", "volume", "mL", "a drop of the pipette", default_from=_drop, above_zero=True),
    Field("strength", "concentration", "mol/L", "strength of the titrant", default_from=_strength, above_zero=True),
    Field("sample", "volume", "mL", "liquor titrated", default_from=_sample, above_zero=True),
    Field("dilution", "count", "", "how many times the sample was thinned with water before", lowest=1.0, highest=10000.0),
    Field("weighed", "mass", "g", "powder that was dissolved for the sample, to see how good it is", above_zero=True),
    Field("made-up", "volume", "mL", "volume that powder was made up to", above_zero=True),
    Field("ph", "count", "", "pH to which the caustic of a curve is asked", highest=14.0),
    *LIQUOR_FIELDS,
)
"""Fields of titrating."""


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Any) -> Step:
    """Read a titration, or reckon what one would read.

    Args:
        pots: the liquor titrated; none where it is told of, or not known
        place: the shop
        told: figures of FIELDS, by argument name
    Returns: Step with the strength found; without --used or --drops the curve of the liquor. Of a pot the sample is drawn off
    Raises: CannotFollow, nothing was titrated and nothing is known of the liquor, or the sample is more than the pot
    Source: R11.1 to R11.6; habits, facts/practice/titrate.toml
    """
    refuse_strange("titrate", told, {field.arg for field in FIELDS})
    what = str(told.get("what") or "acid")
    done = any(told.get(name) is not None for name in ("used_l", "drops"))
    work = Work("titrate", *pots, place=place)
    liquor = _liquor(pots, told, place)
    title = _read(work, liquor, what, told) if done else _expect(work, liquor, what, told)
    if not pots:
        return work.done(None, title=title)
    return _sampled(work, pots[0], told, title)


def _liquor(pots: Sequence[Pot], told: Mapping[str, Any], place: Place | None) -> Work:
    """What is known of the liquor: the pot, or what is told; strengths stand for a litre where no volume is told."""
    liquor = Work("titrate", *pots, place=place)
    if pots:
        _refuse_beside(told)
    elif "volume_l" in told:
        pour_told(liquor, told)
    elif by_mass := [field.name for field in LIQUOR_FIELDS if field.kind in ("mass", "amount") and field.arg in told]:
        raise CannotFollow(
            f"--{by_mass[0]} tells how much is in the liquor, and no volume is told",
            cure="give --volume as well, as in --volume 4L",
        )
    else:
        pour_told(liquor, {**told, "volume_l": 1.0})
    return liquor


def _refuse_beside(told: Mapping[str, Any]) -> None:
    """Keep a liquor from being told of beside the pot that holds it. Raises: CannotFollow."""
    beside = [f"--{field.name}" for field in LIQUOR_FIELDS if told.get(field.arg) is not None]
    if beside:
        raise CannotFollow(f"titrate has a pot and was told {', '.join(beside)} beside it", cure="leave those out, or the pot")


def _read(work: Work, liquor: Work, what: str, told: Mapping[str, Any]) -> str:
    """The strength a titration found."""
    way = WAYS[what]
    reading = reading_of(work, way, told)
    say_reading(work, way, reading)
    because = f"{way.titrant} over sample; the last drop may be one too many"
    if what == "acid":
        span = say_free_acid(work, liquor, reading, because)
    else:
        span = span_of(reading.least(), reading.found(), reading.found())
        work.answer(way.answer, span, "mol/L", because=because)
    say_grams(work, way, span, told)
    litres = liquor.volume_l if liquor.before else told.get("volume_l")
    if litres is not None:
        work.answer(
            f"{way.answer}_in_all",
            Range(span.low * low(litres), span.likely * likely(litres), span.high * high(litres)),
            "mol",
            because="times the litres there are",
        )
    if what == "acid" and liquor.before:
        beside_reckoned(work, liquor, span)
    say_watch(work, way, what)
    return f"{way.word} by {way.titrant}, {1000 * likely(reading.sample_l):.4g} mL"


def _expect(work: Work, liquor: Work, what: str, told: Mapping[str, Any]) -> str:
    """The curve a known liquor would give."""
    if what != "acid":
        raise CannotFollow(f"how much {WAYS[what].titrant} went in is not told", cure="--used 12.5mL --sample 5mL")
    if not any(high(amount) > 0 for amount in liquor.dissolved.values()):
        raise CannotFollow(
            "nothing was titrated, and nothing is known of the liquor",
            cure="--used 11.2mL --sample 5mL for a reading; --free-acid 1.2mol/L --copper-strength 80g/L for a curve",
        )
    work.take_over(liquor)
    expect(work, liquor, told)
    say_watch(work, WAYS[what], what)
    return "the curve to expect"


def _sampled(work: Work, pot: Pot, told: Mapping[str, Any], title: str) -> Step:
    """The pot less its sample.

    Raises: CannotFollow, the sample is more than the pot holds
    """
    sample = work.default(told.get("sample_l"), "practice/titrate.sample", "litres of liquor drawn")
    drawn = sample / told.get("dilution", 1.0)
    if low(np.asarray(work.volume_l - drawn)) <= 0:
        raise CannotFollow(
            f"a sample of {1000 * high(drawn):.3g} mL is more than the {pot.name} holds", cure="give a smaller --sample"
        )
    work.draw_off("sample", drawn, note="drawn for titrating")
    return work.done(pot.name, title=f"{title} of {pot.name}")


def choose(pots: Sequence[Pot], what: str = "acid") -> tuple[Pot, ...]:
    """The liquor to titrate: the bath first, then the one richest in what is sought."""
    held = WAYS[what].holds
    liquors = [pot for pot in pots if is_liquor(pot) and any(high(pot.mol(species)) > 0 for species in held)]

    def order(pot: Pot) -> tuple[bool, float]:
        return (not pot.name.startswith("bath"), -max(likely(pot.mol(species)) for species in held))

    return tuple(sorted(liquors, key=order)[:1])


ROOM = Room(
    "titrate",
    run,
    FIELDS,
    choose,
    "refinekit titrate --used 11.2mL --strength 1mol/L --sample 5mL --copper-strength 80g/L",
    chooses_by=("what",),
    draws=True,
)
"""The verb of titrating."""
