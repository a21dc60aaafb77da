"""What cannot be read as a quantity: one message, the text, a caret under the fault, and what to type instead."""

import pytest

from refinekit.errors import BadQuantity
from refinekit.units import KINDS, prefixed, read

MASSES = "80 g, 1.4 oz t or 2.5/4/6 g"
RANGED = "low/likely/high with one unit, as in 2.5/4/6 g"


def fault(text, kind="mass", **options):
    with pytest.raises(BadQuantity) as caught:
        read(text, kind, name="--gold", **options)
    return str(caught.value)


def shown(text, at, said, cure):
    """The message as it should look, its caret under place `at` of the text."""
    return f"--gold {text}\n{' ' * (7 + at)}^ {said}\n  Try: {cure}"


@pytest.mark.parametrize(
    ("text", "at", "said", "cure"),
    [
        ("2.5/x/6 g", 4, "not a number", RANGED),
        ("2.5//6 g", 4, "no number here", RANGED),
        ("2.5/4/", 6, "no number here", RANGED),
        ("/4/6 g", 0, "no number here", MASSES),
        ("1/2 g", 2, "two values may be a half, or the ends of a range", RANGED),
        ("1/2/3/4 g", 6, "a fourth value", RANGED),
        ("6/4/2.5 g", 2, "out of order, less than the figure before it", "low/likely/high, the smallest first"),
        ("1 g/2 g/1.5 g", 8, "out of order, less than the figure before it", "low/likely/high, the smallest first"),
        ("2 g/3/4 g", 4, "no unit, where others have one", RANGED),
        ("2 g/3/4", 4, "no unit, where others have one", RANGED),
        ("1 oz t 2 dwt/2/3 oz t", 13, "no unit, where others have one", RANGED),
        ("2-3 g", 1, "not the way a range is written", RANGED),
        ("2..3 g", 1, "not the way a range is written", RANGED),
        ("2 to 3 g", 2, "not the way a range is written", RANGED),
        ("2 g – 3 g", 4, "not the way a range is written", RANGED),
        ("2 ± 0.1 g", 2, "not the way a range is written", RANGED),
        ("2 +/- 0.1 g", 2, "not the way a range is written", RANGED),
        ("g", 0, "a number goes before the unit", MASSES),
        ("--", 0, "not a number", MASSES),
        ("$(id)", 0, "not a number", MASSES),
        ("~2 g", 0, "not a number", MASSES),
        ("nan g", 0, "not a finite number", MASSES),
        ("NaN", 0, "not a finite number", MASSES),
        ("-inf g", 0, "not a finite number", MASSES),
        ("infinity", 0, "not a finite number", MASSES),
        ("0x10 g", 0, "not a number", MASSES),
        ("O.5 g", 0, "a letter, where a digit was meant", MASSES),
        ("l5 g", 0, "a letter, where a digit was meant", MASSES),
        ("4 x 5 g", 2, "sides are not multiplied here", f"the product of them, as in {MASSES}"),
        ("4x5x2.5 g", 1, "sides are not multiplied here", f"the product of them, as in {MASSES}"),
        ("1_000 g", 1, "an underscore is no part of a number", MASSES),
        ("1 000 g", 2, "a second number", MASSES),
        ("1.2.3 g", 3, "a second number", MASSES),
        (
            "1,5 g",
            1,
            "a comma may be a decimal mark or a mark of thousands",
            "1.5 g with a dot, or no mark at all in thousands; REFINEKIT_DECIMAL=comma reads decimal commas",
        ),
        ("٣ g", 0, "not one of the digits 0 to 9", MASSES),
        ("½ g", 0, "not one of the digits 0 to 9", MASSES),
        ("１２ g", 0, "not one of the digits 0 to 9", MASSES),
        ("5² g", 1, "not one of the digits 0 to 9", MASSES),
        ("1e400 g", 0, "too large to be meant", MASSES),
        ("1e59 kg", 0, "too large to be meant", MASSES),
        ("1e13 g", 0, "too large to be meant", MASSES),
        ("1e-400 g", 0, "too small to be meant", MASSES),
        ("1e-13 g", 0, "too small to be meant", MASSES),
        ("2.1", 3, "no unit", MASSES),
        ("2/3/4", 5, "no unit", MASSES),
        ("-3 g", 0, "below zero, where a mass cannot be", MASSES),
        ("-3/4/5 g", 0, "below zero, where a mass cannot be", MASSES),
        (
            "10 g 10 g",
            5,
            "a second number, its unit no smaller than the first",
            "one value, or larger units first, as in 3 oz t 7 dwt",
        ),
        (
            "7 dwt 3 oz t",
            6,
            "a second number, its unit no smaller than the first",
            "one value, or larger units first, as in 3 oz t 7 dwt",
        ),
        ("3 oz 7 dwt", 2, "an avoirdupois ounce beside troy weights", "oz t for troy ounces, as in 3 oz t 7 dwt"),
        ("2 L", 2, "2 L is a volume, a mass was expected", MASSES),
        ("10 C", 3, "10 C is a temperature, a mass was expected", MASSES),
        ("5 g/L", 2, "5 g/L is a mass in a volume, a mass was expected", MASSES),
        ("5 acre", 2, "5 acre is an area, a mass was expected", MASSES),
        ("5 volt", 2, "5 volt is another kind of unit, a mass was expected", MASSES),
        ("20 degree_baume", 3, "20 degree_baume is a strength, a mass was expected", MASSES),
        ("14 karat", 3, "karat is a fineness, a mass was expected", MASSES),
        ("5 drops", 2, "a drop is no measure, droppers differ", "a marked pipette, as in 0.5 mL"),
        ("2 tons", 2, "a ton may be 1000 kg, 2000 lb or 2240 lb", "tonne, short ton or long ton"),
        ("5 Mg", 2, "Mg with a large M would be a thousand million mg", "mg, as in 5 mg"),
        ("2 gramz", 2, "gramz is not a unit of mass", f"did you mean 'gram'? Right are {MASSES}"),
        ("2 xyzzy", 2, "xyzzy is not a unit of mass", MASSES),
        ("2 g; rm", 2, "g; rm is not a unit of mass", f"did you mean 'gram'? Right are {MASSES}"),
        ("2 g if g else g", 2, "g if g else g is not a unit of mass", MASSES),
        ("2 g**g", 2, "g**g is not a unit of mass", MASSES),
    ],
)
def test_a_fault_is_shown_where_it_is_with_its_cure(text, at, said, cure):
    assert fault(text) == shown(text, at, said, cure)


