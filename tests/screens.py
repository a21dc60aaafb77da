"""Screens as a person at a terminal sees them, kept as text files and compared by the tests.

After a change of the look: `python -m tests.screens` writes them anew. Then read each changed one, `git diff tests/data/screens`,
as somebody with wet gloves would: cautions first, what to weigh and pour beside its bare need, ranges with the end that is acted
on, gas and vessel, what next; nothing cut, nothing left alone on a line. Only then is it kept.
"""

import contextlib
import io
import os
import re
import shlex
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from unittest import mock

from refinekit.cli.main import main

ROOT = Path(__file__).resolve().parents[1]
KEPT = ROOT / "tests" / "data" / "screens"
WIDTHS = (40, 80, 140)
SCREENS = {
    "begin": "",
    "leach": 'leach --copper "45/50/55 g" --nickel "5.7 g" --volume "3 L" --air "2 L/min" --depth "18 cm" --outdoors',
    "dissolve": 'dissolve --gold "1.6/2.1/2.6 g" --nitric "68 %" --outdoors',
    "drop": 'drop --gold 2.1g --iron-iii 0.15g --nitric-left "0/0.1/0.4 mL" --volume 430mL --free-acid 1mol/L --outdoors',
    "neutralise": "neutralise --volume 2L --free-acid 1.2mol/L --copper-strength 5g/L --outdoors",
    "dilute": 'dilute sulfuric --target "10 %" --volume "2 L"',
    "stopped": "vent --gold 8g --hot --time 20min --room 45m3 --fan 0.5m3/min",
    "keep-apart": "keep-apart bleach ammonia",
    "cost": 'cost examples/edge-tabs.toml --gold-price "60 /g"',
    "plan": "plan examples/no-nitric.toml",
}
"""What is typed, by the name of its file."""
LOOKS = {
    "dissolve-ascii": ("dissolve", 80, "ascii"),
    "plan-ascii": ("plan", 40, "ascii"),
    "drop-piped": ("drop", 80, "piped"),
    "stopped-piped": ("stopped", 80, "piped"),
}
"""Screens of a terminal that knows no more than ASCII, and what goes down a pipe: screen, columns and how."""


WIPED = re.compile(r"(?:\r[^\r\n]*\x1b\[K)*\r\x1b\[K")
"""Seconds counted while a slow machine reckons, wiped off before the answer is shown."""


class Terminal(io.StringIO):
    """A stream that says whether somebody looks at it, and what letters it knows."""

    def __init__(self, encoding: str = "utf-8", *, looked_at: bool = True) -> None:
        super().__init__()
        self.known = encoding
        self.looked_at = looked_at

    @property
    def encoding(self) -> str:  # type: ignore[override]
        """What letters it knows."""
        return self.known

    def isatty(self) -> bool:
        """Whether somebody looks at it."""
        return self.looked_at

    def write(self, text: str) -> int:
        """Refuses what it does not know, as a terminal's stream does."""
        text.encode(self.known)
        return super().write(text)


@contextlib.contextmanager
def bench(width: int, **environment: str) -> Iterator[Path]:
    """A folder with the examples and a book of its own, and a terminal of a width without colour."""
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(ROOT / "examples", Path(folder) / "examples")
        told = {"COLUMNS": str(width), "NO_COLOR": "1", "REFINEKIT_BOOK": f"{folder}/book.sqlite", **environment}
        with mock.patch.dict(os.environ, told), contextlib.chdir(folder):
            yield Path(folder)


def screen(line: str, width: int, how: str = "", *, colour: bool = False) -> str:
    """What stands on the terminal after a command; where it is piped, what goes to the pipe, then what is still seen.

    Args:
        line: as typed, without the program [text]
        width: of the terminal [columns]
        how: "" as it is, "ascii" or "piped"
        colour: whether colour is not refused
    """
    seen = Terminal("ascii" if how == "ascii" else "utf-8")
    down = Terminal(looked_at=False) if how == "piped" else seen
    wanted = {"NO_COLOR": "", "TERM": "xterm-256color"} if colour else {}
    with (
        bench(width, **wanted),
        contextlib.redirect_stdout(down),
        contextlib.redirect_stderr(seen),
        contextlib.suppress(SystemExit),
    ):
        main(shlex.split(line))
    stayed = WIPED.sub("", seen.getvalue())
    text = f"{down.getvalue()}---- still on the terminal\n{stayed}" if how == "piped" else stayed
    return "".join(f"{row.rstrip()}\n" for row in text.splitlines())


def every() -> Iterator[tuple[str, str, int, str]]:
    """Every screen: name of its file, line, columns, how."""
    for name, line in SCREENS.items():
        for width in WIDTHS:
            yield f"{name}-{width}", line, width, ""
    for name, (of, width, how) in LOOKS.items():
        yield name, SCREENS[of], width, how


def kept_file(name: str) -> Path:
    """Where a screen is kept."""
    return KEPT / f"{name}.txt"


def renew() -> None:
    """Write every screen anew; to be read before it is kept."""
    KEPT.mkdir(parents=True, exist_ok=True)
    for name, line, width, how in every():
        kept_file(name).write_text(screen(line, width, how), encoding="utf-8")
    print(f"wrote {sum(1 for _ in every())} screens: read what changed, git diff tests/data/screens")


if __name__ == "__main__":
    sys.exit(renew())
