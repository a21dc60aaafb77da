"""Did you mean: the known word closest to a typed one."""

import pytest

from refinekit.nearest import nearest

WORDS = ["dissolve", "denox", "drop", "rinse", "Baume"]


@pytest.mark.parametrize(
    ("word", "found"),
    [("disolve", "dissolve"), ("DROP", "drop"), ("baume", "Baume"), ("xyzzy", None), ("", None), ("drop" * 10**6, None)],
)
def test_the_closest_word_or_none(word, found):
    assert nearest(word, WORDS) == found


def test_several_may_be_named():
    assert nearest("dropp", ["melt", "drip", "drop"], n=2) == "drop or drip"


def test_no_words_no_guess():
    assert nearest("drop", []) is None
