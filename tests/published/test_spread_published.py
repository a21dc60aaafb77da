"""Samples against published and closed answers: JCGM 101's worked examples, Ishigami's function, sums and products."""

import math

import numpy as np
import pytest

from refinekit.ranges import Range
from refinekit.shop.draws import Draws, quantile
from refinekit.shop.samples import layers, percentile
from refinekit.shop.shares import shares

COUNT = 200_000
SIX = 6.0  # standard deviations at which a normal figure is cut off: nothing of it is lost that could be seen


def drawn(seed: int, *figures: tuple[str, float, float, float]) -> list[np.ndarray]:
    """Independent figures: shape, low, likely and high of each, in layers."""
    even = layers(COUNT, len(figures), np.random.default_rng(seed))
    return [quantile(Range(*ends), shape, even[:, at], SIX) for at, (shape, *ends) in enumerate(figures)]


def ends(values: np.ndarray, share: float = 95.0) -> tuple[float, float]:
    risen = np.sort(values)
    return percentile(risen, (100 - share) / 2), percentile(risen, (100 + share) / 2)


def test_four_normal_figures_add_up_as_jcgm_101_says() -> None:
    """JCGM 101:2008, 9.2.2: four N(0, 1) add to u = 2.00 and a 95 % interval of -3.92 to 3.92 (from memory)."""
    whole = sum(drawn(1, *[("normal", -SIX, 0.0, SIX)] * 4))
    assert np.std(whole) == pytest.approx(2.00, abs=0.01)
    assert ends(whole) == pytest.approx((-3.92, 3.92), abs=0.04)


def test_four_even_figures_add_up_as_jcgm_101_says() -> None:
    """JCGM 101:2008, 9.2.3: four rectangular figures of u = 1 add to u = 2.00 and -3.88 to 3.88 (from memory)."""
    half = math.sqrt(3)
    whole = sum(drawn(2, *[("even", -half, 0.0, half)] * 4))
    assert np.std(whole) == pytest.approx(2.00, abs=0.01)
    assert ends(whole) == pytest.approx((-3.88, 3.88), abs=0.04)


def test_one_wide_figure_among_four_as_jcgm_101_says() -> None:
    """JCGM 101:2008, 9.2.4: u = 1, 1, 1 and 10, all rectangular: u = 10.1, 95 % from -17.0 to 17.0 (from memory)."""
    half = math.sqrt(3)
    spans = [("even", -half * u, 0.0, half * u) for u in (1, 1, 1, 10)]
    whole = sum(drawn(3, *spans))
    assert np.std(whole) == pytest.approx(10.1, abs=0.06)
    assert ends(whole) == pytest.approx((-17.0, 17.0), abs=0.15)


def test_a_weight_calibrated_in_air_as_jcgm_101_says() -> None:
    """JCGM 101:2008, 9.3, Table 6: 1.234 mg, u = 0.0754 mg, 95 % from 1.083 to 1.382 mg (from memory)."""
    reference, added, air, weight, brass = drawn(
        4,
        ("normal", 100_000 - SIX * 0.05, 100_000.0, 100_000 + SIX * 0.05),
        ("normal", 1.234 - SIX * 0.02, 1.234, 1.234 + SIX * 0.02),
        ("even", 1.10, 1.20, 1.30),
        ("even", 7000.0, 8000.0, 9000.0),
        ("even", 7950.0, 8000.0, 8050.0),
    )
    off = (reference + added) * (1 + (air - 1.2) * (1 / weight - 1 / brass)) - 100_000
    assert np.mean(off) == pytest.approx(1.234, abs=0.002)
    assert np.std(off) == pytest.approx(0.0754, rel=0.01)
    assert ends(off) == pytest.approx((1.083, 1.382), abs=0.004)


def test_a_product_of_lognormal_figures_is_lognormal() -> None:
    """Closed form: the logarithms' variances add, so P5 and P95 stand 1.6449 of the summed deviation from the median."""
    sigmas = (0.2, 0.35, 0.1)
    spans = [("lognormal", math.exp(-SIX * s), 1.0, math.exp(SIX * s)) for s in sigmas]
    product = np.prod(drawn(5, *spans), axis=0)
    deviation = math.sqrt(sum(s**2 for s in sigmas))
    assert ends(product, 90.0) == pytest.approx((math.exp(-1.6449 * deviation), math.exp(1.6449 * deviation)), rel=0.01)


