"""Facts, variables and tests on values."""

from __future__ import annotations

import doctest

import pytest

from diagnose.engine import BadFact, Fact, Test, Var, facts


def test_the_examples_of_the_module_run():
    """The examples in the docstrings give what they say."""
    assert doctest.testmod(facts).failed == 0


@pytest.mark.parametrize(
    ("test", "passing", "failing"),
    [
        (Test("above", 3), [4, 3.1], [3, 2, "4", True, None, (5,)]),
        (Test("below", 3), [2, -1.5], [3, 4, "2"]),
        (Test("at-least", 3), [3, 4], [2, "3"]),
        (Test("at-most", "m"), ["a", "m"], ["n", 3]),
        (Test("equals", 3), [3, 3.0], [4, "3"]),
        (Test("differs", 3), [4, "3"], [3]),
        (Test("one-of", 1, "b"), [1, "b"], [2, "a"]),
        (Test("one-of", ["b", "c"]), ["b", "c"], ["a", ("b", "c")]),
        (Test("between", 3, 5), [3, 4.5, 5], [2.9, 5.1, "4", True]),
        (Test("between", (3, 5)), [4], [6]),
    ],
)
def test_what_passes(test, passing, failing):
    """Each test passes just the values it names; a value of another kind never passes an ordering."""
    assert [value for value in passing if not test.passes(value)] == []
    assert [value for value in failing if test.passes(value)] == []


@pytest.mark.parametrize(
    ("how", "operands"), [("over", (3,)), ("above", ()), ("above", (1, 2)), ("between", (1,)), ("one-of", ())]
)
def test_a_test_that_cannot_be_is_refused(how, operands):
    """A test with a name or a number of operands that there is not raises, and says what there is."""
    with pytest.raises(ValueError, match=r"there are above|takes"):
        Test(how, *operands)


def test_equal_tests_are_one():
    """Two tests written alike are equal and hash alike, so that rules can share their work."""
    assert {Test("one-of", 1, 2), Test("one-of", (1, 2))} == {Test("one-of", [1, 2])}


@pytest.mark.parametrize(
    ("bad", "reason"),
    [
        (("a", "b", 1), "is not a Fact"),
        (Fact("a", "b", {}), "unhashable"),
        (Fact("a", "b", float("nan")), "not equal to itself"),
        (Fact(Var("x"), "b", 1), "no variables"),
    ],
)
def test_a_fact_that_cannot_be_kept_says_why(bad, reason):
    """What cannot be kept is refused with the reason in the message."""
    with pytest.raises(BadFact, match=reason):
        facts.checked(bad)
