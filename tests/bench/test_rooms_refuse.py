"""A program that tells a room what it does not take is told so, by name, before anything is reckoned."""

import pytest

from refinekit.bench.place import Place
from refinekit.shop.rooms import room
from refinekit.shop.verbs import ROOMS


@pytest.mark.parametrize("verb", ROOMS)
def test_a_room_refuses_what_it_does_not_take(verb: str) -> None:
    with pytest.raises(TypeError, match="sugar"):
        room(verb).run((), place=Place(), sugar_g=1.0)
