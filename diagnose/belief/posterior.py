"""What the weights come to: the mass of every cause, of pairs, and of something not listed.

Pairs that share no answered finding weigh the product of their causes' weights, so their mass follows from sums; the
causes that do share one are taken pair by pair. Nothing is subtracted and nothing is left out, so the result is exact
to rounding however much one cause outweighs the others. All masses are divided by exp(scale), which is 1 unless the
weights leave the range of a float.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import nlargest
from itertools import accumulate, chain, combinations
from math import exp, inf, isfinite, log

from diagnose.belief.errors import BeliefError
from diagnose.belief.ledger import Ledger

__all__ = ["Posterior", "posterior"]

EXP_LIMIT = 700.0  # exp above this overflows
FADED = 1e-200  # a total this small may have lost parts to underflow


@dataclass(frozen=True, slots=True)
class Posterior:
    """Masses by index of cause: `single[i]` of {i}, `held[i]` of all hypotheses with i; `total` with not listed.

    `root[i] * root[j]` is the mass of a pair that shares no answered finding.
    """

    scale: float
    single: list[float]
    root: list[float]
    held: list[float]
    listed: float
    not_listed: float

    @property
    def total(self) -> float:
        """Mass of all hypotheses."""
        return self.listed + self.not_listed

    @property
    def log_total(self) -> float:
        """Logarithm of the whole mass, in the ledger's unit."""
        return log(self.total) + self.scale


def posterior(ledger: Ledger) -> Posterior:
    """Add up the ledger; raises BeliefError when every cause is excluded and nothing else is allowed for."""
    try:
        plain = _at_scale(ledger, 0.0)
        if FADED < plain.total < inf:
            return plain
    except OverflowError:
        pass
    largest = _largest(ledger)
    if not isfinite(largest):
        raise BeliefError("causes", "are all excluded, and nothing is kept for a cause that is not listed")
    return _at_scale(ledger, largest)


def _at_scale(ledger: Ledger, scale: float) -> Posterior:
    logs, ratios = ledger.log_weight, ledger.log_ratio
    single = [exp(x - scale) for x in logs]
    root = [exp(min(x - scale / 2, EXP_LIMIT)) for x in logs] if scale else single
    related = sorted(ratios)
    among = _pairs_among(related, ledger, scale)
    alone = [0.0 if i in ratios else root[i] for i in range(len(root))]
    before = list(accumulate(alone, initial=0.0))
    after = list(accumulate(reversed(alone), initial=0.0))[::-1]
    rest = sum(root[i] for i in related)
    held = [
        one + weight * (rest + low + high)
        for one, weight, low, high in zip(single, root, before, after[1:], strict=False)
    ]
    for i, pairs in zip(related, among, strict=True):
        held[i] = single[i] + pairs + root[i] * before[-1]
    not_listed = exp(ledger.log_not_listed - scale)
    return Posterior(scale, single, root, held, (sum(held) + sum(single)) / 2, not_listed)


def _pairs_among(related: Sequence[int], ledger: Ledger, scale: float) -> list[float]:
    """For each related cause, the mass of its pairs with the other related causes."""
    logs = [ledger.log_weight[i] for i in related]
    mass = [0.0] * len(related)
    for a, i in enumerate(related):
        ratio = ledger.log_ratio[i]
        shift = logs[a] - scale
        pairs = [
            exp(shift + x + ratio[j]) if j in ratio else exp(shift + x)
            for j, x in zip(related[a + 1 :], logs[a + 1 :], strict=True)
        ]
        mass[a] += sum(pairs)
        mass[a + 1 :] = [so_far + pair for so_far, pair in zip(mass[a + 1 :], pairs, strict=True)]
    return mass


def pair_mass(ledger: Ledger, masses: Posterior, i: int, j: int) -> float:
    """Mass of the hypothesis that just i and j are present."""
    ratio = ledger.log_ratio.get(i, {}).get(j)
    if ratio is None:
        return masses.root[i] * masses.root[j]
    return exp(ledger.log_weight[i] + ledger.log_weight[j] + ratio - masses.scale)


def _largest(ledger: Ledger) -> float:
    """Logarithm of the heaviest hypothesis."""
    logs, ratios = ledger.log_weight, ledger.log_ratio
    pairs = (logs[i] + logs[j] + ratios.get(i, {}).get(j, 0.0) for i, j in combinations(range(len(logs)), 2))
    return max(ledger.log_not_listed, max(logs, default=-inf), max(pairs, default=-inf))


def heaviest(ledger: Ledger, masses: Posterior, n: int) -> list[tuple[float, tuple[int, ...]]]:
    """Find the n heaviest single causes and pairs with their masses, heaviest first; equal ones in the causes' order.

    A pair with an unrelated cause weighs a product, so its members are among the n + 1 heaviest of their kind.
    """
    related = sorted(ledger.log_ratio)
    order = sorted(range(len(masses.root)), key=lambda i: -masses.root[i])
    unrelated = [i for i in order if i not in ledger.log_ratio][: n + 1]
    products = {(min(i, j), max(i, j)) for i in order[: n + 1] for j in unrelated if i != j}
    weighed: list[tuple[float, tuple[int, ...]]] = [(mass, (i,)) for i, mass in enumerate(masses.single)]
    weighed += [(pair_mass(ledger, masses, i, j), (i, j)) for i, j in chain(combinations(related, 2), products)]
    return nlargest(n, weighed, key=lambda item: (item[0], [-i for i in item[1]]))
