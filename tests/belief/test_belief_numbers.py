"""Numeric range, refusals, and the smaller rooms."""

import math
from fractions import Fraction
from random import Random

import pytest
from brute import value_given
from hypothesis import given, settings
from hypothesis import strategies as st
from networks import networks, situations

from diagnose.belief import Belief, BeliefError, Network, Table, firm, scaled_odds, unsure, weighted
from diagnose.belief.learning import Beta, learnt, regularised_beta
from diagnose.belief.quickscore import MOST_TERMS, quickscore
from diagnose.belief.sampling import draw
from diagnose.belief.scoring import calibration_error, equal_bins, reliability
from diagnose.belief.weight import leave_one_out, sequential, would_change

YES = Table(("no", "yes"), {"yes": 0.004}, {("a", "yes"): 0.985, ("b", "yes"): 0.985}, error=0.02)
ONLY_A = Table(("no", "yes"), {"yes": 0.004}, {("a", "yes"): 0.985})


def repeated(table, n, **more):
    """Make a network of n findings that share one table."""
    return Network({"a": 0.1, "b": 0.1, "c": 0.1}, {f"f{k}": table for k in range(n)}, **more)


def answered(network, value):
    """Every finding answered alike."""
    belief = Belief(network)
    for finding, table in network.findings.items():
        belief.answer(finding, firm(table, value))
    return belief


@pytest.mark.parametrize("value", ["no", "yes"])
@pytest.mark.parametrize("n", [1, 20, 100, 1000])
def test_many_answers_stay_in_range(n, value):
    """However many answers agree, the posterior is what exact fractions give."""
    belief, marginals = answered(repeated(YES, n), value), exactly(repeated(YES, n), value)
    assert belief.marginals() == pytest.approx(marginals, rel=1e-9, abs=1e-300)
    gains = answered(repeated(YES, n), value)
    gains.withdraw("f0")
    assert all(0.0 <= gain <= 1.0 for gain in gains.gains().values())


def exactly(network, value):
    """Marginals in exact fractions, every finding answered alike with the table's error."""
    table = network.findings["f0"]
    n, said = len(network.findings), {v: Fraction(p) for v, p in firm(table, value).items()}
    odds = {c: Fraction(o) for c, o in network.causes.items()}

    def likelihood(present):
        miss = Fraction(1) - Fraction(table.leak["yes"])
        for c in present:
            miss *= 1 - Fraction(table.links.get((c, "yes"), 0.0))
        return said["no"] * miss + said["yes"] * (1 - miss)

    sets = [("a",), ("b",), ("c",), ("a", "b"), ("a", "c"), ("b", "c")]
    prior = {s: math.prod(odds[c] for c in s) for s in sets}
    weight = {s: prior[s] * likelihood(s) ** n for s in sets}
    share = {c: o / (1 + o) for c, o in odds.items()}
    average = sum(share[c] * likelihood((c,)) for c in odds) / sum(share.values())
    kept = Fraction(network.not_listed)
    other = kept / (1 - kept) * sum(prior.values()) * average**n
    total = sum(weight.values()) + other
    return {c: float(sum(w for s, w in weight.items() if c in s) / total) for c in odds}


def test_a_dominant_cause_does_not_swamp_pairs():
    """With one cause ahead by a thousand decibans the other keeps its prior odds of being there too."""
    belief = answered(repeated(ONLY_A, 45, not_listed=0.0), "yes")
    assert belief.marginals()["a"] == pytest.approx(1.0, rel=1e-12)
    assert belief.marginals()["b"] == pytest.approx(0.1 / 1.2, rel=1e-9)


def test_excluding_everything_leaves_not_listed():
    """With every cause ruled out, not listed is certain; where nothing is kept for it, that is refused."""
    belief = answered(repeated(YES, 3), "yes")
    for cause in "abc":
        belief.exclude(cause)
    assert belief.not_listed == 1.0
    assert belief.marginals() == {"a": 0.0, "b": 0.0, "c": 0.0}
    bare = Belief(repeated(YES, 3, not_listed=0.0))
    for cause in "abc":
        bare.exclude(cause)
    with pytest.raises(BeliefError, match="all excluded"):
        bare.marginals()


def test_putting_right_moves_belief_to_the_rest():
    """A cause put right with the symptom still there leaves the other cause and not listed with its share."""
    belief = answered(repeated(YES, 2), "yes")
    before = belief.marginals()["b"], belief.not_listed
    belief.exclude("a")
    assert belief.marginals()["a"] == 0.0
    assert belief.marginals()["b"] > before[0]
    assert belief.not_listed > before[1]


