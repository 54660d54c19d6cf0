"""What conditions bind, mention, and can be turned by."""

from __future__ import annotations

from diagnose.engine import AllOf, AnyOf, Count, CountDistinct, Guard, Match, Not, Test, Unknown, Var
from diagnose.engine.conditions import binds, conjuncts, leaves, substituted, variables

x, y, z = Var("x"), Var("y"), Var("z")


def test_alternatives_bind_what_each_of_them_binds():
    """A match binds its variables, a conjunction those of all, an alternative only those of every branch, an absence none."""
    assert binds(AllOf(Match(x, "p", 1), Match(y, "p", 1))) == {"x", "y"}
    assert binds(AnyOf(Match(x, "p", y), Match(x, "q", 1))) == {"x"}
    assert binds(Not(Match(x, "p", 1))) == set()
    assert binds(CountDistinct(x, (Match(x, "p", 1),), 1)) == set()


def test_variables_are_found_however_deep():
    """Every variable is named, those of guards, absences and counts too."""
    deep = Count((Not(AnyOf(Match(x, "p", 1), Unknown(y, "q"))), Guard(z, "above", Var("w"))), 1)
    assert variables(deep) == {"x", "y", "z", "w"}


def test_conjunctions_are_laid_open():
    """A conjunction in a conjunction is the same as its parts in a row; one inside an absence is left."""
    a, b, c = Match(1, "p", 1), Match(2, "p", 1), Match(3, "p", 1)
    assert list(conjuncts([AllOf(a, AllOf(b, Not(AllOf(c, a)))), c])) == [a, b, Not(AllOf(c, a)), c]


def test_an_absence_turns_round_what_a_fact_does():
    """A fact helps a match, harms an absence, helps an absence of an absence, and may do both to a count with an upper bound."""
    a = Match(1, "p", 1)
    effects = {
        name: [tuple(leaf)[1:] for leaf in leaves([condition])]
        for name, condition in {
            "match": a,
            "not": Not(a),
            "not not": Not(Not(a)),
            "unknown": Unknown(1, "p"),
            "not unknown": Not(Unknown(1, "p")),
            "at least": Count((a,), 1),
            "at most": Count((a,), 0, 1),
        }.items()
    }
    assert effects == {
        "match": [(True, False, False)],
        "not": [(False, True, True)],
        "not not": [(True, False, True)],
        "unknown": [(False, True, True)],
        "not unknown": [(True, False, True)],
        "at least": [(True, False, False)],
        "at most": [(True, True, True)],
    }


def test_values_are_put_in_for_variables_that_have_one():
    """Putting values in reaches every kind of condition and leaves the other variables."""
    inner = (Match(x, "p", y), Unknown(x, "q"), Guard(x, "differs", y))
    filled = (Match(1, "p", y), Unknown(1, "q"), Guard(1, "differs", y))
    for wrap in (Not, AnyOf, AllOf, lambda *each: Count(each, 1)):
        assert substituted(wrap(*inner), {"x": 1}) == wrap(*filled)


def test_a_guard_scales_its_right_side():
    """The right side is multiplied, then shifted; what is no number cannot be scaled and the guard does not hold."""
    guard = Guard(x, "above", y, factor=1.5, offset=10)
    assert guard.holds(26, 10)
    assert not guard.holds(25, 10)
    assert not guard.holds(26, "10")
    assert not guard.holds(26, True)  # noqa: FBT003
    assert Guard(x, "equals", y).holds("a", "a")


def test_groups_of_other_kinds_differ():
    """An alternative and a conjunction of the same conditions are not equal, nor are tests and values."""
    assert AnyOf(Match(1, "p", 1)) != AllOf(Match(1, "p", 1))
    assert Match(1, "p", Test("equals", 1)) != Match(1, "p", 1)
