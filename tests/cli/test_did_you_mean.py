"""A word that is nearly right: the command says what it took it for, in one sentence, and ends with 2."""

import shlex

import pytest

from tests.command import Run

LOT = '[lot]\nkind = "edge tabs"\nweight = "420 g"\narea = "1600 cm2"\n'
NEARLY = [
    ("a command", "disolve", "there is no command 'disolve'", "'dissolve'"),
    ("an option", "dissolve --gould 2g", "dissolve has no option --gould", "'--gold'"),
    ("an option with its value", "rehearse lot.toml --chnge=leach.air=2L/min", "rehearse has no option --chnge", "'--change'"),
    ("a part of an option", "dissolve --volum 2L", "dissolve has no option --volum", "'--hydrochloric-volume'"),
    ("a choice", "drop --gold 2g --reagent coperas", "'coperas' is not one of", "'copperas'"),
    ("a choice by its long name", "drop --gold 2g --reagent 'sodium metabisulphite'", "is not one of", "'smb'"),
    ("a reagent as an option", "dissolve --gold 2g --hcl 31%", "dissolve has no option --hcl", "'--hydrochloric'"),
    ("a choice as an option", "drop --gold 2g --smb 5g", "drop has no option --smb", "'--reagent smb'"),
    ("an option with one stroke", "leach -copper 12g", "leach has no option -copper", "'--copper'"),
    ("a kind of lot", "lot --kind 'edge tab'", "'edge tab' is not one of", "'edge tabs'"),
    ("a law of a step", "dissolve --gold 2g --law usa", "'usa' is not one of", "'us'"),
    ("a law of the book", "stock --law usa", "'usa' is not one of", "'us'"),
    ("how figures are shown", "dissolve --gold 2g --units metrc", "'metrc' is not one of", "'metric'"),
    ("a metal", "report yields --metal silvr", "'silvr' is no metal", "'silver'"),
    ("an order of pouring", "dilute nitric --target 10% --volume 1L --order acid-water", "not one of", "'acid-to-water'"),
    ("a reagent", "strength nitrik 68%", "nothing here is called 'nitrik'", "'nitric'"),
    ("a reagent of the shelf", "stock buy nitrik --volume 1L", "nothing here is called 'nitrik'", "'nitric'"),
    ("a substance", "molar coperas", "nothing here is called 'coperas'", "'copperas'"),
    ("a gas", "fume --gas clorine --litres 2L", "no gas whose limits are kept", "'Cl2'"),
    ("a unit", "dissolve --gold '2 grm'", "grm is not a unit of mass", "'gram'"),
    ("a unit of strength", "strength nitric '42 Bee'", "not a unit of strength", "'be'"),
    ("a pot", "drop --pot pots.json --take 'gold licor'", "there is no pot 'gold licor'", "'gold liquor'"),
    ("a vessel of the book", "drop --pot book:bth", "no vessel 'bth'", "'bath'"),
    ("what a report is of", "report yelds", "no report 'yelds'", "'yields'"),
    ("what is asked of a bath", "bath nxt", "cannot be asked to 'nxt'", "'next'"),
    ("what is asked of a drum", "drum opn", "cannot be asked to 'opn'", "'open'"),
    ("what is asked of the shelf", "stock by nitric", "cannot be asked to 'by'", "'buy'"),
    ("what is asked of the book", "book chek", "cannot be asked to 'chek'", "'check'"),
    ("a step of the plan", "log lot.toml --lot 12 --step drp", "the plan has no step 'drp'", "'drop'"),
    ("what a step used", "log lot.toml --lot 12 --used nitrik=5mL", "no step of the plan takes 'nitrik'", "'nitric'"),
    ("a key of the batch file", "plan wrong.toml", "'wieght' is no key", "'weight'"),
    ("a file", "plan lott.toml", "there is no file 'lott.toml'", "'lot.toml'"),
    ("a fact", "sources nitrik", "speaks of 'nitrik'", "'nitric'"),
]


