"""What air a person may breathe: the limits of each law, and the line from which hydrogen is a danger."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from refinekit.bench.place import LAWS
from refinekit.chemistry.species import molar_mass
from refinekit.errors import UnknownName
from refinekit.facts.load import as_fact, fact, table
from refinekit.nearest import did_you_mean, nearest
from refinekit.record import record

PPM_PER_PERCENT = 1e4
KINDS = {
    "short": "15 min",
    "ceiling": "never above",
    "8h": "8 h",
    "idlh": "dangerous at once",
    "lel": "burns",
}
"""How a limit is counted, by the ending of its row."""
WINDOWS_MIN = {"15 min": 15.0, "8 h": 480.0}
"""Minutes a limit is averaged over, by kind; the others hold at every moment."""
WHOSE = {"us": ("niosh", "osha", "acgih"), "eu": ("eu",), "uk": ("uk",), "none": ()}
"""Bodies whose rows count under a law."""


@record
class Limit:
    """One line of a limits table.

    Args:
        row: name of the row: whose limit over what time [text], e.g. "niosh_short"
        ppm: the limit [ppm by volume]
        about: the same in words [text]
        source: key of sources.toml [text]
        confidence: read, derived, practice or memory [text]
        kind: how it is counted: one of KINDS [text]
        year: from when it is; 0 where no year is kept
    """

    row: str
    ppm: float
    about: str
    source: str
    confidence: str
    kind: str
    year: int

    @property
    def window_min(self) -> float | None:
        """Time over which it is averaged [min]; None where it holds at every moment."""
        return WINDOWS_MIN.get(self.kind)


def limits(gas: str, law: str = "us") -> list[Limit]:
    """Every limit that is known of a gas under a law: the short one, the eight hours' one, and what holds under any law.

    Args:
        gas: formula [text], e.g. "NO2"
        law: us, eu, uk or none [text]; with none, only what is dangerous at once and what burns
    Returns: limits [ppm], the short one first; nothing for a gas without any
    Raises: UnknownName, no such law
    Source: facts/exposure.toml
    """
    row = _row(gas, law)
    names = [named for kind in ("short", "eight_hours") if (named := row.get(kind, {}).get(law))]
    found = [_limit(gas, name) for name in dict.fromkeys([*names, "idlh", "lel"])]
    return [limit for limit in found if limit is not None]


def all_limits(gas: str, law: str = "us") -> list[Limit]:
    """Every limit of a gas that counts under a law: of each body and of each kind, and what is dangerous at once under any law.

    Args:
        gas: formula [text], e.g. "NO2"
        law: us, eu, uk or none [text]
    Returns: limits [ppm], the shortest time first, the strictest first within it
    Raises: UnknownName, no such law
    Source: facts/exposure.toml
    """
    row = _row(gas, law)
    named = [row.get(kind, {}).get(law) for kind in ("short", "eight_hours")]  # a law with none of its own borrows
    names = [name for name in row if name.split("_")[0] in WHOSE[law]] + [name for name in named if name] + ["idlh", "lel"]
    found = [limit for name in dict.fromkeys(names) if (limit := _limit(gas, name)) is not None]
    order = ("never above", "15 min", "8 h", "dangerous at once", "burns")
    return sorted(found, key=lambda one: (order.index(one.kind), one.ppm))


def short_limit(gas: str, law: str = "us") -> float | None:
    """The limit over a quarter of an hour, or never to be passed, of a gas under a law.

    Args:
        gas: formula [text]
        law: us, eu, uk or none [text]
    Returns: limit [ppm]; None where there is none
    Raises: UnknownName, no such law
    Source: facts/exposure.toml

    >>> short_limit("NO2", "us")
    1.0
    """
    named = _row(gas, law).get("short", {}).get(law)
    limit = _limit(gas, named) if named else None
    return limit.ppm if limit else None


def alarm_line(gas: str, law: str = "us") -> tuple[float, str] | None:
    """The line a room's figure is held against, and whose it is.

    The short limit, else the eight hours' limit; of hydrogen a quarter of where it burns.

    Args:
        gas: formula [text]
        law: us, eu, uk or none [text]
    Returns: (limit [ppm], words), or None where there is no line
    Raises: UnknownName, no such law
    Source: facts/exposure.toml
    """
    row = _row(gas, law)
    for kind in ("short", "eight_hours"):
        named = row.get(kind, {}).get(law)
        limit = _limit(gas, named) if named else None
        if limit:
            return limit.ppm, limit.about
    burns = _limit(gas, "lel")
    if burns:
        share = fact("exposure.reading.hydrogen_alarm_share").value
        return burns.ppm * share, f"a quarter of where it burns, {burns.ppm / PPM_PER_PERCENT:g} %"
    return None


def known_gases() -> tuple[str, ...]:
    """Formulas of the gases whose limits are kept."""
    return tuple(formula for formula, row in table("exposure").items() if "cas" in row)


def gas_called(word: str) -> str:
    """The formula of a gas by its formula in any case, or by its name.

    Args:
        word: as typed [text], e.g. "no2", "chlorine"; "NOx" is both nitrogen oxides
    Raises: UnknownName, no such gas

    >>> gas_called("sulfur dioxide")
    'SO2'
    """
    names = {"nox": "NOx", "brown fume": "NOx", "nitrogen oxides": "NOx"}
    for formula in known_gases():
        names |= {formula.lower(): formula, table("exposure")[formula]["name"]: formula}
    found = names.get(word.strip().lower())
    if found:
        return found
    close = nearest(word.strip().lower(), names)
    cure = did_you_mean(names[close] if close else word, ("NOx", *known_gases()))
    raise UnknownName(f"{word[:40]!r} is no gas whose limits are kept", cure=cure)


def _row(gas: str, law: str) -> Mapping[str, Any]:
    if law not in LAWS:
        raise UnknownName(
            f"{law[:40]!r} is no law whose limits are kept",
            cure=did_you_mean(law, LAWS),
        )
    row: Mapping[str, Any] = table("exposure").get(gas, {})
    return row if "cas" in row else {}


def _limit(gas: str, name: str) -> Limit | None:
    row = table("exposure").get(gas, {}).get(name)
    if not row or row.get("none"):
        return None
    found = as_fact(f"exposure.{gas}.{name}", row)
    year = int(row.get("year", table("sources")[found.source].get("year", 0)))
    kind = KINDS[name.rpartition("_")[2]]
    return Limit(name, found.value * _ppm_in(gas, found.unit), found.about, found.source, found.confidence, kind, year)


def _ppm_in(gas: str, unit: str) -> float:
    """Parts per million in one of a unit, by the convention of the limits' tables for mg/m3."""
    if unit == "mg/m3":
        return fact("exposure.reading.molar_volume").value / molar_mass(gas)
    return {"ppm": 1.0, "vol %": PPM_PER_PERCENT}[unit]


def counted(gas: str, law: str) -> list[tuple[Limit, bool]]:
    """Every limit of a gas under a law, and whether the verdict counts it: the law's own two, ceilings, danger at once."""
    chosen = {one.row for one in limits(gas, law)}
    return [
        (one, one.row in chosen or (one.kind == "never above" and not one.row.startswith("acgih")))
        for one in all_limits(gas, law)
    ]


def word_of(formula: str) -> str:
    """How the answers of a gas begin: its name, since "no" for nitric oxide reads as none."""
    return str(table("exposure").get(formula, {}).get("name", formula)).replace(" ", "_")
