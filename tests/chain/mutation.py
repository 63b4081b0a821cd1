"""Small damage to bytes and proofs, for tests that refuse anything damaged."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import strategies as st


@st.composite
def damaged_bytes(draw: st.DrawFn, data: bytes) -> bytes:
    """`data` with one place changed, cut, repeated or written into; never equal to `data`."""
    start = draw(st.integers(0, len(data)))
    end = draw(st.integers(start, min(len(data), start + 40)))
    new = draw(st.one_of(st.just(b""), st.just(data[start:end] * 2), st.binary(max_size=8)))
    result = data[:start] + new + data[end:]
    return result if result != data else data + b"\n"


def damaged_text(text: str) -> st.SearchStrategy[str]:
    """The same for text; bytes that are no longer UTF-8 become U+FFFD."""
    return damaged_bytes(text.encode()).map(lambda data: data.decode(errors="replace"))


def damaged_proofs(proof: Sequence[bytes], other: bytes) -> list[tuple[str, list[bytes]]]:
    """Every way to damage a proof a little, with its name; `other` is a hash not in it."""
    found: list[tuple[str, list[bytes]]] = [
        ("other hash before", [other, *proof]),
        ("other hash after", [*proof, other]),
        ("empty hash after", [*proof, b""]),
    ]
    for n, each in enumerate(proof):
        before, after = list(proof[:n]), list(proof[n + 1 :])
        flipped = bytes([each[0] ^ 1]) + each[1:]
        found += [
            (f"bit of {n} flipped", [*before, flipped, *after]),
            (f"{n} left out", before + after),
            (f"{n} twice", [*before, each, each, *after]),
            (f"{n} cut short", [*before, each[:-1], *after]),
            (f"{n} too long", [*before, each + b"\0", *after]),
        ]
        if after:
            found.append((f"{n} swapped", [*before, after[0], each, *after[1:]]))
            found.append((f"{n} joined to the next", [*before, each + after[0], *after[1:]]))
    return found
