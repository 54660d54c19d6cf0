"""The package's sums against a list of every hypothesis."""

from dataclasses import replace

import pytest
from brute import NOT_LISTED, Brute
from hypothesis import given, settings
from hypothesis import strategies as st
from networks import likelihoods, situations

from diagnose.belief import Belief, BeliefError, Network

CLOSE = pytest.approx
SAME = {"rel": 1e-9, "abs": 1e-9}
slow = settings(max_examples=150, deadline=None)


def believe(network, answers, excluded):
    """Take in everything, exclusions first."""
    belief = Belief(network)
    for cause in excluded:
        belief.exclude(cause)
    for finding, likelihood in answers.items():
        belief.answer(finding, likelihood)
    return belief


def told(belief):
    """Everything a belief tells, as one value to compare to the last bit."""
    return (
        belief.marginals(),
        belief.not_listed,
        belief.sets(6),
        belief.log_evidence,
        belief.conflict(),
        belief.gains(),
        [belief.predict(f) for f in belief.unanswered],
    )


@given(situations())
@slow
def test_posterior(situation):
    """Marginals, not listed, pairs' share and P(e) equal those of enumeration."""
    belief, brute = believe(*situation), Brute(*situation)
    assert belief.marginals() == CLOSE(brute.marginals(), **SAME)
    assert belief.not_listed == CLOSE(brute.posterior.get(NOT_LISTED, 0.0), **SAME)
    assert belief.pair_share == CLOSE(sum(p for s, p in brute.posterior.items() if s and len(s) == 2), **SAME)
    assert belief.evidence_probability == CLOSE(brute.evidence_probability(), rel=1e-9)


@given(situations(), st.integers(1, 12))
@slow
def test_ranking(situation, n):
    """The best sets have enumeration's probabilities, in its order, and none better is missing."""
    belief, brute = believe(*situation), Brute(*situation)
    best = sorted((p for s, p in brute.posterior.items() if s), reverse=True)
    sets = belief.sets(n)
    assert [p for _, p in sets][: len(best)] == CLOSE(best[:n], **SAME)
    assert all(p == CLOSE(brute.posterior.get(s, 0.0), **SAME) for s, p in sets)
    assert len({s for s, _ in sets}) == len(sets)


@given(situations())
@slow
def test_forecast_and_gain(situation):
    """Predictions equal enumeration's, and the gain equals the fall of the hypotheses' own entropy."""
    belief, brute = believe(*situation), Brute(*situation)
    for finding, gain in belief.gains().items():
        assert belief.predict(finding) == CLOSE(brute.predict(finding), **SAME)
        assert gain == CLOSE(brute.gain(finding), **SAME)
        assert belief.gain(finding) == gain


@given(situations())
@slow
def test_conflict(situation):
    """The conflict equals that of enumeration."""
    assert believe(*situation).conflict() == CLOSE(Brute(*situation).conflict(), **SAME)


@given(situations(), st.randoms(use_true_random=False), st.data())
@slow
def test_any_order_with_detours_equals_fresh(situation, random, data):
    """Answers and exclusions in any order, with changes of mind between, leave the same to the last bit."""
    network, answers, excluded = situation
    lived = Belief(network)
    for finding in random.sample(list(network.findings), len(network.findings)):
        lived.answer(finding, data.draw(likelihoods(network.findings[finding])))
        lived.gains()
        lived.conflict()
    if network.not_listed:
        for cause in network.causes:
            lived.exclude(cause)
            lived.conflict()
        for cause in set(network.causes):
            lived.readmit(cause)
    for finding in random.sample(list(network.findings), len(network.findings)):
        if finding not in answers:
            lived.withdraw(finding)
        else:
            lived.replace(finding, answers[finding])
        lived.gains()
        lived.conflict()
    for cause in random.sample(excluded, len(excluded)):
        lived.exclude(cause)
    assert told(lived) == told(believe(network, answers, excluded))


@given(situations(), st.data())
@slow
def test_other_tables_leave_the_rest_standing(situation, data):
    """Going over to another network of the same causes and back, some tables changed or gone, equals a fresh start."""
    network, answers, excluded = situation
    belief = believe(network, answers, excluded)
    belief.gains()
    changed = data.draw(st.sets(st.sampled_from(list(network.findings)))) if network.findings else set()
    gone = data.draw(st.sets(st.sampled_from(list(network.findings)))) if network.findings else set()
    tables = {f: replace(t) if f in changed else t for f, t in network.findings.items() if f not in gone}
    other = Network(network.causes, tables, network.not_listed, network.lifts)
    assert belief.adopt(other) == (changed | gone) & answers.keys()
    left = {f: said for f, said in answers.items() if f not in changed | gone}
    assert told(belief) == told(believe(other, left, excluded))
    assert belief.adopt(network) == frozenset()
    for finding in answers.keys() - left.keys():
        belief.answer(finding, answers[finding])
    assert told(belief) == told(believe(network, answers, excluded))


def test_other_causes_are_another_matter():
    """A network of other causes is refused, and nothing changes."""
    belief = Belief(Network({"wear": 0.1}, {}))
    with pytest.raises(BeliefError, match="not those of the network before"):
        belief.adopt(Network({"wear": 0.2}, {}))
    assert belief.network.causes == {"wear": 0.1}


@given(situations())
@slow
def test_what_if_leaves_the_belief_alone(situation):
    """Supposing an answer gives what entering it would, and changes nothing here."""
    network, answers, excluded = situation
    belief = believe(network, {}, excluded)
    before = told(belief)
    for finding, likelihood in answers.items():
        assert told(belief.supposing(finding, likelihood)) == told(believe(network, {finding: likelihood}, excluded))
    assert told(belief) == before
