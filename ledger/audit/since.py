"""Step 7: the ledger against checkpoints that somebody kept outside it.

A ledger that was written anew from its first event, with keys of its own, is whole in itself: only
what others hold can tell. A kept checkpoint fixes every event up to its size.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from ledger.audit.checkpoints import Chain, StoredNote
from ledger.audit.kept import KeptNote
from ledger.audit.report import Problem
from ledger.chain.cosignature import check_cosignatures
from ledger.chain.note import COSIGNATURE, VerifierKey
from ledger.errors import IntegrityError


def check_kept(
    kept: KeptNote,
    chains: Mapping[str, Chain],
    official_keys: Sequence[VerifierKey],
    stored: Sequence[StoredNote],
) -> Iterator[Problem]:
    """Whether this ledger continues the one that gave out that checkpoint.

    `official_keys` are all that ever were in force here, `stored` the checkpoints that this ledger
    keeps: one of the same size must bear the same official's signature. A signature of a name
    that is not of this ledger's form is a stranger's and proves nothing, either way.
    """
    checkpoint, what = kept.checkpoint, f"the copy in {kept.file}"
    own = [chain for chain in chains.values() if chain.key and chain.key.name == checkpoint.origin]
    if not own:
        name = checkpoint.origin.rpartition("/")[2]
        how = f"{what} is of {checkpoint.origin}, which is no chain here"
        yield Problem(name, checkpoint.size, "unknown key", how)
        return
    chain = own[0]
    yield from chain.check_signature(kept.note, checkpoint.size, what)
    yield from chain.check_checkpoint(checkpoint, what)
    keys = [key for key in official_keys if key.kind == COSIGNATURE]
    try:
        check_cosignatures(kept.note, keys)
    except IntegrityError as error:
        how = f"{what}: {error.message}"
        yield Problem(chain.name, checkpoint.size, "bad signature", how)
    origins = [f"@{one.key.name}" for one in chains.values() if one.key]
    for line in kept.note.signatures:
        # A key for one game bears the game behind the origin.
        ours = any(line.name.partition("#")[0].endswith(origin) for origin in origins)
        key = next((key for key in keys if line.is_by(key)), None)
        if ours and key is None:
            how = f"{what} was cosigned by a key of {line.name} that this ledger does not know"
            yield Problem(chain.name, checkpoint.size, "unknown key", how)
        elif key and not _is_signed_here(chain, checkpoint.size, key, stored):
            how = f"{what} was cosigned by {line.name}; here it is said to be by another key"
            yield Problem(chain.name, checkpoint.size, "unknown key", how)


def _is_signed_here(
    chain: Chain, size: int, key: VerifierKey, stored: Sequence[StoredNote]
) -> bool:
    """Whether a checkpoint of that size kept here, if there is one, is signed by that key too."""
    here = [one.note for one in stored if (one.chain, one.size) == (chain.name, size)]
    return not here or any(line.is_by(key) for note in here for line in note.signatures)


def continued(kept: KeptNote) -> str:
    """What a copy with which the ledger agrees shows."""
    checkpoint = kept.checkpoint
    by = [line.name.rpartition("@")[0] for line in kept.note.signatures if "@" in line.name]
    signed = f", cosigned by {', '.join(by)}" if by else ""
    first = f"the first {checkpoint.size:,} events of {checkpoint.origin}{signed}"
    if not kept.is_paper:
        return f"{kept.file}: {first}"
    return (
        f"{kept.file}: the checkpoint in it is of {first}. This says nothing about what is "
        f"printed on it: weighbook check {kept.file} does"
    )


def covered_by(kept: Sequence[KeptNote], chains: Mapping[str, Chain]) -> dict[str, int]:
    """By chain, how many of its events these copies fix, with which the ledger agrees.

    A copy is of one chain; a countersignature in it tells how far the others had come.
    """
    covered = dict.fromkeys(chains, 0)
    for chain in chains.values():
        sizes = [
            one.checkpoint.size
            for one in kept
            if chain.key and one.checkpoint.origin == chain.key.name
        ]
        covered[chain.name] = max(sizes, default=0)
    # What one tells of another may hold a countersignature that tells of a third.
    for _ in chains:
        for chain in chains.values():
            for seq, told in chain.tells:
                for name, size in told.items() if seq <= covered[chain.name] else ():
                    covered[name] = max(covered[name], size)
    return covered
