"""What the weights come to: the mass of every cause, of pairs, and of something not listed.

Pairs that share no answered finding, and have nothing to do with each other, weigh the product of their causes'
weights, so their mass follows from sums; the causes that do are taken pair by pair. Nothing is subtracted and nothing
is left out, so the result is exact to rounding however much one cause outweighs the others. All masses are divided by
exp(scale), which is 1 unless the weights leave the range of a float.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import nlargest
from itertools import accumulate, combinations
from math import exp, inf, isfinite, log
from operator import add

from diagnose.belief.errors import BeliefError
from diagnose.belief.ledger import Ledger

__all__ = ["Posterior", "posterior"]

FADED = 1e-200  # a total this small may have lost parts to underflow


@dataclass(frozen=True, slots=True)
class Posterior:
    """Masses by index of cause: `single[i]` of {i}, `held[i]` of all hypotheses with i; `total` with not listed.

    At scale 0, `single[i] * single[j]` is the mass of a pair without a log ratio in the ledger.
    """

    scale: float
    single: list[float]
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
    logs = ledger.log_weight
    single = [exp(x - scale) for x in logs]
    related = _related(ledger, scale)
    apart = list(single)  # weights of the causes whose pairs are products, which holds at scale 0
    for i in related:
        apart[i] = 0.0
    before = list(accumulate(apart, initial=0.0))
    after = list(accumulate(reversed(apart), initial=0.0))[::-1]
    rest = sum(single[i] for i in related)
    held = [weight + weight * (rest + low + high) for weight, low, high in zip(single, before, after[1:], strict=False)]
    for i, pairs in zip(related, _pairs_among(related, ledger, scale), strict=True):
        held[i] = single[i] + pairs + single[i] * before[-1]
    not_listed = exp(ledger.log_not_listed - scale)
    return Posterior(scale, single, held, (sum(held) + sum(single)) / 2, not_listed)


def _related(ledger: Ledger, scale: float) -> Sequence[int]:
    """List the causes to take pair by pair; all of them when weights are too far apart for products."""
    return range(len(ledger.log_weight)) if scale else sorted(ledger.log_ratio)


def _pairs_among(related: Sequence[int], ledger: Ledger, scale: float) -> list[float]:
    """Add up, for each related cause, the mass of its pairs with the other related causes."""
    mass = [0.0] * len(related)
    for a, i in enumerate(related, 1):
        pairs = _pairs_with(ledger, scale, i, related[a:])
        mass[a - 1] += sum(pairs)
        mass[a:] = map(add, mass[a:], pairs)
    return mass


def _pairs_with(ledger: Ledger, scale: float, i: int, others: Sequence[int]) -> list[float]:
    logs, ratio = ledger.log_weight, ledger.log_ratio.get(i, {})
    shift = logs[i] - scale
    return [exp(shift + logs[j] + ratio[j]) if j in ratio else exp(shift + logs[j]) for j in others]


def pair_masses(ledger: Ledger, masses: Posterior, i: int, others: Sequence[int]) -> list[float]:
    """Masses of the hypotheses that just i and one of the others are present."""
    if i in ledger.log_ratio or masses.scale:
        return _pairs_with(ledger, masses.scale, i, others)
    weight, single = masses.single[i], masses.single
    return [weight * single[j] for j in others]


def _largest(ledger: Ledger) -> float:
    """Logarithm of the heaviest hypothesis."""
    logs, ratios = ledger.log_weight, ledger.log_ratio
    pairs = (logs[i] + logs[j] + ratios.get(i, {}).get(j, 0.0) for i, j in combinations(range(len(logs)), 2))
    return max(ledger.log_not_listed, max(logs, default=-inf), max(pairs, default=-inf))


def heaviest(ledger: Ledger, masses: Posterior, n: int) -> list[tuple[float, tuple[int, ...]]]:
    """Find the n heaviest single causes and pairs with their masses, heaviest first; equal ones in the causes' order.

    A pair with an unrelated cause weighs a product, so its members are among the n + 1 heaviest of their kind.
    """
    related = _related(ledger, masses.scale)
    order = sorted(range(len(masses.single)), key=lambda i: -masses.single[i])[: n + 1]
    taken = set(related)
    unrelated = nlargest(n + 1, (i for i in range(len(masses.single)) if i not in taken), masses.single.__getitem__)
    weighed: list[tuple[float, tuple[int, ...]]] = [(mass, (i,)) for i, mass in enumerate(masses.single)]
    for a, i in enumerate(related, 1):
        weighed += [
            (mass, (i, j)) for j, mass in zip(related[a:], pair_masses(ledger, masses, i, related[a:]), strict=True)
        ]
    products = {(min(i, j), max(i, j)) for i in order for j in unrelated if i != j}
    weighed += [(masses.single[i] * masses.single[j], pair) for pair in products for i, j in (pair,)]
    return nlargest(n, weighed, key=lambda item: (item[0], [-i for i in item[1]]))
