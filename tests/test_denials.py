"""What a note denies outright, and what it only seems to deny: a half denial of a poison counts as the poison."""

import pytest

from refinekit.denials import denies_outright, names
from refinekit.facts.load import table

DENIED = [
    "no cyanide",
    "no cyanide ever used",
    "cyanide free",
    "cyanide-free strike",
    "non-cyanide bath",
    "never cyanide",
    "never in a cyanide bath",
    "not from a cyanide bath",
    "without cyanide",
    "no trace of cyanide",
    "no mercury or cyanide",
    "neither mercury nor cyanide",
    "no steel, no cyanide, washed pins",
    "acid gold, no cyanide",
    "cyanide? no",
    "cyanide: none",
]
NOT_DENIED = [
    "cyanide",
    "from a cyanide bath, no mercury",
    "no label, cyanide",
    "cyanide bath, never rinsed",
    "not rinsed after cyanide",
    "cyanide not removed",
    "never washed of cyanide",
    "no longer in cyanide",
    "not sure about cyanide",
    "no idea if cyanide",
    "no doubt cyanide",
    "not only cyanide",
    "not known whether cyanide",
    "maybe no cyanide",
    "seller says no cyanide",
    "i do not think there is cyanide",
    "no cyanide test was made",
    "no cyanide left, they hope",
    "not free of cyanide",
    "not cyanide-free",
    "free cyanide",
    "cyanide? no idea",
    "no mercury and cyanide",
    "no cyanide on the tag, but a cyanide line",
]


@pytest.mark.parametrize("note", DENIED)
def test_a_plain_denial_is_believed(note):
    assert (names(note, "cyanide"), denies_outright(note, "cyanide")) == (False, True)


@pytest.mark.parametrize("note", NOT_DENIED)
def test_half_a_denial_counts_as_said(note):
    assert (names(note, "cyanide"), denies_outright(note, "cyanide")) == (True, False)


def test_a_hyphen_or_a_second_blank_is_no_other_word():
    assert names("gold-stripper, silver - plated", "gold stripper")
    assert names("silver - plated spoons", "silver plated")
    assert not names("silver, plated spoons", "silver plated")


def test_what_is_not_named_is_neither():
    assert (names("gold pins", "cyanide"), denies_outright("gold pins", "cyanide")) == (False, False)


@pytest.mark.parametrize("mark", [row["mark"] for row in table("practice/lot")["tag"]])
def test_every_tag_is_read_both_ways(mark):
    words = next(row["words"] for row in table("practice/lot")["tag"] if row["mark"] == mark)
    assert all(names(f"old {word}", *words) for word in words)
    plain = [word for word in words if not word.startswith(("no ", "nobody"))]
    assert all(denies_outright(f"no {word}", *words) for word in plain)


@pytest.mark.parametrize(
    ("tags", "code", "exit_code", "note"),
    [
        ("no cyanide ever used", "hydrogen-cyanide", 0, True),
        ("cyanide", "hydrogen-cyanide", 3, False),
        ("no mercury", "poison", 0, True),
        ("mercury relays", "poison", 3, False),
        ("not sure about cyanide", "hydrogen-cyanide", 3, False),
    ],
)
def test_a_lot_whose_tag_denies_a_poison_goes_through_and_is_told_of(refinekit, tags, code, exit_code, note):
    run = refinekit("lot", "--kind", "pins", "--weight", "100", "--gold", "0.3", "--copper", "60", "--tags", tags)
    said = run.stdout + run.stderr
    assert run.returncode == exit_code
    assert (f"[{code}]" in said) is (exit_code == 3)
    assert ("tag-denied" in said) is note
