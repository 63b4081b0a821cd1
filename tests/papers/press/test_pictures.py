"""A stranger's picture is drawn anew or not at all."""

from __future__ import annotations

import io
import struct
import zlib

import pytest
from PIL import Image

from ledger.papers.press.paper_file import digest_values
from ledger.papers.press.pictures import MOST_BYTES, MOST_SCANS, SIDE, Picture, redraw
from tests.papers.pictures import PLACE, file, turned


def drawn(content: bytes) -> Image.Image:
    picture = redraw(content, "0" * 64)
    assert picture is not None
    return Image.open(io.BytesIO(picture.jpeg))


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "I;16", "CMYK"])
def test_every_way_to_keep_colors(mode: str) -> None:
    form = "JPEG" if mode == "CMYK" else "PNG"
    made = drawn(file(Image.new(mode, (30, 20)), form))
    assert (made.format, made.mode, made.size) == ("JPEG", "RGB", (30, 20))


def test_sixteen_bits_keep_their_shades() -> None:
    """A plain conversion cuts every shade over 255 of 65,535 off to white."""
    made = drawn(file(Image.new("I;16", (20, 20), 32_768), "PNG"))
    assert made.getpixel((10, 10)) == pytest.approx((128, 128, 128), abs=3)


def test_what_is_clear_becomes_white() -> None:
    made = drawn(file(Image.new("RGBA", (20, 20), (0, 0, 0, 0)), "PNG"))
    assert made.getpixel((10, 10)) == (255, 255, 255)


def test_nothing_but_the_picture_goes_along() -> None:
    content = turned()
    assert PLACE in content
    picture = redraw(content, "0" * 64)
    assert picture is not None
    assert PLACE not in picture.jpeg
    assert drawn(content).size == (20, 40)


def test_a_large_picture_is_made_smaller() -> None:
    made = drawn(file(Image.new("RGB", (SIDE * 2, SIDE)), "JPEG"))
    assert made.size == (SIDE, SIDE // 2)


def png_that_claims(width: int, height: int) -> bytes:
    """A few bytes that say they are a picture of this size."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        whole = kind + body
        return struct.pack(">I", len(body)) + whole + struct.pack(">I", zlib.crc32(whole))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    rows = chunk(b"IDAT", zlib.compress(bytes(100)))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + rows + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"Play sheet of the first half",
        b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>",
        b"%PDF-1.7 and no more",
        file(Image.new("RGB", (30, 20)), "GIF"),
        file(Image.new("RGB", (30, 20)), "PNG")[:-30],
        png_that_claims(60_000, 60_000),
        png_that_claims(8_000, 8_000),
        turned() + b"\xff\xda" * MOST_SCANS,
        turned() + bytes(MOST_BYTES),
    ],
    ids=["empty", "text", "svg", "pdf", "gif", "cut off", "claims 3.6 billion pixels",
         "claims 64 million", "too many passes", "too many bytes"],
)  # fmt: skip
def test_anything_else_is_not_drawn(content: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("PIL.ImageFile.LOAD_TRUNCATED_IMAGES", True)  # as the typesetter sets it
    assert redraw(content, "0" * 64) is None


def test_a_paper_counts_the_file_and_not_the_bytes_drawn() -> None:
    """Another version of the codec draws other bytes of the same file."""
    here, there = (digest_values({"one": Picture("ab" * 32, jpeg)}) for jpeg in (b"1", b"2"))
    assert here == there != digest_values({"one": Picture("cd" * 32, b"1")})
