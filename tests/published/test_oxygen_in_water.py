"""Oxygen taken up from the air against what is printed: how much water holds, and how fast it goes in through a still surface."""

from math import exp

import pytest

from refinekit.bench.bubbles import oxygen_bubbled, oxygen_by_surface, oxygen_held
from refinekit.bench.place import Place
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
    assert 2 * oxygen_by_surface(700.0, 0.07 / 3600, Place()) * 1440 * 63.546 == pytest.approx(3.89, rel=0.01)


MERCURY_PA = 133.322
TABLE = {
    0: (14.9, 14.6, 14.4, 13.9, 13.5, 12.9, 12.5, 12.0),
    5: (13.1, 12.8, 12.6, 12.2, 11.8, 11.4, 10.9, 10.5),
    10: (11.6, 11.3, 11.2, 10.8, 10.4, 10.1, 9.7, 9.3),
    15: (10.4, 10.2, 10.0, 9.7, 9.3, 9.0, 8.7, 8.3),
    20: (9.3, 9.2, 9.1, 8.7, 8.4, 8.1, 7.8, 7.5),
    23: (8.8, 8.7, 8.5, 8.2, 8.0, 7.7, 7.4, 7.1),
}
"""Milligrams a litre at 775, 760, 750, 725, 700, 675, 650 and 625 mmHg: manual of a pocket colorimeter (read)."""


@pytest.mark.parametrize("celsius", TABLE)
def test_up_a_hill_water_holds_as_much_less_as_printed(celsius):
    at_sea = TABLE[celsius][1]
    for mercury_mm, printed in zip((775, 760, 750, 725, 700, 675, 650, 625), TABLE[celsius], strict=True):
        held = at_sea * oxygen_held(mercury_mm * MERCURY_PA, 273.15 + celsius)
        assert held == pytest.approx(printed, abs=0.12)  # both figures are rounded to a tenth


def test_water_holds_as_much_as_a_worked_example_gives_at_other_pressures():
    # Benson and Krause by way of Garcia and Gordon 1992, beside the R package preMetabolizer (read): 8.1936 mg/L at 25 C
    # and 100.5 kPa; 8.263 mg/L under one atmosphere is Standard Methods 4500-O (from memory, to be verified)
    assert 8.263 * oxygen_held(100500.0, 298.15) == pytest.approx(8.1936, rel=5e-4)


def test_pump_and_open_top_both_give_less_up_a_hill():
    # 2500 m is 74.7 kPa by the standard atmosphere: the pump's litres hold 0.737 of the oxygen, the surface 0.729 of it
    sea, hill = Place(), Place(pressure_pa=74_683.0)
    assert oxygen_bubbled(2.0, 0.2, 0.03, hill) / oxygen_bubbled(2.0, 0.2, 0.03, sea) == pytest.approx(0.7371, rel=1e-3)
    assert oxygen_by_surface(700.0, 2e-5, hill) / oxygen_by_surface(700.0, 2e-5, sea) == pytest.approx(
        (74_683 - 3169) / (101_325 - 3169), rel=2e-3
    )
