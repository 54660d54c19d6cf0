"""Every worked value of the literature notes, by hand-checkable example."""

import math

import pytest

from diagnose.belief import Belief, Table, firm, weighted
from diagnose.belief.information import (
    expected_repair_cost,
    perfect_information_value,
    question_score,
    repair_order,
    same_decision_probability,
    sample_information_value,
)
from diagnose.belief.noisy_or import net_from_compound
from diagnose.belief.quickscore import quickscore
from diagnose.belief.scoring import brier, brier_many, calibration_error, log_loss, wilson
from diagnose.belief.weight import flips, leave_one_out, log_odds, sequential

AT_MOST_TWO = 0.315  # prior chance of one or two of the three causes, as P(e) was tabulated jointly with it


def near(value, places=10):
    """Equal to this many decimals, as printed."""
    return pytest.approx(value, abs=0.5001 * 10**-places)


def told(belief, **answers):
    """Give firm answers."""
    for finding, value in answers.items():
        belief.answer(finding, firm(belief.network.findings[finding], value))
    return belief


def likelihoods(network, **answers):
    """Firm answers as likelihoods."""
    return {f: firm(network.findings[f], value) for f, value in answers.items()}


@pytest.mark.parametrize(("present", "p"), [("", 0.05), ("A", 0.81), ("B", 0.62), ("AB", 0.924)])
def test_net_noisy_or(worked, present, p):
    """The net reading gives .05, .81, .62 and .924 for none, A, B and both."""
    assert worked().findings["S1"].given(set(present))[1] == near(p, 12)


def test_compound_reading_is_another_table():
    """The same numbers read as compound give .80, .60 and .9158."""
    links = {(c, "yes"): net_from_compound(p, 0.05) for c, p in (("A", 0.8), ("B", 0.6))}
    table = Table(("no", "yes"), {"yes": 0.05}, links)
    assert [table.given(set(s))[1] for s in ("A", "B", "AB")] == [near(0.80, 12), near(0.60, 12), near(0.9158, 4)]


@pytest.mark.parametrize(
    ("answers", "marginals", "pair", "evidence"),
    [
        ({"S1": "yes"}, (0.4207074113, 0.6597805431, 0.0542512107), 0.1347391651, 0.195756),
        ({"S1": "yes", "S2": "no"}, (0.4979477409, 0.5833450816, 0.0060057278), 0.0872985503, 0.145978644),
        ({"S1": "yes", "S2": "yes", "S3": "no"}, (0.1182743089, 0.9416855307, 0.1029978104), 0.16295765, 0.0374613304),
        ({"S1": "yes", "S3": "no"}, (0.3062985136, 0.7546151920, 0.0294780451), 0.0903917507, 0.14233644),
    ],
)
def test_posterior_over_one_and_two(worked, answers, marginals, pair, evidence):
    """Marginals, the share of pairs and P(e) over one or two causes, an unknown answer changing nothing."""
    belief = told(Belief(worked()), **answers)
    assert list(belief.marginals().values()) == [near(p) for p in marginals]
    assert belief.pair_share == near(pair, 8)
    assert belief.evidence_probability * AT_MOST_TWO == near(evidence, 9)


@pytest.mark.parametrize(
    ("answers", "marginals", "evidence"),
    [
        ({"S1": "yes"}, (0.3607068607, 0.5634095634, 0.05), 0.23088),
        ({"S1": "yes", "S2": "yes", "S3": "no"}, (0.1217218564, 0.9269070985, 0.1067834989), 0.038309296),
    ],
)
def test_posterior_over_any_number(worked, answers, marginals, evidence):
    """Marginals and P(e) over every set of causes, none included."""
    exact = quickscore(worked(), likelihoods(worked(), **answers))
    assert list(exact.marginals.values()) == [near(p) for p in marginals]
    assert exact.evidence_probability == near(evidence, 9)


