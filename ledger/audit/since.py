"""Step 7: the ledger against checkpoints that someone kept outside it.

Someone can rewrite a ledger from its first event, with new keys, and nothing in it contradicts
itself. Only copies that others kept show it. A kept checkpoint fixes every event up to its size.
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
    """Check that this ledger continues the one that gave out the checkpoint.

    `official_keys` are all that were ever in force here. `stored` are this ledger's checkpoints:
    one of the same size must have the same official's signature. A signature whose name does not
    have this ledger's form is a stranger's and proves nothing.
    """
    checkpoint, what = kept.checkpoint, f"the copy in {kept.file}"
    own = [chain for chain in chains.values() if chain.key and chain.key.name == checkpoint.origin]
    if not own:
        name = checkpoint.origin.rpartition("/")[2]
        how = f"{what} is of {checkpoint.origin}, which is not a chain of this ledger"
        yield Problem(name, checkpoint.size, "unknown key", how)
        return
    chain = own[0]
    yield from chain.check_signature(kept.note, checkpoint.size, what)
    yield from chain.check_checkpoint(checkpoint, what)
    keys = [key for key in official_keys if key.kind == COSIGNATURE]
    try:
        check_cosignatures(kept.note, keys)
    except IntegrityError as error:
        yield Problem(chain.name, checkpoint.size, "bad signature", f"{what}: {error.message}")
    origins = [f"@{one.key.name}" for one in chains.values() if one.key]
    for line in kept.note.signatures:
        # The name of a key for one game has the game after the origin.
        ours = any(line.name.partition("#")[0].endswith(origin) for origin in origins)
        key = next((key for key in keys if line.is_by(key)), None)
        if ours and key is None:
            how = f"{what} was cosigned with a key of {line.name} that this ledger does not have"
            yield Problem(chain.name, checkpoint.size, "unknown key", how)
        elif key and not _is_signed_here(chain, checkpoint.size, key, stored):
            how = f"{what} was cosigned by {line.name}, but this ledger has another key's signature"
            yield Problem(chain.name, checkpoint.size, "unknown key", how)


def _is_signed_here(
    chain: Chain, size: int, key: VerifierKey, stored: Sequence[StoredNote]
) -> bool:
    """Whether the ledger's own checkpoint of that size, if any, is signed by that key too."""
    here = [one.note for one in stored if (one.chain, one.size) == (chain.name, size)]
    return not here or any(line.is_by(key) for note in here for line in note.signatures)


def continued(kept: KeptNote) -> str:
    """Say what a copy shows that agrees with the ledger."""
    checkpoint = kept.checkpoint
    by = [line.name.rpartition("@")[0] for line in kept.note.signatures if "@" in line.name]
    signed = f", cosigned by {', '.join(by)}" if by else ""
    first = f"the first {checkpoint.size:,} events of {checkpoint.origin}{signed}"
    if not kept.is_paper:
        return f"{kept.file}: {first}"
    return (
        f"{kept.file}: its checkpoint covers {first}. To check what is printed on it, use "
        f"weighbook check {kept.file}"
    )


def covered_by(kept: Sequence[KeptNote], chains: Mapping[str, Chain]) -> dict[str, int]:
    """Return, by chain, how many of its events these copies fix.

    A copy is of one chain. A countersignature in it names how long the others were.
    """
    covered = dict.fromkeys(chains, 0)
    for chain in chains.values():
        sizes = [
            one.checkpoint.size
            for one in kept
            if chain.key and one.checkpoint.origin == chain.key.name
        ]
        covered[chain.name] = max(sizes, default=0)
    # The events that one names may include a countersignature that names a third.
    for _ in chains:
        for chain in chains.values():
            for seq, named in chain.names:
                for name, size in named.items() if seq <= covered[chain.name] else ():
                    covered[name] = max(covered[name], size)
    return covered
