"""What Python programs may use: it is there, typed, and costs the command nothing."""

import ast
import doctest
import json
import subprocess
import sys
from pathlib import Path

import pytest

import refinekit

ROOT = Path(__file__).parents[1]


def test_the_examples_of_the_readme_come_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    text = (ROOT / "README.md").read_text(encoding="utf-8").split("```pycon\n")[1].split("```")[0]
    test = doctest.DocTestParser().get_doctest(text, {}, "README", "README.md", 0)
    assert doctest.DocTestRunner().run(test).failed == 0
    assert len(test.examples) > 4


@pytest.mark.parametrize("name", sorted(refinekit.PUBLIC))
def test_a_public_name_is_there_and_told_of(name: str) -> None:
    assert getattr(refinekit, name).__doc__
    assert name in dir(refinekit)


def test_what_is_typed_is_what_is_public() -> None:
    tree = ast.parse((Path(refinekit.__file__).with_suffix(".pyi")).read_text())
    typed = {name.asname for node in tree.body if isinstance(node, ast.ImportFrom) for name in node.names if name.asname}
    assert typed == set(refinekit.PUBLIC)


def test_a_name_that_is_not_there_is_no_attribute() -> None:
    with pytest.raises(AttributeError, match="has no attribute 'gold'"):
        refinekit.gold  # noqa: B018


def test_importing_loads_nothing_else() -> None:
    said = subprocess.run(
        [sys.executable, "-c", "import sys, refinekit; print(*(n for n in sys.modules if n.startswith('refinekit.')))"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert said.stdout.strip() == ""


def test_the_schema_tells_its_number_and_what_changed() -> None:
    schema = json.loads((ROOT / "refinekit/show/schema.json").read_text())
    assert schema["changes"][-1]["schema"] == schema["properties"]["schema"]["const"]
    assert all(set(one) == {"schema", "since", "what"} for one in schema["changes"])
