"""A record is a frozen dataclass with slots in all that a reader of the code may count on."""

from __future__ import annotations

import copy
import dataclasses
import pickle

import pytest

from refinekit.record import record


@record
class Pour:
    """A pour of this test."""

    what: str
    litres: float = 0.5
    seen: list[str] = dataclasses.field(default_factory=list, compare=False, repr=False)


@dataclasses.dataclass(frozen=True, slots=True)
class Plain:
    """The same as the standard library makes it."""

    what: str
    litres: float = 0.5
    seen: list[str] = dataclasses.field(default_factory=list, compare=False, repr=False)


BOTH = (Pour, Plain)


@pytest.mark.parametrize("kind", BOTH)
def test_it_compares_hashes_and_shows_its_figures(kind: type[Pour]) -> None:
    one, same, other = kind("acid"), kind("acid", seen=["clear"]), kind("acid", 0.6)
    assert one == same
    assert hash(one) == hash(same) == hash(("acid", 0.5))
    assert one != other
    assert one != ("acid", 0.5)
    assert repr(one) == f"{kind.__name__}(what='acid', litres=0.5)"


@pytest.mark.parametrize("kind", BOTH)
def test_it_cannot_be_changed_but_copied_changed_and_kept(kind: type[Pour]) -> None:
    one = kind("acid")
    with pytest.raises(dataclasses.FrozenInstanceError):
        one.litres = 2.0  # type: ignore[misc]
    with pytest.raises(dataclasses.FrozenInstanceError):
        del one.litres
    assert not hasattr(one, "__dict__")
    assert dataclasses.replace(one, litres=2.0) == kind("acid", 2.0)
    assert copy.deepcopy(one) == one
    assert pickle.loads(pickle.dumps(one)) == one
    assert dataclasses.asdict(one) == {"what": "acid", "litres": 0.5, "seen": []}


def test_two_kinds_with_the_same_figures_are_not_the_same() -> None:
    assert Pour("acid") != Plain("acid")
