"""Checkpoints and keys: dropped, repeated, exchanged, made up; signature lines likewise."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from ledger.chain.checkpoint import Checkpoint, parse_checkpoint, sign_checkpoint
from ledger.chain.cosignature import cosign_note
from ledger.chain.keys import KeyPair, make_key
from ledger.chain.merkle import root
from ledger.chain.note import Note, add_signature, format_note, parse_note
from tests.audit.attacks.attack import AUDIT, NOBODY, Attack, Hand, opened, whole_file
from tests.audit.attacks.rebuilds import BOTH
from tests.audit.attacks.victim import victim

NOW = 1_788_000_000


def attacks() -> Iterator[Attack]:
    stored = _stored()
    places = [position for position, _ in stored]
    for position, text in stored:
        at, note = f"checkpoint {position}", parse_note(text.encode())
        for what, act in {
            "deleted": partial(_delete, position, closes=False),
            "deleted, and the rest renumbered": partial(_delete, position, closes=True),
            "repeated": partial(_repeat, position),
            "without the official's signature": partial(_put, position, _without(note, 1)),
            "without the chain's signature": partial(_put, position, _without(note, 0)),
            "with its signatures exchanged": partial(_put, position, _turned(note)),
            "with a stranger's signature added": partial(_put, position, _with_stranger(note)),
            "with a space added": partial(_set, position, text + " "),
            "of the ledger's end, signed by the chain": partial(_put_end, position),
        }.items():
            yield Attack(f"a stored checkpoint {what}", f"{at} {what}", AUDIT, act)
        signed_by = note.signatures[1].name.partition("@")[0]
        for name in BOTH:
            if not name.startswith(signed_by):
                line = "a stored checkpoint cosigned with the other team's key instead"
                act = partial(_cosign_by, position, name)
                yield Attack(line, f"{at} cosigned by {name}", AUDIT, act)
        for other in places:
            if other != position:
                line = "a checkpoint's note replaced by another's"
                yield Attack(line, f"{at} has the note of {other}", AUDIT,
                             partial(_copy_note, other, position))  # fmt: skip
    yield Attack("every checkpoint deleted", "no checkpoints", AUDIT, _delete_all)
    for size in range(1, 54):
        line = "a checkpoint added that no countersignature made, signed by the chain"
        act = partial(_put_in, size)
        yield Attack(line, f"a checkpoint of {size} events", AUDIT, act)
    yield from _keys()


def _keys() -> Iterator[Attack]:
    connection = opened(whole_file())
    names = [name for (name,) in connection.execute("select name from key order by name")]
    connection.close()
    for name in names:
        is_chain = "@" not in name
        line = f"the private key of {'a chain' if is_chain else 'an official'}"
        yield Attack(f"{line} taken out of the file", f"no key {name}", NOBODY,
                     partial(_drop_key, name))  # fmt: skip
        yield Attack(f"{line} exchanged for another", f"another key {name}",
                     AUDIT if is_chain else NOBODY, partial(_swap_key, name))  # fmt: skip
    yield Attack("a private key added under an unknown name", "key of nobody", AUDIT, _add_key)


def _stored() -> list[tuple[int, str]]:
    connection = opened(whole_file())
    query = "select position, note from checkpoint order by position"
    found = connection.execute(query).fetchall()
    connection.close()
    return found


def _delete(position: int, hand: Hand, *, closes: bool) -> None:
    hand.run("delete from checkpoint where position = ?", position)
    if closes:
        hand.close_ranks()


def _repeat(position: int, hand: Hand) -> None:
    hand.run("insert into checkpoint (chain, size, note) select chain, size, note from checkpoint "
             "where position = ?", position)  # fmt: skip


def _set(position: int, text: str, hand: Hand) -> None:
    hand.run("update checkpoint set note = ? where position = ?", text, position)


def _put(position: int, note: Note, hand: Hand) -> None:
    _set(position, format_note(note).decode(), hand)


def _without(note: Note, line: int) -> Note:
    return replace(note, signatures=tuple(s for n, s in enumerate(note.signatures) if n != line))


def _turned(note: Note) -> Note:
    return replace(note, signatures=note.signatures[::-1])


def _with_stranger(note: Note) -> Note:
    return add_signature(note, cosign_note(note, "stranger", make_key().private, time=NOW))


def _put_end(position: int, hand: Hand) -> None:
    """The chain's head, signed with its own key: anyone with the file can do that."""
    ((chain,),) = hand.run("select chain from checkpoint where position = ?", position)
    size = len(hand.rows(chain))
    note = format_note(_signed(hand, chain, size)).decode()
    hand.run("update checkpoint set note = ?, size = ? where position = ?", note, size, position)


def _cosign_by(position: int, name: str, hand: Hand) -> None:
    ((text,),) = hand.run("select note from checkpoint where position = ?", position)
    note = parse_note(text.encode())
    own = note.signatures[0]
    bears = note.signatures[1].name.partition("@")[2]
    line = cosign_note(note, f"{name.partition('/')[0]}@{bears}", victim().keys[name].private,
                       time=NOW)  # fmt: skip
    _put(position, replace(note, signatures=(own, line)), hand)


def _copy_note(source: int, position: int, hand: Hand) -> None:
    hand.run("update checkpoint set note = (select note from checkpoint where position = ?) "
             "where position = ?", source, position)  # fmt: skip


def _delete_all(hand: Hand) -> None:
    hand.run("delete from checkpoint")


def _put_in(size: int, hand: Hand) -> None:
    """The place in the order is the right one; of a countersigned size it is the second."""
    note = format_note(_signed(hand, "office", size)).decode()
    behind = "(chain = 'office' and size > ?)"
    hand.run(f"update checkpoint set position = -position where {behind}", size)
    place = hand.run("select coalesce(max(position), 0) + 1 from checkpoint where position > 0")
    hand.run("insert into checkpoint (position, chain, size, note) values (?, 'office', ?, ?)",
             place[0][0] + 100, size, note)  # fmt: skip
    moved = hand.run("select position from checkpoint where position < 0 order by -position")
    for number, (position,) in enumerate(moved, 201):
        hand.run("update checkpoint set position = ? where position = ?", number, position)
    hand.close_ranks()


def _signed(hand: Hand, chain: str, size: int) -> Note:
    hashes = [row.hash for row in hand.rows(chain)]
    ((text,),) = hand.run("select note from checkpoint where chain = ? limit 1", chain)
    origin = parse_checkpoint(parse_note(text.encode()).text).origin
    private = victim().keys[chain].private
    return sign_checkpoint(Checkpoint(origin, size, root(hashes[:size])), private)


def _drop_key(name: str, hand: Hand) -> None:
    hand.run("delete from key where name = ?", name)


def _swap_key(name: str, hand: Hand) -> None:
    pair: KeyPair = make_key()
    hand.run("update key set sealed = ? where name = ?", pair.private, name)


def _add_key(hand: Hand) -> None:
    hand.run("insert into key (name, sealed) values ('nobody@nowhere', x'00')")
