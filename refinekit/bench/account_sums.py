"""The account as sums: gap against its error, sampling error by Gy's simple form, error by two splits, settlement."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from refinekit.errors import OutOfRange
from refinekit.facts.load import fact
from refinekit.ranges import Number, high, low

SETTLED = 9
"""Decimals to which a gap is taken before it is held against a line."""


def sigmas_of(expected_g: Number, found_g: Number, sigma_g: Number) -> Number:
    """How many standard errors are missing.

    Args:
        expected_g: what should be there [g]
        found_g: what was found in all streams [g]
        sigma_g: one standard error of the expectation [g]; above 0
    Returns: gap over error [-]; under 0 where more was found than expected
    Raises: OutOfRange, an error of nothing
    """
    if low(sigma_g) <= 0:
        raise OutOfRange(
            "an expectation with no error at all cannot be held against anything", cure="give --sigma 0.3g, or --error 5%"
        )
    return (expected_g - found_g) / sigma_g


def verdicts(sigmas: Number) -> NDArray[Any]:
    """The verdict of each account.

    Args:
        sigmas: as `sigmas_of`; float or array
    Returns: "balanced", "not proven", "short" or "over", shaped as the argument. A gap on the line itself is not over it, and
        one standard error is no longer balanced: rounding of the sum never decides
    Source: lines of facts/practice/account.toml

    >>> [str(word) for word in verdicts(np.array([0.4, 1.5, 2.3, -2.5]))]
    ['balanced', 'not proven', 'short', 'over']
    """
    balanced, short = (fact(f"practice/account.verdict.{line}").value for line in ("balanced", "short"))
    gap = np.round(np.asarray(sigmas), SETTLED)
    words = [gap > short, gap < -short, np.abs(gap) >= balanced]
    return np.select(words, ["short", "over", "not proven"], "balanced")


def gy_error(sample_g: Number, lot_g: Number, piece_cm: Number, share: Number, *, flakes: bool = False) -> Number:
    """Least relative error a sample can have, by the size of its pieces: Gy's simple form, gold lying free.

    Args:
        sample_g: what was taken [g]; above 0, up to the lot
        lot_g: what it was taken from [g]
        piece_cm: size of the largest pieces, 95 % pass it [cm]; above 0
        share: gold share of the lot [-]; above 0 and under 1
        flakes: whether the gold lies as flakes or foil
    Returns: one standard error of the grade, relative to it [-]
    Raises: OutOfRange, a sample larger than its lot, or no gold
    Source: s^2 = c f g l d^3 (1/sample - 1/lot), liberation l = 1 (Gy 1979)
    """
    if high(sample_g / lot_g) > 1 + 1e-9:
        raise OutOfRange("the sample is larger than the lot", cure="give --sample 50g --sampled 2kg")
    if low(share) <= 0 or high(share) >= 1:
        raise OutOfRange(
            f"a grade of {1000 * low(share):g} g/kg has no sampling error", cure="give the grade, as in --grade 4g/kg"
        )
    gold, gangue = fact("materials.solid.Au.density").value, fact("practice/account.gy.gangue_density").value
    mineral = (1 - share) / share * ((1 - share) * gold + share * gangue)
    shape = fact(f"practice/account.gy.{'flake_shape' if flakes else 'shape'}").value
    constant = mineral * shape * fact("practice/account.gy.size_range").value
    variance = constant * piece_cm**3 * np.maximum(1 / sample_g - 1 / lot_g, 0.0)
    return np.sqrt(variance)


def split_error(first: Number, second: Number) -> Number:
    """One standard error of the mean of two splits, relative to it [-]: half their difference.

    >>> round(float(split_error(3.8, 4.2)), 6)
    0.05
    """
    return np.abs(first - second) / (first + second)


def settlement(weight_g: Number, fineness: Number, price_per_g: Number, payable: Number = 1.0, fee: Number = 0.0) -> Number:
    """What a bar is paid.

    Args:
        weight_g: the bar [g]
        fineness: its assay [-]
        price_per_g: price of fine metal [money/g]
        payable: share of it that is paid [-]; 0 to 1
        fee: charge for the lot [money]
    Returns: sum paid [money]; under 0 where the charge is more than the metal
    Source: weight x fineness x price x payable share - fee

    >>> round(settlement(12.40, 0.9965, 100.0, 0.985), 2)
    1217.13
    """
    return weight_g * fineness * price_per_g * payable - fee
