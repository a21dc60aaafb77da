"""What the safety engine rests on that others have printed, each named beside it and written out by hand."""

import pytest

from refinekit.bench.pot import Pot
from refinekit.facts.load import cite, fact, table
from refinekit.safety.keep_apart import meet_words
from refinekit.safety.outlook import line, short_limit_ppm
from refinekit.safety.portrait import portrait


@pytest.mark.parametrize(
    ("gas", "ppm"),
    [
        pytest.param("NO2", 1.0, id="NIOSH Pocket Guide: NO2 ST 1 ppm"),
        pytest.param("Cl2", 0.5, id="NIOSH Pocket Guide: Cl2 C 0.5 ppm"),
        pytest.param("SO2", 5.0, id="NIOSH Pocket Guide: SO2 ST 5 ppm"),
        pytest.param("HCl", 5.0, id="NIOSH Pocket Guide and 29 CFR 1910.1000 Table Z-1: HCl C 5 ppm"),
        pytest.param("NH3", 35.0, id="NIOSH Pocket Guide: NH3 ST 35 ppm"),
        pytest.param("H2S", 10.0, id="NIOSH Pocket Guide: H2S C 10 ppm"),
    ],
)
def test_short_limits_are_those_printed(gas, ppm):
    assert short_limit_ppm(gas, "us") == ppm


@pytest.mark.parametrize(("gas", "ppm"), [("NO2", 5.0), ("Cl2", 1.0)], ids=["NO2 ceiling 5 ppm", "Cl2 ceiling 1 ppm"])
def test_osha_ceilings_are_those_of_29_cfr_1910_1000_table_z_1(gas, ppm):
    assert fact(f"exposure.{gas}.osha_ceiling").value == ppm
    assert "1910.1000" in cite(table("exposure")[gas]["osha_ceiling"]["source"])


def test_hydrogen_stops_at_a_quarter_of_the_four_per_cent_it_burns_from():
    """Lower flammable limit of hydrogen in air 4 %: NFPA 497, DOE-HDBK-1015."""
    assert line("hydrogen_stop") == pytest.approx(4.0 / 4)


def test_lungs_fill_three_to_thirty_hours_later():
    """ATSDR, Medical Management Guidelines for nitrogen oxides: 3 to 30 hours."""
    text = next(one.text for one in meet_words("copper", "nitric acid").notices if one.code == "nox")
    assert "3 to 30 hours" in text


@pytest.mark.parametrize(("ph", "corrosive"), [(1.9, True), (2.0, True), (2.1, False)])
def test_ph_two_or_less_is_d002(ph, corrosive):
    """40 CFR 261.22(a)(1): pH 2 or less, 12.5 or more. Hydrogen ion by its definition, 10 to the minus pH."""
    acid = 10.0**-ph
    told = dict(portrait((Pot("waste", 1.0, {"H^+": acid, "Cl^-": acid, "H2O": 55.0}),)).lines)
    assert ("D002" in told.get("in law", "")) is corrosive
    assert (line("d002_low"), line("d002_high")) == (2.0, 12.5)


@pytest.mark.parametrize("partner", ["ammonia", "smelling salts", "ammonium hydroxide"])
def test_gold_chloride_and_ammonia_is_fulminating_gold(partner):
    """Steinhauser, Evers, Jakob, Klapoetke, Oehlinger, Gold Bulletin 41 (2008) 305."""
    stop = next(one for one in meet_words("gold chloride", partner).notices if one.code == "fulminating-gold")
    assert (stop.level, "Gold Bull. 41, 305" in cite(stop.source)) == ("stop", True)


def test_sulfamic_boiled_in_water_becomes_ammonium_one_to_one():
    """H3NSO3 + H2O -> NH4HSO4, one nitrogen to one: literature cited under the key sulfamic-hydrolysis."""
    from refinekit.ranges import Range
    from refinekit.safety.history import with_history
    from refinekit.safety.scene import Deed, Dose, Vessel

    pinch = Dose("sulfamic acid", {"sulfamic": Range.point(0.05)}, solid=True)
    history = (Deed("denox", "then boiled", (pinch,)),)
    pot = with_history(Vessel("gold liquor", {"Au(III)": Range.point(0.05)}, 0.4, history=history))
    assert pot.most("NH4+") >= 0.05
    assert pot.causes["NH4+"].startswith("denox")


