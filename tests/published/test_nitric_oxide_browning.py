"""How fast nitric oxide turns brown: the published third-order rate constant, and the times it stands for."""

import numpy as np
import pytest

from refinekit.chemistry.nitric_oxide import browning_per_ppm_min, half_time_min, left_ppm, rate_constant_cm6_per_s
from refinekit.errors import OutOfRange

ATM = 101325.0


def test_rate_constant_is_the_published_one():
    # IUPAC evaluation, printed as 1.9522e-38 cm6/s at 298.15 K in the mechanism tables of a public air quality model (U.S. EPA)
    assert rate_constant_cm6_per_s(298.15) == pytest.approx(1.9522e-38, rel=1e-4)


def test_rate_constant_agrees_with_the_review_in_litres_and_moles():
    # Tsukahara, Ishida and Mayumi, Nitric Oxide 3 (1999) 191-198: 1.2e3 exp(530/T) L2/(mol2 s), from memory of the review
    litres = rate_constant_cm6_per_s(298.15) * 6.02214076e23**2 / 1e6
    assert litres == pytest.approx(1.2e3 * np.exp(530 / 298.15), rel=0.01)


@pytest.mark.parametrize(
    ("ppm", "minutes"),
    # common statement of the third-order rate: half in 20 s at 1 %, half an hour at 100 ppm, hours at 25 ppm
    [(10_000, 20 / 60), (100, 30.0), (25, 120.0)],
)
def test_half_times_people_quote(ppm, minutes):
    assert half_time_min(ppm, 298.15, ATM) == pytest.approx(minutes, rel=0.15)


def test_half_is_left_after_the_half_time():
    speed = browning_per_ppm_min(298.15, ATM)
    assert left_ppm(80.0, half_time_min(80.0, 298.15, ATM), speed) == pytest.approx(40.0)


def test_warm_air_turns_it_more_slowly_and_thin_air_too():
    assert browning_per_ppm_min(313.15, ATM) < browning_per_ppm_min(283.15, ATM)
    # by the square of the pressure: molecules of nitric oxide a ppm, and oxygen
    assert browning_per_ppm_min(298.15, ATM / 2) == pytest.approx(browning_per_ppm_min(298.15, ATM) / 4)


def test_air_without_a_temperature_is_refused():
    with pytest.raises(OutOfRange, match="temperature"):
        rate_constant_cm6_per_s(0.0)
