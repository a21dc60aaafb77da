"""The account of a lot: what was expected, what was found and where, whether the gap proves anything, and what it pays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from refinekit.bench.account_error import sampling_of
from refinekit.bench.account_items import Shared, items_of, say_items, stamps_g
from refinekit.bench.account_sums import settlement, sigmas_of, verdicts
from refinekit.bench.account_where import by_pot, say_where
from refinekit.bench.fields import METALS, Field, Room, refuse_strange
from refinekit.bench.lot_fields import BALANCE_FIELD, ITEMS_FIELDS, balance_of_items
from refinekit.bench.lot_items import is_item
from refinekit.bench.lot_metals import combined_error, triangular_error
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.bench.work import Work
from refinekit.errors import BadQuantity, CannotFollow
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, high, in_words, likely, low

STREAMS = ("slag", "crucible", "filters", "wipes", "bath", "rinses", "stock-pot", "samples", "returned")
"""Where metal may be beside the bar; each is told as fine metal."""
FIELDS = (
    Field("metal", "choice", "", "the metal accounted for", choices=("gold", "silver", "palladium", "platinum")),
    Field("expected", "mass", "g", "fine metal the lot should hold", above_zero=True),
    ITEMS_FIELDS[0],
    replace(BALANCE_FIELD, default_from=balance_of_items),
    ITEMS_FIELDS[2],
    Field("sigma", "mass", "g", "one standard error of that", above_zero=True),
    Field("error", "share", "", "the same, as a share of it", above_zero=True, highest=1.0),
    Field("metal-in", "mass", "g", "all the metal that went in, fine or not", above_zero=True),
    Field("bar", "mass", "g", "weight of the bar"),
    Field("fineness", "fineness", "", "fineness of the bar", highest=1.0),
    *(Field(stream, "mass", "g", f"fine metal in {stream.replace('-', ' ')}") for stream in STREAMS),
    Field("sample", "mass", "g", "a sample that was assayed", above_zero=True),
    Field("sampled", "mass", "g", "what it was taken from", above_zero=True),
    Field("piece", "length", "mm", "size of its largest pieces", above_zero=True),
    Field("flakes", "flag", "", "its gold lies as flakes or foil"),
    Field("grade", "grade", "g/kg", "metal in a kilogram of it", above_zero=True, highest=1000.0),
    Field("split-a", "grade", "g/kg", "grade of one half of a split", above_zero=True, highest=1000.0),
    Field("split-b", "grade", "g/kg", "grade of the other half", above_zero=True, highest=1000.0),
    Field("assay-error", "share", "", "one standard error of the assay", highest=1.0),
    Field("price", "price", "g", "price of the fine metal"),
    Field("payable", "share", "", "share of it that is paid", highest=1.0),
    Field("fee", "money", "", "charge for the lot"),
)


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Any) -> Step:
    """Set what was found against what was expected.

    Args:
        pots: what stands on the bench at the end of a plan; they stay as they are
        place: the shop
        told: expected, bar, streams, errors, price, see FIELDS
    Returns: Step with found, gap, its standard errors, verdict, where to look, sampling error, settlement
    Raises: CannotFollow, nothing to account for; BadQuantity, more metal out than went in; OutOfRange
    Source: verdict lines and places, facts/practice/account.toml; Gy (1979)
    """
    refuse_strange("an account", {name for name in told if not is_item(name)}, {field.arg for field in FIELDS})
    work = Work("account", place=place)
    symbol = METALS[told.get("metal") or "gold"]
    planned = by_pot(pots, symbol)
    if pots and "metal_in_g" not in told:  # no bar is heavier than all the metal that stands on the bench
        told["metal_in_g"] = sum((pot.element_g(metal) for pot in pots for metal in METALS.values()), 0.0)
    sampling = sampling_of(work, told)
    bar_fine = _bar(work, told)
    items = items_of(work, told, told.get("metal") or "gold")
    expected = _expected(told, planned, items)
    if expected is not None and high(expected) > 0:
        _balance(work, {**told, "stamps_g": stamps_g(work, told, items)}, expected, bar_fine, sampling, planned)
    elif bar_fine is None and not sampling:
        raise CannotFollow(
            "there is nothing to account for", cure="give --expected 2.10g --sigma 0.30g --bar 1.70g --fineness 953"
        )
    paid = _settle(work, told, bar_fine)
    if expected is not None:
        say_items(work, items, _shared(told, expected, bar_fine, planned, paid))
    work.say("next", "write the account down with the lot; keep every stream until it balances")
    step = work.done(None, title=_title(told, expected))
    return replace(step, before=tuple(pots), pots=tuple(pots))


def _expected(told: Mapping[str, Any], planned: Mapping[str, Number], items: Sequence[tuple[Any, Number]]) -> Number | None:
    """What should be there: as told, by what stands on the bench, or by the items; None where nothing says."""
    if "expected_g" in told:
        return told["expected_g"]  # type: ignore[no-any-return]
    if planned:
        return sum(planned.values(), 0.0)
    return sum((grams for _, grams in items), 0.0) if items else None


def _shared(
    told: Mapping[str, Any], expected: Number, bar_fine: Number | None, planned: Mapping[str, Number], paid: Number | None
) -> Shared:
    """What there is to share out by item: the bar that was told, else the bar of the plan."""
    metal = told.get("metal") or "gold"
    price = told.get("price")
    if bar_fine is not None:
        return Shared(metal, expected, bar_fine, True, paid, (price.currency or "money") if price else "")
    return Shared(metal, expected, planned.get("bar"), False)


def _title(told: Mapping[str, Any], expected: Number | None) -> str:
    word = told.get("metal") or "gold"
    return f"{word}, {in_words(likely(expected), 'g')} expected" if expected is not None else str(word)


# ---- what was found
def _bar(work: Work, told: Mapping[str, Any]) -> Number | None:
    """Fine metal of the bar; None where there is no bar."""
    bar = told.get("bar_g")
    if bar is None:
        return None
    most = told.get("metal_in_g")
    if most is not None and low(bar) > high(most):
        raise BadQuantity(
            f"a bar of {low(bar):.5g} g out of {high(most):.5g} g of metal cannot be",
            cure="look for base metal or flux cast in, damp powder weighed as dry, a second lot in it, or a wrong weight",
        )
    fineness = told.get("fineness")
    if fineness is None:
        work.notice(
            "warn",
            "bar-without-fineness",
            "the bar is counted as all fine: base metal in it would be taken for yield",
            "have it assayed or weighed in water, and give --fineness",
            "practice",
        )
        work.assume("the bar is all fine")
        fineness = 1.0
    fine: Number = bar * fineness
    work.answer("fine_in_bar", fine, "g", sized_on="low to sell by", because="weight x fineness")
    work.working("bar", "weight x fineness", f"{likely(bar):.5g} g x {likely(fineness):.5g}", f"{likely(fine):.5g} g")
    return fine


def _balance(
    work: Work,
    told: Mapping[str, Any],
    expected: Number,
    bar_fine: Number | None,
    sampling: Mapping[str, float],
    planned: Mapping[str, Number],
) -> None:
    streams = {stream: told[f"{stream.replace('-', '_')}_g"] for stream in STREAMS if f"{stream.replace('-', '_')}_g" in told}
    work.answer(
        "expected",
        expected,
        "g",
        sized_on="likely, with its error",
        because="by the lot" if "expected_g" in told else "by the plan" if planned else "by the items",
    )
    if bar_fine is None and not streams:
        _planned_table(work, planned, expected)
        return
    found = sum(streams.values(), bar_fine if bar_fine is not None else 0.0)
    most = told.get("metal_in_g")
    if most is not None and low(found) > high(most):
        raise BadQuantity(
            f"{low(found):.5g} g found in all streams, out of {high(most):.5g} g of metal put in, cannot be",
            cure="look for a stream counted twice, base metal taken for fine, damp powder, or another lot's filters among these",
        )
    sigma = _sigma(work, told, expected, sampling)
    _table(work, told, expected, bar_fine, streams)
    gap = expected - found
    sigmas = sigmas_of(expected, found, sigma)
    work.answer("found", found, "g", because="bar and all streams told")
    work.answer("accounted", 100 * found / expected, "%", because="found over expected")
    work.answer("gap", gap if low(gap) != high(gap) else likely(gap), "g", because="expected less found")
    work.answer("sigma", sigma, "g", because="one standard error of what was expected")
    work.answer("sigmas", sigmas, "", sized_on="likely", because="gap over its error")
    word = str(np.ravel(verdicts(sigmas))[0])
    work.say("verdict", _verdict(word))
    work.working(
        "gap",
        "(expected - found) / sigma",
        f"({likely(expected):.5g} - {likely(found):.5g}) g / {likely(sigma):.4g} g",
        f"{likely(sigmas):.3g} standard errors: {word}",
        "practice/account.verdict.short",
    )
    _notice(work, word, likely(gap))
    usual = fact("practice/account.verdict.loss").range * likely(expected)
    work.answer("usual_loss", usual, "g", because="what a small lot leaves in filters and pots, all of it recoverable")
    if likely(gap) > 0:
        say_where(work, likely(expected), likely(gap), likely(sigma), streams, planned)


def _verdict(word: str) -> str:
    return {
        "balanced": "balanced: the gap is within the uncertainty of the estimate",
        "not proven": "not proven: shortfall is within twice the uncertainty of the estimate",
        "short": "short: more is missing than twice the uncertainty of the estimate",
        "over": "over: more was found than twice the uncertainty of the estimate allows",
    }[word]


def _notice(work: Work, word: str, gap_g: float) -> None:
    if word == "short":
        work.notice(
            "warn",
            "account-short",
            f"{gap_g:.3g} g is missing, more than twice the error of the estimate",
            "test the streams not yet tested, weigh and assay again, before anybody is asked",
            "practice",
        )
    elif word == "over":
        work.notice(
            "warn",
            "account-over",
            f"{-gap_g:.3g} g too much: base metal taken for fine, damp powder, another lot's metal, or a low estimate",
            "dry and assay the bar again, and look through the estimate",
            "practice",
        )


def _sigma(work: Work, told: Mapping[str, Any], expected: Number, sampling: Mapping[str, float]) -> Number:
    """One standard error of what was expected: told, or by its range; sampling and assay on top."""
    if "sigma_g" in told:
        return told["sigma_g"]  # type: ignore[no-any-return]
    if "error" in told:
        own: Number = told["error"] * expected
        if "expected_g" not in told:  # by a plan: what its ranges leave open comes on top
            own = np.hypot(own, triangular_error(expected) * likely(expected))
    else:
        own = np.hypot(triangular_error(expected) * likely(expected), told["stamps_g"])
        if high(own) <= 0 and not sampling:
            own = work.default(None, "practice/account.sigma_unknown", "error of the estimate, share of it") * likely(expected)
    more = combined_error(sampling.values()) * likely(expected) if sampling else 0.0
    return np.sqrt(own**2 + more**2)


def _table(work: Work, told: Mapping[str, Any], expected: Number, bar_fine: Number | None, streams: Mapping[str, Number]) -> None:
    rows: list[tuple[str | float | Range, ...]] = []
    if bar_fine is not None:
        fineness = Range.over(1000 * told["fineness"]) if "fineness" in told else "not told"
        rows.append(("bar", Range.over(told["bar_g"]), fineness, Range.over(bar_fine), _percent(bar_fine, expected)))
    rows += [(stream.replace("-", " "), "", "", Range.over(fine), _percent(fine, expected)) for stream, fine in streams.items()]
    work.table("streams", ("stream", "grams", "fineness", "fine, g", "% of expected"), rows)


def _percent(fine: Number, expected: Number) -> Range | str:
    """Share of what is expected; no figure where that may be nothing."""
    return Range.over(100 * fine / expected) if low(expected) > 0 else ""


def _planned_table(work: Work, planned: Mapping[str, Number], expected: Number) -> None:
    rows = [(name, "", "", Range.over(fine), _percent(fine, expected)) for name, fine in planned.items()]
    if rows:
        work.table("where it is by the plan", ("stream", "grams", "fineness", "fine, g", "% of expected"), rows)
    work.say("verdict", "no bar told: give its weight, its fineness and the streams, and the account says whether it balances")


# ---- what it pays
def _settle(work: Work, told: Mapping[str, Any], bar_fine: Number | None) -> Number | None:
    """What the bar is paid, over the price's range; None where no price was told."""
    price = told.get("price")
    if price is None:
        return None
    if bar_fine is None:
        raise CannotFollow("a settlement needs a bar", cure="give --bar 12.40g --fineness 996.5")
    each, payable, fee = price.range, told.get("payable", 1.0), told.get("fee", 0.0)
    money = price.currency or "money"
    bar, fineness = told["bar_g"], told.get("fineness", 1.0)
    value, paid = settlement(bar, fineness, each.likely), settlement(bar, fineness, each.likely, payable, fee)
    work.answer("value", value, money, sized_on="low", because="fine metal x price")
    work.answer("paid", paid, money, sized_on="low", because="fine metal x price x payable share, less the fee")
    work.working(
        "settlement",
        "weight x fineness x price x payable - fee",
        f"{likely(bar):.5g} g x {likely(fineness):.5g} x {each.likely:.6g} /g x {likely(payable):.4g} - {likely(fee):g}",
        f"{likely(paid):.6g} {money}",
    )
    if each.is_point:
        return paid
    low_end, likely_end, high_end = (
        likely(settlement(bar, fineness, one, payable, fee)) for one in (each.low, each.likely, each.high)
    )
    ends = Range(low_end, likely_end, high_end)
    work.answer("paid_by_price", ends, money, sized_on="low", because="over the price's own range")
    return np.array([ends.likely, ends.low, ends.high])


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """Every pot: what stands on the bench is what should be found."""
    return tuple(pots)


ROOM = Room(
    "account", run, FIELDS, choose, "refinekit account --expected 2.10g --sigma 0.30g --bar 1.62g --fineness 1000 --slag 0.03g"
)
"""The verb of the account."""
