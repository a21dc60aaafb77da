"""What a formula becomes in a pot keeps its atoms and its charge, and every formula of a reaction or a bottle is known."""

import pytest

from refinekit.chemistry.species import parse
from refinekit.facts.load import table

SPECIES = {row["formula"]: row for row in table("species")["species"]}
PHASES = ("dissolved", "solid", "gas", "liquid")
SPLIT = [row for row in SPECIES.values() if "ions" in row]


def makeup(amounts):
    """Atoms and charge of amounts of formulas, nothing where they cancel."""
    total = {}
    for formula, count in amounts.items():
        read = parse(formula)
        for key, number in (*read.elements.items(), ("charge", read.charge)):
            total[key] = total.get(key, 0) + count * number
    return {key: number for key, number in total.items() if number}


@pytest.mark.parametrize("row", SPECIES.values(), ids=SPECIES)
def test_species_can_be_read_and_has_a_place_to_go(row):
    assert parse(row["formula"]).elements
    assert row["phase"] in PHASES
    assert row["name"]
    assert set(row) <= {"formula", "name", "aliases", "phase", "ions"}


@pytest.mark.parametrize("row", SPLIT, ids=lambda row: row["formula"])
def test_nothing_is_lost_when_a_formula_goes_into_a_pot(row):
    assert makeup(row["ions"]) == makeup({row["formula"]: 1})
    assert all(count > 0 for count in row["ions"].values())


@pytest.mark.parametrize("row", SPLIT, ids=lambda row: row["formula"])
def test_ions_are_themselves_what_pots_hold(row):
    assert [ion for ion in row["ions"] if "ions" in SPECIES[ion]] == []


@pytest.mark.parametrize("row", table("reactions")["reaction"], ids=lambda row: row["id"])
def test_every_formula_of_a_reaction_is_known(row):
    written = {term.split()[-1] for side in row["text"].split(" -> ") for term in side.split(" + ")}
    assert written <= SPECIES.keys()


@pytest.mark.parametrize("row", table("equilibrium/phases")["phase"], ids=lambda row: row["key"])
def test_every_sludge_has_a_place_among_the_solids(row):
    known = SPECIES[row["formula"]]
    assert known["phase"] == "solid" or row["state"] == "reagent"


def test_one_thing_has_one_formula_in_a_pot():
    """No two formulas that stand for themselves have the same atoms, charge and phase."""
    seen = {}
    for formula, row in SPECIES.items():
        if "ions" not in row:
            seen.setdefault((tuple(sorted(makeup({formula: 1}).items())), row["phase"]), []).append(formula)
    assert [tuple(same) for same in seen.values() if len(same) > 1] == []


@pytest.mark.parametrize("formula", ["NO", "NO2", "N2O", "N2", "H2", "O2", "CO2", "NOCl"])
def test_gas_leaves_when_it_is_made(formula):
    assert SPECIES[formula]["phase"] == "gas"


@pytest.mark.parametrize("formula", ["Cl2", "SO2", "NH3", "HClO", "H2O2", "C2H2O4", "H3NSO3"])
def test_what_a_step_lets_off_itself_stays_dissolved_till_then(formula):
    assert SPECIES[formula]["phase"] == "dissolved"


@pytest.mark.parametrize("formula", ["AgCl", "CuCl", "PbSO4", "H2SnO3", "CuO2H2", "NiO2H2", "FeO3H3", "PdC8H14N4O4", "Au", "Ag"])
def test_what_falls_is_a_solid(formula):
    assert SPECIES[formula]["phase"] == "solid"


@pytest.mark.parametrize(
    ("formula", "ions"),
    [
        ("HNO3", {"H^+": 1, "NO3^-": 1}),
        ("HAuCl4", {"H^+": 1, "AuCl4^-": 1}),
        ("NaHSO4", {"Na^+": 1, "H^+": 1, "SO4^2-": 1}),
        ("H2PtCl6", {"H^+": 2, "PtCl6^2-": 1}),
        ("FeSO4.7H2O", {"Fe^2+": 1, "SO4^2-": 1, "H2O": 7}),
        ("H2C2O4", {"C2H2O4": 1}),
        ("Cu(OH)2", {"CuO2H2": 1}),
    ],
)
def test_bottle_and_pot_agree(formula, ions):
    assert SPECIES[formula]["ions"] == ions
