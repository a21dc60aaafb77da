"""Where a number comes from, asked in the words a person would use."""

import re

import pytest

from refinekit.facts.load import files, table
from refinekit.facts.search import find, shown


def ids(word):
    return [found.id for found in find(word)]


@pytest.mark.parametrize(
    ("word", "id"),
    [
        ("nitrogen dioxide idlh", "exposure.NO2.idlh"),
        ("NO2", "exposure.NO2.idlh"),
        ("muriatic", "reagents.hydrochloric"),
        ("MURIATIC", "reagents.hydrochloric"),
        ("stump remover", "reagents.smb"),
        ("steinhauser", "sources.steinhauser-2008"),
        ("Knallgold", "sources.steinhauser-2008"),
        ("perry", "sources.perry"),
        ("kovar", "materials.alloy.kovar"),
        ("1.002", "potentials.AuCl4^-/Au"),
        ("3.38", "discharge.pses_433.Cu.daily"),
        ("433 copper", "discharge.pses_433.Cu.daily"),
        ("R5.4", "reactions.R5.4"),
        ("H3NSO3", "reagents.sulfamic"),
        ("goodness metabisulfite", "reagents.smb.goodness"),
        ("edge tabs gold", "materials.stack.edge_tabs.gold"),
        ("D008", "discharge.tclp.Pb.limit"),
    ],
)
def test_a_word_leads_to_the_fact(word, id):
    assert id in ids(word)


def test_an_exact_name_comes_before_a_mention():
    assert ids("R2.1")[0] == "reactions.R2.1"
    assert ids("smb")[0].endswith(("smb", "Na2S2O5"))


def test_a_found_fact_says_all_that_is_known_of_it():
    found = next(one for one in find("nitrogen dioxide idlh") if one.id == "exposure.NO2.idlh")
    assert found.text == "13 ppm"
    assert found.source == "niosh-2017-202"
    assert "NIOSH (2017)" in found.citation
    assert "24 mg/m3" in found.where
    assert found.confidence == "read"
    assert "dangerous" in found.about


def test_a_range_is_shown_whole_and_with_its_unit():
    assert next(one for one in find("edge tabs gold") if one.id == "materials.stack.edge_tabs.gold").text == "0.4/0.76/1.3 micron"


def test_a_part_of_a_row_has_the_source_of_its_row():
    found = next(one for one in find("goodness metabisulfite") if one.id == "reagents.smb.goodness")
    assert (found.source, found.confidence) == ("practice", "practice")
    assert found.citation == "common practice, no source"


def test_a_number_is_not_found_inside_another():
    hits = find("13")
    assert any(found.text == "13 ppm" for found in hits)
    for found in hits:
        said = f"{found.id} {found.text} {found.about} {found.where} {found.citation} {found.source}"
        assert re.search(r"(?<![\d.])13(?![\d.]*\d)", said), found


def test_every_word_must_be_there():
    assert ids("nitrogen zebra") == []
    assert ids("zebra") == []


def test_nothing_said_gives_everything():
    everything = set(ids(""))
    assert {f"sources.{key}" for key in table("sources")} <= everything
    assert {f"reactions.{row['id']}" for row in table("reactions")["reaction"]} <= everything
    assert {name for name in files() if not any(id.startswith(name) for id in everything)} == set()


def test_every_figure_found_is_traceable():
    unsourced = [one.id for one in find("") if one.confidence and not one.citation]
    assert unsourced == []


@pytest.mark.parametrize(
    ("row", "text"),
    [
        ({"value": 0.69, "unit": "mg/L"}, "0.69 mg/L"),
        ({"value": 2.0, "unit": ""}, "2.0"),
        ({"value": 1.2e-5, "unit": "m/s"}, "1.2e-05 m/s"),
        ({"low": 1, "likely": 2, "high": 5, "unit": "g/kg"}, "1/2/5 g/kg"),
        ({"percent": [0, 20, 40], "g_per_ml": [0.998, 1.098, 1.198]}, "0 to 40 %: 0.998 to 1.198 g/mL"),
        ({"none": True, "unit": "ppm"}, "none"),
        ({"text": "Cu -> Cu"}, "Cu -> Cu"),
        ({"parts": {"Ag": 925, "Cu": 75}, "unit": "parts per thousand"}, "Ag 925, Cu 75 parts per thousand"),
        ({"values": [100, 250], "unit": "mL"}, "100 250 mL"),
        ({"baume": 20, "percent": 31.45}, "baume 20, percent 31.45"),
    ],
)
def test_a_row_is_shown_in_one_line(row, text):
    assert shown(row) == text
