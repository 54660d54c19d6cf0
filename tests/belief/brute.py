"""The same posterior by listing every hypothesis: slow, short, and independent of the package's sums."""

from itertools import combinations
from math import fsum, log2, prod

NOT_LISTED = None


def value_given(table, present):
    """P(v|H) for each value, straight from the definition."""
    a = {
        v: 1 - (1 - table.leak[v]) * prod(1 - p for (c, u), p in table.links.items() if u == v and c in present)
        for v in table.values[1:]
    }
    normal = prod(1 - x for x in a.values())
    return {table.values[0]: normal} | {v: (1 - normal) * x / sum(a.values()) for v, x in a.items()}


def averaged(network, table):
    """P(v|not listed), the prior-weighted average over the causes alone."""
    pi = {c: o / (1 + o) for c, o in network.causes.items()}
    rows = {c: value_given(table, {c}) for c in pi}
    return {v: fsum(pi[c] * rows[c][v] for c in pi) / fsum(pi.values()) for v in table.values}


def given(network, table, hypothesis):
    """P(v|H) for a set of causes or for not listed."""
    return averaged(network, table) if hypothesis is NOT_LISTED else value_given(table, hypothesis)


def joint(network, answers, excluded=(), largest=2):
    """Weight of every hypothesis with the answers, the whole prior weighing 1."""
    sets = [frozenset(s) for n in range(1, largest + 1) for s in combinations(network.causes, n)]
    prior = {s: prod(network.causes[c] for c in s) * network.lifts.get(s, 1.0) for s in sets}
    total = fsum(prior.values())
    prior = {s: (1 - network.not_listed) * w / total for s, w in prior.items() if not s & set(excluded)}
    if network.not_listed:
        prior[NOT_LISTED] = network.not_listed
    return {
        s: w
        * prod(
            fsum(said[v] * p for v, p in given(network, network.findings[f], s).items()) for f, said in answers.items()
        )
        for s, w in prior.items()
    }


class Brute:
    """Everything a Belief tells, from the list of hypotheses."""

    def __init__(self, network, answers, excluded=()):
        self.network, self.answers, self.excluded = network, answers, excluded
        self.joint = joint(network, answers, excluded)
        self.total = fsum(self.joint.values())
        self.posterior = {s: w / self.total for s, w in self.joint.items()}

    def marginals(self):
        """P(i|e)."""
        return {c: fsum(p for s, p in self.posterior.items() if s and c in s) for c in self.network.causes}

    def evidence_probability(self):
        """P(e) with today's exclusions."""
        return self.total / fsum(joint(self.network, {}, self.excluded).values())

    def conflict(self):
        """Log2 of product P(e_k) / P(e)."""
        apart = prod(
            Brute(self.network, {f: said}, self.excluded).evidence_probability() for f, said in self.answers.items()
        )
        return log2(apart / self.evidence_probability())

    def said(self, finding, hypothesis):
        """P(a firm answer is v|H)."""
        table = self.network.findings[finding]
        k = len(table.values)
        return {
            v: (1 - table.error) * p + table.error * (1 - p) / (k - 1)
            for v, p in given(self.network, table, hypothesis).items()
        }

    def predict(self, finding):
        """P(a firm answer is v|e)."""
        rows = {s: self.said(finding, s) for s in self.posterior}
        return {
            v: fsum(p * rows[s][v] for s, p in self.posterior.items()) for v in self.network.findings[finding].values
        }

    def gain(self, finding):
        """Entropy of the hypotheses now, less its mean after the answer: the other way round from the package."""
        after = 0.0
        for v, chance in self.predict(finding).items():
            left = [p * self.said(finding, s)[v] / chance for s, p in self.posterior.items()]
            after += chance * entropy(left)
        return entropy(self.posterior.values()) - after


def entropy(ps):
    """H in bits."""
    return -fsum(p * log2(p) for p in ps if p > 0)
