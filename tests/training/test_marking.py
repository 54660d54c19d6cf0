"""Accuracy, economy and the whole mark, against values worked by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.training.marking import accuracy, total


@pytest.mark.parametrize(
    ("share", "right", "certainty"),
    [(0.5, True, 1), (0.67, True, 2), (0.8, True, 3), (0.5, False, 0), (0.7, False, -2), (0.95, False, -6)],
)
def test_certainty_marks_are_those_of_the_scheme(share, right, certainty):
    """Right earns 1, 2, 3 and wrong 0, -2, -6, by the certainty stated."""
    assert accuracy({"a" if right else "b": share}, [{"a"}]).certainty == certainty


@given(st.floats(0.01, 0.99), st.floats(0.0, 1.0))
def test_stating_what_one_believes_pays_best(belief, stated):
    """No stated probability has a greater expected mark than the one held: the score is proper."""

    def expected(p):
        right, wrong = accuracy({"a": p}, [{"a"}]), accuracy({"a": p}, [{"b"}])
        return belief * (right.mark * 2) + (1 - belief) * (wrong.mark * 2)

    assert expected(stated) <= expected(belief) + 1e-9


def test_certainty_levels_are_worth_the_same_at_their_bounds():
    """At 2/3 levels 1 and 2 pay alike, at 0.8 levels 2 and 3 do."""
    assert pytest.approx(2 / 3 * 2 - 1 / 3 * 2) == 2 / 3 * 1
    assert pytest.approx(0.8 * 3 - 0.2 * 6) == 0.8 * 2 - 0.2 * 2
    levels = [accuracy({"a": p}, [{"a"}]).level for p in (0.66, 0.68, 0.79, 0.81)]
    assert levels == [1, 2, 2, 3]


def test_two_faults_want_both_named():
    """Naming one of two faults surely earns two thirds, naming both everything."""
    assert accuracy({"a": 1.0}, [{"a", "b"}]).mark == pytest.approx(2 / 3)
    assert accuracy({"a": 1.0, "b": 1.0}, [{"a", "b"}]).mark == 1.0


def test_what_is_not_covered_can_be_the_right_answer():
    """With no true cause, naming 'not covered' is right."""
    assert accuracy({"": 0.9}, [set()]).right


def test_the_best_accepted_set_counts():
    """A case with two right answers is marked against the one that fits better."""
    assert accuracy({"b": 1.0}, [{"a"}, {"b"}]).mark == 1.0


def test_unsafe_is_nothing_whatever_else():
    """Full marks in all parts come to 100, and to 0 when unsafe."""
    assert total(1, 1, 1, 1, 0, unsafe=False) == 100.0
    assert total(1, 1, 1, 1, 0, unsafe=True) == 0.0


def test_hints_cost_and_nothing_falls_below_zero():
    """Each hint takes 5, and a mark below 0 or above 100 does not exist."""
    assert total(1, 1, 1, 1, 2, unsafe=False) == 90.0
    assert total(0, -1, 0, 0, 9, unsafe=False) == 0.0
