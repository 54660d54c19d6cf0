"""The same networks in two general Bayesian-network libraries: every posterior to 1e-9, every ranking alike.

"One or two causes" is a deterministic node that is observed; something not listed is a cause of its own with the prior
that gives it its share. One group of tests uses the libraries' own noisy-OR, so that nothing of it is shared; another
writes out full tables with several values, an answer node for wrong answers, and likelihood evidence.
"""

from itertools import combinations, product
from math import log2, prod
from random import Random

import pytest

from diagnose.belief import Belief, Network, Table, firm, unsure
from diagnose.belief.noisy_or import net_from_compound

pytestmark = [
    pytest.mark.filterwarnings("ignore::FutureWarning"),  # the libraries' own imports warn
    pytest.mark.filterwarnings("ignore::DeprecationWarning"),
    pytest.mark.filterwarnings("ignore::UserWarning"),
]
CLOSE = {"rel": 0.0, "abs": 1e-9}
OFF_ON = ("off", "on")


class Agrum:
    """A network in pyAgrum; nodes must come parents first."""

    def __init__(self):
        import pyagrum as gum

        self.gum, self.net = gum, gum.BayesNet()

    def node(self, name, states, parents=(), chances=None):
        """Add a node whose distribution is `chances(states of the parents)`."""
        self.net.add(self.gum.LabelizedVariable(name, name, list(states)))
        for parent in parents:
            self.net.addArc(parent, name)
        labels = [self.net.variable(parent).labels() for parent in parents]
        for at in product(*labels):
            where = dict(zip(parents, at, strict=True))
            self.net.cpt(name)[where or slice(None)] = list(chances(*at))

    def noisy_or(self, name, leak, strengths, *, compound=False):
        """Add the library's own noisy-OR, net or compound."""
        add = self.net.addNoisyORCompound if compound else self.net.addNoisyORNet
        add(self.gum.LabelizedVariable(name, name, list(OFF_ON)), leak)
        for parent, strength in strengths.items():
            self.net.addWeightedArc(parent, name, strength)

    def joint(self, names, hard, soft=None):
        """P(states of names | evidence), as a mapping from tuples of states."""
        inference = self.gum.LazyPropagation(self.net)
        inference.setEvidence(hard | {name: list(weights.values()) for name, weights in (soft or {}).items()})
        inference.addJointTarget(set(names))
        inference.makeInference()
        table = inference.jointPosterior(set(names))
        return {
            at: table[dict(zip(names, at, strict=True))]
            for at in product(*(self.net.variable(name).labels() for name in names))
        }

    def evidence(self, hard):
        """P(evidence)."""
        inference = self.gum.LazyPropagation(self.net)
        inference.setEvidence(hard)
        inference.makeInference()
        return inference.evidenceProbability()


class Pgmpy:
    """The same face for pgmpy, whose noisy-OR takes no leak: an always-present parent stands for it."""

    def __init__(self):
        from pgmpy.factors.discrete import NoisyORCPD, TabularCPD
        from pgmpy.models import DiscreteBayesianNetwork

        self.tabular, self.noisy, self.net = TabularCPD, NoisyORCPD, DiscreteBayesianNetwork()
        self.states = {}

    def node(self, name, states, parents=(), chances=None):
        """Add a node whose distribution is `chances(states of the parents)`."""
        self.states[name] = tuple(states)
        columns = [list(chances(*at)) for at in product(*(self.states[parent] for parent in parents))]
        table = self.tabular(
            name,
            len(self.states[name]),
            [list(row) for row in zip(*columns, strict=True)],
            evidence=list(parents),
            evidence_card=[len(self.states[parent]) for parent in parents],
            state_names={each: list(self.states[each]) for each in (name, *parents)},
        )
        self._add(name, parents, table)

    def noisy_or(self, name, leak, strengths):
        """Add the library's own noisy-OR; its states, and so its parents', are True and False."""
        always = f"{name}-always"
        self.node(always, ("True", "False"), (), lambda: (1.0, 0.0))
        self.states[name] = ("True", "False")
        parents = [always, *strengths]
        self._add(name, parents, self.noisy(name, [leak, *strengths.values()], parents))

    def _add(self, name, parents, table):
        self.net.add_node(name)
        self.net.add_edges_from([(parent, name) for parent in parents])
        self.net.add_cpds(table)

    def joint(self, names, hard, soft=None):
        """P(states of names | evidence), as a mapping from tuples of states."""
        from pgmpy.inference import VariableElimination

        virtual = [
            self.tabular(name, len(weights), [[w] for w in weights.values()], state_names={name: list(weights)})
            for name, weights in (soft or {}).items()
        ]
        inference = VariableElimination(self.net)
        found = inference.query(list(names), evidence=hard, virtual_evidence=virtual, show_progress=False)
        states = found.state_names
        return {
            at: found.get_value(**dict(zip(names, at, strict=True)))
            for at in product(*(states[name] for name in names))
        }


