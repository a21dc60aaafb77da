"""refinekit: the reckoning around small-shop gold and silver recovery, from the lot to the button and the drum.

What stands in PUBLIC is the door for Python programs (`import refinekit as rk`); each name is loaded when first asked for, so
that starting the command loads nothing of it. Types of the door: `__init__.pyi`.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # the matrices here are small: threads only wait for each other

__version__ = "0.1.0"

PUBLIC = {
    "Check": "shop.check",
    "Range": "ranges",
    "RefinekitError": "errors",
    "Result": "shop.one_step",
    "Solution": "chemistry.solution",
    "balance": "chemistry.balance",
    "checks": "shop.check",
    "cite": "facts.load",
    "dilute": "chemistry.solution",
    "fact": "facts.load",
    "molar": "chemistry.molar",
    "molar_mass": "chemistry.species",
    "read_batch": "shop.batch",
    "run_plan": "shop.plan",
    "step": "shop.one_step",
}
"""Every public name and the module it lives in."""


def __getattr__(name: str) -> object:
    """A public name, loaded now. Raises: AttributeError, no such name."""
    if name not in PUBLIC:
        raise AttributeError(f"module 'refinekit' has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"refinekit.{PUBLIC[name]}"), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *PUBLIC})
