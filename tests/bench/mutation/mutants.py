"""The small changes: which there are in a file, and the file's text with one of them."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate

_SWAPS: dict[type[ast.cmpop], str] = {
    ast.Lt: "<=",
    ast.LtE: "<",
    ast.Gt: ">=",
    ast.GtE: ">",
    ast.Eq: "!=",
    ast.NotEq: "==",
    ast.In: "not in",
    ast.NotIn: "in",
    ast.Is: "is not",
    ast.IsNot: "is",
}
_NAMES_OF_TYPES = frozenset({"Literal", "TypeVar", "NamedTuple", "NewType"})


@dataclass(frozen=True)
class Mutant:
    """One change: the line it begins on (from 1), what it does in a few words, and the new text.

    `what` holds the old source and the new, so that a survivor is known again when lines move. A
    number or a truth value stands with what is around it, because a file has many of them. A long
    table is told by its beginning, and by what it lacks.
    """

    line: int
    what: str
    text: str


def mutants_of(source: str) -> list[Mutant]:
    """Every change of this file, in source order.

    >>> [one.what for one in mutants_of("def f(a, b):\\n    return a < b and not b\\n")]
    ['a < b and not b -> a < b or not b', 'a < b -> a <= b', 'not b -> b']
    >>> [one.what for one in mutants_of("tell(before, indent=2)\\n")]
    ['2 -> 3 in tell(before, indent=2)']
    >>> [one.what for one in mutants_of("WORDS = {'a': 'b', 'c': 'd'}\\n")]
    ["{'a': 'b', 'c': 'd'} without 'a'", "{'a': 'b', 'c': 'd'} without 'c'"]
    """
    file = _File(source.encode())
    found = []
    tree = ast.parse(source)
    for node, around in _walk(tree, tree):
        begin, end = file.place(node)
        old = _flat(file.of(node))
        for new, told in _changes(file, node, old):
            if not _is_expression(new):
                continue
            text = file.source[:begin] + new.encode() + file.source[end:]
            where = f" in {_begin(file, around)}" if isinstance(node, ast.Constant) else ""
            found.append(Mutant(node.lineno, told or f"{old} -> {new}{where}", text.decode()))
    return found


class _File:
    """A file's bytes, and where each expression stands in them."""

    def __init__(self, source: bytes) -> None:
        self.source = source
        lines = source.splitlines(keepends=True)
        self._starts = list(accumulate(map(len, lines), initial=0))

    def place(self, node: ast.expr | ast.stmt) -> tuple[int, int]:
        """Where it begins and ends, in bytes."""
        begin = self._starts[node.lineno - 1] + node.col_offset
        return begin, self._starts[(node.end_lineno or 0) - 1] + (node.end_col_offset or 0)

    def of(self, node: ast.expr | ast.stmt) -> str:
        begin, end = self.place(node)
        return self.source[begin:end].decode()


def _flat(text: str) -> str:
    return " ".join(text.split())


def _begin(file: _File, around: ast.AST) -> str:
    return _flat(file.of(around))[:80] if isinstance(around, ast.expr | ast.stmt) else ""


def _is_expression(text: str) -> bool:
    """Whether it is one by itself: what stood in brackets may be none without them."""
    try:
        ast.parse(text, mode="eval")
    except SyntaxError:
        return False
    return True


def _walk(node: ast.AST, around: ast.AST) -> Iterator[tuple[ast.expr, ast.AST]]:
    """Expressions that are run, in source order: no annotation, no docstring, no import guard.

    Each comes with the expression or statement that it stands in. `frozen=True` is left out:
    tests/test_architecture.py holds it.
    """
    if isinstance(node, ast.keyword) and node.arg == "frozen":
        return
    if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
        return
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return
    if isinstance(node, ast.Subscript) and _is_type(node):
        return
    if isinstance(node, ast.JoinedStr):  # before Python 3.12 its parts have no place of their own
        return
    if isinstance(node, ast.expr):
        yield node, around
    inner = node if isinstance(node, ast.expr | ast.stmt) else around
    for field, value in ast.iter_fields(node):
        if field in ("annotation", "returns", "type_params"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST):
                yield from _walk(child, inner)


def _is_type(node: ast.Subscript) -> bool:
    return isinstance(node.value, ast.Name) and node.value.id in _NAMES_OF_TYPES


def _changes(file: _File, node: ast.expr, old: str) -> Iterator[tuple[str, str]]:
    """Each as new source, and what to call it, unless that is the old source and the new."""
    match node:
        case ast.Compare(left=left, ops=[op], comparators=[right]):
            yield f"{_text(file, left)} {_SWAPS[type(op)]} {_text(file, right)}", ""
        case ast.BoolOp(op=op, values=values):
            word = " or " if isinstance(op, ast.And) else " and "
            yield word.join(_text(file, one) for one in values), ""
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            yield _text(file, operand), ""
        case ast.Constant(value=bool() as value):
            yield str(not value), ""
        case ast.Constant(value=int() as value):
            yield str(value + 1), ""
        case ast.IfExp(test=test, body=body, orelse=other):
            yield f"{_text(file, other)} if {_text(file, test)} else {_text(file, body)}", ""
        case ast.Tuple(elts=elts) | ast.Set(elts=elts) | ast.List(elts=elts) if _are_words(elts):
            opening, closing = (old[0], old[-1]) if old[0] in "([{" else ("(", ")")
            comma = "," if opening == "(" else ""
            items = [_text(file, one) for one in elts]
            yield from _without_one(items, opening, comma + closing, items, old)
        case ast.Dict(keys=keys, values=values) if _are_words([k for k in keys if k]):
            names = [_text(file, key) if key else "**" for key in keys]
            pairs = [
                f"{name}{'' if name == '**' else ': '}{_text(file, value)}"
                for name, value in zip(names, values, strict=True)
            ]
            yield from _without_one(pairs, "{", "}", names, old)
        case ast.ListComp() | ast.SetComp() | ast.GeneratorExp() | ast.DictComp():
            for generator in node.generators:
                for test in generator.ifs:
                    whole = f" if {_text(file, test)}"
                    if whole in old:
                        yield old.replace(whole, "", 1), ""


def _without_one(
    items: list[str], opening: str, closing: str, names: list[str], old: str
) -> Iterator[tuple[str, str]]:
    for at, name in enumerate(names):
        rest = ", ".join(items[:at] + items[at + 1 :])
        yield f"{opening}{rest}{closing}", f"{old[:60]} without {name}"


def _are_words(elts: list[ast.expr]) -> bool:
    """At least two, and all of them text: a table or list of codes."""
    return len(elts) > 1 and all(
        isinstance(one, ast.Constant) and isinstance(one.value, str) for one in elts
    )


def _text(file: _File, node: ast.expr) -> str:
    return _flat(file.of(node))