def one_or_two(*present):
    """Whether one or two causes are present, as a distribution over off and on."""
    return (0.0, 1.0) if 1 <= sum(state in {"on", "True"} for state in present) <= 2 else (1.0, 0.0)


def as_sets(joint, names, on):
    """Read a joint distribution of causes as one of sets of the causes that are present."""
    return {frozenset(c for c, state in zip(names, at, strict=True) if state == on): p for at, p in joint.items()}


def marginals(sets, names):
    """P(cause) from P(set)."""
    return {c: sum(p for s, p in sets.items() if c in s) for c in names}


def ranking(chances):
    """Names by probability, best first."""
    return sorted(chances, key=lambda name: -chances[name])


def random_plain(seed):
    """Draw a network of one abnormal value a finding, no errors, nothing kept for not listed; with answers."""
    random = Random(seed)
    causes = {f"c{i}": random.uniform(0.02, 0.4) for i in range(5)}
    findings = {
        f"f{k}": Table(
            ("no", "yes"),
            {"yes": random.uniform(0.01, 0.2)},
            {(c, "yes"): random.uniform(0.05, 0.95) for c in random.sample(list(causes), random.randint(1, 4))},
        )
        for k in range(6)
    }
    answers = {f: random.choice(["no", "yes"]) for f in random.sample(list(findings), random.randint(1, 5))}
    return Network({c: p / (1 - p) for c, p in causes.items()}, findings, 0.0), answers


def believe(network, answers):
    """Give firm answers."""
    belief = Belief(network)
    for finding, value in answers.items():
        belief.answer(finding, firm(network.findings[finding], value))
    return belief


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("library", [Agrum, Pgmpy])
def test_their_own_noisy_or(library, seed):
    """With the libraries' own noisy-OR every set's probability, every forecast and both rankings are alike."""
    network, answers = random_plain(seed)
    off_on = OFF_ON if library is Agrum else ("False", "True")
    on, order = off_on[1], slice(None, None, 1 if library is Agrum else -1)
    reference, names = library(), list(network.causes)
    for cause, pi in network.priors.items():
        reference.node(cause, off_on[order], (), lambda pi=pi: (1 - pi, pi)[order])
    for finding, table in network.findings.items():
        reference.noisy_or(finding, table.leak["yes"], {c: p for (c, _), p in table.links.items()})
    reference.node("n", OFF_ON, names, one_or_two)
    hard = {f: off_on[value == "yes"] for f, value in answers.items()} | {"n": "on"}

    sets, belief = as_sets(reference.joint(names, hard), names, on), believe(network, answers)
    few = {s: p for s, p in sets.items() if 1 <= len(s) <= 2}
    ours = dict(belief.sets(len(few)))
    assert ours == pytest.approx(few, **CLOSE)
    assert list(ours) == ranking(few)
    assert belief.marginals() == pytest.approx(marginals(sets, names), **CLOSE)
    assert ranking(belief.marginals()) == ranking(marginals(sets, names))
    for finding in belief.unanswered:
        assert belief.predict(finding)["yes"] == pytest.approx(reference.joint([finding], hard)[on,], **CLOSE)


