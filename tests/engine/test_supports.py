"""What stands and why it falls."""

from __future__ import annotations

import pytest

from diagnose.engine import Engine, Fact, Match, Not, Rule, Var
from diagnose.engine.supports import Activation

x, y = Var("x"), Var("y")


def is_(name):
    """Return the fact that something holds."""
    return Fact(name, "is", 1)


def rule(name, when, then, *without):
    """Return a rule between names, with what must be absent."""
    return Rule(
        name, (*(Match(each, "is", 1) for each in when), *(Not(Match(each, "is", 1)) for each in without)), (is_(then),)
    )


def names(facts):
    """Return the entities of some facts, sorted, as one text."""
    return "".join(sorted(fact.entity for fact in facts))


def test_a_fact_with_two_supports_stands_until_both_go():
    """A conclusion of two rules falls with the second of them, not with the first."""
    engine = Engine([rule("r", "a", "c"), rule("s", "b", "c")])
    engine.tell(is_("a"), is_("b"))
    assert names(engine.withdraw(is_("a")).removed) == "a"
    assert names(engine.withdraw(is_("b")).removed) == "bc"


def test_told_and_concluded():
    """A fact both told and concluded outlives either, and what rests on it does not notice."""
    engine = Engine([rule("r", "a", "b"), rule("s", "b", "c")])
    engine.tell(is_("a"), is_("b"))
    assert engine.withdraw(is_("b")).removed == ()
    engine.tell(is_("b"))
    assert names(engine.withdraw(is_("a")).removed) == "a"
    assert names(engine.withdraw(is_("b")).removed) == "bc"


def test_a_circle_with_two_ways_in_stands_on_the_other():
    """A circle that loses one of its two reasons stands, is no news, and falls with the other."""
    engine = Engine(
        [
            rule("in-1", "p", "a"),
            rule("in-2", "q", "b"),
            rule("ab", "a", "b"),
            rule("ba", "b", "a"),
            rule("out", "a", "z"),
        ]
    )
    engine.tell(is_("p"), is_("q"))
    change = engine.withdraw(is_("p"))
    assert (names(change.removed), change.added, change.fired) == ("p", (), ())
    assert names(engine.withdraw(is_("q")).removed) == "abqz"


def test_a_circle_told_in_the_middle():
    """A circle held up by a told member falls when that is taken back."""
    engine = Engine([rule("ab", "a", "b"), rule("bc", "b", "c"), rule("ca", "c", "a")])
    engine.tell(is_("b"))
    assert names(engine.withdraw(is_("b")).removed) == "abc"


def test_circles_in_circles():
    """Of two circles that share a member, both stand and fall with the one reason."""
    engine = Engine(
        [
            rule("in", "s", "a"),
            rule("1", "a", "b"),
            rule("2", "b", "a"),
            rule("3", "b", "c"),
            rule("4", "c", "b"),
            rule("5", "ca", "d"),
        ]
    )
    engine.tell(is_("s"))
    assert names(engine.facts) == "abcds"
    assert names(engine.withdraw(is_("s")).removed) == "abcds"


def test_an_absence_above_a_circle_sees_only_the_end():
    """What rests on the absence of a circle's member does not flicker when the circle changes its reason."""
    engine = Engine(
        [
            rule("in-1", "p", "a"),
            rule("in-2", "q", "a"),
            rule("ab", "a", "b"),
            rule("ba", "b", "a"),
            rule("calm", "", "z", "b"),
        ]
    )
    engine.tell(is_("p"))
    change = engine.revise([is_("p")], [is_("q")])
    assert (names(change.added), names(change.removed), change.fired[1:]) == ("q", "p", ())
    assert names(engine.withdraw(is_("q")).added) == "z"


def test_a_swap_of_reasons_in_one_step_is_no_news_below():
    """When one reason replaces another in one step, what follows from the conclusion neither falls nor fires again."""
    engine = Engine([rule("r", "a", "c"), rule("s", "b", "c"), rule("t", "c", "d")])
    engine.tell(is_("a"))
    change = engine.revise([is_("a")], [is_("b")])
    assert (names(change.added), names(change.removed)) == ("b", "a")
    assert "t" not in [firing.rule for firing in change.fired]


def test_a_fact_moved_within_a_step_is_no_change():
    """Taking a fact back and telling it in the same step changes nothing and fires nothing."""
    engine = Engine([rule("r", "a", "b"), Rule("j", (Match(x, "is", y),), (Fact(x, "was", y),))])
    engine.tell(is_("a"))
    change = engine.revise([is_("a")], [is_("a")])
    assert (change.added, change.removed, change.fired) == ((), (), ())


def test_taking_back_what_was_never_told():
    """Taking back a conclusion, or what nobody said, changes nothing."""
    engine = Engine([rule("r", "a", "b")])
    engine.tell(is_("a"))
    before = set(engine.facts)
    change = engine.withdraw(is_("b"), is_("never"))
    assert (change.added, change.removed, set(engine.facts)) == ((), (), before)


def test_only_firings_can_be_asked_whether_they_hold():
    """The bare idea of an activation has no conditions to look at."""
    with pytest.raises(NotImplementedError):
        Activation().holds()
