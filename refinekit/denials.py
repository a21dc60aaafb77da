"""What a plain note says is not so: "no cyanide ever used" denies it, "not sure about cyanide" does not.

A denial is believed only where every word about it is of a kind that cannot turn it back: what is half denied counts as said.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache


def _these(words: str) -> frozenset[str]:
    return frozenset(words.split())


DENIALS = _these("no not never without non neither isn't wasn't weren't")
"""Words that deny what comes after them, up to the next stop or comma."""
DOUBTS = _these(
    "maybe perhaps probably possibly hopefully likely supposedly apparently think sure unsure know hope hoped says said told "
    "doubt if whether unless"
)
"""Words before a denial that take it back: "maybe no cyanide", "seller says no cyanide"."""
TAKEN_BACK = DENIALS | DOUBTS
THINGS = _these(
    "cyanide mercury beryllium cadmium arsenic antimony solder steel iron tin lead silver nickel zinc chrome hydrofluoric copper"
)
"""Things that are denied in one breath: "no mercury, cadmium or cyanide"."""
BEFORE = THINGS | _these(
    "a an any the of or nor trace traces sign ever been be is was were has had have in from with near used seen known plated "
    "plating alloy alloys either kind"
)
"""Words that may stand between a denial and the thing denied."""
AFTER = THINGS | _these(
    "ever used was were been is has in it on them this these at all here bath baths plating plated process liquor line alloy "
    "alloys or nor pot goods relay relays powder plate kind sort seen near strike either tails capacitors"
)
"""Words that may stand between the thing denied and the next stop."""
FREE = _these("free less")
"""Words behind a thing that say it is not there: cyanide-free."""
ANSWERS = _these("no none never nil not")
"""What may be answered to a thing put as a question or a heading: "cyanide: none"."""
_STOPS = re.compile(r"[.;,()/\n]")
_WORD = re.compile(r"[a-z']+")


def names(text: str, *words: str) -> bool:
    """Whether a note names one of these things and does not deny it outright.

    Args:
        text: a bench note [text]
        words: things, lower case

    >>> names("not sure about cyanide", "cyanide"), names("no cyanide ever used", "cyanide")
    (True, False)
    """
    return any(not denied for denied in _found(text, words))


def denies_outright(text: str, *words: str) -> bool:
    """Whether a note names one of these things, and every time only to deny it.

    Args:
        text: a bench note [text]
        words: things, lower case
    """
    found = list(_found(text, words))
    return bool(found) and all(found)


def _found(text: str, words: tuple[str, ...]) -> Iterator[bool]:
    """For each time a thing is named, whether it is denied."""
    lower = text.lower().replace("’", "'")
    there = [word for word in words if all(part in lower for part in word.split())]  # no pattern is made for what is not
    if not there:
        return
    others = frozenset(part for word in words for part in word.split())
    for word in there:
        for hit in _pattern(word).finditer(lower):
            yield _denied(lower, hit.start(), hit.end(), others)


@cache
def _pattern(word: str) -> re.Pattern[str]:
    written = r"[^a-z.;,()/]+".join(map(re.escape, word.split()))
    return re.compile(rf"(?<![a-z]){written}s?(?![a-z])")


def _denied(lower: str, start: int, end: int, others: frozenset[str]) -> bool:
    before = _WORD.findall(_STOPS.split(lower[:start])[-1])
    after = _WORD.findall(_STOPS.split(lower[end:], maxsplit=1)[0])
    put = re.match(r"\s*[:?=]\s*([a-z]+)\s*(?:$|[.;,])", lower[end:])
    if put and not before:
        return put[1] in ANSWERS
    if after[:1] and after[0] in FREE:
        return not DENIALS.intersection(before) and all(word in AFTER for word in after[1:])
    at = max((place for place, word in enumerate(before) if word in DENIALS), default=None)
    if at is None:
        return False
    between_ok = all(word in BEFORE or word in others for word in before[at + 1 :])
    return between_ok and all(word in AFTER for word in after) and not TAKEN_BACK.intersection(before[:at])
