"""The shape of the file, version by version: an older book is brought up to date when it is next written to."""

from __future__ import annotations

APPLICATION_ID = 0x52464B42
"""Marks a file as a book of refinekit, in SQLite's own header field."""

STEPS = (
    """
    CREATE TABLE event (
        number INTEGER PRIMARY KEY CHECK (number > 0),
        root INTEGER NOT NULL CHECK (root > 0 AND root <= number),
        at TEXT NOT NULL CHECK (length(at) = 10),
        written TEXT NOT NULL,
        kind TEXT NOT NULL,
        about TEXT NOT NULL,
        who TEXT NOT NULL,
        corrects INTEGER REFERENCES event (number) CHECK (corrects IS NULL OR (corrects < number AND root < number)),
        data TEXT NOT NULL,
        ops TEXT NOT NULL,
        seal TEXT NOT NULL CHECK (length(seal) = 64)
    );
    CREATE UNIQUE INDEX one_correction ON event (corrects) WHERE corrects IS NOT NULL;
    CREATE TRIGGER events_stay_as_they_are BEFORE UPDATE ON event
    BEGIN SELECT RAISE (ABORT, 'events are only added, never changed'); END;
    CREATE TRIGGER events_stay BEFORE DELETE ON event
    BEGIN SELECT RAISE (ABORT, 'events are only added, never taken out'); END;
    CREATE TRIGGER events_follow_each_other BEFORE INSERT ON event
    WHEN NEW.number <> (SELECT coalesce(max(number), 0) + 1 FROM event)
    BEGIN SELECT RAISE (ABORT, 'events are numbered one after the other'); END;
    """,
    """
    CREATE INDEX event_by_day ON event (at, root);
    CREATE INDEX event_by_kind ON event (kind, about);
    """,
)
"""What makes a book of version 0 one of version 1, of 1 one of 2, and so on. A step once published is never changed."""

VERSION = len(STEPS)
"""Version of the books this refinekit writes."""


def statements(script: str) -> list[str]:
    """The statements of a step, one by one, so that they run in the transaction that is open."""
    import sqlite3

    found, held = [], ""
    for line in script.splitlines(keepends=True):
        held += line
        if sqlite3.complete_statement(held):
            found.append(held.strip())
            held = ""
    return found
