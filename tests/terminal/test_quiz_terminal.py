"""Every kind of quiz at a real pseudo-terminal, full screen and plain, as a trainee sees it."""

import os
import sys
from contextlib import contextmanager
from pathlib import Path

import pexpect
import pytest
from seen_terminal import ROOT, SeenTerminal

SLOW = 60.0  # seconds: the program loads the rules and may make a case


@pytest.fixture(scope="module")
def folders(tmp_path_factory):
    """Return where compiled rules and journals of these tests are kept."""
    return {
        "DIAGNOSE_CACHE": str(tmp_path_factory.mktemp("cache")),
        "DIAGNOSE_DATA": str(tmp_path_factory.mktemp("data")),
    }


@contextmanager
def quiz(folders, *arguments, columns=100, rows=50):
    """Run 'diagnose quiz run' at a terminal; it is ended with the test."""
    kept = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "DIAGNOSE_SITE")}
    known = {**kept, "PYTHONPATH": str(ROOT), "TERM": "xterm-256color", "LC_ALL": "C.UTF-8", **folders}
    command = ["-m", "diagnose", "quiz", "run", *arguments]
    child = pexpect.spawn(sys.executable, command, dimensions=(rows, columns), env=known, encoding="utf-8", cwd=ROOT)
    try:
        yield SeenTerminal(child, columns, rows)
    finally:
        child.close(force=True)


def do_the_first_case(seen):
    """Hold the start, look at the bottle, name the cause, and stand at what to do."""
    seen.wait_for("Before anything else", SLOW)
    seen.send("3\r")
    seen.wait_for("What do you look at?", SLOW)
    seen.send("oiler bottle\r")
    seen.wait_for("What do you look at there?", SLOW)
    seen.send("1\r")
    seen.wait_for("Oiler bottle: empty.", SLOW)


def name_the_cause(seen):
    """Name the right cause and reach the marks."""
    seen.send("ready\r")
    seen.wait_for("Which causes?", SLOW)
    seen.send("short of oil\r")
    seen.wait_for("Which?", SLOW)
    seen.send("1\r")
    seen.wait_for("How sure are you", SLOW)
    seen.send("90\r")
    seen.wait_for("90%", SLOW)
    seen.send("done\r")
    seen.wait_for("What do you do yourself", SLOW)
    seen.send("done\r")
    seen.wait_for("Whom do you tell?", SLOW)
    seen.send("4\r")
    return seen.wait_for("of 100", SLOW)


def test_an_open_diagnosis_on_the_full_screen_from_report_to_marks(folders):
    """First action, a look by words, a cause with a certainty, whom to tell: then the marks and why."""
    with quiz(folders, "--course", "--no-journal") as seen:
        do_the_first_case(seen)
        text = name_the_cause(seen)
        assert "Safety: 40 of 40" in text
        assert "DO NOT START, from the report" in text


def test_an_interrupted_case_is_taken_up_where_it_was(folders):
    """Ctrl-C in the middle, then --resume: what was seen stands, and the case goes on to its marks."""
    with quiz(folders, "--course", "--trainee", "Test Person") as seen:
        do_the_first_case(seen)
        seen.send("\x03")
        seen.wait_for_end(SLOW)
    with quiz(folders, "--resume", "--trainee", "Test Person") as seen:
        text = seen.wait_for("What do you look at?", SLOW)
        assert "Oiler bottle: empty" in " ".join(text.split())
        assert "Safety: 40 of 40" in name_the_cause(seen)


@pytest.mark.parametrize("plain", [(), ("--plain",)], ids=["full", "plain"])
@pytest.mark.parametrize(
    ("kind", "asks", "answer"),
    [
        ("next-check", "Which check would you make next?", "1\r"),
        ("first-action", "What do you do now", "3\r"),
        ("odd-reading", "One reading is not as it should be.", "1\r"),
        ("start-order", "Put these checks of a start in order", "1 2 3 4 5 6\r"),
    ],
)
def test_each_closed_question_is_asked_answered_and_marked(folders, kind, asks, answer, plain):
    """In both faces the question stands there, an answer is taken, and its mark follows."""
    with quiz(folders, "--course", "--no-journal", "--seed", "3", "--format", kind, *plain, rows=60) as seen:
        before = seen.wait_for(asks, SLOW)
        assert "Mark:" not in before
        seen.send(answer)
        assert "of 100" in seen.wait_for("Mark:", SLOW)


def test_the_time_allowed_ends_the_checks(folders):
    """When the minutes are over no more checks are made, and the causes are asked for."""
    with quiz(folders, "--course", "--no-journal", "--minutes", "0.0001") as seen:
        seen.wait_for("Before anything else", SLOW)
        seen.send("3\r")
        seen.wait_for("What do you look at?", SLOW)
        seen.send("oiler bottle\r")
        text = seen.wait_for("The time for checks is up", SLOW)
        assert "Which causes?" in text


def test_nothing_in_the_process_list_tells_the_answer(folders):
    """The command line of a running quiz holds what was typed and nothing of the case."""
    with quiz(folders, "--course", "--no-journal") as seen:
        seen.wait_for("Before anything else", SLOW)
        line = Path(f"/proc/{seen.child.pid}/cmdline").read_text(encoding="utf-8")
        assert "course-oil-low" not in line + seen.raw
        assert "bearing-oil-low" not in line + seen.raw
