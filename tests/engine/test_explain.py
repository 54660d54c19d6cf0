"""Why, why not, on what, and what then."""

from __future__ import annotations

import pytest

from diagnose.engine import AnyOf, Count, CountDistinct, Engine, Fact, Guard, Match, Not, Rule, Test, Unknown, Var

x, y, z = Var("x"), Var("y"), Var("z")


def is_(name):
    """Return the fact that something holds."""
    return Fact(name, "is", 1)


def has(name):
    """Return the condition that it does."""
    return Match(name, "is", 1)


def outline(support):
    """Return each fact of a support with its rule."""
    return [(depth, each.fact.entity, each.rule) for depth, each in support.walk()]


def test_why_leads_down_to_what_was_told():
    """The support of a conclusion names rules and premises level by level, down to told facts, whose rule is None."""
    engine = Engine([Rule("r", (has("a"), has("b")), (is_("c"),)), Rule("s", (has("c"), has("b")), (is_("d"),))])
    engine.tell(is_("a"), is_("b"))
    assert outline(engine.why(is_("d"))) == [(0, "d", "s"), (1, "c", "r"), (2, "a", None), (2, "b", None)]
    assert engine.why(is_("e")) is None


def test_why_in_a_circle_goes_out_of_it():
    """In a circle, a member is explained by the way in, not by the fact it holds up."""
    engine = Engine(
        [
            Rule("ab", (has("a"),), (is_("b"),)),
            Rule("ba", (has("b"),), (is_("a"),)),
            Rule("in", (has("s"),), (is_("a"),)),
        ]
    )
    engine.tell(is_("s"))
    assert outline(engine.why(is_("a"))) == [(0, "a", "in"), (1, "s", None)]
    assert outline(engine.why(is_("b"))) == [(0, "b", "ab"), (1, "a", "in"), (2, "s", None)]


def test_why_in_a_circle_with_an_alternative():
    """Where a rule holds by its own consequence as well as by a told fact, the told fact is given as the reason."""
    engine = Engine([Rule("either", (AnyOf(has("b"), has("a")),), (is_("c"),)), Rule("back", (has("c"),), (is_("b"),))])
    engine.tell(is_("a"))
    assert outline(engine.why(is_("c"))) == [(0, "c", "either"), (1, "a", None)]


def test_why_takes_a_short_way():
    """Of a direct reason and one by a chain of ten, the direct one is given."""
    rules = [Rule(f"r{i}", (has(i),), (is_(i + 1),)) for i in range(10)]
    engine = Engine([*rules, Rule("short", (has("s"),), (is_(10),))])
    engine.tell(is_(0), is_("s"))
    assert outline(engine.why(is_(10))) == [(0, 10, "short"), (1, "s", None)]


def test_why_names_the_absences_relied_on_with_values_put_in():
    """Absences, unknowns and upper bounds are listed with what the variables stand for; what holds by a fact is not."""
    rule = Rule(
        "r",
        (
            Match(x, "is", "on"),
            Not(Match(x, "off", y)),
            Unknown(x, "away"),
            Count((has("p"), has("q")), 0, 1),
            AnyOf(Not(has("z")), has("y")),
            Guard(x, "differs", "b"),
        ),
        (Fact(x, "ok", 1),),
    )
    engine = Engine([rule])
    engine.tell(Fact("a", "is", "on"), is_("p"))
    support = engine.why(Fact("a", "ok", 1))
    assert support.absences == (
        Not(Match("a", "off", y)),
        Unknown("a", "away"),
        Count((has("p"), has("q")), 0, 1),
        AnyOf(Not(has("z")), has("y")),
    )
    assert [premise.fact for premise in support.premises] == [Fact("a", "is", "on"), is_("p")]


def test_why_of_a_long_chain_needs_no_recursion_of_python():
    """A conclusion 5,000 rules away from what was told is explained without reaching any depth limit."""
    engine = Engine([Rule(f"r{i}", (has(i),), (is_(i + 1),)) for i in range(5000)])
    engine.tell(is_(0))
    assert [depth for depth, _ in engine.why(is_(5000)).walk()] == list(range(5001))


