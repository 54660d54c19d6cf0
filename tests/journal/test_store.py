"""The journal appends, reads, and says in one line what is wrong with its file."""

from __future__ import annotations

import re
import sqlite3
from pathlib import Path

import pytest

import diagnose.journal
from diagnose.consultation import events
from diagnose.journal.failures import JournalError
from diagnose.journal.finding import Wanted, find
from diagnose.journal.migrations import CHANGES, VERSION, migrate
from diagnose.journal.store import open_journal, open_to_read
from tests.journal.kept import at, consult, fresh

HOSTILE = "<script>alert(1)</script>\x1b[31m\u202egnp.exe\x00\ud800" + "x" * 1_000_000


def test_events_come_back_as_they_were_handed_in(tmp_path):
    """Every event comes back in order, with its time, machine, rules, program and body."""
    journal = fresh(tmp_path)
    for number in range(3):
        assert journal.append("r", "round", at(number), "P-1", "abc", {"n": number}) == number + 1
    assert [(one.at, one.body, one.rules) for one in journal.events("r")] == [
        (at(n), {"n": n}, "abc") for n in range(3)
    ]
    assert {one.program for one in journal.events("r")} == {diagnose.__version__}


def test_an_event_is_on_the_disk_when_append_returns(tmp_path):
    """Another connection sees the event at once, and SQLite is told to wait for the disk."""
    journal = fresh(tmp_path)
    journal.append("r", "round", at(0), "P-1", "", {})
    assert len(open_journal(journal.path).events("r")) == 1
    assert list(journal.rows("PRAGMA synchronous")) == [(2,)]
    assert list(journal.rows("PRAGMA journal_mode")) == [("wal",)]


def test_hostile_text_is_kept_to_the_last_character(tmp_path):
    """Markup, escapes, a lone surrogate and a megabyte come back unchanged."""
    journal = fresh(tmp_path)
    journal.append("r", "outcome", at(0), "P-1", "", {"text": HOSTILE})
    assert journal.events("r")[0].body["text"] == HOSTILE


def test_nothing_is_ever_changed_or_taken_out():
    """No module of the journal holds a statement that changes or deletes a row."""
    folder = Path(diagnose.journal.__file__).parent
    for file in folder.glob("*.py"):
        assert not re.search(r'"\s*(UPDATE|DELETE|REPLACE|DROP)\b', file.read_text()), file


def _add_and_fail(journal):
    with journal.writing():
        journal.insert("INSERT INTO mention (cause, run) VALUES (?, ?)", ("c", "r"))
        raise ZeroDivisionError


def test_a_failed_write_keeps_nothing_of_its_event(tmp_path):
    """An error inside a transaction leaves nothing of it behind."""
    journal = fresh(tmp_path)
    with pytest.raises(ZeroDivisionError):
        _add_and_fail(journal)
    assert list(journal.rows("SELECT * FROM mention")) == []


def _answer_for_ever(session):
    for _ in range(100):
        session.do(events.Report("oil-level", events.Answer(value="low", typed="x" * 4000)))
        _answer_for_ever.state = session.state


def test_a_full_disk_is_said_and_what_was_kept_stays(tmp_path):
    """When no page can be added the answer is refused in one line, the consultation stands, and earlier events read."""
    journal = fresh(tmp_path)
    session = consult(journal, "r", {"oil-look": "milky"}, concluded=False)
    _answer_for_ever.state = session.state
    list(journal.rows("PRAGMA max_page_count = 1"))
    with pytest.raises(JournalError, match="the disk is full") as refused:
        _answer_for_ever(session)
    assert "\n" not in str(refused.value)
    assert session.state == _answer_for_ever.state
    assert len(open_journal(journal.path).events("r")) >= 2


def test_a_file_that_is_no_journal_is_named_with_the_way_out(tmp_path):
    """A text file in its place gives one line that names the file and the check that rescues."""
    path = tmp_path / "journal.sqlite3"
    path.write_text("not a database " * 100)
    with pytest.raises(JournalError, match="journal check") as refused:
        open_journal(path)
    assert refused.value.damaged
    assert str(path) in str(refused.value)


def test_a_missing_journal_is_not_made_by_reading(tmp_path):
    """Asking to read where nothing is kept says so and leaves no file."""
    with pytest.raises(JournalError, match="no journal yet"):
        open_to_read(tmp_path / "none.sqlite3")
    assert list(tmp_path.iterdir()) == []


def test_a_journal_of_a_newer_program_is_left_alone(tmp_path):
    """A higher schema version is refused and not changed."""
    path = fresh(tmp_path).path
    db = sqlite3.connect(path)
    db.execute(f"PRAGMA user_version = {VERSION + 1}")
    db.commit()
    db.close()
    with pytest.raises(JournalError, match="newer version"):
        open_journal(path)
    assert sqlite3.connect(path).execute("PRAGMA user_version").fetchone() == (VERSION + 1,)


def _as_of(version: int, path: Path) -> sqlite3.Connection:
    db = sqlite3.connect(path, isolation_level=None)
    for change in CHANGES[:version]:
        change(db)
    db.execute(f"PRAGMA user_version = {version}")
    return db


@pytest.mark.parametrize("version", range(1, VERSION))
def test_a_journal_of_every_earlier_schema_keeps_all_it_held(version, tmp_path):
    """Opened by this version, a journal written under an earlier schema lists and reads as one written today."""
    db = _as_of(version, tmp_path / "old.sqlite3")
    for number, run in enumerate(["a", "b", "a"]):
        db.execute(
            "INSERT INTO event (run, kind, at, machine, rules, body) VALUES (?, 'consultation', ?, 'P-1', 'x', '{}')",
            (run, at(number)),
        )
    db.close()
    journal = open_journal(tmp_path / "old.sqlite3")
    assert journal.runs() == ["a", "b"]
    assert [one.number for one in journal.events("a")] == [1, 3]
    assert [one.run for one in find(journal, Wanted(machine="P-1"))] == ["b", "a"]
    journal.append("c", "consultation", at(9), "P-1", "x", {})
    assert journal.runs() == ["a", "b", "c"]


@pytest.mark.parametrize("version", range(VERSION))
def test_a_migration_that_fails_half_way_leaves_the_old_schema(version, tmp_path, monkeypatch):
    """An error in the last statement of a change leaves version and tables as they were, and a later try succeeds."""
    path = tmp_path / "old.sqlite3"
    db = _as_of(version, path)
    before = db.execute("SELECT name FROM sqlite_master ORDER BY name").fetchall()

    def broken(db):
        CHANGES[version](db)
        raise sqlite3.OperationalError("power")

    changes = (*CHANGES[:version], broken, *CHANGES[version + 1 :])
    monkeypatch.setattr("diagnose.journal.migrations.CHANGES", changes)
    with pytest.raises(sqlite3.OperationalError):
        migrate(db)
    assert db.execute("SELECT name FROM sqlite_master ORDER BY name").fetchall() == before
    assert db.execute("PRAGMA user_version").fetchone() == (version,)
    monkeypatch.undo()
    assert migrate(db) == VERSION
