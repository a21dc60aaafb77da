"""Oxygen taken up from the air against what is printed: how much water holds, and how fast it goes in through a still surface."""

from math import exp

import pytest

from refinekit.bench.bubbles import oxygen_by_surface
from refinekit.facts.load import fact


def test_water_holds_as_much_oxygen_as_printed():
    # Benson and Krause 1984, fresh water at 298.15 K under one atmosphere, coefficients as read in the R package wql: mg/L
    kelvin = 298.15
    logarithm = -139.34411 + 157570.1 / kelvin - 66423080 / kelvin**2 + 1.2438e10 / kelvin**3 - 862194900000 / kelvin**4
    assert fact("practice/air.oxygen_solubility").value == pytest.approx(exp(logarithm) / 31.998, rel=0.01)


def test_the_film_of_a_still_surface_lies_among_the_measured():
    # Cole et al. 2010: 0.35 to 0.74 m/day on lakes with little wind; Tellus B 66 (2014) 22827: median 7 cm/h under 6 m/s of wind
    film = fact("practice/air.film").range
    assert film.likely == pytest.approx(0.07 / 3600, rel=0.05)
    assert 0.74 / 86400 < film.low < film.likely < film.high


def test_a_bucket_top_dissolves_a_few_grams_of_copper_a_day():
    # 7 cm/h x 0.26 mol/m3 x 0.07 m2, two coppers to an oxygen: 3.89 g a day by hand
    assert 2 * oxygen_by_surface(700.0, 0.07 / 3600) * 1440 * 63.546 == pytest.approx(3.89, rel=0.01)
