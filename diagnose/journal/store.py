"""Open, append, read: the only importer of sqlite3. Events are only ever added."""

from __future__ import annotations

import contextlib
import json
import sqlite3
from dataclasses import dataclass
from time import monotonic
from typing import TYPE_CHECKING, Any

from diagnose import __version__
from diagnose.journal.failures import JournalError, failed
from diagnose.journal.migrations import VERSION, migrate

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

__all__ = ["DATABASE_ERROR", "Journal", "Kept", "open_journal", "open_to_read", "raw_connection"]

DATABASE_ERROR = sqlite3.Error

_WAIT = 30.0  # seconds to wait for other processes that are writing
_ASK_AGAIN = 8  # milliseconds of SQLite's own waiting, which asks after 1, 2 and 5 of them
_COLUMNS = "number, run, kind, at, machine, rules, program, body"


@dataclass(frozen=True, slots=True)
class Kept:
    """One kept event. ``at`` is UTC in ISO 8601; ``body`` is what was handed in; ``program`` the version that did."""

    number: int
    run: str
    kind: str
    at: str
    machine: str
    rules: str
    body: Mapping[str, Any]
    program: str = ""


class Journal:
    """A journal that can be appended to and read; several processes may use one file at once.

    Events of one run that close, correct or sum it up carry the same ``run`` and another ``kind``. The ids in a
    body's list ``causes`` make the run findable by cause. Raises JournalError, one clear line, when the file fails.
    """

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path, self._db = path, connection

    def append(
        self,
        run: str,
        kind: str,
        at: str,
        machine: str,
        rules: str,
        body: Mapping[str, Any],
        program: str = __version__,
    ) -> int:
        """Add an event and return its number once it is on the disk."""
        event = Kept(0, run, kind, at, machine, rules, body, program)
        with self.writing():
            return self.add(event)

    def add(self, event: Kept) -> int:
        """Add an event, whose number is not looked at, inside ``writing``; return its number."""
        text = json.dumps(event.body, separators=(",", ":"))  # ASCII: no character in it can fail to be kept
        row = self._db.execute(
            "INSERT INTO event (run, kind, at, machine, rules, program, body) VALUES (?, ?, ?, ?, ?, ?, ?)",
            (event.run, event.kind, event.at, event.machine, event.rules, event.program, text),
        )
        number = int(row.lastrowid or 0)
        self._db.execute(
            "INSERT OR IGNORE INTO run (run, kind, machine, at, first) VALUES (?, ?, ?, ?, ?)",
            (event.run, event.kind, event.machine, event.at, number),
        )
        self._db.executemany(
            "INSERT OR IGNORE INTO mention (cause, run) VALUES (?, ?)",
            [(str(cause), event.run) for cause in event.body.get("causes", ())],
        )
        return number

    @contextlib.contextmanager
    def writing(self) -> Iterator[None]:
        """Make all additions inside one transaction: on the disk at its end, or none of them."""
        try:
            self._begin()
            try:
                yield
                self._db.execute("COMMIT")
            except BaseException:
                if self._db.in_transaction:
                    self._db.execute("ROLLBACK")
                raise
        except (sqlite3.Error, UnicodeError) as error:
            raise failed("written", self.path, error) from error

    def check_writable(self) -> None:
        """Raise JournalError where the file can only be read, which SQLite itself tells at the first change only."""
        try:
            self._begin()
            try:
                self._db.execute(f"PRAGMA user_version = {VERSION}")
            finally:
                self._db.execute("ROLLBACK")
        except sqlite3.Error as error:
            raise failed("written", self.path, error) from error

    def _begin(self) -> None:
        """Take the right to write, asking often: SQLite's own waiting grows to a tenth of a second, and is unfair."""
        ends = monotonic() + _WAIT
        self._db.execute(f"PRAGMA busy_timeout = {_ASK_AGAIN}")
        try:
            while True:
                try:
                    self._db.execute("BEGIN IMMEDIATE")
                except sqlite3.OperationalError as error:
                    if not error.sqlite_errorname.startswith("SQLITE_BUSY") or monotonic() > ends:
                        raise
                else:
                    return
        finally:
            self._db.execute(f"PRAGMA busy_timeout = {int(_WAIT * 1000)}")

    def insert(self, sql: str, values: Sequence[object]) -> None:
        """Add a row of another kind inside ``writing``."""
        self._db.execute(sql, values)

    def rows(self, sql: str, values: Sequence[object] = ()) -> Iterator[tuple[Any, ...]]:
        """Yield the rows of a query."""
        try:
            yield from self._db.execute(sql, values)
        except sqlite3.Error as error:
            raise failed("read", self.path, error) from error

    def events(self, run: str, kind: str = "") -> list[Kept]:
        """Return the events of one run, or those of one kind, in the order they were kept."""
        if kind:
            return list(self.select("WHERE run = ? AND kind = ? ORDER BY number", (run, kind)))
        return list(self.select("WHERE run = ? ORDER BY number", (run,)))

    def runs(self, kind: str = "consultation") -> list[str]:
        """Return the ids of all runs of a kind, oldest first."""
        return [row[0] for row in self.rows("SELECT run FROM run WHERE kind = ? ORDER BY first", (kind,))]

    def has(self, run: str) -> bool:
        """Tell whether anything was kept under this id."""
        return any(self.rows("SELECT 1 FROM run WHERE run = ?", (run,)))

    def select(self, where: str, values: Sequence[object] = ()) -> Iterator[Kept]:
        """Yield the events that a WHERE clause selects; one whose body is damaged raises JournalError."""
        for number, run, kind, at, machine, rules, program, body in self.rows(
            f"SELECT {_COLUMNS} FROM event {where}",  # noqa: S608 - only our own texts come in
            values,
        ):
            try:
                yield Kept(number, run, kind, at, machine, rules, json.loads(body), program)
            except ValueError as error:
                raise failed("read", self.path, error) from error

    def copy_to(self, path: Path) -> None:
        """Write a whole copy to another file while others may go on writing here."""
        try:
            with contextlib.closing(sqlite3.connect(path)) as copy:
                self._db.backup(copy)
        except sqlite3.Error as error:
            raise failed("copied", path, error) from error

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()


