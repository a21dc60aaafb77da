"""A lot told by its plated area and the layers on it."""

from __future__ import annotations

import numpy as np

from refinekit.bench.lot_fields import area_told, facts_at, gold_known
from refinekit.bench.lot_metals import combined_error, counted_area_cm2, layer_g, triangular_error
from refinekit.bench.lot_parcel import Parcel
from refinekit.errors import BadQuantity, CannotFollow
from refinekit.facts.load import fact
from refinekit.ranges import Number, likely

LAYERS = ("gold", "nickel", "copper", "silver")
"""Metals a layer's thickness may be told of."""


def by_area(parcel: Parcel) -> None:
    """Put in the layers of the plated area, where there is one.

    Raises: CannotFollow, a layer without an area; BadQuantity, the area told twice
    """
    told = parcel.told
    if not area_told(told):
        if any(f"{metal}_thickness_um" in told for metal in LAYERS):
            raise CannotFollow(
                "a layer needs the area it covers",
                cure="--area 1980 cm2, or --strips 140 --tabs 96 --length 7.5 mm --width 1.6 mm",
            )
        return
    area = _area(parcel)
    parcel.work.answer("area", area, "cm2", because="plated area, both faces")
    for metal in LAYERS:
        _layer(parcel, metal, area)


def _area(parcel: Parcel) -> Number:
    told, work = parcel.told, parcel.work
    if "area_cm2" in told and "tabs" in told:
        raise BadQuantity("the area is told and counted", cure="tell --area, or --strips, --tabs, --length and --width")
    if "area_cm2" in told:
        area: Number = told["area_cm2"]
    else:
        missing = [word for word in ("length_m", "width_m") if word not in told]
        if missing:
            raise CannotFollow("counted tabs need their length and width", cure="--length 7.5 mm --width 1.6 mm")
        faces = 2.0 if told.get("counted") == "one face" else 1.0
        if "counted" not in told:
            work.assume("the tabs are counted on both faces")
        strips = told.get("strips", 1.0)
        area = counted_area_cm2(strips, told["tabs"], told["length_m"], told["width_m"], faces)
        work.working(
            "plated area",
            "strips x tabs x length x width" + (" x 2 faces" if faces > 1 else ""),
            f"{likely(strips):.4g} x {likely(told['tabs']):.4g} x {100 * likely(told['length_m']):.4g} cm"
            f" x {100 * likely(told['width_m']):.4g} cm" + (" x 2" if faces > 1 else ""),
            f"{likely(area):.5g} cm2",
        )
    factor = told.get("area_factor", 1.0)
    spread = combined_error([triangular_error(area), triangular_error(factor)])
    parcel.errors["area"] = (
        likely(told["area_error"]) if "area_error" in told else spread or fact("practice/general.uncertainty.area").value
    )
    covered: Number = area * factor
    return covered


def _layer(parcel: Parcel, metal: str, area: Number) -> None:
    """One layer, from the thickness told, or from the stack its kind of goods usually has."""
    told, work = parcel.told, parcel.work
    thickness = told.get(f"{metal}_thickness_um")
    stack = f"{parcel.row.get('stack', '')}.{metal}"
    elsewhere = gold_known(told, otherwise=("grade_g_per_kg",)) if metal == "gold" else f"{metal}_g" in told
    if thickness is None and (elsewhere or metal not in facts_at(parcel.row.get("stack", ""))):
        return
    thickness = work.default(thickness, stack, f"{metal} layer")
    density, fineness, used = _deposit(parcel, metal)
    grams = layer_g(area, thickness, density, fineness)
    parcel.add(metal, grams)
    if metal == "gold":
        guessed = "" if "gold_thickness_um" in told else stack
        parcel.errors["thickness"] = (
            _error(told.get("thickness_error"), thickness, guessed) or work.fact("practice/lot.thickness_error").value
        )
    times = f" x {likely(fineness):.4g}" if likely(fineness) != 1 else ""
    work.working(
        f"{metal} layer",
        "area x thickness x density" + (" x share" if times else ""),
        f"{likely(area):.5g} cm2 x {likely(thickness):.4g} micron x 1e-4 x {likely(density):.4g} g/cm3{times}",
        f"{likely(grams):.5g} g",
        *used,
    )


def _error(given: Number | None, value: Number, stand_in: str) -> float:
    """One standard error of a figure: as told, or from its own range, or from the range of the fact that stood in."""
    if given is not None:
        return likely(given)
    if stand_in:
        span = fact(stand_in).range
        return triangular_error(np.array([span.likely, span.low, span.high]))
    return triangular_error(value)


def _deposit(parcel: Parcel, metal: str) -> tuple[Number, Number, tuple[str, ...]]:
    """Density and share of a deposit, and the facts that gave them."""
    told, work = parcel.told, parcel.work
    if metal == "gold":
        base = f"materials.deposit.{told.get('deposit') or parcel.row.get('deposit', 'hard')}_gold"
        density = work.default(told.get("gold_density_g_per_ml"), f"{base}.density", "density of the gold deposit")
        fineness = work.default(told.get("gold_fineness"), f"{base}.fineness", "gold share of the deposit")
        parcel.errors["density"] = _error(
            told.get("density_error"), density, "" if "gold_density_g_per_ml" in told else f"{base}.density"
        )
        parcel.errors["fineness"] = _error(None, fineness, "" if "gold_fineness" in told else f"{base}.fineness")
        return density, fineness, (f"{base}.density", f"{base}.fineness")
    if metal == "silver":
        return work.fact("materials.solid.Ag.density").value, 1.0, ("materials.solid.Ag.density",)
    if metal == "nickel" and parcel.row.get("nickel") == "electroless":
        ids = ("materials.deposit.electroless_nickel.density", "materials.deposit.electroless_nickel.phosphorus")
        return work.fact(ids[0]).value, 1 - work.fact(ids[1]).value, ids
    id = f"materials.deposit.{metal}.density"
    return work.fact(id).value, 1.0, (id,)
