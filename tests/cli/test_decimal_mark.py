"""A decimal comma is read as REFINEKIT_DECIMAL or the locale tells, and never guessed from the figure. Which languages write a
comma: from memory of the Unicode CLDR's number symbols."""

import json
from pathlib import Path

import pytest

from refinekit.cli.decimal_mark import comma_told
from refinekit.errors import BadFile, BadQuantity, RefinekitError
from refinekit.shop.batch import read_batch
from refinekit.shop.plan import run_plan
from refinekit.units import read, read_price, read_strength
from refinekit.units.decimal_mark import comma_told_by
from tests.command import Run

NO_LOCALE = {"REFINEKIT_DECIMAL": "", "LC_ALL": "", "LC_NUMERIC": "", "LANG": ""}
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@pytest.mark.parametrize(
    ("told", "comma"),
    [
        ({}, False),
        ({"LC_ALL": "de_DE.UTF-8"}, True),
        ({"LC_ALL": "C.UTF-8"}, False),
        ({"LC_ALL": "POSIX"}, False),
        ({"LC_ALL": "C", "LANG": "de_DE.UTF-8"}, False),
        ({"LC_NUMERIC": "fr_FR.UTF-8", "LANG": "en_US.UTF-8"}, True),
        ({"LC_ALL": "en_US.UTF-8", "LC_NUMERIC": "fr_FR.UTF-8"}, False),
        ({"LANG": "es_ES"}, True),
        ({"LANG": "es_MX.UTF-8"}, False),
        ({"LANG": "de_CH.UTF-8"}, False),
        ({"LANG": "pt_BR.UTF-8@euro"}, True),
        ({"LANG": "ja_JP.UTF-8"}, False),
        ({"LANG": "../../etc/passwd"}, False),
        ({"REFINEKIT_DECIMAL": "comma", "LC_ALL": "C"}, True),
        ({"REFINEKIT_DECIMAL": "point", "LC_ALL": "de_DE.UTF-8"}, False),
    ],
    ids=str,
)
def test_who_tells_of_a_comma(told: dict[str, str], comma: bool) -> None:
    assert bool(comma_told(told)) is comma


def test_a_mark_that_is_none_is_said() -> None:
    with pytest.raises(BadQuantity, match="neither comma nor point"):
        comma_told({"REFINEKIT_DECIMAL": "full stop"})


@pytest.mark.parametrize(
    ("text", "grams"),
    [("2,5 g", 2.5), ("0,125 g", 0.125), ("0.125 g", 0.125), ("2.5 g", 2.5), ("1234.567 g", 1234.567), ("1,6/2,1/2,6 g", 2.1)],
)
def test_a_figure_with_one_meaning_is_read_under_a_comma(text: str, grams: float) -> None:
    with comma_told_by("LANG=de_DE"):
        reading = read(text, "mass", name="--gold")
    assert reading.range.likely == grams
    assert reading.assumed is None


def test_three_places_behind_a_comma_are_told() -> None:
    """1,250 is one and a quarter here and a thousand and more elsewhere: it is read as told, and said so."""
    with comma_told_by("LANG=de_DE"):
        assert read("1,250 g", "mass", name="--gold").range.likely == 1.25
        assert read("1,250 g", "mass", name="--gold").assumed == (
            "--gold 1,250 g read with the comma as decimal mark (LANG=de_DE)"
        )
        assert read_price("1,250 /L", name="price").range.likely == 1.25
        assert "comma" in str(read_price("1,250 /L", name="price").assumed)
        assert "comma" in str(read_strength("1,184 SG", name="--strength").assumed)


@pytest.mark.parametrize("text", ["1.250 g", "1.250,5 g", "12.345.678 g", "1,250,500 g"])
def test_a_mark_of_thousands_is_refused_under_a_comma(text: str) -> None:
    with comma_told_by("LANG=de_DE"), pytest.raises(BadQuantity):
        read(text, "mass", name="--gold")


@pytest.mark.parametrize("text", ["1,250 g", "2,5 g", "1,250.5 g"])
def test_a_comma_is_refused_under_a_dot(text: str) -> None:
    with pytest.raises(BadQuantity, match="a comma may be a decimal mark or a mark of thousands"):
        read(text, "mass", name="--gold")


DISSOLVE = ("dissolve", "--nitric", "68 %", "--outdoors", "--gold")


def test_a_command_reads_as_the_shell_tells_and_answers_with_dots(refinekit: Run) -> None:
    plain = refinekit(*DISSOLVE, "2.5 g", "--json", **NO_LOCALE)
    for told in ({"LC_ALL": "de_DE.UTF-8"}, {"REFINEKIT_DECIMAL": "comma"}):
        done = refinekit(*DISSOLVE, "2,5 g", "--json", **{**NO_LOCALE, **told})
        assert json.loads(done.stdout)["answers"] == json.loads(plain.stdout)["answers"], done.stderr
    for told in ({"LC_ALL": "C.UTF-8"}, {"LC_ALL": "POSIX"}, {}):
        done = refinekit(*DISSOLVE, "2,5 g", **{**NO_LOCALE, **told})
        assert (done.returncode, done.stdout) == (2, "")
        assert "REFINEKIT_DECIMAL=comma" in done.stderr


def test_a_count_with_a_mark_is_refused_under_a_comma(refinekit: Run) -> None:
    done = refinekit("plan", str(EXAMPLES[0]), "--samples", "10,000", **{**NO_LOCALE, "LANG": "de_DE.UTF-8"})
    assert done.returncode == 2
    assert "without any" in done.stderr


LOT = """
[lot]
kind = "edge tabs"
weight = "420,5 g"
area = "1450,5 cm2"
[shelf.nitric]
strength = "68,5 %"
price = "4,20 /L"
"""


def test_a_file_names_its_own_mark(tmp_path: Path) -> None:
    text = 'decimal = "comma"\n' + LOT
    dotted = LOT.replace(",", ".")
    wanted = [step.done.step.answers for step in run_plan(read_batch(dotted, "a.toml")).steps if step.done]
    for who in ("", "LANG=de_DE"):
        with comma_told_by(who):
            found = [step.done.step.answers for step in run_plan(read_batch(text, "a.toml")).steps if step.done]
        assert found == wanted
    with comma_told_by("LANG=de_DE"):
        found = [
            step.done.step.answers for step in run_plan(read_batch('decimal = "point"\n' + dotted, "a.toml")).steps if step.done
        ]
    assert found == wanted


def test_a_file_without_a_mark_goes_by_the_shell() -> None:
    with pytest.raises(RefinekitError, match="comma"):
        run_plan(read_batch(LOT, "a.toml"))
    with comma_told_by("LANG=de_DE"):
        assert run_plan(read_batch(LOT, "a.toml")).batch.lot["weight"] == "420,5 g"


def test_a_mark_nobody_knows_is_a_fault_of_the_file() -> None:
    with pytest.raises(BadFile, match="neither comma nor point"):
        read_batch('decimal = "full stop"\n' + LOT.replace(",", "."), "a.toml")


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_is_read_the_same_where_commas_are_decimal_marks(example: Path) -> None:
    text = example.read_text(encoding="utf-8")
    with comma_told_by("LANG=de_DE"):
        told = run_plan(read_batch(text, example.name))
    assert [one.done is not None for one in told.steps] == [
        one.done is not None for one in run_plan(read_batch(text, example.name)).steps
    ]
