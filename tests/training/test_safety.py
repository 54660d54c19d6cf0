"""What cautions demand and how heeding them is marked."""

from types import SimpleNamespace

import pytest

from diagnose.training.safety import LADDER, Act, demands, judge, step_for

CAUTIONS = {
    "stop": SimpleNamespace(rank="stop-now"),
    "hold": SimpleNamespace(rank="do-not-start"),
    "call": SimpleNamespace(rank="call-supervisor"),
    "mind": SimpleNamespace(rank="watch"),
}


def marked(arose, *acts):
    """Mark acts against cautions that came in force check by check."""
    taken = [Act(*act) for act in acts]
    return judge(demands(arose, CAUTIONS, taken), taken)


def test_acting_before_the_next_check_is_in_time():
    """A stop after the very check that raised the caution earns the full mark."""
    assert marked([[], ["stop"]], ("look", 0), ("stop", 1)).mark == 1.0


def test_acting_after_another_check_counts_half():
    """A stop one check later is late."""
    safe = marked([[], ["stop"], []], ("look", 0), ("stop", 2))
    assert (safe.mark, safe.demands[0].met, safe.dangerous) == (0.5, "late", False)


@pytest.mark.parametrize("caution", ["stop", "hold"])
def test_a_stop_left_undone_is_dangerous(caution):
    """Only calling where a stop or a hold is demanded makes the case unsafe."""
    assert marked([[caution]], ("call", 0)).dangerous


def test_a_call_left_undone_costs_marks_but_is_not_unsafe():
    """A missed call earns nothing for safety and does not void the case."""
    safe = marked([["call"]], ("look", 0))
    assert (safe.mark, safe.dangerous) == (0.0, False)


def test_a_higher_step_covers_a_lower_demand():
    """Who stops the machine need not call for the lesser caution as well."""
    assert marked([["call", "stop"]], ("stop", 0)).mark == 1.0


def test_calling_is_never_too_much_and_stopping_can_be():
    """Without a demand a call costs nothing and a stop costs a quarter."""
    assert marked([[]], ("call", 0)).mark == 1.0
    assert marked([[]], ("stop", 0)).mark == 0.75


def test_a_watch_demands_nothing_at_once():
    """A watch caution is no demand."""
    assert marked([["mind"]], ("look", 0)).demands == ()


def test_the_strongest_rank_decides_the_step():
    """Each rank has its step, and of several the strongest counts."""
    assert [step_for([rank]) for rank in ("watch", "call-supervisor", "do-not-start", "stop-now")] == list(LADDER)
    assert step_for(["call-supervisor", "stop-now"]) == "stop"
