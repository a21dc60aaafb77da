"""What records teach of one factor: what is usual elsewhere and this shop's own runs, put together.

A factor's value in a run, on a scale without ends (logarithm, or log odds of a share), is taken as normal about the shop's own
middle, with a spread from run to run that is not known either. Both are learnt by the conjugate update (normal-inverse-gamma);
what is offered is the range of the next run, not of the mean. So runs that agree narrow it, and runs that contradict each other
widen it, beyond what is usual elsewhere if need be.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache
from statistics import NormalDist

from refinekit.facts.load import fact
from refinekit.ranges import Range
from refinekit.record import record

NEAR_END = 0.005
"""How near a share is let come to nothing or all."""


@record
class Record:
    """One run's value of a factor.

    Args:
        value: as it came out
        error: its own relative error, one standard error [-]
        where: the lot or event it comes from
    """

    value: float
    error: float
    where: str = ""


@record
class Learnt:
    """A factor after its records.

    Args:
        prior: what is usual elsewhere
        posterior: the next run's range, nine in ten
        count: records that counted
        poor: records whose own error is as wide as what was known before: they teach nothing and do not count
    """

    prior: Range
    posterior: Range
    count: int
    poor: int


@cache
def normal_quantile() -> float:
    """Standard errors to the end of the range, for a normal."""
    return NormalDist().inv_cdf((1 + fact("practice/book.covered").value) / 2)


def student_quantile(degrees: float) -> float:
    """Standard errors to the end of the range, for Student's distribution.

    Args:
        degrees: of freedom [-]; 4 and up
    Source: Cornish and Fisher's expansion, Abramowitz and Stegun 26.7.5

    >>> round(student_quantile(10), 3)
    1.812
    """
    z = normal_quantile()
    terms = (
        (z**3 + z) / 4,
        (5 * z**5 + 16 * z**3 + 3 * z) / 96,
        (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384,
        (79 * z**9 + 776 * z**7 + 1482 * z**5 - 1920 * z**3 - 945 * z) / 92160,
    )
    return z + sum(term / degrees**power for power, term in enumerate(terms, start=1))


def learn(prior: Range, records: Sequence[Record], *, share: bool) -> Learnt:
    """Put a shop's records to what is usual elsewhere.

    Args:
        prior: what is usual elsewhere, taken as holding nine runs in ten
        records: the shop's own
        share: whether the factor is a share, of 0 to 1
    Returns: Learnt; without a record that counts, the prior as it is
    Source: conjugate update of a normal of unknown mean and variance (DeGroot 1970)
    """
    runs, spread = fact("practice/book.prior_runs").value, fact("practice/book.prior_spread").value
    low, high = _open(prior.low, share), _open(prior.high, share)
    middle, shape = (low + high) / 2, spread / 2
    # the prior's own prediction of the next run is to be the prior range: Student's, of 2 x shape degrees of freedom
    scale = ((high - low) / 2 / student_quantile(2 * shape)) ** 2 * shape * runs / (runs + 1)
    width, good = (high - low) / 2, []
    for one in records:
        error = one.error / (1 - min(max(one.value, NEAR_END), 1 - NEAR_END)) if share else one.error
        if normal_quantile() * error < width:
            good.append((_open(one.value, share), 1 / (1 + error**2 * shape / scale)))
    if not good:
        return Learnt(prior, prior, 0, len(records))
    for value, weight in good:  # one by one: the same as all at once
        scale += runs * weight * (value - middle) ** 2 / (2 * (runs + weight))
        middle = (runs * middle + weight * value) / (runs + weight)
        runs, shape = runs + weight, shape + weight / 2
    reach = student_quantile(2 * shape) * math.sqrt(scale * (runs + 1) / (shape * runs))
    ends = Range(_shut(middle - reach, share), _shut(middle, share), _shut(middle + reach, share))
    return Learnt(prior, ends, len(good), len(records) - len(good))


def _open(value: float, share: bool) -> float:
    if share:
        kept = min(max(value, NEAR_END), 1 - NEAR_END)
        return math.log(kept / (1 - kept))
    return math.log(max(value, NEAR_END**2))


def _shut(value: float, share: bool) -> float:
    return 1 / (1 + math.exp(-value)) if share else math.exp(value)