@pytest.mark.parametrize(
    ("reaction", "eaten", "made"),
    [
        pytest.param(
            "R4.2",
            {"HNO2": 1, "H3NSO3": 1},
            {"N2": 1, "H2SO4": 1, "H2O": 1},
            id="1:1 with nitrous acid: Hughes and Lusty, Inorg. Nucl. Chem. Lett. 13 (1977) 37",
        ),
        pytest.param(
            "R4.3",
            {"HNO3": 1, "H3NSO3": 1},
            {"N2O": 1, "H2SO4": 1, "H2O": 1},
            id="dinitrogen oxide and sulfate: J. Chem. Soc., Dalton Trans. 1978, 53",
        ),
        pytest.param(
            "R4.4",
            {"H3NSO3": 1, "H2O": 1},
            {"NH4HSO4": 1},
            id="NH2SO2OH + H2O to NH4HSO4: Aust. J. Chem., hydrolysis of sulphamic acid",
        ),
    ],
)
def test_sulfamic_reacts_one_to_one_as_printed(reaction, eaten, made):
    row = next(row for row in table("reactions")["reaction"] if row["id"] == reaction)
    left, right = (dict.fromkeys(side.split(" + "), 1) for side in row["text"].split(" -> "))
    assert (left, right) == (eaten, made)


def test_sulfamic_takes_up_heat_as_it_dissolves_as_printed():
    """Xu and Yan, J. Solution Chem. 22 (1993) 919: standard enthalpy of solution 19.2 +- 0.2 kJ/mol."""
    rows = {row["phase"]: row["value"] for row in table("enthalpy")["species"] if row["formula"] == "H3NSO3"}
    assert rows["aq"] - rows["s"] == pytest.approx(19.2, abs=0.2)


def test_sulfamic_on_nitric_heats_as_the_enthalpies_of_its_parts_say():
    """Written out by hand. CRC and NBS tables, kJ/mol: NO3- -207.4, H3NSO3(aq) -655.7, N2O(g) 81.6, SO4-- -909.3, H2O -285.8."""
    from refinekit.bench.denox import ROOM
    from refinekit.bench.place import Place

    pot = Pot("liquor", 0.3, {"NO3^-": 0.1, "H^+": 1.1, "Cl^-": 1.0, "H2O": 16.0})
    step = ROOM.run((pot,), place=Place(hood=True), method="sulfamic", sulfamic_g=9.709)  # 97.09 g/mol: 0.1 mol on 0.1 mol
    heat = next(one.range.high for one in step.answers if one.name == "heat")
    assert heat == pytest.approx(0.1 * (-207.4 - 655.7 - 81.6 + 909.3 + 285.8), rel=0.005)  # 25.0 kJ


@pytest.mark.parametrize("nitric_mol", [0.001, 0.1])
def test_a_mole_of_nitrous_oxide_and_of_sulfate_comes_of_a_mole_of_sulfamic(nitric_mol):
    """Dinitrogen oxide and sulphate are produced, first order in both: J. Chem. Soc., Dalton Trans. 1978, 53."""
    from refinekit.bench.denox import ROOM
    from refinekit.bench.place import Place

    pot = Pot("liquor", 0.3, {"NO3^-": nitric_mol, "H^+": 1.0 + nitric_mol, "Cl^-": 1.0, "H2O": 16.0})
    step = ROOM.run((pot,), place=Place(hood=True), method="sulfamic", sulfamic_g=97.09 * nitric_mol)
    gas = next(one for one in step.gases if one.formula == "N2O")
    assert gas.mol.high == pytest.approx(nitric_mol, rel=1e-3)
    assert next(one.range.high for one in step.answers if one.name == "sulfate") == pytest.approx(1000 * nitric_mol, rel=1e-3)
