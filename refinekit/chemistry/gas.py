"""Gas at the shop's temperature and altitude: ideal, which at room pressure is good to a part in two hundred."""

from __future__ import annotations

import numpy as np

from refinekit.errors import OutOfRange
from refinekit.facts.load import fact
from refinekit.ranges import Number, likely


def molar_volume_l(temperature_k: Number | None = None, pressure_pa: Number | None = None) -> Number:
    """Litres a mole of gas takes up.

    Args:
        temperature_k: temperature of the gas [K]; above 0; left out, 25 C
        pressure_pa: pressure of the air round it [Pa]; above 0; left out, one atmosphere
    Returns: molar volume [L/mol]
    Raises: OutOfRange, no such temperature or pressure
    Source: V = R T / P; R of CODATA 2018 in facts/constants.toml

    >>> molar_volume_l(298.15, 101325)
    24.465
    """
    kelvin = fact("constants.shop_temperature").value if temperature_k is None else temperature_k
    pascal = fact("constants.standard_pressure").value if pressure_pa is None else pressure_pa
    if not np.all(np.isfinite(kelvin) & np.greater(kelvin, 0)):
        raise OutOfRange(
            f"{likely(kelvin):.4g} K is no temperature of a gas", cure="give degrees with their scale, as in 18 degC"
        )
    if not np.all(np.isfinite(pascal) & np.greater(pascal, 0)):
        raise OutOfRange(
            f"{likely(pascal):.4g} Pa is no air pressure", cure="give an altitude or a pressure, as in 350 m or 970 hPa"
        )
    return 1000 * fact("constants.gas_constant").value * kelvin / pascal


def litres(mol: Number, temperature_k: Number | None = None, pressure_pa: Number | None = None) -> Number:
    """Litres of gas from moles.

    Args:
        mol: gas [mol]; 0 and up, float or array
        temperature_k: temperature of the gas [K]; above 0; left out, 25 C
        pressure_pa: pressure [Pa]; above 0; left out, one atmosphere
    Returns: volume [L]
    Raises: OutOfRange, no such temperature or pressure
    Source: as `molar_volume_l`

    >>> litres(2, 273.15, 101325)
    44.83
    """
    return mol * molar_volume_l(temperature_k, pressure_pa)


def moles(volume_l: Number, temperature_k: Number | None = None, pressure_pa: Number | None = None) -> Number:
    """Moles of gas in litres.

    Args:
        volume_l: gas [L]; 0 and up, float or array
        temperature_k: temperature of the gas [K]; above 0; left out, 25 C
        pressure_pa: pressure [Pa]; above 0; left out, one atmosphere
    Returns: amount [mol]
    Raises: OutOfRange, no such temperature or pressure
    Source: as `molar_volume_l`
    """
    return volume_l / molar_volume_l(temperature_k, pressure_pa)


def pressure_at_altitude(altitude_m: Number) -> Number:
    """Air pressure at a height above the sea in the standard atmosphere; the weather moves it by 3 %.

    Args:
        altitude_m: height of the shop [m]; -430 to 6000
    Returns: pressure [Pa]
    Raises: OutOfRange, no shop stands there
    Source: ISO 2533, troposphere; facts/constants.toml

    >>> pressure_at_altitude(1000.0)
    89874.6
    """
    lowest, highest = fact("constants.lowest_altitude").value, fact("constants.highest_altitude").value
    if not np.all((np.asarray(altitude_m) >= lowest) & (np.asarray(altitude_m) <= highest)):
        raise OutOfRange(
            f"{likely(altitude_m):.4g} m is no height for a shop",
            cure=f"give {lowest:g} to {highest:g} m above the sea, as in 350 m",
        )
    cooled = 1 - fact("constants.lapse_rate").value * altitude_m / fact("constants.sea_level_temperature").value
    return fact("constants.standard_pressure").value * cooled ** fact("constants.barometric_exponent").value
