"""The one thread that writes. It takes all waiting acts and commits them together.

Each act is accepted or refused by itself and sees those before it (`ledger.actions.taps`). Nobody
is answered before the commit. If that fails, everyone in the group is told so, and nothing was
written: a device sends its act again.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass
from pathlib import Path
from queue import Empty, SimpleQueue
from threading import Thread
from typing import Any, TypeVar

from ledger.actions.taps import Recorder, Tap, Tapped
from ledger.errors import LedgerError, StoreError
from ledger.store.opening import open_store
from ledger.store.store import Store

Given = TypeVar("Given")
MOST = 64
"""The most acts in one commit, so that nobody waits behind hundreds."""
STOPPING_SECONDS = 2.0


@dataclass(frozen=True)
class _Waiting:
    """An act, or something to do alone, and who waits for it."""

    future: Future[Any]
    tap: Tap | None = None
    alone: Callable[[Store], Any] | None = None


class Writer:
    """Begins with `start`; `wrote` is called in its thread after each commit."""

    def __init__(self, path: Path, chain: str, wrote: Callable[[], object]) -> None:
        self._path, self._chain, self._wrote = path, chain, wrote
        self._waiting: SimpleQueue[_Waiting | None] = SimpleQueue()
        self._opened: Future[None] = Future()
        # A daemon: waiting for another program's lock must not keep a stopped server alive.
        self._thread = Thread(target=self._run, name="writer", daemon=True)

    def start(self) -> None:
        """Begin; raises what opening the ledger raises."""
        self._thread.start()
        self._opened.result()

    def stop(self) -> None:
        """Finish what waits, and end."""
        self._waiting.put(None)
        self._thread.join(STOPPING_SECONDS)

    @property
    def is_running(self) -> bool:
        return self._thread.is_alive()

    async def record(self, tap: Tap) -> Tapped:
        """Record the act. Raises the error that `Recorder.record` gives for it."""
        future: Future[Tapped] = Future()
        self._waiting.put(_Waiting(future, tap=tap))
        return await asyncio.wrap_future(future)

    async def run_alone(self, do: Callable[[Store], Given]) -> Given:
        """What `do` returns, run between two commits on the connection that writes.

        It takes its own transaction. For signatures and whatever else is not a tap.
        """
        future: Future[Given] = Future()
        self._waiting.put(_Waiting(future, alone=do))
        return await asyncio.wrap_future(future)

    def _run(self) -> None:
        try:
            store = open_store(self._path)
            recorder = Recorder(store, self._chain)
        except BaseException as error:
            self._opened.set_exception(error)
            return
        self._opened.set_result(None)
        try:
            while (first := self._waiting.get()) is not None:
                group, alone = self._group(first)
                self._commit(recorder, group)
                if alone is not None:
                    _do_alone(store, alone)
                self._wrote()
        finally:
            store.close()

    def _group(self, first: _Waiting) -> tuple[list[_Waiting], _Waiting | None]:
        """The acts to commit together, and what to do alone after them."""
        group: list[_Waiting] = []
        one: _Waiting | None = first
        while one is not None:
            if one.future.set_running_or_notify_cancel():
                if one.alone is not None:
                    return group, one
                group.append(one)
            if len(group) == MOST:
                return group, None
            try:
                one = self._waiting.get_nowait()
            except Empty:
                return group, None
        self._waiting.put(None)  # the end waits until these are done
        return group, None

    def _commit(self, recorder: Recorder, group: list[_Waiting]) -> None:
        if not group:
            return
        try:
            done = recorder.record([one.tap for one in group if one.tap is not None])
        except StoreError as error:
            for one in group:
                one.future.set_exception(error)
        except Exception as error:  # a fault of ours in one act must not take the others along
            if len(group) == 1:
                group[0].future.set_exception(error)
            else:
                for one in group:
                    self._commit(recorder, [one])
        else:
            for one, outcome in zip(group, done, strict=True):
                if isinstance(outcome, LedgerError):
                    one.future.set_exception(outcome)
                else:
                    one.future.set_result(outcome)


def _do_alone(store: Store, one: _Waiting) -> None:
    assert one.alone is not None
    try:
        one.future.set_result(one.alone(store))
    except BaseException as error:
        one.future.set_exception(error)
