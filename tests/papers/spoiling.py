"""What somebody might do to the PDF of a paper."""

from __future__ import annotations

import io
from collections.abc import Callable

import pikepdf
from pikepdf import Name
from pyhanko.pdf_utils.generic import ArrayObject, NameObject, StreamObject
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

WHITE = b"q 1 1 1 rg 40 500 540 40 re f Q"


def edited(pdf: bytes, change: Callable[[pikepdf.Pdf], None]) -> bytes:
    """The paper saved again by another program after a change."""
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as document:
        change(document)
        document.save(out)
    return out.getvalue()


def white_out(document: pikepdf.Pdf) -> None:
    """A white rectangle drawn over a row: all of the text is still there."""
    document.pages[0].contents_add(WHITE, prepend=False)


def take_out_a_line(document: pikepdf.Pdf) -> None:
    """The first name of the table is not painted any more; its cell stays."""
    page = document.pages[0]
    steps = list(pikepdf.parse_content_stream(page))
    shown = [n for n, step in enumerate(steps) if str(step.operator) in ("Tj", "TJ")]
    del steps[shown[len(shown) // 2]]
    page.Contents = document.make_stream(pikepdf.unparse_content_stream(steps))


def take_out_the_last_page(document: pikepdf.Pdf) -> None:
    del document.pages[-1]


def add_a_note(document: pikepdf.Pdf) -> None:
    """An annotation that a reader program shows above the page."""
    note = pikepdf.Dictionary(
        Type=Name.Annot, Subtype=Name.Square, Rect=[40, 500, 580, 540], IC=[1, 1, 1]
    )
    document.pages[0].Annots = pikepdf.Array([document.make_indirect(note)])


def change_nothing(document: pikepdf.Pdf) -> None:
    """Saved again by another program, and that is all."""


def take_page_of(other: bytes) -> Callable[[pikepdf.Pdf], None]:
    """Its first page becomes that of another paper; the attached files stay."""

    def change(document: pikepdf.Pdf) -> None:
        with pikepdf.open(io.BytesIO(other)) as source:
            document.pages.insert(0, source.pages[0])
            del document.pages[1]

    return change


def attach(name: str, content: bytes) -> Callable[[pikepdf.Pdf], None]:
    """Another content of an attached file."""

    def change(document: pikepdf.Pdf) -> None:
        document.attachments[name] = pikepdf.AttachedFileSpec(document, content, filename=name)

    return change


def attached(pdf: bytes, name: str) -> bytes:
    """The content of an attached file."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return document.attachments[name].get_file().read_bytes()


def continued(pdf: bytes) -> bytes:
    """A white rectangle over the first page, in bytes added behind the paper's own."""
    writer = IncrementalPdfFileWriter(io.BytesIO(pdf))
    page = writer.root["/Pages"]["/Kids"][0]
    more = writer.add_object(StreamObject(stream_data=WHITE))
    page[NameObject("/Contents")] = ArrayObject([page.raw_get("/Contents"), more])
    writer.update_container(page)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()
