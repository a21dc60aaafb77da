"""The pH with least metal left, each metal measured by its own yardstick."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from refinekit.chemistry.equilibrium.constants import Constants
from refinekit.chemistry.equilibrium.liquor import Liquor
from refinekit.chemistry.equilibrium.state import State, at_ph
from refinekit.errors import BadQuantity, OutOfRange
from refinekit.facts.load import fact
from refinekit.record import record

Array = NDArray[np.float64]


@record
class Window:
    """Where a liquor is best taken to.

    Args:
        ph: the pH with least metal over its yardsticks (n,) [-]; NaN where no pH balanced
        metals_mg_per_l: what is still dissolved there, by element (n,) [mg/L]
        over: metal to how many times its yardstick is dissolved there (n,) [-]
        all_meet_low: lowest pH looked at where every metal meets its yardstick (n,) [-]; NaN where none does
        all_meet_high: highest such pH (n,) [-]
        never: metal to whether no pH at all brings it under its yardstick (n,)
        ph_grid: the pH looked at (g,) [-]
        grid_mg_per_l: metal to what is dissolved at each (n, g) [mg/L]
    """

    ph: Array
    metals_mg_per_l: dict[str, Array]
    over: dict[str, Array]
    all_meet_low: Array
    all_meet_high: Array
    never: dict[str, NDArray[np.bool_]]
    ph_grid: Array
    grid_mg_per_l: dict[str, Array]


def best_window(
    liquor: Liquor,
    yardsticks_mg_per_l: Mapping[str, float],
    constants: Constants | None = None,
    *,
    lowest_ph: float | None = None,
    highest_ph: float | None = None,
    open_to_atm: float = 0.0,
) -> Window:
    """The pH at which the dissolved metals, each divided by its yardstick, add up to least.

    Args:
        liquor: the liquors (n,)
        yardsticks_mg_per_l: element to its yardstick [mg/L], over 0; metals without one do not count
        constants: set of constants; the likely one if left out
        lowest_ph: where to begin [-]; as the facts have it if left out
        highest_ph: where to end [-]; likewise
        open_to_atm: pressure of carbon dioxide the pot stands open to [atm]; 0 for a closed pot
    Returns: Window
    Raises: BadQuantity, no metal of the liquor has a yardstick; OutOfRange, a yardstick that is nothing, pH out of order
    """
    lowest_ph = fact("equilibrium/limits.window_lowest").value if lowest_ph is None else lowest_ph
    highest_ph = fact("equilibrium/limits.window_highest").value if highest_ph is None else highest_ph
    step = fact("equilibrium/limits.window_step").value
    if any(not value > 0 for value in yardsticks_mg_per_l.values()) or not lowest_ph < highest_ph:
        raise OutOfRange(
            "a yardstick must be over 0 mg/L, and the pH range run upwards", cure="leave the metal out, or turn the range"
        )
    n = len(liquor)
    grid = np.arange(lowest_ph, highest_ph + 0.5 * step, step)
    many = liquor.rows(np.repeat(np.arange(n), len(grid)))
    state = at_ph(many, np.tile(grid, n), constants, open_to_atm=open_to_atm)
    return _read_off(state, n, grid, yardsticks_mg_per_l)


def _read_off(state: State, n: int, grid: Array, yardsticks: Mapping[str, float]) -> Window:
    found = {name: mg.reshape(n, len(grid)) for name, mg in state.metals_mg_per_l().items()}
    counted = [name for name in found if name in yardsticks]
    if not counted:
        raise BadQuantity(
            f"none of the metals {', '.join(found) or '(none)'} has a yardstick",
            cure="give a limit for at least one of them in mg/L",
        )
    times = {name: found[name] / yardsticks[name] for name in counted}
    stack = np.stack(list(times.values()))
    score = np.where(np.isnan(stack).any(axis=0), np.inf, stack.sum(axis=0))
    best = np.argmin(score, axis=1)
    rows = np.arange(n)
    meets = stack.max(axis=0) <= 1
    some = meets.any(axis=1)
    last = len(grid) - 1
    return Window(
        ph=np.where(np.isfinite(score).any(axis=1), grid[best], np.nan),
        metals_mg_per_l={name: mg[rows, best] for name, mg in found.items()},
        over={name: ratio[rows, best] for name, ratio in times.items()},
        all_meet_low=np.where(some, grid[np.argmax(meets, axis=1)], np.nan),
        all_meet_high=np.where(some, grid[last - np.argmax(meets[:, ::-1], axis=1)], np.nan),
        never={name: _never(ratio) for name, ratio in times.items()},
        ph_grid=grid,
        grid_mg_per_l=found,
    )


def _never(ratio: Array) -> NDArray[np.bool_]:
    """Whether a metal is over its yardstick at every pH that balanced (n,); not said where none did."""
    least = np.where(np.isnan(ratio), np.inf, ratio).min(axis=1)
    return np.asarray(np.isfinite(least) & (least > 1))
