"""Layers by absence, and the cycles that have none."""

from __future__ import annotations

import pytest

from diagnose.engine import AnyOf, Count, Fact, Match, Not, Rule, Test, Unknown, UnsettledRules, Var
from diagnose.engine.strata import layered

x, y = Var("x"), Var("y")


def rule(name, when, *then):
    """Return a rule with heads given as facts."""
    return Rule(name, when, then)


def test_layers_count_the_absences_on_the_way():
    """A rule lies one layer above what it asks to be absent, and level with what it asks to be present."""
    rules = [
        rule("a", [Match(1, "p", 1)], Fact(1, "a", 1)),
        rule("b", [Not(Match(1, "a", 1))], Fact(1, "b", 1)),
        rule("c", [Match(1, "b", 1)], Fact(1, "c", 1)),
        rule("d", [Unknown(1, "c"), Match(1, "a", 1)], Fact(1, "d", 1)),
        rule("e", [Count((Match(1, "d", 1),), 0, 1)], Fact(1, "e", 1)),
        rule("f", [Count((Match(1, "d", 1),), 1)], Fact(1, "f", 1)),
    ]
    assert layered(rules).of_rule == [0, 1, 1, 2, 3, 2]
    assert not any(layered(rules).recursive)


def test_only_rules_that_can_lead_back_are_recursive():
    """In a circle fed from outside, the rules of the circle are recursive and the feeding rule and its user are not."""
    rules = [
        rule("in", [Match(1, "p", 1)], Fact(1, "a", 1)),
        rule("ab", [Match(1, "a", 1)], Fact(1, "b", 1)),
        rule("ba", [Match(1, "b", 1)], Fact(1, "a", 1)),
        rule("out", [Match(1, "b", 1)], Fact(1, "c", 1)),
    ]
    assert layered(rules).recursive == [False, True, True, False]


def test_values_and_entities_keep_rules_apart():
    """Concluding one value from the absence of another value of the same attribute is no cycle."""
    rules = [
        rule("r", [Not(Match(1, "level", "high"))], Fact(1, "level", "normal")),
        rule("s", [Not(Match(x, "p", 1)), Match(x, "q", y)], Fact(x, "r", y)),
    ]
    assert layered(rules).of_rule == [0, 0]


@pytest.mark.parametrize(
    ("head", "asked"),
    [
        (Fact(1, "p", 1), Match(1, "p", 1)),
        (Fact(x, "p", 1), Match(1, "p", 1)),
        (Fact(1, "p", y), Match(1, "p", 1)),
        (Fact(x, "p", y), Match(1, "p", Test("above", 3))),
        (Fact(1, "p", 5), Match(1, "p", Test("above", 3))),
        (Fact(1, "p", 5), Match(x, "p", Test("above", 3))),
        (Fact(1, "p", 5), Match(x, "p", 5)),
        (Fact(1, "p", 5), Match(x, "p", y)),
        (Fact(x, "p", y), Match(x, "p", y)),
    ],
)
def test_a_cycle_through_absence_is_found_through_any_pattern(head, asked):
    """Whatever mixture of constants, variables and tests connects head and absence, the cycle is found and named."""
    rules = [
        rule("start", [Match(x, "q", y), Not(Match(9, "z", 1))], head),
        rule("back", [asked], Fact(9, "z", 1)),
    ]
    with pytest.raises(UnsettledRules, match="'start' -> 'back' -> 'start'") as caught:
        layered(rules)
    assert caught.value.cycle == ("start", "back")


@pytest.mark.parametrize(
    ("head", "asked"),
    [
        (Fact(1, "p", 2), Match(1, "p", 1)),
        (Fact(2, "p", 1), Match(1, "p", 1)),
        (Fact(x, "p", 2), Match(x, "p", Test("above", 3))),
        (Fact(1, "o", 1), Match(1, "p", 1)),
    ],
)
def test_patterns_that_cannot_meet_make_no_cycle(head, asked):
    """Where head and pattern can never be the same fact, there is no cycle."""
    rules = [
        rule("start", [Match(x, "q", y), Not(Match(9, "z", 1))], head),
        rule("back", [asked], Fact(9, "z", 1)),
    ]
    assert layered(rules).of_rule == [1, 0]


def test_the_shortest_cycle_is_named():
    """Among a hundred rules the message names only those on a shortest cycle through the absence."""
    rules = [rule(f"r{i}", [Match(i, "p", 1)], Fact(i + 1, "p", 1)) for i in range(100)]
    rules.append(rule("short", [Match(1, "p", 1)], Fact(99, "p", 1)))
    rules.append(rule("last", [AnyOf(Match(99, "p", 1), Not(Match(100, "p", 1)))], Fact(0, "p", 1)))
    with pytest.raises(UnsettledRules) as caught:
        layered(rules)
    assert set(caught.value.cycle) == {"last", "r0", "short", "r99"}


def test_a_long_chain_needs_no_recursion_of_python():
    """A chain of 20,000 rules is layered without reaching any depth limit."""
    rules = [rule(f"r{i}", [Match(i, "p", 1)], Fact(i + 1, "p", 1)) for i in range(20_000)]
    assert set(layered(rules).of_rule) == {0}