@pytest.mark.parametrize(("compound", "read"), [(False, lambda p: p), (True, lambda p: net_from_compound(p, 0.05))])
def test_the_two_readings_of_a_leak(compound, read):
    """The library's net and compound noisy-OR are our table with the numbers read the one way and the other."""
    reference = Agrum()
    for cause in "AB":
        reference.node(cause, OFF_ON, (), lambda: (0.5, 0.5))
    reference.noisy_or("f", 0.05, {"A": 0.8, "B": 0.6}, compound=compound)
    table = Table(("no", "yes"), {"yes": 0.05}, {("A", "yes"): read(0.8), ("B", "yes"): read(0.6)})
    for present in ("", "A", "B", "AB"):
        hard = {cause: OFF_ON[cause in present] for cause in "AB"}
        assert table.given(present)[1] == pytest.approx(reference.joint(["f"], hard)["on",], **CLOSE)


def random_full(seed):
    """Draw a network of several values a finding, with errors and a share for not listed."""
    random = Random(seed)
    causes = {f"c{i}": random.uniform(0.02, 0.6) for i in range(4)}
    findings = {}
    for k in range(4):
        values = ("n", "u", "v", "w")[: random.randint(2, 4)]
        links = {(c, v): random.uniform(0.05, 0.95) for c in causes for v in values[1:] if random.random() < 0.5}
        leak = {v: random.uniform(0.01, 0.2) for v in values[1:]}
        findings[f"f{k}"] = Table(values, leak, links, random.choice([0.0, 0.02, 0.05]))
    return Network(causes, findings, random.choice([0.05, 0.2]))


def written_out(table, present):
    """P(v | present), from the design's formula."""
    a = [
        1 - (1 - table.leak[v]) * prod(1 - p for (c, u), p in table.links.items() if u == v and c in present)
        for v in table.values[1:]
    ]
    normal = prod(1 - each for each in a)
    return [normal, *((1 - normal) * each / sum(a) for each in a)]


def build_full(network, library):
    """Write the network out: causes, not listed, findings with full tables, what is said of them, and the limit."""
    reference, names = library(), list(network.causes)
    for cause, odds in network.causes.items():
        reference.node(cause, OFF_ON, (), lambda pi=odds / (1 + odds): (1 - pi, pi))
    odds = list(network.causes.values())
    other = network.not_listed / (1 - network.not_listed) * (sum(odds) + sum(a * b for a, b in combinations(odds, 2)))
    reference.node("other", OFF_ON, (), lambda: (1 / (1 + other), other / (1 + other)))
    pi = {c: o / (1 + o) for c, o in network.causes.items()}
    for finding, table in network.findings.items():
        alone = {c: written_out(table, {c}) for c in names}
        average = [sum(pi[c] * alone[c][k] for c in names) / sum(pi.values()) for k in range(len(table.values))]

        def chances(elsewhere, *states, table=table, average=average):
            present = {c for c, state in zip(names, states, strict=True) if state == "on"}
            return average if elsewhere == "on" else written_out(table, present)

        def said(truth, table=table):
            wrong = table.error / (len(table.values) - 1)
            return [1 - table.error if v == truth else wrong for v in table.values]

        reference.node(finding, table.values, ("other", *names), chances)
        reference.node(f"said-{finding}", table.values, (finding,), said)

    def allowed(elsewhere, *states):
        return one_or_two(*states) if elsewhere == "off" else (0.0, 1.0) if "on" not in states else (1.0, 0.0)

    reference.node("n", OFF_ON, ("other", *names), allowed)
    return reference


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("library", [Agrum, Pgmpy])
def test_several_values_errors_doubt_and_not_listed(library, seed):
    """Firm and doubtful answers, wrong ones allowed for: every posterior and ranking, not listed among them."""
    network, random = random_full(seed), Random(seed)
    reference, belief, names = build_full(network, library), Belief(network), list(network.causes)
    hard, soft = {"n": "on"}, {}
    firmly, doubtfully, open_one, *_ = random.sample(list(network.findings), 4)
    value = random.choice(network.findings[firmly].values)
    belief.answer(firmly, firm(network.findings[firmly], value))
    hard[f"said-{firmly}"] = value
    table = network.findings[doubtfully]
    meant = random.choice(table.values)
    belief.answer(doubtfully, unsure(table, meant, 0.8))
    soft[f"said-{doubtfully}"] = {v: 0.8 if v == meant else 0.2 / (len(table.values) - 1) for v in table.values}

    sets = as_sets(reference.joint(["other", *names], hard, soft), ["other", *names], "on")
    assert belief.not_listed == pytest.approx(sets[frozenset({"other"})], **CLOSE)
    assert belief.marginals() == pytest.approx(marginals(sets, names), **CLOSE)
    with_other = belief.marginals() | {"other": belief.not_listed}
    assert ranking(with_other) == ranking(marginals(sets, ["other", *names]))
    few = {s: p for s, p in sets.items() if 1 <= len(s) <= 2 and "other" not in s}
    assert list(dict(belief.sets(len(few)))) == ranking(few)
    forecast = {v: p for (v,), p in reference.joint([f"said-{open_one}"], hard, soft).items()}
    assert belief.predict(open_one) == pytest.approx(forecast, **CLOSE)


