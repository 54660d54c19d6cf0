"""Cases from published trouble tables and event notices, replayed with at most eight questions each.

They were written from their documents before the program was run on them; ``first-run.json`` keeps what it said then.
"""

import json
from math import sqrt
from pathlib import Path

import pytest

from diagnose.consultation.replay import replay
from diagnose.knowledge import library

CASES = library.shipped_cases() / "published"
QUESTIONS = 8
CONFIDENT = 0.5
Z_95 = 1.959964


@pytest.fixture(scope="module")
def outcomes():
    """All published cases, each with its outcome."""
    knowledge = library.load(site=library.shipped_cases() / "demo-site").knowledge
    cases, problems = library.load_cases([CASES], knowledge)
    assert not problems
    return [(case, replay(case, knowledge, QUESTIONS)) for case in cases]


def wilson(hits, total):
    """Return Wilson's 95 % interval for a share of hits among so many."""
    share, spread = hits / total, Z_95 * Z_95 / total
    middle = (share + spread / 2) / (1 + spread)
    half = sqrt(share * (1 - share) * spread + spread * spread / 4) / (1 + spread)
    return middle - half, middle + half


def share_ranked(outcomes, worst):
    """Return the share of cases whose true causes rank so well or better, and a sentence that tells it."""
    hits = [0 < outcome.rank <= worst for _, outcome in outcomes]
    low, high = wilson(sum(hits), len(hits))
    missed = [case.id for (case, _), hit in zip(outcomes, hits, strict=True) if not hit]
    said = f"{sum(hits)} of {len(hits)} within rank {worst} (95 % interval {low:.3f} to {high:.3f}); not: {missed}"
    return sum(hits) / len(hits), said


def right(case):
    """Return every cause that may lead; the empty name stands for something not covered."""
    return (case.true_causes or frozenset([""])).union(*case.accept)


def test_wilson_interval_of_a_known_share():
    """Wilson's interval for 81 of 263 is 0.255 to 0.366, as Newcombe (1998) prints it."""
    assert wilson(81, 263) == pytest.approx((0.2553, 0.3662), abs=5e-5)


def test_there_are_enough_cases_and_each_names_a_document(outcomes):
    """At least fifty cases are there, and none is drawn from common practice."""
    assert len(outcomes) >= 50
    assert not [case.id for case, _ in outcomes if case.source.startswith("common practice")]


def test_right_cause_leads(outcomes):
    """The right cause leads in at least 85 % of the cases."""
    share, said = share_ranked(outcomes, 1)
    assert share >= 0.85, said


def test_right_cause_among_first_three(outcomes):
    """The right cause is among the first three in at least 97 % of the cases."""
    share, said = share_ranked(outcomes, 3)
    assert share >= 0.97, said


@pytest.mark.xfail(reason="not reached yet: two cautions of two cases, on findings not asked within eight questions")
def test_no_caution_missed(outcomes):
    """Every caution that a case plainly deserves is raised."""
    missed = {case.id: sorted(case.must_caution - set(outcome.cautions)) for case, outcome in outcomes}
    assert not {case: cautions for case, cautions in missed.items() if cautions}


def test_missed_cautions_do_not_grow(outcomes):
    """At most two cautions are missed in all, which has been reached."""
    missed = [caution for case, outcome in outcomes for caution in case.must_caution - set(outcome.cautions)]
    assert len(missed) <= 2, missed


def test_no_caution_raised_in_error(outcomes):
    """No caution is raised that a case says would be an error."""
    raised = {case.id: sorted(case.must_not_caution & set(outcome.cautions)) for case, outcome in outcomes}
    assert not {case: cautions for case, cautions in raised.items() if cautions}


def test_no_confident_wrong_cause_without_a_word(outcomes):
    """Where a wrong cause leads with half of the belief or more, the end refers to the supervisor."""
    wrong = [
        (case.id, outcome.ranking[0])
        for case, outcome in outcomes
        if outcome.ranking[0][0] not in {"", *right(case)} and outcome.ranking[0][1] >= CONFIDENT
        if not outcome.refer
    ]
    assert not wrong


def test_first_run_adds_up():
    """The kept first run counts its own rows rightly, so that nobody mended its figures by hand."""
    kept = json.loads((Path(__file__).parent / "first-run.json").read_text(encoding="utf-8"))
    ranks = [row["rank"] for row in kept["cases"]]
    assert len(ranks) == kept["summary"]["cases"] >= 50
    assert kept["summary"]["rank_1_share"] == pytest.approx(sum(rank == 1 for rank in ranks) / len(ranks))
    assert kept["summary"]["passed"] == sum(row["passed"] for row in kept["cases"])
