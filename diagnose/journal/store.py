"""Open, append, read: the only importer of sqlite3. Events are only ever added."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from diagnose.journal.migrations import VERSION, migrate
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

__all__ = ["Journal", "Kept", "open_journal"]

_WAIT = 10.0  # seconds to wait for another process that is writing


@dataclass(frozen=True, slots=True)
class Kept:
    """One kept event. ``at`` is UTC in ISO 8601; ``body`` is what was handed in."""

    number: int
    run: str
    kind: str
    at: str
    machine: str
    rules: str
    body: Mapping[str, Any]


class Journal:
    """A journal that can be appended to and read; several processes may use one file at once."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path, self._db = path, connection

    def append(self, run: str, kind: str, at: str, machine: str, rules: str, body: Mapping[str, Any]) -> int:
        """Add an event and return its number once it is on the disk. Raises DiagnoseError when it cannot be kept."""
        text = json.dumps(body, ensure_ascii=False, separators=(",", ":"))
        try:
            row = self._db.execute(
                "INSERT INTO event (run, kind, at, machine, rules, body) VALUES (?, ?, ?, ?, ?, ?)",
                (run, kind, at, machine, rules, text),
            )
        except sqlite3.Error as error:
            raise _cannot("written", self.path, error) from error
        return int(row.lastrowid or 0)

    def events(self, run: str) -> list[Kept]:
        """Return the events of one run, in the order they were kept."""
        return list(self._read("WHERE run = ? ORDER BY number", (run,)))

    def runs(self, kind: str = "consultation") -> list[str]:
        """Return the ids of all runs of a kind, oldest first."""
        try:
            rows = self._db.execute("SELECT run FROM event WHERE kind = ? GROUP BY run ORDER BY MIN(number)", (kind,))
            return [row[0] for row in rows]
        except sqlite3.Error as error:
            raise _cannot("read", self.path, error) from error

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()

    def _read(self, where: str, values: tuple[object, ...]) -> Iterator[Kept]:
        try:
            rows = self._db.execute(
                f"SELECT number, run, kind, at, machine, rules, body FROM event {where}",  # noqa: S608 - fixed texts
                values,
            )
            for number, run, kind, at, machine, rules, body in rows:
                yield Kept(number, run, kind, at, machine, rules, json.loads(body))
        except (sqlite3.Error, ValueError) as error:
            raise _cannot("read", self.path, error) from error


def open_journal(path: Path) -> Journal:
    """Open the journal at ``path``, making it if need be. Raises DiagnoseError with one clear line if it cannot be."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        connection = sqlite3.connect(path, timeout=_WAIT, isolation_level=None)
    except (OSError, sqlite3.Error) as error:
        raise _cannot("opened", path, error) from error
    try:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")
        version = migrate(connection)
    except sqlite3.Error as error:
        connection.close()
        raise _cannot("opened", path, error) from error
    if version > VERSION:
        connection.close()
        raise DiagnoseError(
            f"The journal was written by a newer version of this program (schema {version}, known {VERSION}).",
            where=str(path),
            mend="Use that version, or another journal.",
        )
    return Journal(path, connection)


def _cannot(what: str, path: Path, error: Exception) -> DiagnoseError:
    return DiagnoseError(
        f"The journal cannot be {what}: {error}.",
        where=str(path),
        mend="Check the folder's rights and free space; nothing already kept was changed.",
    )
