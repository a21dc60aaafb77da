"""The family of errors a user can cause: each says what was read, what is allowed and the cure."""

from collections.abc import Sequence


class RefinekitError(Exception):
    """Base of everything that ends a command with one clear sentence and an exit code.

    Args:
        what: what was read and why it cannot be [text]
        cure: what to type or do instead [text]
    """

    code = "refinekit-error"
    exit_code = 2

    def __init__(self, what: str, *, cure: str) -> None:
        super().__init__(f"{what}\n  Try: {cure}")
        self.what = what
        self.cure = cure


class BadQuantity(RefinekitError, ValueError):
    """A text that is not the quantity asked for: number, unit, dimension or range order."""

    code = "bad-quantity"


class OutOfRange(RefinekitError, ValueError):
    """A figure outside what exists or what a table covers."""

    code = "out-of-range"


class UnknownName(RefinekitError, LookupError):
    """A reagent, metal, species, command, key or pot nobody has heard of."""

    code = "unknown-name"


class BadFormula(RefinekitError, ValueError):
    """A chemical formula or equation that cannot be read or balanced."""

    code = "bad-formula"


class BadFile(RefinekitError, ValueError):
    """A batch file, pot or table that cannot be read, with where it is bad."""

    code = "bad-file"


class CannotFollow(RefinekitError, ValueError):
    """A step asked of a pot that cannot have it done (no gold to drop, no acid to neutralise)."""

    code = "cannot-follow"


class Leak(RefinekitError, AssertionError):
    """A step whose elements or charge do not come out as they went in: a fault of the program."""

    code = "leak"
    exit_code = 1


class Stopped(RefinekitError):
    """A step stopped for safety: no quantities until the cause is gone."""

    code = "stopped"
    exit_code = 3


class ManyFaults(BadFile, BadQuantity):
    """Several things in a file or a command line that cannot be read, so that they are mended in one go.

    Args:
        faults: each of them; two and up
    """

    code = "many-faults"

    def __init__(self, faults: Sequence[RefinekitError]) -> None:
        super().__init__(f"{len(faults)} things could not be read", cure="mend each and run again")
        self.args = ("\n".join([self.what, *(_numbered(number, fault) for number, fault in enumerate(faults, start=1))]),)


def _numbered(number: int, fault: RefinekitError) -> str:
    """A fault under its number, its lines kept under each other: a caret points at the letter above it."""
    head = f"{number}. "
    return head + str(fault).replace("\n", "\n" + " " * len(head))


def raise_all(faults: Sequence[RefinekitError]) -> None:
    """Raise one fault as it is, several as one; nothing where there are none. Raises: RefinekitError."""
    if faults:
        raise faults[0] if len(faults) == 1 else ManyFaults(faults)
