"""May these two meet: names, formulas, plain words and misspellings; unknown is never safe; pots by file."""

import json

import pytest

from refinekit.bench.pot import Pot
from refinekit.cli.main import main
from refinekit.errors import UnknownName
from refinekit.facts.load import table
from refinekit.safety.from_step import vessel
from refinekit.safety.keep_apart import NOT_SAFE, contradictions, keeping, meet_words, must_not_meet
from refinekit.safety.portrait import review_pots
from refinekit.safety.substances import find, substances

MATRIX = [
    ("gold chloride", "ammonia", "fulminating-gold", "stop"),
    ("silver nitrate", "ammonia", "fulminating-silver", "stop"),
    ("silver oxide", "ammonia", "fulminating-silver", "stop"),
    ("AgCl", "ammonia", "fulminating-silver", "stop"),
    ("silver nitrate", "alcohol", "silver-fulminate", "stop"),
    ("silver nitrate", "acetylene", "silver-fulminate", "stop"),
    ("bleach", "muriatic", "chlorine", "stop"),
    ("bleach", "vinegar", "chlorine", "stop"),
    ("bleach", "ammonia", "chloramine", "stop"),
    ("bleach", "urea", "chloramine", "stop"),
    ("bleach", "sulfamic", "chloramine", "stop"),
    ("nitric", "acetone", "nitric-organics", "stop"),
    ("nitric", "sawdust", "nitric-organics", "stop"),
    ("nitric", "paper", "nitric-organics", "warn"),
    ("nitric", "rubber glove", "nitric-organics", "warn"),
    ("nitric", "hydrazine", "hydrazine-nitrate", "stop"),
    ("nitrite", "hydrazine", "hydrazine-nitrate", "stop"),
    ("nitric", "smb", "nox", "warn"),
    ("nitric", "copperas", "nox", "warn"),
    ("nitric", "urea", "urea-nitrate", "stop"),
    ("smb", "acid", "sulfur-dioxide", "stop"),
    ("zinc", "acid", "hydrogen", "warn"),
    ("magnesium", "acid", "hydrogen", "warn"),
    ("cyanide", "acid", "hydrogen-cyanide", "stop"),
    ("cyanide", "gold chloride", "hydrogen-cyanide", "stop"),
    ("stripper", "old bath", "hydrogen-cyanide", "stop"),
    ("liver of sulfur", "acid", "hydrogen-sulfide", "stop"),
    ("aluminium", "lye", "hydrogen", "warn"),
    ("peroxide", "copper", "peroxide-runaway", "stop"),
    ("peroxide", "acetone", "peroxide-runaway", "stop"),
    ("chlorine scrubber", "acid", "chlorine", "stop"),
    ("ammonium chloride", "caustic", "ammonia-gas", "warn"),
    ("platinum", "ammonium chloride", "chloroplatinate-lost", "stop"),
    ("platinum", "urea", "chloroplatinate-lost", "stop"),
    ("baking soda", "acid", "froth-over", "warn"),
    ("hot glass", "acid", "hot-glass", "note"),
    ("stannous chloride", "gold chloride", "colloid", "stop"),
    ("permanganate", "hydrochloric", "chlorine", "stop"),
    ("solder", "nitric", "tin-paste", "stop"),
    ("water", "sulfuric acid", "acid-spit", "warn"),
]


@pytest.mark.parametrize(("one", "other", "code", "level"), MATRIX)
def test_the_matrix_of_what_must_not_meet_holds_both_ways(one, other, code, level):
    for first, second in ((one, other), (other, one)):
        levels = {notice.code: notice.level for notice in meet_words(first, second).notices}
        assert levels.get(code) == level, levels


@pytest.mark.parametrize(
    ("one", "other"), [("water", "salt"), ("salt", "acid"), ("copper", "acid"), ("water", "water"), ("gold metal", "acid")]
)
def test_nothing_known_is_said_not_to_be_the_same_as_safe(one, other):
    meeting = meet_words(one, other)
    assert (meeting.level, meeting.answer) == ("none", NOT_SAFE)


