"""The batch file: read whole, every fault of it told at once with line, key and the nearest right word."""

import pytest

from refinekit.errors import BadFile
from refinekit.shop.batch import read_batch
from refinekit.shop.starter import STARTER

GOOD = """\
[lot]
kind = "edge tabs"
weight = "420 g"
area = "1600 cm2"
"""


def verbs(text: str) -> list[str]:
    return [ask.verb for ask in read_batch(text, "lot.toml").steps]


def faults(text: str) -> str:
    with pytest.raises(BadFile) as caught:
        read_batch(text, "lot.toml")
    return str(caught.value)


def test_the_starter_file_can_be_read() -> None:
    batch = read_batch(STARTER.format(name="lot.toml"), "lot.toml")
    assert batch.lot["gold-thickness"] == "20/30/50 uin"
    assert set(batch.shelf) == {"hydrochloric", "nitric", "smb"}
    assert batch.place["hood"] is True


def test_steps_left_out_are_the_usual_route() -> None:
    assert verbs(GOOD)[:3] == ["leach", "rinse", "dissolve"]
    assert verbs(GOOD)[-2:] == ["sludge", "account"]


def test_a_step_written_takes_its_place_in_the_route() -> None:
    batch = read_batch(GOOD + '[[step]]\ndo = "drop"\nreagent = "copperas"\n', "lot.toml")
    drop = next(ask for ask in batch.steps if ask.verb == "drop")
    assert (drop.usual, drop.texts["reagent"]) == (False, "copperas")
    assert len(batch.steps) == len(read_batch(GOOD, "lot.toml").steps)
    assert "line 5, step 1 (drop)" in drop.label


def test_a_step_with_a_part_takes_the_place_of_that_part() -> None:
    batch = read_batch(GOOD + '[[step]]\ndo = "rinse"\nwhat = "powder"\n', "lot.toml")
    assert [ask.usual for ask in batch.steps if ask.verb == "rinse"] == [True, True, False]


def test_a_route_as_written_has_nothing_filled_in() -> None:
    assert verbs('route = "as written"\n' + GOOD + '[[step]]\ndo = "leach"\n') == ["leach"]


def test_every_fault_is_told_in_one_go() -> None:
    said = faults(
        """\
nonsense = 1
[lot]
kind = "edge tabs"
wieght = "420 g"
area = true
[shop]
rom = "45 m3"
[shelf.nitrik]
strength = "68 %"
[shelf.smb]
godness = "0.9"
[[step]]
do = "leech"
[[step]]
air = "2 L/min"
[[step]]
do = "leach"
deapth = "18 cm"
"""
    )
    for line in (
        "1: 'nonsense' is no section of a batch file",
        "line 4: 'wieght' is no key of [lot]",
        "did you mean 'weight'?",
        "line 5, area is true, which is no quantity",
        "line 7: 'rom' is no key of [shop]",
        "did you mean 'room'?",
        "line 8: 'nitrik' is no reagent",
        "did you mean 'nitric'?",
        "line 11: 'godness' is no key of [shelf]",
        "line 13, do 'leech' is no step",
        "did you mean 'leach'?",
        "line 14, step 2 does not say what to do",
        "line 18: 'deapth' is no key of [step]",
    ):
        assert line in said, line
    assert said.count("Try:") == 9


@pytest.mark.parametrize(
    ("text", "says"),
    [
        pytest.param("", "lot.toml is empty", id="empty"),
        pytest.param("  \n# nothing\n", "has no [lot]", id="only a comment"),
        pytest.param("[lot\nweight =", "not readable TOML", id="broken"),
        pytest.param("[lot]\nweight='1 g'\nweight='2 g'\n", "not readable TOML", id="a key twice"),
        pytest.param("a = " + "[" * 3000 + "]" * 3000, "not readable TOML", id="nested without end"),
        pytest.param("lot = [1, 2]\n", "lot is not a section", id="a list for a section"),
        pytest.param(GOOD + "step = 3\n", "'step' is no key of [lot]", id="steps inside the lot"),
        pytest.param('step = "leach"\n' + GOOD, "step is not a list of steps", id="a word for steps"),
        pytest.param(GOOD + '[[step]]\ndo = "rinse"\n' * 61, "has 61 steps", id="too many steps"),
        pytest.param(GOOD + '[[step]]\ndo = "drop"\ntake = 3\n', "take is no name of a pot", id="a number for a pot"),
        pytest.param(GOOD + '[[step]]\ndo = "drop"\noverride = { x = "" }\n', "override has no reason", id="no reason"),
        pytest.param('route = "mine"\n' + GOOD, "route is neither usual nor as written", id="unknown route"),
        pytest.param("title = 3\n" + GOOD, "title is not text", id="a number for a title"),
        pytest.param(GOOD + "[shelf]\nnitric = 3\n", "nitric is not a bottle", id="a number for a bottle"),
    ],
)
def test_a_bad_file_says_what_is_wrong(text: str, says: str) -> None:
    assert says in faults(text)


BOTTLES = """
gold-price = "sixty"
[lot]
kind = "edge tabs"
weight = "420 g"
area = "1600 cm2"
[shelf.hydrochloric]
strength = "31"
price = "4.20"
on-hand = "9"
[shelf.smb]
goodness = "85"
reorder = "-1 kg"
"""


def test_what_cannot_be_read_of_a_bottle_is_told_once_and_where_it_stands():
    with pytest.raises(BadFile) as fault:
        read_batch(BOTTLES, "lot.toml")
    said = str(fault.value)
    told = ("2, gold-price sixty", "8, strength 31", "9, price 4.20", "10, on-hand 9", "12, goodness 85", "13, reorder -1 kg")
    for one in told:
        assert said.count(f"lot.toml line {one}\n") == 1, one
    assert "250 mL" in said  # a liquor is told in litres, not in grams
    assert said.count("Try:") == len(told)


def test_a_lot_with_nothing_in_it_is_not_said_to_be_missing():
    with pytest.raises(BadFile, match=r"lot.toml has nothing under \[lot\]"):
        read_batch("[lot]\n", "lot.toml")
