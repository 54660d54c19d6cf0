"""An answer as a likelihood: for each value of the finding, how probable it is to be told this when that value is true.

Answers are sometimes wrong: the table's error rate is mixed into every likelihood made here.
"""

from collections.abc import Mapping

from diagnose.belief.errors import BeliefError
from diagnose.belief.table import Table

__all__ = ["Likelihood", "firm", "unsure", "weighted"]

Likelihood = dict[str, float]  # value -> P(said | value)


def firm(table: Table, value: str) -> Likelihood:
    """Take the operator's word for `value`: 1 - e where it is true, e / (k - 1) where another of the k values is.

    >>> firm(Table(("no", "yes"), {"yes": 0.1}, {}, error=0.05), "yes")
    {'no': 0.05, 'yes': 0.95}
    """
    return unsure(table, value, 1.0)


def unsure(table: Table, value: str, kappa: float) -> Likelihood:
    """Take a guess at `value`, right with probability kappa: kappa there, (1 - kappa) / (k - 1) elsewhere.

    kappa must be at least 1 / k (no better than a guess) and at most 1.
    """
    known(table, value)
    guess = 1.0 / len(table.values)
    if not guess <= kappa <= 1.0:
        raise BeliefError(value, f"kappa is {kappa}; it must be at least {guess:.3g} and at most 1")
    elsewhere = (1.0 - kappa) / (len(table.values) - 1)
    return weighted(table, {each: kappa if each == value else elsewhere for each in table.values})


def weighted(table: Table, weights: Mapping[str, float]) -> Likelihood:
    """P(this evidence | value) for each value, those left out having none; a reading near its limit, for example.

    Each must be within 0 and 1 and one above 0.
    """
    for value, weight in weights.items():
        known(table, value)
        if not 0.0 <= weight <= 1.0:
            raise BeliefError(value, f"its likelihood is {weight}; it must be within 0 and 1")
    total = sum(weights.values())
    if not total > 0.0:
        raise BeliefError(" ".join(table.values), "an answer must be possible under one of these values")
    wrong = table.error / (len(table.values) - 1)
    kept = 1.0 - table.error - wrong
    return {value: kept * weights.get(value, 0.0) + wrong * total for value in table.values}


def known(table: Table, value: str) -> None:
    """Raise BeliefError unless `value` is one of the table's."""
    if value not in table.values:
        raise BeliefError(value, f"is not a value of the finding; its values are {', '.join(table.values)}")
