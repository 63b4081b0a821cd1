"""Small pictures as people hand them in."""

from __future__ import annotations

import io

from PIL import Image

PLACE = b"taken at the invented meadow"
_ORIENTATION, _DESCRIPTION = 0x0112, 0x010E
"""Tags of Exif."""


def file(picture: Image.Image, form: str, **more: object) -> bytes:
    out = io.BytesIO()
    picture.save(out, form, **more)
    return out.getvalue()


def turned() -> bytes:
    """A JPEG 40 wide and 20 high, to be shown upright; with a text beside the picture."""
    notes = Image.Exif()
    notes[_ORIENTATION] = 6
    notes[_DESCRIPTION] = PLACE.decode()
    return file(Image.new("RGB", (40, 20), "white"), "JPEG", exif=notes)


def noise() -> bytes:
    return file(Image.effect_noise((40, 30), 50), "PNG")
