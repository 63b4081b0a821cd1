"""Compare a receipt, the checkpoint that someone took home, with a proof.

A proof brings its own keys, so all of it could be made up. A receipt shows which ledger was signed
that day, and the proof must continue that ledger.
"""

from __future__ import annotations

from ledger.chain.checkpoint import check_checkpoint, parse_checkpoint
from ledger.chain.note import Note
from ledger.errors import InputError, IntegrityError
from ledger.witness.checked import CheckedProof, SignedState


def check_receipt(checked: CheckedProof, receipt: Note) -> SignedState:
    """Return the receipt's state in the proof: the chain's checkpoint or an earlier one.

    Raises IntegrityError if the proof is from another ledger or history than the receipt,
    InputError if the proof cannot tell, or this is not a receipt.
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
                if state.checkpoint.root == held.root:
                    return state
                raise IntegrityError(
                    "this proof is from another history than your receipt",
                    hint="Keep the receipt, and call the division president.",
                    field="root",
                    expected=held.root.hex(),
                    found=state.checkpoint.root.hex(),
                )
        raise InputError(
            f"this proof does not show the moment of your receipt ({held.size:,} entries)",
            hint="Ask for one that does: weighbook prove … --receipt YOUR-RECEIPT.",
        )
    raise IntegrityError(
        "this proof is from another ledger than your receipt",
        hint="Compare league, season and chain in the receipt's first line.",
        field="origin",
        expected=held.origin,
    )
