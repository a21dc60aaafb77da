"""A step that loses or makes matter or charge raises, however little; the last digits of a sum do not."""

import numpy as np
import pytest

from refinekit.bench.step import Step, Stream
from refinekit.errors import Leak

WATER = {"H2O": 10.0}


def step(came: dict, went: dict, *, inert_g: float = 0.0) -> Step:
    return Step("try", ins=(Stream("in", came),), outs=(Stream("out", went, inert_g),))


@pytest.mark.parametrize(
    ("came", "went", "what"),
    [
        ({"Cu": 1.0}, {"Cu": 1.0 - 1e-8}, "Cu"),
        ({"Cu": 1.0}, {"Cu": 1.0, "Ni": 1e-8}, "Ni"),
        ({"H^+": 1.0, "Cl^-": 1.0}, {"H2": 0.5, "Cl^-": 1.0}, "charge"),
        ({"Au": np.array([1.0, 1.0])}, {"Au": np.array([1.0, 0.5])}, "Au"),
        ({"Au": 1e-6} | WATER, WATER, "Au"),
    ],
)
def test_a_leak_raises(came: dict, went: dict, what: str) -> None:
    with pytest.raises(Leak, match=what):
        step(came, went)


def test_inert_mass_counts_too() -> None:
    with pytest.raises(Leak, match="inert"):
        step({"Au": 1.0}, {"Au": 1.0}, inert_g=0.1)


def test_the_last_digit_of_a_trace_beside_moles_is_no_leak() -> None:
    assert step({"Pd": 1e-9} | WATER, {"Pd": 1e-9 + 4e-15} | WATER).name == "try"