@pytest.mark.parametrize("text", ["", " ", "\t\n", "\u00a0"])
def test_nothing_typed(text):
    assert fault(text) == f"--gold is empty\n  Try: {MASSES}"


def test_a_text_without_end_is_not_printed_in_full():
    assert fault("9" * 2_000_000) == (
        f"--gold {'9' * 30}... is 2000000 characters long, a quantity has 200 at most\n  Try: {MASSES}"
    )


@pytest.mark.parametrize("sign", ["\x1b", "\x00", "\u202e", "\u200b", "\ud800", "\n", "\t", "\u3000"])
def test_signs_that_do_not_show_are_named_and_never_printed(sign):
    message = fault(f"10{sign} g")
    assert "^ a sign that does not show on a screen" in message
    assert sign == "\n" or sign not in message
    assert message.splitlines()[1].index("^") == len("--gold 10")


def test_the_caret_stands_under_the_fault_behind_wide_signs():
    assert fault("1 g 金 2").splitlines()[1].index("^") == len("--gold 1 g ") + len("金 ") + 1


@pytest.mark.parametrize(
    ("text", "kind", "options", "line"),
    [
        ("0 g", "mass", {"above_zero": True}, "zero, where a mass above zero is needed"),
        ("0/1/2 g", "mass", {"above_zero": True}, "zero, where a mass above zero is needed"),
        ("-1 m", "length", {"above_zero": True}, "below zero, where a length cannot be"),
        ("5 kg", "mass", {"highest": 1000}, "over 1 kg, the most it can be here"),
        ("120 C", "temperature", {"highest": 383.15}, "over 110 C, the most it can be here"),
        ("2 C", "temperature", {"lowest": 278.15}, "under 5 C, the least it can be here"),
        ("-300 C", "temperature", {}, "under -273.15 C, the least it can be here"),
        ("-500 F", "temperature", {}, "under -459.67 F, the least it can be here"),
        ("3 mL", "volume", {"lowest": 0.005}, "under 5 mL, the least it can be here"),
        ("120 %", "share", {}, "over 100 %, the most it can be here"),
        ("25 K", "fineness", {}, "over 24 K, the most it can be here"),
        ("-0.1", "share", {}, "below zero, where a share cannot be"),
    ],
)
def test_a_figure_past_its_bounds_is_told_the_bound_in_its_own_unit(text, kind, options, line):
    assert f"^ {line}\n" in fault(text, kind, **options)


def test_a_figure_at_its_bound_is_read():
    assert read("110 C", "temperature", name="--it", highest=383.15).range.likely == 383.15
    assert read("230 F", "temperature", name="--it", highest=383.15).range.likely == pytest.approx(383.15)
    assert read("150 %", "share", name="--it", highest=2).range.likely == 1.5


