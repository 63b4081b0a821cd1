"""Find where two papers differ: page and line, or a page outside its text.

The text is read from content streams as our typesetter writes them: composite fonts with a
ToUnicode map, and only the commonest other ways to set text. Lines count from the top of the page
as seen, with running head and foot. This only locates a difference; equal bytes prove that there
is none.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator
from itertools import zip_longest
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Stream

from ledger.review.held import Difference

Matrix = tuple[float, float, float, float, float, float]
_SAME: Matrix = (1, 0, 0, 1, 0, 0)
_PAIR = re.compile(rb"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>\s*\n")
_ELSEWHERE = {"/Parent", "/P", "/StructParents", "/StructParent"}
_PACKING = {"/Length", "/Filter", "/DecodeParms"}
_DEEPEST = 40
_ONE_LINE = 4.0  # points: cells of a row in two type sizes are one line
_FAULTS = (
    pikepdf.PdfError, pikepdf.DependencyError, ValueError, KeyError, TypeError, AttributeError,
    IndexError,
)  # fmt: skip


def find_difference(paper: bytes, made: bytes) -> Difference:
    """The first difference between a paper and the same paper made again; their bytes differ."""
    with pikepdf.open(io.BytesIO(paper)) as here, pikepdf.open(io.BytesIO(made)) as there:
        # A difference in a line says more than one in a drawing.
        found = sorted(_on_pages(here, there), key=lambda one: one.line is None)
        return found[0] if found else _outside(here, there)


def _on_pages(here: pikepdf.Pdf, there: pikepdf.Pdf) -> Iterator[Difference]:
    for number, (ours, theirs) in enumerate(zip_longest(here.pages, there.pages), start=1):
        if ours is None or theirs is None:
            counts = f"it has {len(here.pages)}, and {len(there.pages)} were printed"
            what = f"page {number} is " + ("missing" if ours is None else "extra")
            yield Difference(f"{what}: {counts}", number)
            return
        yield from _on_page(number, ours, theirs)


def _on_page(number: int, here: pikepdf.Page, there: pikepdf.Page) -> Iterator[Difference]:
    try:
        lines = zip_longest(lines_of(here), lines_of(there), fillvalue="")
        for line, (paper, ledger) in enumerate(lines, start=1):
            if paper != ledger:
                yield Difference("the text differs", number, line, paper, ledger)
                return
        if _painted(here) == _painted(there) and _is_same(here.obj, there.obj, set()):
            return
    except _FAULTS:
        yield Difference("the page cannot be read", number)
        return
    what = "the text is the same, but not a drawing over it, a picture or a font"
    yield Difference(what, number)


def _outside(here: pikepdf.Pdf, there: pikepdf.Pdf) -> Difference:
    names = sorted(set(here.attachments) | set(there.attachments))
    changed = [name for name in names if _file(here, name) != _file(there, name)]
    if changed:
        return Difference(f"the pages are the same, but not the attached {', '.join(changed)}")
    return Difference("the pages and the attached files are the same, but not the rest of the file")


def _file(pdf: pikepdf.Pdf, name: str) -> bytes | None:
    try:
        return pdf.attachments[name].get_file().read_bytes()
    except _FAULTS:
        return None


def _painted(page: pikepdf.Page) -> bytes:
    return pikepdf.unparse_content_stream(pikepdf.parse_content_stream(page))


def _is_same(here: Object, there: Object, seen: set[tuple[int, int]], depth: int = 0) -> bool:
    """Whether two objects have the same content, whatever their numbers in their files."""
    if not isinstance(here, Object) or not isinstance(there, Object):
        return bool(here == there)
    if here.is_indirect:
        if here.objgen in seen:
            return True
        seen.add(here.objgen)
    if depth > _DEEPEST or type(here) is not type(there):
        return False
    if isinstance(here, Array):
        pairs = zip(here, there, strict=True) if len(here) == len(there) else None
        return pairs is not None and all(_is_same(a, b, seen, depth + 1) for a, b in pairs)
    if not isinstance(here, Dictionary | Stream):
        return bool(here == there)
    if here.get(Name.Type) == there.get(Name.Type) == Name.Page and depth:
        return True  # the target of a link; each page is compared by itself
    skipped = _ELSEWHERE | (_PACKING if isinstance(here, Stream) else set())
    skipped |= set() if depth else {"/Contents"}
    keys = set(here.keys()) - skipped
    if keys != set(there.keys()) - skipped:
        return False
    if isinstance(here, Stream) and here.read_bytes() != there.read_bytes():
        return False
    return all(_is_same(here[key], there[key], seen, depth + 1) for key in keys)


def lines_of(page: pikepdf.Page) -> list[str]:
    """The page's lines of text, from the top. Raises pikepdf's errors for a broken page."""
    pieces = list(_pieces(page, page.get(Name.Resources, Dictionary()), _SAME, 0))
    rows: list[tuple[float, list[tuple[float, int, str]]]] = []
    placed = [(-y, x, order, text) for order, (x, y, text) in enumerate(pieces)]
    for down, x, order, text in sorted(placed):
        if not rows or down > rows[-1][0] + _ONE_LINE:
            rows.append((down, []))
        rows[-1][1].append((x, order, text))
    found = (" ".join(" ".join(text for _, _, text in sorted(row)).split()) for _, row in rows)
    return list(filter(None, found))


def _pieces(
    source: Object | pikepdf.Page, resources: Object, base: Matrix, depth: int
) -> Iterator[tuple[float, float, str]]:
    """Every piece of text, with x and y in points from the page's lower left corner."""
    now, kept = base, []
    text = _SAME
    letters: dict[int, str] | None = {}
    for step in pikepdf.parse_content_stream(source):
        operator, given = str(step.operator), step.operands
        if operator == "q":
            kept.append(now)
        elif operator == "Q" and kept:
            now = kept.pop()
        elif operator == "cm":
            now = _times(_matrix(given), now)
        elif operator == "BT":
            text = _SAME
        elif operator == "Tm":
            text = _matrix(given)
        elif operator in ("Td", "TD"):
            text = _times(_matrix([1, 0, 0, 1, *given]), text)
        elif operator == "Tf":
            letters = _letters(resources.Font[str(given[0])])
        elif operator == "Do" and depth < _DEEPEST:
            form = resources.XObject[str(given[0])]
            if form.get(Name.Subtype) == Name.Form:
                moved = _times(_matrix(form.get(Name.Matrix, _SAME)), now)
                inner = form.get(Name.Resources, resources)
                yield from _pieces(form, inner, moved, depth + 1)
        elif operator in ("Tj", "TJ"):
            place = _times(text, now)
            yield place[4], place[5], _read(given[-1], letters)