def test_a_network_without_causes_believes_in_not_listed():
    """No listed cause at all: not listed is certain and no question is worth anything."""
    belief = Belief(Network({}, {"f": Table(("no", "yes"), {"yes": 0.1}, {})}))
    assert (belief.not_listed, belief.marginals(), belief.sets(3)) == (1.0, {}, [])
    assert belief.gains() == {"f": pytest.approx(0.0, abs=1e-12)}
    assert belief.predict("f")["yes"] == pytest.approx(0.1)


@pytest.mark.parametrize(
    ("make", "culprit"),
    [
        (lambda: Network({"a": 0.0}, {}), "a"),
        (lambda: Network({"a": math.nan}, {}), "a"),
        (lambda: Network({"a": math.inf}, {}), "a"),
        (lambda: Network({"a": 1.0}, {}, not_listed=1.0), "not_listed"),
        (lambda: Network({}, {}, not_listed=0.0), "causes"),
        (lambda: repeated(Table(("no", "yes"), {"yes": 0.0}, {}), 1), "f0 yes"),
        (lambda: repeated(Table(("no", "yes"), {"yes": math.nan}, {}), 1), "f0 yes"),
        (lambda: repeated(Table(("no", "yes"), {}, {}), 1), "f0"),
        (lambda: repeated(Table(("no",), {}, {}), 1), "f0"),
        (lambda: repeated(Table((), {}, {}), 1), "f0"),
        (lambda: repeated(Table(("no", "no"), {"no": 0.1}, {}), 1), "f0"),
        (lambda: repeated(Table(("no", "yes"), {"yes": 0.1}, {}, error=0.5), 1), "f0 error"),
        (lambda: repeated(Table(("no", "yes"), {"yes": 0.1}, {("a", "yes"): 1.0}), 1), "f0 a yes"),
        (lambda: repeated(Table(("no", "yes"), {"yes": 0.1}, {("a", "no"): 0.5}), 1), "f0 a no"),
        (lambda: repeated(Table(("no", "yes"), {"yes": 0.1}, {("z", "yes"): 0.5}), 1), "f0 z"),
        (lambda: scaled_odds({"a": 1.0, "b": -1.0}, 0.1), "b"),
        (lambda: scaled_odds({"a": 1.0}, 1.0), "two_at_once"),
        (lambda: firm(YES, "perhaps"), "perhaps"),
        (lambda: unsure(YES, "yes", 0.4), "yes"),
        (lambda: unsure(YES, "yes", 1.1), "yes"),
        (lambda: weighted(YES, {"yes": math.nan}), "yes"),
        (lambda: weighted(YES, {"yes": 0.0}), "no yes"),
    ],
)
def test_bad_numbers_are_refused_by_name(make, culprit):
    """Every impossible number or unknown name is refused, and the refusal names the culprit."""
    with pytest.raises(BeliefError) as refusal:
        make()
    assert refusal.value.culprit == culprit


@pytest.mark.parametrize(
    "do",
    [
        lambda b: b.answer("f0", firm(YES, "yes")),
        lambda b: b.answer("f9", firm(YES, "yes")),
        lambda b: b.answer("f1", {"yes": 1.0}),
        lambda b: b.answer("f1", {"yes": 0.0, "no": 0.0}),
        lambda b: b.answer("f1", {"yes": 2.0, "no": 0.0}),
        lambda b: b.withdraw("f1"),
        lambda b: b.replace("f1", firm(YES, "yes")),
        lambda b: b.replace("f0", {"yes": 0.0, "no": 0.0}),
        lambda b: b.exclude("z"),
        lambda b: b.readmit("z"),
        lambda b: b.gain("f0"),
        lambda b: b.predict("f9"),
    ],
)
def test_a_refused_step_changes_nothing(do):
    """A step that makes no sense is refused, and belief is as it was."""
    belief = Belief(repeated(YES, 2))
    belief.answer("f0", firm(YES, "yes"))
    before = belief.marginals(), belief.answers, belief.gains()
    with pytest.raises(BeliefError):
        do(belief)
    assert (belief.marginals(), belief.answers, belief.gains()) == before


