"""Free acid by drops of caustic to the first lasting cloud, less what metals read as acid, more what copper leaves unread."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from refinekit.bench.neutralise_balance import liquor_of
from refinekit.bench.titrate_cloud import Cloud, first_cloud, metals_per_l, read_as_acid, thinned, with_acid, without_early_metals
from refinekit.bench.titrate_ways import Reading, span_of
from refinekit.bench.work import Work
from refinekit.chemistry.equilibrium.names import charge
from refinekit.ranges import Number, Range, likely

WORDS = {"Fe^3+": "iron(III)", "Sn^4+": "tin(IV)", "Al^3+": "aluminium"}
COPPER = "Cu^2+"


def say_free_acid(work: Work, liquor: Work, reading: Reading, because: str) -> Range:
    """Free acid the drops stand for, corrected, and what it was corrected by.

    Args:
        work: the step
        liquor: what is known of the liquor; empty where nothing is
        reading: the titration
        because: how the reading comes about [text]
    Returns: low end with a drop too many and every early metal taken off; likely with those taken off; high with nothing taken
        off, as for drops that stopped at iron's brown haze [mol/L]
    """
    metals = metals_per_l(liquor)
    reads = read_as_acid(metals)
    found = reading.found()
    cloud = _cloud(work, liquor, reading, max(likely(found - reads), 0.0))
    copper = cloud[1] if cloud else 0.0
    span = span_of(reading.least() - reads - copper, found - reads - copper, found - copper)
    ends = "likely; high if the drops stopped at an early haze" if metals else "likely"
    work.answer("free_acid", span, "mol/L", sized_on=ends, because=because)
    if metals:
        _say_metals(work, metals, reads)
    if cloud:
        _say_cloud(work, cloud[0], copper, likely(found - reads))
    if likely(found - copper) < likely(reads):
        work.notice(
            "warn",
            "titration-under-metals",
            f"the metals told of take {likely(reads):.3g} mol/L of caustic by themselves, and only {likely(found):.3g} went in",
            "check the metals, or the drops: the sample cannot hold both",
            "practice",
        )
    return span


def _say_metals(work: Work, metals: Mapping[str, Number], reads: Number) -> None:
    parts = " + ".join(f"{charge(ion)} x {likely(amount):.3g} {WORDS[ion]}" for ion, amount in metals.items())
    names = ", ".join(WORDS[ion] for ion in metals)
    work.answer("read_as_acid", reads, "mol/L", because=f"{names}: as many hydroxides as they have charges")
    work.working("read as acid", "M^n+ + n OH^- -> hydroxide", parts, f"{likely(reads):.4g} mol/L")
    work.say("watch for", f"before copper comes {names}: a brown or white haze is not the end, go on to the blue-green cloud")


def _cloud(work: Work, liquor: Work, reading: Reading, acid: float) -> tuple[Cloud, float] | None:
    """Where copper's cloud begins in the thinned sample, and what copper has taken by then less the acid still free [mol/L]."""
    if likely(liquor.dissolved.get(COPPER, 0.0)) <= 0:
        usual = work.fact("practice/titrate.cloud").range
        work.assume(f"the cloud stays from pH {usual.low:g} to {usual.high:g}: no copper is told to reckon it from")
        return None
    known = without_early_metals(liquor_of(liquor, np.zeros(1, dtype=np.intp)))
    cloud = first_cloud(thinned(with_acid(known, acid), reading.grown))
    return (cloud, cloud.taken_mol_per_l * reading.grown - acid) if cloud else None


def _say_cloud(work: Work, cloud: Cloud, copper: float, acid: float) -> None:
    work.answer("cloud_ph", cloud.ph, "pH", because=f"{cloud.solid} begins to fall, by the balances of the thinned sample")
    work.answer("copper_reads", copper, "mol/L", because="what copper has taken by the cloud, less the acid still free then")
    work.working(
        "what copper's own start reads",
        "caustic to the cloud - acid",
        f"{acid + copper:.5g} - {acid:.5g} mol/L, at pH {cloud.ph:.2f}",
        f"{copper:.3g} mol/L",
    )


def beside_reckoned(work: Work, liquor: Work, found: Range) -> None:
    """The free acid the pot was reckoned to hold beside what the drops say; a note where they differ."""
    litres = likely(liquor.volume_l)
    if litres <= 0 or "H^+" not in liquor.dissolved:
        return
    reckoned = liquor.dissolved["H^+"] / liquor.volume_l
    work.answer("reckoned_free_acid", reckoned, "mol/L", because="as the pot came from the steps before")
    apart = abs(likely(reckoned) - found.likely) / max(found.likely, 1e-9)
    inside = found.low <= likely(reckoned) <= found.high
    if not inside and apart > work.fact("practice/titrate.agreement").value:
        work.notice(
            "note",
            "acid-not-as-reckoned",
            f"the drops say {found.likely:.3g} mol/L, the pot was reckoned at {likely(reckoned):.3g}",
            f"go by the drops: give --free-acid {found.likely:.3g}mol/L to the next step",
            "practice",
        )
