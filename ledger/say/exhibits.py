"""What a packet says of a file that was handed in."""

from __future__ import annotations

_STEPS = (("MB", 1_000_000), ("KB", 1_000))


def letter_of(place: int) -> str:
    """A to Z, then AA, AB and so on; places begin at 0."""
    before, last = divmod(place, 26)
    return (letter_of(before - 1) if before else "") + chr(ord("A") + last)


def handed_in(by: str, when: str) -> str:
    return f"Handed in by {by}, {when}."


def size(many: int) -> str:
    """A file's size: "36 bytes", "2.1 MB"."""
    for unit, step in _STEPS:
        if many >= step:
            return f"{many / step:,.1f} {unit}"
    return "1 byte" if many == 1 else f"{many} bytes"


def state(
    *, is_withdrawn: bool, is_kept: bool, is_same: bool, is_copy: bool, is_shown: bool
) -> str:
    """Whether the file is here and shown, and where to look if not."""
    if is_withdrawn:
        return "Taken back: it does not count, so it is not shown."
    if not is_kept:
        return "The ledger keeps only its number. Ask the person who handed it in for the file."
    if not is_same:
        return "The file kept here is not the one that was handed in. It is not shown."
    copy = "A redacted copy, in place of the file that was handed in." if is_copy else ""
    if is_shown:
        return copy
    return f"{copy} Not printed here. Open it from the evidence bundle.".strip()
