"""A bottle whose hydrometer reading does not fit its label."""

from __future__ import annotations

import re
from collections.abc import Iterator

from refinekit.bench.step import Notice
from refinekit.chemistry.density import density_table
from refinekit.chemistry.solution import Solution, disagreement, looks_like
from refinekit.errors import RefinekitError
from refinekit.facts.load import fact
from refinekit.safety.outlook import line
from refinekit.safety.scene import Scene, Vessel
from refinekit.safety.speak import notice

_READING = re.compile(r"(?:hydrometer|density|sg|specific gravity|reads|reading|weighs)[a-z ]*?(\d\.\d+)")
_TEMPERATURE = re.compile(r"at (\d+(?:\.\d+)?) ?c\b")
SOLUTES = {
    "H+": ("HCl", "Cl-"),
    "NO3-": ("HNO3", "H+"),
    "SO4": ("H2SO4", "H+"),
    "H2O2": ("H2O2", ""),
    "NH3": ("NH3", ""),
    "ClO-": ("NaOCl", ""),
    "OH-": ("NaOH", ""),
}


def doubts(scene: Scene) -> Iterator[Notice]:
    """Every bottle among the pots whose reading is more than a label or hydrometer can be out."""
    for pot in scene.pots:
        label, reading = label_of(pot), reading_of(pot)
        if label is None or reading is None:
            continue
        measured, temperature_k = reading
        found = disagreement(label, measured, temperature_k)
        if abs(float(found.relative)) > line("density_off"):
            alike = [one for one in looks_like(measured) if one.solute != label.solute]
            like = f", as {', '.join(density_table(one.solute).name for one in alike[:2])} would" if alike else ""
            words = f"{density_table(label.solute).name} of {float(label.percent_ww):.4g} %"
            yield notice(
                "warn", "wrong-bottle.density", label=words, expected=float(found.expected_g_per_ml), measured=measured, like=like
            )


def label_of(pot: Vessel) -> Solution | None:
    """The solution a pot's label speaks of; None where it is no single liquor of a known strength."""
    known = {what for what, percent in pot.percent.items() if percent > 0}
    for what, (solute, partner) in SOLUTES.items():
        if what in known and (not partner or partner in pot.mol) and not (what == "H+" and known & {"NO3-", "SO4"}):
            try:
                return Solution.of(solute, "percent_ww", pot.percent[what])
            except RefinekitError:
                return None
    return None


def reading_of(pot: Vessel) -> tuple[float, float | None] | None:
    """Density a test of its history read [g/mL], and its temperature [K]."""
    for deed in reversed(pot.history):
        found = _READING.search(deed.words.lower())
        if found:
            warm = _TEMPERATURE.search(deed.words.lower())
            return float(found[1]), float(warm[1]) + fact("constants.zero_celsius").value if warm else None
    return None
