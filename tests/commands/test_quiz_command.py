"""The quiz commands as a trainer runs them."""

import csv
import io
import json
import os
import re
from pathlib import Path

import pytest

from diagnose.commands import quiz_names, wiring
from diagnose.commands.main import main
from diagnose.journal.outcomes import Outcome, record
from diagnose.journal.store import open_journal
from diagnose.knowledge import library

GOOD = "3\noiler bottle\n1\nready\nshort of oil\n1\n90\ndone\ndone\n4\n\n"


@pytest.fixture
def quiz(monkeypatch, capsys):
    """Return a function that runs a quiz command on typed lines and gives what it printed."""

    def run(*arguments, typed=""):
        monkeypatch.setattr("sys.stdin", io.StringIO(typed))
        status = main(["quiz", *arguments])
        printed = capsys.readouterr()
        assert status == 0, printed.err
        return printed.out

    return run


@pytest.fixture
def practised(quiz):
    """Let a trainee do the first case of the course."""
    return quiz("run", "--plain", "--course", "--trainee", "Nora Example", typed=GOOD)


def names_file():
    """Return the text of the file of names."""
    return (Path(os.environ["DIAGNOSE_DATA"]) / "trainees.json").read_text(encoding="utf-8")


def test_results_tell_of_trainee_class_cause_and_question(practised, quiz):
    """After one case the results name the trainee, give no level, and list cause, question and method."""
    told = quiz("results")
    assert "Nora Example: 1 case, mean mark" in told
    assert "no level yet (fewer than 20 cases)" in told
    assert "course-oil-low-before-the-start: 1 attempt," in told
    assert "Method: Safety counts 40" in told


def test_exports_hold_no_name_unless_asked(practised, quiz):
    """CSV and JSON know the random id only; with --names the name stands there."""
    plain, asked = quiz("results", "--csv", "-"), quiz("results", "--csv", "-", "--names")
    assert "Nora" not in plain + quiz("results", "--json")
    assert "Nora Example" in asked
    row = next(csv.DictReader(io.StringIO(plain)))
    assert row["trainee"].startswith("t-")
    assert float(row["mark"]) > 60


def test_the_journal_knows_no_name(practised):
    """Nothing of the name stands in the journal's file."""
    assert b"Nora" not in (Path(os.environ["DIAGNOSE_DATA"]) / "demo-journal.sqlite3").read_bytes()
    assert "Nora Example" in names_file()


def test_an_erased_name_is_gone_and_the_marks_stay(practised, quiz):
    """After --erase the name stands nowhere, and the attempt is still counted."""
    quiz("results", "--erase", "nora example")
    assert "Nora" not in names_file()
    assert json.loads(quiz("results", "--json"))["attempts"][0]["mark"] > 60
    assert "Nora" not in quiz("results")


def test_the_course_goes_on_for_each_trainee_alone(practised, quiz):
    """The second case of the one who practised is the first of another."""
    again = quiz("run", "--plain", "--course", "--trainee", "Nora Example", typed="")
    other = quiz("run", "--plain", "--course", "--trainee", "Someone Else", typed="")
    assert "Bearing oil level: low or empty" not in again
    assert "Bearing oil level: low or empty" in other


def test_a_case_that_is_left_says_how_to_go_on(quiz):
    """Kept, it says how to take it up; without a journal it does not claim to be saved."""
    assert "Saved. 'diagnose quiz run --resume'" in quiz("run", "--plain", "--course", typed="3\n")
    told = quiz("run", "--plain", "--course", "--no-journal", typed="3\n")
    assert "Saved" not in told
    assert "cannot be taken up again" in told


def test_teams_take_turns(quiz):
    """Two teams at one screen have a question each."""
    told = quiz(
        "run",
        "--plain",
        "--course",
        "--format",
        "first-action",
        "--count",
        "2",
        "--teams",
        "Red, Blue",
        typed="3\n\n3\n\n",
    )
    assert "Team Red." in told
    assert "Team Blue." in told
    assert "Team Red: mean mark 100 in 1 question." in told
    assert re.search(r"Team Blue: mean mark \d+ in 1 question\.", told)
    assert "team Red: 1 case" in quiz("results")


def test_the_page_is_a_record_to_be_signed(practised, quiz, tmp_path):
    """The page holds name, standing with its interval, method, a drawing and lines to sign."""
    quiz("results", "--page", str(tmp_path / "page.html"))
    assert "Nora" not in (tmp_path / "page.html").read_text(encoding="utf-8")
    quiz("results", "--page", str(tmp_path / "page.html"), "--names")
    page = (tmp_path / "page.html").read_text(encoding="utf-8")
    assert all(text in page for text in ("Nora Example", "95 % interval", "Trainer", "<svg", "Brier"))


