"""The forms that a ledger's file has had: each a frozen text, by `user_version`.

A form is what SQLite's own table of a file's elements says (sqlite_master), byte for byte. A text
here never changes once it was released; a new form is a new text, and a step in `steps`. What
SQLModel declares (`tables`) is held against the newest by a test. `ledger.audit.forms` has a copy
of its own.
"""

from __future__ import annotations

from typing import NamedTuple

APPLICATION_ID = 0x77656967
"""Marks the file as a ledger in SQLite's header (the letters "weig")."""


class Element(NamedTuple):
    """A row of sqlite_master; `sql` is None for the index that a constraint makes."""

    type: str
    name: str
    table: str
    sql: str | None

    def __str__(self) -> str:
        return f"the {self.type} {self.name}"


_EVENT_1 = Element(
    "table",
    "event",
    "event",
    (
        "CREATE TABLE event (\n"
        "\tposition INTEGER NOT NULL, \n"
        "\tchain VARCHAR NOT NULL, \n"
        "\tseq INTEGER NOT NULL, \n"
        "\tprev BLOB NOT NULL, \n"
        "\thash BLOB NOT NULL, \n"
        "\tbody TEXT NOT NULL, \n"
        "\tkind VARCHAR NOT NULL, \n"
        "\trecorded VARCHAR NOT NULL, \n"
        "\tentered VARCHAR, \n"
        "\tgame VARCHAR, \n"
        "\tteam VARCHAR, \n"
        "\tplayer VARCHAR, \n"
        "\tsubject VARCHAR, \n"
        "\tref VARCHAR, \n"
        "\tPRIMARY KEY (position), \n"
        "\tUNIQUE (chain, seq)\n"
        ")"
    ),
)
_EVENT_2 = Element(
    "table",
    "event",
    "event",
    (
        "CREATE TABLE event (\n"
        "\tposition INTEGER NOT NULL, \n"
        "\tchain VARCHAR NOT NULL, \n"
        "\tseq INTEGER NOT NULL, \n"
        "\tprev BLOB NOT NULL, \n"
        "\thash BLOB NOT NULL, \n"
        "\tbody TEXT NOT NULL, \n"
        "\tkind VARCHAR NOT NULL, \n"
        "\trecorded VARCHAR NOT NULL, \n"
        "\tclock VARCHAR NOT NULL, \n"
        "\tentered VARCHAR, \n"
        "\tgame VARCHAR, \n"
        "\tteam VARCHAR, \n"
        "\tplayer VARCHAR, \n"
        "\tsubject VARCHAR, \n"
        "\tref VARCHAR, \n"
        "\tPRIMARY KEY (position), \n"
        "\tUNIQUE (chain, seq)\n"
        ")"
    ),
)
_REST = (
    Element(
        "table",
        "checkpoint",
        "checkpoint",
        (
            "CREATE TABLE checkpoint (\n"
            "\tposition INTEGER NOT NULL, \n"
            "\tchain VARCHAR NOT NULL, \n"
            "\tsize INTEGER NOT NULL, \n"
            "\tnote TEXT NOT NULL, \n"
            "\tPRIMARY KEY (position)\n"
            ")"
        ),
    ),
    Element(
        "table",
        "disclosure",
        "disclosure",
        (
            "CREATE TABLE disclosure (\n"
            "\tchain VARCHAR NOT NULL, \n"
            "\tseq INTEGER NOT NULL, \n"
            "\tfield VARCHAR NOT NULL, \n"
            "\ttext VARCHAR NOT NULL, \n"
            "\tPRIMARY KEY (chain, seq, field)\n"
            ")"
        ),
    ),
    Element(
        "table",
        "exhibit",
        "exhibit",
        (
            "CREATE TABLE exhibit (\n"
            "\tsha256 VARCHAR NOT NULL, \n"
            "\tname VARCHAR NOT NULL, \n"
            "\tcontent BLOB NOT NULL, \n"
            "\tPRIMARY KEY (sha256)\n"
            ")"
        ),
    ),
    Element(
        "table",
        "key",
        "key",
        (
            'CREATE TABLE "key" (\n'
            "\tname VARCHAR NOT NULL, \n"
            "\tsealed BLOB NOT NULL, \n"
            "\tPRIMARY KEY (name)\n"
            ")"
        ),
    ),
    Element(
        "index",
        "event_entered",
        "event",
        "CREATE INDEX event_entered ON event (entered) WHERE game IS NULL",
    ),
    Element(
        "index",
        "event_game",
        "event",
        "CREATE INDEX event_game ON event (game, entered) WHERE game IS NOT NULL",
    ),
    Element(
        "index",
        "event_kind",
        "event",
        (
            "CREATE INDEX event_kind ON event (kind, subject) WHERE kind not in ('weigh', "
            "'late_weigh', 'initial', 'list', 'strike_off', 'stripe', 'plays')"
        ),
    ),
    Element(
        "index",
        "event_player",
        "event",
        "CREATE INDEX event_player ON event (player, kind) WHERE player IS NOT NULL",
    ),
    Element(
        "index",
        "event_ref",
        "event",
        "CREATE UNIQUE INDEX event_ref ON event (chain, ref) WHERE ref IS NOT NULL",
    ),
    Element(
        "index",
        "event_team",
        "event",
        "CREATE INDEX event_team ON event (team, kind) WHERE game IS NULL",
    ),
    Element("index", "sqlite_autoindex_disclosure_1", "disclosure", None),
    Element("index", "sqlite_autoindex_event_1", "event", None),
    Element("index", "sqlite_autoindex_exhibit_1", "exhibit", None),
    Element("index", "sqlite_autoindex_key_1", "key", None),
    Element(
        "trigger",
        "checkpoint_delete",
        "checkpoint",
        (
            "CREATE TRIGGER checkpoint_delete before delete on checkpoint begin select "
            "raise(abort, 'the ledger keeps every checkpoint: no delete'); end"
        ),
    ),
    Element(
        "trigger",
        "checkpoint_update",
        "checkpoint",
        (
            "CREATE TRIGGER checkpoint_update before update on checkpoint begin select "
            "raise(abort, 'the ledger keeps every checkpoint: no update'); end"
        ),
    ),
    Element(
        "trigger",
        "event_delete",
        "event",
        (
            "CREATE TRIGGER event_delete before delete on event begin select raise(abort, "
            "'the ledger keeps every event: no delete'); end"
        ),
    ),
    Element(
        "trigger",
        "event_insert",
        "event",
        (
            "CREATE TRIGGER event_insert before insert on event when new.prev is not "
            "iif(new.seq = 1, zeroblob(32), (select hash from event where chain = "
            "new.chain and seq = new.seq - 1)) begin select raise(abort, 'the ledger is a "
            "chain: an event names the one before it'); end"
        ),
    ),
    Element(
        "trigger",
        "event_update",
        "event",
        (
            "CREATE TRIGGER event_update before update on event begin select raise(abort, "
            "'the ledger keeps every event: no update'); end"
        ),
    ),
)

FORMS = {1: (_EVENT_1, *_REST), 2: (_EVENT_2, *_REST)}
NEWEST = max(FORMS)
