"""Rules without variables."""

from __future__ import annotations

import itertools

import pytest

from diagnose.engine import AllOf, AnyOf, Count, Engine, Fact, Guard, Match, Not, Rule, Test, Unknown

a, b, c = (Match(name, "is", 1) for name in "abc")
GOAL = Fact("goal", "is", 1)


def truths(condition):
    """Say for which of the sets of a, b, c the condition holds."""
    engine = Engine([Rule("r", (condition,), (GOAL,))])
    holds = set()
    told: list[Fact] = []
    for names in (
        "",
        "a",
        "ab",
        "b",
        "bc",
        "abc",
        "ac",
        "c",
    ):  # one way round; each step changes one fact or starts anew
        now = [Fact(name, "is", 1) for name in names]
        engine.revise([fact for fact in told if fact not in now], now)
        told = now
        if engine.holds(GOAL):
            holds.add(names)
    return holds


ALL = {"".join(names) for size in range(4) for names in itertools.combinations("abc", size)}


@pytest.mark.parametrize(
    ("condition", "expected"),
    [
        (a, {s for s in ALL if "a" in s}),
        (AllOf(a, b), {s for s in ALL if {"a", "b"} <= set(s)}),
        (AllOf(a, a), {s for s in ALL if "a" in s}),
        (AnyOf(a, b), {s for s in ALL if {"a", "b"} & set(s)}),
        (Not(a), {s for s in ALL if "a" not in s}),
        (Not(a, b), {s for s in ALL if not {"a", "b"} <= set(s)}),
        (Not(Not(a)), {s for s in ALL if "a" in s}),
        (Count((a, b, c), 2), {s for s in ALL if len(s) >= 2}),
        (Count((a, b, c), 1, 2), {s for s in ALL if 1 <= len(s) <= 2}),
        (Count((a, b, c), 0, 0), {""}),
        (Count((AllOf(a, b), AnyOf(b, c), Not(c)), 2), {"ab", "abc", "b"}),
        (AnyOf(AllOf(a, Not(b)), AllOf(c, Not(a))), {"a", "ac", "c", "bc"}),
        (Unknown("a", "is"), {s for s in ALL if "a" not in s}),
        (Guard(3, "above", 2), ALL),
        (Guard(2, "above", 2), set()),
    ],
)
def test_truth_table(condition, expected):
    """On the way through all eight sets of three facts, the rule holds for exactly those that its condition describes."""
    assert truths(condition) == expected


def test_a_test_holds_while_any_fact_passes():
    """Of several values of one attribute, the test is met while one passes, however many come and go."""
    engine = Engine([Rule("r", (Match("level", "of", Test("above", 5)),), (GOAL,))])
    six, seven, three = (Fact("level", "of", value) for value in (6, 7, 3))
    assert not engine.tell(three).fired
    assert len(engine.tell(six, seven).fired) == 1
    assert engine.withdraw(six).removed == (six,)
    assert engine.withdraw(seven).removed == (seven, GOAL)


def test_rules_share_the_work_of_equal_tests():
    """Fifty rules with the same test make one gate for it."""
    rules = [Rule(f"r{i}", (Match("level", "of", Test("above", 5)), Match(i, "is", 1)), (GOAL,)) for i in range(50)]
    engine = Engine(rules)
    engine.tell(Fact("level", "of", 6))
    assert len(engine._store.records[Fact("level", "of", 6)].gates) == 1


def test_what_holds_without_facts_stands_at_once():
    """A rule without conditions, or with absences only, has its conclusions before anything is told."""
    engine = Engine([Rule("always", (), (GOAL,)), Rule("so-far", (Not(a),), (Fact("quiet", "is", 1),))])
    assert set(engine.facts) == {GOAL, Fact("quiet", "is", 1)}


def test_an_alternative_in_a_circle_does_not_hold_itself_up():
    """A rule that holds by a told fact or by its own consequence falls when the told fact goes."""
    engine = Engine(
        [
            Rule("either", (AnyOf(a, b),), (Fact("c", "is", 1),)),
            Rule("back", (c,), (Fact("b", "is", 1),)),
        ]
    )
    engine.tell(Fact("a", "is", 1))
    assert len(engine.facts) == 3
    engine.withdraw(Fact("a", "is", 1))
    assert not engine.facts


def test_a_count_in_a_circle_does_not_hold_itself_up():
    """A rule that needs two of three, one of them its own consequence, falls with the second told fact."""
    engine = Engine(
        [
            Rule("two", (Count((a, b, c), 2),), (Fact("d", "is", 1),)),
            Rule("back", (Match("d", "is", 1),), (Fact("c", "is", 1),)),
        ]
    )
    engine.tell(Fact("a", "is", 1), Fact("b", "is", 1))
    assert len(engine.facts) == 4
    engine.withdraw(Fact("b", "is", 1))
    assert set(engine.facts) == {Fact("a", "is", 1)}
