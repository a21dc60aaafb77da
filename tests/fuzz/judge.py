"""Runs a command line in this process and says what is wrong with how it ended; nothing where all is well."""

from __future__ import annotations

import gc
import io
import os
import re
import signal
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from refinekit.cli.main import main
from tests.fuzz.figures import wrong
from tests.fuzz.grammar import Case

CODES = (0, 1, 2, 3, 130)
SECONDS, WALL_SECONDS = 5, 300
"""Longest a line may work, and longest it may sit: the first is the processor's time, so that a busy machine accuses nobody."""
NO_NUMBER = re.compile(r"(?<![\w.])[-+]?(nan|inf|infinity)(?![\w.])", re.IGNORECASE)


class Hang(BaseException):
    """Took longer than anyone waits."""


def _rang(*_: object) -> None:
    raise Hang


@contextmanager
def bench_of_its_own(case: Case) -> Iterator[tuple[io.TextIOWrapper, io.TextIOWrapper]]:
    """A folder with its files, a book and the three streams of one run; what was there before comes back."""
    kept, here, book = (sys.stdin, sys.stdout, sys.stderr), os.getcwd(), os.environ.get("REFINEKIT_BOOK")
    streams = [io.TextIOWrapper(io.BytesIO(case.pipe.encode("utf-8", "surrogatepass")), encoding="utf-8")]
    streams += [io.TextIOWrapper(io.BytesIO(), encoding="utf-8") for _ in range(2)]
    looked = gc.get_threshold()
    before = [(bell, signal.signal(bell, _rang)) for bell in (signal.SIGALRM, signal.SIGPROF)]
    with tempfile.TemporaryDirectory() as folder:
        for name, data in case.files.items():
            Path(folder, name).write_bytes(data)
        os.chdir(folder)
        os.environ["REFINEKIT_BOOK"] = f"{folder}/book.sqlite"
        sys.stdin, sys.stdout, sys.stderr = streams
        signal.setitimer(signal.ITIMER_PROF, SECONDS)
        signal.alarm(WALL_SECONDS)
        try:
            yield streams[1], streams[2]
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)
            signal.alarm(0)
            gc.set_threshold(*looked)  # a command leaves its litter to the end of its process, which here goes on
            gc.unfreeze()
            for bell, kept_bell in before:
                signal.signal(bell, kept_bell)
            sys.stdin, sys.stdout, sys.stderr = kept
            os.chdir(here)
            os.environ.pop("REFINEKIT_BOOK")
            if book is not None:
                os.environ["REFINEKIT_BOOK"] = book


def text_of(stream: io.TextIOWrapper) -> str:
    """What was written to a stream."""
    stream.flush()
    return stream.buffer.getvalue().decode("utf-8", "replace")  # type: ignore[attr-defined]


def ended(case: Case) -> tuple[object, str, str]:
    """Exit code, answer and complaints of a case. Raises: Hang."""
    with bench_of_its_own(case) as (out, err):
        try:
            main(list(case.words))
            code: object = "no exit code"
        except SystemExit as end:
            code = end.code
        return code, text_of(out), text_of(err)


def answer_of(words: list[str], files: dict[str, bytes] | None = None) -> str:
    """What a command answers that is meant to end well; its cautions may stop it."""
    code, said, complained = ended(Case(words, files=files or {}))
    if code not in (0, 3):
        raise AssertionError(f"{words} ended with {code}: {complained[-300:]}")
    return said


def fault(case: Case) -> str:
    """What is wrong with how a case ends; "" for nothing."""
    try:
        code, said, complained = ended(case)
    except Hang:
        return f"longer than {SECONDS} s"
    words = case.words
    if code not in CODES or (code == 1 and words[0] != "check"):
        return f"exit code {code}: {complained[-300:]}"
    if "Traceback" in said + complained:
        return complained[-300:]
    if code == 2 and not complained.strip() and words[:2] != ["book", "check"]:
        return "refused without a word"
    return figures_at_fault(said, words)


def figures_at_fault(said: str, words: list[str]) -> str:
    """What is wrong with the figures of an answer."""
    options = words[: words.index("--")] if "--" in words else words  # what stands behind `--` is a name
    if "--json" in options and "--help" not in options and said:
        return next(wrong(said), "")
    typed = " ".join(words).lower()
    found = NO_NUMBER.search(said)
    return f"shows {found.group()}" if found and found.group(1).lower() not in typed else ""
