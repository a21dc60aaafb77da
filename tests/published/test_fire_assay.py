"""Fire assay against the old textbooks: ounces to the ton by bead and sample, bullion by the thousand, the proof's correction."""

import pytest

from refinekit.bench.fineness_sums import cornet_fineness, grade_of_bead
from refinekit.units.kinds import ASSAY_TON_G

LONG_PER_SHORT = 2240 / 2000
"""Pounds in the ton the English books report to, over those of the ton the command reports to."""
PER_MILLION = 1e5 / 1e6
"""Parts in 100,000 of one part in a million."""


@pytest.mark.parametrize(
    ("sample_g", "bead_g", "ounces_to_the_long_ton", "within"),
    [
        # Beringer, A Text-Book of Assaying, 9th edition 1904 (Project Gutenberg 18751), chapter I: 32.6667 g as the assay ton,
        # each 0.001 g is an ounce to the ton
        pytest.param(32.6667, 0.001, 1.0, 1e-5, id="assay ton"),
        # the same, the silver chapter's table for 20 g: 0.1 g is 163.33 oz, 0.04 g 65.33, 0.007 g 11.43, 0.0001 g 0.16
        pytest.param(20.0, 0.1, 163.33, 3e-5, id="20 g, a decigram"),
        pytest.param(20.0, 0.04, 65.33, 8e-5, id="20 g, four centigrams"),
        pytest.param(20.0, 0.007, 11.43, 5e-4, id="20 g, seven milligrams"),
        # the same, ore with metallics: 0.1471 g from 20 g is 240.25 oz by adding up four rounded figures of the table
        pytest.param(20.0, 0.1471, 240.25, 8e-5, id="20 g, ore with metallics"),
        # the same ore the other way: 1 g at 84.2 % and 399 g at 0.525 % are 0.7342 % of it, 239.84 oz
        pytest.param(400.0, 1.0 * 0.842 + 399 * 0.105 / 20, 239.84, 5e-5, id="400 g by its fractions"),
    ],
)
def test_ounces_to_the_ton_of_the_mining_assayers(
    sample_g: float, bead_g: float, ounces_to_the_long_ton: float, within: float
) -> None:
    assert grade_of_bead(bead_g, sample_g)[1] * LONG_PER_SHORT == pytest.approx(ounces_to_the_long_ton, rel=within)


@pytest.mark.parametrize("parts_in_a_hundred_thousand", [1.0, 12.5])
@pytest.mark.parametrize(
    ("times", "per_ounce"),
    [
        # Beringer, chapter I: parts per 100,000 by 0.327 are ounces to the ton, by 6.53 pennyweights, by 156.8 grains
        pytest.param(0.327, 1, id="ounces"),
        pytest.param(6.53, 20, id="pennyweights"),
        pytest.param(156.8, 480, id="grains"),
    ],
)
def test_the_rule_from_parts_to_ounces(parts_in_a_hundred_thousand: float, times: float, per_ounce: float) -> None:
    per_t, per_short = grade_of_bead(parts_in_a_hundred_thousand, 1e5)
    assert per_t * PER_MILLION == pytest.approx(parts_in_a_hundred_thousand)
    # the factors are printed to three and four figures
    assert per_short * LONG_PER_SHORT * per_ounce == pytest.approx(times * parts_in_a_hundred_thousand, rel=1.1e-3)


def test_an_assay_ton_of_the_short_ton() -> None:
    """29.166 g: Rose, The Metallurgy of Gold, p. 496, and the Dictionary of Mining, Mineral, and Related Terms (29.166+ g)."""
    assert float(ASSAY_TON_G) == pytest.approx(29.1667, abs=1e-4)


@pytest.mark.parametrize(
    ("bullion_g", "found_g", "parts"),
    [
        # Beringer, exercises of chapter I: the book sets the sums, the quotients are long division
        pytest.param(0.6, 0.5500, 916.67, id="gold, 22 karat"),
        pytest.param(1.1, 1.017, 924.55, id="silver, near sterling"),
        pytest.param(1.14, 1.026, 900.00, id="silver, coin"),
    ],
)
def test_bullion_by_the_thousand(bullion_g: float, found_g: float, parts: float) -> None:
    assert 1000 * cornet_fineness(bullion_g, found_g) == pytest.approx(parts, abs=0.005)


def test_a_bead_that_lost_in_the_cupel_is_corrected_by_its_check() -> None:
    """Beringer, chapter I: 0.5 g of silver cupelled beside it left 0.495 g, a loss of 0.005 g, a hundredth of it."""
    assert 1000 * cornet_fineness(0.5, 0.495, proof_g=0.5, proof_cornet_g=0.495) == pytest.approx(1000.0)
    assert 1000 * cornet_fineness(0.5, 0.495) == pytest.approx(990.0)


def test_a_check_of_gold_that_is_not_quite_fine() -> None:
    """Rose, The Metallurgy of Gold, the mint's surcharge (figures from memory, to be verified).

    Cornet p = 920.3, check a = 920 of gold 0.1 in the thousand under fine, gain b = 0.3: x = p - a k/1000 - b = 919.908.
    """
    sample_g, cornet_g, check_g, under, gain_g = 1.0, 0.9203, 0.920, 0.0001, 0.0003
    found = cornet_fineness(sample_g, cornet_g, proof_g=check_g * (1 - under), proof_cornet_g=check_g + gain_g)
    assert 1000 * found == pytest.approx(919.908, abs=5e-4)
