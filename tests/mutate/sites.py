"""Places where one small thing of a file can be changed: a comparison, a sum, a constant, a word, what comes back."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain

SWAPPED: dict[type[ast.AST], type[ast.AST]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.Pow: ast.Mult,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.And: ast.Or,
    ast.Or: ast.And,
    ast.USub: ast.UAdd,
}
TURNED: dict[type[ast.AST], type[ast.AST]] = {ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt}
"""A comparison's opposite, where the swap above moves only its edge."""

CALLS = {
    "minimum": "maximum",
    "maximum": "minimum",
    "min": "max",
    "max": "min",
    "low": "high",
    "high": "low",
    "any": "all",
    "all": "any",
}


@dataclass(frozen=True, slots=True)
class Site:
    """One change.

    Args:
        start, end: where in the file's bytes
        line: the line it begins in, from 1
        was, now: the text there, before and after
    """

    start: int
    end: int
    line: int
    was: str
    now: str

    def applied(self, source: str) -> str:
        """The file with this one change."""
        text = source.encode()
        return (text[: self.start] + self.now.encode() + text[self.end :]).decode()


def sites(source: str) -> list[Site]:
    """Every change of a file, in its order; none in annotations, docstrings, decorators, messages and how strict a zip is."""
    starts = [0]
    for line in source.encode().splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    found = []
    for node, now in _changes(ast.parse(source)):
        start = starts[node.lineno - 1] + node.col_offset
        end = starts[(node.end_lineno or 0) - 1] + (node.end_col_offset or 0)
        found.append(Site(start, end, node.lineno, source.encode()[start:end].decode(), now))
    return sorted(found, key=lambda site: (site.start, site.end, site.now))


def _changes(node: ast.AST) -> Iterator[tuple[ast.expr | ast.stmt, str]]:
    """The nodes that can be changed, each with the text that takes its place."""
    if isinstance(node, ast.JoinedStr | ast.Raise | ast.Import | ast.ImportFrom) or getattr(node, "arg", "") == "strict":
        return
    yield from _of_one(node)
    for child in _lived(node):
        yield from _changes(child)


def _lived(node: ast.AST) -> Iterator[ast.AST]:
    """What of a node runs: no annotations, no decorators."""
    for name, value in ast.iter_fields(node):
        if name not in ("annotation", "returns", "decorator_list", "type_params"):
            yield from (one for one in (value if isinstance(value, list) else [value]) if isinstance(one, ast.AST))


def _of_one(node: ast.AST) -> Iterator[tuple[ast.expr | ast.stmt, str]]:
    if isinstance(node, ast.BinOp | ast.BoolOp | ast.UnaryOp) and type(node.op) in SWAPPED:
        yield node, _with(node, op=SWAPPED[type(node.op)]())
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield node, f"({ast.unparse(node.operand)})"
    elif isinstance(node, ast.Compare):
        for number, op in enumerate(node.ops):
            for kinds in (SWAPPED, TURNED):
                if type(op) in kinds:
                    yield node, _with(node, ops=[*node.ops[:number], kinds[type(op)](), *node.ops[number + 1 :]])
    elif isinstance(node, ast.Constant):
        yield from _of_constant(node)
    elif isinstance(node, ast.IfExp):
        yield node, f"({ast.unparse(node.body)})"
        yield node, f"({ast.unparse(node.orelse)})"
    elif isinstance(node, ast.Return) and node.value is not None and not _is_none(node.value):
        yield node, "return None"
    elif isinstance(node, ast.Continue):
        yield node, "break"
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name | ast.Attribute):
        name = node.func.id if isinstance(node.func, ast.Name) else node.func.attr
        if name in CALLS:
            yield node.func, ast.unparse(node.func).removesuffix(name) + CALLS[name]


def _of_constant(node: ast.Constant) -> Iterator[tuple[ast.expr, str]]:
    if isinstance(node.value, bool):
        yield node, str(not node.value)
    elif isinstance(node.value, int | float):
        yield node, f"({node.value + 1!r})"


def _with(node: ast.expr, **changed: object) -> str:
    """A node's text with something in it changed, in brackets so that what stands round it stays as it was."""
    fields = dict(chain(ast.iter_fields(node), changed.items()))
    return f"({ast.unparse(type(node)(**fields))})"


def _is_none(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value is None
