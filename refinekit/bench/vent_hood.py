"""A hood: what its opening draws, what must come in for it, and the duct it wants."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from refinekit.bench.fume_air import hood_m3_per_min
from refinekit.bench.work import Work
from refinekit.ranges import Number, high, likely, low
from refinekit.units.kinds import CUBIC_FOOT_L

CM_PER_M = 100


def hood(work: Work, told: Mapping[str, Any]) -> Number | None:
    """Answer with the air a hood draws, and must get back.

    Args:
        work: the step
        told: `hood_width_m` and `hood_height_m`; may hold `face_speed_m_per_s`
    Returns: what it draws [m3/min]; None where no hood was told by its opening
    """
    if "hood_width_m" not in told or "hood_height_m" not in told:
        return None
    speed = work.default(
        told.get("face_speed_m_per_s"), "practice/fume.hood.face_speed", "speed of the air in the hood's opening"
    )
    flow = hood_m3_per_min(told["hood_width_m"], told["hood_height_m"], speed)
    because, sized = "opening x speed", "high: sash as open as it is used"
    work.answer("hood_flow", flow, "m3/min", sized_on=sized, because=because)
    work.answer("hood_flow_cfm", flow * 1000 / float(CUBIC_FOOT_L), "cfm", sized_on=sized, because=because)
    work.answer("make_up_air", flow, "m3/min", sized_on="high", because="what the hood draws out has to come in")
    work.working(
        "hood",
        "width x height x speed",
        f"{likely(told['hood_width_m']):.3g} m x {likely(told['hood_height_m']):.3g} m x {likely(speed):.3g} m/s x 60",
        f"{likely(flow):.4g} m3/min",
        "practice/fume.hood.face_speed",
    )
    small = work.fact("practice/fume.fan.bathroom").value
    work.say("gear", f"duct of PVC or PP, not steel; a bathroom fan ({small:g} m3/min) makes no hood; let air in")
    _weak(work, speed)
    return flow


def _weak(work: Work, speed: Number) -> None:
    """Say where the air in the opening is slower than the published rule."""
    rule = work.fact("practice/fume.hood.face_speed").range
    if low(speed) < rule.low:
        work.say(
            "watch for", f"{low(speed):.2g} m/s in the opening is no hood: {rule.low:g} to {rule.high:g} m/s; lower the sash"
        )


def duct_cm(flow_m3_per_min: Number, speed_m_per_s: Number) -> Number:
    """Width of a round duct.

    Args:
        flow_m3_per_min: air through it [m3/min]; 0 and up
        speed_m_per_s: its speed [m/s]; above 0
    Returns: inside width [cm]

    >>> duct_cm(16.2, 10)
    18.54
    """
    area_m2 = np.asarray(flow_m3_per_min) / 60 / speed_m_per_s
    width = CM_PER_M * np.sqrt(4 * area_m2 / np.pi)
    return width if np.ndim(width) else float(width)


def duct(work: Work, flow: Number) -> None:
    """Answer with the duct a hood wants."""
    speed = work.fact("practice/vent.hood.duct_speed").value
    because = f"at {speed:g} m/s: narrower is loud and draws less"
    work.answer("duct", duct_cm(flow, speed), "cm", sized_on="high: as much as the hood draws", because=because)
    most, width = high(flow), high(duct_cm(flow, speed))
    work.working("duct", "2 sqrt(flow / pi / speed)", f"{most:.4g} m3/min at {speed:g} m/s", f"{width:.3g} cm inside")
