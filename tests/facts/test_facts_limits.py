"""Limits of air and water against the published tables, figures typed here by hand."""

import pytest

from refinekit.chemistry.species import molar_mass
from refinekit.facts.load import fact, table

GASES = [key for key, row in table("exposure").items() if key != "reading"]


@pytest.mark.parametrize(
    ("id", "value", "unit"),
    [
        pytest.param("NO2.niosh_short", 1, "ppm", id="NIOSH, nitrogen dioxide, ST 1 ppm"),
        pytest.param("NO2.osha_ceiling", 5, "ppm", id="29 CFR 1910.1000 Table Z-1, nitrogen dioxide, C 5 ppm"),
        pytest.param("NO2.idlh", 13, "ppm", id="NIOSH 2017-202, nitrogen dioxide, 13 ppm"),
        pytest.param("NO.osha_8h", 25, "ppm", id="29 CFR 1910.1000 Table Z-1, nitric oxide, 25 ppm"),
        pytest.param("NO.idlh", 100, "ppm", id="NIOSH 1994, nitric oxide, 100 ppm"),
        pytest.param("Cl2.niosh_short", 0.5, "ppm", id="NIOSH, chlorine, 0.5 ppm for 15 minutes"),
        pytest.param("Cl2.osha_ceiling", 1, "ppm", id="29 CFR 1910.1000 Table Z-1, chlorine, C 1 ppm"),
        pytest.param("Cl2.idlh", 10, "ppm", id="NIOSH 1994, chlorine, 10 ppm"),
        pytest.param("HCl.osha_ceiling", 5, "ppm", id="29 CFR 1910.1000 Table Z-1, hydrogen chloride, C 5 ppm"),
        pytest.param("HCl.idlh", 45, "ppm", id="NIOSH 2025, hydrogen chloride, 45 ppm"),
        pytest.param("SO2.niosh_8h", 2, "ppm", id="NIOSH, sulfur dioxide, TWA 2 ppm"),
        pytest.param("SO2.niosh_short", 5, "ppm", id="NIOSH, sulfur dioxide, ST 5 ppm"),
        pytest.param("CO2.niosh_short", 30000, "ppm", id="NIOSH, carbon dioxide, ST 30 000 ppm"),
        pytest.param("CO2.idlh", 40000, "ppm", id="NIOSH 1994, carbon dioxide, 40 000 ppm"),
        pytest.param("CO.niosh_ceiling", 200, "ppm", id="NIOSH, carbon monoxide, C 200 ppm"),
        pytest.param("NH3.niosh_short", 35, "ppm", id="NIOSH, ammonia, ST 35 ppm"),
        pytest.param("NH3.idlh", 300, "ppm", id="NIOSH 1994, ammonia, 300 ppm"),
        pytest.param("H2.lel", 4, "vol %", id="IEC 60079-20-1:2010 and NFPA 497, hydrogen, 4 %"),
        pytest.param("AsH3.niosh_ceiling", 0.002, "mg/m3", id="NIOSH, arsine, C 0.002 mg/m3, from memory"),
        pytest.param("NO2.eu_short", 1, "ppm", id="Directive (EU) 2017/164, nitrogen dioxide, 1 ppm, from memory"),
        pytest.param("Cl2.eu_short", 0.5, "ppm", id="Directive 2006/15/EC, chlorine, 0.5 ppm, from memory"),
    ],
)
def test_air_limit_is_the_published_one(id, value, unit):
    found = fact(f"exposure.{id}")
    assert (found.value, found.unit) == (value, unit)


@pytest.mark.parametrize("gas", GASES)
@pytest.mark.parametrize("kind", ["short", "eight_hours"])
def test_the_limit_a_law_points_at_is_there(gas, kind):
    row = table("exposure")[gas]
    for law, which in row.get(kind, {}).items():
        assert law in ("us", "eu", "uk")
        assert row[which]["value"] > 0


@pytest.mark.parametrize("gas", ["NO2", "HCl", "Cl2", "SO2", "NH3", "CO2", "CO", "HNO3", "AsH3"])
def test_every_law_has_a_short_limit_for_gases_that_burst(gas):
    assert set(table("exposure")[gas]["short"]) == {"us", "eu", "uk"}


