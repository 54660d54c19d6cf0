"""What holds for any rules and any history; the rules are invented."""

from __future__ import annotations

import itertools

from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.engine import Engine, Fact, Match, Rule, Var
from tests.engine.invented import ATTRIBUTES, ENTITIES, VALUES, facts, histories, moves, rule_sets
from tests.engine.naive import consequences

EVERY_FACT = [Fact(*parts) for parts in itertools.product(ENTITIES, ATTRIBUTES, VALUES)]
thoroughly = settings(max_examples=200, deadline=None)
enough = settings(max_examples=60, deadline=None)


def lived(rules, history):
    """Return an engine that went through the history."""
    engine = Engine(rules)
    for out, in_ in moves(engine, history):
        engine.revise(out, in_)
    return engine


@thoroughly
@given(rule_sets(), histories)
def test_what_stands_is_what_the_rules_mean(rules, history):
    """After any history the facts are those that the plainest reading of the rules gives."""
    engine = lived(rules, history)
    assert set(engine.facts) == consequences(rules, engine.told, set(engine.facts))


@thoroughly
@given(rule_sets(), histories)
def test_history_leaves_no_trace(rules, history):
    """An engine that was told and untold many things equals a fresh one that is told only what stands."""
    engine, fresh = lived(rules, history), Engine(rules)
    fresh.tell(*engine.told)
    assert engine.facts == fresh.facts
    assert sorted(map(repr, engine.fired)) == sorted(map(repr, fresh.fired))


names = st.sampled_from("abcdef")
webs = st.lists(st.tuples(st.sets(names, min_size=1, max_size=2), names), min_size=4, max_size=12)


@thoroughly
@given(
    webs,
    st.lists(st.tuples(st.sets(names, max_size=2), st.sets(names, max_size=2)), min_size=2, max_size=6),
    st.booleans(),
)
def test_webs_of_implications(web, history, joined):
    """Where a few things imply each other in every way, with variables or without, what stands follows from what is told."""
    subject, value = (Var("x"), Var("y")) if joined else ("it", "so")
    rules = [
        Rule(str(number), tuple(Match(subject, name, value) for name in sorted(when)), (Fact(subject, then, value),))
        for number, (when, then) in enumerate(web)
    ]
    engine = Engine(rules)
    for out, in_ in history:
        engine.revise(
            [Fact("it", name, "so") for name in sorted(out)], [Fact("it", name, "so") for name in sorted(in_)]
        )
        assert set(engine.facts) == consequences(rules, engine.told, set(engine.facts))


@enough
@given(rule_sets(), st.lists(facts, max_size=6), st.randoms(use_true_random=False))
def test_order_of_telling_does_not_matter(rules, told, chance):
    """The same facts, told one by one in another order, give the same conclusions by the same firings."""
    one, other = Engine(rules), Engine(rules)
    one.tell(*told)
    shuffled = list(told)
    chance.shuffle(shuffled)
    for fact in shuffled:
        other.tell(fact)
    assert one.facts == other.facts
    assert sorted(map(repr, one.fired)) == sorted(map(repr, other.fired))


@enough
@given(rule_sets(), st.lists(facts, max_size=6), st.randoms(use_true_random=False))
def test_order_of_rules_does_not_matter(rules, told, chance):
    """The same rules in another order give the same conclusions."""
    shuffled = list(rules)
    chance.shuffle(shuffled)
    one, other = Engine(rules), Engine(shuffled)
    one.tell(*told)
    other.tell(*told)
    assert one.facts == other.facts


@enough
@given(rule_sets(), histories)
def test_change_says_what_changed(rules, history):
    """Each step reports just the facts that came to stand, just those that fell, and only firings that are new and in force."""
    engine = Engine(rules)
    for out, in_ in moves(engine, history):
        before, fired_before = set(engine.facts), list(map(repr, engine.fired))
        change = engine.revise(out, in_)
        after, fired = set(engine.facts), list(map(repr, engine.fired))
        assert (set(change.added), set(change.removed)) == (after - before, before - after)
        assert len(change.added) + len(change.removed) == len(after ^ before)
        for firing in map(repr, change.fired):
            assert firing in fired
            fired.remove(firing)
        assert all(firing in fired_before for firing in fired)


@enough
@given(rule_sets(), histories)
def test_nothing_is_kept_of_what_is_gone(rules, history):
    """When all is taken back, the engine holds no more than a fresh one."""
    engine, fresh = lived(rules, history), Engine(rules)
    engine.withdraw(*engine.told)
    assert set(engine._store.records) == set(fresh._store.records)
    assert set(engine._store.homes) == set(fresh._store.homes)
    named = {(fact.attribute, fact.value) for fact in fresh._store.records}
    assert set(engine._store.by_value) <= named  # an index made on the way holds what rules name, and no more
    assert len(engine._supports.fired) == len(fresh._supports.fired)
    assert not engine._agenda.heap


@enough
@given(rule_sets(), histories)
def test_every_fact_has_a_proof(rules, history):
    """Why a fact stands leads through standing facts and rules down to what was told, and never back to the fact."""
    engine = lived(rules, history)
    ids = {rule.id: rule for rule in rules}
    for fact in engine.facts:
        support = engine.why(fact)
        assert support.fact == fact
        assert_proof(engine, ids, support, frozenset())


def assert_proof(engine, rules, support, below):
    """Check one support and those of its premises."""
    assert engine.holds(support.fact)
    assert support.fact not in below
    if support.rule is None:
        assert support.fact in engine.told
        assert not support.premises
    else:
        assert any(firing == (support.rule, support.fact) for firing in engine.fired)
    for premise in support.premises:
        assert_proof(engine, rules, premise, below | {support.fact})


@enough
@given(rule_sets(), histories)
def test_why_not_agrees_with_what_stands(rules, history):
    """A rule that could conclude a fact has an unmet condition exactly if it does not conclude it."""
    engine = lived(rules, history)
    fired = set(engine.fired)
    for fact in EVERY_FACT:
        for miss in engine.why_not(fact):
            assert bool(miss.unmet) == ((miss.rule, fact) not in fired), miss


@enough
@given(rule_sets(), histories)
def test_rests_on_and_consequences_are_two_sides(rules, history):
    """A concluded fact rests on a told one exactly if it is among its consequences."""
    engine = lived(rules, history)
    concluded = {firing.fact for firing in engine.fired}
    forward = {(told, fact) for told in engine.told for fact in engine.consequences(told)}
    backward = {(told, fact) for fact in concluded for told in engine.rests_on(fact) if told != fact}
    assert forward == backward


@enough
@given(rule_sets(), histories, facts)
def test_what_does_not_rest_on_a_fact_outlives_it(rules, history, fact):
    """Taking a fact back makes fall only its consequences, where no rule asks for an absence."""
    rules = [
        rule
        for rule in rules
        if not any("Not(" in repr(each) or "Unknown" in repr(each) or "at_most=1" in repr(each) for each in rule.when)
    ]
    engine = lived(rules, history)
    engine.tell(fact)
    reached = {fact, *engine.consequences(fact)}
    assert set(engine.withdraw(fact).removed) <= reached


@enough
@given(rule_sets(), histories)
def test_a_query_finds_what_a_rule_would(rules, history):
    """Asking for the conditions of a rule gives a binding exactly where the rule has fired."""
    engine = lived(rules, history)
    fired = {firing.rule for firing in engine.fired}
    for rule in rules:
        assert any(True for _ in engine.matches(*rule.when)) == (rule.id in fired)
