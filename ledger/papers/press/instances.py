"""One weight of a variable font, as a font of its own.

Given a variable font, the typesetter does this with fontTools for every paper, which takes as long
as the layout. HarfBuzz, which it uses for letters, does the whole font in a hundredth of a second.
Where HarfBuzz is too old for that (before 6.0), fontTools does it once a process.
"""

from __future__ import annotations

import ctypes
import io
from collections.abc import Callable
from ctypes import CDLL, c_char_p, c_float, c_int, c_uint, c_uint32, c_void_p
from functools import cache, lru_cache
from typing import Any

from fontTools.ttLib import TTFont  # type: ignore[import-untyped]
from fontTools.varLib.instancer import instantiateVariableFont  # type: ignore[import-untyped]

from ledger.papers.press.letters import font_folder
from ledger.papers.press.versions import HARFBUZZ, HARFBUZZ_SUBSET, open_library

Functions = dict[str, Callable[..., Any]]
_AXIS = int.from_bytes(b"wght", "big")
_KEEP_NUMBERS_AND_NOTDEF = 0x2 | 0x40  # hb-subset.h: RETAIN_GIDS, NOTDEF_OUTLINE
_FEATURES = 6  # hb-subset.h: HB_SUBSET_SETS_LAYOUT_FEATURE_TAG
_RESULTS = {
    "hb_blob_create": (c_void_p, c_char_p, c_uint, c_int, c_void_p, c_void_p),
    "hb_blob_destroy": (None, c_void_p),
    "hb_blob_get_data": (c_void_p, c_void_p, c_void_p),
    "hb_face_create": (c_void_p, c_void_p, c_uint),
    "hb_face_destroy": (None, c_void_p),
    "hb_face_reference_blob": (c_void_p, c_void_p),
    "hb_set_clear": (None, c_void_p),
    "hb_set_invert": (None, c_void_p),
    "hb_subset_input_create_or_fail": (c_void_p,),
    "hb_subset_input_destroy": (None, c_void_p),
    "hb_subset_input_glyph_set": (c_void_p, c_void_p),
    "hb_subset_input_pin_axis_location": (c_int, c_void_p, c_void_p, c_uint32, c_float),
    "hb_subset_input_set": (c_void_p, c_void_p, c_uint),
    "hb_subset_input_set_flags": (None, c_void_p, c_uint),
    "hb_subset_input_unicode_set": (c_void_p, c_void_p),
    "hb_subset_or_fail": (c_void_p, c_void_p, c_void_p),
}
"""What each function returns, and takes."""


@lru_cache(maxsize=8)
def font_of_weight(name: str, weight: int) -> bytes:
    """The font file `name` with the weight 400 (regular), 700 (bold) or one between."""
    font = (font_folder() / name).read_bytes()
    functions = harfbuzz()
    return (functions and by_harfbuzz(functions, font, weight)) or by_font_tools(font, weight)


def by_font_tools(font: bytes, weight: int) -> bytes:
    out = io.BytesIO()
    with TTFont(io.BytesIO(font), recalcTimestamp=False) as variable:
        instantiateVariableFont(variable, {"wght": weight}, static=True).save(out)
    return out.getvalue()


def by_harfbuzz(hb: Functions, font: bytes, weight: int) -> bytes | None:
    """None if HarfBuzz cannot."""
    blob = hb["hb_blob_create"](font, len(font), 0, None, None)  # 0: it copies the bytes
    face = hb["hb_face_create"](blob, 0)
    wanted = hb["hb_subset_input_create_or_fail"]()
    made = None
    try:
        hb["hb_subset_input_set_flags"](wanted, _KEEP_NUMBERS_AND_NOTDEF)
        for everything in (
            hb["hb_subset_input_unicode_set"](wanted),
            hb["hb_subset_input_glyph_set"](wanted),
            hb["hb_subset_input_set"](wanted, _FEATURES),
        ):
            hb["hb_set_clear"](everything)
            hb["hb_set_invert"](everything)
        if hb["hb_subset_input_pin_axis_location"](wanted, face, _AXIS, weight):
            made = hb["hb_subset_or_fail"](face, wanted)
        return _content(hb, made) if made else None
    finally:
        if made:
            hb["hb_face_destroy"](made)
        hb["hb_subset_input_destroy"](wanted)
        hb["hb_face_destroy"](face)
        hb["hb_blob_destroy"](blob)


def _content(hb: Functions, face: int) -> bytes:
    blob, length = hb["hb_face_reference_blob"](face), c_uint()
    content = ctypes.string_at(hb["hb_blob_get_data"](blob, ctypes.byref(length)), length.value)
    hb["hb_blob_destroy"](blob)
    return content


@cache
def harfbuzz() -> Functions | None:
    """HarfBuzz's functions; None if one is missing."""
    libraries = [open_library(HARFBUZZ), open_library(HARFBUZZ_SUBSET)]
    found = {}
    for name, (result, *takes) in _RESULTS.items():
        library = libraries[name.startswith("hb_subset_")]
        function = getattr(library, name, None) if isinstance(library, CDLL) else None
        if function is None:
            return None
        function.restype, function.argtypes = result, takes
        found[name] = function
    return found
