"""Nitric oxide turning brown in air, by its published third-order rate: quick where it is strong, hours where it is thin.

Oxygen counts as that of clean air throughout: fume in a room never eats a tenth of it before everybody has left.
"""

from __future__ import annotations

import numpy as np

from refinekit.errors import OutOfRange
from refinekit.facts.load import fact
from refinekit.ranges import Number, low

CM3_PER_M3 = 1e6
PER_MILLION = 1e6


def rate_constant_cm6_per_s(temperature_k: Number) -> Number:
    """Third-order rate constant of 2 NO + O2 -> 2 NO2, -d[NO]/dt = 2 k [NO]^2 [O2].

    Args:
        temperature_k: air [K]; 270 to 600
    Returns: k, per molecule [cm6/s]
    Raises: OutOfRange, no temperature
    Source: IUPAC evaluation, facts/nitric_oxide.toml

    >>> rate_constant_cm6_per_s(298.15)
    1.952e-38
    """
    if not low(temperature_k) > 0:
        raise OutOfRange("air has a temperature above nothing", cure="give it with its scale, as in 25 degC")
    k: Number = fact("nitric_oxide.rate.at_no_heat").value * np.exp(fact("nitric_oxide.rate.over_t").value / temperature_k)
    return k


def browning_per_ppm_min(temperature_k: Number, pressure_pa: Number) -> Number:
    """Speed of nitric oxide's browning in air: d(ppm)/dt = -speed ppm^2.

    Args:
        temperature_k: air [K]; 270 to 600
        pressure_pa: air [Pa]; above 0
    Returns: speed [1/(ppm min)]
    Raises: OutOfRange, no temperature
    Source: `rate_constant_cm6_per_s`, oxygen 20.95 % of the air
    """
    k = rate_constant_cm6_per_s(temperature_k)
    mol_per_m3 = pressure_pa / (fact("constants.gas_constant").value * temperature_k)
    molecules_per_cm3 = mol_per_m3 * fact("constants.avogadro").value / CM3_PER_M3
    oxygen = fact("constants.oxygen_in_air").value * molecules_per_cm3
    return 2 * k * oxygen * molecules_per_cm3 / PER_MILLION * 60


def half_time_min(ppm: Number, temperature_k: Number, pressure_pa: Number) -> Number:
    """Minutes in which half of nitric oxide in air turns to nitrogen dioxide.

    Args:
        ppm: nitric oxide at the start [ppm]; above 0
        temperature_k: air [K]
        pressure_pa: air [Pa]
    Returns: time [min]
    Source: second order in nitric oxide where oxygen is plenty, t = 1/(speed ppm)

    >>> half_time_min(10000, 298.15, 101325)
    0.3354
    """
    return 1 / (browning_per_ppm_min(temperature_k, pressure_pa) * ppm)


def left_ppm(ppm: Number, minutes: Number, speed_per_ppm_min: Number) -> Number:
    """Nitric oxide left after some time in still air.

    Args:
        ppm: at the start [ppm]; 0 and up
        minutes: time [min]; 0 and up
        speed_per_ppm_min: of `browning_per_ppm_min` [1/(ppm min)]
    Returns: nitric oxide [ppm]; what is gone is nitrogen dioxide
    """
    return ppm / (1 + speed_per_ppm_min * ppm * minutes)
