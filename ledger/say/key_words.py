"""A few words beside a signature: who set its key, where that was not the signer."""

from __future__ import annotations

from collections.abc import Callable

from ledger.store.store import Store
from ledger.witness.vouching import role_behind, vouched


def key_words(store: Store, event_id: str, name_of: Callable[[str], str]) -> str:
    """ "key set by the registrar", or "" where there is nothing to say of the key.

    A key for one game always says who vouched for it; a key in place of an earlier one says who
    set it, unless its holder did, with the earlier one.
    """
    signed = store.event(event_id)
    behind = vouched(store, signed)
    if behind is None:
        return ""
    if behind.key.game is not None:
        return f"vouched for by {name_of(behind.by)}, for this game only"
    if not behind.is_set_by_another:
        return ""
    role = role_behind(store, behind.by).replace("_", " ")
    return f"key set by {f'the {role}' if role else name_of(behind.by)}"
