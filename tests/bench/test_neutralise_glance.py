"""A glance at neutralising: the same pot at the end, case by case, with nothing asked of other constants."""

import numpy as np
import pytest

from refinekit.bench.neutralise import run
from refinekit.bench.place import Place
from refinekit.bench.step import Step

TOLD = {
    "volume_l": np.array([4.0, 3.5, 4.5]),
    "free_acid_mol_per_l": np.array([1.5, 1.2, 1.7]),
    "copper_g": np.array([66.0, 60.0, 72.0]),
}


def both(**more: object) -> tuple[Step, Step]:
    return run(place=Place(), **TOLD, **more), run(place=Place(), glance=True, **TOLD, **more)


@pytest.mark.parametrize("more", [{}, {"reagent": "lime"}, {"reagent": "lime", "second_reagent": "caustic"}, {"ph": 8.0}])
def test_what_is_left_and_what_falls_is_the_same(more: dict[str, object]) -> None:
    whole, glanced = both(**more)
    assert [pot.name for pot in whole.pots] == [pot.name for pot in glanced.pots]
    for one, other in zip(whole.pots, glanced.pots, strict=True):
        assert one.dissolved_mol.keys() == other.dissolved_mol.keys()
        for element in ("Cu", "Na", "Ca", "Cl"):
            assert np.asarray(one.element_g(element)) == pytest.approx(np.asarray(other.element_g(element)), rel=0.02, abs=1e-9)


def test_it_draws_nothing() -> None:
    whole, glanced = both()
    assert whole.charts
    assert not glanced.charts


def test_the_best_ph_is_found_all_the_same() -> None:
    whole, glanced = both(best=True)
    assert whole.title == glanced.title
