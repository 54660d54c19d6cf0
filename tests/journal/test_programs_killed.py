"""The real programs, killed with SIGKILL or short of room for their journal, lose nothing that they acknowledged."""

from __future__ import annotations

import os
import signal
import sys
from contextlib import contextmanager
from pathlib import Path

import pexpect
import pytest

from diagnose.journal.store import open_journal
from tests.journal.programs import KINDS, ROOT, Tally, kill_program

sys.path.append(str(ROOT / "tests" / "terminal"))
from seen_terminal import SeenTerminal

pytestmark = pytest.mark.skipif(not Path("/proc/self/wchan").exists(), reason="needs Linux's /proc")


@pytest.fixture
def cache(tmp_path_factory):
    """Share compiled rules among the programs."""
    return tmp_path_factory.getbasetemp() / "cache"


@pytest.mark.parametrize("kind", sorted(set(KINDS)))
def test_killed_programs_lose_nothing_and_go_on_where_they_stood(kind, tmp_path, cache):
    """Killed twice in the middle of answers, all acknowledged ones are kept and the open question stands again."""
    total = Tally()
    for seed in (3, 5):
        total.add(kill_program(tmp_path, cache, seed, kind=kind))
    assert total.faults == []
    assert total.well


def test_without_room_a_program_says_so_and_keeps_what_it_acknowledged(tmp_path, cache):
    """Where its files cannot grow, each answer is refused in a line, and what was taken before is there."""
    total = Tally()
    kill_program(tmp_path, cache, 20, kind="consult")  # so that the journal stands and holds the rules
    for number, room in enumerate((30_000, 60_000, 90_000)):
        total.add(kill_program(tmp_path, cache, 23 + number, kind="consult", room=room))
    assert total.faults == []
    assert total.well
    assert total.acknowledged
    assert total.refused


def test_killed_at_the_full_screen_it_goes_on_at_the_open_question(tmp_path, cache):
    """At a pseudo-terminal, killed while the second question stands, the full screen comes back with that question."""
    on = ["--machine", "BFP-2", "--phase", "loaded"]
    with at_terminal(["consult", *on, "--reading", "bearing-oil-look=milky"], tmp_path, cache) as first:
        first.wait_for("What does the gland leak-off outlet show?", 60)
        first.send("2\r")
        before = first.wait_for("Noted: heavy.", 60)
        first.child.kill(signal.SIGKILL)
    with at_terminal(["consult", "--resume"], tmp_path, cache) as second:
        after = second.wait_for("? all keys", 60)
    open_question = next(line for line in before.splitlines() if line.rstrip().endswith("?"))
    assert "leak-off" not in open_question
    assert open_question in after.splitlines()
    assert "bearing-oil-look" in str(kept_bodies(tmp_path))
    assert [body["answer"]["value"] for body in kept_bodies(tmp_path) if body["kind"] == "Answered"] == [
        "milky",
        "heavy",
    ]


@contextmanager
def at_terminal(arguments, data, cache):
    """Run a command of the real program at a pseudo-terminal."""
    env = {**os.environ, "PYTHONPATH": str(ROOT), "DIAGNOSE_DATA": str(data), "DIAGNOSE_CACHE": str(cache)}
    env |= {"TERM": "xterm-256color", "LC_ALL": "C.UTF-8", "PROMPT_TOOLKIT_NO_CPR": "1"}
    child = pexpect.spawn(
        sys.executable, ["-m", "diagnose", *arguments], env=env, cwd=str(data), dimensions=(40, 100), encoding="utf-8"
    )
    try:
        yield SeenTerminal(child, 100, 40)
    finally:
        child.close(force=True)


def kept_bodies(data):
    """Return the bodies of all consultations' events."""
    journal = open_journal(data / "demo-journal.sqlite3")
    return [one.body for run in journal.runs() for one in journal.events(run, "consultation")]
