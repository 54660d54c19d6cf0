"""Exact marginals over any number of causes at once (Heckerman 1989), for findings with one abnormal value.

The likelihood of an answer is x + y * product over present causes of (1 - p): expanding the product over answers with
x not 0 gives 2^m terms in each of which the causes are independent. Firm normal answers without error have x = 0 and
cost nothing. There is no not-listed cause here: what is not listed is in the leaks.
"""

from collections.abc import Iterator, Mapping
from math import fsum, prod
from typing import NamedTuple

from diagnose.belief.errors import BeliefError
from diagnose.belief.evidence import Likelihood
from diagnose.belief.network import Network

__all__ = ["MOST_TERMS", "Exact", "quickscore"]

MOST_TERMS = 16  # answers that double the work; 2^16 terms take seconds


class Exact(NamedTuple):
    """P(e) and P(i|e) over every set of causes."""

    evidence_probability: float
    marginals: dict[str, float]


def quickscore(network: Network, answers: Mapping[str, Likelihood], *, some_cause: bool = False) -> Exact:
    """Exact P(e) and P(i|e) with causes independent, each with its prior pi; given at least one if `some_cause`.

    Raises BeliefError for a finding with several abnormal values, for more than MOST_TERMS doubling answers, and for
    causes that have to do with each other.
    """
    if network.lifts:
        raise BeliefError("causes", "must be independent of each other")
    factors = [_factor(network, finding, likelihood) for finding, likelihood in answers.items()]
    if sum(1 for factor in factors if factor.constant) > MOST_TERMS:
        raise BeliefError(" ".join(answers), f"more than {MOST_TERMS} of these answers each double the work")
    priors = network.priors
    evidence: list[float] = []
    held: dict[str, list[float]] = {cause: [] for cause in priors}
    for coefficient, misses in _terms(factors):
        total = coefficient * prod(1.0 - priors[c] + priors[c] * miss for c, miss in misses.items())
        evidence.append(total)
        for cause, pi in priors.items():
            miss = misses.get(cause, 1.0)
            held[cause].append(total * pi * miss / (1.0 - pi + pi * miss))
    certain = 1.0
    if some_cause:
        nobody = prod(1.0 - pi for pi in priors.values())
        evidence.append(-nobody * prod(factor.constant + factor.slope for factor in factors))
        certain -= nobody
    whole = fsum(evidence)
    return Exact(whole / certain, {cause: fsum(parts) / whole for cause, parts in held.items()})


class _Factor(NamedTuple):
    """L(S) = constant + slope * product over the finding's parents in S of misses."""

    constant: float
    slope: float
    misses: dict[str, float]


def _factor(network: Network, finding: str, likelihood: Likelihood) -> _Factor:
    table = network.findings[finding]
    normal, *abnormal = table.values
    if len(abnormal) != 1:
        raise BeliefError(finding, "has several abnormal values; only findings with one can be expanded")
    misses = {cause: 1.0 - p for (cause, _), p in table.links.items()}
    constant = likelihood[abnormal[0]]
    return _Factor(constant, (likelihood[normal] - constant) * (1.0 - table.leak[abnormal[0]]), misses)


def _terms(factors: list[_Factor]) -> Iterator[tuple[float, dict[str, float]]]:
    """Each term of the expanded product: its coefficient, and 1 - p of each cause multiplied up."""
    if not factors:
        yield 1.0, {}
        return
    first, *rest = factors
    for coefficient, misses in _terms(rest):
        if first.constant:
            yield coefficient * first.constant, misses
        both = {cause: misses.get(cause, 1.0) * miss for cause, miss in first.misses.items()}
        yield coefficient * first.slope, misses | both
