"""Rules, facts and histories invented by hypothesis: cyclic, joined, negated and counted ones among them."""

from __future__ import annotations

from hypothesis import strategies as st

from diagnose.engine import (
    AllOf,
    AnyOf,
    BadRule,
    Count,
    CountDistinct,
    Engine,
    Fact,
    Guard,
    Match,
    Not,
    Rule,
    Test,
    Unknown,
    UnsettledRules,
    Var,
)

ENTITIES = ("a", "b")
ATTRIBUTES = ("p", "q", "r")
VALUES = (1, 2, "a")
NAMES = ("x", "y", "z")

variables = st.sampled_from(NAMES).map(Var)
tests = st.sampled_from([Test("above", 1), Test("at-most", 1), Test("one-of", 2, "a"), Test("differs", "a")])
facts = st.builds(Fact, st.sampled_from(ENTITIES), st.sampled_from(ATTRIBUTES), st.sampled_from(VALUES))


def matches(attributes, *, ground):
    """Patterns on some attributes, with or without variables."""
    entities, values = st.sampled_from(ENTITIES), st.sampled_from(VALUES) | tests
    if not ground:
        entities, values = variables | entities, variables | values
    return st.builds(Match, entities, st.sampled_from(attributes), values)


def negative(attributes, *, ground):
    """Conditions on the absence of facts with some attributes."""
    inner = matches(attributes, ground=ground)
    entities = st.sampled_from(ENTITIES) if ground else st.sampled_from(ENTITIES) | variables
    kinds = [
        st.lists(inner, min_size=1, max_size=2).map(lambda each: Not(*each)),
        st.builds(Unknown, entities, st.sampled_from(attributes)),
        st.lists(inner, min_size=2, max_size=3).map(lambda each: Count(tuple(each), 0, 1)),
        st.lists(inner, min_size=1, max_size=2).map(lambda each: Not(AnyOf(*each))),
        inner.map(lambda each: Not(Not(each))),
    ]
    if not ground:
        kinds.append(
            st.lists(inner, max_size=1).map(
                lambda each: CountDistinct(Var("x"), (Match(Var("x"), attributes[0], Var("w")), *each), 0, 1)
            )
        )
    return st.one_of(kinds)


def positive(attributes, *, ground):
    """Conditions that more facts can only make hold."""
    inner = matches(attributes, ground=ground)
    several = st.lists(inner, min_size=1, max_size=3)
    kinds = [
        inner,
        inner,
        several.map(lambda each: AnyOf(*each)),
        st.tuples(inner, several).map(lambda each: AnyOf(each[0], AllOf(*each[1]))),
        several.map(lambda each: Count(tuple(each), min(2, len(each)))),
    ]
    if not ground:
        kinds.append(
            several.map(lambda each: CountDistinct(Var("x"), (Match(Var("x"), attributes[-1], Var("w")), *each), 2))
        )
        kinds.append(
            st.builds(
                Guard, variables, st.sampled_from(["differs", "equals", "above"]), variables | st.sampled_from(VALUES)
            )
        )
    return st.one_of(kinds)


@st.composite
def one_rule(draw, number):
    """One rule: it may rest on the presence of anything up to its head's attribute, on the absence of lower ones."""
    ground = draw(st.booleans())
    level = draw(st.integers(0, len(ATTRIBUTES) - 1))
    when = draw(st.lists(positive(ATTRIBUTES[: level + 1], ground=ground), min_size=0 if level else 1, max_size=3))
    if level:
        when += draw(st.lists(negative(ATTRIBUTES[:level], ground=ground), max_size=2))
    parts = st.sampled_from(ENTITIES), st.sampled_from(VALUES)
    if not ground:
        parts = variables | parts[0], variables | parts[1]
    heads = draw(st.lists(st.builds(Fact, parts[0], st.just(ATTRIBUTES[level]), parts[1]), min_size=1, max_size=2))
    try:
        return Rule(f"r{number}", tuple(when), tuple(heads), rank=draw(st.integers(0, 1)))
    except BadRule:
        return None


@st.composite
def rule_sets(draw):
    """Up to seven rules that settle."""
    rules = [draw(one_rule(number)) for number in range(draw(st.integers(1, 7)))]
    rules = tuple(rule for rule in rules if rule is not None)
    try:
        Engine(rules)
    except UnsettledRules:  # a level below the head's may still be concluded by another head of the same rule's cycle
        return rules[:1]
    return rules


steps = st.tuples(st.lists(st.integers(0, 20), max_size=3), st.lists(facts, max_size=3))
histories = st.lists(steps, min_size=2, max_size=8)
"""Steps: which of the facts told so far are taken back (by number), and which are told."""


def moves(engine, history):
    """Yield, step by step, what is taken back and what is told; mostly what was told before is taken back."""
    for numbers, told in history:
        known = sorted(engine.told, key=repr)
        yield [known[number % len(known)] for number in numbers if known], told
