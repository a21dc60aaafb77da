"""Which stream gets what, and what a terminal may be sent."""

import io
import json
import subprocess
import sys
from pathlib import Path

import pytest
from show_samples import CHLORINE, FUME, LIFTED, dissolving, planning

from refinekit.show.document import Document
from refinekit.show.look import present


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def looked_at(document: Document, look: str, out: io.StringIO | None = None, **how: object) -> tuple[str, str]:
    out, err = out or io.StringIO(), io.StringIO()
    present(document, look=look, stdout=out, stderr=err, **{"width": 80, **how})  # type: ignore[arg-type]
    return out.getvalue(), err.getvalue()


@pytest.fixture(autouse=True)
def plain_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")


@pytest.mark.parametrize("look", ["table", "json", "csv"])
def test_piped_cautions_go_to_stderr(look: str) -> None:
    out, err = looked_at(dissolving(), look)
    assert err.startswith("WARN  brown fume")
    assert "see a doctor the same day" in " ".join(err.split())
    if look == "table":
        assert FUME.text not in " ".join(out.split())


def test_on_a_terminal_cautions_stand_at_the_top_of_the_screen() -> None:
    out, err = looked_at(dissolving(), "table", Terminal())
    assert err == ""
    assert out.index("WARN") < out.index("MEASURE OUT")


def test_a_terminal_gets_bold_and_the_word_besides() -> None:
    out, _ = looked_at(dissolving(), "table", Terminal())
    assert "\x1b[1" in out
    assert "WARN" in out


@pytest.mark.parametrize(("name", "value"), [("NO_COLOR", "1"), ("TERM", "dumb")])
def test_a_terminal_that_wants_none_gets_no_control_codes(name: str, value: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(name, value)
    out, _ = looked_at(dissolving(), "table", Terminal())
    assert "\x1b" not in out
    assert "WARN  brown fume" in out


@pytest.mark.parametrize("look", ["table", "json", "csv"])
def test_every_look_of_a_lifted_stop_carries_the_reason(look: str) -> None:
    out, err = looked_at(dissolving(LIFTED), look)
    assert "hood on, two of us" in out
    assert "hood on, two of us" in " ".join(err.split())


@pytest.mark.parametrize("look", ["table", "json", "csv"])
@pytest.mark.parametrize("document", [dissolving(), planning(), dissolving(CHLORINE)], ids=["one", "plan", "stopped"])
def test_every_look_of_wet_work_ends_with_the_closing_lines(look: str, document: Document) -> None:
    out, _ = looked_at(document, look)
    told = " ".join(out.split())
    assert all(line in told for line in document.closing)
    if look != "csv":  # a table of rows has none for a step without figures
        assert ("stopped for safety" in told.lower() or '"stopped": true' in told) == bool(document.stopped)


@pytest.mark.parametrize("look", ["table", "json", "csv"])
def test_no_look_of_a_stopped_step_has_its_figures(look: str) -> None:
    out, err = looked_at(dissolving(CHLORINE), look, working=True)
    for figure in ("12.1", "12.0", "0.404", "0.40", "5.31", "2.58", "10.7", "0.99", "0.0107", "197.0", "HAuCl4", "350 mL", "250"):
        assert figure not in out.replace('"altitude": "350 m"', "") + err
    if look == "json":
        assert set(numbers(json.loads(out))) <= {0.0}


def numbers(data: object) -> list[float]:
    if isinstance(data, dict):
        return [number for inner in data.values() for number in numbers(inner)]
    if isinstance(data, list):
        return [number for inner in data for number in numbers(inner)]
    return [float(data)] if isinstance(data, int | float) and not isinstance(data, bool) else []


@pytest.mark.parametrize("look", ["table", "json", "csv"])
@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437", "utf-8"])
def test_every_stream_takes_every_look(look: str, encoding: str) -> None:
    raw = io.BytesIO()
    out = io.TextIOWrapper(raw, encoding=encoding, errors="strict")
    err = io.TextIOWrapper(io.BytesIO(), encoding=encoding, errors="strict")
    present(dissolving(FUME, LIFTED), look=look, working=True, stdout=out, stderr=err, width=80)
    out.flush()
    assert "dissolve" in raw.getvalue().decode(encoding)


@pytest.mark.parametrize(("columns", "longest"), [("40", 40), ("300", 140), ("3", 20)])
def test_the_width_is_the_terminals_within_reason(columns: str, longest: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    out, _ = looked_at(dissolving(), "table", width=None)
    assert max(map(len, out.splitlines())) <= longest


@pytest.mark.parametrize("look", ["json", "csv"])
def test_scripts_do_not_wait_for_rich(look: str) -> None:
    code = (
        "import sys, io; sys.path.insert(0, sys.argv[1])\n"
        "from show_samples import dissolving\n"
        "from refinekit.show.look import present\n"
        f"present(dissolving(), look={look!r}, stdout=io.StringIO(), stderr=io.StringIO())\n"
        "print(sorted(name for name in sys.modules if name.partition('.')[0] in ('rich', 'sympy', 'pint')))"
    )
    done = subprocess.run([sys.executable, "-c", code, str(Path(__file__).parent)], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
