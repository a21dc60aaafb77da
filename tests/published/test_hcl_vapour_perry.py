"""Vapour pressure over hydrochloric acid against what is printed."""

import json
from pathlib import Path

import chemicals
import pytest

from refinekit.chemistry.vapour import hcl_pressure_pa, water_pressure_pa
from refinekit.facts.load import fact

PRINTED = json.loads((Path(__file__).parent.parent / "data" / "hcl_vapour_perry.json").read_text())
MMHG = 133.322387415


def cells(table):
    return [
        pytest.param(float(percent), float(celsius), mmhg, id=f"Perry, {percent} % at {celsius} C")
        for percent, row in PRINTED[table].items()
        for celsius, mmhg in row.items()
        if float(percent) <= 42
    ]


@pytest.mark.parametrize(("percent", "celsius", "mmhg"), cells("hcl_mmhg"))
def test_hydrogen_chloride_as_printed(percent, celsius, mmhg):
    assert hcl_pressure_pa(percent, celsius + 273.15) / MMHG == pytest.approx(mmhg, rel=1e-6)


@pytest.mark.parametrize(("percent", "celsius", "mmhg"), cells("water_mmhg"))
def test_water_as_printed(percent, celsius, mmhg):
    assert water_pressure_pa(percent, celsius + 273.15) / MMHG == pytest.approx(mmhg, rel=1e-6)


@pytest.mark.parametrize(
    ("percent", "kpa"),
    [
        # International Critical Tables as reprinted in an encyclopaedia's table of hydrochloric acid, 20 C
        pytest.param(10.0, 1.95, id="ICT 10 %"),
        pytest.param(20.0, 1.40, id="ICT 20 %"),
        pytest.param(30.0, 2.13, id="ICT 30 %"),
        pytest.param(32.0, 3.73, id="ICT 32 %"),
        pytest.param(36.0, 14.5, id="ICT 36 %"),
        pytest.param(38.0, 28.3, id="ICT 38 %"),
    ],
)
def test_total_pressure_at_twenty_degrees(percent, kpa):
    total = hcl_pressure_pa(percent, 293.15) + water_pressure_pa(percent, 293.15)
    assert total / 1000 == pytest.approx(kpa, rel=0.01)


def test_muriatic_acid_data_sheet():
    # maker's data sheet: 31.45 % hydrochloric acid, 35 mmHg at 25 C
    total = hcl_pressure_pa(31.45, 298.15) + water_pressure_pa(31.45, 298.15)
    assert total / MMHG == pytest.approx(35, abs=2)


def test_constant_boiling_acid_leaves_as_it_is():
    # Foulk and Hollingsworth 1923: 20.2 % boils at 108.6 C and one atmosphere, and its vapour has its own strength
    percent, kelvin = fact("vapour.constant_boiling").value, fact("vapour.constant_boiling_point").value
    hcl, water = hcl_pressure_pa(percent, kelvin), water_pressure_pa(percent, kelvin)
    assert hcl + water == pytest.approx(101325, rel=0.03)
    vapour_percent = 100 * 36.461 * hcl / (36.461 * hcl + 18.015 * water)
    assert vapour_percent == pytest.approx(20.2, abs=1.0)
    assert percent == 20.2


@pytest.mark.parametrize("celsius", [0.5, 5, 12, 20, 25, 33, 40, 60, 80, 99, 109])
def test_plain_water_against_steam_tables(celsius):
    # IAPWS-95 saturation line as in the Python package chemicals
    assert water_pressure_pa(0.0, celsius + 273.15) == pytest.approx(chemicals.iapws95_Psat(celsius + 273.15), rel=0.003)
