"""What stands on the shelf: every bottle can be read, found under one name only, and has a strength or a goodness."""

from collections import Counter

import pytest

from refinekit.chemistry.species import molar_mass, parse
from refinekit.facts.load import files, table

REAGENTS = {row["key"]: row for row in table("reagents")["reagent"]}
SPECIES = {row["formula"] for row in table("species")["species"]}
NEEDED = [
    "hydrochloric",
    "nitric",
    "sulfuric",
    "peroxide",
    "bleach",
    "caustic",
    "caustic-liquor",
    "soda-ash",
    "bicarbonate",
    "lime",
    "magnesium-hydroxide",
    "smb",
    "bisulfite",
    "sulfite",
    "sulfur-dioxide",
    "copperas",
    "oxalic",
    "ascorbic",
    "hydrazine-sulfate",
    "formic",
    "zinc",
    "copper",
    "iron",
    "aluminium",
    "sulfamic",
    "urea",
    "salt",
    "copper-chloride",
    "ferric-chloride",
    "ammonia",
    "ammonium-chloride",
    "borax",
    "silica",
    "dextrose",
    "dmg",
    "water",
    "gluconate",
    "potash",
]


def words(row):
    return {word.casefold() for word in (row["key"], row["name"], *row["aliases"])}


@pytest.mark.parametrize("key", NEEDED)
def test_the_shelf_has_it(key):
    assert key in REAGENTS


@pytest.mark.parametrize("row", REAGENTS.values(), ids=REAGENTS)
def test_solute_can_be_weighed_and_goes_into_a_pot(row):
    assert parse(row["solute"]).charge == 0
    assert molar_mass(row["solute"]) > 1
    assert row["solute"] in SPECIES


@pytest.mark.parametrize("row", REAGENTS.values(), ids=REAGENTS)
def test_a_bottle_says_what_it_is_and_what_it_does_to_people(row):
    assert row["form"] in ("liquor", "solid", "gas", "metal")
    assert row["hazard"]
    assert row["kind"]
    assert ("goodness" in row) == (row["form"] in ("solid", "metal"))
    assert ("strength" in row) == (row["form"] == "liquor" and row["key"] != "water")


@pytest.mark.parametrize("row", [row for row in REAGENTS.values() if "goodness" in row], ids=lambda row: row["key"])
def test_goodness_is_a_share(row):
    good = row["goodness"]
    assert 0 < good["low"] <= good["likely"] <= good["high"] <= 1


@pytest.mark.parametrize("row", [row for row in REAGENTS.values() if "strength_range" in row], ids=lambda row: row["key"])
def test_the_label_taken_lies_among_the_labels_sold(row):
    sold = row["strength_range"]
    assert 0 < sold["low"] <= sold["likely"] <= sold["high"] <= 100
    assert row["strength"] in ("20 Be", f"{sold['likely']:g} %")


def test_no_word_means_two_bottles():
    counts = Counter(word for row in REAGENTS.values() for word in words(row))
    assert [word for word, times in counts.items() if times > 1] == []


@pytest.mark.parametrize(
    ("word", "key"),
    [
        ("muriatic", "hydrochloric"),
        ("aqua fortis", "nitric"),
        ("lye", "caustic"),
        ("stump remover", "smb"),
        ("green vitriol", "copperas"),
        ("washing soda", "soda-ash"),
        ("baking soda", "bicarbonate"),
        ("vitamin c", "ascorbic"),
        ("table salt", "salt"),
        ("aluminum", "aluminium"),
    ],
)
def test_the_shop_s_word_finds_the_bottle(word, key):
    assert word in words(REAGENTS[key])


@pytest.mark.parametrize(
    ("key", "g_per_mol"),
    [
        pytest.param("smb", 190.1, id="Na2S2O5, handbook 190.1"),
        pytest.param("copperas", 278.0, id="FeSO4.7H2O, handbook 278.0"),
        pytest.param("oxalic", 126.07, id="C2H2O4.2H2O, handbook 126.07"),
        pytest.param("sulfamic", 97.09, id="H3NSO3, handbook 97.09"),
        pytest.param("borax", 381.4, id="Na2B4O7.10H2O, handbook 381.4"),
        pytest.param("hydrazine-sulfate", 130.1, id="N2H6SO4, handbook 130.1"),
        pytest.param("ascorbic", 176.1, id="C6H8O6, handbook 176.1"),
    ],
)
def test_water_of_the_crystals_is_weighed_too(key, g_per_mol):
    assert molar_mass(REAGENTS[key]["solute"]) == pytest.approx(g_per_mol, abs=0.06)


@pytest.mark.parametrize(
    ("key", "percent"),
    [
        pytest.param("nitric", 3, id="Regulation (EU) 2019/1148 Annex I, from memory"),
        pytest.param("peroxide", 12, id="Regulation (EU) 2019/1148 Annex I, from memory"),
        pytest.param("sulfuric", 15, id="Regulation (EU) 2019/1148 Annex I, from memory"),
    ],
)
def test_what_a_private_person_may_not_buy_in_europe(key, percent):
    assert REAGENTS[key]["eu_public_limit"]["value"] == percent


@pytest.mark.parametrize("row", [row for row in REAGENTS.values() if "strength" in row], ids=lambda row: row["key"])
def test_shelf_and_density_table_mean_the_same_bottle(row):
    """Where a liquor has a density table, the label taken when none is told is the same in both places."""
    usual = table(f"densities/{row['solute']}").get("usual") if f"densities/{row['solute']}" in files() else None
    said = {"degrees Baume": "{value:g} Be", "% w/w": "{value:g} %"}
    assert usual is None or row["strength"] == said[usual["unit"]].format(value=usual["value"])
