"""The answer of every command to the example of its own help, and of a small book, each made once and in this process."""

import io
import os
import shlex
import shutil
import tempfile
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from refinekit.cli.cards import CARDS
from refinekit.cli.commands import example_of as shown_by
from refinekit.cli.commands import load
from refinekit.cli.main import main
from refinekit.show import look
from refinekit.show.document import Document

ROOT = Path(__file__).parents[2]
LESS = {
    "new": "writes a file and shows no figure",
    "check": "compares figures of its own, and has tests of its own",
    "manual": "is the help itself",
    "completion": "is a script for a shell",
}
"""Commands whose example is no answer of the bench."""
BEFORE = (
    'stock buy hydrochloric --volume 10L --strength "20 Be" --paid 42 --bottle A-1 --at 2026-03-01',
    'bath start --bath-volume 5L --bath-copper 40g/L --bath-nickel 2g/L --bath-acid "3.5 mol/L" --at 2026-03-01',
    "bath lot --lot 1 --copper 80g --nickel 8g --at 2026-03-05",
    "log --lot 1 --bar 2.05g --fineness 996 --found filters=0.02g --sold 130 --at 2026-03-09",
    "bath top-up --acid-volume 500mL --at 2026-03-10",
    "bath bleed --volume 800mL --at 2026-03-13",
    'drum open "drum 1" --for "acid liquor" --size 60L --at 2026-03-15',
)
"""What stands in the book before it is asked."""
BOOK = (
    "bath show",
    "bath history",
    "drum show",
    "stock show",
    "report yields",
    "report losses",
    "report gold",
    "report reagents",
    "report waste",
    "report cost",
    "report factors",
    "report lot 1",
    "account --lot 1 --expected 2.1g --sigma 0.3g",
    "lot --lot 1",
)
"""What the book is asked beside the examples."""
RUNS = ("karat", "sterling", "no-nitric", "plated-pins")
"""Batch files that are planned beside the example of the help."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What was typed, and what came of it.

    Args:
        line: as typed, without the program [text]
        document: the answer
    """

    line: str
    document: Document


def example_of(verb: str) -> str:
    """The example of a command's help, without the program."""
    return shown_by(load(verb)).removeprefix("refinekit ")


def ask(line: str) -> Document | None:
    """A command run in this process; None where it shows nothing."""
    kept: list[Document] = []
    present = look.present
    look.present = lambda document, **_: kept.append(document)  # type: ignore[assignment]
    said, code = io.StringIO(), None
    try:
        with redirect_stdout(io.StringIO()), redirect_stderr(said):
            main(shlex.split(line))
    except SystemExit as end:
        code = end.code
    finally:
        look.present = present
    if code and not kept:
        raise AssertionError(f"{line}: {said.getvalue()}")
    return kept[-1] if kept else None


@cache
def every_answer() -> tuple[Asked, ...]:
    """Every answer, in a folder and a book of their own."""
    here, told = os.getcwd(), dict(os.environ)
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(ROOT / "examples", Path(folder) / "examples")
        (Path(folder) / "bath.json").write_text(
            '{"name": "old bath", "volume_l": 4, "dissolved_mol": {"HCl": 6, "CuCl2": 3}}', encoding="utf-8"
        )
        os.environ["REFINEKIT_BOOK"] = str(Path(folder) / "book.sqlite")
        os.chdir(folder)
        try:
            for line in BEFORE:
                ask(line)
            lines = [example_of(verb) for verb in CARDS if verb not in LESS]
            lines += [f"plan examples/{name}.toml" for name in RUNS] + list(BOOK)
            answers = [Asked(line, document) for line in lines if (document := ask(line)) is not None]
        finally:
            os.chdir(here)
            os.environ.clear()
            os.environ.update(told)
    return tuple(answers)
