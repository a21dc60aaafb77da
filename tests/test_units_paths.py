"""The table of plain units and Pint agree on every one of them, and plain texts never call Pint in."""

import subprocess
import sys
from fractions import Fraction
from itertools import product

import pytest

from refinekit.units import KINDS, by_pint
from refinekit.units.find import in_order, plain

BASE_OF_PLAIN = {"share": "dimensionless", "fineness": "dimensionless"}
PLAIN_UNITS = [(kind, unit) for kind in KINDS.values() for unit in kind.units]
RATIOS = [
    pytest.param(kind, above, below, id=f"{kind.name} {above.spellings[0]}/{below.spellings[0]}")
    for kind in KINDS.values()
    if kind.ratio
    for above, below in product(KINDS[kind.ratio[0]].units, KINDS[kind.ratio[1]].units)
]


def in_base(expression, kind, figure):
    units = by_pint.registry()
    return units.Quantity(figure, units.parse_units(expression)).to(kind.pint or BASE_OF_PLAIN[kind.name]).magnitude


@pytest.mark.parametrize(("kind", "unit"), PLAIN_UNITS, ids=lambda it: getattr(it, "pint", ""))
@pytest.mark.parametrize("figure", [1.0, 37.5])
def test_every_plain_unit_is_what_pint_says(kind, unit, figure):
    for spelling in unit.spellings:
        scale = plain(in_order(spelling), kind)
        assert float(scale.base(Fraction(figure))) == pytest.approx(in_base(unit.pint, kind, figure), rel=1e-12)


@pytest.mark.parametrize(("kind", "above", "below"), RATIOS)
def test_every_plain_unit_over_another_is_what_pint_says(kind, above, below):
    scale = plain(f"{above.spellings[0]}/{below.spellings[0]}", kind)
    assert float(scale.factor) == pytest.approx(in_base(f"({above.pint}) / ({below.pint})", kind, 1.0), rel=1e-12)


@pytest.mark.parametrize(
    ("kind", "unit"),
    [(kind, unit) for kind, unit in PLAIN_UNITS if kind.pint and kind.name != "grade"],
    ids=lambda it: getattr(it, "pint", ""),
)
def test_the_door_to_pint_gives_the_same_factor_for_a_plain_spelling(kind, unit):
    for spelling in unit.spellings:
        expression = by_pint.as_expression(in_order(spelling))
        if expression is not None:
            factor, shift = by_pint.scale(in_order(spelling), kind)
            assert float(factor) == pytest.approx(float(unit.factor), rel=1e-12)
            assert float(shift) == pytest.approx(float(unit.shift), rel=1e-12)


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.name)
def test_no_spelling_has_two_meanings_in_a_kind(kind):
    spellings = [spelling for unit in kind.units for spelling in unit.spellings]
    assert len(spellings) == len(set(spellings))
    meanings = {}
    for unit in kind.units:
        for spelling in unit.spellings:
            meanings.setdefault(spelling.lower(), set()).add(unit.factor)
    assert {word for word, factors in meanings.items() if len(factors) > 1} == set()


PLAIN_READINGS = """
import sys
from refinekit.errors import BadQuantity
from refinekit.units import KINDS, read, read_price, read_strength
for kind in KINDS.values():
    for text in (*kind.examples, *(f"1 {unit.spellings[0]}" for unit in kind.units)):
        read(text, kind.name, name="it")
for text in ("3 oz t 7 dwt", "2", "2.5/x/6 g", "2 L", "1/2 g", "-1 g"):
    try:
        read(text, "mass", name="it")
    except BadQuantity:
        pass
read_price("4.20 /L", name="it")
for text in ("31.45 %", "20 Be", "1:1", "12 M"):
    read_strength(text, name="it")
print(*sys.modules)
"""


def test_plain_texts_and_plain_faults_never_call_pint_in():
    loaded = subprocess.run([sys.executable, "-c", PLAIN_READINGS], capture_output=True, text=True, check=True).stdout.split()
    assert "refinekit.units.reading" in loaded
    assert {"pint", "refinekit.units.by_pint", "sympy", "matplotlib", "sqlite3"}.isdisjoint(loaded)


@pytest.mark.parametrize("unit", ["9**9**9", "g*9", "__import__('os')", "g.g", "lambda: 0", "g//g", "", "g" * 61, "m4"])
def test_nothing_but_words_powers_and_slashes_reaches_pint(unit):
    assert by_pint.as_expression(unit) is None