@pytest.mark.parametrize(
    ("text", "kind", "unit", "line", "cure"),
    [
        ("14", "fineness", None, "may be karat, percent or parts per thousand", "14 K or 14 %, whichever is meant"),
        (
            "92.5",
            "fineness",
            None,
            "may be karat, percent or parts per thousand",
            "92.5 % or 92.5 per thousand, whichever is meant",
        ),
        (
            "0.9/585/750",
            "fineness",
            None,
            "a share of 1 beside larger figures",
            "all in one unit, as in 560/575/585 or 56/57.5/58.5 %",
        ),
        ("1200", "fineness", None, "over 1000 parts per thousand, more than all of it", "14 K, 585, 58.5 % or 560/575/585"),
        ("68", "share", None, "over 1 without a unit", "68 %, or 68 per thousand, whichever is meant"),
        ("0.5", "share", "%", "may be 0.5 % or a share of 1", "0.5 % or 50 %, whichever is meant"),
        ("14 K", "share", None, "karat is for a fineness alone", "68 %, 0.68 or 60/68/70 %"),
        ("5 ppt", "share", None, "ppt may be per thousand or per million million", "per thousand, or %"),
        ("5 ppm", "mass_concentration", None, "ppm of a liquor may be by mass or by volume", "mg/L, as in 5 mg/L"),
        ("12 N", "concentration", None, "what is normal depends on the reaction", "mol/L, as in 2 mol/L"),
        ("5 g/ton", "grade", None, "a ton may be 1000 kg, 2000 lb or 2240 lb", "tonne, short ton or long ton"),
        ("3 oz", "volume", None, "oz is a mass", "US fl oz, as in 8 US fl oz, or mL"),
        ("5 ML", "volume", None, "ML with a large M would be a thousand million mL", "mL, as in 5 mL"),
        ("3 ML/min", "flow", None, "ML with a large M would be a thousand million mL", "mL, as in 5 mL"),
        ("12 kg", "money", None, "not a currency sign, nor a code of three capitals", "12.50, $12.50 or 12.50 EUR"),
        ("$4/€5/6", "money", None, "two currencies, $ and €", "12.50, $12.50 or 12.50 EUR"),
        ("24 g", "count", None, "24 g is a mass, a plain number was expected", "24, 1.5 or 3/5/10"),
        ("2 h 30 min", "time", None, "a second number", "10 min, 2 days or 6/7/9 h"),
        ("3 dBm", "power", None, "3 dBm is another kind of unit, a power was expected", "1500 W, 1.5 kW or 1000/1500/2000 W"),
        ("5 delta_degC", "temperature", None, "delta_degC is not a unit of temperature", "18 C, 65 F or 15/18/25 C"),
        (
            "3 mm",
            "concentration",
            None,
            "3 mm is a length, a concentration was expected",
            "2 mol/L, 250 mmol/L or 1/1.2/1.5 mol/L",
        ),
        ("3 mM", "length", None, "3 mM is a concentration, a length was expected", "18 cm, 7 in or 16/18/20 cm"),
        ("5 at", "mass", None, "5 at is a pressure, a mass was expected", "80 g, 1.4 oz t or 2.5/4/6 g"),
        ("3 m", "concentration", None, "3 m is a length, a concentration was expected", "2 mol/L, 250 mmol/L or 1/1.2/1.5 mol/L"),
        ("5 m/cm", "grade", None, "5 m/cm is another kind of unit, a grade was expected", "3 g/kg, 250 g/t or 2/3/4 g/kg"),
        (
            "2 L/mim",
            "flow",
            None,
            "L/mim is not a unit of flow",
            "did you mean 'L/min'? Right are 2 L/min, 11 m3/min or 1.5/2/2.5 L/min",
        ),
    ],
)
def test_what_may_mean_two_things_is_asked_back(text, kind, unit, line, cure):
    message = fault(text, kind, unit=unit)
    assert message.split("^ ")[1] == f"{line}\n  Try: {cure}"


@pytest.mark.parametrize("kind", [kind for kind in KINDS.values() if kind.base], ids=lambda kind: kind.name)
def test_every_kind_refuses_a_bare_number_and_a_foreign_unit_with_its_own_examples(kind):
    foreign = "5 L" if kind.name != "volume" else "5 g"
    for text in ("2", foreign, "2 xyzzy"):
        assert fault(text, kind.name).endswith(f"\n  Try: {kind.example}")


@pytest.mark.parametrize("dotted", ["1.500 g", "1.500,5 g"])
def test_with_a_decimal_comma_a_dot_of_thousands_is_not_guessed(dotted):
    message = fault(dotted, decimal_comma=True)
    assert "^ a dot before three digits may be a mark of thousands\n  Try: a comma for decimals, and no other mark" in message


def test_a_word_before_the_message_moves_the_caret_along():
    assert prefixed("refinekit: ", fault("2.5/x/6 g")) == (
        "refinekit: --gold 2.5/x/6 g\n                      ^ not a number\n  Try: low/likely/high with one unit, as in 2.5/4/6 g"
    )


@pytest.mark.parametrize(
    ("kind", "unit", "example"), [("volume", "m3", "45 m3"), ("flow", "m3/min", "12 m3/min"), ("volume", "mL", "250 mL")]
)
def test_the_cure_is_of_the_size_of_what_is_asked_for(kind, unit, example):
    with pytest.raises(BadQuantity) as fault:
        read("0", kind, name="--it", unit=unit, above_zero=True)
    assert fault.value.cure.startswith(example)
    assert all(read(one.strip(), kind, name="--it").range.low > 0 for one in fault.value.cure.replace(" or ", ", ").split(", "))