def open_journal(path: Path) -> Journal:
    """Open the journal at ``path`` to write, making it if need be."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise failed("opened", path, error) from error
    journal = _opened(path)
    journal.check_writable()
    return journal


def open_to_read(path: Path) -> Journal:
    """Open a journal that stands; where nothing can be written beside it, it is read from a copy. None is made."""
    if not path.exists():
        raise JournalError("There is no journal yet.", where=str(path), mend="The first consultation makes one.")
    try:
        return _opened(path)
    except JournalError as error:
        if not error.read_only:
            raise
    return _from_copy(path)


def _opened(path: Path) -> Journal:
    try:
        connection = sqlite3.connect(path, timeout=_WAIT, isolation_level=None)
    except sqlite3.Error as error:
        raise failed("opened", path, error) from error
    try:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")
        version = migrate(connection)
    except sqlite3.Error as error:
        connection.close()
        raise failed("opened", path, error) from error
    return _known(Journal(path, connection), version)


def raw_connection(path: Path) -> sqlite3.Connection:
    """Open a file as it is, for a rescue."""
    return sqlite3.connect(path, isolation_level=None)


def _from_copy(path: Path) -> Journal:
    """Read the file and what was not yet folded into it from memory: beside the file nothing can be made."""
    import shutil
    import tempfile
    from pathlib import Path as Folder

    with tempfile.TemporaryDirectory(prefix="diagnose-journal-") as folder:
        copy = Folder(folder, "journal")
        memory = sqlite3.connect(":memory:", isolation_level=None)
        try:
            for end in ("", "-wal"):
                source = path.with_name(path.name + end)
                if source.exists():
                    shutil.copyfile(source, f"{copy}{end}")
            with contextlib.closing(sqlite3.connect(copy)) as whole:
                whole.backup(memory)
            version = migrate(memory)
            memory.execute("PRAGMA query_only = 1")
        except (OSError, sqlite3.Error) as error:
            memory.close()
            raise failed("read", path, error) from error
    return _known(Journal(path, memory), version)


def _known(journal: Journal, version: int) -> Journal:
    if version <= VERSION:
        return journal
    journal.close()
    raise JournalError(
        f"The journal was written by a newer version of this program (schema {version}, known {VERSION}).",
        where=str(journal.path),
        mend="Use that version, or another journal.",
    )