@pytest.mark.parametrize("word", ["xyzzy", "", "  ", "saltt", "wate", "Zq2", "none", "\N{SNOWMAN}", "a" * 5000])
def test_an_unknown_name_is_never_safe(word):
    with pytest.raises(UnknownName, match="do not mix it"):
        meet_words(word, "acid")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("bleech", "bleach"),
        ("amonia", "ammonia"),
        ("Muriatic Acid", "hydrochloric acid"),
        ("NH3", "ammonia"),
        ("HNO3", "nitric acid"),
        ("naoh", "caustic"),
        ("metabisulphite", "metabisulfite"),
        ("old bath", "old bath"),
        ("sulphamic acid", "sulfamic acid"),
    ],
)
def test_common_names_formulas_and_misspellings_are_found(typed, meant):
    assert find(typed).key == meant


def test_a_loose_name_stands_for_the_worst_it_may_be():
    assert meet_words("gold", "ammonia").level == "stop"
    assert meet_words("silver", "alcohol").level == "stop"
    assert meet_words("spent scrubber", "acid").level == "stop"


@pytest.mark.parametrize("word", ["cyanide", "mercury", "hydrofluoric acid", "chlorine cylinder", "unknown powder"])
def test_what_is_not_for_this_bench_is_refused_with_who_takes_it(word):
    refusal = next(notice for notice in meet_words(word, "water").notices if notice.code == "refused")
    assert refusal.level == "stop"
    assert any(taker in refusal.do for taker in ("contractor", "supplier", "plater"))


def test_no_amount_is_made_up_for_a_pair_of_names():
    texts = [notice.text for one, other, _, _ in MATRIX for notice in meet_words(one, other).notices]
    assert [text for text in texts if " L of " in text or "% of the air" in text or "% of the bath" in text] == []


def test_no_name_means_two_things():
    names = [name.lower() for one in substances() for name in (one.key, *one.names)]
    assert sorted({name for name in names if names.count(name) > 1}) == []


@pytest.mark.parametrize("one", substances(), ids=lambda one: one.key)
def test_everything_on_the_shelf_can_be_asked_of(one):
    for partner in ("acid", "caustic", "bleach", "old bath", "nitric acid", "spent scrubber", one.key):
        assert meet_words(one.key, partner).answer


def test_every_refusal_has_its_words():
    assert {one.refused for one in substances() if one.refused} == set(table("safety/says")["refused"])


# ---- pots
def test_a_pot_that_carries_ammonium_must_not_meet_bleach():
    pot = vessel(Pot("spent", 1.0, {"NH4^+": 0.1, "H^+": 1.0, "Cl^-": 1.1, "H2O": 55.0}, marks={"ammonium": "denox"}))
    assert "bleach" in {partner for partner, notice in must_not_meet(pot) if notice.code == "chloramine"}
    assert any("AMMONIUM" in store for _, store in keeping(pot))


@pytest.mark.parametrize(
    ("pot", "words"),
    [
        (
            Pot("a", 1.0, {"AuCl4^-": 0.01, "H^+": 0.1, "H2O": 55.0}, marks={"gold-tested": "cement"}),
            "gold test says there is none",
        ),
        (Pot("b", 1.0, {"H^+": 1.0, "OH^-": 1.0, "H2O": 55.0}), "acid and alkali at once"),
        (Pot("c", 1.0, {"ClO^-": 0.1, "NH4^+": 0.1, "H2O": 55.0}), "eat each other"),
        (Pot("d", 1.0, {"Cu^2+": 0.1, "H2O": 55.0}, {"Cu": 1.0}, marks={"base-metal-gone": "leach"}), "last base metal is gone"),
    ],
)
def test_a_history_that_contradicts_the_contents_is_said(pot, words):
    assert words in " ".join(notice.text for notice in contradictions(vessel(pot)))


