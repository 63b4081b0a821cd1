"""A stranger's picture, drawn anew for a paper.

The file is decoded and encoded again, so nothing else in it reaches the paper: no place where it
was taken, no thumbnail, no color profile, no second image. Only PNG and JPEG are decoded, and only
if that costs little, since a small file can claim to be a huge picture.
"""

from __future__ import annotations

import base64
import io
import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from PIL.Image import Image

PICTURE = "data:image/jpeg;base64,"
MOST_BYTES = 16 * 1024 * 1024
MOST_PIXELS = 40_000_000
MOST_SCANS = 100
"""Of a JPEG. Each is one more pass over all its pixels; cameras write fewer than 20."""
SIDE = 1600
"""Pixels of the longer side: about 200 per inch on a page."""
_QUALITY = 80
_START, _SCAN = b"\xff\xd8", b"\xff\xda"
_BROKEN = (
    OSError, SyntaxError, ValueError, TypeError, KeyError, IndexError, AttributeError,
    ArithmeticError, EOFError, MemoryError, AssertionError, NotImplementedError,
    struct.error, zlib.error,
)  # fmt: skip
"""What decoders raise for a file that was broken on purpose."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A JPEG for a paper, and the SHA-256 (hex) of the file that it shows.

    paper.json counts only the digest: another version of the codec writes other bytes.
    """

    sha256: str
    jpeg: bytes = field(repr=False, metadata={"is_counted": False})


def redraw(content: bytes, sha256: str) -> Picture | None:
    """The picture in a PNG or JPEG file; None if there is none, or none that costs little."""
    if len(content) > MOST_BYTES:
        return None
    if content.startswith(_START) and content.count(_SCAN) > MOST_SCANS:
        return None
    from PIL import Image, ImageFile, ImageOps

    drawn = io.BytesIO()
    try:
        with warnings.catch_warnings(), _whole_only(ImageFile):
            # It warns about large pictures and broken tags; the limits here are ours.
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(content), formats=("PNG", "JPEG")) as opened:
                if opened.width * opened.height > MOST_PIXELS:
                    return None
                opened.draft("RGB", (SIDE, SIDE))
                upright = ImageOps.exif_transpose(opened)
                _on_white(upright).save(drawn, "JPEG", quality=_QUALITY)
    except (*_BROKEN, Image.DecompressionBombError):
        return None
    return Picture(sha256, drawn.getvalue())


@contextmanager
def _whole_only(decoder: Any) -> Iterator[None]:
    """Refuse a file that is cut off: the typesetter lets the codec fill up what is missing."""
    before = decoder.LOAD_TRUNCATED_IMAGES
    decoder.LOAD_TRUNCATED_IMAGES = False
    try:
        yield
    finally:
        decoder.LOAD_TRUNCATED_IMAGES = before


def picture_address(picture: Picture) -> str:
    """The address by which a template shows it."""
    return PICTURE + base64.b64encode(picture.jpeg).decode()


def _on_white(picture: Image) -> Image:
    """The picture in a size for paper; what is clear in it becomes white."""
    from PIL import Image

    if picture.mode.startswith("I"):  # 16 bits a pixel, which a plain conversion would cut off
        picture = picture.convert("I").point(lambda level: level * (1 / 256)).convert("L")
    seen = picture.convert("RGBA")
    seen.thumbnail((SIDE, SIDE))
    white = Image.new("RGB", seen.size, "white")
    white.paste(seen, mask=seen.getchannel("A"))
    return white
