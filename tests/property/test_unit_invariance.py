"""The same amount through two units is the same figure, and no text does anything but be read or be refused."""

import math
import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.errors import BadQuantity
from refinekit.units import KINDS, read, read_price, read_strength

MEASURED = [kind for kind in KINDS.values() if kind.units and kind.base]
FIGURES = st.decimals(min_value="0.01", max_value="100", places=3).map(str)
PIECES = st.lists(
    st.one_of(
        st.sampled_from(
            ["/", " ", "-", "+", ":", ",", ".", "%", "$", "per ", "e", "1e400", "nan", "1000", "SG ", "²", "°", "½", "K", "N"]
        ),
        st.sampled_from(sorted({spelling for kind in KINDS.values() for spelling in kind.spelled})),
        st.integers(0, 2000).map(str),
        st.text(string.printable, max_size=4),
        st.text(max_size=4),
    ),
    max_size=9,
).map("".join)


@st.composite
def two_units(draw):
    kind = draw(st.sampled_from(MEASURED))
    return kind, draw(st.sampled_from(kind.units)), draw(st.sampled_from(kind.units))


@given(two_units(), FIGURES)
def test_one_amount_in_two_units_is_one_figure(units, figure):
    kind, first, second = units
    base = read(f"{figure} {first.spellings[0]}", kind.name, name="it", lowest=-math.inf).range.likely
    again = base / float(second.factor) - float(second.shift)
    found = read(f"{again!r} {second.spellings[0]}", kind.name, name="it", lowest=-math.inf).range.likely
    assert found == pytest.approx(base, rel=1e-12, abs=1e-9 if second.shift else 0)


@given(two_units(), st.lists(FIGURES, min_size=3, max_size=3))
def test_a_range_in_one_unit_is_the_range_of_its_figures(units, figures):
    kind, unit, _ = units
    three = sorted(figures, key=float)
    word = unit.spellings[0]
    found = read(f"{'/'.join(three)} {word}", kind.name, name="it").range
    assert [found.low, found.likely, found.high] == [read(f"{one} {word}", kind.name, name="it").range.likely for one in three]


@given(st.integers(1, 500), st.integers(1, 19), st.integers(1, 23))
def test_troy_weights_add_up_to_their_grains(ounces, pennyweights, grains):
    summed = read(f"{ounces} oz t {pennyweights} dwt {grains} grains", "mass", name="it").range.likely
    assert summed == read(f"{480 * ounces + 24 * pennyweights + grains} grains", "mass", name="it").range.likely


@given(st.one_of(st.text(), PIECES), st.sampled_from(sorted(KINDS)), st.booleans())
def test_any_text_is_a_finite_range_or_one_clear_refusal(text, kind, comma):
    for reader in (
        lambda: read(text, kind, name="it", decimal_comma=comma),
        lambda: read_strength(text, name="it", decimal_comma=comma),
        lambda: read_price(text, name="it", decimal_comma=comma),
    ):
        try:
            found = reader().range
        except BadQuantity as refusal:
            assert_clear(str(refusal))
        else:
            assert all(math.isfinite(end) for end in (found.low, found.likely, found.high))
            assert found.low <= found.likely <= found.high


def assert_clear(message):
    """One message: the text, perhaps a caret line, the cure; nothing in it that a screen would not show."""
    lines = message.split("\n")
    assert lines[0].startswith("it ")
    assert lines[-1].startswith("  Try: ")
    assert len(lines) == 2 or (len(lines) == 3 and lines[1].lstrip(" ").startswith("^ "))
    assert all(line.isprintable() for line in lines)
