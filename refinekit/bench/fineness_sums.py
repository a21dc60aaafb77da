"""Fineness as sums: density in water, the mixture rule both ways, karat and percent, cornet and bead."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from refinekit.bench.fields import METALS
from refinekit.chemistry.density import water_g_per_ml
from refinekit.errors import BadQuantity, OutOfRange
from refinekit.facts.load import fact
from refinekit.ranges import Number, high, likely, low
from refinekit.units.kinds import ASSAY_TON_G


def metal_density(symbol: str) -> float:
    """Density of a metal [g/mL]. Source: CRC Handbook, in facts/materials.toml."""
    return fact(f"materials.solid.{symbol}.density").value


def sphere_ml(diameter_m: Number) -> Number:
    """Volume of a ball [mL] of a diameter [m]: a bubble that clings."""
    return np.pi / 6 * (100 * diameter_m) ** 3


def thread_ml(diameter_m: Number, length_m: Number) -> Number:
    """Volume of a thread under water [mL], of a diameter and a wet length [m]."""
    return np.pi / 4 * (100 * diameter_m) ** 2 * (100 * length_m)


def density_by_water(
    air_g: Number, water_g: Number, temperature_k: Number, *, lifted_ml: Number = 0.0, air_g_per_ml: Number = 0.0
) -> Number:
    """Density of a bar weighed in air and hanging in water.

    Args:
        air_g: weight in air [g]; above 0
        water_g: weight hanging in water [g]; under the weight in air
        temperature_k: temperature of the water [K]; 273.15 to 373.15
        lifted_ml: what else displaces water: wet thread tared dry, a bubble that clings [mL]
        air_g_per_ml: density of the air, where its buoyancy is to be counted [g/mL]; 0 to leave it out
    Returns: density [g/mL]
    Raises: OutOfRange, heavier in water than in air
    Source: Archimedes; water by Kell (1975)

    >>> round(float(density_by_water(25.0, 23.65, 298.15)), 3)
    18.464
    """
    water = water_g_per_ml(temperature_k)
    lost = air_g - water_g - lifted_ml * (water - air_g_per_ml)
    if low(lost) <= 0:
        raise OutOfRange(
            f"{likely(water_g):.6g} g in water, {likely(air_g):.6g} g in air: nothing weighs as much or more in water",
            cure="were the two weights swapped? give --air 25.000g --water 23.650g",
        )
    found: Number = air_g / lost * (water - air_g_per_ml) + air_g_per_ml
    return found


def gold_share(density: Number, alloy_density: float, gold_density: float) -> Number:
    """Gold share of a two-part alloy by its density.

    Args:
        density: of the bar [g/mL]
        alloy_density: of what is not gold [g/mL]
        gold_density: of gold [g/mL]
    Returns: share by weight [-]; over 1 where it is denser than gold, under 0 where lighter than the alloy
    Source: mixture rule, 1/rho = f/rho_gold + (1 - f)/rho_alloy
    """
    found: Number = (1 / density - 1 / alloy_density) / (1 / gold_density - 1 / alloy_density)
    return found


def mixture_density(shares: Mapping[str, Number]) -> Number:
    """Density of an alloy by its make-up.

    Args:
        shares: by metal word, adding up to 1 [-]
    Returns: density [g/mL]
    Raises: BadQuantity, nothing in it
    Source: mixture rule, 1/rho = sum of share / density
    """
    volume: Number = sum((share / metal_density(METALS[metal]) for metal, share in shares.items()), 0.0)
    if high(volume) <= 0:
        raise BadQuantity("an alloy of nothing has no density", cure="give the make, as in --make 583/104/313")
    whole: Number = sum(shares.values(), 0.0)
    return whole / volume


def cornet_fineness(sample_g: Number, cornet_g: Number, proof_g: Number = 0.0, proof_cornet_g: Number = 0.0) -> Number:
    """Fineness by fire assay, corrected by a proof run beside it.

    Args:
        sample_g: bullion taken [g]; above 0
        cornet_g: cornet weighed [g]
        proof_g: fine gold taken for the proof [g]; 0 for no proof
        proof_cornet_g: the proof's cornet [g]
    Returns: fineness [-]
    Source: (cornet + what the proof lost) / sample; a proof that gained takes off
    """
    loss = np.where(np.asarray(proof_g) > 0, proof_g - proof_cornet_g, 0.0)
    found: Number = (cornet_g + loss) / sample_g
    return found if np.ndim(found) else float(found)


def grade_of_bead(bead_g: Number, sample_g: Number) -> tuple[Number, Number]:
    """Grade of an ore or sweeps by its gold bead.

    Args:
        bead_g: gold bead [g]
        sample_g: what was taken [g]; above 0
    Returns: grade [g/t] and [troy ounces to the short ton]
    Source: the assay ton, 29.1667 g, in which a milligram stands for an ounce to the short ton
    """
    return bead_g / sample_g * 1e6, 1000 * bead_g * float(ASSAY_TON_G) / sample_g
