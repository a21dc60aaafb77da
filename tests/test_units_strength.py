"""Strengths as labels, hydrometers and suppliers write them."""

import pytest

from refinekit.errors import BadQuantity
from refinekit.units import FORMS, read_strength


def fault(text, **options):
    with pytest.raises(BadQuantity) as caught:
        read_strength(text, name="--acid", **options)
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "form", "three"),
    [
        ("31.45 %", "percent_ww", (31.45, 31.45, 31.45)),
        ("31.45 % w/w", "percent_ww", (31.45, 31.45, 31.45)),
        ("31.45 wt%", "percent_ww", (31.45, 31.45, 31.45)),
        ("28/31.45/33 %", "percent_ww", (28, 31.45, 33)),
        ("28 % w/w / 31.45 % w/w / 33 % w/w", "percent_ww", (28, 31.45, 33)),
        ("6 % w/v", "percent_wv", (6, 6, 6)),
        ("6% W/V", "percent_wv", (6, 6, 6)),
        ("20 Be", "baume", (20, 20, 20)),
        ("20 Baume", "baume", (20, 20, 20)),
        ("20 Baumé", "baume", (20, 20, 20)),
        ("20 °Bé", "baume", (20, 20, 20)),
        ("20 deg Be", "baume", (20, 20, 20)),
        ("0 Be", "baume", (0, 0, 0)),
        ("1.16 SG", "sg", (1.16, 1.16, 1.16)),
        ("SG 1.16", "sg", (1.16, 1.16, 1.16)),
        ("SG 1.14/1.16/1.18", "sg", (1.14, 1.16, 1.18)),
        ("sp gr 1.16", "sg", (1.16, 1.16, 1.16)),
        ("1.1598 g/mL", "density", (1.1598, 1.1598, 1.1598)),
        ("1.16 kg/L", "density", (1.16, 1.16, 1.16)),
        ("12 mol/L", "mol_per_l", (12, 12, 12)),
        ("12 M", "mol_per_l", (12, 12, 12)),
        ("100 mmol/L", "mol_per_l", (0.1, 0.1, 0.1)),
        ("365 g/L", "g_per_l", (365, 365, 365)),
        ("500 mg/L", "g_per_l", (0.5, 0.5, 0.5)),
        ("12.5 % trade", "trade_percent", (12.5, 12.5, 12.5)),
        ("12.5 trade %", "trade_percent", (12.5, 12.5, 12.5)),
        ("100 volumes", "volumes", (100, 100, 100)),
        ("100 vol", "volumes", (100, 100, 100)),
        ("1:1", "parts", (1, 1, 1)),
        ("1 : 2", "parts", (2, 2, 2)),
        ("2:1", "parts", (0.5, 0.5, 0.5)),
        ("1:1/1:2/1:3", "parts", (1, 2, 3)),
    ],
)
def test_each_form_is_read_as_it_stands(text, form, three):
    found = read_strength(text, name="--acid")
    assert (found.form, found.unit) == (form, FORMS[form].unit)
    assert (found.range.low, found.range.likely, found.range.high) == three
    assert found.text == text


@pytest.mark.parametrize(
    ("text", "unit", "said"),
    [
        ("31.45 %", None, "--acid 31.45 % read as percent by weight"),
        ("12 N", None, "--acid 12 N read as mol/L, right for what gives one ion to the formula"),
        ("20", "Be", "--acid 20 read as 20 Be"),
        ("20 Be", None, None),
        ("31.45 % w/w", None, None),
        ("SG 1.16", "Be", None),
    ],
)
def test_what_is_taken_as_given_is_told(text, unit, said):
    assert read_strength(text, name="--acid", unit=unit).assumed == said


def test_normal_is_read_of_one_ion_only():
    assert read_strength("12 N", name="--acid", ions=1).assumed is None
    assert fault("36 N", ions=2) == (
        "--acid 36 N\n          ^ N is read only of what gives one ion, this gives 2\n  Try: mol/L, as in 18 mol/L"
    )


@pytest.mark.parametrize(
    ("text", "line", "cure"),
    [
        ("20", "no unit: percent, Baume or what?", "31.45 %, 20 Be"),
        ("20 g", "20 g is a mass, a strength was expected", "31.45 %, 20 Be"),
        ("20 C", "20 C is a temperature, a strength was expected", "31.45 %, 20 Be"),
        ("20 baumee", "baumee is not a unit of strength", "did you mean 'baume'"),
        ("20 xyzzy", "xyzzy is not a unit of strength", "31.45 %, 20 Be"),
        ("20 Be/30 %/31 %", "another form of strength than the figures before", "one form for all three"),
        ("33/31/28 %", "out of order, less than the figure before it", "low/likely/high, the smallest first"),
        ("28/31 %", "two values may be a half, or the ends of a range", "low/likely/high with one unit, as in 28/31.45/33 %"),
        ("120 %", "over 100 %, the most it can be here", "31.45 %"),
        ("0 %", "zero, where a strength above zero is needed", "31.45 %"),
        ("-5 Be", "below zero, where a strength cannot be", "31.45 %"),
        ("5 % v/v", "percent by volume says nothing sure of an acid", "31.45 % for percent by weight, 1:1 for parts by volume"),
        ("1160 kg/m3", "may be a density or a content", "g/mL for a density"),
        ("10 mol/kg", "per kilogram of what is not said", "10 mol/L or 31.45 %"),
        ("500 ppm", "ppm of a liquor may be by mass or by volume", "mg/L, as in 500 mg/L"),
        ("SG 1.16 %", "a second unit, after SG", "31.45 %"),
        ("% 20", "a number goes before the unit", "31.45 %"),
        ("0:1", "no acid in it", "acid:water, as in 1:1 or 1:2"),
        ("1:-1", "below zero, where a strength cannot be", "31.45 %"),
        ("1:", "not parts of acid to parts of water", "acid:water, as in 1:1 or 1:2"),
        ("1:1:1", "not parts of acid to parts of water", "acid:water, as in 1:1 or 1:2"),
        ("1:1/1:2", "two values, or more than three", "one value, or three as in 1:1/1:2/1:3"),
        ("1:3/1:2/1:1", "out of order, less than the figure before it", "low/likely/high, the smallest first"),
        ("1e400:1", "too large to be meant", "31.45 %"),
        ("1,5 %", "a comma may be a decimal mark or a mark of thousands", "1.5 % with a dot"),
        ("nan %", "not a finite number", "31.45 %"),
    ],
)
def test_what_is_no_strength_is_shown_with_its_cure(text, line, cure):
    assert fault(text).split("^ ", 1)[1].startswith(f"{line}\n  Try: {cure}")


def test_nothing_typed():
    assert fault("  ").startswith("--acid is empty\n  Try: 31.45 %, 20 Be, 1.16 SG")
