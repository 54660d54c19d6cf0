"""What fires first."""

from __future__ import annotations

from diagnose.engine import Engine, Fact, Match, Not, Rule, Var

x, y = Var("x"), Var("y")
GO = Fact("go", "is", 1)
go, also = Match("go", "is", 1), Match("also", "is", 1)


def fired(rules, *told):
    """Return the ids of the rules in the order in which they fire."""
    return [firing.rule for firing in Engine(rules).tell(*told).fired]


def test_rank_then_conditions_then_order_then_place_in_the_list():
    """A higher rank goes first, then more conditions, then lower order, then the rule that was given first."""
    rules = [
        Rule("plain-2", (go,), (Fact("a", "is", 1),), order=2),
        Rule("plain-1", (go,), (Fact("b", "is", 1),), order=1),
        Rule("same-1", (go,), (Fact("c", "is", 1),), order=1),
        Rule("more", (go, also), (Fact("d", "is", 1),), order=9),
        Rule("ranked", (go,), (Fact("e", "is", 1),), rank=1, order=9),
    ]
    assert fired(rules, GO, Fact("also", "is", 1)) == ["ranked", "more", "plain-1", "same-1", "plain-2"]


def test_what_a_firing_makes_possible_is_weighed_at_once():
    """A high rule that a low one makes possible goes before the other low rules, joined or not."""
    for match in (Match("a", "is", 1), Match(x, "is", 1)):
        rules = [
            Rule("low-1", (go,), (Fact("a", "is", 1),), order=1),
            Rule("low-2", (go,), (Fact("b", "for", 1),), order=2),
            Rule("high", (match, Match("a", "is", 1)), (Fact("c", "for", 1),), rank=5),
        ]
        order = fired(rules, GO)
        assert order.index("low-1") < order.index("high") < order.index("low-2")


def test_an_absence_waits_for_everything_below():
    """A rule on an absence fires after all rules that could end it, whatever its rank."""
    rules = [
        Rule("hasty", (go, Not(Match("late", "is", 1))), (Fact("x", "is", 1),), rank=9),
        Rule("slow-1", (go,), (Fact("s", "is", 1),)),
        Rule("slow-2", (Match("s", "is", 1),), (Fact("late", "is", 1),)),
    ]
    assert fired(rules, GO) == ["slow-1", "slow-2"]
    assert fired(rules[:2], GO) == ["hasty", "slow-1"]


def test_one_joined_rule_takes_facts_in_the_order_of_telling():
    """The activations of one rule fire in the order in which their facts were told."""
    engine = Engine([Rule("r", (Match(x, "is", "on"),), (Fact(x, "was", "on"),))])
    names = ["m", "c", "x", "a"]
    assert [firing.fact.entity for firing in engine.tell(*(Fact(name, "is", "on") for name in names)).fired] == names
