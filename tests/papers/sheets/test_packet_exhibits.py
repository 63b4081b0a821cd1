"""Exhibits in a packet: lettered, named, and shown if that is safe."""

from __future__ import annotations

import io
from hashlib import sha256
from pathlib import Path

import pikepdf
import pytest
from PIL import Image

from ledger.papers.press.heads import Heads
from ledger.papers.press.render import typeset_sheet
from ledger.papers.sheets.hold import hold_paper
from ledger.papers.sheets.packet_exhibits import MOST_SHOWN, one_page
from ledger.papers.sheets.packet_front_context import ExhibitShown
from ledger.papers.sheets.packets import packet_sheet
from ledger.record.accepted import Accepted
from ledger.say.exhibits import letter_of, size
from tests.papers.samples import HOSTILE, RIGHT_TO_LEFT
from tests.papers.sheets.packet_pages import outside_margins, print_packet
from tests.review.cases_of import adds, opens, season
from tests.tiny import says

NOW = "2026-09-05T16:00:00.000Z"
TEXT = "Play sheet, first half\n\t7  four plays\n" + "\n".join(HOSTILE + RIGHT_TO_LEFT)


def picture() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (300, 200), "gray").save(out, "PNG")
    return out.getvalue()


def digest(content: bytes) -> str:
    return sha256(content).hexdigest()


def handed_in(content: bytes, **cells: object) -> dict[str, str]:
    return adds("case_exhibit", by="we", value=digest(content), **cells)


def exhibits(
    tmp_path: Path, *files: tuple[str, bytes], kept: bool = True, **cells: object
) -> tuple[ExhibitShown, ...]:
    """The exhibits of a packet with these files."""
    lines = [handed_in(content, **cells) for _, content in files]
    with season(tmp_path, opens(), *lines) as store:
        with store.writing() as writing:
            for name, content in files if kept else ():
                writing.keep_exhibit(digest(content), name, content)
        found: tuple[ExhibitShown, ...] = packet_sheet(Heads(store), "c1").context["paper"].exhibits
        return found


def test_letters() -> None:
    assert [letter_of(place) for place in (0, 25, 26, 51, 52, 701, 702)] == [
        "A", "Z", "AA", "AZ", "BA", "ZZ", "AAA",
    ]  # fmt: skip


def test_sizes() -> None:
    assert [size(many) for many in (1, 999, 1_000, 2_150_000)] == [
        "1 byte", "999 bytes", "1.0 KB", "2.1 MB",
    ]  # fmt: skip


def test_a_picture_and_a_text_are_shown(tmp_path: Path) -> None:
    first, second = exhibits(tmp_path, ("sheet.png", picture()), ("note.txt", b"Four plays.\n"))
    assert (first.letter, first.name, bool(first.picture), first.text) == (
        "A", "sheet.png", True, "",
    )  # fmt: skip
    assert (second.letter, second.picture, second.text) == ("B", None, "Four plays.")
    assert second.handed_in.startswith("Handed in by Ivo Larkspur, weighmaster of Elm Trees, ")
    assert (second.size, second.kept) == ("12 bytes", "")


def test_what_is_not_shown_has_its_name_and_size(tmp_path: Path) -> None:
    (one,) = exhibits(tmp_path, ("play.mov", b"\x00\x01 moving pictures"))
    assert (one.name, one.size, one.is_shown) == ("play.mov", "18 bytes", False)
    assert one.kept == "Not printed here. Open it from the evidence bundle."


def test_a_file_that_is_not_here(tmp_path: Path) -> None:
    (one,) = exhibits(tmp_path, ("sheet.png", picture()), kept=False)
    assert (one.name, one.size, one.is_shown) == ("", "", False)
    assert "Ask the person who handed it in" in one.kept


def test_what_was_taken_back_is_not_shown(tmp_path: Path) -> None:
    content = b"about another child"
    back = says("withdraw", at="2026-09-05T09:30", target="slip", reason="the wrong file")
    with season(tmp_path, opens(), handed_in(content, ref="slip", note="Juno"), back) as store:
        with store.writing() as writing:
            writing.keep_exhibit(digest(content), "juno.txt", content)
        (one,) = packet_sheet(Heads(store), "c1").context["paper"].exhibits
    assert (one.name, one.said, one.text) == ("", "", "")
    assert one.kept.startswith("Taken back")