def test_an_ended_case_is_gone_over_again(practised, quiz, tmp_path):
    """The latest, or one by its id of the CSV: in lines, and as a page that holds a name only when asked."""
    attempt = next(csv.DictReader(io.StringIO(quiz("results", "--csv", "-"))))["attempt"]
    assert quiz("debrief") == quiz("debrief", attempt) == quiz("debrief", "--trainee", "Nora Example")
    file = tmp_path / "debrief.html"
    quiz("debrief", "--page", str(file))
    text = file.read_text(encoding="utf-8")
    assert "<svg" in text
    assert "Nora" not in text
    quiz("debrief", "--page", str(file), "--names")
    assert "Nora Example" in file.read_text(encoding="utf-8")


def test_a_debrief_of_what_was_not_ended_is_refused(quiz, capsys):
    """A case left half way and an unknown id are each one line."""
    quiz("run", "--plain", "--course", typed="3\n")
    for arguments, says in (([], "No case has been ended yet."), (["20260101-abcd"], "There is no attempt")):
        assert main(["quiz", "debrief", *arguments]) == 2
        assert says in capsys.readouterr().err


def test_the_question_sheet_tells_no_answer_and_the_answer_sheet_does(quiz, tmp_path):
    """Causes, titles, ids and teaching notes stand on the answer sheet only."""
    quiz("sheets", "--course", "--count", "6", "--out", str(tmp_path))
    asked = (tmp_path / "questions.html").read_text(encoding="utf-8")
    told = (tmp_path / "answers.html").read_text(encoding="utf-8")
    knowledge = library.load(site=library.demo_site()).knowledge
    cases = library.load_cases([library.shipped_cases() / "course"], knowledge)[0]
    case = next(one for one in cases if one.id == "course-oil-low-before-the-start")
    title = knowledge.causes["bearing-oil-low"].title
    assert [text for text in (case.id, case.title, case.teaches, title, "true-causes") if text in asked] == []
    assert case.id in told
    assert title in told


@pytest.mark.parametrize("kind", ["next-check", "first-action", "odd-reading"])
def test_question_sheets_of_closed_questions_do_not_mark_the_best(quiz, tmp_path, kind):
    """What each option counts stands on the answer sheet only."""
    quiz("sheets", "--course", "--count", "2", "--format", kind, "--seed", "4", "--out", str(tmp_path))
    assert "100%</td>" not in (tmp_path / "questions.html").read_text(encoding="utf-8")
    assert "100%</td>" in (tmp_path / "answers.html").read_text(encoding="utf-8")


def test_made_cases_load_and_pass(quiz, tmp_path, capsys):
    """A made case written to a file is replayed by 'diagnose case' and passes."""
    file = tmp_path / "made.yaml"
    quiz("make", "--seed", "11", "--difficulty", "easy", "--out", str(file))
    assert main(["case", str(file), "--brief"]) == 0
    assert "1 of 1 cases passed" in capsys.readouterr().out


def test_a_closed_job_becomes_a_case_without_names(quiz, tmp_path, capsys, monkeypatch):
    """A consultation with a known outcome is a case in one command; who recorded it and what was typed are left out."""
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    consult = [
        "consult",
        "--no-input",
        "--machine",
        "CP-4",
        "--phase",
        "loaded",
        "--reading",
        "bearing-oil-level=low or empty",
    ]
    assert main([*consult, "--reading", "oiler-bottle=empty"]) == 0
    capsys.readouterr()
    arguments = type("Given", (), {"site": None})()
    journal = open_journal(wiring.journal_path(arguments))
    run = journal.runs()[-1]
    record(journal, run, wiring.now(), Outcome(causes=("bearing-oil-low",), by="Nora Example", done="Filled by Nora"))
    text = quiz("make", "--from", run)
    assert "true-causes: [bearing-oil-low]" in text
    assert "bearing-oil-level: low-or-empty" in text
    assert "Nora" not in text
    (tmp_path / "case.yaml").write_text(text, encoding="utf-8")
    assert main(["case", str(tmp_path / "case.yaml"), "--brief"]) == 0


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["make", "--subsystem", "lubricaton"], "Did you mean 'lubrication'?"),
        (["make", "--machine", "BFP-9"], "The site has no machine 'BFP-9'."),
        (["make", "--from", "20260101-abcd"], "There is no"),
        (["run", "--course", "operater", "--plain"], "Did you mean 'operator'?"),
        (["run", "--resume", "--plain"], "No case was left"),
        (["debrief"], "There is no journal yet."),
        (["results", "--trainee", "Nobody"], "No trainee is called 'Nobody'."),
    ],
)
def test_wrong_use_is_one_line_with_a_mend(arguments, says, capsys, monkeypatch):
    """Each wrong use ends with status 2 and one line."""
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    assert main(["quiz", *arguments]) == 2
    told = capsys.readouterr().err
    assert says in told
    assert "Traceback" not in told


def test_a_damaged_file_of_names_is_said(tmp_path):
    """Names that cannot be read are one complaint, and are not overwritten."""
    path = tmp_path / "trainees.json"
    path.write_text("{broken", encoding="utf-8")
    with pytest.raises(Exception, match="cannot be read"):
        quiz_names.id_of("Nora", path, make=True)
    assert path.read_text(encoding="utf-8") == "{broken"
