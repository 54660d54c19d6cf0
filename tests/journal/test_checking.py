"""A damaged journal is told from a sound one, and all that can be read of it is saved."""

from __future__ import annotations

import random

import pytest

from diagnose.journal.checking import check, rescue
from diagnose.journal.failures import JournalError
from diagnose.journal.revisions import keep_rules, kept_rules
from diagnose.journal.store import open_journal
from diagnose.values.problem import DiagnoseError
from tests.journal.kept import TEXTS, at, consult, fresh

PAGE = 4096


def _filled(folder, events=400):
    journal = fresh(folder)
    keep_rules(journal, "abc", at(0), lambda: TEXTS)
    consult(journal, "r", {"oil-look": "milky"}, {"oil-level": "rising"})
    for number in range(events):
        journal.append(f"s{number % 7}", "round", at(0), "P-1", "abc", {"n": number, "pad": "y" * 150})
    list(journal.rows("PRAGMA wal_checkpoint(TRUNCATE)"))
    journal.close()
    return journal.path


def _all(path):
    return {event.number: event.body for event in open_journal(path).select("ORDER BY number")}


def test_a_sound_journal_has_no_fault(tmp_path):
    """Nothing is said of a journal that is whole."""
    assert check(open_journal(_filled(tmp_path))) == ()


def test_missing_and_senseless_events_are_named_by_number(tmp_path):
    """A gap, a consultation without a beginning and an event that cannot be read each give a line with its number."""
    journal = fresh(tmp_path)
    journal.append("r", "consultation", at(0), "P-1", "", {"kind": "Skipped", "finding": "oil-look"})
    journal.append("q", "consultation", at(0), "P-1", "", {"kind": "Unheard"})
    with journal.writing():
        journal.insert(
            "INSERT INTO event (number, run, kind, at, machine, rules, body) VALUES (9,?,?,?,?,?,?)",
            ("z", "round", at(0), "P-1", "", "no json"),
        )
    assert check(journal) == (
        "Event 1 of r: its consultation has no beginning.",
        "Event 2 of q: cannot be understood by this version.",
        "Events 3 to 8 are missing.",
        "Event 9 of z: cannot be understood by this version.",
    )


@pytest.mark.parametrize("seed", range(6))
def test_of_a_journal_with_ruined_pages_the_rest_is_saved(seed, tmp_path):
    """Pages overwritten with noise cost the events on them; every other event is saved as it was."""
    path = _filled(tmp_path)
    whole = _all(path)
    noise = random.Random(seed)
    raw = bytearray(path.read_bytes())
    for page in noise.sample(range(1, len(raw) // PAGE), 2):
        raw[page * PAGE : (page + 1) * PAGE] = noise.randbytes(PAGE)
    path.write_bytes(raw)
    saved = rescue(path, tmp_path / "saved.sqlite3")
    rest = _all(saved.path)
    assert all(whole[number] == body for number, body in _by_body(rest, whole))
    assert len(rest) + len(saved.lost) == len(whole)
    assert len(rest) >= len(whole) * 0.7
    assert check(open_journal(saved.path)) == () or saved.lost
    assert path.read_bytes() == bytes(raw), "the damaged file is only read"


def _by_body(rest, whole):
    """Pair saved events, which are numbered anew, with the numbers they had."""
    numbers = iter(sorted(whole))
    for body in rest.values():
        yield next(number for number in numbers if whole[number] == body), body


def test_a_lost_first_page_loses_no_event(tmp_path):
    """With the head of the file gone SQLite refuses it, and yet every event and rule text is saved."""
    path = _filled(tmp_path)
    whole = list(_all(path).values())
    raw = bytearray(path.read_bytes())
    raw[:PAGE] = bytes(PAGE)
    path.write_bytes(raw)
    with pytest.raises(JournalError):
        open_journal(path)
    saved = rescue(path, tmp_path / "saved.sqlite3")
    assert list(_all(saved.path).values()) == whole
    assert kept_rules(open_journal(saved.path), "abc") == TEXTS


def test_a_torn_last_write_costs_at_most_what_was_not_acknowledged(tmp_path):
    """Cut anywhere, the write-ahead log still yields every event that had been acknowledged up to there."""
    journal = fresh(tmp_path)
    log = journal.path.with_name(journal.path.name + "-wal")
    sizes = []
    for number in range(12):
        journal.append("r", "round", at(0), "P-1", "", {"n": number})
        sizes.append(log.stat().st_size)
    file, tail = journal.path.read_bytes(), log.read_bytes()
    for cut in range(0, len(tail), 2999):
        folder = tmp_path / str(cut)
        folder.mkdir()
        torn = folder / "journal.sqlite3"
        torn.write_bytes(file)
        torn.with_name("journal.sqlite3-wal").write_bytes(tail[:cut] + bytes(len(tail) - cut))
        read = [one.body["n"] for one in open_journal(torn).events("r")]
        kept = sum(size <= cut for size in sizes)
        assert read == list(range(len(read)))
        assert kept <= len(read) <= kept + 1


def test_a_rescue_overwrites_nothing_and_admits_when_nothing_is_left(tmp_path):
    """A file that stands is not overwritten; noise yields no journal but a line that says to take a backup."""
    path = tmp_path / "noise.sqlite3"
    path.write_bytes(random.Random(1).randbytes(20_000))
    with pytest.raises(DiagnoseError, match="stands already"):
        rescue(path, path)
    with pytest.raises(JournalError, match="Go back to a backup"):
        rescue(path, tmp_path / "new.sqlite3")
    assert not (tmp_path / "new.sqlite3").exists()
