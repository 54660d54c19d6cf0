"""Is the file whole, and does it make sense; and a rescue of all that can still be read from a damaged one."""

from __future__ import annotations

import contextlib
import json
import shutil
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from diagnose.consultation.events import Started, event_from
from diagnose.journal.failures import JournalError, failed
from diagnose.journal.store import Journal, Kept, open_journal, raw_connection
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from sqlite3 import Connection

__all__ = ["Rescued", "check", "rescue"]

_COLUMNS = ("number", "run", "kind", "at", "machine", "rules", "body")
_MOST_SHOWN = 20
_HEADER = 100  # bytes; "Database File Format", section 1.3, gives the places used below
_GIVE_UP = 4096  # numbers in a row that cannot be read, beyond the last one known


@dataclass(frozen=True, slots=True)
class Rescued:
    """What was saved to a new file: events, revisions of rules; and the numbers of events known to be lost."""

    path: Path
    events: int
    revisions: int
    lost: tuple[int, ...]


def check(journal: Journal) -> tuple[str, ...]:
    """Return what is wrong in lines; none when the file is whole and every event can be read and makes sense."""
    faults = [f"File: {row[0]}" for row in journal.rows(f"PRAGMA integrity_check({_MOST_SHOWN})") if row[0] != "ok"]
    faults += _event_faults(journal)
    return tuple(faults)


def _event_faults(journal: Journal) -> Iterator[str]:
    begun: set[str] = set()
    before = 0
    for number, run, kind, body in journal.rows("SELECT number, run, kind, body FROM event ORDER BY number"):
        if number != before + 1:
            yield f"Events {before + 1} to {number - 1} are missing."
        before = number
        try:
            fault = _fault(run, kind, json.loads(body), begun)
        except (ValueError, TypeError, KeyError, AttributeError):
            fault = "cannot be understood by this version"
        if fault:
            yield f"Event {number} of {run}: {fault}."


def _fault(run: str, kind: str, body: dict[str, Any], begun: set[str]) -> str:
    if kind != "consultation":
        return ""
    event = event_from(body)
    if isinstance(event, Started) == (run in begun):
        return "a consultation begins twice" if run in begun else "its consultation has no beginning"
    begun.add(run)
    return ""


def rescue(path: Path, to: Path) -> Rescued:
    """Save what can still be read of a damaged journal to a new file; the damaged one is only read.

    Raises DiagnoseError when nothing can be read, or when the new file stands already.
    """
    if to.exists():
        raise DiagnoseError("This file stands already.", where=str(to), mend="Name another file.")
    with tempfile.TemporaryDirectory(prefix="diagnose-rescue-") as folder:
        copy = _copied(path, Path(folder))
        events, revisions, lost = _readable(copy)
        if not events:
            _repair_first_page(copy, Path(folder))
            events, revisions, lost = _readable(copy)
    if not events:
        raise JournalError("Nothing can be read from this file.", where=str(path), mend="Go back to a backup.")
    _write(events, revisions, to)
    return Rescued(to, len(events), len(revisions), tuple(lost))


def _copied(path: Path, folder: Path) -> Path:
    copy = folder / "journal"
    try:
        for end in ("", "-wal"):
            source = path.with_name(path.name + end)
            if source.exists():
                shutil.copyfile(source, f"{copy}{end}")
    except OSError as error:
        raise failed("read", path, error) from error
    return copy


def _readable(path: Path) -> tuple[list[Kept], list[tuple[Any, ...]], list[int]]:
    with contextlib.closing(raw_connection(path)) as db:
        last, sure = _last_number(db)
        events: list[Kept] = []
        lost: list[int] = []
        number = misses = 0
        while number < last or (not sure and misses < _GIVE_UP):
            number += 1
            event = _event_at(db, number)
            misses = 0 if event else misses + 1
            if event:
                events.append(event)
            elif number <= last:
                lost.append(number)
        return events, _revisions(db), [one for one in lost if sure or (events and one < events[-1].number)]


def _last_number(db: Connection) -> tuple[int, bool]:
    """Return the highest number given to an event, and whether that is known for sure."""
    for sql in ("SELECT seq FROM sqlite_sequence WHERE name = 'event'", "SELECT MAX(number) FROM event"):
        row = _one(db, sql, ())
        if row and row[0]:
            return int(row[0]), True
    return 0, False


def _event_at(db: Connection, wanted: int) -> Kept | None:
    """Return one event by its number; None when the page that holds it, or what leads there, is damaged."""
    row = _one(db, f"SELECT {', '.join(_COLUMNS)} FROM event NOT INDEXED WHERE number = ?", (wanted,))  # noqa: S608
    if row is None:
        return None
    program = _one(db, "SELECT program FROM event NOT INDEXED WHERE number = ?", (wanted,)) or ("",)
    try:
        body = json.loads(row[-1])
    except (ValueError, TypeError):
        return None
    number, run, kind, at, machine, rules, _ = row
    return Kept(number, run, kind, at, machine, rules, body, program[0])


def _one(db: Connection, sql: str, values: tuple[object, ...]) -> tuple[Any, ...] | None:
    with contextlib.suppress(*_reading_errors()):
        row: tuple[Any, ...] | None = db.execute(sql, values).fetchone()
        return row
    return None


def _reading_errors() -> tuple[type[Exception], ...]:
    from diagnose.journal.store import DATABASE_ERROR

    return DATABASE_ERROR, UnicodeError, OverflowError


def _revisions(db: Connection) -> list[tuple[Any, ...]]:
    rows: list[tuple[Any, ...]] = []
    with contextlib.suppress(*_reading_errors()):
        rows.extend(db.execute("SELECT rules, at, program, texts FROM revision"))
    return rows


def _repair_first_page(copy: Path, folder: Path) -> None:
    """Put a first page like every journal's over a lost one: the roots of the tables stand at the same pages in all."""
    sound = folder / "sound"
    open_journal(sound).close()
    page = sound.read_bytes()
    size = int.from_bytes(page[16:18], "big")
    pages = copy.stat().st_size // size
    first = bytearray(page[:size])
    first[18:20] = b"\x01\x01"  # read as without a write-ahead log
    first[28:32] = pages.to_bytes(4, "big")
    first[24:28] = first[92:96] = b"\x00\x00\x00\x01"  # the size just given counts
    first[32:40] = bytes(8)  # no free pages
    with copy.open("r+b") as file:
        file.write(first)
    Path(f"{copy}-wal").unlink(missing_ok=True)


def _write(events: list[Kept], revisions: list[tuple[Any, ...]], to: Path) -> None:
    saved = open_journal(to)
    with saved.writing():
        for event in events:
            saved.add(event)
        for row in revisions:
            saved.insert("INSERT OR IGNORE INTO revision (rules, at, program, texts) VALUES (?, ?, ?, ?)", row)
    saved.close()