@pytest.mark.parametrize("gas", GASES)
def test_nobody_may_breathe_for_long_what_is_dangerous_at_once(gas):
    row = table("exposure")[gas]
    ppm = {key: one["value"] for key, one in row.items() if isinstance(one, dict) and one.get("unit") == "ppm" and "value" in one}
    if "idlh" in ppm:
        assert max(value for key, value in ppm.items() if not key.startswith("idlh")) < ppm["idlh"]
    for body in ("osha", "niosh", "eu", "uk"):
        if {f"{body}_8h", f"{body}_short"} <= ppm.keys():
            assert ppm[f"{body}_8h"] <= ppm[f"{body}_short"]


@pytest.mark.parametrize(
    ("gas", "mg_m3"),
    [
        pytest.param("NO2", 9, id="29 CFR 1910.1000 Table Z-1, nitrogen dioxide, 5 ppm = 9 mg/m3"),
        pytest.param("HCl", 7, id="29 CFR 1910.1000 Table Z-1, hydrogen chloride, 5 ppm = 7 mg/m3"),
        pytest.param("Cl2", 3, id="29 CFR 1910.1000 Table Z-1, chlorine, 1 ppm = 3 mg/m3"),
    ],
)
def test_ppm_turns_to_mg_as_the_table_prints_it(gas, mg_m3):
    ppm = fact(f"exposure.{gas}.osha_ceiling").value
    assert ppm * molar_mass(gas) / fact("exposure.reading.molar_volume").value == pytest.approx(mg_m3, abs=0.5)


@pytest.mark.parametrize(
    ("metal", "daily", "monthly"),
    [
        pytest.param("Cd", 0.69, 0.26, id="40 CFR 433.15(a), cadmium"),
        pytest.param("Cr", 2.77, 1.71, id="40 CFR 433.15(a), chromium"),
        pytest.param("Cu", 3.38, 2.07, id="40 CFR 433.15(a), copper"),
        pytest.param("Pb", 0.69, 0.43, id="40 CFR 433.15(a), lead"),
        pytest.param("Ni", 3.98, 2.38, id="40 CFR 433.15(a), nickel"),
        pytest.param("Ag", 0.43, 0.24, id="40 CFR 433.15(a), silver"),
        pytest.param("Zn", 2.61, 1.48, id="40 CFR 433.15(a), zinc"),
        pytest.param("CN", 1.20, 0.65, id="40 CFR 433.15(a), cyanide"),
    ],
)
def test_water_limit_is_the_published_one(metal, daily, monthly):
    assert fact(f"discharge.pses_433.{metal}.daily").value == daily
    assert fact(f"discharge.pses_433.{metal}.monthly").value == monthly


@pytest.mark.parametrize(
    ("metal", "code", "limit"),
    [
        pytest.param("As", "D004", 5, id="40 CFR 261.24 Table 1, arsenic"),
        pytest.param("Ba", "D005", 100, id="40 CFR 261.24 Table 1, barium"),
        pytest.param("Cd", "D006", 1, id="40 CFR 261.24 Table 1, cadmium"),
        pytest.param("Cr", "D007", 5, id="40 CFR 261.24 Table 1, chromium"),
        pytest.param("Pb", "D008", 5, id="40 CFR 261.24 Table 1, lead"),
        pytest.param("Hg", "D009", 0.2, id="40 CFR 261.24 Table 1, mercury"),
        pytest.param("Se", "D010", 1, id="40 CFR 261.24 Table 1, selenium"),
        pytest.param("Ag", "D011", 5, id="40 CFR 261.24 Table 1, silver"),
    ],
)
def test_leachate_that_makes_a_waste_hazardous(metal, code, limit):
    assert table("discharge")["tclp"][metal]["code"] == code
    assert fact(f"discharge.tclp.{metal}.limit").value == limit


def test_ph_lines_of_the_law():
    assert fact("discharge.ph.sewer_least").value == 5.0  # 40 CFR 403.5(b)(2)
    assert fact("discharge.ph.corrosive_at_or_below").value == 2.0  # 40 CFR 261.22(a)(1)
    assert fact("discharge.ph.corrosive_at_or_above").value == 12.5  # 40 CFR 261.22(a)(1)


def test_a_month_is_never_allowed_more_than_a_day():
    for name in ("pses_433", "psns_433", "secondary_precious_metals"):
        for row in table("discharge")[name].values():
            if "value" in row.get("monthly", {}):
                assert row["monthly"]["value"] < row["daily"]["value"]
