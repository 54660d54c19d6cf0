"""Rules with variables."""

from __future__ import annotations

from diagnose.engine import AnyOf, Count, CountDistinct, Engine, Fact, Guard, Match, Not, Rule, Test, Unknown, Var

x, y, z = Var("x"), Var("y"), Var("z")


def told(rule, *facts):
    """Return an engine with one rule that was told some facts."""
    engine = Engine([rule])
    engine.tell(*facts)
    return engine


def test_each_full_match_is_an_activation_of_its_own():
    """Two readings that pass a test give two firings for one conclusion, which stands until the second goes."""
    engine = told(
        Rule("r", (Match(x, "of", Test("above", 5)),), (Fact(x, "is", "high"),)), Fact("a", "of", 6), Fact("a", "of", 7)
    )
    assert len(engine.fired) == 2
    assert engine.withdraw(Fact("a", "of", 6)).removed == (Fact("a", "of", 6),)
    assert engine.withdraw(Fact("a", "of", 7)).removed == (Fact("a", "of", 7), Fact("a", "is", "high"))


def test_one_fact_may_play_two_parts():
    """A fact that fits both patterns of a rule is joined with itself, once."""
    engine = told(Rule("r", (Match(x, "is", y), Match(z, "is", y)), (Fact(x, "like", z),)), Fact("a", "is", 1))
    assert [firing.fact for firing in engine.fired] == [Fact("a", "like", "a")]


def test_the_same_variable_twice_in_one_pattern():
    """A pattern with one variable as entity and value fits only a fact that has the same thing in both places."""
    engine = told(
        Rule("r", (Match(x, "knows", x),), (Fact(x, "is", "wise"),)), Fact("a", "knows", "b"), Fact("b", "knows", "b")
    )
    assert [firing.fact for firing in engine.fired] == [Fact("b", "is", "wise")]


def test_a_comparison_scales_between_joined_values():
    """Each thing is compared with its own limit, scaled and shifted."""
    rule = Rule("r", (Match(x, "of", y), Match(x, "limit", z), Guard(y, "above", z, 0.9, -1)), (Fact(x, "is", "near"),))
    engine = told(rule, Fact("a", "of", 89), Fact("a", "limit", 100), Fact("b", "of", 90), Fact("b", "limit", 100))
    assert [firing.fact for firing in engine.fired] == [Fact("b", "is", "near")]


def test_an_absence_is_looked_at_again_for_those_it_concerns():
    """A fact that breaks an absence takes back the activations that share its values, and its going gives them back."""
    engine = told(
        Rule("r", (Match(x, "is", "on"), Not(Match(y, "stops", x))), (Fact(x, "runs", 1),)),
        *(Fact(i, "is", "on") for i in range(5)),
    )
    assert engine.tell(Fact("rope", "stops", 3)).removed == (Fact(3, "runs", 1),)
    assert engine.tell(Fact("tape", "stops", 3)).removed == ()
    assert engine.withdraw(Fact("rope", "stops", 3)).added == ()
    assert engine.withdraw(Fact("tape", "stops", 3)).added == (Fact(3, "runs", 1),)


def test_counting_different_things():
    """How many different things share a place is counted anew with each that comes or goes; a second fact of one counts once."""
    rule = Rule(
        "r",
        (Match(z, "kind", "place"), CountDistinct(x, (Match(x, "in", z), Match(x, "says", y)), 2)),
        (Fact(z, "is", "busy"),),
    )
    engine = told(
        rule,
        Fact("hall", "kind", "place"),
        *(Fact(i, "in", "hall") for i in range(3)),
        Fact(0, "says", "a"),
        Fact(0, "says", "b"),
    )
    assert not engine.fired
    assert engine.tell(Fact(1, "says", "a")).added[1:] == (Fact("hall", "is", "busy"),)
    assert engine.tell(Fact(2, "says", "a")).fired == ()
    assert engine.withdraw(Fact(1, "says", "a")).removed == (Fact(1, "says", "a"),)
    assert engine.withdraw(Fact(2, "in", "hall")).removed[1:] == (Fact("hall", "is", "busy"),)


def test_a_count_alone_needs_no_other_pattern():
    """A rule whose only condition counts things fires when there are enough, and from the start if none are wanted."""
    engine = Engine(
        [
            Rule("two", (CountDistinct(x, (Match(x, "is", "on"),), 2),), (Fact("two", "are", "on"),)),
            Rule("few", (CountDistinct(x, (Match(x, "is", "on"),), 0, 1),), (Fact("few", "are", "on"),)),
        ]
    )
    assert set(engine.facts) == {Fact("few", "are", "on")}
    engine.tell(Fact(1, "is", "on"), Fact(2, "is", "on"))
    assert engine.values("two", "are") == ["on"]
    assert engine.values("few", "are") == []


def test_alternatives_that_bind_a_variable():
    """What each alternative binds can be concluded about, once for each thing, whichever alternative found it."""
    engine = told(
        Rule("r", (AnyOf(Match(x, "p", 1), Match(x, "q", 1)),), (Fact(x, "is", "found"),)),
        Fact("a", "p", 1),
        Fact("a", "q", 1),
        Fact("b", "q", 1),
    )
    assert sorted(firing.fact.entity for firing in engine.fired) == ["a", "b"]
    assert engine.withdraw(Fact("a", "p", 1)).removed == (Fact("a", "p", 1),)
    assert len(engine.withdraw(Fact("a", "q", 1)).removed) == 2


def test_counts_and_absences_share_the_outer_variables():
    """A count and an unknown inside a joined rule are judged for each thing by its own facts."""
    engine = told(
        Rule(
            "r",
            (Match(x, "is", "on"), Count((Match(x, "p", 1), Match(x, "q", 1)), 1), Unknown(x, "off")),
            (Fact(x, "ok", 1),),
        ),
        Fact("a", "is", "on"),
        Fact("a", "p", 1),
        Fact("b", "is", "on"),
        Fact("c", "is", "on"),
        Fact("c", "q", 1),
        Fact("c", "off", 0),
    )
    assert [firing.fact.entity for firing in engine.fired] == ["a"]


def test_two_heads_of_one_rule():
    """A rule may conclude several facts; they come and go together, and a head named twice is concluded once."""
    engine = told(
        Rule("r", (Match(x, "is", y),), (Fact(x, "was", y), Fact(y, "of", x), Fact(x, "was", y))), Fact("a", "is", "b")
    )
    assert [firing.fact for firing in engine.fired] == [Fact("a", "was", "b"), Fact("b", "of", "a")]
    assert len(engine.withdraw(Fact("a", "is", "b")).removed) == 3


def test_a_joined_circle_falls_with_its_start():
    """Reachability round a ring falls when the one way in is closed, though the ring still leads round itself."""
    engine = Engine(
        [
            Rule("in", (Match("door", "to", x),), (Fact(x, "is", "reached"),)),
            Rule("on", (Match(x, "is", "reached"), Match(x, "to", y)), (Fact(y, "is", "reached"),)),
        ]
    )
    engine.tell(*(Fact(i, "to", (i + 1) % 4) for i in range(4)), Fact("door", "to", 0))
    assert len(engine.fired) == 1 + 4
    assert len(engine.withdraw(Fact("door", "to", 0)).removed) == 1 + 4
    assert not engine.fired
