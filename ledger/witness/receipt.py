"""Hold a receipt, the checkpoint that somebody took home, against a proof.

A proof brings its own keys and so could be made up as a whole. A receipt cannot: whoever holds
one knows which ledger was signed that day, and the proof must continue it.
"""

from __future__ import annotations

from ledger.chain.checkpoint import check_checkpoint, parse_checkpoint
from ledger.chain.note import Note
from ledger.errors import InputError, IntegrityError
from ledger.witness.checked import CheckedProof, SignedState


def check_receipt(checked: CheckedProof, receipt: Note) -> SignedState:
    """The state in the proof that the receipt is of: the chain's checkpoint or an earlier one.

    Raises IntegrityError when the proof is of another ledger or history than the receipt,
    InputError when the proof cannot tell, or the receipt is none.
    """
    held = parse_checkpoint(receipt.text)
    for chain in checked.chains:
        states = [state for state in (chain.state, *chain.earlier) if state]
        if not states or states[0].checkpoint.origin != held.origin:
            continue
        for one in checked.keys:
            if one.event.kind == "chain_key" and one.event.chain == chain.chain:
                check_checkpoint(receipt, one.key)
        for state in states:
            if state.checkpoint.size == held.size:
                if state.checkpoint.root != held.root:
                    raise _other(held.root, state.checkpoint.root)
                return state
        raise InputError(
            f"this proof says nothing of the moment of your receipt ({held.size:,} entries)",
            hint="Ask for one that does: weighbook prove … --receipt YOUR-RECEIPT.",
        )
    raise IntegrityError(
        "this proof is of another ledger than your receipt",
        hint="Compare league, season and chain in the receipt's first line.",
        field="origin",
        expected=held.origin,
    )


def _other(expected: bytes, found: bytes) -> IntegrityError:
    return IntegrityError(
        "this proof is of another history than the one your receipt was signed for",
        hint="Keep the receipt, and tell the division president.",
        field="root",
        expected=expected.hex(),
        found=found.hex(),
    )
