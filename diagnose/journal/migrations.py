"""Changes of the journal's schema, in order, never edited once released; each is one transaction with its record."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Callable

__all__ = ["CHANGES", "VERSION", "migrate", "schema"]


def _first(db: sqlite3.Connection) -> None:
    db.execute(
        "CREATE TABLE event (number INTEGER PRIMARY KEY AUTOINCREMENT, run TEXT NOT NULL, kind TEXT NOT NULL, "
        "at TEXT NOT NULL, machine TEXT NOT NULL, rules TEXT NOT NULL, body TEXT NOT NULL)"
    )
    db.execute("CREATE INDEX event_run ON event (run, number)")
    db.execute("CREATE INDEX event_kind ON event (kind, number)")


def _runs_and_rules(db: sqlite3.Connection) -> None:
    """Tell which program wrote an event; list runs, find them by cause, and keep rule texts, without reading all."""
    db.execute("ALTER TABLE event ADD COLUMN program TEXT NOT NULL DEFAULT ''")
    db.execute("CREATE INDEX event_run_kind ON event (run, kind, number)")
    db.execute(
        "CREATE TABLE run (run TEXT PRIMARY KEY, kind TEXT NOT NULL, machine TEXT NOT NULL, at TEXT NOT NULL, "
        "first INTEGER NOT NULL) WITHOUT ROWID"
    )
    db.execute(
        "INSERT INTO run (run, kind, machine, at, first) "
        "SELECT run, kind, machine, at, number FROM event WHERE number IN (SELECT MIN(number) FROM event GROUP BY run)"
    )
    db.execute("CREATE INDEX run_at ON run (kind, at, first)")
    db.execute("CREATE INDEX run_machine ON run (kind, machine, at, first)")
    db.execute("CREATE TABLE mention (cause TEXT NOT NULL, run TEXT NOT NULL, PRIMARY KEY (cause, run)) WITHOUT ROWID")
    db.execute(
        "CREATE TABLE revision (rules TEXT PRIMARY KEY, at TEXT NOT NULL, program TEXT NOT NULL, texts BLOB NOT NULL)"
    )


CHANGES: tuple[Callable[[sqlite3.Connection], None], ...] = (_first, _runs_and_rules)
VERSION = len(CHANGES)


def migrate(db: sqlite3.Connection) -> int:
    """Bring the schema up to date and return its version; a newer one is left alone."""
    have = schema(db)
    while have < VERSION:
        db.execute("BEGIN IMMEDIATE")  # with isolation_level=None: `with db:` does not cover a change of schema
        try:
            have = schema(db)  # another process may have been first
            if have < VERSION:
                CHANGES[have](db)
                have += 1
                db.execute(f"PRAGMA user_version = {have}")
            db.execute("COMMIT")
        except BaseException:
            db.execute("ROLLBACK")
            raise
    return have


def schema(db: sqlite3.Connection) -> int:
    """Return the schema's version; 0 for a new file."""
    return int(db.execute("PRAGMA user_version").fetchone()[0])
