"""Weights of evidence in decibans (Good 1950): what each answer did to each cause, and what would change the ranking.

Sequential weights depend on the order of the answers and add up to the whole change; leave-one-out weights do not
depend on the order and do not add up. Under noisy-OR the two differ, so say which one is shown.
"""

from collections.abc import Collection
from dataclasses import dataclass
from math import log10

from diagnose.belief.belief import Belief
from diagnose.belief.evidence import firm

__all__ = ["Change", "flips", "leave_one_out", "log_odds", "sequential", "would_change"]

DECIBANS = 10.0
LEAST = 2.0**-53  # nearer to 0 or 1 than this a probability cannot be told from it


def log_odds(p: float) -> float:
    """10 log10 of p / (1 - p), in decibans; within +-160, since a float tells no more.

    >>> round(log_odds(0.75) - log_odds(0.2), 4)
    10.7918
    """
    return DECIBANS * (log10(max(p, LEAST)) - log10(max(1.0 - p, LEAST)))


def sequential(belief: Belief) -> dict[str, dict[str, float]]:
    """W_k(i), answer by answer in the order given: the change of each cause's log odds, in decibans; they add up."""
    growing = Belief(belief.network)
    for cause in belief.excluded:
        growing.exclude(cause)
    before = growing.marginals()
    weights = {}
    for finding, likelihood in belief.answers.items():
        growing.answer(finding, likelihood)
        after = growing.marginals()
        weights[finding] = _weights(before, after, belief.excluded)
        before = after
    return weights


def leave_one_out(belief: Belief) -> dict[str, dict[str, float]]:
    """W_k(i) = log odds of i with every answer, less without answer k, in decibans."""
    now = belief.marginals()
    rest = belief.copy()
    weights = {}
    for finding, likelihood in belief.answers.items():
        rest.withdraw(finding)
        weights[finding] = _weights(rest.marginals(), now, belief.excluded)
        rest.answer(finding, likelihood)
    return weights


def _weights(before: dict[str, float], after: dict[str, float], excluded: Collection[str]) -> dict[str, float]:
    return {c: log_odds(after[c]) - log_odds(p) for c, p in before.items() if c not in excluded}


@dataclass(frozen=True, slots=True)
class Change:
    """What the ranking would be if `finding` were `value`.

    `shift` is half the sum of the absolute changes of all marginals and of not listed; `chance` is P(this answer) for
    an unanswered finding and None for a given answer taken the other way.
    """

    finding: str
    value: str
    marginals: dict[str, float]
    not_listed: float
    leader_changes: bool
    shift: float
    chance: float | None = None


def flips(belief: Belief) -> list[Change]:
    """Every given answer changed to each other value, firmly; first those that would change the leader, then by shift.

    The value that was most likely meant (the greatest likelihood) is the one it was.
    """
    changes = []
    for finding, likelihood in belief.answers.items():
        said = max(likelihood, key=likelihood.__getitem__)
        changes += [_change(belief, finding, value) for value in likelihood if value != said]
    return _foremost(changes)


def would_change(belief: Belief, findings: Collection[str]) -> list[Change]:
    """Each value of these unanswered findings; first those that would change the leader, then by shift times chance."""
    changes = [
        _change(belief, finding, value, chance)
        for finding in findings
        for value, chance in belief.predict(finding).items()
    ]
    return _foremost(changes)


def _foremost(changes: list[Change]) -> list[Change]:
    return sorted(changes, key=lambda c: (not c.leader_changes, -c.shift * (1.0 if c.chance is None else c.chance)))


def _change(belief: Belief, finding: str, value: str, chance: float | None = None) -> Change:
    supposed = belief.supposing(finding, firm(belief.network.findings[finding], value))
    then, now = supposed.marginals(), belief.marginals()
    shift = sum(abs(then[cause] - p) for cause, p in now.items()) + abs(supposed.not_listed - belief.not_listed)
    leads = _leader(then, supposed.not_listed) != _leader(now, belief.not_listed)
    return Change(finding, value, then, supposed.not_listed, leads, shift / 2, chance)


def _leader(marginals: dict[str, float], not_listed: float) -> str | None:
    """Find the most probable cause, or None when something not listed is more probable."""
    leader = max(marginals, key=marginals.__getitem__, default=None)
    return leader if leader is not None and marginals[leader] >= not_listed else None
