"""Changes of the journal's schema, in order, never edited once released; each is one transaction with its record."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Callable

__all__ = ["CHANGES", "VERSION", "migrate"]


def _first(db: sqlite3.Connection) -> None:
    db.execute(
        "CREATE TABLE event (number INTEGER PRIMARY KEY AUTOINCREMENT, run TEXT NOT NULL, kind TEXT NOT NULL, "
        "at TEXT NOT NULL, machine TEXT NOT NULL, rules TEXT NOT NULL, body TEXT NOT NULL)"
    )
    db.execute("CREATE INDEX event_run ON event (run, number)")
    db.execute("CREATE INDEX event_kind ON event (kind, number)")


CHANGES: tuple[Callable[[sqlite3.Connection], None], ...] = (_first,)
VERSION = len(CHANGES)


def migrate(db: sqlite3.Connection) -> int:
    """Bring the schema up to date and return its version; a newer one is left alone."""
    have = _version(db)
    while have < VERSION:
        db.execute("BEGIN IMMEDIATE")  # with isolation_level=None: `with db:` does not cover a change of schema
        try:
            have = _version(db)  # another process may have been first
            if have < VERSION:
                CHANGES[have](db)
                have += 1
                db.execute(f"PRAGMA user_version = {have}")
            db.execute("COMMIT")
        except BaseException:
            db.execute("ROLLBACK")
            raise
    return have


def _version(db: sqlite3.Connection) -> int:
    return int(db.execute("PRAGMA user_version").fetchone()[0])