def test_a_replaced_answer_keeps_its_place():
    """Answers come back in the order of entry, and changing one leaves the order alone."""
    belief = answered(repeated(YES, 3), "yes")
    belief.replace("f1", firm(YES, "no"))
    assert list(belief.answers) == ["f0", "f1", "f2"]
    assert sequential(belief) == sequential(belief.copy())


@given(networks(), st.data())
@settings(max_examples=100, deadline=None)
def test_values_share_out_one(network, data):
    """For any causes present, the values' probabilities are positive, share out one and follow the definition."""
    present = data.draw(st.sets(st.sampled_from(list(network.causes))))
    for table in network.findings.values():
        distribution = table.given(present)
        assert sum(distribution) == pytest.approx(1.0, abs=1e-12)
        assert min(distribution) > 0.0
        assert dict(zip(table.values, distribution, strict=True)) == pytest.approx(value_given(table, present))


@given(st.lists(st.floats(0.001, 1000.0), min_size=2, max_size=8), st.floats(0.001, 0.95))
def test_scaled_odds_give_pairs_their_share(weights, share):
    """The odds keep the weights' proportions, and pairs weigh exactly their share of singles and pairs."""
    odds = list(scaled_odds({f"c{i}": w for i, w in enumerate(weights)}, share).values())
    pairs = sum(odds[i] * odds[j] for i in range(len(odds)) for j in range(i))
    assert pairs / (pairs + sum(odds)) == pytest.approx(share, rel=1e-9)
    assert [o / odds[0] for o in odds] == pytest.approx([w / weights[0] for w in weights], rel=1e-9)


@given(situations(most_values=2, not_listed=0.0, lifted=False))
@settings(max_examples=100, deadline=None)
def test_quickscore_equals_listing_every_set(situation):
    """Over any number of causes, marginals and P(e) equal those of listing all sets, with none and without."""
    network, answers, _ = situation
    names, pi = list(network.causes), network.priors
    weights = {}
    for bits in range(2 ** len(names)):
        present = {c for i, c in enumerate(names) if bits >> i & 1}
        prior = math.prod(pi[c] if c in present else 1 - pi[c] for c in names)
        seen = (
            sum(said[v] * p for v, p in value_given(network.findings[f], present).items())
            for f, said in answers.items()
        )
        weights[frozenset(present)] = prior * math.prod(seen)
    for some_cause in (False, True):
        kept = {s: w for s, w in weights.items() if s or not some_cause}
        exact = quickscore(network, answers, some_cause=some_cause)
        marginals = {c: sum(w for s, w in kept.items() if c in s) / sum(kept.values()) for c in names}
        assert exact.marginals == pytest.approx(marginals, rel=1e-7, abs=1e-9)


def test_quickscore_refuses_what_it_cannot_expand():
    """Several abnormal values, or too many answers that double the work, are refused."""
    many = Table(("n", "x", "y"), {"x": 0.1, "y": 0.1}, {})
    with pytest.raises(BeliefError, match="several abnormal"):
        quickscore(repeated(many, 1), {"f0": firm(many, "x")})
    network = repeated(YES, MOST_TERMS + 1)
    with pytest.raises(BeliefError, match="double"):
        quickscore(network, {f: firm(YES, "yes") for f in network.findings})


def test_pairs_are_enough_when_faults_are_rare():
    """With one complaint and rare causes, singles and pairs give the marginals of all sets to a percent."""
    causes = {f"c{i}": 0.002 * (i + 1) for i in range(8)}
    links = {(c, "yes"): 0.8 for c in list(causes)[:5]}
    network = Network(causes, {"f": Table(("no", "yes"), {"yes": 0.025}, links)}, not_listed=0.0)
    said = firm(network.findings["f"], "yes")
    belief = Belief(network)
    belief.answer("f", said)
    full = quickscore(network, {"f": said}, some_cause=True)
    assert belief.marginals() == pytest.approx(full.marginals, abs=0.01)


@given(situations())
@settings(max_examples=100, deadline=None)
def test_sequential_weights_add_up(situation):
    """The bars of a cause add up to its whole change of log odds; alone, an answer's two weights agree."""
    network, answers, excluded = situation
    belief = Belief(network)
    for cause in excluded:
        belief.exclude(cause)
    start = belief.copy()
    for finding, likelihood in answers.items():
        belief.answer(finding, likelihood)
    bars = sequential(belief)
    for cause, p in belief.marginals().items():
        if cause in excluded or not answers or not 1e-9 < p < 1 - 1e-9:
            continue
        whole = 10 * math.log10(p / (1 - p)) - 10 * math.log10(
            start.marginals()[cause] / (1 - start.marginals()[cause])
        )
        assert sum(bar[cause] for bar in bars.values()) == pytest.approx(whole, abs=1e-5)
    if len(answers) == 1:
        assert leave_one_out(belief) == bars


