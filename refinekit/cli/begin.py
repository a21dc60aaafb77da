"""What `refinekit` alone says: which command to begin with, by what is asked."""

from __future__ import annotations

import shutil

WHERE = (
    ("The whole run?", ("refinekit new lot.toml", "refinekit plan lot.toml")),
    ("One step, now?", ("refinekit dissolve --gold 2g", "leach, drop, rinse likewise")),
    ("May these two meet?", ("refinekit keep-apart bleach ammonia",)),
    ("Anything else?", ("refinekit --help", "refinekit dissolve --help")),
)
"""What is asked, and what to type."""


def begin() -> str:
    """Where to begin: a line a question, or the answers below their question where the terminal is narrow."""
    asked = max(len(question) for question, _ in WHERE) + 2
    lines = [f"{question:<{asked}}{'; '.join(answers)}" for question, answers in WHERE]
    if max(map(len, lines)) <= shutil.get_terminal_size().columns:
        return "\n".join(lines)
    return "\n".join("\n  ".join((question, *answers)) for question, answers in WHERE)
