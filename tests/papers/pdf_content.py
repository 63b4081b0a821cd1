"""What the pages paint: everything tagged or artifact, every glyph in an embedded font.

Clauses of ISO 14289-1 (PDF/UA-1) and ISO 19005-3 (PDF/A-3) as the veraPDF profiles number them.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator

import pikepdf
from fontTools.ttLib import TTFont
from pikepdf import Name, Object

from tests.papers.pdf_structure import walk

PATHS = {"S", "s", "f", "F", "f*", "B", "B*", "b", "b*"}
TEXTS = {"Tj", "TJ", "'", '"'}
PAINTS = PATHS | TEXTS | {"sh", "Do", "INLINE IMAGE"}
DEEPEST = 28  # 6.1.13: q and Q nest no deeper


def content_problems(pdf: pikepdf.Pdf) -> list[str]:
    root = pdf.Root.StructTreeRoot
    tagged = {element.objgen for element in walk(root)}
    numbers = root.ParentTree.Nums
    parents = {int(numbers[i]): numbers[i + 1] for i in range(0, len(numbers), 2)}
    found: list[str] = []
    used: dict[str, tuple[Object, set[int]]] = {}
    for number, page in enumerate(pdf.pages, start=1):
        owners = list(parents[int(page.StructParents)])
        steps = list(pikepdf.parse_content_stream(page))
        found += [f"page {number}: {text}" for text in _marks(steps, owners, tagged)]
        _collect(steps, page.Resources, used)
        if page.get(Name.Tabs) != Name.S:
            found.append(f"page {number}: 7.18.3: its tab order is not the structure's")
        for annotation in page.get(Name.Annots, []):
            if annotation.Subtype == Name.Link and not str(annotation.get(Name.Contents, "")):
                found.append(f"page {number}: 7.18.5: a link without a description")
    for font, codes in used.values():
        found += _font_problems(font, codes)
    return found


def _marks(
    steps: list[Object], owners: list[Object], tagged: set[tuple[int, int]]
) -> Iterator[str]:
    stack: list[str] = []
    depth = 0
    for step in steps:
        operator = str(step.operator)
        if operator in ("BMC", "BDC"):
            if str(step.operands[0]) == "/Artifact":
                mark = "artifact"
            elif operator == "BDC" and Name.MCID in step.operands[1]:
                mark = "tagged"
                owner = owners[int(step.operands[1].MCID)]
                if owner is None or owner.objgen not in tagged:
                    yield "7.1: marked content that belongs to no element of the structure"
            else:
                mark = "other"
            if mark == "artifact" and "tagged" in stack:
                yield "7.1: an artifact inside tagged content"
            if mark == "tagged" and "artifact" in stack:
                yield "7.1: tagged content inside an artifact"
            stack.append(mark)
        elif operator == "EMC":
            stack.pop()
        elif operator in PAINTS and not {"artifact", "tagged"} & set(stack):
            yield f"7.1: {operator} paints outside tagged content and artifacts"
        depth += {"q": 1, "Q": -1}.get(operator, 0)
        if depth > DEEPEST:
            yield "6.1.13: graphics states nest too deep"


def _collect(
    steps: list[Object], resources: Object, used: dict[str, tuple[Object, set[int]]]
) -> None:
    """The codes shown in each font, in the page and in the forms that it paints."""
    codes: set[int] = set()
    for step in steps:
        operator = str(step.operator)
        if operator == "Tf":
            font = resources.Font[str(step.operands[0])]
            codes = used.setdefault(str(font.objgen), (font, set()))[1]
        elif operator in TEXTS:
            shown = step.operands[-1]
            for piece in shown if operator == "TJ" else [shown]:
                if isinstance(piece, pikepdf.String):
                    data = bytes(piece)
                    codes.update(
                        int.from_bytes(data[i : i + 2], "big") for i in range(0, len(data), 2)
                    )
        elif operator == "Do":
            form = resources.XObject[str(step.operands[0])]
            if form.Subtype == Name.Form:
                inner = list(pikepdf.parse_content_stream(form))
                _collect(inner, form.get(Name.Resources, resources), used)


def _font_problems(font: Object, codes: set[int]) -> Iterator[str]:
    name = str(font.get(Name.BaseFont, "?"))
    if font.get(Name.Subtype) != Name.Type0 or font.get(Name.Encoding) != Name("/Identity-H"):
        yield f"7.21.3: {name} is not a composite font with the encoding Identity-H"
        return
    descendant = font.DescendantFonts[0]
    file = descendant.FontDescriptor.get(Name.FontFile2)
    if file is None:
        yield f"7.21.4.1: {name} is not embedded"
        return
    if descendant.get(Name.CIDToGIDMap) != Name.Identity:
        yield f"7.21.3.2: {name} does not map its codes to glyphs"
    if Name.ToUnicode not in font:
        yield f"7.21.7: {name} has no ToUnicode"
        return
    letters = _to_unicode(font.ToUnicode.read_bytes())
    widths = _widths(descendant.W)
    with TTFont(io.BytesIO(file.read_bytes())) as program:
        order = program.getGlyphOrder()
        metrics, upem = program["hmtx"], program["head"].unitsPerEm
        for code in sorted(codes):
            if code == 0 or code >= len(order):
                yield f"7.21.8: {name} shows glyph {code}, which it does not have"
                continue
            if not letters.get(code) or letters[code] & {0, 0xFEFF, 0xFFFE}:
                yield f"7.21.7: {name} does not say which letter glyph {code} is"
            if abs(metrics[order[code]][0] * 1000 / upem - widths.get(code, -1e9)) > 1:
                yield f"7.21.5: {name} gives glyph {code} another width than its font program"


def _to_unicode(cmap: bytes) -> dict[int, set[int]]:
    return {
        int(code, 16): {ord(letter) for letter in bytes.fromhex(text).decode("utf-16-be")}
        for code, text in re.findall(r"<(\w{4})> <(\w+)>\n", cmap.decode() + "\n")
        if (code, text) != ("0000", "ffff")
    }


def _widths(array: Object) -> dict[int, float]:
    pairs = list(array)
    return {
        int(first) + offset: float(width)
        for first, run in zip(pairs[::2], pairs[1::2], strict=True)
        for offset, width in enumerate(run)
    }