def test_what_would_change_the_ranking_comes_first():
    """The answer that would depose the leader is named before one that would not."""
    settle = Table(("no", "yes"), {"yes": 0.004}, {("b", "yes"): 0.985}, error=0.02)
    network = Network({"a": 0.3, "b": 0.1}, {"idle": Table(("no", "yes"), {"yes": 0.1}, {}), "settle": settle})
    first, *others = would_change(Belief(network), ["idle", "settle"])
    assert (first.finding, first.value, first.leader_changes) == ("settle", "yes", True)
    assert not any(change.leader_changes for change in others)
    assert first.chance == pytest.approx(Belief(network).predict("settle")["yes"])


def test_drawn_cases_follow_the_network():
    """Ten thousand drawn cases show causes, findings, wrong and missing answers at the network's rates."""
    network = Network(
        {"a": 0.5, "b": 0.2, "c": 0.1}, {"f": YES, "g": Table(("n", "x", "y"), {"x": 0.2, "y": 0.1}, {("c", "x"): 0.9})}
    )
    random, n = Random(7), 10_000
    cases = [draw(network, random, errors={"g": 0.1}, cannot_tell={"f": 0.25}) for _ in range(n)]
    belief = Belief(network)
    within = pytest.approx
    assert sum("a" in case.causes for case in cases) / n == within(belief.marginals()["a"], abs=0.02)
    assert sum(len(case.causes) == 2 for case in cases) / n == within(belief.pair_share, abs=0.02)
    assert sum(not case.causes for case in cases) / n == within(0.05, abs=0.01)
    assert sum(case.truth["f"] == "yes" for case in cases) / n == within(
        (belief.predict("f")["yes"] - 0.02) / 0.96, abs=0.02
    )
    assert sum(case.said["f"] is None for case in cases) / n == within(0.25, abs=0.02)
    assert sum(case.said["g"] != case.truth["g"] for case in cases) / n == within(0.1, abs=0.01)


def test_drawn_pairs_follow_what_they_have_to_do_with_each_other():
    """Ten thousand drawn cases hold each pair as often as its lift says."""
    network = Network({"a": 0.5, "b": 0.2, "c": 0.1}, {"f": YES}, lifts={frozenset("bc"): 20.0})
    random, n = Random(8), 10_000
    cases = [draw(network, random) for _ in range(n)]
    for pair, share in Belief(network).sets(6):
        assert sum(case.causes == pair for case in cases) / n == pytest.approx(share, abs=0.02)


def test_a_cause_that_leads_to_another_takes_it_along():
    """Where gland steam has spoiled a bearing in one case of five, a spoiled bearing speaks for gland steam."""
    table = Table(("no", "yes"), {"yes": 0.004}, {("bearing", "yes"): 0.8})
    odds = {"bearing": 0.01, "steam": 0.02}
    lifts = {frozenset(odds): 0.2 / 0.8 / odds["bearing"]}
    apart, tied = (Belief(Network(odds, {"noise": table}, 0.05, given)) for given in ({}, lifts))
    pair = lifts[frozenset(odds)] * odds["bearing"] * odds["steam"]
    assert pair / (pair + odds["steam"]) == pytest.approx(0.2)
    for belief in (apart, tied):
        belief.answer("noise", firm(table, "yes"))
    assert apart.marginals()["steam"] < 0.05
    assert tied.marginals()["steam"] > 0.3


@pytest.mark.parametrize(
    ("pair", "lift", "says"),
    [
        ({"a"}, 2.0, "a: are not two causes"),
        ({"a", "x"}, 2.0, "a and x: are not"),
        ({"a", "b"}, 0.5, "a and b: lift is"),
    ],
)
def test_a_bad_lift_is_refused_by_name(pair, lift, says):
    """Both causes must be known, and together they must not be rarer than apart."""
    with pytest.raises(BeliefError, match=says):
        Network({"a": 0.1, "b": 0.1}, {}, lifts={frozenset(pair): lift})


def test_the_same_seed_draws_the_same_case():
    """Two generators of one seed draw equal cases."""
    network = repeated(YES, 5)
    assert [draw(network, Random(3)) for _ in range(3)] == [draw(network, Random(3)) for _ in range(3)]