def test_a_sum_of_triangular_figures_has_the_closed_mean_and_variance() -> None:
    """Closed form: mean (a + b + c) / 3 and variance (a2 + b2 + c2 - ab - ac - bc) / 18 add."""
    spans = [(1.0, 2.0, 5.0), (0.0, 0.0, 3.0), (2.0, 6.0, 6.0)]
    whole = sum(drawn(6, *[("triangular", *span) for span in spans]))
    mean = sum(sum(span) / 3 for span in spans)
    variance = sum((a * a + b * b + c * c - a * b - a * c - b * c) / 18 for a, b, c in spans)
    assert np.mean(whole) == pytest.approx(mean, rel=1e-4)
    assert np.var(whole) == pytest.approx(variance, rel=0.01)


def test_a_triangular_figure_has_the_closed_percentiles() -> None:
    """Closed form, 20/30/50: a twentieth lies under 20 + sqrt(0.05 x 30 x 10), another over 50 - sqrt(0.05 x 30 x 20)."""
    (figure,) = drawn(7, ("triangular", 20.0, 30.0, 50.0))
    assert ends(figure, 90.0) == pytest.approx((20 + math.sqrt(15), 50 - math.sqrt(30)), rel=1e-4)


def test_linked_figures_have_the_rank_correlation_asked_for() -> None:
    ranks = np.array([[1.0, 0.7, 0.0], [0.7, 1.0, 0.0], [0.0, 0.0, 1.0]])
    spans = (Range(1, 2, 5), Range(10, 20, 30), Range(0, 1, 2))
    draws = Draws(("a", "b", "c"), spans, ("triangular", "lognormal", "even"), ranks, 2.0)
    values = draws.values(layers(50_000, 3, np.random.default_rng(8)))
    places = {name: np.argsort(np.argsort(column)) for name, column in values.items()}
    assert np.corrcoef(places["a"], places["b"])[0, 1] == pytest.approx(0.7, abs=0.01)
    assert np.corrcoef(places["a"], places["c"])[0, 1] == pytest.approx(0.0, abs=0.02)


def ishigami(even: np.ndarray) -> dict[tuple[str, str], np.ndarray]:
    x = -math.pi + 2 * math.pi * even
    return {("y", "y"): np.sin(x[:, 0]) + 7 * np.sin(x[:, 1]) ** 2 + 0.1 * x[:, 2] ** 4 * np.sin(x[:, 0])}


def test_shares_of_ishigamis_function_are_the_published_ones() -> None:
    """Ishigami and Homma 1990, a = 7, b = 0.1: first order 0.3139, 0.4424, 0; total 0.5576, 0.4424, 0.2437."""
    found = shares(ishigami, 3, [[0], [1], [2]], 40_000, seed=1)["y", "y"]
    assert found.first == pytest.approx([0.3139, 0.4424, 0.0], abs=4 * found.error)
    assert found.total == pytest.approx([0.5576, 0.4424, 0.2437], abs=4 * found.error)
    assert found.error < 0.006


def test_the_shares_error_told_is_the_scatter_of_the_shares() -> None:
    scatter = np.std([shares(ishigami, 3, [[0], [1], [2]], 600, seed)["y", "y"].first for seed in range(40)], axis=0)
    told = shares(ishigami, 3, [[0], [1], [2]], 600, seed=0)["y", "y"].error
    assert scatter.max() == pytest.approx(told, rel=0.35)


def test_shares_of_a_sum_add_to_one_and_are_its_variances() -> None:
    """Closed form: for a sum, first order and total are both each figure's variance over the whole, here 1, 4 and 9 of 14."""

    def run(even: np.ndarray) -> dict[tuple[str, str], np.ndarray]:
        return {("y", "y"): even @ np.array([1.0, 2.0, 3.0])}

    found = shares(run, 3, [[0], [1], [2]], 20_000, seed=2)["y", "y"]
    assert found.first == pytest.approx([1 / 14, 4 / 14, 9 / 14], abs=0.02)
    assert found.total == pytest.approx([1 / 14, 4 / 14, 9 / 14], abs=0.02)
    assert found.first.sum() == pytest.approx(1.0, abs=0.02)


def test_figures_drawn_together_have_one_share() -> None:
    def run(even: np.ndarray) -> dict[tuple[str, str], np.ndarray]:
        return {("y", "y"): even @ np.array([1.0, 2.0, 3.0])}

    found = shares(run, 3, [[0, 1], [2]], 20_000, seed=3)["y", "y"]
    assert found.total == pytest.approx([5 / 14, 9 / 14], abs=0.02)
