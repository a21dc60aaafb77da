"""Reads the text of an equation: sides, numbers, formulas and charges in the many ways people write them.

Charges are safest with a caret (`SO4^2-`). `Cu2+`, `Cu++`, `MnO4-`, `SO42-`, `Fe+3`, `SO4 2-` and raised or lowered digits are
read too, where they can mean one thing only; what can mean two (`O2-`, `H+ Cl-`) is refused.
"""

from __future__ import annotations

import re
from fractions import Fraction

from refinekit.chemistry.species import parse
from refinekit.errors import BadFormula
from refinekit.record import record

LONGEST = 1000
"""Characters of an equation that are still read."""

NONMETALS = frozenset(re.findall("[A-Z][a-z]?", "HHeBCNOFNeSiPSClArAsSeBrKrTeIXe"))
"""Elements whose molecules carry small numbers of their own (O2, I3), so that a number before a bare sign can mean two things."""

HOW = 'write it as in "Cu + 2 HCl + H2O2 -> CuCl2 + 2 H2O": elements with a capital, spaces round each +, charges as in SO4^2-'
FORMULA = "write it as in CuCl2, SO4^2- or FeSO4.7H2O"

_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻", "0123456789+-")
_PLAIN = str.maketrans(
    dict(zip("₀₁₂₃₄₅₆₇₈₉₊₋", "0123456789+-", strict=True))
    | dict.fromkeys("−–‒﹣", "-")
    | dict.fromkeys("·⋅•∙*", ".")
    | dict.fromkeys("_{}", "")
    | dict.fromkeys("\u00a0\u2009\u202f\t\n", " ")
    | {"＋": "+", "⁄": "/", "[": "(", "]": ")"}
)
_PARTS_OF_ONE = {"½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4"}
_ARROW = re.compile(r"<?=+>|<->|(?<=\s)-{2,}>|->|=+|[→⟶⇌⇄↔⟷⇒]")
_STATE = r"\((?:s|l|g|aq)\)"
_TAIL = rf"(?=\s*(?:\+|$|[↑↓]|{_STATE}))"
_TERM = re.compile(
    rf"""\s*(?P<count>\d+(?:\.\d+)?(?:/\d+)?)?\s*
    (?P<body>[A-Z(](?:(?!{_STATE})[A-Za-z0-9().])*|e(?=[-^\s]|$))
    (?P<charge>\^\d+[+-] | \^?(?:\+\++|--+)(?=\s|$|\() | \^?[+-]\d+{_TAIL} | \^[+-] | \+{_TAIL} | - | \s\d[+-]{_TAIL})?
    \s*(?P<state>{_STATE})?\s*[↑↓]?\s*""",
    re.X,
)


@record
class Term:
    """One substance of one side.

    Args:
        count: how many; 1 where nothing is written [-]
        formula: in the program's own spelling [text]
        state: s, l, g, aq, or empty where none is written [text]
    """

    count: Fraction
    formula: str
    state: str


def read_sides(text: str) -> tuple[list[Term], list[Term]]:
    """The substances left and right of an equation's arrow.

    Args:
        text: equation with ->, =, => or another arrow [text]; up to LONGEST characters
    Raises: BadFormula, with the place that cannot be read
    """
    if len(text) > LONGEST:
        raise BadFormula(
            f"an equation of {len(text)} characters is too long", cure=f"keep it under {LONGEST}; one reaction at a time"
        )
    tidy = plain(text)
    arrows = list(_ARROW.finditer(tidy))
    if len(arrows) != 1:
        raise BadFormula(f"the equation {shown(text)} has {f'{len(arrows)} arrows' if arrows else 'no arrow'}", cure=HOW)
    sides = tidy[: arrows[0].start()], tidy[arrows[0].end() :]
    for side, name in zip(sides, ("left", "right"), strict=True):
        if not side.strip():
            raise BadFormula(f"the equation {shown(text)} has nothing on the {name}", cure=HOW)
    return read_side(sides[0]), read_side(sides[1])


