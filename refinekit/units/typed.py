"""A text as typed: cleaned of look-alike signs, refused where it cannot be a quantity, and shown with a caret at the fault."""

from __future__ import annotations

import re
import unicodedata

from refinekit.errors import BadQuantity
from refinekit.record import record
from refinekit.units.decimal_mark import told_of

LONGEST = 200
"""Characters of a quantity; nobody means more."""

LOOK_ALIKE = str.maketrans(
    {"µ": "u", "μ": "u", "º": "°", "˚": "°", "−": "-", "\u00a0": " ", "\u2007": " ", "\u2009": " ", "\u202f": " "}
)
"""Signs that mean the same as the one on the keyboard, one for one so that places in the text stay put."""

RAISED = re.compile(r"(?<=[A-Za-z])[²³]")
COMMA = re.compile(r"(?<=\d),|,(?=\d)", re.ASCII)
DOT_AND_THREE = re.compile(r"(?<![\d.])[1-9]\d{0,2}(\.)\d{3}(?!\d)", re.ASCII)
"""What is a thousand and more to one who writes decimals with a comma; 0.125 and 1234.567 can be nothing but decimals."""
COMMA_AND_THREE = re.compile(r"(?<![\d,.])[1-9]\d{0,2},\d{3}(?!\d)", re.ASCII)
"""What is a thousand and more to one who writes decimals with a dot."""
TWO_COMMAS = re.compile(r"\d,\d+(,)\d", re.ASCII)
UNDERSCORE = re.compile(r"(?<=\d)_", re.ASCII)


@record
class Typed:
    """A text as typed, and the same text cleaned; a place in one is the same place in the other.

    Args:
        name: what it was typed for, e.g. "--gold" [text]
        raw: as typed
        text: cleaned: plain signs, a dot for the decimal mark
        example: right texts of the kind, for the cure
        note: how a mark in it was read that others read in another way [text]
    """

    name: str
    raw: str
    text: str
    example: str
    note: str = ""

    @classmethod
    def clean(cls, name: str, raw: str, example: str, *, decimal_comma: bool | None = None) -> Typed:
        """A text, cleaned.

        Args:
            name: what it was typed for [text]
            raw: as typed
            example: right texts of the kind
            decimal_comma: whether a comma is the decimal mark; None for what the program was told
        Raises: BadQuantity, empty, too long, signs that do not show, digits other than 0 to 9, a comma nobody explained
        """
        if len(raw) > LONGEST:
            raise BadQuantity(
                f"{name} {visible(raw[:30])}... is {len(raw)} characters long, a quantity has {LONGEST} at most", cure=example
            )
        typed = cls(name, raw, _plain_signs(raw), example)
        if not typed.text.strip():
            raise BadQuantity(f"{name} is empty", cure=example)
        typed._refuse_odd_signs()
        if who := told_of(raw, decimal_comma):
            return typed._with_decimal_comma(who)
        if comma := COMMA.search(typed.text):
            dotted = visible(typed.text.strip().replace(",", "."))
            said = "a comma may be a decimal mark or a mark of thousands"
            raise typed.fault(
                comma.start(),
                said,
                f"{dotted} with a dot, or no mark at all in thousands; REFINEKIT_DECIMAL=comma reads decimal commas",
            )
        return typed

    def fault(self, at: int, said: str, cure: str | None = None) -> BadQuantity:
        """The error for a fault at a place in the text, with the text and a caret under the place.

        Args:
            at: place in the text [-]
            said: what is wrong there [text]
            cure: what to type instead; the right examples where left out
        """
        line = f"{self.name} {visible(self.raw)}"
        gap = " " * (cells(self.name) + 1 + cells(visible(self.raw[:at])))
        return BadQuantity(f"{line}\n{gap}^ {said}", cure=cure or self.example)

    def _refuse_odd_signs(self) -> None:
        for at, sign in enumerate(self.text):
            if unicodedata.category(sign)[0] in "CZ" and sign != " ":
                raise self.fault(at, "a sign that does not show on a screen")
            if not sign.isascii() and sign.isnumeric():
                raise self.fault(at, "not one of the digits 0 to 9")
        if underscore := UNDERSCORE.search(self.text):
            raise self.fault(underscore.start(), "an underscore is no part of a number")

    def _with_decimal_comma(self, who: str) -> Typed:
        if dot := DOT_AND_THREE.search(self.text):
            cure = f"a comma for decimals, and no other mark; or REFINEKIT_DECIMAL=point, as it is {who} that tells of the comma"
            raise self.fault(dot.start(1), "a dot before three digits may be a mark of thousands", cure)
        if again := TWO_COMMAS.search(self.text):
            raise self.fault(again.start(1), "a second comma in one number", "a comma for decimals, and no mark of thousands")
        note = f"with the comma as decimal mark ({who})" if COMMA_AND_THREE.search(self.text) else ""
        return Typed(self.name, self.raw, COMMA.sub(".", self.text), self.example, note)


def _plain_signs(raw: str) -> str:
    """A text in the signs of a keyboard, any white space around it as spaces, nothing moved."""
    plain = RAISED.sub(lambda sign: "2" if sign[0] == "²" else "3", raw.translate(LOOK_ALIKE))
    left = plain.lstrip()
    return " " * (len(plain) - len(left)) + left.rstrip().ljust(len(left))


def visible(text: str) -> str:
    """A text safe to print: what does not show is written as an escape.

    Args:
        text: anything
    """
    return "".join(sign if sign.isprintable() else sign.encode("unicode_escape", "replace").decode("ascii") for sign in text)


def cells(text: str) -> int:
    """Columns a text takes on a terminal [-].

    Args:
        text: printable
    """
    return sum(_cell(sign) for sign in text)


def _cell(sign: str) -> int:
    if unicodedata.combining(sign):
        return 0
    return 2 if unicodedata.east_asian_width(sign) in "WF" else 1


def prefixed(prefix: str, message: str) -> str:
    """A message with a word before it, its caret moved along so that it still stands under the fault.

    Args:
        prefix: what goes before, e.g. "refinekit: " [text]
        message: text of a RefinekitError
    """
    lines = message.split("\n")
    moved = [" " * cells(prefix) + line if line.lstrip(" ").startswith("^ ") else line for line in lines]
    return prefix + "\n".join(moved)
