"""What makes a rule well formed."""

from __future__ import annotations

import pytest

from diagnose.engine import AllOf, AnyOf, BadRule, Count, CountDistinct, Fact, Guard, Match, Not, Rule, Test, Var

x, y, z = Var("x"), Var("y"), Var("z")


def test_a_rule_takes_lists_and_keeps_tuples():
    """Conditions and heads given as lists are kept as tuples, so that rules hash and compare."""
    assert Rule("r", [Match(x, "p", 1)], [Fact(x, "q", 1)]) == Rule("r", (Match(x, "p", 1),), (Fact(x, "q", 1),))
    assert (
        len({Rule("r", [Match(x, "p", 1)], [Fact(x, "q", 1)]), Rule("r", (Match(x, "p", 1),), (Fact(x, "q", 1),))}) == 1
    )


@pytest.mark.parametrize(
    ("when", "then", "ground"),
    [
        ([Match(1, "p", Test("above", 1)), Guard(2, "above", 1)], [Fact(1, "q", 1)], True),
        ([Match(x, "p", 1)], [Fact(1, "q", 1)], False),
        ([Not(Match(x, "p", 1))], [Fact(1, "q", 1)], False),
        ([CountDistinct(x, (Match(x, "p", 1),), 2)], [Fact(1, "q", 1)], False),
    ],
)
def test_ground_is_without_any_variable(when, then, ground):
    """A rule is ground if no variable stands anywhere in it, not even in an absence."""
    assert Rule("r", when, then).is_ground is ground


@pytest.mark.parametrize(
    ("when", "complaint"),
    [
        ([Not(Match(x, "p", 1))], "variable 'x', which no match binds"),
        ([AnyOf(Match(x, "p", 1), Match(y, "p", 1))], "variable 'x', which no match binds"),
        ([CountDistinct(y, (Match(x, "p", 1),), 1), Match(x, "p", 1)], "'y' is counted, but no match inside binds it"),
        ([Match(x, "p", 1), Count((Match(1, "p", 1),), -1)], "can never be met"),
        ([Match(x, "p", 1), Guard(x, "near", 1)], "no comparison 'near'"),
        ([Match(x, "p", 1), Not(Guard(z, "above", 1))], "compares the variable 'z'"),
        ([Match(x, "p", 1), Not()], "Not without conditions"),
        ([Match(x, Test("above", 1), 1)], "an attribute is a constant"),
        (
            [AnyOf(Match(x, "p", y), Match(x, "q", y)), AnyOf(Match(1, "p", 1), Match(y, "p", 1))],
            "which only another AnyOf binds",
        ),
    ],
)
def test_what_is_ill_formed_is_refused_with_the_reason(when, complaint):
    """Each kind of ill-formed rule is refused, by its id and with what is wrong."""
    with pytest.raises(BadRule, match=f"rule 'r': .*{complaint}"):
        Rule("r", when, [Fact(x, "q", 1)])


def test_a_variable_bound_inside_an_absence_may_be_compared_there():
    """A guard inside an absence may use a variable that is bound inside it."""
    rule = Rule("r", [Match(x, "p", y), Not(AllOf(Match(x, "p", z), Guard(z, "above", y)))], [Fact(x, "highest", y)])
    assert not rule.is_ground