def read_side(side: str) -> list[Term]:
    """The substances of one side of an equation, in order.

    Raises: BadFormula, with the place that cannot be read
    """
    terms: list[Term] = []
    position = 0
    while True:
        found = _TERM.match(side, position)
        if not found:
            raise BadFormula(pointed(side, position, "no formula can be read here"), cure=HOW)
        terms.append(_term(found, side))
        position = found.end()
        if position == len(side):
            return terms
        if side[position] != "+":
            raise BadFormula(pointed(side, position, "only a + can stand between substances"), cure=HOW)
        if _stuck_on(side, position, found):
            raise BadFormula(pointed(side, position, "this + can be a charge or stand between substances"), cure=HOW)
        position += 1


def read_formula(text: str) -> str:
    """One formula in the program's own spelling: `Cu2+` and `Cu²⁺` are `Cu^2+`.

    Args:
        text: a formula alone [text]
    Raises: BadFormula, no formula, or one with a number before it

    >>> read_formula("SO42-")
    'SO4^2-'
    """
    tidy = plain(text[:LONGEST].strip())
    found = _TERM.fullmatch(tidy)
    if found and not found["count"]:
        return _term(found, tidy).formula
    parse(tidy)  # refuses, naming the place
    raise BadFormula(f"{shown(text)} is not one formula", cure=FORMULA)


def plain(text: str) -> str:
    """A text with raised, lowered and typographic characters as plain ones, and no blanks round the dot of a hydrate."""
    text = re.sub("[⁰¹²³⁴-⁹]*[⁺⁻]", lambda raised: "^" + raised[0].translate(_RAISED), text)
    for one, fraction in _PARTS_OF_ONE.items():
        text = re.sub(rf"(?<!\d){one}", fraction, text)
    return re.sub(r"(?<=\w|\))\s*\.\s*(\d*)\s*(?=[A-Z(])", r".\1", text.translate(_PLAIN).replace("^^", "^"))


def shown(text: str) -> str:
    """A text quoted, and cut where it runs long."""
    return repr(text if len(text) <= 60 else text[:57] + "...")


def pointed(text: str, position: int, fault: str) -> str:
    """A fault with the stretch of text round it and a caret under the place."""
    start = max(0, position - 30)
    return f"{fault}:\n  {text[start : position + 30]}\n  {' ' * (position - start)}^"


def _stuck_on(side: str, position: int, found: re.Match[str]) -> bool:
    """Whether a + sits on a formula but apart from what follows, as in `H+ Cl-`: sign or charge, nobody can tell."""
    marked = found["charge"] or found["state"]
    return not marked and side[position - 1] != " " and side[position + 1 : position + 2] == " "


def _term(found: re.Match[str], side: str) -> Term:
    formula = "e^-" if found["body"] == "e" else _ion(found["body"], (found["charge"] or "").strip())
    parse(formula)
    return Term(_count(found, side), formula, (found["state"] or "").strip("()"))


def _count(found: re.Match[str], side: str) -> Fraction:
    text = found["count"] or "1"
    over, _, under = text.partition("/")
    if len(text) > 12 or not float(under or 1) or not float(over):
        raise BadFormula(
            pointed(side, found.start("count"), f"{text[:12]} is no number of molecules"),
            cure="write a number above 0, as in 2 or 1/2",
        )
    return Fraction(over) / Fraction(under or 1)


def _ion(body: str, charge: str) -> str:
    """A formula with its charge, as written, in the caret spelling."""
    if not charge:
        return body
    sign, digits = charge.strip("^0123456789")[0], re.findall(r"\d+", charge)
    number = int(digits[0]) if digits else charge.count(sign)
    if not digits and number == 1 and not charge.startswith("^"):
        body, number = _unglued(body, sign)
    return f"{body}^{number if number != 1 else ''}{sign}"


def _unglued(body: str, sign: str) -> tuple[str, int]:
    """The formula and the charge number of `Cu2` +, `MnO4` - or `SO42` -, where the charge follows the subscript bare."""
    digits = re.search(r"\d*$", body)[0]  # type: ignore[index]
    stem = body[: len(body) - len(digits)]
    if len(digits) == 1 and re.fullmatch(r"[A-Z][a-z]?", stem):
        if stem in NONMETALS:
            raise BadFormula(f"{body}{sign} can be {stem}^{digits}{sign} or {body}^{sign}", cure="write the charge with a caret")
        return stem, int(digits)
    if len(digits) < 2 or (len(digits) == 2 and digits[0] == "1"):  # nobody writes a subscript 1
        return body, 1
    return body[:-1], int(digits[-1])