def test_another_file_in_its_place_is_not_shown(tmp_path: Path) -> None:
    """Somebody with the ledger's file can exchange what it keeps; the event has the digest."""
    content = b"four plays"
    with season(tmp_path, opens(), handed_in(content)) as store:
        with store.writing() as writing:
            writing.keep_exhibit(digest(content), "sheet.txt", b"no plays")
        (one,) = packet_sheet(Heads(store), "c1").context["paper"].exhibits
    assert (one.text, one.size) == ("", "")
    assert one.kept.startswith("The file kept here is not the one that was handed in.")


def test_a_file_that_is_kept_only_later(tmp_path: Path) -> None:
    """The paper said that the file is not here: true then, and nobody changed the paper."""
    content = b"four plays"
    with season(tmp_path, opens(), handed_in(content)) as store:
        before = typeset_sheet(packet_sheet(Heads(store), "c1"))
        again = Accepted(
            "case_exhibit", {"case": "c1", "value": digest(content)}, by="we", at=NOW, entered=NOW
        )
        with store.writing() as writing:
            writing.append([again], chain="office")
            writing.keep_exhibit(digest(content), "sheet.txt", content)
        held = hold_paper(store, before)
    assert (held.verdict, held.ok) == ("not_comparable", False)
    assert held.reason.startswith("files were handed in again since (office:")


def test_of_very_many_the_first_are_shown(tmp_path: Path) -> None:
    files = [(f"{n}.txt", f"note {n}".encode()) for n in range(MOST_SHOWN + 1)]
    shown = [one.is_shown for one in exhibits(tmp_path, *files)]
    assert shown == [True] * MOST_SHOWN + [False]


@pytest.mark.parametrize(
    ("content", "text"),
    [
        (b"\xef\xbb\xbfFour plays\r\nand two\r\n", "Four plays\nand two"),
        ("Vier Spiele".encode("utf-16"), "Vier Spiele"),
        (("word " * 40).encode(), f"{'word ' * 19}\n{'word ' * 19}\n{'word ' * 2}".rstrip()),
        (b"", ""),
        (b" \n\n", ""),
        (b"\xff\xfe\xff", ""),
        (b"a\x00b", ""),
        (b"a\x1b[2Jb", ""),
        (b"line\n" * 59, ""),
        (b"x" * 30_000, ""),
        (("a" + "\u0301" * 5).encode(), ""),
    ],
    ids=["mark and line ends", "utf-16", "long line", "empty", "blank", "half a letter", "nul",
         "escape", "two pages", "large", "piled marks"],
)  # fmt: skip
def test_texts_of_one_page(content: bytes, text: str) -> None:
    assert "\n".join(line.rstrip() for line in one_page(content).splitlines()) == "\n".join(
        line.rstrip() for line in text.splitlines()
    )


def test_hostile_files_are_only_letters_and_dots(tmp_path: Path) -> None:
    """Printed once, and held against the rules of PDF/A-3 and PDF/UA-1."""
    files = ((f"{HOSTILE[0]}.png", picture()), ("{{ 7 * 7 }}.txt", TEXT.encode()))
    with season(tmp_path, opens(), *(handed_in(content) for _, content in files)) as store:
        with store.writing() as writing:
            for name, content in files:
                writing.keep_exhibit(digest(content), name, content)
        printed = print_packet(store, "c1", "review_packet", tmp_path / "packet.pdf")
    assert not list(outside_margins(printed.path, side_mm=14))
    for said in (*HOSTILE[:3], "Exhibit B: {{ 7 * 7 }}.txt", "7 four plays"):
        assert printed.says(said)
    assert all(f"Page {n} of" in page for n, page in enumerate(printed.pages, start=1))
    with pikepdf.open(printed.path) as pdf:
        pictures = [
            one
            for one in pdf.objects
            if isinstance(one, pikepdf.Stream) and one.get("/Subtype") == "/Image"
        ]
        assert [(int(one.Width), int(one.Height)) for one in pictures] == [(300, 200)]
        assert "/JavaScript" not in pdf.Root
