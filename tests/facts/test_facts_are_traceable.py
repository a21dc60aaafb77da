"""Walks every facts file: a figure with no source, no unit or an unknown confidence fails here, whoever wrote it."""

import math
import re
import tomllib
from collections import Counter

import pytest

from refinekit.facts.load import CONFIDENCES, FOLDER, as_fact, cite, files, table

FIGURES = ("value", "values", "low", "g_per_ml", "limit", "text", "none")


def tables(node, path, above):
    """Every table below a node with its path and the row it stands in."""
    if isinstance(node, list):
        for number, inner in enumerate(node):
            yield from tables(inner, f"{path}[{number}]", above)
    elif isinstance(node, dict):
        yield path, node, above
        for key, inner in node.items():
            yield from tables(inner, f"{path}.{key}", {**above, **node})


def figures(name):
    """Every table of a file that holds a figure (not a mapping of several figures)."""
    for path, row, above in tables(table(name), name, {}):
        if any(key in row and not isinstance(row[key], dict) for key in FIGURES):
            yield path, row, above


def test_there_are_facts_to_walk():
    assert {"sources", "reactions", "species", "reagents", "exposure", "discharge", "potentials", "materials"} <= set(files())


@pytest.mark.parametrize("name", [name for name in files() if name != "sources"])
def test_every_figure_names_a_source_that_exists(name):
    wrong = [path for path, row, above in figures(name) if {**above, **row}.get("source") not in table("sources")]
    assert wrong == []


@pytest.mark.parametrize("name", files())
def test_every_source_named_anywhere_exists(name):
    named = [(path, row["source"]) for path, row, _ in tables(table(name), name, {}) if isinstance(row.get("source"), str)]
    assert [pair for pair in named if pair[1] not in table("sources")] == []


@pytest.mark.parametrize("name", [name for name in files() if name != "sources"])
def test_every_figure_says_how_far_it_can_be_trusted(name):
    wrong = [(path, {**above, **row}.get("confidence")) for path, row, above in figures(name)]
    assert [pair for pair in wrong if pair[1] not in CONFIDENCES] == []


@pytest.mark.parametrize("name", [name for name in files() if name != "sources"])
def test_every_figure_has_a_unit(name):
    numbers = [(path, row, above) for path, row, above in figures(name) if "text" not in row]
    assert [path for path, row, above in numbers if not isinstance({**above, **row}.get("unit"), str)] == []


@pytest.mark.parametrize("name", files())
def test_every_single_figure_loads_as_a_fact(name):
    for path, row, above in tables(table(name), name, {}):
        if "low" in row or isinstance(row.get("value"), int | float):
            found = as_fact(path, {**above, **row} if "source" not in row else row)
            assert all(math.isfinite(end) for end in (found.range.low, found.range.likely, found.range.high)), path
            assert found.range.low <= found.range.likely <= found.range.high, path


@pytest.mark.parametrize("name", files())
def test_practice_and_memory_are_not_passed_off_as_reading(name):
    told = [
        (path, row["source"], row["confidence"])
        for path, row, _ in tables(table(name), name, {})
        if {"source", "confidence"} <= row.keys()
    ]
    assert [one for one in told if one[1] in ("practice", "memory") and one[2] not in ("practice", "memory")] == []


@pytest.mark.parametrize("key", sorted(table("sources")))
def test_a_source_is_a_citation_not_a_word(key):
    assert len(cite(key)) > 20
    assert set(table("sources")[key]) <= {"cite", "note", "year"}
    assert re.fullmatch(r"[a-z0-9-]+", key)


def test_every_source_but_the_general_ones_is_cited_once():
    cites = Counter(cite(key) for key in table("sources"))
    assert [text for text, times in cites.items() if times > 1] == []


@pytest.mark.parametrize("path", sorted(FOLDER.rglob("*.toml")), ids=lambda path: path.stem)
def test_files_are_plain_text_without_addresses_of_machines(path):
    text = path.read_text(encoding="utf-8")
    assert tomllib.loads(text)
    assert re.findall(r"https?://|(?<![\w.])/(?:\w+/)+", text) == []


@pytest.mark.parametrize(("name", "container"), [("reactions", "reaction"), ("species", "species"), ("reagents", "reagent")])
def test_names_are_not_given_twice(name, container):
    labels = [row.get("id") or row.get("key") or row["formula"] for row in table(name)[container]]
    assert [label for label, times in Counter(labels).items() if times > 1] == []