def test_ranked_sets(worked):
    """The six sets come in this order with these probabilities."""
    belief = told(Belief(worked()), S1="yes", S2="yes", S3="no")
    expected = [
        ("B", 0.79979146),
        ("AB", 0.07946315),
        ("BC", 0.06243092),
        ("AC", 0.02106358),
        ("C", 0.01950331),
        ("A", 0.01774758),
    ]
    assert belief.sets(6) == [(frozenset(s), near(p, 8)) for s, p in expected]


def test_single_causes_alone_hide_a_cause(worked):
    """Renormalised over single causes the third cause falls to .0233, from .1030 with pairs."""
    sets = dict(told(Belief(worked()), S1="yes", S2="yes", S3="no").sets(6))
    single = {c: sets[frozenset(c)] for c in "ABC"}
    shares = {c: p / sum(single.values()) for c, p in single.items()}
    assert shares == {"A": near(0.02120273, 8), "B": near(0.95549700, 8), "C": near(0.02330027, 8)}


def test_not_listed_takes_the_base_rate(worked):
    """Something not listed shows each finding as often as the causes do on average."""
    network = worked(0.05)
    assert [network.elsewhere(f)[1] for f in ("S1", "S2", "S3")] == [
        near(0.592857, 6),
        near(0.314, 6),
        near(0.267143, 6),
    ]


def test_not_listed_posterior(worked):
    """Not listed comes to .0569 when the answers fit, .0842 when they fit badly."""
    fits = told(Belief(worked(0.05)), S1="yes", S2="yes", S3="no")
    assert fits.not_listed == near(0.05693934, 8)
    assert fits.sets(2) == [(frozenset("B"), near(0.75425186, 8)), (frozenset("AB"), near(0.07493857, 8))]
    assert told(Belief(worked(0.05)), S1="no", S2="no", S3="yes").not_listed == near(0.08422655, 8)


@pytest.mark.parametrize(
    ("answers", "conflict"),
    [
        ({"S1": "yes", "S2": "yes"}, -0.886348),
        ({"S1": "no", "S2": "yes"}, 0.424119),
        ({"S1": "no", "S2": "yes", "S3": "no"}, 0.760866),
    ],
)
def test_conflict_over_any_number(worked, answers, conflict):
    """Log2 of product P(e_k) / P(e) over every set of causes."""
    network = worked()
    said = likelihoods(network, **answers)
    apart = math.prod(quickscore(network, {f: one}).evidence_probability for f, one in said.items())
    assert math.log2(apart / quickscore(network, said).evidence_probability) == near(conflict, 6)


SEQUENTIAL = {"S1": (1.9990, 0.5325, -5.0668), "S2": (-4.7909, 5.9409, 6.2764), "S3": (-2.5444, 3.2640, -3.2624)}
LEFT_OUT = {"S1": (2.5133, 6.8030, -5.0778), "S2": (-5.1742, 7.2025, 5.7754), "S3": (-2.5444, 3.2640, -3.2624)}


@pytest.mark.parametrize(("weigh", "table"), [(sequential, SEQUENTIAL), (leave_one_out, LEFT_OUT)])
def test_weights_of_evidence(worked, weigh, table):
    """Both tables of decibans, answer by answer and cause by cause."""
    belief = Belief(worked())
    assert belief.marginals() == {"A": near(0.31428571, 8), "B": near(0.63174603, 8), "C": near(0.15555556, 8)}
    weights = weigh(told(belief, S1="yes", S2="yes", S3="no"))
    assert weights == {f: dict(zip("ABC", [near(w, 4) for w in row], strict=True)) for f, row in table.items()}


def test_flip_of_the_last_answer(worked):
    """With S3 the other way the marginals are .4251, .7083 and .4778 and the leader stays."""
    flip = next(c for c in flips(told(Belief(worked()), S1="yes", S2="yes", S3="no")) if c.finding == "S3")
    assert flip.marginals == {"A": near(0.425101, 6), "B": near(0.708287, 6), "C": near(0.477821, 6)}
    assert not flip.leader_changes


