"""Runs are found by machine, time, cause, open or closed, newest first."""

from __future__ import annotations

import pytest

from diagnose.journal.finding import Wanted, find
from diagnose.journal.outcomes import Outcome, record
from tests.journal.kept import at, consult, fresh


@pytest.fixture(scope="module")
def journal(tmp_path_factory):
    kept = fresh(tmp_path_factory.mktemp("finding"))
    consult(kept, "milky", {"oil-look": "milky"}, start=0)
    consult(kept, "noisy", {"bearing-noise": "growling"}, start=60, machine="P-2")
    consult(kept, "high", {"exhaust-pressure": "2.9"}, start=120)
    kept.append("sheet", "round", at(90), "P-1", "", {})
    record(kept, "milky", at(200), Outcome(causes=("jacket-leak",)))
    record(kept, "noisy", at(201), Outcome(none_found=True))
    record(kept, "noisy", at(202), Outcome(withdrawn=True, why="another machine"))
    return kept


def _found(journal, **wanted):
    return [one.run for one in find(journal, Wanted(**wanted))]


@pytest.mark.parametrize(
    ("wanted", "expected"),
    [
        ({}, ["high", "noisy", "milky"]),
        ({"kind": ""}, ["high", "sheet", "noisy", "milky"]),
        ({"machine": "P-1"}, ["high", "milky"]),
        ({"since": at(60), "until": at(120)}, ["noisy"]),
        ({"cause": "gland-steam"}, ["milky"]),
        ({"cause": "jacket-leak"}, ["milky"]),
        ({"cause": "header-high"}, ["high"]),
        ({"closed": True}, ["milky"]),
        ({"closed": False}, ["high", "noisy"]),
        ({"closed": False, "machine": "P-1"}, ["high"]),
        ({"machine": "' OR 1 --"}, []),
    ],
)
def test_filters_let_through_what_they_name(journal, wanted, expected):
    """Each filter, and two together, give exactly the runs that fit; a withdrawn outcome leaves the job open."""
    assert _found(journal, **wanted) == expected


def test_a_limit_gives_the_newest(journal):
    """A limit of one gives the newest run alone."""
    assert [one.run for one in find(journal, Wanted(), limit=1)] == ["high"]