def test_drawn_cases_are_calibrated():
    """Posteriors of sampled cases come true as often as they say, within what chance allows."""
    random = Random(11)
    network = Network(
        {"a": 0.3, "b": 0.2, "c": 0.1, "d": 0.05},
        {
            f"f{k}": Table(
                ("no", "yes"), {"yes": 0.05}, {(c, "yes"): random.choice([0.2, 0.5, 0.8]) for c in pair}, 0.05
            )
            for k, pair in enumerate(["ab", "bc", "cd", "ad", "ac"])
        },
    )
    forecasts, outcomes = [], []
    for _ in range(1500):
        case, belief = draw(network, random), Belief(network)
        for finding, value in case.said.items():
            belief.answer(finding, firm(network.findings[finding], value))
        for cause, p in belief.marginals().items():
            forecasts.append(p)
            outcomes.append(cause in case.causes)
    assert calibration_error(forecasts, outcomes, equal_bins(10)) < 0.015


@pytest.mark.parametrize(("a", "b"), [(1, 1), (2, 3), (5, 1), (12, 30), (80, 20)])
@pytest.mark.parametrize("x", [0.01, 0.2, 0.5, 0.77, 0.99])
def test_beta_function_equals_binomial_sum(x, a, b):
    """For whole counts I_x(a, b) is the chance of at least a successes in a + b - 1 trials."""
    n = a + b - 1
    binomial = math.fsum(math.comb(n, k) * x**k * (1 - x) ** (n - k) for k in range(a, n + 1))
    assert regularised_beta(x, a, b) == pytest.approx(binomial, rel=1e-10, abs=1e-15)


@given(st.floats(0.5, 200.0), st.floats(0.5, 200.0), st.floats(0.01, 0.99))
def test_quantile_inverts_the_beta_function(seen, unseen, share):
    """Below the quantile lies the share that was asked for."""
    assert regularised_beta(Beta(seen, unseen).quantile(share), seen, unseen) == pytest.approx(share, abs=1e-9)


def test_learning_moves_by_counts():
    """A stated .2 as firm as ten occasions, seen 6 times in 10, becomes .4, with an interval around it."""
    proposal = learnt(0.2, 10.0, 6, 4)
    assert (proposal.old, proposal.new, proposal.count) == (0.2, pytest.approx(0.4), 10)
    low, high = proposal.interval
    assert regularised_beta(low, 8.0, 12.0) == pytest.approx(0.025, abs=1e-9)
    assert regularised_beta(high, 8.0, 12.0) == pytest.approx(0.975, abs=1e-9)
    with pytest.raises(BeliefError):
        learnt(0.0, 10.0, 1, 1)
    with pytest.raises(BeliefError):
        learnt(0.2, 10.0, -1, 1)


def test_bins_count_every_forecast_once():
    """Zero, one and every edge fall into just one bin."""
    forecasts = [i / 10 for i in range(11)]
    bins = reliability(forecasts, [False] * 11, equal_bins(10))
    assert sum(b.count for b in bins) == 11
    assert bins[0].count == 2


def test_of_three_values_a_doubted_one_leaves_the_rest_to_the_others_alike():
    """Right with 0.8, each of the two others has half of what is left."""
    table = Table(("no", "some", "much"), {"some": 0.1, "much": 0.1}, {("a", "some"): 0.5})
    assert unsure(table, "some", 0.8) == pytest.approx({"no": 0.1, "some": 0.8, "much": 0.1})


def test_counts_of_nothing_change_nothing():
    """A closed job that tells nothing of a frequency may be counted."""
    assert Beta(1.0, 2.0).after(0, 0) == Beta(1.0, 2.0)
    assert Beta(1.0, 2.0).after(0, 3) == Beta(1.0, 5.0)
    assert Beta(1.0, 2.0).after(3, 0) == Beta(4.0, 2.0)


def test_who_can_always_tell_never_fails_to():
    """With no rate of no answer even the lowest number a generator can give draws an answer."""

    class Lowest(Random):
        def random(self):
            return 0.0

    drawn = draw(repeated(YES, 3), Lowest(1), cannot_tell=0.0)
    assert None not in drawn.said.values()


def test_a_cause_alone_has_even_odds_whatever_its_weight():
    """Where there is no pair, one cause has odds of 1."""
    assert scaled_odds({"a": 3.0}, 0.1) == {"a": 1.0}