@pytest.mark.parametrize("seed", range(6))
def test_gain_conflict_and_evidence(seed):
    """The gain is the fall of the reference's own entropy over hypotheses; P(e) and the conflict are its too."""
    network, names = random_full(seed), [*random_full(seed).causes]
    reference, belief = build_full(network, Agrum), Belief(network)
    first, second, asked, *_ = network.findings
    said = {f"said-{first}": network.findings[first].values[1], f"said-{second}": network.findings[second].values[0]}
    for finding in (first, second):
        belief.answer(finding, firm(network.findings[finding], said[f"said-{finding}"]))
    limit = {"n": "on"}

    def spread(hard):
        return -sum(p * log2(p) for p in reference.joint(["other", *names], hard).values() if p > 0)

    chances = reference.joint([f"said-{asked}"], said | limit)
    after = sum(p * spread(said | limit | {f"said-{asked}": v}) for (v,), p in chances.items())
    assert belief.gain(asked) == pytest.approx(spread(said | limit) - after, **CLOSE)

    def chance(hard):
        return reference.evidence(hard | limit) / reference.evidence(limit)

    assert belief.evidence_probability == pytest.approx(chance(said), **CLOSE)
    apart = prod(chance({node: v}) for node, v in said.items())
    assert belief.conflict() == pytest.approx(log2(apart / chance(said)), **CLOSE)


def test_both_libraries_are_set_up_rightly():
    """The published asia network, given dyspnoea and a positive X-ray, has its exact posteriors in both libraries.

    Exact by fractions: lung .6212527967. Read by pyAgrum from BIF it prints ...7984, since its reader keeps single
    precision; so the tables are handed over number by number.
    """
    from pgmpy.inference import VariableElimination
    from pgmpy.utils import get_example_model

    expected = {"lung": 0.6212527966776288, "tub": 0.1139333253907008, "bronc": 0.6818685384593828}
    evidence = {"dysp": "yes", "xray": "yes"}
    model, reference = get_example_model("asia"), Agrum()
    for name in ("asia", "smoke", "tub", "lung", "bronc", "either", "xray", "dysp"):
        table = model.get_cpds(name)
        states, parents = table.state_names[name], table.variables[1:]

        def chances(*at, table=table, name=name, states=states, parents=parents):
            return [table.get_value(**{name: state}, **dict(zip(parents, at, strict=True))) for state in states]

        reference.node(name, states, parents, chances)
    assert {x: reference.joint([x], evidence)["yes",] for x in expected} == pytest.approx(expected, **CLOSE)
    eliminate = VariableElimination(model)
    found = {x: eliminate.query([x], evidence=evidence, show_progress=False).get_value(**{x: "yes"}) for x in expected}
    assert found == pytest.approx(expected, **CLOSE)