def test_likelihood_ratio_in_decibans():
    """A likelihood ratio of 12 lifts .2 to .75, which is 10.7918 decibans or 3.585 bits."""
    assert log_odds(0.75) - log_odds(0.2) == near(10.7918, 4)
    assert math.log2(10 ** ((log_odds(0.75) - log_odds(0.2)) / 10)) == near(3.585, 3)


def test_expected_gain(worked):
    """After S1 the two questions left are worth .1846 and .1379 bits, at .2543 and .2729 for yes."""
    belief = told(Belief(worked()), S1="yes")
    assert -sum(p * math.log2(p) for _, p in belief.sets(6)) == near(1.62246192, 8)
    assert belief.predict("S2")["yes"] == near(0.25428266, 8)
    assert belief.predict("S3")["yes"] == near(0.27288849, 8)
    assert belief.gains() == {"S2": near(0.18460502, 8), "S3": near(0.13793122, 8)}
    assert question_score(belief.gain("S2"), 0.7, 1.0) == near(0.12922352, 8)


BELIEFS = {"A": 0.6, "B": 0.4}
COSTS = {"doA": {"A": 10, "B": 60}, "doB": {"A": 50, "B": 15}, "supervisor": {"A": 40, "B": 40}}
ANSWERS = {"yes": {"A": 0.9, "B": 0.2}, "no": {"A": 0.1, "B": 0.8}}


def test_value_of_a_question():
    """The question is worth 12 of at most 18, and leaves the decision as it is in .62."""
    assert sample_information_value(BELIEFS, COSTS, ANSWERS) == near(12.0, 9)
    assert perfect_information_value(BELIEFS, COSTS) == near(18.0, 9)
    assert same_decision_probability(BELIEFS, COSTS, ANSWERS) == near(0.62, 9)


def test_repair_order():
    """By p / C the order is 3, 2, 1 at 7.6; by probability it would cost 11.2."""
    p, cost = {"1": 0.5, "2": 0.3, "3": 0.2}, {"1": 10, "2": 2, "3": 1}
    assert repair_order(p, cost) == ["3", "2", "1"]
    assert expected_repair_cost(["3", "2", "1"], p, cost) == near(7.6, 9)
    assert expected_repair_cost(["1", "2", "3"], p, cost) == near(11.2, 9)


def test_virtual_evidence(worked):
    """A doubtful yes (.2 to .8) moves A to .2067 and B to .3487 and leaves C."""
    network = worked()
    exact = quickscore(network, {"S1": weighted(network.findings["S1"], {"no": 0.2, "yes": 0.8})})
    assert exact.marginals == {"A": near(0.2066830513), "B": near(0.3487097079), "C": near(0.05)}


def test_wrong_answers(worked):
    """With one answer in twenty wrong, a yes moves A to .3101 and B to .4929; P(e) is .257792."""
    network = worked(error=0.05)
    exact = quickscore(network, likelihoods(network, S1="yes"))
    assert exact.marginals == {"A": near(0.3101415094), "B": near(0.4929245283), "C": near(0.05)}
    assert exact.evidence_probability == near(0.257792, 9)


def test_calibration_values():
    """Brier .158, log loss .479995, calibration error .18, many-way Brier .14 on the five forecasts."""
    p, y = (0.9, 0.8, 0.7, 0.6, 0.3), (True, True, False, True, False)
    assert brier(p, y) == near(0.158, 9)
    assert log_loss(p, y) == near(0.479995, 6)
    assert calibration_error(p, y, (0.0, 0.5, 0.75, 1.0)) == near(0.18, 9)
    assert brier_many({"1": 0.7, "2": 0.2, "3": 0.1}, "1") == near(0.14, 9)


@pytest.mark.parametrize(
    ("successes", "trials", "low", "high"),
    [(27, 30, 0.7438, 0.9654), (190, 200, 0.9104, 0.9726), (950, 1000, 0.9347, 0.9619)],
)
def test_wilson(successes, trials, low, high):
    """Thirty cases prove nothing, two hundred give three points each way."""
    assert wilson(successes, trials) == (near(low, 4), near(high, 4))
