"""The checker that goes along with a bundle: alone, old Pythons, and its own cryptography."""

from __future__ import annotations

import ast
import json
import subprocess
import sys
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.chain.keys import make_key, sign
from ledger.chain.merkle import prove_consistency, prove_inclusions, root
from ledger.review.evidence import check_bundle as alone
from tests.review.evidence.checkers import FOLDER
from tests.review.evidence.conftest import Bundle

SOURCE = Path(alone.__file__)
VECTORS = Path(__file__).parents[2] / "vectors"
SIGNATURES = json.loads((VECTORS / "ed25519.json").read_text(encoding="utf-8"))["cases"]


def test_it_is_short_and_old_pythons_read_it() -> None:
    text = SOURCE.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 400
    ast.parse(text, feature_version=(3, 9))


def test_it_needs_the_standard_library_only() -> None:
    tree = ast.parse(SOURCE.read_text(encoding="utf-8"))
    named = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import)
             for alias in node.names}  # fmt: skip
    named |= {str(node.module) for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert {name.partition(".")[0] for name in named} <= sys.stdlib_module_names
    assert not [name for name in named if name.startswith(("ledger", "urllib", "socket", "http"))]


@pytest.fixture(scope="module")
def unpacked(bundle: Bundle, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("unpacked") / FOLDER
    for name, content in bundle.files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    (folder.parent / "bundle.zip").write_bytes(bundle.packed.data)
    return folder


def run(*words: str | Path) -> subprocess.CompletedProcess[str]:
    """In a process of its own, that knows neither this project nor any package (-I -S)."""
    command = [sys.executable, "-I", "-S", *map(str, words)]
    return subprocess.run(command, capture_output=True, text=True, encoding="utf-8", check=False)


def test_it_runs_alone_from_the_folder_and_on_the_zip(unpacked: Path) -> None:
    script = unpacked / "data/check_bundle.py"
    for words in ((script,), (script, unpacked.parent / "bundle.zip"), (script, unpacked)):
        told = run(*words)
        assert told.returncode == 0, told.stdout + told.stderr
        assert told.stdout.endswith("Everything in it fits together.\n")
        assert told.stderr == ""
    assert "Proved: " in told.stdout
    assert "marmots-wm3" in told.stdout
    assert "Not proved" in told.stdout
    assert not list(unpacked.rglob("__pycache__"))


def test_it_says_what_is_wrong(bundle: Bundle, tmp_path: Path) -> None:
    data = bundle.packed.data.replace(b'\\"upheld\\"', b'\\"denied\\"')
    (tmp_path / "x.zip").write_bytes(data)
    told = run(SOURCE, tmp_path / "x.zip")
    assert told.returncode == 1
    assert "FAULT" in told.stdout
    assert "Do not rely on this bundle." in told.stdout


def test_nothing_to_read_is_one_fault(tmp_path: Path) -> None:
    (tmp_path / "letter.zip").write_text("no zip")
    (tmp_path / "empty").mkdir()
    for name, fault in (
        ("letter.zip", "read_zip: not the zip of a bundle, or changed"),
        ("empty", f"read_folder: empty folder: {tmp_path / 'empty'}"),
        ("none.zip", f"read_zip: [Errno 2] No such file or directory: '{tmp_path / 'none.zip'}'"),
    ):
        ran = run(SOURCE, tmp_path / name)
        assert (ran.returncode, ran.stderr) == (1, "")
        assert ran.stdout == f"FAULT in {fault}\nDo not rely on this bundle.\n"


@pytest.mark.parametrize("case", SIGNATURES, ids=[case["name"] for case in SIGNATURES])
def test_ed25519_by_the_rfc(case: dict[str, str]) -> None:
    """RFC 8032 section 7.1, as tests/vectors/ed25519.json has it."""
    public, message, signature = (
        bytes.fromhex(case[k]) for k in ("public", "message", "signature")
    )
    assert alone.is_signed(public, message, signature)
    assert not alone.is_signed(public, message + b"x", signature)
    for at in (0, 31, 32, 63):
        other = signature[:at] + bytes([signature[at] ^ 1]) + signature[at + 1 :]
        assert not alone.is_signed(public, message, other)


def test_a_signature_has_one_form() -> None:
    """RFC 8032 section 5.1.7: S is below the order, else each signature would have a twin."""
    pair = make_key()
    signature = sign(pair.private, b"text")
    s = int.from_bytes(signature[32:], "little") + alone.ORDER
    twin = signature[:32] + s.to_bytes(32, "little")
    assert alone.is_signed(pair.public, b"text", signature)
    assert not alone.is_signed(pair.public, b"text", twin)


@settings(max_examples=25, deadline=None)
@given(seed=st.binary(min_size=32, max_size=32), message=st.binary(max_size=64))
def test_ed25519_agrees_with_the_ledgers_own(seed: bytes, message: bytes) -> None:
    from ledger.chain.keys import public_key

    assert alone.is_signed(public_key(seed), message, sign(seed, message))


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_paths_agree_with_the_ledgers_own(data: st.DataObject) -> None:
    leaves = [alone.leaf_hash(str(n)) for n in range(data.draw(st.integers(1, 40)))]
    at = data.draw(st.integers(0, len(leaves) - 1))
    path = list(prove_inclusions(leaves, [at])[at])
    assert alone.climb(at, len(leaves) - 1, leaves[at], path)[1] == root(leaves)
    if at:
        old = {"size": at, "root": root(leaves[:at])}
        new = {"size": len(leaves), "root": root(leaves)}
        alone.check_continued(old, new, list(prove_consistency(leaves, at, len(leaves))))
        with pytest.raises(alone.Fault):
            alone.check_continued(old | {"root": bytes(32)}, new, path)


def signed_with_a_line_struck_off() -> dict[str, Any]:
    """The events of a list, its one line, and the strike-off right before the signature."""
    about = {"chain": "office", "game": "g1", "team": "ash", "player": "a1", "by": "we"}
    listed = about | {"seq": 1, "kind": "list", "at": "14:01", "data": {"reason": "over"}}
    struck = about | {"seq": 2, "kind": "strike_off", "at": "14:02", "data": {}}
    line = {"event": "office:1", "player": "a1", "number": 1, "reason": "over", "at": "14:01",
            "by": "we", "struck": {"event": "office:2", "at": "14:02", "by": "we"}}  # fmt: skip
    shown = {"game": "g1", "team": "ash", "rows": [], "lines": [line]}
    number = sha256(alone.write_json(shown).encode()).hexdigest()
    data = {"form": 2, "how": "ink", "list": number, "shown": shown}
    signed = about | {"seq": 3, "kind": "countersign", "at": "14:03", "data": data}
    return {f"office:{one['seq']}": one for one in (listed, struck, signed)}


def test_a_line_struck_off_agrees_with_both_its_events() -> None:
    events = signed_with_a_line_struck_off()
    assert alone.read_list(events["office:3"], events) == {"office:1", "office:2"}
    alone.check_lists(None, (None, None, events, []))
    others = {"kind": "half", "game": "g2", "team": "elm", "player": "a2", "at": "0", "by": "wa"}
    for name in ("office:1", "office:2"):
        for key, other in others.items():
            lie = events | {name: events[name] | {key: other}}
            with pytest.raises(alone.Fault, match=f"misquotes {name}"):
                alone.read_list(events["office:3"], lie)


def test_a_signature_to_a_list_says_how_it_was_made() -> None:
    events = signed_with_a_line_struck_off()
    del events["office:3"]["data"]["how"]
    with pytest.raises(KeyError, match="how"):
        alone.check_lists(None, (None, None, events, []))
