"""A glance at the leach: the same pots at the end, case by case, without the bath followed hour by hour."""

import numpy as np
import pytest

from refinekit.bench.leach import run
from refinekit.bench.place import Place

GRAMS = np.array([50.0, 40.0, 60.0])


@pytest.mark.parametrize("method", ["cupric", "still", "peroxide", "strip"])
def test_the_pots_are_those_of_the_whole_reckoning(method: str) -> None:
    told = {"method": method, "copper_g": GRAMS, "nickel_g": 5.0, "tin_g": 1.0, "gold_g": 2.0, "volume_l": 3.0, "depth_m": 0.18}
    more = {"air_l_per_min": 2.0} if method == "cupric" else {}
    whole, glanced = (run(place=Place(), glance=glance, **told, **more) for glance in (False, True))
    assert [pot.name for pot in whole.pots] == [pot.name for pot in glanced.pots]
    for one, other in zip(whole.pots, glanced.pots, strict=True):
        assert np.allclose(one.volume_l, other.volume_l)
        assert one.dissolved_mol.keys() == other.dissolved_mol.keys()
        for formula, mol in one.dissolved_mol.items():
            assert np.allclose(mol, other.dissolved_mol[formula]), formula