def test_a_pot_that_agrees_with_itself_is_left_alone():
    assert contradictions(vessel(Pot("bath", 1.0, {"H^+": 1.0, "Cl^-": 1.0, "H2O": 55.0}))) == ()


# ---- the commands
@pytest.fixture
def run(capsys):
    def asked(*words):
        with pytest.raises(SystemExit) as ended:
            main(list(words))
        return ended.value.code, capsys.readouterr()

    return asked


@pytest.mark.parametrize("pair", [("bleach", "ammonia"), ("water", "salt")])
def test_an_answer_ends_with_nought_even_where_it_is_no(run, pair):
    code, shown = run("keep-apart", *pair, "--json")
    assert code == 0
    assert json.loads(shown.out)["command"] == "keep-apart"


@pytest.mark.parametrize("arguments", [["xyzzy", "acid"], ["bleach"], ["a", "b", "c"], []])
def test_what_cannot_be_held_together_ends_with_two(run, arguments):
    code, shown = run("keep-apart", *arguments)
    assert (code, shown.out) == (2, "")


@pytest.fixture
def bath(tmp_path):
    path = tmp_path / "bath.json"
    held = {"name": "old bath", "volume_l": 4, "dissolved_mol": {"HCl": 6, "CuCl2": 3, "NH4Cl": 0.2}, "solids_mol": {"Cu": 0.5}}
    path.write_text(json.dumps(held), encoding="utf-8")
    return path


def test_pot_tells_contents_partners_and_keeping(run, bath):
    text = run("pot", str(bath))[1].out
    for words in (
        "copper(II)",
        "free acid",
        "1.5",
        "What it must not meet",
        "bleach",
        "make it safe",
        "store it",
        "D002",
        "no history",
    ):
        assert words in text, words


def test_keep_apart_takes_a_pot_from_a_file(run, bath):
    found = json.loads(run("keep-apart", "bleach", "--pot", str(bath), "--json")[1].out)
    assert {"chlorine", "chloramine"} <= {notice["code"] for notice in found["notices"]}


def test_two_pots_of_one_name_are_refused(run, tmp_path, bath):
    one = json.loads(bath.read_text(encoding="utf-8"))
    twice = tmp_path / "twice.json"
    twice.write_text(json.dumps([one, one]), encoding="utf-8")
    code, shown = run("pot", str(twice))
    assert code == 2
    assert "name of its own" in shown.err


def test_pot_says_what_is_dangerous_in_it_as_it_stands(run, tmp_path):
    path = tmp_path / "gold.json"
    held = {"name": "gold pot", "volume_l": 1, "dissolved_mol": {"HAuCl4": 0.01, "HCl": 1, "NH3": 0.1}}
    path.write_text(json.dumps(held), encoding="utf-8")
    found = json.loads(run("pot", str(path), "--json")[1].out)["notices"]
    assert ("stop", "fulminating-gold") in {(notice["level"], notice["code"]) for notice in found}


def test_pot_tells_what_no_figure_shows(run, bath):
    assert "the bottle is what its label says" in " ".join(run("pot", str(bath))[1].out.split())


def test_foils_out_of_a_bath_are_warned_of_with_ammonia():
    """Fulminating gold forms from gold chloride and ammonia: Steinhauser et al., Gold Bulletin 41 (2008) 305."""
    meeting = meet_words("gold foils", "ammonia")
    assert meeting.level == "warn"
    assert any("fulminating" in notice.text and "keep it wet" in notice.do for notice in meeting.notices)


def test_pots_on_a_shelf_are_judged_without_a_step():
    bad = Pot("drum", 1.0, {"ClO^-": 0.1, "NH4^+": 0.1, "H2O": 55.0})
    good = Pot("brine", 1.0, {"Na^+": 1.0, "Cl^-": 1.0, "H2O": 55.0})
    said = review_pots((bad, good))
    assert said["drum"][0].level == "stop"
    assert {one.code for one in said["drum"]} >= {"chloramine", "history-contradicts"}
    assert said["brine"] == ()