def test_why_not_tells_met_from_unmet():
    """For each rule that could conclude a fact: the conditions met with their facts, and the unmet with what stands there."""
    engine = Engine(
        [
            Rule("one", (has("a"), Match("level", "of", Test("above", 5))), (is_("c"),)),
            Rule("two", (has("b"), Not(has("a"))), (is_("c"),)),
            Rule("other", (has("a"),), (is_("d"),)),
        ]
    )
    engine.tell(is_("a"), Fact("level", "of", 4))
    one, two = engine.why_not(is_("c"))
    assert (one.rule, two.rule) == ("one", "two")
    assert [(asked.condition, asked.facts) for asked in one.met] == [(has("a"), (is_("a"),))]
    assert [asked.facts for asked in one.unmet] == [(Fact("level", "of", 4),)]
    assert two.met == ()
    assert [(asked.condition, asked.facts) for asked in two.unmet] == [(has("b"), ()), (Not(has("a")), (is_("a"),))]


def test_why_not_takes_the_conditions_together():
    """Two conditions that different things meet are not both met; and values found by one are put into the others."""
    rule = Rule(
        "r",
        (Match(x, "is", "on"), Match(x, "place", y), Match(z, "place", y), Guard(x, "differs", z)),
        (Fact(x, "near", z),),
    )
    engine = Engine([rule])
    engine.tell(Fact("a", "is", "on"), Fact("a", "place", 1), Fact("b", "place", 2))
    [miss] = engine.why_not(Fact("a", "near", "b"))
    assert [asked.condition for asked in miss.met] == [
        Match("a", "is", "on"),
        Match("a", "place", 1),
        Guard("a", "differs", "b"),
    ]
    assert miss.unmet[0] == (Match("b", "place", 1), (Fact("b", "place", 2),))


def test_why_not_leaves_a_comparison_unmet_that_has_nothing_to_compare():
    """A guard on a value that no fact gives counts as unmet."""
    engine = Engine([Rule("r", (Match("a", "of", y), Guard(y, "differs", 3)), (is_("c"),))])
    [miss] = engine.why_not(is_("c"))
    assert [asked.condition for asked in miss.unmet] == [Match("a", "of", y), Guard(y, "differs", 3)]


@pytest.mark.parametrize("head", [Fact("a", "is", 1), Fact(x, "is", 1), Fact("a", "is", y), Fact(x, "is", y)])
def test_why_not_looks_at_each_rule_with_a_fitting_head(head):
    """A rule is looked at if its head fits the fact by constants or variables."""
    engine = Engine(
        [
            Rule("r", (Match(x, "p", y),), (head,)),
            Rule("s", (Match(x, "p", y),), (Fact(x, "is", x), Fact("b", "is", y))),
        ]
    )
    assert [miss.rule for miss in engine.why_not(Fact("a", "is", 1))] == ["r"]


def test_rests_on_and_consequences():
    """A conclusion rests on the told facts of all its supports, and is a consequence of each of them."""
    engine = Engine(
        [
            Rule("r", (has("a"), has("b")), (is_("c"),)),
            Rule("s", (has("d"),), (is_("c"),)),
            Rule("t", (has("c"),), (is_("e"),)),
            Rule("u", (Count((has("e"), has("f"), has("g")), 1),), (is_("h"),)),
            Rule("v", (CountDistinct(x, (Match(x, "is", 1), Match(x, "size", 2)), 1),), (is_("w"),)),
        ]
    )
    engine.tell(*map(is_, "abdfi"), Fact("d", "size", 2))
    assert {fact.entity for fact in engine.rests_on(is_("e"))} == {"a", "b", "d"}
    assert {fact.entity for fact in engine.rests_on(is_("h"))} == {"a", "b", "d", "f"}
    assert engine.rests_on(is_("w")) == (is_("d"), Fact("d", "size", 2))
    assert {fact.entity for fact in engine.consequences(is_("a"))} == {"c", "e", "h"}
    assert {fact.entity for fact in engine.consequences(is_("d"))} == {"c", "e", "h", "w"}
    assert engine.consequences(is_("i")) == engine.consequences(is_("nobody")) == engine.rests_on(is_("nobody")) == ()
