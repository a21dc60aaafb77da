"""Whether a comma is the decimal mark of what is typed: told by REFINEKIT_DECIMAL, else by the locale of the shell."""

from __future__ import annotations

from collections.abc import Mapping

VARIABLE = "REFINEKIT_DECIMAL"
LOCALES = ("LC_ALL", "LC_NUMERIC", "LANG")
"""Variables that name the locale of figures, the first that is set wins."""
PLAIN = ("C", "POSIX")


def comma_told(environment: Mapping[str, str]) -> str:
    """Who says that a comma is the decimal mark, as VARIABLE=value; "" where a dot is.

    Args:
        environment: variables of the shell
    Raises: BadQuantity, REFINEKIT_DECIMAL is neither comma nor point
    """
    if told := environment.get(VARIABLE, ""):
        if told not in ("comma", "point"):
            from refinekit.errors import BadQuantity

            raise BadQuantity(f"{VARIABLE}={told[:40]!r} is neither comma nor point", cure=f"{VARIABLE}=comma")
        return f"{VARIABLE}={told}" if told == "comma" else ""
    name = next((name for name in LOCALES if environment.get(name)), "")
    return f"{name}={environment[name]}" if name and locale_has_comma(environment[name]) else ""


def locale_has_comma(name: str) -> bool:
    """Whether a locale writes a comma between the whole number and its parts.

    Args:
        name: as in the environment, e.g. de_DE.UTF-8
    Source: the locale itself where it is installed, else facts locales
    """
    plain = name.split(".")[0].split("@")[0]
    if plain in PLAIN or plain.split("_")[0] == "en":
        return False
    installed = mark_of(name)
    if installed is not None:
        return installed == ","
    from refinekit.facts.load import table

    facts = table("locales")
    return plain not in facts["point"]["locales"] and plain.split("_")[0].lower() in facts["comma"]["languages"]


def mark_of(name: str) -> str | None:
    """Decimal mark of an installed locale; None where it is not installed. The program's own locale stays what it is."""
    import locale

    before = locale.setlocale(locale.LC_NUMERIC)
    try:
        locale.setlocale(locale.LC_NUMERIC, name)
        return str(locale.localeconv()["decimal_point"])
    except locale.Error:
        return None
    finally:
        locale.setlocale(locale.LC_NUMERIC, before)
