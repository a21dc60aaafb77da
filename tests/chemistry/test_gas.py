"""Gas at the shop's temperature and altitude."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.chemistry.gas import litres, molar_volume_l, moles, pressure_at_altitude
from refinekit.errors import OutOfRange

ATM = 101325


@pytest.mark.parametrize(
    ("celsius", "pascal", "litre"),
    [
        pytest.param(0, ATM, 22.414, id="CODATA, molar volume of ideal gas at 273.15 K, 101325 Pa"),
        pytest.param(0, 100000, 22.711, id="CODATA, molar volume of ideal gas at 273.15 K, 100 kPa"),
        pytest.param(25, ATM, 24.465, id="0.082057 L atm/(mol K) x 298.15 K"),
    ],
)
def test_a_mole_of_gas(celsius, pascal, litre):
    assert molar_volume_l(celsius + 273.15, pascal) == pytest.approx(litre, abs=0.0006)


def test_gas_takes_more_room_up_a_hill_in_winter():
    # 50.77 mmol at 15 C and 0.83 atm: n R T/P by hand, 0.05077 x 0.082057 x 288.15/0.83
    assert litres(0.05077, 288.15, 0.83 * ATM) == pytest.approx(1.44632, rel=0.005)


def test_nothing_said_means_25_degrees_and_one_atmosphere():
    assert molar_volume_l() == pytest.approx(24.465, abs=0.001)


@pytest.mark.parametrize(
    ("metres", "pascal"),
    [
        pytest.param(0, 101325, id="ISO 2533 / ICAO Doc 7488, sea level"),
        pytest.param(1000, 89874.6, id="ISO 2533 / ICAO Doc 7488, 1000 m"),
        pytest.param(2000, 79495.2, id="ISO 2533 / ICAO Doc 7488, 2000 m"),
        pytest.param(3000, 70108.5, id="ISO 2533 / ICAO Doc 7488, 3000 m"),
        pytest.param(5000, 54019.9, id="ISO 2533 / ICAO Doc 7488, 5000 m"),
    ],
)
def test_air_pressure_of_the_standard_atmosphere(metres, pascal):
    # ICAO counts geopotential metres; the difference from tape-measure metres is 4 m in 5000
    assert pressure_at_altitude(float(metres)) == pytest.approx(pascal, rel=2e-5)


def test_many_shops_at_once():
    heights = np.array([0.0, 1000.0, 2000.0])
    assert pressure_at_altitude(heights) == pytest.approx([101325, 89874.6, 79495.2], rel=2e-5)


@given(st.floats(1e-6, 1e3), st.floats(250, 400), st.floats(4e4, 1.1e5))
def test_litres_and_moles_undo_each_other(mol, kelvin, pascal):
    assert moles(litres(mol, kelvin, pascal), kelvin, pascal) == pytest.approx(mol, rel=1e-12)


@given(st.floats(-400, 5900))
def test_higher_is_thinner(metres):
    assert pressure_at_altitude(metres + 50) < pressure_at_altitude(metres)


@pytest.mark.parametrize("metres", [-500.0, 9000.0, float("nan")])
def test_no_shop_stands_there(metres):
    with pytest.raises(OutOfRange, match=r"is no height for a shop\n  Try: give -430 to 6000 m"):
        pressure_at_altitude(metres)


@pytest.mark.parametrize(
    ("kelvin", "pascal", "words"), [(0.0, ATM, "no temperature of a gas"), (298.15, -1.0, "no air pressure")]
)
def test_impossible_gas(kelvin, pascal, words):
    with pytest.raises(OutOfRange, match=words):
        molar_volume_l(kelvin, pascal)
