"""How sure the estimate of a lot is: the error of its sample, of its two halves, of its assay."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from refinekit.bench.account_sums import gy_error, split_error
from refinekit.bench.lot_metals import combined_error
from refinekit.bench.work import Work
from refinekit.errors import BadQuantity
from refinekit.ranges import likely


def sampling_of(work: Work, told: Mapping[str, Any]) -> dict[str, float]:
    """Relative errors of sampling and assay, each one standard error.

    Args:
        work: the step
        told: figures of the room
    Raises: BadQuantity, half of what a sampling error or a split needs; OutOfRange
    Source: Gy (1979)
    """
    errors: dict[str, float] = {}
    if "sample_g" in told or "piece_m" in told:
        missing = [one for one in ("sample_g", "sampled_g", "piece_m", "grade_g_per_kg") if one not in told]
        if missing:
            raise BadQuantity(
                "a sampling error needs the sample, what it was taken from, its largest piece and its grade",
                cure="as in --sample 50g --sampled 2kg --piece 2mm --grade 4g/kg",
            )
        share = told["grade_g_per_kg"] / 1000
        error = gy_error(told["sample_g"], told["sampled_g"], 100 * told["piece_m"], share, flakes=bool(told.get("flakes")))
        errors["sampling"] = likely(error)
        work.answer("sampling_error", 100 * error, "%", sized_on="least it can be", because="Gy's simple form, gold lying free")
        for name in ("shape", "size_range", "gangue_density"):
            work.fact(f"practice/account.gy.{name}")
        work.working(
            "sampling error",
            "s^2 = c f g d^3 (1/sample - 1/lot)",
            f"{1000 * likely(share):.4g} g/kg, {1000 * likely(told['piece_m']):.3g} mm, {likely(told['sample_g']):.4g} g"
            f" of {likely(told['sampled_g']):.5g} g",
            f"{100 * likely(error):.3g} %",
            "practice/account.gy.shape",
            "practice/account.gy.size_range",
        )
    if ("split_a_g_per_kg" in told) != ("split_b_g_per_kg" in told):
        raise BadQuantity("a split has two halves", cure="give both, as in --split-a 3.8g/kg --split-b 4.2g/kg")
    if "split_a_g_per_kg" in told:
        error = split_error(told["split_a_g_per_kg"], told["split_b_g_per_kg"])
        # two halves see sampling and assay both: their word stands before the formula's
        errors = {"split": likely(error)}
        work.answer("split_error", 100 * error, "%", because="half the difference of two halves, over their mean: all errors")
    if "assay_error" in told and "split" not in errors:
        errors["assay"] = likely(told["assay_error"])
    if errors:
        work.answer(
            "estimate_error",
            100 * combined_error(errors.values()),
            "%",
            because=f"{' and '.join(errors)}: sqrt of the sum of squares",
        )
    return errors