def _read(shown: Object, letters: dict[int, str] | None) -> str:
    parts = [shown] if isinstance(shown, pikepdf.String) else list(shown)
    data = b"".join(bytes(part) for part in parts if isinstance(part, pikepdf.String))
    if letters is None:
        return data.decode("latin-1")
    codes = (int.from_bytes(data[at : at + 2], "big") for at in range(0, len(data), 2))
    return "".join(letters.get(code, "\N{REPLACEMENT CHARACTER}") for code in codes)


def _letters(font: Object) -> dict[int, str] | None:
    """Code to text of a composite font; None for other fonts, whose codes are read as Latin."""
    if font.get(Name.Subtype) != Name.Type0 or Name.ToUnicode not in font:
        return None
    pairs = _PAIR.findall(font.ToUnicode.read_bytes() + b"\n")
    return {
        int(code, 16): bytes.fromhex(text.decode().zfill(4)).decode("utf-16-be", "replace")
        for code, text in pairs
    }


def _matrix(given: Iterable[Any]) -> Matrix:
    a, b, c, d, e, f = (float(number) for number in given)
    return a, b, c, d, e, f


def _times(one: Matrix, other: Matrix) -> Matrix:
    a, b, c, d, e, f = one
    g, h, i, j, k, m = other
    return (
        a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j,
        e * g + f * i + k, e * h + f * j + m,
    )  # fmt: skip
