"""Belief in every cause, given the answers so far: exact over single causes, pairs, and something not listed."""

from collections.abc import Container, Mapping
from math import exp, fsum, log, log2

from diagnose.belief.errors import BeliefError
from diagnose.belief.evidence import Likelihood
from diagnose.belief.forecast import Forecasts, mean
from diagnose.belief.ledger import Entry, Ledger
from diagnose.belief.network import Network
from diagnose.belief.posterior import Posterior, heaviest, posterior

__all__ = ["Belief"]


class Belief:
    """The posterior over all single causes, all pairs and the not-listed cause of one network.

    It is a function of which answers and exclusions stand, to the last bit, whatever order they came in. "Can't tell"
    is no answer: do not enter it. Unknown names, a second answer and a missing one raise BeliefError.
    """

    def __init__(self, network: Network) -> None:
        self.network = network
        self._answers: dict[str, Likelihood] = {}
        self._entries: dict[str, Entry] = {}
        self._excluded: set[str] = set()
        self._ledger = Ledger(tuple(network.causes.values()), network.not_listed_odds, network.pair_lifts)
        self._forecasts = Forecasts(network)
        self._posterior: Posterior | None = None
        self._by_itself: dict[str, float] = {}  # log2 P(answer), before any other
        self._prior: tuple[Ledger, Posterior] | None = None

    # What is known

    @property
    def answers(self) -> Mapping[str, Likelihood]:
        """The likelihood entered for each answered finding, in the order of entry; a replaced one keeps its place."""
        return dict(self._answers)

    @property
    def excluded(self) -> frozenset[str]:
        """The causes ruled out by logic or put right."""
        return frozenset(self._excluded)

    @property
    def unanswered(self) -> tuple[str, ...]:
        """The findings without an answer, in the network's order."""
        return tuple(finding for finding in self.network.findings if finding not in self._answers)

    def answer(self, finding: str, likelihood: Likelihood) -> None:
        """Take in P(said | value) for every value of the finding; see `firm`, `unsure` and `weighted`."""
        if finding in self._answers:
            raise BeliefError(finding, "is answered already; withdraw or replace that answer")
        self._enter(finding, likelihood, self._entry(finding, likelihood))

    def withdraw(self, finding: str) -> None:
        """Take the answer back; everything is as if it had never been given."""
        if finding not in self._answers:
            raise BeliefError(finding, "has no answer to withdraw")
        del self._answers[finding], self._entries[finding]
        self._by_itself.pop(finding, None)
        self._ledger.strike(finding, self.network.parents[finding])
        self._changed(self.network.parents[finding])

    def replace(self, finding: str, likelihood: Likelihood) -> None:
        """Put another answer in the place of the one given; a refused one leaves the old standing."""
        entry = self._entry(finding, likelihood)
        if finding not in self._answers:
            raise BeliefError(finding, "has no answer to replace")
        self._ledger.strike(finding, self.network.parents[finding])
        self._enter(finding, likelihood, entry)

    def exclude(self, cause: str) -> None:
        """Rule the cause out: by hard logic, or because it was put right and the symptom stays."""
        self._ledger.exclude(self._index(cause))
        self._excluded.add(cause)
        self._prior = None
        self._by_itself.clear()
        self._changed((self._index(cause),))

    def readmit(self, cause: str) -> None:
        """Let the cause count again, with the weight that the answers leave it."""
        self._ledger.readmit(self._index(cause))
        self._excluded.discard(cause)
        self._prior = None
        self._by_itself.clear()
        self._changed((self._index(cause),))

    def adopt(self, network: Network) -> frozenset[str]:
        """Go over to a network of the same causes; return the findings whose answers fell away.

        Answers and forecasts stay where the finding's table is the very same one; where it is another, the answer is
        withdrawn, and may be given again in the new table's terms.
        """
        old = self.network
        if (network.causes, network.not_listed, network.lifts) != (old.causes, old.not_listed, old.lifts):
            raise BeliefError("causes", "are not those of the network before")
        findings = old.findings.keys() | network.findings.keys()
        others = frozenset(one for one in findings if old.findings.get(one) is not network.findings.get(one))
        fallen = others & self._answers.keys()
        for finding in fallen:
            self.withdraw(finding)
        self.network = network
        self._forecasts.adopt(network, others)
        return fallen

    def copy(self) -> "Belief":
        """Make another belief in the same state, to ask what if."""
        other = Belief(self.network)
        for cause in self._excluded:
            other.exclude(cause)
        for finding, likelihood in self._answers.items():
            other._enter(finding, likelihood, self._entries[finding])
        return other

    def supposing(self, finding: str, likelihood: Likelihood) -> "Belief":
        """Make the belief there would be with this answer, given or changed."""
        other = self.copy()
        (other.replace if finding in self._answers else other.answer)(finding, likelihood)
        return other

    # What follows

    def marginals(self) -> dict[str, float]:
        """P(i|e) for each cause: that it is present, alone or with another."""
        masses = self._masses()
        return {cause: held / masses.total for cause, held in zip(self.network.causes, masses.held, strict=True)}

    @property
    def not_listed(self) -> float:
        """P(something not listed here|e)."""
        masses = self._masses()
        return masses.not_listed / masses.total

    @property
    def pair_share(self) -> float:
        """P(two causes at once|e)."""
        masses = self._masses()
        return (masses.listed - sum(masses.single)) / masses.total

    def sets(self, n: int) -> list[tuple[frozenset[str], float]]:
        """Rank the n most probable single causes and pairs with P(S|e), best first; equal ones in the causes' order."""
        names, masses = tuple(self.network.causes), self._masses()
        return [
            (frozenset(names[i] for i in members), mass / masses.total)
            for mass, members in heaviest(self._ledger, masses, n)
        ]

    @property
    def log_evidence(self) -> float:
        """Natural logarithm of P(e), the probability of all answers before any was given."""
        return self._masses().log_total + self._ledger.log_none - self._before()[1].log_total

    @property
    def evidence_probability(self) -> float:
        """P(e), the probability of all answers before any was given."""
        return exp(self.log_evidence)

    def conflict(self) -> float:
        """log2 of product P(e_k) / P(e) (Jensen): above 0 the answers fit each other worse than chance."""
        ledger, masses = self._before()
        for finding, entry in self._entries.items():
            if finding not in self._by_itself:
                parents = self.network.parents[finding]
                self._by_itself[finding] = log2(mean(entry.effects, entry.elsewhere, parents, ledger, masses))
        return fsum(self._by_itself[finding] for finding in self._entries) - self.log_evidence / log(2)

    def predict(self, finding: str) -> dict[str, float]:
        """P(a firm answer is v|e) for each value of an unanswered finding, its error rate included."""
        chances = self._forecasts.answer(self._open(finding), self._ledger, self._masses())
        return dict(zip(self.network.findings[finding].values, chances, strict=True))

    def gain(self, finding: str) -> float:
        """Expect this much information, in bits, from a firm answer; over all hypotheses, not listed among them."""
        return self._forecasts.gain(self._open(finding), self._ledger, self._masses())

    def gains(self, wanted: Container[str] | None = None) -> dict[str, float]:
        """Work out the gain of every unanswered finding, or of those that are wanted."""
        masses = self._masses()
        return {
            finding: self._forecasts.gain(finding, self._ledger, masses)
            for finding in self.unanswered
            if wanted is None or finding in wanted
        }

    # Within

    def _entry(self, finding: str, likelihood: Likelihood) -> Entry:
        table = self.network.findings[self._known(finding)]
        if set(likelihood) != set(table.values) or not all(0.0 <= each <= 1.0 for each in likelihood.values()):
            raise BeliefError(finding, "a likelihood needs a probability for each of its values and no others")
        if not any(likelihood.values()):
            raise BeliefError(finding, "an answer must be possible under one of its values")
        return Entry.of(table, self.network.elsewhere(finding), likelihood)

    def _enter(self, finding: str, likelihood: Likelihood, entry: Entry) -> None:
        self._answers[finding], self._entries[finding] = dict(likelihood), entry
        self._by_itself.pop(finding, None)
        self._ledger.enter(finding, self.network.parents[finding], entry)
        self._changed(self.network.parents[finding])

    def _known(self, finding: str) -> str:
        if finding not in self.network.findings:
            raise BeliefError(finding, "is not a finding of the network")
        return finding

    def _open(self, finding: str) -> str:
        if self._known(finding) in self._answers:
            raise BeliefError(finding, "is answered already; withdraw the answer to ask again")
        return finding

    def _index(self, cause: str) -> int:
        if cause not in self.network.index:
            raise BeliefError(cause, "is not a cause of the network")
        return self.network.index[cause]

    def _changed(self, causes: tuple[int, ...]) -> None:
        self._posterior = None
        self._forecasts.forget(causes)

    def _masses(self) -> Posterior:
        if self._posterior is None:
            self._posterior = posterior(self._ledger)
        return self._posterior

    def _before(self) -> tuple[Ledger, Posterior]:
        """Work out the state with today's exclusions and no answer."""
        if self._prior is None:
            ledger = Ledger(tuple(self.network.causes.values()), self.network.not_listed_odds, self.network.pair_lifts)
            for cause in self._excluded:
                ledger.exclude(self.network.index[cause])
            self._prior = ledger, posterior(ledger)
        return self._prior
