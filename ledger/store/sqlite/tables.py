"""The ledger's tables, declared once by SQLModel. Rows are dumb: models of `record` validate.

This module is imported only where a ledger is made: the hot paths speak SQL through the driver
(importing SQLModel costs more than most commands do), and a test holds their columns against
these.
"""

from __future__ import annotations

from sqlalchemy import Column, Index, LargeBinary, MetaData, Text, UniqueConstraint, text
from sqlmodel import Field, SQLModel

from ledger.store.sqlite.store import NOT_PER_CHILD


class EventRow(SQLModel, table=True):
    """An event: its canonical bytes as hashed, and copies of what it is looked up by.

    `position` is the order of acceptance in this file, and no answer goes by it; `seq` counts
    within a chain from 1. `clock` is the latest `recorded` of the chain up to this event: with
    chain and seq it is the ledger order (sql/README.md, section 2).
    """

    __tablename__ = "event"
    __table_args__ = (
        UniqueConstraint("chain", "seq"),
        Index("event_ref", "chain", "ref", unique=True, sqlite_where=Column("ref").is_not(None)),
        Index("event_game", "game", "entered", sqlite_where=Column("game").is_not(None)),
        Index("event_team", "team", "kind", sqlite_where=Column("game").is_(None)),
        Index("event_player", "player", "kind", sqlite_where=Column("player").is_not(None)),
        Index("event_kind", "kind", "subject", sqlite_where=text(NOT_PER_CHILD)),
        Index("event_entered", "entered", sqlite_where=Column("game").is_(None)),
    )

    position: int | None = Field(default=None, primary_key=True)
    chain: str
    seq: int
    prev: bytes = Field(sa_column=Column(LargeBinary, nullable=False))
    hash: bytes = Field(sa_column=Column(LargeBinary, nullable=False))
    body: str = Field(sa_column=Column(Text, nullable=False))
    kind: str
    recorded: str
    clock: str
    entered: str | None = None
    game: str | None = None
    team: str | None = None
    player: str | None = None
    subject: str | None = None
    ref: str | None = None


class DisclosureRow(SQLModel, table=True):
    """Personal text of one field of an event (RFC 9901 form), until it is erased."""

    __tablename__ = "disclosure"

    chain: str = Field(primary_key=True)
    seq: int = Field(primary_key=True)
    field: str = Field(primary_key=True)
    text: str


class CheckpointRow(SQLModel, table=True):
    """A checkpoint note (C2SP) with its signatures, as it was signed."""

    __tablename__ = "checkpoint"

    position: int | None = Field(default=None, primary_key=True)
    chain: str
    size: int
    note: str = Field(sa_column=Column(Text, nullable=False))


class KeyRow(SQLModel, table=True):
    """A private key: a chain's own, or an official's sealed under a passphrase."""

    __tablename__ = "key"

    name: str = Field(primary_key=True)
    sealed: bytes = Field(sa_column=Column(LargeBinary, nullable=False))


class ExhibitRow(SQLModel, table=True):
    """A file handed in, by its SHA-256 (hex), until it is redacted."""

    __tablename__ = "exhibit"

    sha256: str = Field(primary_key=True)
    name: str
    content: bytes = Field(sa_column=Column(LargeBinary, nullable=False))


KEPT = ("event", "checkpoint")
"""Tables whose rows are never changed or deleted."""

LINK = (
    "create trigger event_insert before insert on event when new.prev is not iif(new.seq = 1, "
    "zeroblob(32), (select hash from event where chain = new.chain and seq = new.seq - 1)) "
    "begin select raise(abort, 'the ledger is a chain: an event names the one before it'); end"
)
"""A fork or a gap cannot commit: `prev` is the hash of the event with the `seq` before.

Rejected: unique (chain, prev). Its entries lie anywhere, so that each append writes a page more,
and it lets a `prev` pass that is nobody's hash.
"""


def schema() -> list[str]:
    """The statements that make an empty ledger, in order."""
    from sqlalchemy.dialects import sqlite
    from sqlalchemy.schema import CreateIndex, CreateTable

    metadata: MetaData = SQLModel.metadata
    dialect = sqlite.dialect()
    made: list[str] = []
    for table in metadata.sorted_tables:
        made.append(str(CreateTable(table).compile(dialect=dialect)))
        indexes = sorted(table.indexes, key=lambda index: str(index.name))
        made += [str(CreateIndex(index).compile(dialect=dialect)) for index in indexes]
    for name in KEPT:
        for verb in ("update", "delete"):
            made.append(
                f"create trigger {name}_{verb} before {verb} on {name} "
                f"begin select raise(abort, 'the ledger keeps every {name}: no {verb}'); end"
            )
    return [*made, LINK]
