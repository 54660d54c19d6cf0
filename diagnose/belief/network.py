"""The two-layer causal network: causes with prior odds, findings with tables."""

from collections.abc import Mapping
from functools import cached_property
from math import fsum, inf

from diagnose.belief.errors import BeliefError
from diagnose.belief.table import Distribution, Table

__all__ = ["Network", "scaled_odds"]

PAIR = 2  # a hypothesis holds no more causes


class Network:
    """Causes, findings and the share kept for something not listed; checked, and not changed afterwards.

    `causes` maps each cause to its prior odds pi / (1 - pi); `not_listed` is the prior probability that the cause is
    none of them. `lifts` tells how many times likelier two causes are together than if they had nothing to do with
    each other: the prior weight of {i, j} is lift * odds_i * odds_j. Raises BeliefError naming the culprit.
    """

    def __init__(
        self,
        causes: Mapping[str, float],
        findings: Mapping[str, Table],
        not_listed: float = 0.05,
        lifts: Mapping[frozenset[str], float] | None = None,
    ) -> None:
        self.causes = dict(causes)
        self.findings = dict(findings)
        self.not_listed = not_listed
        self.lifts = dict(lifts or {})
        self._check()
        self.index = {cause: i for i, cause in enumerate(self.causes)}
        self.parents = {f: tuple(self.index[c] for c in table.parents) for f, table in self.findings.items()}

    def _check(self) -> None:
        if not 0.0 <= self.not_listed < 1.0:
            raise BeliefError("not_listed", f"is {self.not_listed}; it must be at least 0 and below 1")
        if not self.causes and not self.not_listed:
            raise BeliefError("causes", "are none, and nothing is kept for a cause that is not listed")
        for cause, odds in self.causes.items():
            if not 0.0 < odds < inf:
                raise BeliefError(cause, f"prior odds are {odds}; they must be above 0 and finite")
        for pair, lift in self.lifts.items():
            if len(pair) != PAIR or not pair <= self.causes.keys():
                raise BeliefError(" and ".join(sorted(pair)), "are not two causes of the network")
            if not 1.0 <= lift < inf:
                raise BeliefError(" and ".join(sorted(pair)), f"lift is {lift}; it must be at least 1 and finite")
        for finding, table in self.findings.items():
            table.check(finding, self.causes)

    @cached_property
    def priors(self) -> dict[str, float]:
        """The prior probability pi of each cause, from its odds."""
        return {cause: odds / (1.0 + odds) for cause, odds in self.causes.items()}

    @cached_property
    def _total_prior(self) -> float:
        return fsum(self.priors.values())

    @cached_property
    def pair_lifts(self) -> dict[tuple[int, int], float]:
        """The lifts by indices of the causes, the lower first."""
        pairs = (sorted(map(self.index.__getitem__, pair)) for pair in self.lifts)
        return {(i, j): lift for (i, j), lift in zip(pairs, self.lifts.values(), strict=True)}

    @cached_property
    def not_listed_odds(self) -> float:
        """Prior weight of something not listed, in the unit where {i} weighs its odds and {i, j} their product."""
        singles = pairs = 0.0
        for odds in self.causes.values():
            pairs += singles * odds
            singles += odds
        for (one, other), lift in ((sorted(pair), lift) for pair, lift in self.lifts.items()):
            pairs += (lift - 1.0) * self.causes[one] * self.causes[other]
        return self.not_listed / (1.0 - self.not_listed) * ((singles + pairs) or 1.0)

    @cached_property
    def findings_of(self) -> tuple[tuple[str, ...], ...]:
        """For each cause, by index, the findings it has a link to."""
        found: list[list[str]] = [[] for _ in self.causes]
        for finding, parents in self.parents.items():
            for i in parents:
                found[i].append(finding)
        return tuple(map(tuple, found))

    def elsewhere(self, finding: str) -> Distribution:
        """P(v|not listed): the average over the listed causes alone, weighted by their priors.

        Where a table says how often something not listed shows a value at the least, no abnormal value has less.
        """
        table = self.findings[finding]
        rest = [self.priors[cause] / self._total_prior for cause in table.parents]
        _, *shown = (
            none + fsum(share * (alone[k] - none) for share, alone in zip(rest, table.alone, strict=True))
            for k, none in enumerate(table.none)
        )
        abnormal = [max(share, table.unlisted) for share in shown]
        return 1.0 - fsum(abnormal), *abnormal


def scaled_odds(weights: Mapping[str, float], two_at_once: float) -> dict[str, float]:
    """Odds in proportion to `weights`, such that among single causes and pairs the pairs' prior share is `two_at_once`.

    With odds s * w, singles weigh s * sum(w) and pairs s^2 * sum of w_i w_j, so s follows at once. One cause alone has
    no pair; its odds are 1.

    >>> scaled_odds({"a": 1.0, "b": 3.0}, 0.25)
    {'a': 0.4444444444444444, 'b': 1.3333333333333333}
    """
    if not 0.0 < two_at_once < 1.0:
        raise BeliefError("two_at_once", f"is {two_at_once}; it must lie between 0 and 1, and be neither")
    for cause, weight in weights.items():
        if not 0.0 < weight < inf:
            raise BeliefError(cause, f"weight is {weight}; it must be above 0 and finite")
    singles = pairs = 0.0
    for weight in weights.values():
        pairs += singles * weight
        singles += weight
    scale = two_at_once * singles / ((1.0 - two_at_once) * pairs) if pairs else 1.0 / (singles or 1.0)
    return {cause: scale * weight for cause, weight in weights.items()}
