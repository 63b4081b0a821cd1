"""What a receipt says of the time after the signature."""

from __future__ import annotations

from ledger.say import codes
from ledger.say.words import upper_first

_SINCE = {"stands": "No changes entered", "late_arrivals": "Late arrivals"}
_NUMBER = "No. "


def since_then(state: str) -> str:
    """A signature's state (`signing.state`) beside "Since then": "Late arrivals: No. 51"."""
    for code, said in _SINCE.items():
        begin = upper_first(codes.SIGNATURES[code])
        if state.startswith(begin):
            state = said + state.removeprefix(begin)
    return state.replace(_NUMBER, _NUMBER.rstrip() + "\N{NO-BREAK SPACE}")
