"""Drafts of events become the events of a ledger, and a failing season becomes a small one.

A draft is an event without v, seq, prev, salt and (as a rule) recorded; a withdrawal's `target` in
it is the place of its target in the list. `seal` fills in the rest: each chain's seq from 1, prev
as the SHA-256 of 0x00 and the canonical bytes (leaf hash of RFC 9162, 2.1.1), and `recorded`,
rising, where the draft has none. The list is in the order of arrival, which is ledger order in each
chain, and between chains only where their clocks agree.
"""

from __future__ import annotations

import hashlib
import json
from base64 import urlsafe_b64encode
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from random import Random
from typing import Any

Event = dict[str, Any]
Draft = dict[str, Any]

SECOND = 1000
MINUTE = 60 * SECOND
HOUR = 60 * MINUTE
DAY = 24 * HOUR
SET_UP = frozenset({"league", "division", "team", "player", "official", "game"})
FIRST_RECORDED = 1_785_000_000_000  # an hour in July 2026, before the first game


def utc(milliseconds: int) -> str:
    """Milliseconds since 1970 as fixed-width UTC text."""
    seconds, rest = divmod(milliseconds, SECOND)
    return datetime.fromtimestamp(seconds, UTC).strftime("%Y-%m-%dT%H:%M:%S.") + f"{rest:03d}Z"


def milliseconds(text: str) -> int:
    return round(datetime.fromisoformat(text).timestamp() * SECOND)


def random_text(rng: Random, size: int) -> str:
    """Base64url without padding of `size` random bytes."""
    return urlsafe_b64encode(rng.randbytes(size)).rstrip(b"=").decode()


def canonical(event: Event) -> bytes:
    """RFC 8785 for ASCII keys, integers and text."""
    text = json.dumps(event, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return text.encode()


def seal(drafts: Sequence[Draft], rng: Random) -> list[Event]:
    events: list[Event] = []
    heads: dict[str, tuple[int, str]] = {}
    recorded = FIRST_RECORDED
    for draft in drafts:
        seq, prev = heads.get(draft["chain"], (0, "0" * 64))
        recorded += rng.choice((1, SECOND, MINUTE, HOUR, DAY)) if "at" in draft else 1
        event = draft | {
            "v": 1,
            "seq": seq + 1,
            "prev": prev,
            "salt": random_text(rng, 16),
            "recorded": draft.get("recorded", utc(recorded)),
        }
        if draft["kind"] == "withdraw":
            target = events[draft["data"]["target"]]
            event["data"] = draft["data"] | {"target": f"{target['chain']}:{target['seq']}"}
        head = hashlib.sha256(b"\x00" + canonical(event)).hexdigest()
        heads[draft["chain"]] = (seq + 1, head)
        events.append(event)
    return events


def unseal(events: Sequence[Event]) -> list[Draft]:
    place = {f"{event['chain']}:{event['seq']}": n for n, event in enumerate(events)}
    drafts = []
    for event in events:
        draft = {k: v for k, v in event.items() if k not in ("v", "seq", "prev", "salt")}
        if event["kind"] == "withdraw":
            draft["data"] = event["data"] | {"target": place[event["data"]["target"]]}
        drafts.append(draft)
    return drafts


def without(events: Sequence[Event], gone: set[int]) -> list[Event]:
    """The season without the events at these places, and without withdrawals of them; `recorded`
    stays as it was, and a signature covers what is left of what it covered.
    """
    drafts = unseal(events)
    gone = set(gone)
    for n, draft in enumerate(drafts):
        if draft["kind"] == "withdraw" and draft["data"]["target"] in gone:
            gone.add(n)
    kept = [n for n in range(len(drafts)) if n not in gone]
    place = {old: new for new, old in enumerate(kept)}
    for n in kept:
        if drafts[n]["kind"] == "withdraw":
            old = drafts[n]["data"]["target"]
            drafts[n]["data"] = drafts[n]["data"] | {"target": place[old]}
        elif drafts[n]["data"].get("others"):
            others = _shortened(drafts[n]["data"]["others"], [events[m] for m in kept])
            drafts[n]["data"] = drafts[n]["data"] | {"others": others}
    return seal([drafts[n] for n in kept], Random(0))


def _shortened(others: dict[str, Any], kept: Sequence[Event]) -> dict[str, Any]:
    answer = {}
    for chain, named in others.items():
        size = sum(e["chain"] == chain and e["seq"] <= named["size"] for e in kept)
        if size:
            answer[chain] = named | {"size": size}
    return answer


def faults(events: Sequence[Event]) -> list[str]:
    """Why an accepting ledger could not hold these events in this order: what is named before it is
    known. Numbers and rosters are not looked at.
    """
    known: set[tuple[str, str]] = set()
    answer = []
    for event in events:
        here, data, kind = f"{event['chain']}:{event['seq']}", event["data"], event["kind"]
        needs: list[tuple[str, str]] = [
            (what, event[what]) for what in ("game", "team") if what in event and kind != what
        ]
        names_player = "player" in event and kind not in ("player", "enter_player")
        if names_player and not event["player"].startswith("unlisted-"):
            needs.append(("player", event["player"]))
        if kind in ("division", "official"):
            known.add((kind, data[kind]))
        elif kind in SET_UP and kind != "league":
            known.add((kind, event[kind]))
        if kind in ("team", "game"):
            needs.append(("division", data["division"]))
        if kind == "game":
            needs += [("team", data["home"]), ("team", data["visitor"])]
        if kind not in SET_UP:
            needs.append(("official", event["by"]))
            known.add(("event", here))
        if kind == "enter_player":
            known.add(("player", event["player"]))
        if kind == "appoint":
            if "digests" in data and "name" in data["digests"]:
                known.add(("official", data["value"]))
            needs.append(("official", data["value"]))
        if kind in ("trained", "assign"):
            needs.append(("official", data["value"]))
        if kind == "withdraw":
            needs.append(("event", data["target"]))
        if kind == "case_open":
            known.add((event["chain"], data["case"]))
        elif "case" in data:
            needs.append((event["chain"], data["case"]))
        answer += [f"{here} {kind}: {need}" for need in needs if need not in known]
    return answer


def smallest(events: Sequence[Event], fails: Callable[[list[Event]], bool]) -> list[Event]:
    """The season with as many events left out, in runs and then one by one, as still fails."""
    kept = list(events)
    run = max(1, len(kept) // 2)
    while True:
        start, before = 1, len(kept)  # the first event is the league
        while start < len(kept):
            tried = without(kept, set(range(start, min(start + run, len(kept)))))
            if not faults(tried) and fails(tried):
                kept = tried
            else:
                start += run
        if run == 1 and len(kept) == before:
            return kept
        run = max(1, run // 2)
