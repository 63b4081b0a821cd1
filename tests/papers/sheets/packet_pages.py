"""A packet as it is printed: its text, its files, and every place where a name could stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pikepdf
import pypdfium2

from ledger.chain.disclosure import open_disclosure
from ledger.papers.press.heads import Heads
from ledger.papers.sheets.packet_context import PacketPaper
from ledger.papers.sheets.packets import PROOF, Kind, packet_sheet
from ledger.review.packet import Packet, build_packet
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.proof import format_proof, unpack_proof
from tests.papers.samples import printed_sheet, squeeze

POINTS_OF_MM = 72 / 25.4


@dataclass(frozen=True)
class Printed:
    """`pages` are their texts, `text` is all of them squeezed; `files` are what is attached."""

    packet: Packet = field(repr=False)
    paper: PacketPaper = field(repr=False)
    path: Path
    pages: tuple[str, ...]
    files: dict[str, bytes] = field(repr=False)

    @property
    def text(self) -> str:
        return squeeze("".join(self.pages))

    def says(self, text: str) -> bool:
        return squeeze(text) in self.text

    def everything(self) -> str:
        """Pages, metadata, outline, names of files and the files unpacked, squeezed."""
        with pikepdf.open(self.path) as pdf:
            said = [pdf.Root.Metadata.read_bytes().decode(), str(pdf.docinfo)]
            with pdf.open_outline() as outline:
                said += [item.title for item in outline.root]
            said += [f"{name} {spec.description}" for name, spec in pdf.attachments.items()]
        for name, content in self.files.items():
            if name == PROOF:
                proof = unpack_proof(content)
                said.append(format_proof(proof).decode())
                said += [open_disclosure(shown.disclosure).value for shown in proof.disclosures]
            else:
                said.append(content.decode())
        return self.text + squeeze("\n".join(said))


def print_packet(store: SqliteStore, case_id: str, kind: Kind, to: Path) -> Printed:
    """The packet printed; it keeps the rules of PDF/A-3 and PDF/UA-1."""
    sheet = packet_sheet(Heads(store), case_id, kind)
    pages = printed_sheet(sheet, to)
    with pikepdf.open(to) as pdf:
        files = {name: spec.get_file().read_bytes() for name, spec in pdf.attachments.items()}
    paper = sheet.context["paper"]
    assert isinstance(paper, PacketPaper)
    return Printed(build_packet(store, case_id), paper, to, tuple(pages), files)


def childrens_names(store: SqliteStore) -> dict[str, str]:
    """Every name of a child that the ledger holds, by player id."""
    events = {s.event.id: s.event for s in store.events(kind=["player", "enter_player"])}
    return {
        str(events[f"{row.chain}:{row.seq}"].player): open_disclosure(row.text).value
        for row in store.disclosures(sorted(events))
        if row.field == "name"
    }


def outside_margins(path: Path, side_mm: float) -> Iterator[str]:
    """What stands nearer to the left or right edge of its page than this, or off the page."""
    document = pypdfium2.PdfDocument(path)
    try:
        for number, page in enumerate(document, start=1):
            width, height = page.get_size()
            text, margin = page.get_textpage(), side_mm * POINTS_OF_MM
            for index in range(text.count_rects()):
                left, bottom, right, top = text.get_rect(index)
                if left < margin or right > width - margin or bottom < 0 or top > height:
                    yield f"page {number}: {text.get_text_bounded(left, bottom, right, top)!r}"
    finally:
        document.close()
