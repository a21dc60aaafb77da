"""Prices as suppliers write them, as money for one base unit."""

import pytest

from refinekit.errors import BadQuantity
from refinekit.units import read_price


def fault(text, **options):
    with pytest.raises(BadQuantity) as caught:
        read_price(text, name="price", **options)
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "each", "per", "currency"),
    [
        ("4.20 /L", 4.2, "L", ""),
        ("4.20/L", 4.2, "L", ""),
        ("4.20 / litre", 4.2, "L", ""),
        ("18 per kg", 0.018, "g", ""),
        ("100 /g", 100, "g", ""),
        ("1.20 /kWh", 1.2 / 3600, "kJ", ""),
        ("$60/oz t", 60 / 31.1034768, "g", "$"),
        ("60 EUR/oz t", 60 / 31.1034768, "g", "EUR"),
        ("EUR 60 per oz t", 60 / 31.1034768, "g", "EUR"),
        ("42 per 2.5 L", 16.8, "L", ""),
        ("2 each", 2, "each", ""),
        ("3 per piece", 3, "each", ""),
        ("10 per 100 pc", 0.1, "each", ""),
        ("0 /L", 0, "L", ""),
    ],
)
def test_a_price_is_for_one_base_unit(text, each, per, currency):
    found = read_price(text, name="price")
    assert found.range.likely == pytest.approx(each, rel=1e-14)
    assert (found.per, found.currency, found.text) == (per, currency, text)


@pytest.mark.parametrize("text", ["3.8/4.2/5 /L", "$3.8/$4.2/$5 per L", "3.8 / 4.2 / 5 EUR / L"])
def test_a_price_may_be_a_range(text):
    found = read_price(text, name="price").range
    assert (found.low, found.likely, found.high) == (3.8, 4.2, 5)


def test_what_an_amount_costs():
    assert read_price("18 per kg", name="price").cost(250, "g") == pytest.approx(4.5)
    with pytest.raises(BadQuantity, match="the price 18 per kg is per g, the amount is in L\n  Try: a price per L"):
        read_price("18 per kg", name="price").cost(2, "L")


def test_a_bare_sum_takes_the_options_unit_and_says_so():
    found = read_price("18", name="price", unit="kg")
    assert (found.range.likely, found.per, found.assumed) == (0.018, "g", "price 18 read as 18 per kg")


def test_a_plain_ounce_is_told():
    assert read_price("60 /oz", name="price").assumed == "price 60 /oz read with oz as avoirdupois ounces (oz t is troy)"


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("4.20", "a price is for an amount, none is named"),
        ("4.20 /", "a price is for an amount, none is named"),
        ("/L", "no number here"),
        ("L", "a price is for an amount, none is named"),
        ("x /L", "a number goes before the unit"),
        ("4.20 /m", "m is not a unit anything is sold by"),
        ("4.20 /xyzzy", "xyzzy is not a unit anything is sold by"),
        ("4.20 kg/L", "not a currency sign, nor a code of three capitals"),
        ("-4 /L", "below zero, where a sum of money cannot be"),
        ("4/5 /L", "two values may be a half, or the ends of a range"),
        ("6/5/4 /L", "out of order, less than the figure before it"),
        ("5 per 0 g", "zero, where an amount above zero is needed"),
        ("5 per 1e400 g", "too large to be meant"),
        ("5 per 1e-300 g", "too small to be meant"),
        ("5 /ton", "a ton may be 1000 kg, 2000 lb or 2240 lb"),
        ("1,50 /L", "a comma may be a decimal mark or a mark of thousands"),
        ("nan /L", "not a finite number"),
    ],
)
def test_what_is_no_price_is_shown(text, line):
    assert f"^ {line}\n  Try: " in fault(text)


def test_a_decimal_comma_is_read_where_asked_for():
    assert read_price("1,50 /L", name="price", decimal_comma=True).range.likely == 1.5
