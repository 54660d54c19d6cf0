"""What is exported can be taken in elsewhere whole, and does nothing to the program that opens it."""

from __future__ import annotations

import csv
import io
import json

from diagnose.journal.exporting import csv_rows, json_lines, take_in, write_csv
from diagnose.journal.outcomes import Outcome, record
from diagnose.journal.revisions import keep_rules, kept_rules
from diagnose.journal.store import open_journal
from tests.journal.kept import TEXTS, at, consult, fresh

HOSTILE = '=HYPERLINK("http://x")\x1b[2J\u202e<script>'


def _journal(folder):
    journal = fresh(folder)
    consult(journal, "milky", {"oil-look": "milky"}, {"oil-level": "rising"})
    keep_rules(journal, "abc", at(0), lambda: TEXTS)
    record(journal, "milky", at(60), Outcome(text=HOSTILE))
    journal.append("quiz-1", "quiz", at(61), "", "", {"trainee": "Kim"})
    return journal


def _content(journal):
    return [(one.run, one.kind, one.at, one.body, one.program) for one in journal.select("ORDER BY number")]


def test_an_export_taken_in_elsewhere_holds_the_same(tmp_path):
    """Every event and every rule text arrives, and taking the same in again adds nothing."""
    journal = _journal(tmp_path)
    lines = list(json_lines(journal))
    other = open_journal(tmp_path / "other" / "journal.sqlite3")
    taken = take_in(other, lines)
    assert (taken.known, taken.refused) == (0, ())
    assert _content(other) == _content(journal)
    assert kept_rules(other, "abc") == TEXTS
    assert take_in(other, lines).added == 0
    assert _content(other) == _content(journal)


def test_what_is_left_out_is_left_out(tmp_path):
    """Without quizzes, no line names a trainee."""
    journal = _journal(tmp_path)
    assert not any("Kim" in line for line in json_lines(journal, ("quiz",)))
    assert not any("Kim" in cell for row in csv_rows(journal, ("quiz",)) for cell in row)
    assert any("Kim" in line for line in json_lines(journal))


def test_lines_that_are_no_events_are_refused_by_number_and_the_rest_is_taken(tmp_path):
    """Noise, a wrong shape and a cut line are refused with their line numbers; sound lines around them are added."""
    good = list(json_lines(_journal(tmp_path)))
    lines = [good[0], "noise", '{"run": 1}', good[1][:40], "", good[1], "[]", '"x"', "9" * 5000]
    taken = take_in(open_journal(tmp_path / "other.sqlite3"), lines)
    assert taken.added == 2
    assert [line.split(":")[0] for line in taken.refused] == [
        "line 2",
        "line 3",
        "line 4",
        "line 7",
        "line 8",
        "line 9",
    ]


def test_two_consultations_of_one_id_are_not_mixed(tmp_path):
    """An id that is another consultation's here is refused, with all that follows under it."""
    journal = _journal(tmp_path)
    other = open_journal(tmp_path / "other.sqlite3")
    consult(other, "milky", {"bearing-noise": "growling"}, start=300)
    before = _content(other)
    taken = take_in(other, json_lines(journal, ("quiz",)))
    assert taken.added == 0
    assert len(taken.refused) == len(journal.events("milky"))
    assert _content(other) == before


def test_no_cell_of_the_csv_is_a_formula_or_acts_on_a_screen(tmp_path):
    """Read back, no cell begins as a formula and every character can be seen."""
    journal = _journal(tmp_path)
    journal.append("=1+1", "round", at(70), "@x", "-y", {"kind": "+z", "finding": "=A1"})
    file = io.StringIO()
    write_csv(csv_rows(journal), file)
    rows = list(csv.reader(io.StringIO(file.getvalue())))
    cells = [cell for row in rows for cell in row]
    assert len({len(row) for row in rows}) == 1
    assert not [cell for cell in cells if cell[:1] in ("=", "+", "-", "@")]
    assert all(cell.isprintable() for cell in cells)
    body = json.loads(next(row[-1] for row in rows if row[2] == "outcome"))
    assert body["text"] == HOSTILE
