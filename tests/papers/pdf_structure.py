"""The structure tree of a PDF against the rules of PDF/UA-1 that a program can check.

Clauses are those of ISO 14289-1 as the veraPDF profiles number them (veraPDF validation
profiles @6f2a87f; read, and said here in our own words).
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import pikepdf
from pikepdf import Array, Dictionary, Name, Object

HEADINGS = {"H1", "H2", "H3", "H4", "H5", "H6"}
STANDARD = """
    Document Part Art Sect Div BlockQuote Caption TOC TOCI Index NonStruct Private
    P H H1 H2 H3 H4 H5 H6 L LI Lbl LBody Table TR TH TD THead TBody TFoot
    Span Quote Note Reference BibEntry Code Link Annot Figure Formula Form
"""  # ISO 32000-1, 14.8.4
KIDS = {
    "Table": {"TR", "THead", "TBody", "TFoot", "Caption"},
    "THead": {"TR"},
    "TBody": {"TR"},
    "TFoot": {"TR"},
    "TR": {"TH", "TD"},
    "L": {"L", "LI", "Caption"},
    "LI": {"Lbl", "LBody"},
}
PARENTS = {
    "TR": {"Table", "THead", "TBody", "TFoot"},
    "THead": {"Table"},
    "TBody": {"Table"},
    "TFoot": {"Table"},
    "TH": {"TR"},
    "TD": {"TR"},
    "LI": {"L"},
    "LBody": {"LI"},
}


def kind(element: Object) -> str:
    return str(element.S).removeprefix("/")


def kids(element: Object) -> list[Object]:
    found = element.get(Name.K, Array())
    found = list(found) if isinstance(found, Array) else [found]
    return [kid for kid in found if isinstance(kid, Dictionary) and kid.get(Name.Type) != Name.OBJR]


def walk(element: Object) -> Iterator[Object]:
    """Every structure element below, in reading order."""
    for kid in kids(element):
        yield kid
        yield from walk(kid)


def structure_problems(pdf: pikepdf.Pdf) -> list[str]:
    root = pdf.Root.StructTreeRoot
    elements = list(walk(root))
    return [
        *_nesting(root, elements),
        *_tables(elements),
        *_headers(root, elements),
        *_headings(elements),
        *(
            f"7.3: a figure without a text alternative ({index})"
            for index, element in enumerate(elements)
            if kind(element) == "Figure" and not str(element.get(Name.Alt, "")).strip()
        ),
    ]


def _nesting(root: Object, elements: list[Object]) -> Iterator[str]:
    for element in elements:
        name = kind(element)
        if name not in STANDARD.split():
            yield f"7.1: {name} is no standard type"
        if Name.P not in element:
            yield f"7.1: {name} without a parent"
        names = [kind(kid) for kid in kids(element)]
        for kid in kids(element):
            if kid.P.objgen != element.objgen:
                yield f"7.1: {kind(kid)} names another parent than {name}"
        for kid_name in names:
            if name in KIDS and kid_name not in KIDS[name]:
                yield f"7.2: {kid_name} in {name}"
            if kid_name in PARENTS and name not in PARENTS[kid_name]:
                yield f"7.2: {kid_name} in {name}"
        if name == "Table":
            if names.count("THead") > 1 or names.count("Caption") > 1:
                yield "7.2: a table with two heads or captions"
            if "THead" in names and "TBody" not in names:
                yield "7.2: a table with a head and no body"
            if "Caption" in names[1:-1]:
                yield "7.2: a caption in the middle of a table"


def _rows(table: Object) -> list[Object]:
    return [element for element in walk(table) if kind(element) == "TR"]


def _tables(elements: list[Object]) -> Iterator[str]:
    for table in (element for element in elements if kind(element) == "Table"):
        widths = {
            sum(int(cell.get(Name.A, {}).get(Name.ColSpan, 1)) for cell in kids(row))
            for row in _rows(table)
        }
        if len(widths) > 1:
            yield f"7.2: rows of one table with {sorted(widths)} columns"


def _headers(root: Object, elements: list[Object]) -> Iterator[str]:
    ids = pikepdf.NameTree(root.IDTree) if Name.IDTree in root else {}
    known = {str(name) for name in ids}
    for element in elements:
        if kind(element) == "TH" and element.A.get(Name.Scope) not in (Name.Row, Name.Column):
            yield "7.5: a header cell without a scope"
        if Name.ID in element and str(element.ID) not in known:
            yield f"ISO 32000-1 14.7.2: id {element.ID!s} is not in the tree of ids"
        for header in element.get(Name.A, Dictionary()).get(Name.Headers, []):
            if str(header) not in known:
                yield f"7.5: a cell names the header {header!s}, which is nowhere"


def _headings(elements: list[Object]) -> Iterator[str]:
    levels = [int(kind(element)[1]) for element in elements if kind(element) in HEADINGS]
    if not levels or levels[0] != 1:
        yield "7.4.2: the first heading is not of level 1"
    for before, after in pairwise(levels):
        if after > before + 1:
            yield f"7.4.2: a heading of level {after} follows one of level {before}"
