"""The small changes: which there are in a file, and the file's text with one of them."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass

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

    `what` holds the old source and the new, so that a survivor is known again when lines move.
    """

    line: int
    what: str
    text: str


def mutants_of(source: str) -> list[Mutant]:
    """Every change of this file, in source order.

    >>> [one.what for one in mutants_of("def f(a, b):\\n    return a < b and not b\\n")]
    ['a < b and not b -> a < b or not b', 'a < b -> a <= b', 'not b -> b']
    """
    tree = ast.parse(source)
    starts = _starts(source)
    found = []
    for node in _walk(tree):
        old = ast.get_source_segment(source, node)
        if old is None:
            continue
        for new in _changes(source, node, old):
            begin = starts[node.lineno - 1] + node.col_offset
            as_bytes = source.encode()
            text = as_bytes[:begin] + new.encode() + as_bytes[begin + len(old.encode()) :]
            what = f"{' '.join(old.split())} -> {' '.join(new.split())}"
            found.append(Mutant(node.lineno, what, text.decode()))
    return found


def _starts(source: str) -> list[int]:
    """The offset in bytes of every line."""
    starts, at = [], 0
    for line in source.encode().splitlines(keepends=True):
        starts.append(at)
        at += len(line)
    return starts


def _walk(node: ast.AST) -> Iterator[ast.expr]:
    """Expressions that are run, in source order: no annotation, no docstring, no import guard."""
    if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
        return
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return
    if isinstance(node, ast.Subscript) and _is_type(node):
        return
    if isinstance(node, ast.expr):
        yield node
    for field, value in ast.iter_fields(node):
        if field in ("annotation", "returns", "type_params"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST):
                yield from _walk(child)


def _is_type(node: ast.Subscript) -> bool:
    return isinstance(node.value, ast.Name) and node.value.id in _NAMES_OF_TYPES


def _changes(source: str, node: ast.expr, old: str) -> Iterator[str]:
    match node:
        case ast.Compare(left=left, ops=[op], comparators=[right]):
            yield f"{_text(source, left)} {_SWAPS[type(op)]} {_text(source, right)}"
        case ast.BoolOp(op=op, values=values):
            word = " or " if isinstance(op, ast.And) else " and "
            yield word.join(_text(source, one) for one in values)
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            yield _text(source, operand)
        case ast.Constant(value=bool() as value):
            yield str(not value)
        case ast.Constant(value=int() as value):
            yield str(value + 1)
        case ast.IfExp(test=test, body=body, orelse=other):
            yield f"{_text(source, other)} if {_text(source, test)} else {_text(source, body)}"
        case ast.Tuple(elts=elts) | ast.Set(elts=elts) | ast.List(elts=elts) if _are_words(elts):
            yield from _without_one(source, elts, old)
        case ast.Dict(keys=keys, values=values) if _are_words([k for k in keys if k]):
            pairs = [
                f"{_text(source, key) if key else '**'}{': ' if key else ''}{_text(source, value)}"
                for key, value in zip(keys, values, strict=True)
            ]
            for at in range(len(pairs)):
                yield "{" + ", ".join(pairs[:at] + pairs[at + 1 :]) + "}"
        case ast.ListComp() | ast.SetComp() | ast.GeneratorExp() | ast.DictComp():
            for generator in node.generators:
                for test in generator.ifs:
                    whole = f" if {_text(source, test)}"
                    flat = " ".join(old.split())
                    if whole in flat:
                        yield flat.replace(whole, "", 1)


def _without_one(source: str, elts: list[ast.expr], old: str) -> Iterator[str]:
    opening, closing = (old[0], old[-1]) if old[0] in "([{" else ("(", ")")
    for at in range(len(elts)):
        rest = [_text(source, one) for one in elts[:at] + elts[at + 1 :]]
        comma = "," if opening == "(" else ""
        yield f"{opening}{', '.join(rest)}{comma}{closing}"


def _are_words(elts: list[ast.expr]) -> bool:
    """At least two, and all of them text: a table or list of codes."""
    return len(elts) > 1 and all(
        isinstance(one, ast.Constant) and isinstance(one.value, str) for one in elts
    )


def _text(source: str, node: ast.expr) -> str:
    return " ".join((ast.get_source_segment(source, node) or ast.unparse(node)).split())
