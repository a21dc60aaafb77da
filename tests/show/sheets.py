"""Sheets of every example, and of other answers that have a page, made in this process."""

import contextlib
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from refinekit.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = tuple(sorted(path.stem for path in (ROOT / "examples").glob("*.toml")))
HOSTILE = "<script>document.title='taken'</script><img src=x onerror=alert(1)> & \"tabs\" </style>"
OTHERS = {
    "account": ["account", "--expected", "2.1 g", "--bar", "2.05 g", "--fineness", "996"],
    "bath": ["bath", "start", "--bath-volume", "5.2L", "--bath-copper", "95g/L", "--bath-acid", "1.4mol/L", "--note", HOSTILE],
    "log": ["log", str(ROOT / "examples" / "edge-tabs.toml"), "--lot", HOSTILE, "--note", HOSTILE, "--who", HOSTILE,
            "--at", "2026-03-05"],
}  # fmt: skip
"""Answers that are no plan and have a page too."""
Sheets = dict[str, tuple[Path, dict[str, Any]]]
Open = Callable[..., tuple[Page, list[str]]]


def told(words: list[str]) -> tuple[int, str, str]:
    """A command run in this process."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err), pytest.raises(SystemExit) as end:
        main(words)
    return int(end.value.code or 0), out.getvalue(), err.getvalue()


def made(folder: Path, name: str, words: list[str]) -> tuple[Path, dict[str, Any]]:
    """The page of an answer, and its JSON."""
    page = folder / f"{name}.html"
    code, out, err = told([*words, "--json", "--sheet", str(page)])
    assert code in (0, 3), err
    return page, json.loads(out)
