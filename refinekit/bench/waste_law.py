"""What waste is in law, as reminders: corrosive by pH, the month's line, the weight on the paper, what governs where."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from refinekit.bench.work import Work
from refinekit.facts.load import fact, table
from refinekit.ranges import Number, high, likely

REMINDERS = {
    "us": ("category", "neutralising", "precious_metal_recovery", "sewer"),
    "eu": ("eu_precursors", "sewer"),
    "uk": ("uk_consignment", "sewer"),
    "none": ("sewer",),
}
CODES = {"eu": ("eu_pickling_acid", "eu_other_acid", "eu_hydrochloric", "eu_sludge", "eu_laboratory")}


def is_corrosive(ph: float) -> bool:
    """Whether a liquor is hazardous for its pH alone, United States.

    Source: 40 CFR 261.22(a)(1), facts/discharge.toml

    >>> is_corrosive(1.0), is_corrosive(6.0), is_corrosive(13.0)
    (True, False, True)
    """
    return ph <= fact("discharge.ph.corrosive_at_or_below").value or ph >= fact("discharge.ph.corrosive_at_or_above").value


def corrosive_words(ph: float) -> str:
    """The same in words."""
    code = table("discharge")["code"]["corrosive"]["text"]
    return f"corrosive ({code})" if is_corrosive(ph) else "not corrosive by pH"


def month_words(kilograms: float) -> str:
    """A month's hazardous waste against the line of a very small generator, United States.

    Source: 40 CFR 262.14, facts/discharge.toml
    """
    line = fact("discharge.quantity.very_small_month").value
    if kilograms <= line:
        return f"under {line:g} kg: very small quantity generator on this stream alone"
    return f"over {line:g} kg: no longer a very small quantity generator this month"


def weight_kg(litres: Iterable[tuple[float, float]] = (), kilograms: Iterable[float] = ()) -> float:
    """Weight on the paper that goes with a drum.

    Args:
        litres: each liquor [L] with its density [kg/L]
        kilograms: what is weighed [kg]
    Returns: weight [kg]

    >>> weight_kg([(60, 1.10)])
    66.0
    """
    return sum(volume * density for volume, density in litres) + sum(kilograms)


def leachate_limits() -> Mapping[str, tuple[str, float]]:
    """Metals whose leachate makes a waste hazardous: element to code and figure [mg/L]. Source: 40 CFR 261.24."""
    return {element: (row["code"], float(row["limit"]["value"])) for element, row in table("discharge")["tclp"].items()}


def reminders(law: str) -> tuple[str, ...]:
    """Reminders of a law, in words with their source's key: us, eu, uk or none."""
    rows = table("discharge")["reminder"]
    lines = [f"{rows[key]['text']} ({rows[key]['source']})" for key in REMINDERS.get(law, REMINDERS["none"])]
    codes = table("discharge")["code"]
    lines += [f"{codes[key]['text']}: {codes[key]['about'].partition(': ')[2]}" for key in CODES.get(law, ())]
    return tuple(lines)


def say_law(work: Work, law: str, *, ph: float | None = None, month_kg: Number | None = None) -> None:
    """Say what law reminds of for what a step leaves.

    Args:
        work: the step
        law: us, eu, uk or none
        ph: of the liquor [-]; None where it is not known
        month_kg: hazardous waste of the month [kg]; None where it is not known
    """
    if law == "us" and ph is not None:
        work.say("in law", f"pH {ph:g}: {corrosive_words(ph)}")
    if law == "us" and month_kg is not None:
        work.answer("month", month_kg, "kg", sized_on="high", because="this and what the month already made")
        work.say("in law", f"{likely(month_kg):.3g} kg this month, {month_words(high(month_kg))}")
        tested = ", ".join(
            f"{element} {figure:g}" for element, (_, figure) in leachate_limits().items() if element in ("Pb", "Ag", "Cd", "Cr")
        )
        work.say(
            "in law",
            f"sludge is hazardous if its leachate passes {tested} mg/L (40 CFR 261.24); some states add copper, nickel and zinc",
        )
    for line in reminders(law):
        work.say("in law", line)