@pytest.mark.parametrize(("words", "says", "meant"), [pytest.param(*one[1:], id=one[0]) for one in NEARLY])
def test_what_is_nearly_right_is_told_with_what_was_meant(refinekit: Run, tmp_path, words, says, meant):
    (tmp_path / "lot.toml").write_text(LOT, encoding="utf-8")
    (tmp_path / "wrong.toml").write_text(LOT.replace("weight", "wieght"), encoding="utf-8")
    (tmp_path / "pots.json").write_text(
        '[{"name": "gold liquor", "volume_l": 0.1, "dissolved_mol": {"HAuCl4": 0.01}}]', encoding="utf-8"
    )
    if "book:" in words:
        assert refinekit("bath", "start", "--bath-volume", "5L", "--bath-copper", "90g/L").returncode == 0
    done = refinekit(*shlex.split(words))
    assert done.returncode == 2, done.stdout
    assert says in done.stderr
    assert "did you mean " in done.stderr
    assert meant in done.stderr.split("did you mean ")[1]
    assert "Traceback" not in done.stderr
    assert len(done.stderr.splitlines()) <= 3


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["xyzzy"], "refinekit --help lists the commands"),
        (["dissolve", "--xyzzy"], "refinekit dissolve --help"),
        (["--units", "us", "plan"], "options stand behind the command"),
        (["dissolve", "--gold"], "--gold wants something behind it"),
        (["dissolve", "--json=3"], "--json takes nothing behind it"),
        (["plan"], "plan wants FILE: a batch file"),
        (["dilute", "nitric"], "dilute wants --target: strength wanted"),
    ],
    ids=" ".join,
)
def test_what_is_near_nothing_gets_a_cure_all_the_same(refinekit: Run, words, says):
    done = refinekit(*words)
    assert done.returncode == 2
    assert says in done.stderr
    assert "Try: " in done.stderr


def test_begin_is_four_lines_that_run(refinekit: Run):
    for width in ("80", "140"):
        done = refinekit(COLUMNS=width)
        assert done.returncode == 0
        assert len(done.stdout.splitlines()) == 4
        assert max(map(len, done.stdout.splitlines())) <= int(width)
    narrow = refinekit(COLUMNS="40").stdout.splitlines()
    assert max(map(len, narrow)) <= 40
    lines = [line.strip() for line in narrow if line.startswith("  refinekit")]
    assert len(lines) >= 5
    for line in lines:
        assert refinekit(*line.split()[1:]).returncode == 0, line


def test_the_list_of_commands_fits_the_terminal(refinekit: Run):
    done = refinekit("--help", COLUMNS="80")
    assert max(map(len, done.stdout.splitlines())) <= 80


@pytest.mark.parametrize(
    ("words", "says", "cure"),
    [
        ("leach --copper 12 g", "--copper 12: its unit 'g' stands apart", '--copper 12g, or in quotes: --copper "12 g"'),
        ("dilute hcl --target 5/10/15 % --volume 1L", "its unit '%' stands apart", '--target "5/10/15 %"'),
        ("leach --copper 12g lot.toml", "unexpected extra argument", "refinekit leach"),
        ("dissolve --gold 2g --outdoors yes", "--outdoors takes nothing behind it, and 'yes' stands", "--outdoors by itself"),
        ("log --lot 3 --found 'filters 0.02g'", "is not NAME=AMOUNT", "--found filters=0.02g"),
        ("pot bath.json", "there is no file 'bath.json'", "--json > pots.json"),
        ("plan lot.toml", "there is no file 'lot.toml'", "refinekit new lot.toml"),
    ],
)
def test_what_is_amiss_is_told_with_what_to_type(refinekit: Run, words: str, says: str, cure: str) -> None:
    done = refinekit(*shlex.split(words))
    assert done.returncode == 2
    assert says in done.stderr
    assert cure in done.stderr
