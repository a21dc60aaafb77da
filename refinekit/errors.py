"""The family of errors a user can cause: each says what was read, what is allowed and the cure."""


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
