"""Imports point down: facts, chemistry, bench, safety, shop, show, cli."""

import ast
from pathlib import Path

import pytest

import refinekit

PACKAGE = Path(refinekit.__file__).parent
LAYERS = ["facts", "chemistry", "bench", "safety", "shop", "show", "cli"]
FILES = sorted(PACKAGE.rglob("*.py"))


def imported(tree: ast.AST) -> list[str]:
    names = []
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute, so that this test sees them"
            names += [f"{node.module}.{name.name}" for name in node.names]
        elif isinstance(node, ast.Import):
            names += [name.name for name in node.names]
    return names


def layer(name: str) -> int:
    parts = name.split(".")
    return LAYERS.index(parts[1]) if parts[0] == "refinekit" and len(parts) > 1 and parts[1] in LAYERS else -1


def going_up(text: str, own: int) -> list[str]:
    return [name for name in imported(ast.parse(text)) if layer(name) > own]


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.relative_to(PACKAGE)))
def test_imports_point_down(file: Path) -> None:
    first = file.relative_to(PACKAGE).parts[0]
    own = len(LAYERS) if first == "__main__.py" else LAYERS.index(first) if first in LAYERS else -1
    assert going_up(file.read_text(encoding="utf-8"), own) == []


def test_the_test_sees_an_import_that_goes_up() -> None:
    assert going_up("from refinekit.cli.main import main", LAYERS.index("bench")) == ["refinekit.cli.main.main"]
    assert going_up("import refinekit.shop.plan", LAYERS.index("bench")) == ["refinekit.shop.plan"]


def test_modules_below_all_layers_may_only_use_facts_lazily() -> None:
    for name in ("errors.py", "record.py", "ranges.py", "units.py", "nearest.py", "denials.py", "how_far.py"):
        path = PACKAGE / name
        if path.exists():
            assert going_up(path.read_text(encoding="utf-8"), -1) == []
