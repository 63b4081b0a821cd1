"""Personal text and files handed in: changed, exchanged, taken away, brought back."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from hashlib import sha256
from itertools import combinations

from ledger.audit.rows import RawEvent
from ledger.chain.canonical import canonical
from ledger.chain.disclosure import make_disclosure, open_disclosure
from ledger.chain.hashing import leaf_hash
from tests.audit.attacks.attack import (
    AUDIT,
    NOBODY,
    Attack,
    Hand,
    in_memory,
    opened,
    whole_file,
)
from tests.audit.attacks.victim import EXHIBIT, SCAN, victim

Text = tuple[str, int, str, str]


def attacks() -> Iterator[Attack]:
    texts = _texts(whole_file())
    for chain, seq, name, _ in texts:
        at = f"{name} of {chain}:{seq}"
        for what, act in {
            "replaced by another text, salted and in form": partial(_rewrite, chain, seq, name),
            "taken away": partial(_remove, chain, seq, name),
            "moved to another event": partial(_move, chain, seq, name),
        }.items():
            yield Attack(f"a personal text {what}", f"{at} {what}", AUDIT, act)
        for rank, what in ((-1, "before"), (1000, "behind")):
            yield Attack("another text put beside a personal text", f"another {what} the {at}",
                         AUDIT, partial(_put_beside, rank, chain, seq, name),
                         is_loose=True)  # fmt: skip
        yield Attack(
            "a personal text taken away, and an erasure forged at the end of the chain",
            f"{at} erased by a forger", NOBODY, partial(_erase, chain, seq, name),
        )  # fmt: skip
    for one, other in combinations(texts, 2):
        names = f"{one[2]} of {one[0]}:{one[1]} and {other[2]} of {other[0]}:{other[1]}"
        act = partial(_exchange, one, other)
        yield Attack("two personal texts exchanged", f"{names} exchanged", AUDIT, act)
    erased = {text for copy in victim().copies for text in _texts(in_memory(copy))} - set(texts)
    for text in sorted(erased):
        yield Attack("an erased text brought back", f"{text[2]} of {text[0]}:{text[1]} is back",
                     AUDIT, partial(_add, text))  # fmt: skip
    yield from _exhibits()


def _exhibits() -> Iterator[Attack]:
    connection = opened(whole_file())
    rows = connection.execute("select sha256, name, content from exhibit order by name").fetchall()
    connection.close()
    for digest, name, content in rows:
        yield Attack("a file handed in exchanged for another", f"{name} exchanged", AUDIT,
                     partial(_refile, digest, b"another"))  # fmt: skip
        is_free = content == b"a photo"
        line = "a case's file" if is_free else "the scan of a signature, or a redacted copy,"
        yield Attack(f"{line} taken away", f"{name} taken away", NOBODY if is_free else AUDIT,
                     partial(_unfile, digest))  # fmt: skip
    yield Attack("a file added that no event names", "a file of nobody", AUDIT,
                 partial(_file, b"slander", "letter.txt"))  # fmt: skip
    yield Attack("a redacted file brought back", "sheet.txt is back", AUDIT,
                 partial(_file, EXHIBIT, "sheet.txt"))  # fmt: skip
    yield Attack("two files exchanged", "scan and photo exchanged", AUDIT, _exchange_files)


def _texts(file: bytes) -> list[Text]:
    connection = opened(file)
    query = "select chain, seq, field, text from disclosure order by chain, seq, field"
    found = connection.execute(query).fetchall()
    connection.close()
    return found


def _rewrite(chain: str, seq: int, name: str, hand: Hand) -> None:
    text = make_disclosure(name, "Somebody Else")
    hand.run("update disclosure set text = ? where chain = ? and seq = ? and field = ?",
             text, chain, seq, name)  # fmt: skip


def _put_beside(rank: int, chain: str, seq: int, name: str, hand: Hand) -> None:
    """Where the table has no key, a reader finds the row of the lower rowid first."""
    hand.run("insert into disclosure (rowid, chain, seq, field, text) values (?, ?, ?, ?, ?)",
             rank, chain, seq, name, make_disclosure(name, "Somebody Else"))  # fmt: skip


def _remove(chain: str, seq: int, name: str, hand: Hand) -> None:
    hand.run("delete from disclosure where chain = ? and seq = ? and field = ?", chain, seq, name)


def _move(chain: str, seq: int, name: str, hand: Hand) -> None:
    hand.run("update disclosure set seq = 27, chain = 'office' where chain = ? and seq = ? "
             "and field = ?", chain, seq, name)  # fmt: skip


def _erase(chain: str, seq: int, name: str, hand: Hand) -> None:
    hand.run("delete from disclosure where chain = ? and seq = ?", chain, seq)
    end = hand.rows("office")[-1]
    said = {"by": "rg", "chain": "office", "data": {"events": [f"{chain}:{seq}"]},
            "kind": "erasure", "prev": end.hash.hex(), "recorded": end.recorded,
            "salt": "A" * 22, "seq": end.seq + 1, "v": 1}  # fmt: skip
    body = canonical(said)
    ((place,),) = hand.run("select max(position) + 1 from event")
    hand.add(RawEvent(place, "office", end.seq + 1, end.hash, leaf_hash(body), body.decode(),
                      "erasure", end.recorded, end.clock, *[None] * 6))  # fmt: skip


def _exchange(one: Text, other: Text, hand: Hand) -> None:
    for place, text in ((one, other[3]), (other, one[3])):
        if open_disclosure(text).field != place[2]:
            text = make_disclosure(place[2], open_disclosure(text).value)
        hand.run("update disclosure set text = ? where chain = ? and seq = ? and field = ?",
                 text, *place[:3])  # fmt: skip


def _add(text: Text, hand: Hand) -> None:
    hand.run("insert into disclosure (chain, seq, field, text) values (?, ?, ?, ?)", *text)


def _refile(digest: str, content: bytes, hand: Hand) -> None:
    hand.run("update exhibit set content = ? where sha256 = ?", content, digest)


def _unfile(digest: str, hand: Hand) -> None:
    hand.run("delete from exhibit where sha256 = ?", digest)


def _file(content: bytes, name: str, hand: Hand) -> None:
    hand.run("insert into exhibit (sha256, name, content) values (?, ?, ?)",
             sha256(content).hexdigest(), name, content)  # fmt: skip


def _exchange_files(hand: Hand) -> None:
    hand.run("update exhibit set content = case content when ? then ? when ? then ? "
             "else content end", SCAN, b"a photo", b"a photo", SCAN)  # fmt: skip
