"""Poisons named on a tag or a label, misspelt or not, and everyday words that only look like them."""

import json

import pytest

from refinekit.bench.tag_words import HARMLESS, denied, poisons_named, tag_rows

POISONS = [
    ("cynide", "cyanide"),
    ("cyanid", "cyanide"),
    ("cianide", "cyanide"),
    ("syanide", "cyanide"),
    ("cynaide bath", "cyanide"),
    ("potasium cyanide", "cyanide"),
    ("potasium cynide", "cyanide"),
    ("dipped in KCN once", "cyanide"),
    ("NaCN strip", "cyanide"),
    ("mercry", "mercury"),
    ("murcury relays", "mercury"),
    ("Hg switches", "mercury"),
    ("quicksilver", "mercury"),
    ("quick silver", "mercury"),
    ("amalgum", "mercury"),
    ("hydroflouric", "hydrofluoric"),
    ("hydrofloric acid", "hydrofluoric"),
    ("HF", "hydrofluoric"),
    ("etched in HF", "hydrofluoric"),
    ("ammonium bifloride", "hydrofluoric"),
    ("berylium springs", "beryllium"),
    ("cadmuim plated", "cadmium"),
    ("arsnic", "arsenic"),
    ("antimoney", "antimony"),
    ("unlabled jar", "unknown"),
    ("not sure about cynide", "cyanide"),
    ("maybe no mercry", "mercury"),
]
NOT_POISONS = [
    "mercury-free",
    "mercry-free",
    "no cyanide",
    "no cynide ever used",
    "never in a cianide bath",
    "cyan lid",
    "cyanoacrylate glue",
    "cyanine dye",
    "hydrochloric",
    "hydrocloric",
    "hidrochloric",
    "HF relays",
    "HF radio boards",
    "VHF transistors",
    "calcium",
    "cadium-free",
    "Anthony's pins",
    "from the arsenal",
    "alimony lot",
    "century-old watch cases",
    "mercantile bank",
    "chromium plated",
    "pins, 1.2 kg, cut short",
]


@pytest.mark.parametrize(("tag", "mark"), POISONS)
def test_a_poison_is_found_however_it_is_spelt(tag, mark):
    assert mark in poisons_named(tag)


@pytest.mark.parametrize("tag", NOT_POISONS)
def test_an_everyday_word_or_a_denial_is_no_poison(tag):
    assert poisons_named(tag) == ()


def test_a_misspelt_denial_denies_what_it_means():
    rows = {row["mark"]: row for row in tag_rows()}
    assert denied("no cynide", rows["cyanide"])
    assert not denied("cynide", rows["cyanide"])


def test_a_slip_in_a_harmless_tag_marks_nothing():
    rows = [row for row in tag_rows() if row["mark"] in HARMLESS]
    assert [row["mark"] for row in rows] == list(HARMLESS)
    assert poisons_named("soldier's steal badge, silver plait") == ()


@pytest.mark.parametrize(
    ("tag", "code", "exit_code"),
    [("potasium cynide", "hydrogen-cyanide", 3), ("mercry", "poison", 3), ("HF", "poison", 3), ("cyan lid", "", 0)],
)
def test_a_lot_with_a_misspelt_poison_stops(refinekit, tag, code, exit_code):
    run = refinekit("lot", "--kind", "pins", "--weight", "100", "--gold", "0.3", "--copper", "60", "--tags", tag)
    assert run.returncode == exit_code
    assert (f"[{code}]" in run.stdout + run.stderr) is (exit_code == 3)


@pytest.mark.parametrize(
    ("name", "note", "code"),
    [
        ("old jar", "had potasium cynide in it", "hydrogen-cyanide"),
        ("mercry relays, leached", "left standing", "poison"),
        ("old jar", "goods once etched in HF", "poison"),
        ("old jar", "no cyanide ever used", ""),
    ],
)
def test_a_pot_whose_label_or_history_names_a_poison_is_not_worked_on(refinekit, tmp_path, name, note, code):
    pot = {"name": name, "volume_l": 0.5, "dissolved_mol": {"H^+": 0.1, "Cl^-": 0.1}, "history": [{"step": "note", "did": note}]}
    file = tmp_path / "pot.json"
    file.write_text(json.dumps(pot), encoding="utf-8")
    run = refinekit("neutralise", "--pot", str(file), "--override", "leaving-gold-in-waste=stannous test negative today")
    assert run.returncode == (3 if code else 0), run.stdout + run.stderr
    assert all(one not in run.stdout + run.stderr for one in ("[hydrogen-cyanide]", "[poison]") if one != f"[{code}]")
    assert not code or f"[{code}]" in run.stdout + run.stderr
