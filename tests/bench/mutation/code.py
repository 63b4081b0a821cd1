"""The one function that a change of a file has changed, as Python compiles it."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from types import CodeType


def changed_code(before: str, after: str, path: str) -> tuple[CodeType, CodeType] | None:
    """The function's code before and after; None if anything else has changed, or nothing.

    >>> was, now = changed_code("def f():\\n    return 1\\n", "def f():\\n    return 2\\n", "f.py")
    >>> was.co_qualname, was.co_consts, now.co_consts
    ('f', (None, 1), (None, 2))
    >>> changed_code("A = 1\\n", "A = 2\\n", "a.py")
    """
    one, other = (compile(text, path, "exec", dont_inherit=True) for text in (before, after))
    if _told(one, inside=False) != _told(other, inside=False):
        return None
    pairs = zip(_functions(one), _functions(other), strict=True)
    differ = [(was, now) for was, now in pairs if _told(was) != _told(now)]
    return differ[0] if len(differ) == 1 else None


def _functions(code: CodeType) -> Iterator[CodeType]:
    """Those of a module and of its classes, not those inside of functions."""
    for one in code.co_consts:
        if isinstance(one, CodeType):
            if _is_function(one):
                yield one
            else:
                yield from _functions(one)


def _is_function(code: CodeType) -> bool:
    return bool(code.co_flags & inspect.CO_OPTIMIZED)


def _told(code: CodeType, *, inside: bool = True) -> object:
    """What it says, without the places of its lines; `inside` functions, too, or only around."""
    consts = tuple(
        (_told(one, inside=inside) if inside or not _is_function(one) else one.co_qualname)
        if isinstance(one, CodeType)
        else (type(one), one)
        for one in code.co_consts
    )
    names = (code.co_names, code.co_varnames, code.co_freevars, code.co_cellvars)
    return code.co_qualname, code.co_code, code.co_flags, code.co_argcount, names, consts
