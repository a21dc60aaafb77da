"""Each small change is one a test could see, in one place, and none falls where nothing runs."""

import ast

import pytest

from tests.mutate.sites import sites


@pytest.mark.parametrize(
    ("source", "changed"),
    [
        ("a + b", ["(a - b)"]),
        ("2 * a", ["(2 / a)", "(3) * a"]),
        ("a < b", ["(a <= b)", "(a >= b)"]),
        ("a < b < c", ["(a <= b < c)", "(a < b <= c)", "(a < b >= c)", "(a >= b < c)"]),
        ("a == b or c", ["((a != b)) or c", "(a == b and c)"]),
        ("not a", ["(a)"]),
        ("-a", ["(+a)"]),
        ("f(x=True)", ["f(x=False)"]),
        ("1e-9", ["(1.000000001)"]),
        ("a if b else c", ["(a)", "(c)"]),
        ("np.minimum(a, b)", ["np.maximum(a, b)"]),
        ("low(a)", ["high(a)"]),
        ("def f():\n    return a", ["def f():\n    return None"]),
        ("for a in b:\n    continue", ["for a in b:\n    break"]),
        ("'µg' + a", ["('µg' - a)"]),
    ],
)
def test_a_change_is_made_where_it_stands(source: str, changed: list[str]) -> None:
    found = [site.applied(source) for site in sites(source)]
    assert sorted(ast.unparse(ast.parse(text)) for text in found) == sorted(ast.unparse(ast.parse(text)) for text in changed)


@pytest.mark.parametrize(
    "source",
    [
        "'what it does, 1 + 1'",
        "import a",
        "def f(a: int | None) -> int | None: ...",
        "@frozen(slots=True)\nclass A: ...",
        "raise ValueError(1 + 1)",
        "f'{a + 1}'",
        "zip(a, b, strict=True)",
        "def f():\n    return None",
    ],
)
def test_what_does_not_run_or_is_only_said_is_left_alone(source: str) -> None:
    assert sites(source) == []


def test_a_change_knows_its_line() -> None:
    assert [(site.line, site.was) for site in sites("a = b\nµ = c * d\n")] == [(2, "c * d")]
