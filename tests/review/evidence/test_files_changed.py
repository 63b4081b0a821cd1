"""A bundle made anew by whoever holds the device: each file changed in turn, and signed again.

The chain's own key signs the manifests, so it is what the files say that has to be looked at.
BOTH checkers find it; OURS (weighbook evidence check) alone, where the program has to write a text
or read a packet again; NOBODY, with the reason.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pikepdf
import pytest

from ledger.errors import InputError
from ledger.papers.press.heads import Heads
from ledger.papers.press.render import typeset_sheet
from ledger.papers.sheets.books import book_sheet
from ledger.papers.sheets.packets import PROOF, STATEMENTS
from ledger.review.evidence import packet_file
from ledger.review.evidence.archive import read_bundle
from ledger.review.evidence.check import check_bundle
from ledger.review.evidence.check_texts import agent
from ledger.review.evidence.pack import pack_case
from ledger.say.bundles import bundle_texts
from ledger.store.sqlite.store import SqliteStore
from tests.review.evidence.checkers import alone_verdict, own_verdict, signed_anew, write_zip
from tests.review.evidence.conftest import Bundle
from tests.signed_season import CASE

Change = Callable[[bytes], bytes]
pytestmark = pytest.mark.usefixtures("papers_set_once")
STATED = "data/answers/statements.csv"
BOTH, OURS, NOBODY = "both", "ours", "nobody"


def instead(old: str, new: str) -> Change:
    def change(content: bytes) -> bytes:
        assert old.encode() in content
        return content.replace(old.encode(), new.encode(), 1)

    return change


def of_packet(change: Callable[[pikepdf.Pdf], object]) -> Change:
    """The packet with something changed by another program."""

    def made(content: bytes) -> bytes:
        out = io.BytesIO()
        with pikepdf.open(io.BytesIO(content)) as pdf:
            change(pdf)
            pdf.save(out)
        return out.getvalue()

    return made


def attached(name: str, change: Change) -> Change:
    def made(pdf: pikepdf.Pdf) -> None:
        content = change(pdf.attachments[name].get_file().read_bytes())
        pdf.attachments[name] = pikepdf.AttachedFileSpec(pdf, content, filename=name)

    return of_packet(made)


def retitled(pdf: pikepdf.Pdf) -> None:
    pdf.docinfo["/Title"] = "Protest packet, case wrong-mark"


def blank(pdf: pikepdf.Pdf) -> None:
    """The first page with nothing on it."""
    pdf.pages[0].Contents = pdf.make_stream(b"")


CHANGES: dict[str, tuple[str, Change, str]] = {
    "a weigh": ("data/events.json", instead('value\\":\\"ok', 'value\\":\\"over'), BOTH),
    "a key": ("data/keys.txt", instead("marmots", "wombats"), BOTH),
    "the checkpoint": ("data/checkpoint.txt", instead("\n7", "\n8"), BOTH),
    "a checkpoint": ("data/checkpoints/", instead("\n7", "\n8"), BOTH),
    "an exhibit": ("data/exhibits/", instead("four", "nine"), BOTH),
    "a kind in the statements": (STATED, instead(",weigh,", ",late_weigh,"), BOTH),
    "a value in the statements": (STATED, instead("value=ok", "value=over"), BOTH),
    "a time in the statements": (STATED, instead(",2026-09", ",2026-08"), BOTH),
    "a name in the statements": (STATED, instead("Zofia", "Sonia"), BOTH),
    "a row fewer in the statements": (
        STATED, lambda c: c[: c.rstrip().rindex(b"\n") + 1], BOTH),
    "a column more in the statements": (
        STATED, lambda c: c.replace(b"\n", b",x\n"), BOTH),
    "no statements": (STATED, lambda c: b"", BOTH),
    "the case": ("bag-info.txt", instead("late-plays", "slow-answer"), BOTH),
    "a packet that is text": ("data/packet.pdf", lambda c: b"a packet", BOTH),
    "a packet that cannot be read": ("data/packet.pdf", lambda c: b"%PDF-1.7 a packet\n", OURS),
    "a packet of another case": ("data/packet.pdf", of_packet(retitled), OURS),
    "a packet without statements": (
        "data/packet.pdf", of_packet(lambda pdf: pdf.attachments.__delitem__(STATEMENTS)), OURS),
    "a statement in the packet": (
        "data/packet.pdf", attached(STATEMENTS, instead('"upheld"', '"denied"')), OURS),
    "the packet's proof": ("data/packet.pdf", attached(PROOF, lambda c: c[:-1] + b"x"), OURS),
    "the readme": ("data/README.txt", instead("disqualifies nobody", "disqualifies"), OURS),
    "the certification": ("data/certification.txt", instead("nobody", "somebody"), OURS),
    "the dictionary": ("data/answers/dictionary.txt", instead("over", "ok"), OURS),
    "the checker": ("data/check_bundle.py", instead("return 1 if", "return 0 if"), OURS),
    "the league": ("bag-info.txt", instead("Invented", "Imagined"), OURS),
    # certification.txt holds the digest of each table, so the keeper has to change that too.
    "an answer": ("data/answers/eligibility.csv", instead("full", "none"), OURS),
    # The digest in certification.txt again. Beside the ledger, weighbook check packet.pdf finds it.
    "a page of the packet": ("data/packet.pdf", of_packet(blank), OURS),
    # Which day it was made, the keeper alone says. It proves nothing.
    "the day it was made": ("bag-info.txt", instead("Bagging-Date: 2", "Bagging-Date: 1"), NOBODY),
}  # fmt: skip


@pytest.mark.parametrize("name", CHANGES)
def test_who_finds_it(
    ledger: SqliteStore,
    bundle: Bundle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    name: str,
) -> None:
    start, change, finder = CHANGES[name]
    path = next(path for path in sorted(bundle.files) if path.startswith(start))
    files = bundle.files | {path: change(bundle.files[path])}
    made = write_zip(tmp_path, signed_anew(ledger, files))
    found, status = own_verdict(made), alone_verdict(made, monkeypatch)
    assert (bool(found), status) == (finder in (BOTH, OURS), int(finder == BOTH)), found


@pytest.mark.parametrize("name", ["an answer", "a page of the packet"])
def test_what_the_keeper_certifies_anew_nobody_finds(
    ledger: SqliteStore,
    bundle: Bundle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    name: str,
) -> None:
    """Answers are derived by the program, and pages are printed by it: README.txt says that the
    ledger's key alone stands for these. The statements that an answer names prove it, or do not.
    """
    start, change, _ = CHANGES[name]
    path = next(path for path in bundle.files if path.startswith(start))
    files = bundle.files | {path: change(bundle.files[path])}
    old, new = (
        sha256(content).hexdigest().encode() for content in (bundle.files[path], files[path])
    )
    files["data/certification.txt"] = files["data/certification.txt"].replace(old, new)
    made = write_zip(tmp_path, signed_anew(ledger, files))
    assert (own_verdict(made), alone_verdict(made, monkeypatch)) == ([], 0)
    assert b"work it out again from the statements" in b" ".join(files["data/README.txt"].split())


def test_texts_in_other_words_are_not_compared(ledger: SqliteStore, bundle: Bundle) -> None:
    """The same version may have had other words: what counts is the digest of the words."""
    info = bundle.files["bag-info.txt"].replace(agent().encode(), b"weighbook 0.1.0")
    readme = bundle.files["data/README.txt"] + b"\n"
    files = bundle.files | {"bag-info.txt": info, "data/README.txt": readme}
    checked = check_bundle(signed_anew(ledger, files), bundle_texts)
    assert checked.ok, checked.checked.differences
    assert checked.not_compared == (
        "Texts not compared: another version of the program wrote them (weighbook 0.1.0)."
    )


def test_a_bundle_packed_by_an_older_program_still_holds(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """bundle_0_1.zip was packed before bag-info.txt named the words; many have changed since."""
    path = Path(__file__).with_name("bundle_0_1.zip")
    checked = check_bundle(read_bundle(path), bundle_texts)
    assert checked.ok, checked.checked.differences
    assert "(weighbook 0.1.0)" in checked.not_compared
    assert (checked.case, len(checked.checked.texts)) == ("c1", 2)
    assert alone_verdict(path, monkeypatch) == 0
    files = read_bundle(path)
    files["data/events.json"] = files["data/events.json"].replace(b"g1", b"g2", 1)
    assert own_verdict(write_zip(tmp_path, files))


def test_every_file_is_tried(bundle: Bundle) -> None:
    """But for manifests and signature, which are made anew, and the other tables."""
    tried = {start for start, *_ in CHANGES.values()}
    for path in bundle.files:
        is_made = "manifest" in path or path in ("bagit.txt", "signature.txt")
        is_table = path.startswith("data/answers/")
        assert is_made or is_table or any(path.startswith(start) for start in tried), path


def test_the_names_of_attached_files_are_those_of_packets() -> None:
    assert (packet_file.PROOF, packet_file.STATEMENTS) == (PROOF, STATEMENTS)


def test_another_paper_of_ours_is_no_packet(ledger: SqliteStore, bundle: Bundle) -> None:
    book = typeset_sheet(book_sheet(Heads(ledger), "marmots"))
    checked = check_bundle(
        signed_anew(ledger, bundle.files | {"data/packet.pdf": book}), bundle_texts
    )
    assert "not the packet of case late-plays, but: " in " ".join(checked.checked.differences)


@pytest.mark.parametrize("name", [name for name in CHANGES if "packet" in name])
def test_no_bundle_is_packed_around_a_packet_that_was_changed(
    ledger: SqliteStore, bundle: Bundle, name: str
) -> None:
    _, change, _ = CHANGES[name]
    packet = change(bundle.files["data/packet.pdf"])
    if name == "a page of the packet":  # what it carries is as it was
        assert pack_case(ledger, CASE, bundle_texts, packet=packet).data
        return
    with pytest.raises(InputError, match=r"^packet\.pdf: ") as refused:
        pack_case(ledger, CASE, bundle_texts, packet=packet)
    assert refused.value.hint == "Leave out --packet to have the packet made now."


@pytest.mark.parametrize("is_added", [True, False])
def test_an_exhibit_is_the_file_that_was_handed_in(
    ledger: SqliteStore, bundle: Bundle, tmp_path: Path, is_added: bool
) -> None:
    """By its digest, which must be both the file's and a statement's."""
    content = b"a file that nobody handed in"
    place = f"data/exhibits/{sha256(content).hexdigest()}"
    if not is_added:
        place = next(path for path in sorted(bundle.files) if path.startswith("data/exhibits/"))
    made = write_zip(tmp_path, signed_anew(ledger, bundle.files | {place: content}))
    assert f"{place}: not the file that was handed in" in own_verdict(made)
