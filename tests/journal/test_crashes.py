"""Killed at any moment, or short of room, a writer loses nothing that it was told is kept."""

from __future__ import annotations

import multiprocessing

import pytest

from diagnose.journal.store import open_journal
from tests.journal.kept import at, fresh
from tests.journal.killing import Found, kill_once
from tests.knowledge_samples import sample


def _found(folder, seeds, **more) -> Found:
    sample()  # so that the children need not load it
    path = fresh(folder).path
    total = Found()
    for seed in seeds:
        total.add(kill_once(path, seed, **more))
    return total


def test_killed_at_random_moments_nothing_acknowledged_is_lost(tmp_path):
    """After kills in consultations, rounds and quizzes every acknowledged event is there and the file reads."""
    found = _found(tmp_path, range(9))
    assert found.acknowledged > 20
    assert (found.lost, found.unreadable, found.misplaced) == (0, 0, 0)


def test_a_killed_consultation_stands_at_the_question_that_was_open(tmp_path):
    """Taken up again from what was kept, it asks what had been on the screen."""
    found = _found(tmp_path, range(0, 24, 3))
    assert found.resumed
    assert found.misplaced == 0


@pytest.mark.parametrize("room", [0, 60_000, 120_000])
def test_without_room_the_refusal_is_said_and_nothing_kept_is_lost(tmp_path, room):
    """When the files cannot grow any more, the writer is told in a line, and all that was acknowledged stays."""
    found = _found(tmp_path, range(3), room=room)
    assert found.refused == 3
    assert (found.lost, found.unreadable) == (0, 0)


def _append(path, name: str, events: int) -> None:
    journal = open_journal(path)
    for number in range(events):
        journal.append(name, "round", at(0), "P-1", "", {"n": number})


def test_several_processes_write_at_once_and_each_keeps_its_order(tmp_path):
    """Four processes appending together lose nothing and none mixes up its own order."""
    path = fresh(tmp_path).path
    context = multiprocessing.get_context("spawn")
    writers = [context.Process(target=_append, args=(path, f"w{number}", 40)) for number in range(4)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join(60)
    journal = open_journal(path)
    assert {one.exitcode for one in writers} == {0}
    for number in range(4):
        assert [one.body["n"] for one in journal.events(f"w{number}")] == list(range(40))
