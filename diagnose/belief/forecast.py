"""What a finding is expected to show, and what its answer is worth, from the masses alone."""

from collections.abc import Iterable, Sequence

from diagnose.belief.effects import Effects
from diagnose.belief.ledger import Ledger
from diagnose.belief.network import Network
from diagnose.belief.noisy_or import entropy
from diagnose.belief.posterior import Posterior, pair_masses
from diagnose.belief.table import Distribution

__all__ = ["Forecasts", "mean"]


def pairs_of(parents: Sequence[int], ledger: Ledger, masses: Posterior) -> list[float]:
    """Masses of all pairs of these parents, in the order of `combinations`."""
    return [mass for a, i in enumerate(parents, 1) for mass in pair_masses(ledger, masses, i, parents[a:])]


def mean(quantity: Effects, elsewhere: float, parents: Sequence[int], ledger: Ledger, masses: Posterior) -> float:
    """Mean of a quantity over all hypotheses; `elsewhere` is its value for something not listed."""
    held = [masses.held[i] for i in parents]
    pairs = quantity.mean_of_pairs(pairs_of(parents, ledger, masses))
    listed = quantity.base * masses.listed + quantity.mean_of_parents(held) + pairs
    return (listed + elsewhere * masses.not_listed) / masses.total


class Forecasts:
    """P(answer) and expected gain for each finding; sums over pairs are kept until a cause of the finding changes."""

    def __init__(self, network: Network) -> None:
        self._network = network
        self._elsewhere: dict[str, tuple[float, ...]] = {}
        self._pairs: dict[str, tuple[float, ...]] = {}
        self._scale = 0.0

    def forget(self, causes: Sequence[int]) -> None:
        """Drop what rests on the weights of these causes."""
        for i in causes:
            for finding in self._network.findings_of[i]:
                self._pairs.pop(finding, None)

    def adopt(self, network: Network, others: Iterable[str]) -> None:
        """Go over to a network of the same causes, in which these findings have other tables."""
        self._network = network
        for finding in others:
            self._pairs.pop(finding, None)
            self._elsewhere.pop(finding, None)

    def answer(self, finding: str, ledger: Ledger, masses: Posterior) -> Distribution:
        """P(a firm answer is v), normal first, with the question's error rate in it."""
        abnormal = self._means(finding, ledger, masses)[:-1]
        return (1.0 - sum(abnormal), *abnormal)

    def gain(self, finding: str, ledger: Ledger, masses: Posterior) -> float:
        """I(answer; hypothesis) = H(answer) - sum over S of P(S) H(answer|S), in bits, over all hypotheses."""
        *abnormal, left = self._means(finding, ledger, masses)
        return max(0.0, entropy((1.0 - sum(abnormal), *abnormal)) - left)

    def _means(self, finding: str, ledger: Ledger, masses: Posterior) -> list[float]:
        """Mean of each of the table's `answer_effects`."""
        quantities = self._network.findings[finding].answer_effects
        held = [masses.held[i] for i in self._network.parents[finding]]
        pairs = self._pair_sums(finding, ledger, masses)
        elsewhere = self._of_not_listed(finding)
        listed, not_listed, total = masses.listed, masses.not_listed, masses.total
        return [
            (q.base * listed + q.mean_of_parents(held) + pair + other * not_listed) / total
            for q, pair, other in zip(quantities, pairs, elsewhere, strict=True)
        ]

    def _pair_sums(self, finding: str, ledger: Ledger, masses: Posterior) -> tuple[float, ...]:
        if masses.scale != self._scale:
            self._pairs.clear()
            self._scale = masses.scale
        kept = self._pairs.get(finding)
        if kept is None:
            pairs = pairs_of(self._network.parents[finding], ledger, masses)
            quantities = self._network.findings[finding].answer_effects
            kept = self._pairs[finding] = tuple(q.mean_of_pairs(pairs) for q in quantities)
        return kept

    def _of_not_listed(self, finding: str) -> tuple[float, ...]:
        kept = self._elsewhere.get(finding)
        if kept is None:
            said = self._network.findings[finding].said(self._network.elsewhere(finding))
            kept = self._elsewhere[finding] = (*said[1:], entropy(said))
        return kept
