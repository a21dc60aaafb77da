"""Metals, deposits, foils, grades and alloys against published figures and against each other."""

import pytest

from refinekit.facts.load import fact, table

MATERIALS = table("materials")


@pytest.mark.parametrize(
    ("metal", "g_per_cm3", "melts_c"),
    [
        pytest.param("Au", 19.3, 1064.18, id="CRC Handbook, physical constants, gold"),
        pytest.param("Ag", 10.5, 961.78, id="CRC Handbook, physical constants, silver"),
        pytest.param("Cu", 8.96, 1084.62, id="CRC Handbook, physical constants, copper"),
        pytest.param("Ni", 8.90, 1455.0, id="CRC Handbook, physical constants, nickel"),
        pytest.param("Pt", 21.5, 1768.2, id="CRC Handbook, physical constants, platinum"),
    ],
)
def test_metal_is_as_the_handbook_prints_it(metal, g_per_cm3, melts_c):
    assert fact(f"materials.solid.{metal}.density").value == g_per_cm3
    assert fact(f"materials.solid.{metal}.melting_point").value == melts_c


@pytest.mark.parametrize(
    ("name", "microinch"),
    [("00", 20), ("0", 30), ("1", 50), ("2", 100), ("3", 200), ("4", 300), ("5", 500), ("6", 1500)],
    ids=lambda one: f"MIL-DTL-45204D class table: {one}",
)
def test_military_classes_are_microinches(name, microinch):
    assert fact(f"materials.thickness.mil-dtl-45204.class_{name}").value == pytest.approx(microinch * 0.0254)


def test_an_ounce_of_copper_on_a_square_foot():
    """28.3495 g on 929.03 cm2; IPC trade nominal 34.3 to 35 micron, from memory."""
    copper = fact("materials.solid.Cu.density").value
    assert fact("materials.foil.one_ounce").value == pytest.approx(28.3495 / 929.03 / copper * 1e4, abs=0.02)
    assert fact("materials.stack.edge_tabs.copper").value == pytest.approx(35, abs=1)


@pytest.mark.parametrize("name", MATERIALS["alloy"])
def test_parts_of_an_alloy_add_up(name):
    assert sum(MATERIALS["alloy"][name]["parts"].values()) == 1000


@pytest.mark.parametrize(("name", "karat"), [("10K_yellow", 10), ("14K_yellow", 14), ("14K_pale", 14), ("18K_yellow", 18)])
def test_karat_is_parts_in_twenty_four(name, karat):
    assert MATERIALS["alloy"][name]["parts"]["Au"] == pytest.approx(1000 * karat / 24, abs=0.5)


@pytest.mark.parametrize("name", [name for name, row in MATERIALS["alloy"].items() if "density" in row])
def test_density_of_an_alloy_lies_among_its_metals(name):
    row = MATERIALS["alloy"][name]
    known = [MATERIALS["solid"][metal]["density"]["value"] for metal in row["parts"] if metal in MATERIALS["solid"]]
    assert min(known) - 1 < row["density"]["value"] < max(known) + 1


def test_stamps_of_united_states_law():
    assert fact("materials.stamp.soldered_under").value == 7  # 15 USC 295
    assert fact("materials.stamp.unsoldered_under").value == 3  # 15 USC 295


def test_a_stack_of_edge_tabs_holds_the_copper_the_trade_expects():
    """About 20 to 30 g copper per g gold on edge tabs: common practice, no source."""
    gold = fact("materials.stack.edge_tabs.gold").value * fact("materials.deposit.hard_gold.density").value
    copper = fact("materials.stack.edge_tabs.copper").value * fact("materials.deposit.copper.density").value
    assert 20 < copper / gold < 30


def test_oxygen_in_water_and_its_henry_constant_agree():
    """9.0 mg/L at 20 C in air; 8.26 mg/L at 25 C (Standard Methods 4500-O, from memory)."""
    moist_air_atm = 0.2095 * (1 - 0.0313)
    assert fact("materials.henry.O2").value * moist_air_atm * 31998 == pytest.approx(8.26, abs=0.08)
    assert fact("materials.oxygen.saturation_20c").value == pytest.approx(9.09, abs=0.1)


def test_vessels_of_the_shop_rise_in_size():
    sizes = table("practice/general")["vessel"]["sizes"]["values"]
    assert sizes == sorted(set(sizes))
    assert (sizes[0], sizes[-1]) == (100, 50000)
