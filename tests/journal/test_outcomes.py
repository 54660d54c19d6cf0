"""What maintenance found is recorded once, corrected by a later record, never erased."""

from __future__ import annotations

import pytest

from diagnose.journal.outcomes import Outcome, check, outcomes, record, standing_outcome
from diagnose.values.problem import DiagnoseError
from tests.journal.kept import at, consult, fresh


@pytest.fixture
def journal(tmp_path):
    kept = fresh(tmp_path)
    consult(kept, "milky", {"oil-look": "milky"})
    return kept


def test_a_correction_stands_and_the_first_record_stays_readable(journal):
    """After a correction with a reason the later outcome stands and both can be read."""
    record(journal, "milky", at(50), Outcome(causes=("gland-steam",), by="Pat"))
    record(journal, "milky", at(60), Outcome(causes=("jacket-leak",), why="jacket tested later"))
    assert standing_outcome(journal, "milky")[1].causes == ("jacket-leak",)
    assert [one.causes for _, one in outcomes(journal.events("milky"))] == [("gland-steam",), ("jacket-leak",)]


def test_a_second_record_without_a_reason_is_refused(journal):
    """Recording twice by mistake changes nothing and says how to correct."""
    record(journal, "milky", at(50), Outcome(none_found=True))
    with pytest.raises(DiagnoseError, match="--correct REASON"):
        record(journal, "milky", at(60), Outcome(causes=("jacket-leak",)))
    assert standing_outcome(journal, "milky")[1].none_found


def test_a_withdrawn_outcome_opens_the_job_again(journal):
    """A withdrawal leaves no outcome standing; withdrawing nothing is refused."""
    with pytest.raises(DiagnoseError, match="no outcome to withdraw"):
        record(journal, "milky", at(40), Outcome(withdrawn=True, why="x"))
    record(journal, "milky", at(50), Outcome(text="cracked sight glass"))
    record(journal, "milky", at(60), Outcome(withdrawn=True, why="other job"))
    assert standing_outcome(journal, "milky") is None


def test_an_outcome_needs_its_consultation(journal):
    """An id that was never kept is refused with the nearest right one."""
    with pytest.raises(DiagnoseError, match="Did you mean 'milky'"):
        record(journal, "milkyy", at(50), Outcome(none_found=True))


@pytest.mark.parametrize(
    ("outcome", "says"),
    [
        (Outcome(), "in one way"),
        (Outcome(causes=("a",), none_found=True), "in one way"),
        (Outcome(causes=("a", "b", "c")), "At most two"),
        (Outcome(causes=("jacket-lek",)), "Did you mean 'jacket-leak'"),
    ],
)
def test_an_outcome_says_one_thing_of_known_causes(outcome, says):
    """Nothing said, two things said, three causes and a cause that does not exist are refused."""
    with pytest.raises(DiagnoseError, match=says):
        check(outcome, ["a", "b", "c", "jacket-leak"])
