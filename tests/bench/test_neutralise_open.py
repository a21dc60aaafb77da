"""A pot left open for days: the air's carbon dioxide brings the pH down, makes carbonates, and lets bicarbonate get there."""

from typing import Any

import pytest

from refinekit.bench.neutralise import run
from refinekit.errors import CannotFollow

ZINC: dict[str, Any] = {"volume_l": 4.0, "free_acid_mol_per_l": 0.2, "zinc_g": 20.0, "cadmium_g": 5.0, "acid_kind": "nitric"}


def test_left_open_it_takes_more_caustic_and_the_air_makes_carbonates():
    shut, aired = (run(**ZINC, ph=9.0, open=is_open) for is_open in (False, True))
    assert aired.answer("alkali").likely > 1.02 * shut.answer("alkali").likely
    assert any(stream.name == "carbon dioxide of the air" for stream in aired.ins)
    fallen = {solid for pot in aired.pots for solid in pot.solids_mol}
    assert fallen == {"ZnCO3", "CdCO3"}
    assert any("brings the pH down for days" in line for _, line in aired.says)


def test_bicarbonate_gets_there_once_its_gas_is_out_and_lime_falls_as_chalk():
    with pytest.raises(CannotFollow, match="it stops at 7"):
        run(**ZINC, reagent="bicarbonate", ph=9.0)
    assert run(**ZINC, reagent="bicarbonate", ph=9.0, open=True).answer("alkali").likely > 0
    with pytest.raises(CannotFollow, match="does not bring this liquor to pH 9"):
        run(**ZINC, reagent="lime", ph=9.0, open=True)


@pytest.mark.parametrize("told", [{"zinc_g": 5.43}, {"acid_mol": 5.0, "acid_kind": "nitric", "silver_g": 1110.0}])
def test_what_is_in_a_liquor_is_no_use_without_its_litres(told: dict[str, Any]) -> None:
    with pytest.raises(CannotFollow, match="not how much liquor"):
        run(**told)
